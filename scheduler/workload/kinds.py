"""What a kind of equipment can hold, and which kinds are planned by number alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.methods import variants
from scheduler.domain.trays import sizes
from scheduler.workload.amounts import convert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from scheduler.domain.kitchen import Equipment, Unit
    from scheduler.domain.quantity import Dimension
    from scheduler.domain.recipes import Component, Dish, Need, Step
    from scheduler.domain.scenario import Scenario


class Kinds:
    """Kinds and units of a kitchen, looked up once.

    A kind is *counted* when nothing tells its units apart: one unit, or
    several of capacity 1 and one size, without settings, families of trays
    or a clean-down, that nobody names.
    Its units get their numbers when the plan is put together.

    Parameters
    ----------
    scenario : Scenario
    kept : iterable of str
        Units that tasks are kept on. They are told apart for that, but for those of which
        several are taken at once, or some by visits: those only ever count.
    """

    def __init__(self, scenario: Scenario, kept: Iterable[str] = ()) -> None:
        self.scenario = scenario
        self.each: dict[str, tuple[Unit, ...]] = {
            k.id: k.each for k in scenario.kitchen.equipment
        }
        self.kind: dict[str, Equipment] = scenario.equipment
        self.kind_of: dict[str, Equipment] = {
            u.id: k for k in scenario.kitchen.equipment for u in self.each[k.id]
        }
        named = _named(scenario)
        several = self._several() if kept else set()
        named |= {u for u in kept if u in self.kind_of and self.kind_of[u].id not in several}
        self.counted = {k: self._counted(k, named) for k in self.each}
        self.trays: dict[str, tuple[dict[str, int], dict[str, int]]] = {}
        """For each kind that holds families of trays: small places a tray takes, and a unit has."""
        for name, units in self.each.items():
            found = sizes([u.holds for u in units]) if units[0].holds else None
            if found is not None:
                there = {u.id: size for u, size in zip(units, found[1], strict=True)}
                self.trays[name] = found[0], there

    def _counted(self, kind: str, named: set[str]) -> bool:
        units = self.each[kind]
        if self.kind[kind].heat is not None:
            return False
        if len(units) == 1:
            return True
        if units[0].holds or self.kind[kind].clean_down is not None:
            return False
        alike = all(u.capacity == 1 and u.fill == units[0].fill for u in units)
        return alike and not any(u.id in named for u in units)

    def _several(self) -> set[str]:
        """Kinds of which something takes several at once, or a visit that cannot choose."""
        found = set()
        for needs, visit in _needs(self.scenario):
            for need in needs:
                if need.equipment and (visit or need.amount > 1 or need.per is not None):
                    found.add(self.of(need.equipment)[0].id)
        for duty in self.scenario.kitchen.duties:
            found |= {self.of(t.equipment)[0].id for t in duty.equipment if t.amount > 1}
        return found

    def of(self, kind_or_unit: str) -> tuple[Equipment, tuple[Unit, ...]]:
        """The kind, and the units of it that a need may use."""
        if kind_or_unit in self.kind:
            return self.kind[kind_or_unit], self.each[kind_or_unit]
        kind = self.kind_of[kind_or_unit]
        return kind, tuple(u for u in self.each[kind.id] if u.id == kind_or_unit)

    def kind_named(self, kind_or_unit: str) -> Equipment:
        """The kind that is named, or that a named unit is of."""
        return self.of(kind_or_unit)[0]

    def spreads(self, kind: str) -> bool:
        """May one need be spread over several units of a kind (tubs, moulds, burners)?"""
        return self.kind[kind].heat is None and all(
            u.capacity == 1 and u.fill is None and not u.holds for u in self.each[kind]
        )

    def size(self, unit: Unit, tray: str | None = None) -> int:
        """Places in a unit; trays of one family where it holds several."""
        return unit.holds[tray] if tray is not None and unit.holds else unit.capacity or 1

    def largest(
        self, need: Need, dimension: Dimension, component: Component | None
    ) -> int | None:
        """The largest load a need can take, base units; None where it sets no limit.

        The `fill` of the largest unit, or places × `per`.
        """
        if need.equipment is None:
            return None
        kind, units = self.of(need.equipment)
        fills = [
            convert(u.fill.base, u.fill.dimension, dimension, component)
            for u in units
            if u.fill is not None
        ]
        if fills:
            return int(max(fills))
        if need.per is None:
            return None
        sizes = [self.size(u, need.tray) for u in units]
        places = sum(sizes) if self.spreads(kind.id) else max(sizes)
        return int(places * convert(need.per.base, need.per.dimension, dimension, component))

    def load(self, step: Step, dimension: Dimension, component: Component | None) -> int | None:
        """The largest single load of a step over all its needs, or None: no limit."""
        sizes = [self.largest(n, dimension, component) for n in step.on]
        return min((s for s in sizes if s is not None), default=None)


def _named(scenario: Scenario) -> set[str]:
    named = {t.equipment for d in scenario.kitchen.duties for t in d.equipment}
    named |= {u for p in scenario.week.in_progress for u in p.on}
    named |= {w.unit for w in scenario.week.wishes if w.unit}
    named |= {n.equipment for needs, _ in _needs(scenario) for n in needs if n.equipment}
    return named


def _needs(scenario: Scenario) -> Iterator[tuple[Sequence[Need], bool]]:
    """The needs of every step, visit and plating; whether of a visit while a step runs."""
    makers: tuple[Component | Dish, ...] = (*scenario.components, *scenario.dishes)
    for maker in makers:
        for step in (s for made in variants(maker) for s in made.steps):
            yield step.on, False
            yield from ((v.on, False) for v in (step.load, step.unload) if v is not None)
            yield from ((v.on, True) for v in (*step.tend, *step.add))
    for dish in scenario.dishes:
        yield dish.plating.on, False
