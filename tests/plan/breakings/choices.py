"""Breakings of methods and of what is bought in."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Order, Plan, PlannedBatch
from tests.plan.breakings.means import DAY, breaking, move, of_batch, with_batch


def bought(plan: Plan) -> Iterator[tuple[PlannedBatch, Order]]:
    """Everything that is bought in."""
    for batch in plan.batches:
        if batch.bought is not None:
            yield batch, batch.bought


@breaking("bought")
def _comes_before_it_can_be_ordered(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch, order in bought(plan):
        early = with_batch(
            plan, batch.id, bought=order.model_copy(update={"order_by": order.order_by - 2 * DAY})
        )
        return move(early, -2 * DAY, *of_batch(early, batch.id))
    return None


@breaking("bought")
def _comes_in_the_afternoon(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch, _ in bought(plan):
        return move(plan, 6 * 60, *of_batch(plan, batch.id))
    return None


@breaking("bought")
def _ordered_after_the_last_moment(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch, order in bought(plan):
        late = order.model_copy(update={"order_by": order.order_by + 60})
        return with_batch(plan, batch.id, bought=late)
    return None


@breaking("bought")
def _a_pack_too_many(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch, order in bought(plan):
        each = order.price // order.packs
        more = order.model_copy(
            update={"packs": order.packs + 1, "price": order.price + each}
        )
        return with_batch(plan, batch.id, bought=more)
    return None


@breaking("bought")
def _for_nothing(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch, order in bought(plan):
        return with_batch(plan, batch.id, bought=order.model_copy(update={"price": 0}))
    return None


@breaking("terms")
def _spent_and_not_counted(scenario: Scenario, plan: Plan) -> Plan | None:
    for _ in bought(plan):
        return plan.model_copy(update={"terms": plan.terms.model_copy(update={"money": 0})})
    return None


@breaking("known")
def _by_a_method_nobody_knows(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        if batch.component:
            return with_batch(plan, batch.id, method="somehow", bought=None)
    return None


@breaking("steps")
def _the_steps_of_another_method(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        recipe = scenario.component.get(batch.component or "")
        if recipe is not None and recipe.methods:
            return with_batch(plan, batch.id, method=recipe.methods[0].id, bought=None)
    return None
