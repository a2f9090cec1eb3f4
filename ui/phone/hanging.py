"""What hangs on the wall, as sheets: each plan's are worked out once, as a plan never changes."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Literal

from scheduler.book.opening import Book
from scheduler.book.plans import plan
from scheduler.book.roles import Who
from scheduler.book.wall import Hanging, hanging, hung_before
from scheduler.outputs.sheet import Sheet, Sheets
from ui.now import now_in

MOST = 4
"""Plans whose sheets are kept: this week's, the next one's, and those they have replaced."""

Kind = Literal["section", "person"]


@dataclass
class _Making:
    lock: threading.Lock = field(default_factory=threading.Lock)
    sheets: Sheets | None = None


class Kept:
    """The sheets of plans; working them out takes seconds, and many phones ask at once."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._lock = threading.Lock()
        self._there: OrderedDict[tuple[str, int], _Making] = OrderedDict()

    def of(self, who: Who, number: int) -> Sheets:
        """The sheets of a plan.

        Raises
        ------
        BookError
            There is no such plan, or it cannot be read.
        """
        key = (who.kitchen, number)
        with self._lock:
            making = self._there.setdefault(key, _Making())
            self._there.move_to_end(key)
            while len(self._there) > MOST:
                self._there.popitem(last=False)
        with making.lock:
            if making.sheets is None:
                file = plan(self.book, who, number)[1]
                sheets = Sheets(file.scenario, file.plan)
                _ = sheets.days  # reckoned now, by whoever is first
                making.sheets = sheets
            return making.sheets


@dataclass(frozen=True)
class Hangs:
    """A plan on the wall.

    Attributes
    ----------
    week : str
    number : int
    up : datetime
        Since when.
    sheets : Sheets
    now : int
        The present minute of its week, or its first where the week is another.
    """

    week: str
    number: int
    up: datetime
    sheets: Sheets
    now: int

    @property
    def today(self) -> date:
        """The calendar's day."""
        return self.sheets.names.local(self.now).date()

    def day_of(self, kind: Kind, id: str) -> date:
        """Whose day it is: after midnight still yesterday's, while its shift or a job goes on.

        Raises
        ------
        NoSuchSheet
        """
        before = self.today - timedelta(days=1)
        if before >= self.sheets.names.scenario.clock.first_day:
            sheet = self.sheet(kind, id, before)
            ends = [end for _, _, end in sheet.people] + [line.end for line in sheet.lines]
            if any(end > self.now for end in ends):
                return before
        return self.today

    def sheet(self, kind: Kind, id: str, day: date) -> Sheet:
        """One sheet.

        Raises
        ------
        NoSuchSheet
        """
        of = self.sheets.of_section if kind == "section" else self.sheets.of_person
        return of(id, day)


def hangs(kept: Kept, who: Who, week: str = "") -> Hangs | None:
    """What is on the wall: of the week asked for, else of the one that it is; None: nothing is."""
    found = None
    for one in hanging(kept.book, who, week or None):
        found = _seen(kept, who, one)
        clock = found.sheets.names.scenario.clock
        if 0 <= clock.since(kept.book.clock()) < clock.horizon:
            break
    return found


def hung_last(kept: Kept, who: Who, week: str) -> Hangs | None:
    """What is on the wall, or was last: a record is looked at when its week is over, too."""
    now = hangs(kept, who, week)
    if now is not None or not week:
        return now
    before = hung_before(kept.book, who, week)
    return _seen(kept, who, before[-1]) if before else None


def _seen(kept: Kept, who: Who, one: Hanging) -> Hangs:
    sheets = kept.of(who, one.number)
    now = now_in(sheets.names.scenario, kept.book.clock())
    return Hangs(one.week, one.number, one.up, sheets, now)
