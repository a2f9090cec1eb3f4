"""From a checked scenario to what must be made: batches, loads and shares."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.workload.amounts import NoConversion, convert
from scheduler.workload.complaints import Complaints
from scheduler.workload.demand import (
    Need,
    Serving,
    servings,
    taken_by_batch,
    taken_by_portions,
    takes_of,
)
from scheduler.workload.kinds import Kinds
from scheduler.workload.laws import law
from scheduler.workload.loads import largest_batch, least_batch, loads_of
from scheduler.workload.model import PLATING, LotUse, WorkBatch, Workload, WorkShare
from scheduler.workload.order import consumers_first
from scheduler.workload.supply import (
    New,
    Source,
    batches_of,
    from_earlier,
    from_what_is_there,
    grouped,
    share,
)
from scheduler.workload.walk import plating_length, staged, up

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import InProgress

TURNS = 20
"""So often a component that needs itself is worked out again until nothing changes."""


def work_out(scenario: Scenario, apart: Collection[str] = ()) -> Workload:
    """What must be made for a week.

    Parameters
    ----------
    scenario : Scenario
    apart : collection of str
        Components whose uses share no batch (where a shared one found no place).

    Raises
    ------
    BadInput
        For amounts that cannot be converted, batches larger than any machine,
        and a component that needs itself with nothing to begin from.
    """
    return _Work(scenario, apart).run()


@dataclass
class _Made:
    """What has been settled for one component."""

    batches: list[WorkBatch] = field(default_factory=list)
    shares: list[WorkShare] = field(default_factory=list)
    stuck: list[Need] = field(default_factory=list)


class _Work:
    def __init__(self, scenario: Scenario, apart: Collection[str]) -> None:
        self.scenario = scenario
        self.apart = apart
        self.grid = scenario.kitchen.grid
        self.kinds = Kinds(scenario)
        self.complaints = Complaints()
        self.needs: dict[str, list[Need]] = {c.id: [] for c in scenario.components}
        self.batches: list[WorkBatch] = []
        self.shares: list[WorkShare] = []
        self.lots: list[LotUse] = []

    def run(self) -> Workload:
        scenario = self.scenario
        for serving in servings(scenario):
            self.dish(serving)
        for name in consumers_first(scenario, self.complaints):
            try:
                self.component(scenario.component[name])
            except NoConversion as error:
                self.complaints.add(name, str(error))
        self.complaints.settle()
        used: dict[str, int] = {}
        for s in self.shares:
            if s.lot:
                used[s.source] = used.get(s.source, 0) + s.quantity
        for lot in scenario.week.on_hand:
            component = scenario.component[lot.component]
            have = self._have(lot.quantity, component)
            taken = used.get(lot.id, 0)
            self.lots.append(
                LotUse(lot.id, component.id, component.makes.dimension, taken, have - taken)
            )
        return Workload(tuple(self.batches), tuple(self.shares), tuple(self.lots))

    # -- dishes --------------------------------------------------------------------

    def dish(self, serving: Serving) -> None:
        """A dish batch, and what it takes."""
        scenario, dish = self.scenario, serving.dish
        diets = sum(d.count for d in serving.event.menu[serving.course].diets)
        if serving.diet is None and serving.plain < 0:
            self.complaints.add(
                f"{serving.event.id}, {dish.id}",
                f"diets for {diets} guests of {serving.plain + diets}",
            )
        by = serving.service
        length = plating_length(dish, serving.portions, self.grid)
        plating = by if dish.keeps is None else by - max(length, up(dish.keeps.not_before, self.grid))
        if serving.diet is not None:
            plating = min(plating, by - length)
        try:
            steps = [
                (s, loads_of(s, serving.portions, Dimension.COUNT, None, self.kinds), False)
                for s in dish.steps
            ]
            stages = staged(steps, plating, Dimension.COUNT, None, self.grid)
        except NoConversion as error:
            self.complaints.add(f"{dish.id}", str(error))
            return
        self.batches.append(
            WorkBatch(
                serving.id, Dimension.COUNT, serving.portions, serving.portions, stages,
                dish=dish.id, event=serving.event.id, course=serving.course, diet=serving.diet,
                wave=serving.wave, rank=serving.event.rank, service=by, plating=plating,
                main=serving.main,
            )
        )
        latest = {s.step.id: s.latest for s in stages} | {PLATING: plating}
        taken: list[Need] = []
        for step, take in takes_of(dish):
            if take.component is None:
                continue
            component = scenario.component[serving.swap.get(take.component, take.component)]
            try:
                quantity, portion = taken_by_portions(serving, take, component)
            except NoConversion as error:
                self.complaints.add(f"{dish.id}, {component.id}", str(error))
                continue
            taken.append(
                Need(
                    serving.id, step, component.id, quantity, latest[step], take.within,
                    frozenset((serving.event.id,)), portion,
                )
            )
        for need in _merged(taken):
            self.needs[need.component].append(need)

    # -- components ------------------------------------------------------------------

    def component(self, component: Component) -> None:
        """Everything of one component: what is there, new batches, and what they take."""
        most, least = largest_batch(component, self.kinds), least_batch(component)
        if most is not None and (most < least or most == 0):
            self.complaints.add(
                component.id,
                f"its smallest batch ({component.batch.least or '1'}) is larger than any machine "
                f"of a step takes at once",
                "a smaller `batch: least`, or `in_loads: true` on that step",
            )
            return
        own: list[Need] = []
        again: list[Need] = []
        made = _Made()
        for _ in range(TURNS):
            made = self._settle(component, own, most, least)
            again = [n for b in made.batches for n in self._takes(b, made) if _own(n, component)]
            if again == own:
                break
            own = again
        if again != own or made.stuck:
            self.complaints.add(
                component.id,
                "it needs itself, and neither what is on hand nor an earlier batch is enough to "
                "begin from",
                f"put some {component.id} on hand",
            )
            return
        self.batches += made.batches
        self.shares += made.shares
        for batch in made.batches:
            for need in self._takes(batch, made):
                if not _own(need, component):
                    self.needs[need.component].append(need)

    def _settle(
        self, component: Component, own: list[Need], most: int | None, least: int
    ) -> _Made:
        needs = sorted(
            (n for n in (*self.needs[component.id], *own) if n.quantity > 0),
            key=lambda n: (n.latest, n.consumer, n.step),
        )
        mine = {n.consumer for n in own}
        shares, open_ = from_what_is_there(component, needs, self._sources(component))
        groups = grouped(
            component, [n for n in open_ if n.consumer not in mine], most,
            self._shortened(component), component.id in self.apart,
        )
        made = _Made(shares=shares)
        made.stuck = from_earlier(
            component, groups, [n for n in open_ if n.consumer in mine], most,
            self._shortened(component),
        )
        for new in batches_of(component, groups, most, least):
            made.shares += [
                share(f"{component.id}.{new.number}", False, need, q) for need, q in new.taken
            ]
            made.batches.append(self._new(component, new))
        for begun in self.scenario.week.in_progress:
            if begun.component == component.id:
                made.batches.append(self._begun(component, begun, needs, shares))
        self._unmixed(component, made.shares)
        return made

    def _new(self, component: Component, new: New) -> WorkBatch:
        dimension = component.makes.dimension
        steps = [
            (s, loads_of(s, new.quantity, dimension, component, self.kinds), False)
            for s in component.steps
        ]
        by = min(n.latest for n, _ in new.taken) - up(component.keeps[0].not_before, self.grid)
        return WorkBatch(
            f"{component.id}.{new.number}", dimension, new.quantity, new.good,
            staged(steps, by, dimension, component, self.grid), component=component.id,
            leftover=new.good - sum(q for _, q in new.taken),
        )

    def _begun(
        self, component: Component, begun: InProgress, needs: list[Need], shares: list[WorkShare]
    ) -> WorkBatch:
        dimension = component.makes.dimension
        quantity = self._have(begun.quantity, component)
        good = int(quantity * (1 - component.loss.part))
        mine = [s for s in shares if not s.lot and s.source == begun.id]
        latest = {(n.consumer, n.step): n.latest for n in needs}
        by = min(
            (latest[s.consumer, s.step] for s in mine), default=self.scenario.clock.horizon
        ) - up(component.keeps[0].not_before, self.grid)
        return WorkBatch(
            begun.id, dimension, quantity, good,
            staged(self._left(component, begun, quantity), by, dimension, component, self.grid),
            component=component.id, leftover=good - sum(s.quantity for s in mine),
            in_progress=True,
        )

    def _left(
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

    def _sources(self, component: Component) -> list[Source]:
        clock = self.scenario.clock
        sources: list[Source] = []
        for lot in self.scenario.week.on_hand:
            if lot.component == component.id:
                made = clock.minute(lot.made)
                have = self._have(lot.quantity, component)
                sources.append(Source(lot.id, True, have, made, made, lot.reserved_for))
        for begun in self.scenario.week.in_progress:
            if begun.component == component.id:
                sources.append(self._running(component, begun))
        return sources

    def _running(self, component: Component, begun: InProgress) -> Source:
        """When a batch in progress is ready: earliest and latest, by its lengths alone."""
        clock, grid = self.scenario.clock, self.grid
        now, began = clock.minute(self.scenario.week.plan_from), clock.minute(begun.started)
        quantity = self._have(begun.quantity, component)
        dimension = component.makes.dimension
        earliest = latest = began
        for step, loads, running in self._left(component, begun, quantity):
            span = law(step.time, max(loads), dimension, component)
            least, most = (t * grid for t in span.ticks(grid))
            visits = sum(
                up(law(v.time, max(loads), dimension, component).at_least, grid)
                for v in ((step.unload,) if running else (step.load, step.unload))
                if v is not None
            )
            earliest += least + visits
            latest += (most + visits) * len(loads)
            if running:
                earliest = max(earliest, now)
            if step.then is not None:
                earliest += up(step.then.not_before, grid)
                latest += step.then.at_most
        good = int(quantity * (1 - component.loss.part))
        return Source(
            begun.id, False, good, earliest, latest - self._shortened(component),
            begun.reserved_for,
        )

    def _shortened(self, component: Component) -> int:
        """By how much the clock of the hold starts before the last step's planned end."""
        last = component.steps[-1]
        return law(last.time, 0, component.makes.dimension, component).waits_less(self.grid)

    def _have(self, quantity: Quantity, component: Component) -> int:
        return int(
            convert(quantity.base, quantity.dimension, component.makes.dimension, component)
        )

    def _takes(self, batch: WorkBatch, made: _Made) -> list[Need]:
        """What a component batch takes of other components, or of an earlier batch."""
        assert batch.component is not None
        maker = self.scenario.component[batch.component]
        events = self._events(batch, made)
        taken: list[Need] = []
        for stage in batch.stages:
            for take in () if stage.running else stage.step.takes:
                if take.component is None:
                    continue
                component = self.scenario.component[take.component]
                quantity = taken_by_batch(batch.quantity, maker, take, component)
                taken.append(
                    Need(
                        batch.id, stage.step.id, component.id, quantity, stage.latest,
                        take.within, events,
                    )
                )
        return _merged(taken)

    def _events(self, batch: WorkBatch, made: _Made) -> frozenset[str]:
        """The events a batch serves in the end."""
        found: set[str] = set()
        known = {n.consumer: n.events for n in self.needs[batch.component or ""]}
        for s in made.shares:
            if s.source == batch.id:
                found |= known.get(s.consumer, frozenset())
        return frozenset(found)

    def _unmixed(self, component: Component, shares: list[WorkShare]) -> None:
        """A component that is never mixed feeds each use from one batch or lot."""
        if component.mixing:
            return
        sources: dict[tuple[str, str], set[str]] = {}
        for s in shares:
            sources.setdefault((s.consumer, s.step), set()).add(s.source)
        for (consumer, _), of in sources.items():
            if len(of) > 1:
                self.complaints.add(
                    component.id,
                    f"it is never mixed, but {consumer} takes more than one batch of it",
                    "a larger `batch: most`, or `mixing: true`",
                )


def _own(need: Need, component: Component) -> bool:
    """A batch of the component takes the component itself."""
    return need.component == component.id


def _merged(needs: list[Need]) -> list[Need]:
    """One need for each step and component: amounts added, the strictest `within`."""
    merged: dict[tuple[str, str], Need] = {}
    for need in needs:
        key = (need.step, need.component)
        old = merged.get(key)
        if old is None:
            merged[key] = need
            continue
        limits = [w for w in (old.within, need.within) if w is not None]
        portion = (old.portion or 0) + (need.portion or 0)
        merged[key] = Need(
            old.consumer, old.step, old.component, old.quantity + need.quantity, old.latest,
            min(limits, default=None), old.events | need.events, portion or None,  # type: ignore[arg-type]
        )
    return list(merged.values())
