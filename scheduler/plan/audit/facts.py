"""The written week and the plan, indexed once for every check."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from scheduler.domain.methods import BOUGHT, known, made_by
from scheduler.domain.quantity import Dimension
from scheduler.domain.washing import washes
from scheduler.domain.wishes import HOUSE
from scheduler.plan.audit.amounts import measure
from scheduler.plan.audit.duties import Occurrence, occurrences
from scheduler.plan.audit.making import Making, Units, plating_of, stages_of
from scheduler.plan.audit.report import Finding, LetGo
from scheduler.plan.audit.rules import BETWEEN_STEPS, OF_ITSELF
from scheduler.plan.model import occurrence_of

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.recipes import Component
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import Delivery, OnHand
    from scheduler.plan.model import (
        Plan,
        PlannedBatch,
        PlannedDuty,
        PlannedHold,
        PlannedTask,
        Share,
    )

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
TOO_FAR = 200 * 366 * 1440


class Facts:
    """Indexes of a plan and its written week, and the findings so far.

    Attributes
    ----------
    batches, tasks, lots, deliveries : dict
        By id; of two with one id the first.
    makings : dict of str to Making
        Batches whose recipe is known.
    shares_to, shares_from : dict of str to list of Share
        By consumer and by source.
    placed : frozenset of str
        Batches with at least one task.
    begun : dict of str to PlannedTask
        Tasks that had begun when it was planned anew, as they were.
    settled : frozenset of str
        Those of them whose end is a fact.
    done : dict of str to int
        Those that were broken off: minutes of their time that count.
    now, horizon, grid : int
        Minutes.
    """

    def __init__(self, scenario: Scenario, plan: Plan) -> None:
        self.scenario = scenario
        self.plan = plan
        self.findings: list[Finding] = []
        self.let_go: list[LetGo] = []
        self._units: dict[str, Units] = {}
        self.grid = scenario.kitchen.grid
        self.now = scenario.clock.minute(scenario.week.plan_from)
        self.horizon = scenario.clock.horizon
        self.lots: dict[str, OnHand] = {lot.id: lot for lot in scenario.week.on_hand}
        self.deliveries: dict[str, Delivery] = {d.id: d for d in scenario.week.deliveries}
        self.batches: dict[str, PlannedBatch] = {}
        for batch in plan.batches:
            self.batches.setdefault(batch.id, batch)
        self.tasks: dict[str, PlannedTask] = {}
        for task in plan.tasks:
            self.tasks.setdefault(task.id, task)
        self.shares_to: dict[str, list[Share]] = defaultdict(list)
        self.shares_from: dict[str, list[Share]] = defaultdict(list)
        for share in plan.shares:
            self.shares_to[share.consumer].append(share)
            self.shares_from[share.source].append(share)
        past = plan.past
        self.begun: dict[str, PlannedTask] = {t.id: t for t in past.tasks} if past else {}
        self.settled = frozenset(past.settled if past else ())
        self.done = {b.task: b.done for b in past.broken_off} if past else {}
        self.missing = frozenset(m.batch for m in plan.missing)
        self.placed = frozenset(t.batch for t in plan.tasks)
        self.makings: dict[str, Making] = {}
        for batch in self.batches.values():
            making = self._making(batch)
            if making is not None:
                self.makings[batch.id] = making
        for task in self.tasks.values():
            if task.batch in self.makings:
                self.makings[task.batch].tasks.setdefault(task.step, []).append(task)
        for making in self.makings.values():
            for tasks in making.tasks.values():
                tasks.sort(key=lambda t: (t.load, t.start))

    def _making(self, batch: PlannedBatch) -> Making | None:
        scenario = self.scenario
        if batch.dish is not None:
            dish, event = scenario.dish.get(batch.dish), scenario.event.get(batch.event or "")
            if dish is None or event is None or batch.component is not None:
                return None
            if not known(dish, way_of(batch)):
                return None
            dish = made_by(dish, way_of(batch))
            at = -1 if batch.course is None else batch.course
            if not 0 <= at < len(event.menu) or event.menu[at].dish != dish.id:
                return None
            course = event.menu[at]
            diet = next((d for d in course.diets if d.id == batch.diet), None)
            wave = batch.wave or 0
            if (diet is None) != (batch.diet is None) or not 0 <= wave < max(1, len(course.waves)):
                return None
            size = measure(batch.quantity, Dimension.COUNT, None) or Fraction(0)
            stages = (*stages_of(dish, self.units, size, Dimension.COUNT, None), plating_of(dish))
            return Making(
                batch, None, dish, event, course, diet, None, size, Dimension.COUNT, stages, 0,
                washes(dish.steps, self._kind_of),
            )  # fmt: skip
        component = scenario.component.get(batch.component or "")
        if component is None or not component.steps or not known(component, way_of(batch)):
            return None
        component = made_by(component, way_of(batch))
        into = component.makes.dimension
        size = measure(batch.quantity, into, component) or Fraction(0)
        stages = stages_of(component, self.units, size, into, component)
        begun = next((p for p in scenario.week.in_progress if p.id == batch.id), None)
        if begun is not None and begun.component != component.id:
            begun = None
        first = next((s.index for s in stages if begun and s.id == begun.step), 0)
        washed = washes(component.steps, self._kind_of, begun.step if begun else None)
        return Making(
            batch, component, None, None, None, None, begun, size, into, stages, first, washed
        )

    def _kind_of(self, kind_or_unit: str) -> Equipment:
        return self.units(kind_or_unit)[0][0]

    @cached_property
    def occurrences(self) -> list[Occurrence]:
        """Every occurrence of a standing duty that planning meets."""
        return occurrences(self.scenario, self.now)

    @cached_property
    def duties_of(self) -> dict[str, list[PlannedDuty]]:
        """What the plan has of each occurrence, in order of time."""
        found: dict[str, list[PlannedDuty]] = defaultdict(list)
        for duty in sorted(self.plan.duties, key=lambda d: (d.start, d.id)):
            found[occurrence_of(duty.id)].append(duty)
        return found

    def units(self, kind_or_unit: str) -> Units:
        """The units a need may use: all of a kind, or the one that is named."""
        if kind_or_unit not in self._units:
            self._units[kind_or_unit] = self.scenario.units_of(kind_or_unit)
        return self._units[kind_or_unit]

    def broken(self, rule: str, where: str, what: str, minutes: int | None = None) -> None:
        """Add a finding; `minutes`: by how many the rule is broken, where it is about minutes.

        What has happened is no finding, whatever the recipe says of it.
        """
        if (rule in BETWEEN_STEPS and where in self.begun) or (
            rule in OF_ITSELF and where in self.settled
        ):
            return
        self.findings.append(Finding(rule, where, what, minutes=minutes))

    def house(self, rule: str, where: str, what: str, **place: object) -> None:
        """A house rule is broken: a finding, or let go if somebody accepted it in that place.

        `place` holds what an acceptance of the rule may name (day, person, component, lot).
        """
        for one in self.scenario.week.accepted:
            said = {name: getattr(one, name) for name in place}
            if one.rule == rule and rule in HOUSE and said == place:
                self.let_go.append(LetGo(rule, where, what, one.by, one.reason))
                return
        self.broken(rule, where, what)

    def at(self, minute: int) -> str:
        """A minute by the kitchen's clock: "Fri 11 Dec 14:05"."""
        if not -TOO_FAR < minute < TOO_FAR:
            return f"minute {minute}"
        local = self.scenario.clock.local(minute)
        return (
            f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]} "
            f"{local.hour:02d}:{local.minute:02d}"
        )

    def span(self, start: int, end: int) -> str:
        """A stretch by the kitchen's clock."""
        return f"{self.at(start)} to {self.at(end)}"

    def towards(self, making: Making, seen: set[str]) -> Iterator[Making]:
        """All that goes into a batch and was not seen before, in order of the food; then itself."""
        if making.id in seen:
            return
        seen.add(making.id)
        for share in self.shares_to.get(making.id, ()):
            if share.source in self.makings:
                yield from self.towards(self.makings[share.source], seen)
        yield making

    def component_of(self, source: str) -> Component | None:
        """What a batch or a lot is of."""
        if source in self.lots:
            return self.scenario.component.get(self.lots[source].component)
        making = self.makings.get(source)
        return making.component if making else None

    def of_hold(self, hold: PlannedHold) -> Component | None:
        """What waits: of its source's component, or a by-product of it."""
        if hold.by_product is not None:
            return self.scenario.component.get(hold.by_product)
        return self.component_of(hold.source)

    def of_share(self, share: Share) -> Component | None:
        """What a share is of: its source's component, or a by-product of it."""
        if share.by_product is not None:
            return self.scenario.component.get(share.by_product)
        return self.component_of(share.source)

    def down(self, minute: int) -> int:
        """The minute on the grid at or before."""
        return minute // self.grid * self.grid


def lasting(minutes: int) -> str:
    """Minutes as a cook says them: "26 h 10 min", and days from four on."""
    sign, minutes = ("-" if minutes < 0 else ""), abs(minutes)
    days, rest = divmod(minutes, 1440) if minutes >= 4 * 1440 else (0, minutes)
    hours, rest = divmod(rest, 60)
    parts = [f"{n} {u}" for n, u in ((days, "d"), (hours, "h"), (rest, "min")) if n]
    return sign + (" ".join(parts) or "0 min")


def way_of(batch: PlannedBatch) -> str | None:
    """By which method a batch is made, or that it is bought in."""
    return BOUGHT if batch.bought is not None else batch.method
