"""Breakings of equipment, containers and ovens."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.recipes import Need
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, Taken
from tests.plan.breakings.means import (
    Spot,
    breaking,
    spots,
    times,
    with_clean_down,
    with_hold,
    with_taken,
    with_task,
)


def _needing(
    scenario: Scenario, plan: Plan, until: bool = False, in_machine: bool = False
) -> Iterator[tuple[Spot, Need, Taken]]:
    """Things taken by tasks, with the need they are for."""
    for spot in spots(scenario, plan):
        waits = bool(spot.step and spot.step.then and spot.step.then.in_machine)
        for taken in spot.task.taken:
            if 0 <= taken.need < len(spot.needs):
                need = spot.needs[taken.need]
                if (need.until is not None, waits) == (until, in_machine):
                    yield spot, need, taken


@breaking("equipment")
def _without_its_machine(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, _, taken in _needing(scenario, plan):
        if not spot.begun:
            rest = tuple(t for t in spot.task.taken if t is not taken)
            return with_task(plan, spot.task, taken=rest)
    return None


@breaking("equipment")
def _given_back_too_soon(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, _, taken in _needing(scenario, plan):
        return with_taken(plan, spot.task, taken, end=taken.end - scenario.kitchen.grid)
    return None


@breaking("equipment")
def _a_machine_of_another_kind(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, need, taken in _needing(scenario, plan):
        mine = {u.id for _, u in scenario.units_of(need.equipment)} if need.equipment else set()
        others = [u for u in scenario.unit if u not in mine]
        if mine and others:
            return with_taken(plan, spot.task, taken, unit=others[0])
    return None


@breaking("container")
def _emptied_too_soon(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, _, taken in _needing(scenario, plan, until=True):
        return with_taken(plan, spot.task, taken, end=taken.end - scenario.kitchen.grid)
    return None


@breaking("in-machine")
def _taken_out_of_its_machine(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, _, taken in _needing(scenario, plan, in_machine=True):
        return with_taken(plan, spot.task, taken, end=taken.end - scenario.kitchen.grid)
    return None


@breaking("fill")
def _a_load_too_large(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, _, taken in _needing(scenario, plan):
        unit = scenario.unit.get(taken.unit or "")
        if unit and unit[1].fill:
            return with_task(plan, spot.task, quantity=times(spot.task.quantity, 1000))
    return None


@breaking("equipment-full")
def _more_than_it_has_places(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, _, taken in _needing(scenario, plan):
        if taken.unit and not scenario.unit[taken.unit][1].fill and taken.end > taken.start:
            return with_taken(plan, spot.task, taken, amount=1000)
    return None


@breaking("equipment-full")
def _two_in_one(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, _, taken in _needing(scenario, plan):
        kind, unit = scenario.unit.get(taken.unit or "", (None, None))
        if kind and unit and unit.capacity == 1 and taken.end > taken.start and not spot.begun:
            return with_task(plan, spot.task, taken=(*spot.task.taken, taken))
    return None


def _fired(scenario: Scenario, plan: Plan) -> list[tuple[Spot, Taken]]:
    return [
        (s, t)
        for until in (False, True)
        for machine in (False, True)
        for s, n, t in _needing(scenario, plan, until, machine)
        if n.setting and t.celsius is not None and t.end > t.start
    ]


@breaking("oven-setting")
def _too_hot(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, taken in _fired(scenario, plan):
        setting = spot.needs[taken.need].setting
        return with_taken(plan, spot.task, taken, celsius=setting.hottest + 1 if setting else 0)
    return None


@breaking("oven-setting")
def _not_switched_on(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot, taken in _fired(scenario, plan):
        return with_taken(plan, spot.task, taken, celsius=None, mode=None)
    return None


@breaking("oven-shared")
def _two_temperatures_at_once(scenario: Scenario, plan: Plan) -> Plan | None:
    uses = _fired(scenario, plan)
    for one, mine in uses:
        for other, its in uses:
            if one.task is not other.task and mine.celsius != its.celsius:
                return with_taken(plan, one.task, mine, unit=its.unit, start=its.start, end=its.end)
    return None


@breaking("oven-heat-up")
def _no_time_to_heat_up(scenario: Scenario, plan: Plan) -> Plan | None:
    uses = _fired(scenario, plan)
    for one, mine in uses:
        for other, its in uses:
            if one.task is not other.task and mine.celsius != its.celsius:
                lasts = mine.end - mine.start
                return with_taken(
                    plan, one.task, mine, unit=its.unit, start=its.end, end=its.end + lasts
                )
    return None


@breaking("door-shut")
def _taken_out_while_the_door_is_shut(scenario: Scenario, plan: Plan) -> Plan | None:
    uses = [(s, n, t) for s, n, t in _needing(scenario, plan) if t.unit and t.end > t.start]
    for one, need, mine in uses:
        for other, _, its in uses:
            if one.task is not other.task and need.door_shut:
                inside = mine.end - scenario.kitchen.grid
                return with_taken(plan, other.task, its, unit=mine.unit, end=inside,
                                  start=mine.start)  # fmt: skip
    return None


@breaking("trays")
def _trays_that_do_not_go_together(scenario: Scenario, plan: Plan) -> Plan | None:
    uses = [
        (s, n, t)
        for machine in (False, True)
        for s, n, t in _needing(scenario, plan, in_machine=machine)
        if n.tray and t.end > t.start
    ]
    for one, need, mine in uses:
        for _, theirs, its in uses:
            if need.tray != theirs.tray:
                return with_taken(plan, one.task, mine, unit=its.unit, start=its.start, end=its.end)
    return None


@breaking("beside")
def _beside_what_it_must_keep_away_from(scenario: Scenario, plan: Plan) -> Plan | None:
    of = {b.id: b.component for b in plan.batches} | {
        lot.id: lot.component for lot in scenario.week.on_hand
    }
    holds = [h for h in plan.holds if h.store and of.get(h.source)]
    for one in holds:
        for other in holds:
            if of[other.source] in scenario.component[of[one.source] or ""].not_beside:
                start = min(one.start, other.start)
                bad = {"store": one.store, "start": start, "end": max(one.end, other.end)}
                return with_hold(plan, other, **bad)
    return None


@breaking("clean-down")
def _not_cleaned(scenario: Scenario, plan: Plan) -> Plan | None:
    return plan.model_copy(update={"clean_downs": plan.clean_downs[1:]})


@breaking("clean-down")
def _cleaned_too_late(scenario: Scenario, plan: Plan) -> Plan | None:
    return with_clean_down(plan, start=5, end=5)


@breaking("clean-down")
def _cleaned_too_fast(scenario: Scenario, plan: Plan) -> Plan | None:
    return with_clean_down(plan, end=-scenario.kitchen.grid)


@breaking("clean-down")
def _cleaned_for_nothing(scenario: Scenario, plan: Plan) -> Plan | None:
    first = plan.clean_downs[0]
    more = first.model_copy(update={"id": "clean-down/again", "before": first.after})
    return plan.model_copy(update={"clean_downs": (*plan.clean_downs, more)})


@breaking("hands")
def _cleaned_by_nobody(scenario: Scenario, plan: Plan) -> Plan | None:
    first = plan.clean_downs[0].model_copy(update={"people": ()})
    return plan.model_copy(update={"clean_downs": (first, *plan.clean_downs[1:])})


@breaking("may-use")
def _cleaned_by_somebody_untrained(scenario: Scenario, plan: Plan) -> Plan | None:
    untrained = next(p.id for p in scenario.kitchen.people if not p.may_use)
    first = plan.clean_downs[0].model_copy(update={"people": (untrained,)})
    return plan.model_copy(update={"clean_downs": (first, *plan.clean_downs[1:])})


@breaking("one-place")
def _cleans_while_at_something_else(scenario: Scenario, plan: Plan) -> Plan | None:
    first = plan.clean_downs[0]
    for spot in spots(scenario, plan):
        for visit in spot.task.visits:
            if first.people[0] in visit.people:
                lasts = first.end - first.start
                moved = {"start": visit.start, "end": visit.start + lasts}
                changed = first.model_copy(update=moved)
                return plan.model_copy(update={"clean_downs": (changed, *plan.clean_downs[1:])})
    return None


@breaking("known")
def _cleaned_is_something_nobody_has(scenario: Scenario, plan: Plan) -> Plan | None:
    first = plan.clean_downs[0].model_copy(update={"unit": "moon", "after": "sun"})
    return plan.model_copy(update={"clean_downs": (first, *plan.clean_downs[1:])})
