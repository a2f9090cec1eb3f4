"""Breakings of visits."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan
from tests.plan.breakings.means import DAY, breaking, spots, with_task, with_visit


@breaking("visits")
def _nobody_loads_it(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        for visit in task.visits:
            if visit.kind in ("load", "unload", "hands"):
                rest = tuple(v for v in task.visits if v is not visit)
                return with_task(plan, task, visits=rest)
    return None


@breaking("visits")
def _visit_outside_its_step(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        for visit in task.visits:
            if visit.kind in ("tend", "add"):
                lasts = visit.end - visit.start
                return with_visit(plan, task, visit, start=task.law_end, end=task.law_end + lasts)
    return None


@breaking("visit-length")
def _a_visit_of_a_day(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            if spot.word(visit) is not None:
                return with_visit(plan, spot.task, visit, end=visit.end + DAY)
    return None


@breaking("visits-apart")
def _two_visits_at_once(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        inside = [v for v in task.visits if v.kind in ("tend", "add")]
        if len(inside) > 1:
            one, other = inside[:2]
            return with_visit(plan, task, other, start=one.start, end=one.end)
    return None


@breaking("tending")
def _a_visit_left_out(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        tends = [v for v in spot.task.visits if v.kind == "tend"]
        if tends and spot.step and spot.step.tend[0].every:
            rest = tuple(v for v in spot.task.visits if v not in tends)
            return with_task(plan, spot.task, visits=rest)
    return None


@breaking("tending")
def _a_visit_too_soon(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            if visit.kind == "tend" and spot.step and spot.step.tend[0].every:
                lasts, start = visit.end - visit.start, spot.task.law_start
                return with_visit(plan, spot.task, visit, start=start, end=start + lasts)
    return None


@breaking("day-parts")
def _an_evening_forgotten(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        tends = [v for v in spot.task.visits if v.kind == "tend"]
        if tends and spot.step and spot.step.tend[0].every is None:
            rest = tuple(v for v in spot.task.visits if v is not tends[-1])
            return with_task(plan, spot.task, visits=rest)
    return None


@breaking("adding")
def _added_hours_late(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            if visit.kind == "add":
                return with_visit(
                    plan, spot.task, visit, start=visit.start + 360, end=visit.end + 360
                )
    return None
