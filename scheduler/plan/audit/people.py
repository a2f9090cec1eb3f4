"""People: enough of them, of the right section and level, at work, and in one place."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE, Hands
from scheduler.plan.audit.brigade import able
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.pace import seated, trainees
from scheduler.plan.audit.stretches import inside, outside
from scheduler.plan.audit.taking import written

if TYPE_CHECKING:
    from scheduler.domain.recipes import Need
    from scheduler.plan.audit.brigade import Brigade
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedVisit


def check(facts: Facts, brigade: Brigade) -> None:
    """Rules of hands, shifts and places, for every visit and duty."""
    busy: dict[str, list[tuple[int, int, str]]] = defaultdict(list)
    for task in facts.plan.tasks:
        making = facts.makings.get(task.batch)
        stage = making.stage(task.step) if making else None
        for visit in task.visits:
            where = f"{task.id}, {visit.verb or visit.kind} {facts.at(visit.start)}"
            if making is not None and stage is not None:
                recipe = making.batch.component or making.batch.dish or ""
                _crew(facts, where, visit.people, *lines(facts, making, stage, visit), recipe)
            _there(facts, brigade, where, visit.people, visit.start, visit.end)
            for person in set(visit.people):
                busy[person].append((max(visit.start, facts.now), visit.end, task.id))
    for done in facts.plan.clean_downs:
        known = facts.scenario.unit.get(done.unit)
        if known is not None and known[0].clean_down is not None:
            touched = (known[0].may_use,) if known[0].may_use else ()
            _crew(facts, done.id, done.people, known[0].clean_down.hands, ANYONE, touched)
        _there(facts, brigade, done.id, done.people, done.start, done.end)
        for person in set(done.people):
            busy[person].append((done.start, done.end, done.id))
    planned = {d.id: d for d in facts.plan.duties}
    for duty, start, end, name in facts.occurrences:
        if name not in planned:
            continue
        people = planned[name].people
        crew: tuple[Hands, ...] = ()
        if duty.people:
            crew = (Hands(people=duty.people, section=duty.section, level=duty.level),)
        _crew(facts, name, people, crew, duty.section or ANYONE, ())
        _there(facts, brigade, name, people, start, end)
        for person in set(people):
            busy[person].append((start, end, name))
    for person, times in busy.items():
        _one_place(facts, person, sorted(times))


def lines(
    facts: Facts, making: Making, stage: Stage, visit: PlannedVisit
) -> tuple[tuple[Hands, ...], str, tuple[str, ...]]:
    """The hands a visit needs, its section, and what all of them must be allowed to use."""
    word = written(stage, visit)
    needs: tuple[Need, ...] = stage.needs + (word.on if word else ())
    kinds = [facts.units(n.equipment)[0][0] for n in needs if n.equipment]
    touched = tuple(dict.fromkeys(k.may_use for k in kinds if k.may_use))
    hands = stage.hands if visit.kind == "hands" else (word.hands if word else ())
    return hands, stage.section, touched


def _crew(
    facts: Facts,
    where: str,
    people: tuple[str, ...],
    hands: tuple[Hands, ...],
    section: str,
    touched: tuple[str, ...],
    recipe: str = "",
) -> None:
    needed = sum(h.people for h in hands)
    most = sum(h.up_to or h.people for h in hands)
    if not needed <= len(people) <= most:
        asked = f"{needed}" if needed == most else f"{needed} to {most}"
        facts.broken("hands", where, f"has {len(people)} people, needs {asked}")
    if len(set(people)) != len(people):
        facts.broken("hands", where, f"counts somebody twice: {', '.join(people)}")
    learning = trainees(facts.scenario, hands, section, people)
    if any(h.not_alone for h in hands) and learning and all(learning):
        facts.broken("not-alone", where, f"nobody above a trainee is with {', '.join(people)}")
    for line, mine in seated(hands, people):
        for name in mine:
            person = facts.scenario.person.get(name)
            if person is None:
                continue
            if not able(person, line, section):
                wanted = line.section or section
                facts.house(
                    "section-level",
                    where,
                    f"{name} is not {wanted} at the level of {line.level.value} or above",
                    person=name,
                    component=recipe,
                )
            if line.only and name not in line.only:
                facts.broken("named", where, f"{name} is none of {', '.join(line.only)}")
            lacking = [w for w in (*line.may_use, *touched) if w not in person.may_use]
            if lacking:
                facts.broken("may-use", where, f"{name} may not use {', '.join(lacking)}")


def _there(
    facts: Facts, brigade: Brigade, where: str, people: tuple[str, ...], start: int, end: int
) -> None:
    start = max(start, facts.now)
    if end <= start or not people:
        return
    for name in people:
        if name in brigade.at_work and not inside(brigade.at_work[name], start, end):
            gone = outside(brigade.at_work[name], start, end) or (start, end)
            facts.broken("shift", where, f"{name} is not at work {facts.span(*gone)}")
    if brigade.open is not None and not inside(brigade.open, start, end):
        shut = outside(brigade.open, start, end) or (start, end)
        day = facts.scenario.clock.local(shut[0]).date()
        facts.house("open-hours", where, f"the kitchen is shut {facts.span(*shut)}", day=day)


def _one_place(facts: Facts, person: str, times: list[tuple[int, int, str]]) -> None:
    last: tuple[int, int, str] | None = None
    for start, end, what in times:
        if start >= end:
            continue
        if last is not None and start < last[1]:
            both = min(end, last[1])
            facts.broken(
                "one-place",
                person,
                f"is at {last[2]} and at {what} {facts.span(start, both)} "
                f"({lasting(both - start)})",
            )
        if last is None or end > last[1]:
            last = (start, end, what)
