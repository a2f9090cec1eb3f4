"""What tiny weeks must make, reckoned on its own for the brute-force search.

Only what tiny weeks hold: events with a margin of their own, no diets and no
waves, one batch of every component, nothing there when the week begins.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import Component, Dish, Need, Step
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import PlannedBatch, Share
from tests.weeks.brute_kitchen import counted


@dataclass(frozen=True)
class Use:
    """Who takes how much of a batch, and how long it may have waited."""

    consumer: str
    step: str
    quantity: int
    each: Fraction
    within: int | None


@dataclass(frozen=True)
class Make:
    """One batch: of a component, or of a dish at an event.

    Attributes
    ----------
    loads : tuple of tuple of int
        For every step what goes through it, load by load, base units.
    away : int
        A dish: first plate away, minutes.
    """

    id: str
    recipe: Component | Dish
    dimension: Dimension
    quantity: int
    good: int
    loads: tuple[tuple[int, ...], ...]
    uses: tuple[Use, ...] = ()
    event: str | None = None
    course: int | None = None
    rank: int = 1
    away: int = 0

    @property
    def dish(self) -> Dish | None:
        """Its recipe, if it is a dish."""
        return self.recipe if isinstance(self.recipe, Dish) else None

    @property
    def weight(self) -> int:
        """What a minute outside the best band costs."""
        return 1 if isinstance(self.recipe, Dish) else self.recipe.weight

    @property
    def steps(self) -> tuple[Step, ...]:
        """Steps as written; a dish's plating is not among them."""
        return self.recipe.steps

    def planned(self) -> PlannedBatch:
        """As it stands in a plan."""
        dish = self.dish
        return PlannedBatch(
            id=self.id,
            component=None if dish else self.recipe.id,
            dish=dish.id if dish else None,
            event=self.event,
            course=self.course,
            quantity=Quantity.of(self.quantity, self.dimension),
            good=Quantity.of(self.good, self.dimension),
        )

    def shares(self) -> list[Share]:
        """Who gets how much of it."""
        return [
            Share(
                source=self.id, consumer=u.consumer, step=u.step,
                quantity=Quantity.of(u.quantity, self.dimension),
            )
            for u in self.uses
        ]


def places(need: Need, quantity: int) -> int:
    """Places (or shelves) that a quantity takes by one need."""
    return need.amount if need.per is None else ceil(quantity / need.per.base)


def _room(step: Step, scenario: Scenario) -> Fraction | None:
    """The most that the step's machines take at once."""
    rooms = []
    for need in step.on:
        units = scenario.units_of(need.equipment) if need.equipment else ()
        fills = [u.fill.base for _, u in units if u.fill]
        if fills:
            rooms.append(max(fills))
        elif units and need.per is not None:
            sizes = [u.capacity or 1 for _, u in units]
            rooms.append(need.per.base * (sum(sizes) if counted(units[0][0]) else max(sizes)))
    return min(rooms, default=None)


def _equal(quantity: int, count: int) -> tuple[int, ...]:
    """As equal as whole numbers allow, the smaller ones first."""
    small, more = divmod(quantity, count)
    return tuple(small + (i >= count - more) for i in range(count))


def _loads(step: Step, quantity: int, scenario: Scenario) -> tuple[int, ...]:
    room = _room(step, scenario) if step.in_loads else None
    return _equal(quantity, max(1, ceil(quantity / room)) if room else 1)


def _batches(component: Component, uses: list[Use], scenario: Scenario) -> list[Make]:
    """The batches of a component: one, or as few equal ones as its machines take whole."""
    good = sum(u.quantity for u in uses)
    rooms = [r for s in component.steps if not s.in_loads and (r := _room(s, scenario))]
    count = 1
    while rooms and ceil(_equal(good, count)[0] / (1 - component.loss.part)) > min(rooms):
        count += 1
    assert count == 1 or len(uses) == 1
    made = []
    for number, part in enumerate(_equal(good, count)):
        quantity = ceil(part / (1 - component.loss.part))
        mine = uses if count == 1 else [replace(uses[0], quantity=part)]
        made.append(
            Make(
                f"{component.id}.{number + 1}", component, component.makes.dimension, quantity,
                int(quantity * (1 - component.loss.part)),
                tuple(_loads(s, quantity, scenario) for s in component.steps), tuple(mine),
            )
        )
    return made


def makes(scenario: Scenario) -> list[Make]:
    """Every batch, consumers before what feeds them."""
    made: list[Make] = []
    uses: dict[str, list[Use]] = {c.id: [] for c in scenario.components}
    for event in scenario.week.events:
        assert event.margin is not None
        for at, course in enumerate(event.menu):
            assert not course.diets and not course.waves and not course.crew
            dish = scenario.dish[course.dish]
            asked = course.count or course.per * event.guests
            portions = ceil(asked * (1 + event.margin.part))
            away = scenario.clock.minute(event.first_plate) + course.after
            made.append(
                Make(
                    f"{event.id}.{dish.id}", dish, Dimension.COUNT, portions, portions,
                    tuple(_loads(s, portions, scenario) for s in dish.steps),
                    event=event.id, course=at, rank=event.rank,
                    away=away // scenario.kitchen.grid * scenario.kitchen.grid,
                )
            )
            steps = [(s.id, t) for s in dish.steps for t in s.takes]
            for step, take in [*steps, *(("plating", t) for t in dish.takes)]:
                if take.component is not None:
                    each = take.amount.base / (take.yield_.part if take.yield_ else 1)
                    uses[take.component].append(
                        Use(made[-1].id, step, ceil(each * portions), each, take.within)
                    )
    waiting = list(scenario.components)
    while waiting:
        feeds = {t.component for c in waiting for s in c.steps for t in s.takes}
        component = next(c for c in waiting if c.id not in feeds)
        waiting.remove(component)
        for make in _batches(component, uses[component.id], scenario):
            made.append(make)
            for step in component.steps:
                for take in step.takes:
                    if take.component is not None:
                        each = take.amount.base / (take.yield_.part if take.yield_ else 1)
                        taken = ceil(each * make.quantity / component.makes.base)
                        use = Use(make.id, step.id, taken, each, take.within)
                        uses[take.component].append(use)
    return made


def lacking(made: list[Make], out: frozenset[str], ranks: int) -> tuple[int, ...] | None:
    """Portions lacking by rank when some batches are left out; None if they cannot be alone.

    A component cannot be made without what feeds it; a dish can.
    """
    fed: dict[str, set[str]] = {}
    for make in made:
        for use in make.uses:
            fed.setdefault(use.consumer, set()).add(make.id)
    short = [0] * ranks
    for make in made:
        if make.dish is None:
            if make.id not in out and fed.get(make.id, set()) & out:
                return None
            continue
        short[make.rank - 1] += short_of(make, made, out)
    return tuple(short)


def short_of(dish: Make, made: list[Make], out: frozenset[str]) -> int:
    """Portions of a dish that lack something."""
    if dish.id in out:
        return dish.quantity
    lost: dict[str, int] = {}
    for make in made:
        if make.id in out:
            for use in make.uses:
                if use.consumer == dish.id:
                    lost[make.id] = max(
                        lost.get(make.id, 0), min(dish.quantity, ceil(use.quantity / use.each))
                    )
    return max(lost.values(), default=0)
