"""What stands in a cell, read as what it is to be; what cannot be says what to write."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date, datetime, time, timedelta
from fractions import Fraction

from scheduler.domain.problems import MOST_SHOWN, nearest, one_of
from scheduler.domain.quantity import Percent, Quantity, plain
from scheduler.domain.times import Hours, read_day, read_duration, read_moment, write_duration
from scheduler.pasted.grid import Value

_EPOCH = date(1899, 12, 30)
"""Day 0 of spreadsheets, ECMA-376-1, 18.17.4.1 (the 1900 date base; from memory)."""
_SERIALS = range(30_000, 80_000)
"""What may be a day whose cell has no format of a date: from 1982 to 2119."""
_DIGITS = 6
_DATED = re.compile(r"([0-9]{1,4})[./-]([0-9]{1,2})[./-]([0-9]{1,4})\.?(?:\s+(.*))?")
_HOURS = re.compile(
    r"([0-9]{1,2})(?:[:.h]([0-9]{2}))?\s*(?:-|–|—|to)\s*([0-9]{1,2})(?:[:.h]([0-9]{2}))?", re.I
)


class Named:
    """Things that are called by id or by name.

    Parameters
    ----------
    kind : str
        What they are: component.
    names : mapping
        Their names by id.
    """

    def __init__(self, kind: str, names: Mapping[str, str]) -> None:
        self.kind, self._ids = kind, dict(names)
        self._called: dict[str, str] = {}
        self._refused = 0
        spelled = Counter(_plain(name) for name in names.values())
        self._twice = {name for name, n in spelled.items() if n > 1}
        for id, name in names.items():
            self._called.setdefault(_plain(name), id)

    def __contains__(self, text: str) -> bool:
        return text in self._ids or _plain(text) in self._called

    def means(self, value: Value, id: str) -> bool:
        """Is that what this one is called?"""
        return str(value) == id or _plain(str(value)) == _plain(self._ids[id])

    def id_of(self, value: Value) -> str:
        """Which one is meant.

        Raises
        ------
        ValueError
        """
        text = str(value)
        if text in self._ids:
            return text
        name = _plain(text)
        if name in self._twice:
            raise ValueError(f"several are called '{text}'; write the id of the {self.kind}")
        if name in self._called:
            return self._called[name]
        if text.lower() in self._ids:
            return text.lower()
        self._refused += 1
        known = [*self._ids, *self._called] if self._refused <= MOST_SHOWN else ()
        meant = nearest(text, known)
        maybe = f"Maybe '{meant}'" if meant else f"There are {one_of(self._ids)}"
        raise ValueError(f"there is no {self.kind} '{text}'. {maybe}")


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def text_of(value: Value) -> str:
    """What stands there as text; whole numbers without a point."""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return "" if value is None else str(value)


def day(value: Value) -> date:
    """A day.

    Raises
    ------
    ValueError
    """
    if isinstance(value, datetime):
        if value.time() != time():
            raise ValueError(f"'{value:%Y-%m-%d %H:%M}' has a time; write the day alone")
        value = value.date()
    try:
        return read_day(text_of(value))
    except ValueError as error:
        raise ValueError(_meant(value, "date") or error) from None


def moment(value: Value) -> datetime:
    """A moment; a day without an hour is its first minute, so that nothing seems fresher.

    Raises
    ------
    ValueError
    """
    if isinstance(value, datetime):
        return read_moment(value.replace(second=0, microsecond=0))
    if isinstance(value, date):
        return datetime.combine(value, time())
    text = text_of(value)
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        return datetime.combine(read_day(text), time())
    try:
        return read_moment(re.sub(r"(:[0-9]{2}):[0-9]{2}$", r"\1", text))
    except ValueError as error:
        raise ValueError(_meant(value, "date") or error) from None


def hours(value: Value) -> str:
    """A stretch of the clock, "08:00-16:30", also written 8-16:30.

    Raises
    ------
    ValueError
    """
    text = text_of(value)
    match = _HOURS.fullmatch(text)
    if match is None:
        raise ValueError(f"'{text}' is not a stretch of hours; write 08:00-16:30")
    begin, begin_min, end, end_min = match.groups()
    return str(Hours.parse(f"{int(begin):02}:{begin_min or '00'}-{int(end):02}:{end_min or '00'}"))


def clock(value: Value) -> str:
    """A time of day, "08:00".

    Raises
    ------
    ValueError
    """
    if isinstance(value, datetime):
        value = value.time()
    if isinstance(value, timedelta):  # 24:00 and later in some programs
        value = value / timedelta(days=1)
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, float | int) and not isinstance(value, bool) and 0 <= value <= 1:
        minutes = round(value * 1440)
        return f"{minutes // 60:02}:{minutes % 60:02}"
    text = text_of(value)
    match = re.fullmatch(r"([0-9]{1,2})(?:[:.h]([0-9]{2})(?::[0-9]{2})?)?", text)
    if match is None or int(match[1]) > 24 or int(match[2] or 0) > 59:
        raise ValueError(f"'{text}' is not a time of day; write 08:00")
    return f"{int(match[1]):02}:{match[2] or '00'}"


def amount(value: Value, unit: str = "") -> Quantity:
    """An amount: "3 kg", or a number whose unit stands elsewhere.

    Raises
    ------
    ValueError
    """
    if isinstance(value, bool | datetime | date | time | timedelta):
        raise ValueError(f"'{value}' is no amount; write 3 kg")
    if isinstance(value, int | float):
        text = plain(Fraction(str(round(value, _DIGITS))), _DIGITS)
    else:
        text = _point(text_of(value))
    if re.fullmatch(r"[+-]?[0-9]+(\.[0-9]+)?", text):
        if not unit:
            raise ValueError(
                f"'{text}' has no unit; write '{text} kg', or the unit in the heading: "
                "quantity (kg)"
            )
        text = f"{text} {unit}"
    found = Quantity.parse(text)
    if found.base < 0:
        raise ValueError(f"'{text}' is less than nothing")
    return found


def length(value: Value, unit: str = "") -> str:
    """How long something takes: "45 min", or a number whose unit stands in the heading.

    Raises
    ------
    ValueError
    """
    if isinstance(value, time):
        value = timedelta(hours=value.hour, minutes=value.minute)
    if isinstance(value, timedelta):
        meant = write_duration(int(value.total_seconds()) // 60)
        raise ValueError(f"{value} may be a time of day; write {meant}, as text")
    if isinstance(value, bool | datetime | date):
        raise ValueError(f"'{value}' is not how long something takes; write 45 min or 8 h")
    text = text_of(value)
    if unit and re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        minutes = Fraction(text) * read_duration(f"1 {unit}")
        if minutes.denominator == 1:
            text = write_duration(int(minutes))
    return write_duration(read_duration(text))


def whole(value: Value, most: int = 100_000) -> int:
    """A number of people or things, which has no parts.

    Raises
    ------
    ValueError
    """
    if isinstance(value, bool | datetime | date | time | timedelta):
        raise ValueError(f"'{value}' is no number; the spreadsheet may have made a date of it")
    text = text_of(value)
    if not re.fullmatch(r"[0-9]{1,12}", text):
        if _DATED.fullmatch(text):
            raise ValueError(f"'{text}' is a day and no number")
        if re.fullmatch(r"[+-]?[0-9]+\.[0-9]{1,2}|[0-9]+\.[0-9]{4,}", text):
            raise ValueError(f"'{text}' is no whole number")
        inside = re.findall(r"[0-9]+(?:[.,' ][0-9]{3})*", text)
        meant = f"; write {re.sub('[^0-9]', '', inside[0])}" if len(inside) == 1 else ""
        raise ValueError(f"'{text}' is no whole number{'' if text[0] in '-+' else meant}")
    if int(text) > most:
        raise ValueError(f"{text} is more than {most}, the most there may be")
    return int(text)


def percent(value: Value, *, of_one: bool) -> str:
    """A part of a whole, "85 %".

    Parameters
    ----------
    of_one : bool
        A bare number is a part of one, as spreadsheets keep percentages; otherwise of a hundred.

    Raises
    ------
    ValueError
    """
    if isinstance(value, int | float) and not isinstance(value, bool):
        part = Fraction(str(round(value, _DIGITS))) * (100 if of_one else 1)
        return str(Percent.parse(f"{plain(part, _DIGITS)} %"))
    text = _point(text_of(value))
    return str(Percent.parse(text if text.endswith("%") else f"{text} %"))


def _point(text: str) -> str:
    """A comma for a point; not where it may be one for thousands."""
    match = re.fullmatch(r"([+-]?[0-9]+),([0-9]+)(.*)", text)
    if match is None:
        return text
    if len(match[2]) == 3 and match[1].lstrip("+-") not in ("", "0"):
        point, none = f"{match[1]}.{match[2]}", match[1] + match[2]
        raise ValueError(f"'{text}' may be {point} or {none}; write which")
    return f"{match[1]}.{match[2]}{match[3]}"


def _meant(value: Value, what: str) -> str:
    """What somebody probably meant who wrote a day in another way; empty: nobody knows."""
    text = text_of(value)
    if isinstance(value, int | float) and not isinstance(value, bool) and value in _SERIALS:
        there = _EPOCH + timedelta(days=int(value))
        return f"'{text}' is a number; format the cell as a date ({there}), or write {there}"
    match = _DATED.fullmatch(text)
    if match is None or re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        return ""
    a, b, c = (int(part) for part in match.groups()[:3])
    year = c + 2000 if c < 100 else c
    days = _days((a, b, c)) if a > 31 else _days((year, b, a), (year, a, b) if "/" in text else ())
    if not days:
        return f"'{text}' is not a {what}; write 2026-05-01"
    later = f" {match[4]}" if match[4] else ""
    return f"'{text}' is not a {what}; write " + " or ".join(f"{one}{later}" for one in days)


def _days(*tried: Iterable[int]) -> list[date]:
    found = []
    for parts in tried:
        try:
            found.append(date(*parts))
        except (ValueError, TypeError):
            continue
    return list(dict.fromkeys(found))
