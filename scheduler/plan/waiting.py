"""What waits or runs by itself: last calls, what nobody stands at overnight, the longest hold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from functools import partial

from scheduler.domain.methods import bought_keeps
from scheduler.domain.recipes import Take
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, PlannedHold, PlannedTask
from scheduler.plan.words import PLATING, Names


@dataclass(frozen=True, slots=True)
class LastCall:
    """The latest moment a batch can be begun, or ordered (by the windows of its work).

    Until then it can be started again, should it fail.

    Attributes
    ----------
    batch : str
    step : str
        The step that must begin by then; of what is bought in, its delivery.
    by : int
        Minute from the horizon's start; of what is bought in, when it must be ordered.
    order_in : int or None
        What is made here and may be bought: the last moment to order it instead.
    """

    batch: str
    step: str
    by: int
    order_in: int | None = None


@dataclass(frozen=True, slots=True)
class Unattended:
    """Something that runs with nobody at it, and what it needs next."""

    task: PlannedTask
    verb: str
    at: int


@dataclass(frozen=True, slots=True)
class Kept:
    """A hold, how old the food is when it ends, and how old it may be; minutes."""

    hold: PlannedHold
    age: int
    limit: int


def unattended(scenario: Scenario, plan: Plan) -> tuple[int, list[Unattended]]:
    """The first night from `plan_from` on in which something runs by itself, and what.

    Returns
    -------
    tuple of (int, list of Unattended)
        Local midnight in that night (a minute), and what runs then, next to need hands first.
        Without any such night: the first midnight and an empty list.
    """
    clock = scenario.clock
    day = scenario.week.plan_from.date()
    first = None
    while True:
        day += timedelta(days=1)
        midnight = clock.minute(datetime(day.year, day.month, day.day))
        first = midnight if first is None else first
        running = runs_at(plan, midnight)
        if running:
            return midnight, running
        if midnight > clock.horizon:
            return first, []


def runs_at(plan: Plan, at: int) -> list[Unattended]:
    """What runs or rests at a moment with nobody at it, next to need hands first."""
    running = [
        t
        for t in plan.tasks
        if t.law_start <= at < t.law_end and not any(v.start <= at < v.end for v in t.visits)
    ]
    resting = [h for h in plan.holds if h.kind == "wait" and h.start <= at < h.end]
    next_up = [_next_touch(t, at) for t in running]
    next_up += [u for u in map(partial(_taken_up, plan), resting) if u is not None]
    touched = {(u.task.id, u.at): u for u in next_up}
    return sorted(touched.values(), key=lambda u: (u.at, u.task.id))


def _next_touch(task: PlannedTask, at: int) -> Unattended:
    ahead = sorted((v for v in task.visits if v.start >= at), key=lambda v: v.start)
    if ahead:
        return Unattended(task, ahead[0].verb or ahead[0].kind, ahead[0].start)
    return Unattended(task, "out", task.end)


def _taken_up(plan: Plan, hold: PlannedHold) -> Unattended | None:
    """What rests between two steps is touched next when the later one begins."""
    for task in plan.tasks:
        if task.id == hold.consumer:
            verb = task.visits[0].verb if task.visits else ""
            return Unattended(task, verb or "go on", task.start)
    return None


def longest_hold(scenario: Scenario, plan: Plan) -> Kept | None:
    """The hold that comes nearest to its limit, the longest of those that come equally near."""
    names = Names(scenario, plan)
    found = [k for k in (kept(names, hold) for hold in plan.holds) if k]
    return max(found, key=lambda k: (Fraction(k.age, k.limit), k.age), default=None)


def kept(names: Names, hold: PlannedHold) -> Kept | None:
    """How old it is when it ends, and how old it may be; none where nothing waits or is said."""
    limit = _limit(names, hold)
    start = hold.start
    for lot in names.scenario.week.on_hand:
        if lot.id == hold.source:
            start = names.scenario.clock.minute(lot.made)
    return Kept(hold, hold.end - start, limit) if limit and hold.end > hold.start else None


def _limit(names: Names, hold: PlannedHold) -> int | None:
    """How long a hold may last, minutes, as the recipe has it; none where nothing is said."""
    scenario, batch = names.scenario, names.batches.get(hold.source)
    if hold.kind == "wait" and batch and hold.step:
        step = names.step_of(batch.id, hold.step)
        return step.then.at_most if step and step.then else None
    if hold.kind == "plated" and batch and batch.dish in scenario.dish:
        keep = scenario.dish[batch.dish].keeps
        return keep.at_most if keep else None
    if hold.kind == "delivered":
        known = (d for d in scenario.week.deliveries if d.id == hold.source)
        return next((d.at_most for d in known), None)
    if hold.kind != "share":
        return None
    lots = {lot.id: lot.component for lot in scenario.week.on_hand}
    component = hold.by_product or (batch.component if batch else lots.get(hold.source))
    if component not in scenario.component:
        return None
    store = scenario.store.get(hold.store) if hold.store else None
    keeps = scenario.component[component].keeps
    if batch is not None and batch.bought is not None:
        keeps = bought_keeps(scenario.component[component])
    zone = store.zone if store else None
    limits = [k.at_most for k in keeps if k.zone == zone] or [k.at_most for k in keeps]
    limits += [
        t.within
        for t in taking(names, hold.consumer)
        if t.component == component and t.within is not None
    ]
    return min(limits)


def taking(names: Names, task: str | None) -> tuple[Take, ...]:
    """What a consuming task takes."""
    batch, _, step = (task or "").partition("/")
    step = step.partition("/")[0]
    known = names.step_of(batch, step)
    if known is not None:
        return known.takes
    dish = names.batches[batch].dish if batch in names.batches else None
    return (
        names.scenario.dish[dish].takes if step == PLATING and dish in names.scenario.dish else ()
    )
