"""How long a job takes those who are at it: work that is shared, trainees on their own."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from scheduler.domain.base import Level
from scheduler.domain.recipes import ANYONE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.kitchen import Person
    from scheduler.domain.recipes import Hands, Time
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit.amounts import Length


def level_in(person: Person, hands: Hands, section: str) -> Level | None:
    """What somebody is where a line of hands asks for them (anyone: the most they are anywhere)."""
    wanted = hands.section or section
    if wanted == ANYONE:
        return max(person.sections.values(), key=lambda level: level.rank)
    return person.sections.get(wanted)


def seated(hands: tuple[Hands, ...], people: tuple[str, ...]) -> Iterator[tuple[Hands, list[str]]]:
    """Each line of hands with its people; who is left over belongs to a line that is shared."""
    rest = list(people)
    for line in hands:
        many = len(rest) if line.up_to is not None else line.people
        yield line, rest[:many]
        rest = rest[many:]


def trainees(
    scenario: Scenario, hands: tuple[Hands, ...], section: str, people: tuple[str, ...]
) -> list[bool]:
    """Of everybody at a job, whether they are a trainee at it."""
    return [
        level_in(scenario.person[name], line, section) is Level.TRAINEE
        for line, mine in seated(hands, people)
        for name in mine
        if name in scenario.person
    ]


def pace(
    scenario: Scenario, hands: tuple[Hands, ...], section: str, people: tuple[str, ...]
) -> Fraction:
    """How much of an hour's work they do in an hour.

    Shared: a cook 1, a trainee 60 / trainee_hour, added up. Otherwise 1 with
    somebody above a trainee at it, and 60 / trainee_hour without.
    """
    learning = trainees(scenario, hands, section, people)
    slow = Fraction(60, scenario.kitchen.trainee_hour)
    if not learning:
        return Fraction(1)
    if any(line.up_to is not None for line in hands):
        return sum((slow if one else Fraction(1) for one in learning), Fraction(0))
    return slow if all(learning) else Fraction(1)


def at_pace(law: Length, time: Time, pace: Fraction) -> Length:
    """A length with its work divided by a pace; best and longest are about the food and stay."""
    if pace == 1:
        return law
    return replace(law, least=time.undivided + ceil((law.least - time.undivided) / pace))
