"""A batch of the plan held against its recipe."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.plan.audit.amounts import measure

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Equipment, Unit
    from scheduler.domain.recipes import Component, Dish, Hands, Need, Step, Take, Wait
    from scheduler.domain.washing import Wash
    from scheduler.domain.week import Course, Diet, Event, InProgress
    from scheduler.plan.model import PlannedBatch, PlannedTask

PLATING = "plating"
Units = tuple[tuple["Equipment", "Unit"], ...]
UnitsOf = Callable[[str], Units]
"""From a kind or a unit to the units a need may use."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of a batch, or the plating of a dish.

    Attributes
    ----------
    step : Step or None
        As written; None for plating.
    loads : int
        In how many loads it is made, reckoned from the quantity.
    """

    id: str
    index: int
    step: Step | None
    section: str
    hands: tuple[Hands, ...]
    needs: tuple[Need, ...]
    takes: tuple[Take, ...]
    loads: int

    @property
    def then(self) -> Wait | None:
        """The wait before the next step."""
        return self.step.then if self.step else None


@dataclass
class Making:
    """A batch, its recipe, and its tasks in order of loads.

    Attributes
    ----------
    size : Fraction
        Weighed quantity in base units of `dimension`; portions for a dish.
    begun : InProgress or None
        Set for a batch that was begun before the week.
    first : int
        The stage that runs when the week opens; 0 for everything else.
    washes : tuple of Wash
        Containers that are washed when they are empty.
    """

    batch: PlannedBatch
    component: Component | None
    dish: Dish | None
    event: Event | None
    course: Course | None
    diet: Diet | None
    begun: InProgress | None
    size: Fraction
    dimension: Dimension
    stages: tuple[Stage, ...]
    first: int
    washes: tuple[Wash, ...] = ()
    tasks: dict[str, list[PlannedTask]] = field(default_factory=dict)

    @property
    def id(self) -> str:
        """The batch's id."""
        return self.batch.id

    @property
    def weight(self) -> int:
        """Weight in freshness."""
        return self.component.weight if self.component else 1

    @property
    def to_come(self) -> tuple[Stage, ...]:
        """The stages that the plan must have."""
        return self.stages[self.first :]

    @property
    def with_washing(self) -> tuple[Stage, ...]:
        """All stages, and behind them what is washed up."""
        return (*self.stages, *self.washing)

    @cached_property
    def washing(self) -> tuple[Stage, ...]:
        """Every washing as a stage of its own."""
        found = []
        for n, wash in enumerate(self.washes):
            step, loads = wash.step, self.washed_in(wash)
            found.append(
                Stage(step.id, len(self.stages) + n, step, step.section or "", (), (), (), loads)
            )
        return tuple(found)

    def washed_in(self, wash: Wash) -> int:
        """In how many loads: those of the step that empties, where each empties its own."""
        after = next((s for s in self.stages if s.id == wash.after), None)
        if after is None or after.loads == 1:
            return 1
        for step, _, _ in wash.needs:
            stage = next(s for s in self.stages if s.id == step)
            between = self.stages[stage.index : after.index + 1]
            if stage.index < self.first:
                return 1
            if not all(self.load_by_load(a, b) for a, b in pairwise(between)):
                return 1
        return after.loads

    def wash_of(self, stage: Stage, place: int) -> Wash | None:
        """The washing of what a need of a stage takes."""
        for wash in self.washes:
            if any((step, n) == (stage.id, place) for step, n, _ in wash.needs):
                return wash
        return None

    def of(self, stage: Stage) -> list[PlannedTask]:
        """The planned tasks of a stage, in order of loads."""
        return self.tasks.get(stage.id, [])

    def running(self, stage: Stage) -> bool:
        """Was this stage running when the week opened?"""
        return self.begun is not None and stage.index == self.first

    def stage(self, name: str) -> Stage | None:
        """A stage by its id."""
        return next((s for s in self.with_washing if s.id == name), None)

    def load_by_load(self, one: Stage, other: Stage) -> bool:
        """Does load n of the one go on to load n of the other?"""
        return bool(one.step and one.step.waves and one.loads == other.loads)


def spreads(kind: Equipment) -> bool:
    """May one need be spread over several units of it (tubs, moulds, burners)?"""
    return (
        kind.heat is None
        and kind.fill is None
        and all(u.capacity == 1 and u.fill is None and not u.holds for u in kind.each)
    )


def room_for(need: Need, units_of: UnitsOf) -> tuple[Quantity, str] | None:
    """The largest quantity a need has room for at once, and where; None: it sets no limit."""
    if need.equipment is None:
        return None
    units = units_of(need.equipment)
    fills = [u.fill for _, u in units if u.fill is not None]
    if fills:
        return max(fills, key=lambda f: f.base), need.equipment
    if need.per is None:
        return None
    sizes = [u.holds.get(need.tray or "", u.capacity or 1) for _, u in units]
    places = sum(sizes) if spreads(units[0][0]) else max(sizes)
    return Quantity.of(need.per.base * places, need.per.dimension), need.equipment


def tightest(
    needs: tuple[Need, ...], units_of: UnitsOf, into: Dimension, of: Component | None
) -> tuple[Fraction, str] | None:
    """The smallest of the quantities that several needs have room for, and which."""
    rooms = [r for n in needs if (r := room_for(n, units_of))]
    sizes = [(m, where) for q, where in rooms if (m := measure(q, into, of)) is not None]
    return min(sizes, default=None)


def stages_of(
    recipe: Component | Dish,
    units_of: UnitsOf,
    size: Fraction,
    dimension: Dimension,
    component: Component | None,
) -> tuple[Stage, ...]:
    """Every stage of a recipe for one quantity, with its number of loads."""
    stages = []
    for i, step in enumerate(recipe.steps):
        loads = 1
        if step.in_loads:
            room = tightest(step.on, units_of, dimension, component)
            if room and room[0] > 0:
                loads = max(1, -(-size // room[0]))
        stages.append(
            Stage(
                step.id,
                i,
                step,
                step.section or recipe.section,
                step.hands,
                step.on,
                step.takes,
                loads,
            )
        )
    return tuple(stages)


def plating_of(dish: Dish) -> Stage:
    """A dish's last stage."""
    return Stage(
        PLATING,
        len(dish.steps),
        None,
        dish.section,
        dish.plating.hands,
        dish.plating.on,
        dish.takes,
        1,
    )
