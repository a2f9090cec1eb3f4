"""Settings of ovens: the values they may be set to, and the time between two of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.methods import variants
from scheduler.workload.amounts import ceil_div

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.kitchen import Heat
    from scheduler.domain.recipes import Component, Dish, Need, Setting
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.kinds import Kinds

State = tuple[str, int]
"""Mode and °C."""


def every_need(scenario: Scenario) -> Iterator[Need]:
    """Every need of every step, visit and plating that is written down."""
    makers: tuple[Component | Dish, ...] = (*scenario.components, *scenario.dishes)
    for maker in makers:
        for step in (s for made in variants(maker) for s in made.steps):
            yield from step.on
            for visit in (step.load, step.unload, *step.tend, *step.add):
                if visit is not None:
                    yield from visit.on
    for dish in scenario.dishes:
        yield from dish.plating.on


class Ovens:
    """For each kind with settings the values that anything asks for, or that one of it stays at.

    A use with mode m and range [lo, hi] may be set to the coldest value of
    any setting of that mode on the kind that lies in [lo, hi]; its own lo
    always does.
    """

    def __init__(self, scenario: Scenario, kinds: Kinds) -> None:
        self.states: dict[str, tuple[State, ...]] = {}
        asked: dict[str, set[State]] = {}
        for need in every_need(scenario):
            if need.equipment is not None and need.setting is not None:
                kind, _ = kinds.of(need.equipment)
                if kind.heat is not None:
                    asked.setdefault(kind.id, set()).add(
                        (need.setting.mode, need.setting.coldest)
                    )
        for held in (h for duty in scenario.kitchen.duties for h in duty.held):
            kind, _ = kinds.of(held.equipment)
            asked.setdefault(kind.id, set()).add((held.mode, held.celsius))
        self.states = {kind: tuple(sorted(states)) for kind, states in asked.items()}

    def size(self, kind: str | None) -> int:
        """How many settings a kind has; 1 where it has none."""
        return len(self.states.get(kind or "", ())) or 1

    def candidates(self, kind: str, setting: Setting | None) -> tuple[int | None, ...]:
        """Indices of the states a use may have; a lone None where it says no setting."""
        if setting is None:
            return (None,)
        return tuple(
            i
            for i, (mode, celsius) in enumerate(self.states.get(kind, ()))
            if mode == setting.mode and setting.coldest <= celsius <= setting.hottest
        )

    def setup(self, kind: str, heat: Heat, grid: int) -> tuple[tuple[int, ...], ...]:
        """Ticks between two states: |to - from| / rate, never more than going cold takes.

        setup[v][w] = min(ceil(minutes / grid), ceil((goes_cold_after + grid) / grid)).
        """
        states = self.states.get(kind, ())
        cap = ceil_div(heat.goes_cold_after + grid, grid)
        return tuple(
            tuple(min(heating(v, w, heat, grid), cap) for _, w in states) for _, v in states
        )

    def initial(self, kind: str, heat: Heat, now: int, grid: int) -> tuple[int, ...]:
        """Earliest tick of each state: heated up from cold, beginning at `now` (minutes)."""
        return tuple(
            ceil_div(now * _rate(heat.ambient, c, heat) + abs(c - heat.ambient),
                     grid * _rate(heat.ambient, c, heat))
            for _, c in self.states.get(kind, ())
        )


    def from_cold(self, kind: str, heat: Heat, grid: int) -> tuple[int, ...]:
        """Ticks to each state from cold."""
        return tuple(heating(heat.ambient, c, heat, grid) for _, c in self.states.get(kind, ()))


def _rate(start: int, end: int, heat: Heat) -> int:
    return heat.up if end > start else heat.down


def heating(start: int, end: int, heat: Heat, grid: int) -> int:
    """Ticks from one temperature to another: |end - start| / rate, rounded up."""
    return ceil_div(abs(end - start), _rate(start, end, heat) * grid)
