"""Breakings of deliveries and service."""

from __future__ import annotations

from scheduler.domain.recipes import Dish
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan
from tests.plan.breakings.means import breaking, move, spots


@breaking("delivery")
def _before_it_arrives(scenario: Scenario, plan: Plan) -> Plan | None:
    gated = {d.ingredient for d in scenario.week.deliveries}
    for spot in spots(scenario, plan):
        for take in spot.step.takes if spot.step else ():
            if take.ingredient in gated:
                early = min(
                    scenario.clock.minute(d.at)
                    for d in scenario.week.deliveries
                    if d.ingredient == take.ingredient
                )
                return move(plan, early - scenario.kitchen.grid - spot.task.start, spot.task)
    return None


@breaking("first-plate")
def _late_for_service(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if isinstance(spot.recipe, Dish) and spot.step is None and not spot.recipe.keeps:
            return move(plan, scenario.kitchen.grid, spot.task)
    return None


@breaking("first-plate")
def _still_plating_at_service(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if isinstance(spot.recipe, Dish) and spot.step is None and spot.recipe.keeps:
            return move(plan, spot.recipe.keeps.at_most, spot.task)
    return None


@breaking("plated-hold")
def _plated_far_too_early(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if isinstance(spot.recipe, Dish) and spot.step is None and spot.recipe.keeps:
            return move(plan, -spot.recipe.keeps.at_most, spot.task)
    return None


@breaking("diet")
def _roast_on_plates_that_must_be_free_of_mustard(scenario: Scenario, plan: Plan) -> Plan | None:
    apart = {b.id for b in plan.batches if b.diet}
    roast = next(b.id for b in plan.batches if b.component == "roast")
    shares = tuple(
        s.model_copy(update={"source": roast}) if s.consumer in apart else s for s in plan.shares
    )
    return plan.model_copy(update={"shares": shares})


@breaking("diets-first")
def _diets_last(scenario: Scenario, plan: Plan) -> Plan | None:
    apart = {b.id: b for b in plan.batches if b.diet}
    for task in plan.tasks:
        if task.batch in apart and task.step == "plating":
            mine = apart[task.batch]
            others = [
                b.id
                for b in plan.batches
                if not b.diet and (b.event, b.course) == (mine.event, mine.course)
            ]
            normal = [t for t in plan.tasks if t.batch in others and t.step == "plating"]
            if normal:
                return move(plan, normal[0].start - task.start, task)
    return None
