"""Shifts of a person by day: what somebody works on a day, and changing that day alone.

A person has shifts, each with days on which it begins, and days off on which none begins. Here
this is turned round. What is said of a day is put back as dates; a weekly pattern (mon, daily)
of which one day is changed is written out as the dates of the days that are looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any

from scheduler.domain.times import Days

OFF = "off"
Person = dict[str, Any]
Shift = dict[str, Any]


def days_between(first: date, last: date) -> tuple[date, ...]:
    """Every day from the first to the last."""
    return tuple(first + timedelta(days=n) for n in range((last - first).days + 1))


def cell(person: Person, day: date) -> str:
    """What stands in the table: hours, `off`, or nothing."""
    if day.isoformat() in _texts(person.get("off")):
        return OFF
    return ", ".join(str(s.get("hours", "")) for s in shifts_on(person, day))


def shifts_on(person: Person, day: date) -> list[Shift]:
    """The shifts that begin on a day, days off aside."""
    return [s for s in _shifts(person) if any(_has(text, day) for text in _texts(s.get("days")))]


def patterns(person: Person) -> tuple[str, ...]:
    """The weekly patterns among the days of somebody's shifts."""
    found = (text for s in _shifts(person) for text in _texts(s.get("days")))
    return tuple(dict.fromkeys(text for text in found if not text[:1].isdigit()))


def with_cell(person: Person, day: date, text: str, window: Sequence[date]) -> Person:
    """The person with other hours on a day.

    Parameters
    ----------
    text : str
        `off`; nothing: no shift begins, and the day is not off either; or hours, several with
        commas between. Hours that somebody works on another day bring the breaks of that.
    window : sequence of date
        The days that are looked at.
    """
    text = " ".join(text.split())
    if text.lower() == OFF:
        return _off(person, day, True)
    hours = [part.strip() for part in text.split(",") if part.strip()]
    known = {str(s.get("hours")): s for s in reversed(_shifts(person))}
    old = shifts_on(person, day)
    wanted = []
    for one in hours:
        like = known.get(one) or (old[0] if len(old) == 1 and len(hours) == 1 else {})
        wanted.append({k: v for k, v in like.items() if k != "days"} | {"hours": one})
    return with_shifts(_off(person, day, False), day, wanted, window)


def with_shifts(
    person: Person, day: date, wanted: Iterable[Shift], window: Sequence[date]
) -> Person:
    """The person with other shifts on a day, whatever else they say of breaks."""
    new = [{k: v for k, v in s.items() if k != "days"} for s in wanted]
    made = []
    for shift in _shifts(person):
        days = _texts(shift.get("days"))
        body = {k: v for k, v in shift.items() if k != "days"}
        if body in new:
            new.remove(body)
            kept = days if any(_has(d, day) for d in days) else _joined([*days, day.isoformat()])
        elif any(_has(d, day) for d in days):
            kept = _without(days, day, window)
        else:
            kept = days
        if kept:
            made.append({"days": kept} | body)
    made += [{"days": [day.isoformat()]} | body for body in new]
    return _with(person, "shifts", made)


def copied(person: Person, days: Sequence[date], by: int, window: Sequence[date]) -> Person:
    """The person with what they work on some days, days off too, again so many days later."""
    pairs = [
        (d + timedelta(days=by), shifts_on(person, d), cell(person, d) == OFF) for d in days
    ]
    for day, shifts, off in pairs:
        person = with_shifts(_off(person, day, off), day, shifts, window)
    return person


def _without(days: list[str], day: date, window: Sequence[date]) -> list[str]:
    made: list[str] = []
    for text in days:
        if not _has(text, day):
            made.append(text)
        elif text[:1].isdigit():
            first, dots, last = text.partition("..")
            begin, end = date.fromisoformat(first), date.fromisoformat(last if dots else first)
            made += [d.isoformat() for d in days_between(begin, end) if d != day]
        else:
            made += [d.isoformat() for d in window if _has(text, d) and d != day]
    return _joined(made)


def _joined(days: Iterable[str]) -> list[str]:
    """Dates in a row as one stretch; patterns as they are, in front."""
    texts = list(dict.fromkeys(days))
    patterned = [t for t in texts if not t[:1].isdigit()]
    dates: set[date] = set()
    for text in texts:
        if text[:1].isdigit():
            first, dots, last = text.partition("..")
            dates |= {*days_between(*map(date.fromisoformat, (first, last if dots else first)))}
    runs: list[list[date]] = []
    for one in sorted(dates):
        if runs and runs[-1][-1] + timedelta(days=1) == one:
            runs[-1].append(one)
        else:
            runs.append([one])
    return patterned + [
        str(run[0]) if len(run) == 1 else f"{run[0]}..{run[-1]}" for run in runs
    ]


def _off(person: Person, day: date, off: bool) -> Person:
    there = _texts(person.get("off"))
    text = day.isoformat()
    if (text in there) == off:
        return person
    return _with(person, "off", sorted({*there, text} if off else {*there} - {text}))


def _with(person: Person, key: str, value: list[Any]) -> Person:
    made = {k: v for k, v in person.items() if k != key or value}
    if value:
        made[key] = value
    return made


def _shifts(person: Person) -> list[Shift]:
    there = person.get("shifts")
    return [s for s in there if isinstance(s, dict)] if isinstance(there, list) else []


def _texts(value: Any) -> list[str]:
    return [str(v) for v in value] if isinstance(value, list) else []


def _has(text: str, day: date) -> bool:
    """Does it begin on that day? What cannot be read as days does on none."""
    try:
        return day in Days.parse(text)
    except ValueError:
        return False
