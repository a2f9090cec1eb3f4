"""Breakings of waits, holds and stores."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, PlannedHold
from tests.plan.breakings.means import breaking, chains, kept, move, of_batch, with_hold


@breaking("ready")
def _before_the_step_before(scenario: Scenario, plan: Plan) -> Plan | None:
    for one, other in chains(scenario, plan):
        return move(plan, one.task.end - scenario.kitchen.grid - other.task.start, other.task)
    return None


@breaking("ready")
def _used_before_it_is_ready(scenario: Scenario, plan: Plan) -> Plan | None:
    for share in plan.shares:
        source = of_batch(plan, share.source)
        users = [t for t in of_batch(plan, share.consumer) if t.step == share.step]
        if source and users:
            last = max(t.end for t in source)
            return move(plan, users[0].start + 60 - last, *source)
    return None


@breaking("at-once")
def _dawdling(scenario: Scenario, plan: Plan) -> Plan | None:
    for one, other in chains(scenario, plan):
        if one.step and one.step.then is None:
            return move(plan, scenario.kitchen.grid, other.task)
    return None


@breaking("not-before")
def _too_young(scenario: Scenario, plan: Plan) -> Plan | None:
    for one, other in chains(scenario, plan):
        if one.step and one.step.then and one.step.then.not_before > 0:
            return move(plan, one.task.end - other.task.start, other.task)
    return None


@breaking("not-before")
def _used_too_young(scenario: Scenario, plan: Plan) -> Plan | None:
    for _, keep, source, user in kept(scenario, plan):
        if keep.not_before > 0:
            return move(plan, user.start - max(t.end for t in source), *source)
    return None


@breaking("wait-limit")
def _waits_too_long(scenario: Scenario, plan: Plan) -> Plan | None:
    for one, other in chains(scenario, plan):
        if one.step and one.step.then:
            late = one.task.end + one.step.then.at_most + scenario.kitchen.grid
            return move(plan, late - other.task.start, other.task)
    return None


@breaking("hold-limit")
def _kept_too_long(scenario: Scenario, plan: Plan) -> Plan | None:
    for _, keep, source, user in kept(scenario, plan):
        ready = user.start - keep.at_most - scenario.kitchen.grid
        return move(plan, ready - max(t.end for t in source), *source)
    return None


@breaking("hold-limit")
def _stock_kept_too_long(scenario: Scenario, plan: Plan) -> Plan | None:
    lots = {lot.id: lot for lot in scenario.week.on_hand}
    for share in plan.shares:
        users = [t for t in of_batch(plan, share.consumer) if t.step == share.step]
        if share.source in lots and users:
            lot = lots[share.source]
            most = scenario.component[lot.component].keeps[0].at_most
            past = scenario.clock.minute(lot.made) + most + scenario.kitchen.grid
            return move(plan, past - users[0].start, users[0])
    return None


@breaking("within")
def _not_fresh_enough(scenario: Scenario, plan: Plan) -> Plan | None:
    dishes = {b.id: scenario.dish[b.dish] for b in plan.batches if b.dish}
    of = {b.id: b.component for b in plan.batches}
    for share, _, source, user in kept(scenario, plan):
        dish = dishes.get(share.consumer)
        for take in dish.takes if dish and share.step == "plating" else ():
            if take.component == of[share.source] and take.within is not None:
                ready = user.start - take.within - scenario.kitchen.grid
                return move(plan, ready - max(t.end for t in source), *source)
    return None


@breaking("holds")
def _a_hold_forgotten(scenario: Scenario, plan: Plan) -> Plan | None:
    for hold in plan.holds:
        if hold.end > hold.start:
            rest = tuple(h for h in plan.holds if h is not hold)
            return plan.model_copy(update={"holds": rest})
    return None


@breaking("holds")
def _a_hold_too_short(scenario: Scenario, plan: Plan) -> Plan | None:
    for hold in plan.holds:
        if hold.end - hold.start > 2 * scenario.kitchen.grid:
            return with_hold(plan, hold, end=hold.end - scenario.kitchen.grid)
    return None


@breaking("holds")
def _a_hold_of_nothing(scenario: Scenario, plan: Plan) -> Plan | None:
    source = plan.batches[0].id
    ghost = PlannedHold(kind="leftover", source=source, quantity="1 kg", start=0, end=60)
    return plan.model_copy(update={"holds": (*plan.holds, ghost)})


def _standing(scenario: Scenario, plan: Plan) -> PlannedHold | None:
    """A hold on shelves that is longer than a transfer."""
    return next(
        (
            h
            for h in plan.holds
            if h.store and h.end - h.start > scenario.kitchen.transfer and h.end - h.start > 0
        ),
        None,
    )


@breaking("store-zone")
def _in_the_wrong_place(scenario: Scenario, plan: Plan) -> Plan | None:
    hold = _standing(scenario, plan)
    for store in scenario.kitchen.stores:
        if hold and store.zone != scenario.store[hold.store or ""].zone:
            return with_hold(plan, hold, store=store.id)
    return None


@breaking("store-zone")
def _left_at_the_bench(scenario: Scenario, plan: Plan) -> Plan | None:
    hold = _standing(scenario, plan)
    return with_hold(plan, hold, store=None, shelves=0) if hold else None


@breaking("shelves")
def _one_shelf_too_few(scenario: Scenario, plan: Plan) -> Plan | None:
    hold = _standing(scenario, plan)
    return with_hold(plan, hold, shelves=hold.shelves - 1) if hold else None


@breaking("store-full")
def _a_full_store(scenario: Scenario, plan: Plan) -> Plan | None:
    hold = _standing(scenario, plan)
    return with_hold(plan, hold, shelves=1000) if hold else None
