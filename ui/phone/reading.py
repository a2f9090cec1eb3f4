"""What was measured at a job, as it may be entered, or what must be asked about it first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from scheduler.book.errors import BookError
from scheduler.book.recording import Measured, said
from scheduler.book.standing import UNKNOWN, TaskState
from scheduler.domain.times import Clock
from scheduler.outputs.known import held_against
from scheduler.outputs.measured import UNITS, WHAT, Verdict, typed
from scheduler.outputs.measuring import Measure
from ui.phone.sent import Asks, Refused, Sent


@dataclass(frozen=True)
class Part:
    """A part of what a form says, as an entry of its own.

    Attributes
    ----------
    mark : str
        Which part; ends the entry's id.
    task, kind : str
    body : dict
    """

    mark: str
    task: str
    kind: str
    body: dict[str, Any]


def read(
    asked: Iterable[tuple[int, Sequence[Measure]]],
    states: Mapping[str, TaskState],
    sent: Sent,
    clock: Clock,
    at: int,
) -> list[Part]:
    """What stands in the fields for measurements.

    Parameters
    ----------
    asked : iterable of (int, sequence of Measure)
        The number of each field, and what it is held against: all of it.
    at : int
        When it was read. Minute.

    Raises
    ------
    Asks
        Of every field that is empty, makes no sense, or is out of bounds without a word of what
        was done.
    """
    found: list[Part] = []
    questions: dict[str, str] = {}
    for place, some in asked:
        try:
            found.append(_one(place, some, states, sent, clock, at))
        except Refused as question:
            questions[f"m{place}"] = str(question)
    if questions:
        raise Asks(questions)
    return found


def _one(
    place: int, some: Sequence[Measure], states: Mapping[str, TaskState], sent: Sent, clock: Clock,
    at: int,
) -> Part:  # fmt: skip
    measure, value, did = some[0], sent.of(f"m{place}"), sent.of(f"did{place}")
    mark, task = f"m{place}", measure.task
    if measure.kind == "look":
        if not value:
            raise Refused(f"{measure.said}: say whether it is so.")
        if value != "yes" and not did:
            raise Refused(f"Not so yet: {measure.said}. What was done about it?")
        seen = "as it should be" if value == "yes" else f"not as it should be; {did}"
        return Part(mark, task, "note", {"text": f"{measure.said}: {seen}"})
    if not value:
        if not did:
            raise Refused(f"To measure: {measure.said}. Where nothing was measured, say why.")
        text = f"{WHAT[measure.kind]} not measured ({measure.said}): {did}"
        return Part(mark, task, "note", {"text": text})
    number, unit = typed(value, sent.of(f"u{place}") or UNITS[measure.kind][0])
    body = {"what": WHAT[measure.kind], "value": number, "unit": unit}
    body |= {"did": did} if did else {}
    word = checked("measured", body)
    assert isinstance(word, Measured)
    state = states.get(task, UNKNOWN)
    verdict = held_against(some, state, Fraction(word.value), word.unit, clock, at)
    if verdict.verdict is Verdict.OUT and not did:
        raise Refused(f"{verdict.said} What was done about it?")
    return Part(mark, task, "measured", body)


def checked(kind: str, body: dict[str, Any]) -> Any:
    """What the record would take, or why it would not.

    Raises
    ------
    Refused
    """
    try:
        return said(kind, body)
    except BookError as refused:
        raise Refused(str(refused)) from None
