"""Breakings of the rules of food."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan
from tests.plan.breakings.means import breaking, kept, spots, with_batch, with_hold, with_task


@breaking("exposure")
def _left_out_of_the_cold(scenario: Scenario, plan: Plan) -> Plan | None:
    for share, keep, _, _ in kept(scenario, plan):
        component = next(b.component for b in plan.batches if b.id == share.source)
        if keep.zone != "chilled" or scenario.component[component or ""].food_class != "ready":
            continue
        for hold in plan.holds:
            if hold.source == share.source and hold.kind == "share" and hold.end > hold.start + 240:
                return with_hold(plan, hold, store=None, shelves=0)
    return None


@breaking("reheat")
def _on_the_fire_all_afternoon(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if spot.step is not None and spot.step.id == "heat":
            later = spot.task.law_start + 2 * 60
            return with_task(plan, spot.task, law_end=later, end=later)
    return None


@breaking("core")
def _by_the_lukewarm_method(scenario: Scenario, plan: Plan) -> Plan | None:
    return with_batch(plan, "foam.1", method="lukewarm")


@breaking("ph")
def _pickled_by_taste(scenario: Scenario, plan: Plan) -> Plan | None:
    return with_batch(plan, "pickles.1", method="by-taste")


@breaking("parasites")
def _out_of_the_freezer_in_the_morning(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if spot.step is not None and spot.step.id == "freeze":
            sooner = spot.task.law_end - 10 * 60
            return with_task(plan, spot.task, law_end=sooner, end=sooner)
    return None
