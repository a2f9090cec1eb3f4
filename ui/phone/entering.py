"""What a cook has sent from a sheet, as entries of the record."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import timedelta

from scheduler.book.record import Entry
from scheduler.book.standing import TaskState
from scheduler.outputs.known import by_and_by, figures, unconfirmed, visit_of
from scheduler.outputs.lines import Line
from scheduler.outputs.sheet import Sheet, Sheets
from ui.phone.reading import Part, checked, read
from ui.phone.sent import Refused, Sent, on

DOES = {
    "done": "done", "measured": "measured", "skipped": "put off", "quantity": "how much was made",
    "discarded": "thrown away", "note": "a word about it", "started": "begun",
}  # fmt: skip
"""What may be said of a job, in words."""


def entries(
    sheets: Sheets, number: int, line: Line, states: Mapping[str, TaskState], sent: Sent
) -> list[Entry]:
    """What a form about one job says.

    Parameters
    ----------
    number : int
        The plan that they were looking at, which `sheets` and `line` are of.
    states : mapping
        What is known of tasks.

    Raises
    ------
    Refused, Asks
    """
    names = sheets.names
    happened, shows = sent.when(names.scenario.clock.zone)
    parts = _parts(sheets, line, states, sent)
    for part in parts:  # before the first is entered, so that a form is taken whole or not
        checked(part.kind, part.body)
    return [
        Entry(
            f"{sent.id}.{p.mark}", names.scenario.week.id, names.tasks[p.task].batch, p.task,
            p.kind, p.body, happened, number, now=shows,
        )
        for p in parts
    ]  # fmt: skip


def _parts(
    sheets: Sheets, line: Line, states: Mapping[str, TaskState], sent: Sent
) -> list[Part]:
    names, clock, does = sheets.names, sheets.names.scenario.clock, sent.of("does")
    visit = visit_of(names, line)
    of_visit = {} if visit is None else {"visit": visit}
    why, amount = sent.of("why"), sent.of("amount")
    happened, shows = sent.when(clock.zone)
    at = clock.since(happened if shows is None else sent.truly)
    if does == "done":
        asked = [(place, [measure]) for place, measure in figures(names, line)]
        return [
            *read(asked, states, sent, clock, at), Part("done", line.task, "done", {**of_visit}),
        ]  # fmt: skip
    if does == "measured":
        some = [m for m in by_and_by(names, line) if m.kind == sent.of("kind")]
        if not some:
            raise Refused("Nothing of the kind is measured there; open the sheet again.")
        return read([(0, some)], states, sent, clock, at)
    body = {
        "started": {**of_visit},
        "skipped": {"why": why, **of_visit},
        "quantity": {"made": amount, "usable": sent.of("usable") or "whole",
                     **_optional("good", sent.of("good"))},
        "discarded": {"why": why, **_optional("quantity", amount)},
        "note": {"text": why},
    }.get(does)  # fmt: skip
    if body is None:
        raise Refused(f"'{does[:20]}' says nothing of a job. Choose one of what is offered.")
    return [Part(does, line.task, does, dict(body))]


def all_as_planned(
    sheets: Sheets, number: int, sheet: Sheet, states: Mapping[str, TaskState], sent: Sent
) -> tuple[list[Entry], list[Line]]:
    """What "all as planned until then" says of a section's sheet.

    Returns
    -------
    tuple of list of Entry and list of Line
        And the jobs that must be ticked one by one all the same: a figure belongs to them.

    Raises
    ------
    Refused
    """
    names, clock = sheets.names, sheets.names.scenario.clock
    typed, id = sent.of("until"), sent.id
    until = on(sheet.day, typed, clock.zone)
    first = min((line.start for line in sheet.lines), default=0)
    if clock.since(until) < first:  # of a shift past midnight
        until = on(sheet.day + timedelta(days=1), typed, clock.zone)
    if until > sent.truly:
        now = sent.truly.astimezone(clock.zone)
        raise Refused(f"{typed} is still to come, by the kitchen's clock ({now:%H:%M}).")
    yes, no = unconfirmed(names, sheet.lines, states, clock.since(until))
    found = []
    for line in yes:
        visit = visit_of(names, line)
        found.append(
            Entry(
                # The same id for the same job, however often the form is sent.
                uuid.uuid5(uuid.NAMESPACE_OID, f"{id} {line.mark}").hex,
                names.scenario.week.id, names.tasks[line.task].batch, line.task, "done",
                {"as_planned": True, **({} if visit is None else {"visit": visit})},
                clock.origin + timedelta(minutes=line.end), number,
            )
        )  # fmt: skip
    return found, no


def _optional(name: str, value: str) -> dict[str, str]:
    return {name: value} if value else {}
