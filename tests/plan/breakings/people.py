"""Breakings of hands, shifts and duties."""

from __future__ import annotations

from datetime import datetime

from scheduler.domain.recipes import Hands
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, PlannedVisit
from tests.plan.breakings.means import (
    Spot,
    breaking,
    move,
    night,
    spots,
    with_task,
    with_visit,
)


@breaking("hands")
def _one_pair_of_hands_too_few(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        for visit in task.visits:
            return with_visit(plan, task, visit, people=visit.people[1:])
    return None


@breaking("hands")
def _one_person_for_two(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        for visit in task.visits:
            if len(visit.people) > 1:
                twice = (visit.people[0],) * len(visit.people)
                return with_visit(plan, task, visit, people=twice)
    return None


@breaking("section-level")
def _a_trainee_for_a_cook(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            word = spot.word(visit)
            lines = word.hands if word else (spot.step.hands if spot.step else ())
            if lines and lines[0].level.value != "trainee":
                for person in scenario.kitchen.people:
                    if all(v.value == "trainee" for v in person.sections.values()):
                        crew = (person.id, *visit.people[1:])
                        return with_visit(plan, spot.task, visit, people=crew)
    return None


def _lines(spot: Spot, visit: PlannedVisit) -> tuple[Hands, ...]:
    word = spot.word(visit)
    return word.hands if word else (spot.step.hands if spot.step else ())


@breaking("named")
def _somebody_whom_nobody_named(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            for line in _lines(spot, visit)[:1]:
                others = [p.id for p in scenario.kitchen.people if p.id not in line.only]
                if line.only and others:
                    crew = (others[0], *visit.people[1:])
                    return with_visit(plan, spot.task, visit, people=crew)
    return None


@breaking("not-alone")
def _a_trainee_without_company(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            if any(line.not_alone for line in _lines(spot, visit)):
                return with_visit(plan, spot.task, visit, people=_trainees(scenario)[:1])
    return None


def _trainees(scenario: Scenario) -> tuple[str, ...]:
    people = scenario.kitchen.people
    return tuple(p.id for p in people if {v.value for v in p.sections.values()} == {"trainee"})


@breaking("law")
def _one_does_in_an_hour_what_takes_two_an_hour(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            if len(visit.people) > 1 and any(x.up_to for x in _lines(spot, visit)):
                return with_visit(plan, spot.task, visit, people=visit.people[:1])
            if visit.kind == "hands" and any((x.up_to or 1) > 1 for x in _lines(spot, visit)):
                grid = scenario.kitchen.grid
                half = visit.start + (visit.end - visit.start) // 2 // grid * grid
                short = visit.model_copy(update={"end": half})
                return with_task(plan, spot.task, law_end=half, end=half, visits=(short,))
    return None


@breaking("law")
def _a_trainee_as_quick_as_a_cook(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            lines = _lines(spot, visit)
            alone = visit.kind == "hands" and len(visit.people) == 1
            slow = set(visit.people) & set(_trainees(scenario))
            if alone and not slow and lines and lines[0].level.value == "trainee":
                crew = _trainees(scenario)[:1]
                return with_visit(plan, spot.task, visit, people=crew)
    return None


@breaking("may-use")
def _somebody_who_may_not(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        kinds = [scenario.units_of(n.equipment)[0][0] for n in spot.needs if n.equipment]
        words = {k.may_use for k in kinds if k.may_use}
        for visit in spot.task.visits:
            for person in scenario.kitchen.people:
                if words - set(person.may_use):
                    crew = (person.id, *visit.people[1:])
                    return with_visit(plan, spot.task, visit, people=crew)
    return None


@breaking("shift")
def _on_a_day_off(scenario: Scenario, plan: Plan) -> Plan | None:
    clock = scenario.clock
    for task in plan.tasks:
        for visit in task.visits:
            day = clock.local(visit.start).date()
            for person in scenario.kitchen.people:
                if day in person.off:
                    crew = (person.id, *visit.people[1:])
                    return with_visit(plan, task, visit, people=crew)
    return None


@breaking("shift")
def _long_after_hours(scenario: Scenario, plan: Plan) -> Plan | None:
    task = next((t for t in plan.tasks if t.visits), None)
    nights = (night(scenario, day) for day in scenario.clock.days(0))
    late = next((n for n in nights if task and n > task.end), None)
    return move(plan, late - task.start, task) if late is not None and task else None


@breaking("open-hours")
def _when_the_kitchen_is_shut(scenario: Scenario, plan: Plan) -> Plan | None:
    hours = scenario.kitchen.open
    task = max((t for t in plan.tasks if t.visits), key=lambda t: t.start, default=None)
    if hours is None or task is None:
        return None
    day = scenario.clock.local(task.start).date()
    opens = scenario.clock.span(day, hours)[0]
    return move(plan, opens - 60 - task.visits[0].start, task)


@breaking("one-place")
def _in_two_places(scenario: Scenario, plan: Plan) -> Plan | None:
    busy = [(t, v) for t in plan.tasks for v in t.visits if v.end > v.start]
    for one, mine in busy:
        for other, its in busy:
            if one is not other and set(mine.people) & set(its.people):
                return with_visit(plan, one, mine, start=its.start, end=its.end)
    return None


@breaking("one-place")
def _at_a_duty_as_well(scenario: Scenario, plan: Plan) -> Plan | None:
    for duty in plan.duties:
        for task in plan.tasks:
            for visit in task.visits:
                if duty.people and visit.end > visit.start:
                    crew = (duty.people[0], *visit.people[1:])
                    return with_visit(
                        plan, task, visit, people=crew, start=duty.start, end=duty.end
                    )
    return None


@breaking("alone")
def _alone_in_thenight(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        kinds = [scenario.units_of(n.equipment)[0][0] for n in spot.needs if n.equipment]
        words = [k.unattended.value for k in kinds]
        if (
            spot.step
            and not spot.step.hands
            and (spot.step.alone.value == "someone_on_shift" or "someone_on_shift" in words)
        ):
            day = scenario.clock.local(spot.task.start).date()
            dark = night(scenario, day)
            if dark > scenario.clock.minute(scenario.week.plan_from):
                return move(plan, dark - spot.task.start, spot.task)
    return None


@breaking("duty")
def _a_duty_forgotten(scenario: Scenario, plan: Plan) -> Plan | None:
    return plan.model_copy(update={"duties": plan.duties[1:]}) if plan.duties else None


@breaking("duty")
def _a_duty_at_another_hour(scenario: Scenario, plan: Plan) -> Plan | None:
    if not plan.duties:
        return None
    late = plan.duties[0].model_copy(
        update={"start": plan.duties[0].start + 60, "end": plan.duties[0].end + 60}
    )
    return plan.model_copy(update={"duties": (late, *plan.duties[1:])})


@breaking("hands")
def _a_duty_without_people(scenario: Scenario, plan: Plan) -> Plan | None:
    for duty in plan.duties:
        if duty.people:
            nobody = duty.model_copy(update={"people": ()})
            rest = tuple(nobody if d is duty else d for d in plan.duties)
            return plan.model_copy(update={"duties": rest})
    return None


@breaking("break")
def _no_break(scenario: Scenario, plan: Plan) -> Plan | None:
    return plan.model_copy(update={"breaks": plan.breaks[1:]}) if plan.breaks else None


@breaking("break")
def _half_a_break(scenario: Scenario, plan: Plan) -> Plan | None:
    for first, *rest in [plan.breaks] if plan.breaks else []:
        short = first.model_copy(update={"end": (first.start + first.end) // 2})
        return plan.model_copy(update={"breaks": (short, *rest)})
    return None


@breaking("break")
def _a_break_before_work(scenario: Scenario, plan: Plan) -> Plan | None:
    for first, *rest in [plan.breaks] if plan.breaks else []:
        length = first.end - first.start
        early = first.model_copy(update={"start": first.start - 600, "end": first.end - 600})
        assert early.end - early.start == length
        return plan.model_copy(update={"breaks": (early, *rest)})
    return None


@breaking("stepping-away")
def _away_as_soon_as_there(scenario: Scenario, plan: Plan) -> Plan | None:
    for duty in plan.duties:
        for task in plan.tasks:
            for visit in task.visits:
                if duty.people and visit.kind in ("load", "tend", "add"):
                    return with_visit(
                        plan, task, visit, people=duty.people, start=duty.start + 5,
                        end=duty.start + 10,
                    )  # fmt: skip
    return None


@breaking("stepping-away")
def _away_until_the_very_end(scenario: Scenario, plan: Plan) -> Plan | None:
    for duty in plan.duties:
        for task in plan.tasks:
            for visit in task.visits:
                if duty.people and visit.kind in ("load", "tend", "add"):
                    return with_visit(
                        plan, task, visit, people=duty.people, start=duty.end - 10, end=duty.end
                    )
    return None


@breaking("one-place")
def _away_for_longer_than_allowed(scenario: Scenario, plan: Plan) -> Plan | None:
    for duty in plan.duties:
        for task in plan.tasks:
            for visit in task.visits:
                if duty.people and visit.kind in ("load", "tend", "add"):
                    return with_visit(
                        plan, task, visit, people=duty.people, start=duty.start + 20,
                        end=duty.start + 50,
                    )  # fmt: skip
    return None


def _by(plan: Plan, person: str, start: int, end: int) -> Plan | None:
    """The first visit at another time, by somebody else."""
    for task in plan.tasks:
        for visit in task.visits:
            crew = (person, *visit.people[1:])
            return with_visit(plan, task, visit, start=start, end=end, people=crew)
    return None


def _minute(scenario: Scenario, text: str) -> int:
    return scenario.clock.minute(datetime.fromisoformat(text))


@breaking("rest")
def _half_an_hour_of_rest_too_little(scenario: Scenario, plan: Plan) -> Plan | None:
    """Fay is in until 20:00, so not before 08:00 on the next day."""
    start = _minute(scenario, "2026-03-03 07:45")
    return _by(plan, "fay", start, start + 30)


@breaking("young")
def _under_age_at_night(scenario: Scenario, plan: Plan) -> Plan | None:
    start = _minute(scenario, "2026-03-02 19:45")
    return _by(plan, "fay", start, start + 3 * 60)


@breaking("shift")
def _longer_than_anybody_may_stay(scenario: Scenario, plan: Plan) -> Plan | None:
    """Ben may stay for an hour, not for two."""
    start = _minute(scenario, "2026-03-02 14:30")
    return _by(plan, "ben", start, start + 2 * 60)


@breaking("barred")
def _under_age_at_the_slicer(scenario: Scenario, plan: Plan) -> Plan | None:
    """Fay is sixteen."""
    task = next(t for t in plan.tasks if t.step == "carve")
    return with_visit(plan, task, task.visits[0], people=("fay",))


@breaking("barred")
def _under_age_at_cleaning_the_mincer(scenario: Scenario, plan: Plan) -> Plan | None:
    first, *rest = plan.clean_downs
    done = first.model_copy(update={"people": ("fay",)})
    return plan.model_copy(update={"clean_downs": (done, *rest)})
