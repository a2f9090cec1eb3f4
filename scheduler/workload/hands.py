"""Whose hands: who may stand in for each line of a visit, a step or a duty."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.base import Level
from scheduler.domain.recipes import ANYONE
from scheduler.workload.primitives import Crew, Leave, Line, Way

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from scheduler.domain.kitchen import Person
    from scheduler.domain.recipes import Hands, Need
    from scheduler.workload.builder import Builder


def level_in(person: Person, section: str) -> Level | None:
    """A person's level in a section; the highest anywhere for `anyone`."""
    if section == ANYONE:
        return max(person.sections.values(), key=lambda level: level.rank)
    return person.sections.get(section)


def eligible(
    people: Sequence[Person],
    section: str,
    level: Level,
    may_use: Iterable[str],
    only: Sequence[str] = (),
    let_in: Sequence[str] = (),
) -> tuple[int, ...]:
    """Indices of people of the section, of at least the level, trained for everything.

    {p : level(p, section) >= level or p in let_in, may_use(p) contains may_use, p in only if any}.
    """
    needed = set(may_use)
    found = []
    for i, person in enumerate(people):
        has = level_in(person, section)
        able = person.id in let_in or (has is not None and has.rank >= level.rank)
        if not able or not needed <= set(person.may_use):
            continue
        if not only or person.id in only:
            found.append(i)
    return tuple(found)


def training(b: Builder, needs: Iterable[Need]) -> set[str]:
    """What one must be allowed to use for the equipment of some needs."""
    return {
        kind.may_use
        for need in needs
        if need.equipment is not None and (kind := b.kinds.of(need.equipment)[0]).may_use
    }


def lines(
    b: Builder, hands: Sequence[Hands], section: str, needs: Iterable[Need]
) -> tuple[Line, ...]:
    """A line for each entry of `hands`, with everybody who may stand in for it."""
    trained = training(b, needs)
    let_in = tuple(
        x.person
        for x in b.scenario.week.accepted
        if x.rule == "section-level" and x.component == b.making and x.person is not None
    )
    found = []
    for h in hands:
        asked = (h.section or section, h.level, frozenset(trained | set(h.may_use)), h.only, let_in)
        if asked not in b.eligible:
            b.eligible[asked] = eligible(b.scenario.kitchen.people, *asked)
        found.append(Line(b.eligible[asked], h.people))
    return tuple(found)


def add_crew(
    b: Builder,
    task: int,
    ways: tuple[Way, ...],
    leave: Leave | None = None,
    rest: bool = False,
) -> int:
    """Hands all through a task, in one of several ways; its place."""
    b.crews.append(Crew(task, ways, leave, rest))
    return len(b.crews) - 1


def all_through(b: Builder, task: int, lines: tuple[Line, ...]) -> int:
    """Hands all through a task, however long it lasts; its place."""
    of = b.tasks[task]
    return add_crew(b, task, (Way(lines, of.least, of.most),))


def on_duty(b: Builder, hands: Hands, section: str) -> list[tuple[int, int]]:
    """Every stretch in which somebody of a section and level is there, person by person."""
    return [
        span
        for p in eligible(
            b.scenario.kitchen.people, hands.section or section, hands.level, (), hands.only
        )
        for span in b.calendar.working[p]
    ]
