"""The registry of breakings, and means of looking about in a plan and of changing it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from scheduler.domain.quantity import Quantity
from scheduler.domain.recipes import Component, Dish, Need, Step, Visit
from scheduler.domain.scenario import Scenario
from scheduler.domain.washing import wash_step
from scheduler.plan.model import Plan, PlannedHold, PlannedTask, PlannedVisit, Share, Taken

Breaking = Callable[[Scenario, Plan], Plan | None]
BREAKINGS: dict[str, list[Breaking]] = {}
DAY = 1440


def breaking(rule: str) -> Callable[[Breaking], Breaking]:
    """Enter a breaking under the rule it breaks."""

    def enter(function: Breaking) -> Breaking:
        BREAKINGS.setdefault(rule, []).append(function)
        return function

    return enter


@dataclass(frozen=True)
class Spot:
    """A task and what its recipe says of it."""

    task: PlannedTask
    recipe: Component | Dish
    step: Step | None
    begun: bool

    @property
    def needs(self) -> tuple[Need, ...]:
        """Its needs."""
        if self.step is not None:
            return self.step.on
        return self.recipe.plating.on if isinstance(self.recipe, Dish) else ()

    def word(self, visit: PlannedVisit) -> Visit | None:
        """The recipe's word for a visit."""
        if self.step is None:
            return None
        words = {
            "load": self.step.load,
            "unload": self.step.unload,
            "tend": self.step.tend[0] if self.step.tend else None,
            "add": next(iter(self.step.add[visit.index :]), None),
        }
        return words.get(visit.kind)


def spots(scenario: Scenario, plan: Plan) -> Iterator[Spot]:
    """Every task of a recipe with its recipe (what is washed up stands in none)."""
    batches = {b.id: b for b in plan.batches}
    begun = {b.id: b.step for b in scenario.week.in_progress}
    for task in plan.tasks:
        if wash_step(scenario, task.step) is not None:
            continue
        batch = batches[task.batch]
        recipe: Component | Dish = (
            scenario.component[batch.component]
            if batch.component
            else scenario.dish[batch.dish or ""]
        )
        step = next((s for s in recipe.steps if s.id == task.step), None)
        yield Spot(task, recipe, step, begun.get(task.batch) == task.step)


def chains(scenario: Scenario, plan: Plan) -> Iterator[tuple[Spot, Spot]]:
    """Every two steps that follow one another, each in one load."""
    single = {(s.task.batch, s.task.step): s for s in spots(scenario, plan) if s.task.loads == 1}
    for (batch, _), spot in single.items():
        ids = [s.id for s in spot.recipe.steps] + ["plating"]
        after = ids[ids.index(spot.task.step) + 1 :]
        if spot.step is not None and after and (batch, after[0]) in single:
            yield spot, single[batch, after[0]]


def kept(
    scenario: Scenario, plan: Plan
) -> Iterator[tuple[Share, Any, list[PlannedTask], PlannedTask]]:
    """Shares of new batches: how they keep, the batch's tasks, and the task that uses them."""
    of = {b.id: b.component for b in plan.batches}
    for share in plan.shares:
        source = of_batch(plan, share.source)
        users = [t for t in of_batch(plan, share.consumer) if t.step == share.step]
        name = of.get(share.source)
        if source and users and name:
            yield share, scenario.component[name].keeps[0], source, users[-1]


def night(scenario: Scenario, day: date) -> int:
    """One in the morning."""
    return scenario.clock.minute(datetime(day.year, day.month, day.day, 1))


def with_task(plan: Plan, old: PlannedTask, **new: Any) -> Plan:
    """One task changed."""
    tasks = tuple(t.model_copy(update=new) if t is old else t for t in plan.tasks)
    return plan.model_copy(update={"tasks": tasks})


def with_visit(plan: Plan, task: PlannedTask, old: PlannedVisit, **new: Any) -> Plan:
    """One visit changed."""
    visits = tuple(v.model_copy(update=new) if v is old else v for v in task.visits)
    return with_task(plan, task, visits=visits)


def with_taken(plan: Plan, task: PlannedTask, old: Taken, **new: Any) -> Plan:
    """One thing taken changed."""
    taken = tuple(t.model_copy(update=new) if t is old else t for t in task.taken)
    return with_task(plan, task, taken=taken)


def with_hold(plan: Plan, old: PlannedHold, **new: Any) -> Plan:
    """One hold changed."""
    holds = tuple(h.model_copy(update=new) if h is old else h for h in plan.holds)
    return plan.model_copy(update={"holds": holds})


def with_clean_down(plan: Plan, **by: int) -> Plan:
    """The first clean-down with its times moved by so much."""
    first, *rest = plan.clean_downs
    moved = {field: getattr(first, field) + minutes for field, minutes in by.items()}
    changed = first.model_copy(update=moved)
    return plan.model_copy(update={"clean_downs": (changed, *rest)})


def with_share(plan: Plan, old: Share, *new: Share) -> Plan:
    """One share replaced."""
    shares: list[Share] = []
    for share in plan.shares:
        shares += new if share is old else (share,)
    return plan.model_copy(update={"shares": tuple(shares)})


def with_batch(plan: Plan, name: str, **new: Any) -> Plan:
    """One batch changed."""
    batches = tuple(b.model_copy(update=new) if b.id == name else b for b in plan.batches)
    return plan.model_copy(update={"batches": batches})


def moved(task: PlannedTask, by: int) -> PlannedTask:
    """A task with all it has, so much later."""
    return task.model_copy(
        update={
            "start": task.start + by,
            "law_start": task.law_start + by,
            "law_end": task.law_end + by,
            "end": task.end + by,
            "visits": tuple(
                v.model_copy(update={"start": v.start + by, "end": v.end + by}) for v in task.visits
            ),
            "taken": tuple(
                t.model_copy(update={"start": t.start + by, "end": t.end + by}) for t in task.taken
            ),
        }
    )


def move(plan: Plan, by: int, *tasks: PlannedTask) -> Plan:
    """Some tasks so much later."""
    return plan.model_copy(
        update={"tasks": tuple(moved(t, by) if t in tasks else t for t in plan.tasks)}
    )


def of_batch(plan: Plan, name: str) -> list[PlannedTask]:
    """A batch's tasks."""
    return [t for t in plan.tasks if t.batch == name]


def times(quantity: Quantity, factor: int) -> Quantity:
    """So many times an amount."""
    return Quantity.of(quantity.base * factor, quantity.dimension)
