"""Breakings of quantities, batches and shares."""

from __future__ import annotations

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan
from tests.plan.breakings.means import breaking, times, with_batch, with_share


@breaking("menu")
def _a_portion_too_few(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        if batch.dish:
            fewer = Quantity.of(batch.quantity.base - 1, Dimension.COUNT)
            return with_batch(plan, batch.id, quantity=fewer, good=fewer)
    return None


@breaking("menu")
def _a_dish_forgotten(scenario: Scenario, plan: Plan) -> Plan | None:
    name = next((b.id for b in plan.batches if b.dish), None)
    return plan.model_copy(
        update={
            "batches": tuple(b for b in plan.batches if b.id != name),
            "tasks": tuple(t for t in plan.tasks if t.batch != name),
            "shares": tuple(s for s in plan.shares if s.consumer != name),
        }
    )


@breaking("measure")
def _pieces_for_grams(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        of = scenario.component.get(batch.component or "")
        if of and not of.piece_weight and batch.quantity.dimension is not Dimension.COUNT:
            return with_batch(plan, batch.id, quantity=Quantity.of(3, Dimension.COUNT))
    return None


@breaking("batch-size")
def _a_batch_larger_than_any_pot(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        of = scenario.component.get(batch.component or "")
        if of and of.batch.most and not batch.in_progress:
            return with_batch(plan, batch.id, quantity=times(batch.quantity, 1000))
    return None


@breaking("batch-size")
def _a_batch_smaller_than_it_is_made(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        of = scenario.component.get(batch.component or "")
        if of and of.batch.least and not batch.in_progress:
            return with_batch(plan, batch.id, quantity=Quantity.of(1, batch.quantity.dimension))
    return None


@breaking("losses")
def _more_than_is_left(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        if batch.component:
            return with_batch(plan, batch.id, good=times(batch.good, 2))
    return None


@breaking("shares")
def _a_share_forgotten(scenario: Scenario, plan: Plan) -> Plan | None:
    return with_share(plan, plan.shares[0]) if plan.shares else None


@breaking("shares")
def _half_a_share(scenario: Scenario, plan: Plan) -> Plan | None:
    for share in plan.shares:
        half = Quantity.of(share.quantity.base / 2, share.quantity.dimension)
        return with_share(plan, share, share.model_copy(update={"quantity": half}))
    return None


@breaking("given")
def _more_given_than_there_is(scenario: Scenario, plan: Plan) -> Plan | None:
    for share in plan.shares:
        much = share.model_copy(update={"quantity": times(share.quantity, 100)})
        return with_share(plan, share, much)
    return None


@breaking("reserved")
def _reserved_goods_for_another_event(scenario: Scenario, plan: Plan) -> Plan | None:
    kept = {x.id: x.reserved_for for x in scenario.week.on_hand}
    kept |= {x.id: x.reserved_for for x in scenario.week.in_progress}
    for share in plan.shares:
        mine = kept.get(share.source)
        others = [b.id for b in plan.batches if b.event and b.event != mine]
        if mine and others:
            return with_share(plan, share, share.model_copy(update={"consumer": others[0]}))
    return None


@breaking("mixing")
def _two_lots_in_one_bowl(scenario: Scenario, plan: Plan) -> Plan | None:
    of = {b.id: b.component for b in plan.batches}
    of |= {lot.id: lot.component for lot in scenario.week.on_hand}
    for share in plan.shares:
        name = of[share.source] or ""
        others = [s for s, c in of.items() if c == name and s != share.source]
        if name and not scenario.component[name].mixing and others:
            half = Quantity.of(share.quantity.base / 2, share.quantity.dimension)
            one = share.model_copy(update={"quantity": half})
            return with_share(plan, share, one, one.model_copy(update={"source": others[0]}))
    return None


@breaking("begun")
def _begun_as_if_new(scenario: Scenario, plan: Plan) -> Plan | None:
    name = next((b.id for b in plan.batches if b.in_progress), None)
    return with_batch(plan, name, in_progress=False) if name else None


@breaking("begun")
def _begun_forgotten(scenario: Scenario, plan: Plan) -> Plan | None:
    name = next((b.id for b in plan.batches if b.in_progress), None)
    if name is None:
        return None
    return plan.model_copy(
        update={
            "batches": tuple(b for b in plan.batches if b.id != name),
            "tasks": tuple(t for t in plan.tasks if t.batch != name),
        }
    )
