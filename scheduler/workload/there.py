"""What is there when the week opens, as supply: lots on hand and batches in progress."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.base import Level
from scheduler.domain.methods import made_by, methods_of
from scheduler.workload.amounts import convert
from scheduler.workload.dated import Dated
from scheduler.workload.laws import law
from scheduler.workload.loads import loads_of
from scheduler.workload.supply import Source
from scheduler.workload.walk import quickest, up

if TYPE_CHECKING:
    from scheduler.domain.quantity import Quantity
    from scheduler.domain.recipes import Component, Hands, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import InProgress, OnHand
    from scheduler.workload.kinds import Kinds
    from scheduler.workload.laws import Law


def shortest_hold(component: Component, grid: int) -> int:
    """By how much at most, over all the ways of getting it, minutes: batches fit them all."""
    ways = (made_by(component, method) for method in methods_of(component))
    return max(shortened(way, grid) for way in ways)


def shortened(component: Component, grid: int) -> int:
    """By how much the clock of the hold starts before the last step's planned end, minutes."""
    last = component.steps[-1]
    return law(last.time, 0, component.makes.dimension, component).waits_less(grid)


class There:
    """Reads lots and running batches of a week."""

    def __init__(self, scenario: Scenario, kinds: Kinds) -> None:
        self.scenario = scenario
        self.kinds = kinds
        self.dated = Dated(scenario)
        self.grid = scenario.kitchen.grid

    def left(
        self, component: Component, begun: InProgress, quantity: int
    ) -> list[tuple[Step, tuple[int, ...], bool]]:
        """The running step of a batch in progress, as one load, and those after it."""
        names = [s.id for s in component.steps]
        at = names.index(begun.step)
        dimension = component.makes.dimension
        return [(component.steps[at], (quantity,), True)] + [
            (s, loads_of(s, quantity, dimension, component, self.kinds), False)
            for s in component.steps[at + 1 :]
        ]

    def _kept(self, lot: OnHand | InProgress) -> str | None:
        """The event a lot is reserved for, unless somebody has let that go."""
        let_go = (x.lot for x in self.scenario.week.accepted if x.rule == "reserved")
        return None if lot.id in let_go else lot.reserved_for

    def sources(self, component: Component) -> list[Source]:
        """Lots and running batches of a component."""
        clock = self.scenario.clock
        sources: list[Source] = []
        for lot in self.scenario.week.on_hand:
            if lot.component == component.id:
                made = clock.minute(lot.made)
                have = self.have(lot.quantity, component)
                sources.append(
                    Source(
                        lot.id, True, have, made, made, self._kept(lot),
                        begun=self.dated.begun(component, lot, made),
                    )
                )
        for begun in self.scenario.week.in_progress:
            if begun.component == component.id:
                sources.append(self._running(component, begun))
        return sources

    def _running(self, component: Component, begun: InProgress) -> Source:
        """When a batch in progress is ready: earliest and latest, by its lengths alone."""
        clock, grid = self.scenario.clock, self.grid
        component = made_by(component, begun.method)
        now, began = clock.minute(self.scenario.week.plan_from), clock.minute(begun.started)
        quantity = self.have(begun.quantity, component)
        dimension = component.makes.dimension
        earliest = latest = began
        for step, loads, running in self.left(component, begun, quantity):
            span = law(step.time, max(loads), dimension, component)
            most = self._slowest(span, step.hands)
            earliest += quickest(span, step.hands).ticks(grid)[0] * grid
            for v in (step.unload,) if running else (step.load, step.unload):
                if v is not None:
                    span = law(v.time, max(loads), dimension, component)
                    earliest += up(quickest(span, v.hands).at_least, grid)
                    most += self._slowest(span, v.hands)
            latest += most * len(loads)
            if running:
                earliest = max(earliest, now)
            if step.then is not None:
                earliest += up(step.then.not_before, grid)
                latest += step.then.at_most
        good = int(quantity * (1 - component.loss.part))
        return Source(
            begun.id, False, good, earliest, latest - shortened(component, self.grid),
            self._kept(begun), begun=self.dated.begun(component, begun, began),
        )

    def _slowest(self, span: Law, hands: tuple[Hands, ...]) -> int:
        """The longest that some hands may take, minutes: a trainee, where one may do it."""
        learning = any(line.level is Level.TRAINEE for line in hands)
        slow = Fraction(60, self.scenario.kitchen.trainee_hour) if learning else Fraction(1)
        return max(s.ticks(self.grid)[1] for s in (span, span.by(slow))) * self.grid

    def have(self, quantity: Quantity, component: Component) -> int:
        """Whole base units of what stands there."""
        return int(
            convert(quantity.base, quantity.dimension, component.makes.dimension, component)
        )
