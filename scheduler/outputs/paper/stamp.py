"""What a sheet on paper says of itself: which plan, printed when, which one to bin."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from scheduler.outputs.sheet import Sheet
from scheduler.plan.words import day_words

Link = Callable[["Sheet | date"], str]
"""Where a sheet is found on a screen: of a section or person, or of a day on the wall sheet."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """What stands large on every page.

    Attributes
    ----------
    printed : datetime
        When, by the kitchen's clock.
    number : int or None
        The plan's in the book; None: it is not kept there.
    bins : int or None
        The plan whose sheets this one's replace.
    warning : str
        Why nobody should go by it; empty: they should.
    link : callable or None
        None: no code is printed.
    """

    printed: datetime
    number: int | None = None
    bins: int | None = None
    warning: str = ""
    link: Link | None = None

    @property
    def plan(self) -> str:
        """ "No. 7" """
        return "No number" if self.number is None else f"No. {self.number}"

    @property
    def when(self) -> str:
        """ "Thu 3 Dec 15:40" """
        return f"{day_words(self.printed.date())} {self.printed:%H:%M}"

    @property
    def bin_it(self) -> str:
        """ "Bin No. 6." """
        return "" if self.bins is None else f"Bin No. {self.bins}."


def stamp_of(
    printed: datetime,
    standing: Literal["hangs", "not yet", "came down", "not kept"],
    number: int | None,
    hangs: int | None,
    before: int | None,
    breaks: Sequence[str] = (),
) -> Stamp:
    """The stamp of a plan.

    Parameters
    ----------
    standing : str
        How the plan stands to the wall.
    number, hangs, before : int or None
        Its own, what hangs on the wall now, and what hung there before it.
    breaks : sequence of str
        Rules that it breaks.
    """
    warning = ""
    if breaks:
        warning = f"DO NOT COOK FROM THIS: it breaks {', '.join(breaks)}."
    elif standing == "not kept":
        warning = "Not kept in the book: nobody can tell it from another sheet."
    elif standing == "not yet":
        then = f"when it goes up, bin No. {hangs}" if hangs is not None else "for reading only"
        warning = f"Not on the wall yet: {then}."
    elif standing == "came down":
        go_by = f"No. {hangs} is on the wall: go by that, bin this." if hangs is not None else ""
        warning = go_by or "It has come off the wall: bin this."
    return Stamp(printed, number, before if standing == "hangs" else None, warning)


def linking(
    address: str, signed: Callable[[Literal["section", "person", "all"], str, date, date], str],
    last: date,
) -> Link:
    """Links of sheets.

    Parameters
    ----------
    address : str
        Where phones find the screens.
    signed : callable
        Of whose sheet, its id, its day and the last day on the paper a signed token.
    last : date
        The last day on the wall sheet.
    """

    def link(of: Sheet | date) -> str:
        if isinstance(of, date):
            token = signed("all", "", of, max(of, last))
        elif of.person is not None:
            token = signed("person", of.person, of.day, of.day)
        else:
            token = signed("section", of.section or "", of.day, of.day)
        return f"{address}/s/{token}"

    return link
