"""People who may be asked for where portions go short: own ones longer, then those who are off."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from scheduler.domain import roster
from scheduler.plan.figures import shifts_of
from scheduler.plan.working import Longer, overtime_of
from scheduler.reshuffle.short import FEW, THERE, Remedy, Short, week_with_help

if TYPE_CHECKING:
    from datetime import date

    from scheduler.domain.kitchen import Person
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.words import Names

# Common practice, no source, both.
LONGER = 120
"""Somebody is asked to stay so much longer, or to come so much sooner, at most; minutes."""
CALLED_FOR = 8 * 60
"""Nobody is called in for longer than that, minutes."""


def longer(short: Short) -> Iterator[Remedy]:
    """Own people stay longer, or come sooner."""
    ids = {p.id for p in short.people if p.shifts}
    if not ids:
        return

    def week() -> Scenario:
        document = short.scenario.document()
        for person in document["kitchen"]["people"]:
            if person["id"] in ids:
                there = short.scenario.person[person["id"]].overtime
                ends = {"at_end": there.at_end, "at_start": there.at_start} if there else {}
                person["overtime"] = {
                    k: f"{max(LONGER, ends.get(k, 0))} min" for k in ("at_end", "at_start")
                }
        return week_with_help(document)

    def said(names: Names) -> str:
        before = {(x.person, x.start) if not x.before else (x.person, x.end): x.minutes
                  for x in overtime_of(short.names)}  # fmt: skip
        new = [
            x for x in overtime_of(names)
            if x.minutes > before.get((x.person, x.end if x.before else x.start), 0)
        ]  # fmt: skip
        return _listed([_stays(names, x) for x in new])

    yield Remedy("longer", "people staying longer", "longer", week, said)


def _stays(names: Names, one: Longer) -> str:
    who = names.person(one.person)
    if one.before:
        return f"{who} coming in {names.moment(one.start)}"
    return f"{who} staying until {names.moment(one.end)}"


def called_in(short: Short) -> Iterator[Remedy]:
    """Somebody comes who has no shift on a day."""
    on = {p.id: {short.day(start) for start, _ in shifts_of(short.scenario, p)}
          for p in short.scenario.kitchen.people}  # fmt: skip
    off = [p for p in short.people if any(day not in on[p.id] for day in short.days)]
    for person in off[:FEW]:
        days = {
            day: hours for day in short.days
            if day not in on[person.id] and (hours := _hours(short, day))
        }  # fmt: skip
        if days:
            name = f"{short.names.person(person.id)} called in"
            yield Remedy(
                "called in", name, "called in", _calling(short, person, days),
                _at_work(short, person, name),
            )  # fmt: skip


def _hours(short: Short, day: date) -> str:
    """Hours on a day for somebody who is off: from when they can be there, while others are."""
    now = short.past.now
    spans = [
        (start, pieces[-1][1])
        for other in short.scenario.kitchen.people
        for start, pieces in shifts_of(short.scenario, other)
        if short.day(start) == day
    ]
    if not spans:
        return ""
    end = max(z for _, z in spans)
    if day == short.day(now):
        begin = short.standing(THERE).now
        end = min(end, begin + CALLED_FOR)
    else:
        begin = max(min(a for a, _ in spans), end - CALLED_FOR)
    end = min(end, short.standing().midnight(begin))
    return f"{short.wall(begin)}-{short.closing(begin, end)}" if begin < end else ""


def _calling(short: Short, person: Person, days: dict[date, str]) -> Callable[[], Scenario]:
    def week() -> Scenario:
        document = short.scenario.document()
        clock = short.scenario.clock
        window = clock.days(margin=15)
        people = document["kitchen"]["people"]
        place = next(n for n, p in enumerate(people) if p["id"] == person.id)
        for day, hours in days.items():
            people[place] = roster.with_cell(people[place], day, hours, window)
        return week_with_help(document)

    return week


def _at_work(short: Short, person: Person, name: str) -> Callable[[Names], str]:
    def said(names: Names) -> str:
        visits = [v for t in names.plan.tasks for v in t.visits if person.id in v.people
                  and v.end > short.past.now]  # fmt: skip
        before = {(v.start, v.end) for t in short.plan.tasks for v in t.visits
                  if person.id in v.people}  # fmt: skip
        new = [v for v in visits if (v.start, v.end) not in before]
        if not new:
            return ""
        start, end = min(v.start for v in new), max(v.end for v in new)
        return f"{name}, {names.moment(start)} to {names.clock(end)}"

    return said


def _listed(parts: list[str]) -> str:
    return ", ".join(parts[:-1]) + (" and " if parts[:-1] else "") + parts[-1] if parts else ""
