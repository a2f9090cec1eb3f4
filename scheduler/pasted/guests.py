"""Guests: how many come to the events of a week, what they chose, and their diets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from scheduler.domain.problems import one_of
from scheduler.domain.times import read_moment
from scheduler.pasted.grid import Grid
from scheduler.pasted.headings import heading
from scheduler.pasted.table import Table
from scheduler.pasted.values import Named, moment, text_of, whole

Body = dict[str, Any]
WORDS: dict[str, tuple[str, ...]] = {
    "event": ("event name", "name", "function", "party", "booking"),
    "date": ("day", "when", "first plate"),
    "guests": ("guest", "number", "number of guests", "covers", "people", "pax", "guaranteed"),
    "tables": ("number of tables",),
    "dish": ("course", "choice"),
    "portions": ("chosen", "chosen by", "plates"),
}
"""What headings of guests may be called; besides, a dish or a diet may head a column."""
_DISH, _DIET = "dish ", "diet "


def guests(
    grid: Grid, week: Mapping[str, Any], dishes: Mapping[str, str], others: Iterable[Any] = ()
) -> tuple[Body, tuple[str, ...], tuple[str, ...]]:
    """Read how many come into a week.

    A row is of an event, or, with a dish, of that dish of it. What is left empty stays as it is.
    A diet of an event is one of every dish of it that has that diet already, since what is served
    instead is written there.

    Parameters
    ----------
    dishes : mapping
        Names by id, of the kitchen.
    others : iterable of week
        Whose diets are known too, so that one which this week lacks is not overlooked.

    Returns
    -------
    (week, tuple of str, tuple of str)
        The week as it is then, the columns not used, and what should be known.

    Raises
    ------
    BadInput
        Every mistake, by its cell.
    """
    diets = {str(d.get("id")) for one in (week, *others) for e in _all(one, "events")
             for c in _all(e, "menu") for d in _all(c, "diets")}  # fmt: skip
    called = Counter(heading(name)[0] for name in dishes.values())
    words: dict[str, tuple[str, ...]] = {_DIET + id: (heading(id)[0],) for id in sorted(diets)}
    for id, name in dishes.items():
        by_name = heading(name)[0]
        words[_DISH + id] = (heading(id)[0], by_name if called[by_name] == 1 else id)
    table = Table(grid, words | WORDS, (("event", "date"),))
    if not any(word in table for word in ("guests", "tables", "portions", *words)):
        table.mistakes.row(table.top, (
            "there is no column of guests, and none that is called by a dish or a diet of the menus"
        ))  # fmt: skip
    reader = _Reader(table, week, dishes, sorted(diets))
    for row in table.rows():
        reader.row(row)
    table.mistakes.end()
    there = isinstance(week.get("events"), list)
    body = {**week, "events": reader.made()} if there else dict(week)
    return body, table.unused, tuple(reader.notes)


class _Reader:
    def __init__(
        self, table: Table, week: Mapping[str, Any], dishes: Mapping[str, str], diets: list[str]
    ) -> None:
        self._table, self._named_dish = table, Named("dish", dishes)
        self._dishes = [id for id in dishes if _DISH + id in table]
        self._diets = [id for id in diets if _DIET + id in table]
        self._columns = [*(_DISH + id for id in self._dishes), *(_DIET + id for id in self._diets)]
        there = week.get("events")
        self._entries = there if isinstance(there, list) else []
        self._by_id = {str(e.get("id")): e for e in _all(week, "events")}
        self._named = Named("event", {i: str(e.get("name") or i) for i, e in self._by_id.items()})
        self._days = {id: _day(e) for id, e in self._by_id.items()}
        self._on: dict[Any, list[str]] = {}
        for id, day in self._days.items():
            self._on.setdefault(day, []).append(id)
        self._last = ""
        self._seen: dict[tuple[str, str], int] = {}
        """Row of an event, or of a dish of it."""
        self._said: dict[tuple[str, ...], tuple[int, int]] = {}
        """What was said of an event, its tables, a dish, a diet, and in which row."""
        self.notes: list[str] = []

    def row(self, row: int) -> None:
        """Take in what a row says."""
        table = self._table
        dish = table.read(row, "dish", self._named_dish.id_of)
        event = self._event(row)
        if not event or (dish is None and table.value(row, "dish") is not None):
            for word in ("guests", "tables", "portions", *self._columns):
                table.read(row, word, whole)
            return
        key = (event, dish or "")
        if key in self._seen:
            what = f"'{dish}' of '{event}'" if dish else f"'{event}'"
            cell = "dish" if dish else "event" if table.value(row, "event") else "date"
            table.wrong(row, cell, f"{what} is there already, in row {self._seen[key] + 1}")
            return
        self._seen[key] = row
        self._say(row, "guests", (event, "guests"), 1, "an event has a guest at least")
        self._say(row, "tables", (event, "tables"), 1, "0 tables; leave it empty")
        if dish is None and table.value(row, "portions") is not None:
            table.wrong(row, "portions", "of which dish? Its column is 'dish'")
        elif dish is not None:
            self._portions(row, "portions", event, dish)
        for one in self._dishes:
            self._portions(row, _DISH + one, event, one)
        for diet in self._diets:
            self._diet(row, diet, event, dish)

    def made(self) -> list[Any]:
        """The events as they are then."""
        return [self._with(e) if isinstance(e, dict) else e for e in self._entries]

    def _event(self, row: int) -> str:
        """Which event a row is of: by name, id or day; the one above where it says none."""
        table = self._table
        name = table.value(row, "event")
        when = table.read(row, "date", lambda value: moment(value).date())
        if when is None and table.value(row, "date") is not None:
            return ""
        if name is None and when is None:
            # A list of dishes is headed by its event once.
            if not self._last or table.value(row, "dish") is None:
                table.wrong(row, "event" if "event" in table else "date", "there is no event here")
                return ""
            return self._last
        try:
            found = self._on.get(when, [])
            if name is not None:
                called = [id for id in found if self._named.means(name, id)]
                id = called[0] if len(called) == 1 else self._named.id_of(name)
                if when is not None and id not in found:
                    of = text_of(name)
                    raise ValueError(f"'{of}' is on {self._days[id]}, and this is {when}")
            elif len(found) == 1:
                (id,) = found
            elif found:
                raise ValueError(f"several events are on {when} ({one_of(found)}); write which")
            else:
                days = one_of(str(day) for day in self._days.values())
                raise ValueError(f"there is no event on {when}. There are events on {days}")
        except ValueError as error:
            table.wrong(row, "event" if name is not None else "date", error)
            self._last = ""
            return ""
        self._last = id
        return id

    def _say(self, row: int, word: str, what: tuple[str, ...], least: int, less: str) -> None:
        """Note a number of a cell; what another row says of the same must be the same."""
        number = self._table.read(row, word, whole)
        if number is None:
            return
        if number < least:
            self._table.wrong(row, word, less)
            return
        there, other = self._said.setdefault(what, (number, row))
        if there != number:
            self._table.wrong(row, word, f"{number} here, and {there} in row {other + 1}")

    def _portions(self, row: int, word: str, event: str, dish: str) -> None:
        table = self._table
        value = table.value(row, word)
        if value is None or not self._one(row, word, event, dish, value):
            return
        self._say(row, word, (event, "dish", dish), 1, (
            f"a dish has a portion at least; take '{dish}' off the menu of '{event}' instead"
        ))  # fmt: skip

    def _diet(self, row: int, diet: str, event: str, dish: str | None) -> None:
        word, value = _DIET + diet, self._table.value(row, _DIET + diet)
        if value is None:
            return
        if dish is not None and not self._one(row, word, event, dish, value):
            return
        courses = [
            c for c in _all(self._by_id[event], "menu")
            if _has(c, diet) and dish in (None, c.get("dish"))
        ]  # fmt: skip
        if not courses:
            if value not in (0, "0"):
                of = f"'{dish}' of '{event}' has" if dish else f"no dish of '{event}' has"
                no = " no" if dish else " a"
                self._table.wrong(row, word, (
                    f"{of}{no} diet '{diet}' yet; put it on the menu first, with what it gets "
                    "instead"
                ))  # fmt: skip
            return
        chosen = [str(c.get("dish")) for c in courses if c.get("count") or c.get("share")]
        if dish is None and chosen and value not in (0, "0"):
            self._table.wrong(row, word, (
                f"not everybody has {one_of(chosen)}; say it in a row of each dish"
            ))  # fmt: skip
            return
        for course in courses:
            self._say(row, word, (event, "diet", str(course.get("dish")), diet), 0, "")

    def _one(self, row: int, word: str, event: str, dish: str, value: object) -> bool:
        """Is the dish on the menu, and once?"""
        there = [str(c.get("dish")) for c in _all(self._by_id[event], "menu")]
        if there.count(dish) == 1:
            return True
        if there.count(dish) > 1:
            said = f"'{dish}' is on the menu of '{event}' more than once; change it there"
            self._table.wrong(row, word, said)
        elif value not in (0, "0"):
            said = f"'{dish}' is not on the menu of '{event}'. There are {one_of(there)}"
            self._table.wrong(row, word, said)
        return False

    def _with(self, event: Body) -> Body:
        id = str(event.get("id"))
        new: Body = {w: self._said[id, w][0] for w in ("guests", "tables") if (id, w) in self._said}
        menu = event.get("menu")
        if isinstance(menu, list):
            new["menu"] = [self._course(id, c) if isinstance(c, dict) else c for c in menu]
        if "guests" in new and new["guests"] != event.get("guests"):
            counted = (str(c.get("dish")) for c in _all(event, "menu") if c.get("count"))
            fixed = [dish for dish in counted if (id, "dish", dish) not in self._said]
            if fixed:
                self.notes.append(
                    f"'{id}' has other guests, and as many portions as before of "
                    f"{one_of(fixed)}, which are counted."
                )
        return event | new

    def _course(self, event: str, course: Body) -> Body:
        dish = str(course.get("dish"))
        portions = self._said.get((event, "dish", dish))
        if portions is not None:
            course = {k: v for k, v in course.items() if k != "share"} | {"count": portions[0]}
        kept = []
        for diet in course.get("diets") or ():
            said = isinstance(diet, dict) and (event, "diet", dish, str(diet.get("id")))
            number = self._said[said][0] if said and said in self._said else None
            if number == 0:
                self.notes.append(
                    f"Nobody has {diet['id']} at '{event}', so what its {dish} gets instead is "
                    "taken out too."
                )
            else:
                kept.append(diet if number is None else {**diet, "count": number})
        without = {k: v for k, v in course.items() if k != "diets"}
        return without | ({"diets": kept} if kept else {})


def _all(of: Any, word: str) -> list[Body]:
    """The entries of a list in a document, which somebody may still be writing."""
    there = of.get(word) if isinstance(of, Mapping) else None
    return [e for e in there if isinstance(e, dict)] if isinstance(there, list) else []


def _has(course: Body, diet: str) -> bool:
    return any(str(d.get("id")) == diet for d in _all(course, "diets"))


def _day(event: Body) -> Any:
    try:
        return read_moment(event.get("first_plate")).date()
    except ValueError:
        return None
