"""People under age: what they are barred from, in a week and in a plan of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.base import Level
from scheduler.domain.choices import choices
from scheduler.domain.profiles import profile_of
from scheduler.domain.rest import age
from scheduler.plan.audit import barred as second_reader
from scheduler.plan.audit.facts import Facts
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

RULE = "barred"


def unknown_age(scenario: Scenario) -> Iterator[Finding]:
    """Trainees without a birth date count as of age."""
    profile = profile_of(scenario.kitchen)
    if profile is None or profile.of_age is None or not profile.barred:
        return
    source = "; ".join(one.source for one in profile.barred)
    for person in scenario.kitchen.people:
        if person.born is None and Level.TRAINEE in person.sections.values():
            said = "a trainee without a birth date (`born`), so nothing is barred"
            yield Finding(Standing.UNKNOWN, RULE, person.name or person.id, said, source)


def unguarded(scenario: Scenario) -> Iterator[Finding]:
    """People under age, where the profile bars nobody from anything."""
    profile = profile_of(scenario.kitchen)
    if profile is None or profile.barred:
        return
    adult = choices().adult
    day = scenario.week.starts.date()
    for person in scenario.kitchen.people:
        years = age(person, day)
        name, why = person.name or person.id, profile.absent["barred"]
        if years is not None and years < adult.value:
            said = f"is {years}, and under these rules barred from nothing: {why}"
            yield Finding(Standing.NOTE, RULE, name, said)


def barred(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """What somebody under age is given all the same; what the second reader says of it."""
    facts = Facts(scenario, plan)
    second_reader.check(facts)
    for found in facts.findings:
        yield Finding(Standing.BROKEN, RULE, found.where, found.what, enforced=True)
