"""People: enough of them, of the right section and level, at work, and in one place."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE, Hands
from scheduler.plan.audit import leaving
from scheduler.plan.audit.brigade import able
from scheduler.plan.audit.duties import Part, parts
from scheduler.plan.audit.leaving import Spell, drawn_out
from scheduler.plan.audit.pace import seated, trainees
from scheduler.plan.audit.steps import law_of, started
from scheduler.plan.audit.stretches import inside, merged, outside
from scheduler.plan.audit.taking import written

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Duty
    from scheduler.domain.recipes import Need
    from scheduler.plan.audit.brigade import Brigade
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedVisit


def check(facts: Facts, brigade: Brigade) -> None:
    """Rules of hands, shifts and places, for every visit and duty."""
    days: dict[str, list[Spell]] = defaultdict(list)
    for task in facts.plan.tasks:
        making = facts.makings.get(task.batch)
        stage = making.stage(task.step) if making else None
        for visit in task.visits:
            where = f"{task.id}, {visit.verb or visit.kind} {facts.at(visit.start)}"
            if making is not None and stage is not None:
                recipe = making.batch.component or making.batch.dish or ""
                _crew(facts, where, visit.people, *lines(facts, making, stage, visit), recipe)
            leave, work, begun = None, 0, 0
            if visit.kind == "hands" and making and stage:
                leave, work = stage.leave, law_of(facts, making, stage, task).least
                if making.running(stage):
                    begun = max(0, facts.now - started(facts, making))
                    work -= begun
            spell = Spell(
                max(visit.start, facts.now), visit.end, task.id, leave, work, begun=begun
            )
            _at_it(facts, brigade, days, where, visit.people, spell)
    for done in facts.plan.clean_downs:
        known = facts.scenario.unit.get(done.unit)
        if known is not None and known[0].clean_down is not None:
            touched = (known[0].may_use,) if known[0].may_use else ()
            _crew(facts, done.id, done.people, known[0].clean_down.hands, ANYONE, touched)
        spell = Spell(done.start, done.end, done.id)
        _at_it(facts, brigade, days, done.id, done.people, spell)
    for one in facts.occurrences:
        for part in parts(facts, one):
            _duty(facts, brigade, days, one[0], part)
    for pause in facts.plan.breaks:
        days[pause.person].append(Spell(pause.start, pause.end, pause.id, pause=True))
    leaving.check(facts, days)


def _duty(
    facts: Facts, brigade: Brigade, days: dict[str, list[Spell]], duty: Duty, part: Part
) -> None:
    """A standing duty's people: as many as it takes, in the middle of a week as many as there are.
    """
    name, people = part.planned.id, part.planned.people
    count, past = duty.people, facts.plan.past
    if past is not None and len(people) < count:
        idle = [] if name in {d.id for d in past.duties} else _idle(facts, brigade, duty, part)
        if idle:
            could = " and ".join(sorted(idle))
            facts.broken(
                "hands", name, f"has {len(people)} people, needs {count}; {could} could do it"
            )
        count = len(people)
    crew: tuple[Hands, ...] = ()
    if count:
        crew = (Hands(people=count, section=duty.section, level=duty.level),)
    _crew(facts, name, people, crew, duty.section or ANYONE, ())
    leave = duty.may_leave
    work = part.end - part.start - drawn_out(facts.scenario, leave, count)
    begun, beyond = part.unseen(facts.scenario, duty)
    spell = Spell(part.start, part.end, name, leave, work, begun=begun, beyond=beyond)
    _at_it(facts, brigade, days, name, people, spell)


def _idle(facts: Facts, brigade: Brigade, duty: Duty, part: Part) -> set[str]:
    """Who may do a duty, is there all through it and has nothing else to do then, no break either,
    and was not in the middle of something that cannot go on.

    Nobody who has a break that moves or is not of age: whether they could is not that plain.
    """
    plan, start, end = facts.plan, part.start, part.end
    past = plan.past.tasks if plan.past else ()
    at_something = {
        person
        for people, a, z in (
            *((v.people, v.start, v.end) for t in (*plan.tasks, *past) for v in t.visits),
            *((d.people, d.start, d.end) for d in plan.duties),
            *((c.people, c.start, c.end) for c in plan.clean_downs),
        )
        if a < end and z > start
        for person in people
    } | {pause.person for pause in plan.breaks}
    kinds = [facts.units(one.equipment)[0][0] for one in duty.equipment]
    asked, line = {k.may_use for k in kinds if k.may_use}, Hands(level=duty.level)
    return {
        p.id
        for p in facts.scenario.kitchen.people
        if p.id not in at_something
        and p.born is None
        and able(p, line, duty.section or ANYONE)
        and asked <= set(p.may_use)
        and inside(brigade.free(p.id), start, end)
    }


def _at_it(
    facts: Facts,
    brigade: Brigade,
    days: dict[str, list[Spell]],
    where: str,
    people: tuple[str, ...],
    spell: Spell,
) -> None:
    """They are there for it; a job that may pause over breaks is left for the fixed ones in it."""
    over = spell.leave is not None and spell.leave.breaks
    _there(facts, brigade, where, people, spell.start, spell.end, over)
    for person in set(people):
        days[person].append(spell)
        for start, end in brigade.breaks.get(person, ()) if over else ():
            if start < spell.end and end > spell.start:
                rest = Spell(start, end, f"the break of {person}", pause=True)
                if rest not in days[person]:
                    days[person].append(rest)


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
    facts: Facts,
    brigade: Brigade,
    where: str,
    people: tuple[str, ...],
    start: int,
    end: int,
    over: bool = False,
) -> None:
    """In their shifts; outside fixed breaks, unless it may pause `over` them."""
    start = max(start, facts.now)
    if end <= start or not people:
        return
    for name in people:
        there = brigade.may_work.get(name)
        if there is not None and over:
            there = merged([*there, *brigade.breaks[name]])
        if there is not None and not inside(there, start, end):
            gone = outside(there, start, end) or (start, end)
            facts.broken(
                "shift", where, f"{name} is not at work {facts.span(*gone)}", gone[1] - gone[0]
            )
    if brigade.open is not None and not inside(brigade.open, start, end):
        shut = outside(brigade.open, start, end) or (start, end)
        day = facts.scenario.clock.local(shut[0]).date()
        facts.house("open-hours", where, f"the kitchen is shut {facts.span(*shut)}", day=day)
