"""Taking what a sheet sends into the record, and answering whoever sent it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Literal

from scheduler.book.arriving import Twice
from scheduler.book.errors import BookError
from scheduler.book.record import Entered, enter, record_of
from scheduler.book.recording import in_words
from scheduler.book.roles import Who
from scheduler.book.standing import Recorded, TaskState, states_of
from scheduler.outputs.known import said_of
from scheduler.outputs.lines import Line
from scheduler.outputs.sheet import NoSuchSheet, Sheets
from scheduler.plan.words import several
from ui.phone.entering import all_as_planned, entries
from ui.phone.hanging import Kept, hangs
from ui.phone.sent import Asks, Refused, Sent

TWICE = (
    "This form has been sent before with something else in it. What was entered then stands; open "
    "the sheet again, and correct it there."
)
State = Literal["entered", "asks", "refused", "other"]


@dataclass(frozen=True)
class Answer:
    """What became of a form.

    Attributes
    ----------
    state : str
        entered; asks: not taken before more is said; refused; other: it is somebody else's, who
        must sign in to send it.
    said : tuple of str
        Sentences.
    asks : dict of str to str
        What is asked, by field.
    """

    state: State
    said: tuple[str, ...]
    asks: dict[str, str] = field(default_factory=dict)


def take(kept: Kept, who: Who, sent: Sent, *, again: bool = False) -> Answer:
    """Enter what a form says, as whoever has signed in.

    Parameters
    ----------
    again : bool
        It has been tried already.
    """
    drawn_for = sent.of("as")
    if drawn_for != who.person:
        return Answer(
            "other",
            (
                f"This sheet was opened by {drawn_for or 'nobody'}, and {who.person} has signed "
                "in here since. Nothing was entered: everybody signs as themselves.",
            ),
        )
    try:
        number = _number(sent)
        sheets = kept.of(who, number)
        record = record_of(kept.book, who, sheets.names.scenario.week.id)
        if sent.shows is None:
            sent = _as_before(record, sent)
        states = states_of(record)
        if sent.of("does") == "all":
            return _all(kept, who, sheets, number, states, sent)
        line = sheets.line(sent.of("job"))
        if line is None or not line.task:
            raise Refused(f"Plan {number} has no such job; open the sheet again.")
        before = said_of(sheets.names, states, line)
        entered = [enter(kept.book, who, e) for e in entries(sheets, number, line, states, sent)]
    except Asks as asks:
        return Answer("asks", (str(asks),), asks.places)
    except Twice:
        if sent.shows is None and not again:  # A double tap: the first has only just been entered.
            return take(kept, who, sent, again=True)
        return Answer("refused", (TWICE,))
    except (Refused, NoSuchSheet, BookError) as refused:
        return Answer("refused", (str(refused),))
    names = sheets.names
    said = [f"Entered: {_what(line)}: {_words(entered)}."]
    if any(e.again for e in entered):
        said = [f"It had been entered already: {_what(line)}: {_words(entered)}."]
    elif before is not None and before.kind == "done" and before.who != who.person:
        at = before.when.astimezone(names.scenario.clock.zone)
        said.append(f"{names.person(before.who)} had ticked it at {at:%H:%M}; both are kept.")
    notes = [note for e in entered for note in e.notes] + _meanwhile(kept, who, number, line)
    return Answer("entered", tuple(dict.fromkeys((*said, *notes))))


def _as_before(record: Iterable[Recorded], sent: Sent) -> Sent:
    """A form of a page without a script, sent again: it was pressed when it was sent first."""
    for entry in record:
        if entry.id.startswith(f"{sent.id}."):
            return replace(sent, happened=entry.happened)
    return sent


def _number(sent: Sent) -> int:
    """Which plan they were looking at."""
    typed = sent.of("number")
    if not (typed.isascii() and typed.isdigit() and len(typed) < 10):
        raise Refused("This form is of no plan; open the sheet again and enter it there.")
    return int(typed)


def _all(
    kept: Kept, who: Who, sheets: Sheets, number: int, states: dict[str, TaskState], sent: Sent
) -> Answer:
    try:
        day = date.fromisoformat(sent.of("day"))
    except ValueError:
        raise Refused("All as planned is said of a day; open the sheet again.") from None
    sheet = sheets.of_section(sent.of("section"), day)
    found, asked = all_as_planned(sheets, number, sheet, states, sent)
    for entry in found:
        enter(kept.book, who, entry)
    until = sent.of("until")
    said = [f"All as planned until {until}: {several(len(found), 'job')} entered."]
    if asked:
        what = "; ".join(_what(line) for line in asked)
        said.append(f"Still to be ticked with what was measured: {what}.")
    return Answer("entered", tuple(said))


def _meanwhile(kept: Kept, who: Who, number: int, line: Line) -> list[str]:
    """What has become of the job in the plan that hangs there by now."""
    now = hangs(kept, who, kept.of(who, number).names.scenario.week.id)
    if now is None or now.number == number:
        return []
    names, there = now.sheets.names, now.sheets.line(line.mark)
    if there is None:
        return [f"Plan {now.number} has no such job; it is in the record all the same."]
    if set(there.people) != set(line.people):
        people = " and ".join(names.person(p) for p in there.people) or "nobody"
        return [f"In plan {now.number} it is for {people}, who will see that it is done."]
    return []


def _what(line: Line) -> str:
    return f"{line.what}, {line.does}" if line.does else line.what


def _words(entered: list[Entered]) -> str:
    return ", ".join(told(e.entry) for e in entered)


def told(entry: Recorded) -> str:
    """What an entry says, where the job it is about is named beside it."""
    hidden = ("visit", "clock")
    return in_words(entry.kind, {k: v for k, v in entry.body.items() if k not in hidden})
