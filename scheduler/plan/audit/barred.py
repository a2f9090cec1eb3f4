"""What people under age may not do: the hazards of what they are given, by the day it begins."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.profiles import profile_of
from scheduler.plan.audit.duties import parts
from scheduler.plan.audit.presence import younger
from scheduler.plan.audit.taking import written

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from scheduler.domain.duties import EquipmentTaken
    from scheduler.domain.jurisdiction import Profile
    from scheduler.domain.kitchen import Person
    from scheduler.domain.recipes import Need
    from scheduler.plan.audit.facts import Facts

Given = tuple[str, tuple[str, ...], int, int, frozenset[str]]
"""Where, who, from, to, hazards."""


def check(facts: Facts) -> None:
    """Rule `barred`; hard whatever the evidence, as everything about people under age."""
    profile = profile_of(facts.scenario.kitchen)
    if profile is None or profile.of_age is None or not profile.barred:
        return
    for where, people, start, end, met in _given(facts):
        if not met or end <= facts.now:
            continue
        day = facts.scenario.clock.local(max(start, facts.now)).date()
        for name in dict.fromkeys(people):
            person = facts.scenario.person.get(name)
            if person is not None and younger(person, profile.of_age.value, day):
                _held_against(facts, profile, where, person, met)


def _held_against(
    facts: Facts, profile: Profile, where: str, person: Person, met: frozenset[str]
) -> None:
    for one in profile.barred:
        found = [h for h in one.hazards if h in met]
        if found and profile.of_age is not None:
            facts.broken(
                "barred",
                where,
                f"{person.id} is under {profile.of_age.value} and barred from "
                f"{' and '.join(found)} ({one.source})",
            )


def _given(facts: Facts) -> Iterator[Given]:
    """Everything somebody does, with the hazards of it."""
    for task in facts.plan.tasks:
        making = facts.makings.get(task.batch)
        stage = making.stage(task.step) if making else None
        if stage is None:
            continue
        own = frozenset(stage.step.hazards if stage.step else ())
        for visit in task.visits:
            word = written(stage, visit)
            needs = (*stage.needs, *(word.on if word else ()))
            where = f"{task.id}, {visit.verb or visit.kind} {facts.at(visit.start)}"
            yield where, visit.people, visit.start, visit.end, own | _of(facts, needs)
    for done in facts.plan.clean_downs:
        known = facts.scenario.unit.get(done.unit)
        if known is not None:
            yield done.id, done.people, done.start, done.end, frozenset(known[0].hazards)
    for one in facts.occurrences:
        for part in parts(facts, one):
            touched = _of(facts, one[0].equipment)
            yield part.planned.id, part.planned.people, part.start, part.end, touched


def _of(facts: Facts, needs: Iterable[Need | EquipmentTaken]) -> frozenset[str]:
    return frozenset(
        h for need in needs if need.equipment for h in facts.units(need.equipment)[0][0].hazards
    )
