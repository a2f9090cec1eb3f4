"""One component: which lots, running batches and new batches meet what is asked of it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from scheduler.domain.methods import BOUGHT, made_by
from scheduler.workload.buying import packed, packs
from scheduler.workload.carried import Begun, put_together
from scheduler.workload.dated import Dated
from scheduler.workload.demand import Need, merged, taken_by_batch
from scheduler.workload.given import given_by_others, given_sources
from scheduler.workload.itself import bridged, from_earlier
from scheduler.workload.loads import fits_all, largest_batch, least_batch, loads_of
from scheduler.workload.model import WorkBatch, WorkShare
from scheduler.workload.supply import (
    New,
    Source,
    batches_of,
    from_what_is_there,
    grouped,
    share,
)
from scheduler.workload.there import There, shortest_hold
from scheduler.workload.walk import staged, up

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import InProgress
    from scheduler.plan.model import Past, PlannedBatch
    from scheduler.workload.complaints import Complaints
    from scheduler.workload.kinds import Kinds

TURNS = 60
"""So often a component that needs itself is worked out again until nothing changes."""


@dataclass
class Made:
    """What has been settled for one component.

    Attributes
    ----------
    takes : list of Need
        What its batches take of other components.
    stuck : list of Need
        What later batches take of it that no earlier batch can give.
    events : dict of str to frozenset of str
        The events each of its consumers serves.
    fresh : dict of str to int
        From when on what each of its consumers takes must have been begun, minutes.
    tokens : dict of str to str
        Batch: what it was called before numbers were settled.
    called : dict of str to frozenset of str
        Batches made for a by-product, and the events that is for.
    lacking : list of Need
        What others should give of it by the way, and do not.
    """

    batches: list[WorkBatch] = field(default_factory=list)
    shares: list[WorkShare] = field(default_factory=list)
    takes: list[Need] = field(default_factory=list)
    stuck: list[Need] = field(default_factory=list)
    events: dict[str, frozenset[str]] = field(default_factory=dict)
    fresh: dict[str, int] = field(default_factory=dict)
    tokens: dict[str, str] = field(default_factory=dict)
    called: dict[str, frozenset[str]] = field(default_factory=dict)
    lacking: list[Need] = field(default_factory=list)


class Making:
    """Works out components one after the other, consumers before what feeds them.

    Attributes
    ----------
    early : dict of str to int
        How much before its time each batch may be made, minutes.
    most : dict of str to (int or None)
        The largest batch of each component.
    """

    def __init__(
        self,
        scenario: Scenario,
        kinds: Kinds,
        complaints: Complaints,
        apart: Collection[str],
        chosen: Mapping[str, str],
        past: Past | None = None,
    ) -> None:
        self.scenario = scenario
        self.kinds = kinds
        self.dated = Dated(scenario)
        self.complaints = complaints
        self.apart = apart
        self.chosen = chosen
        self.there = There(scenario, kinds)
        self.begun = Begun(scenario, past)
        self.grid = scenario.kitchen.grid
        self.now = scenario.clock.minute(scenario.week.plan_from)
        self.early: dict[str, int] = {}
        self.names: dict[str, str] = {}
        """Of the component being made: ids of what has no number yet, by the turn before."""
        self.given: list[Source] = []
        self.by_the_way = given_by_others(scenario)
        self.most: dict[str, int | None] = {}

    def make(
        self, component: Component, needs: list[Need], batches: Sequence[WorkBatch]
    ) -> Made | None:
        """Everything of one component: what is there, and new batches; None where it is wrong.

        `needs` may call for a by-product of it; `batches` are those made so far.
        """
        self.given = (
            []
            if component.id in self.apart or component.id not in self.by_the_way
            else given_sources(self.scenario, component, batches, self.early)
        )
        if not component.steps:
            return self._by_others(component, needs)
        most, least = largest_batch(component, self.kinds), least_batch(component)
        self.most[component.id] = most
        if most is not None and (most < least or most == 0):
            self.complaints.add(
                component.id,
                f"its smallest batch ({component.batch.least or '1'}) is larger than any machine "
                f"of a step takes at once",
                "a smaller `batch: least`, or `in_loads: true` on that step",
            )
            return None
        own: list[Need] = []
        again: list[Need] = []
        made = Made()
        self.names = {}
        for _ in range(TURNS):
            made = self._settle(component, needs, own, most, least)
            again = [
                replace(n, consumer=made.tokens.get(n.consumer, n.consumer))
                for b in made.batches
                for n in self._takes(b, made)
                if _own(n, component)
            ]
            if again == own:
                break
            own = again
        if again != own or not self._too_late(component, made):
            self.complaints.add(
                component.id,
                "it needs itself, and neither what is on hand nor an earlier batch is enough to "
                "begin from",
                f"put some {component.id} on hand",
            )
            return None
        self._unmixed(component, made.shares)
        made.takes = [
            n for b in made.batches for n in self._takes(b, made) if not _own(n, component)
        ]
        early = bridged(component, shortest_hold(component, self.grid))
        self.early.update((b.id, early) for b in made.batches)
        return made

    def _by_others(self, component: Component, needs: list[Need]) -> Made:
        """A component that nobody makes: from what is there, and what others give by the way."""
        asked = sorted(
            (n for n in needs if n.quantity > 0), key=lambda n: (n.latest, n.consumer, n.step)
        )
        shares, lacking = self._from_there(component, asked)
        self._unmixed(component, shares)
        return Made(shares=shares, lacking=lacking)

    def _sources(self, component: Component) -> list[Source]:
        """Lots, running batches and by-products, each with all it has."""
        there = self.begun.less(component, self.there.sources(component))
        return [*there, *self.begun.sources(component), *(replace(s) for s in self.given)]

    def _from_there(
        self, component: Component, needs: list[Need]
    ) -> tuple[list[WorkShare], list[Need]]:
        """Shares out of what is there: of what was begun first as it was to be; then what lacks."""
        sources = self._sources(component)
        shares, more, rest = self.begun.as_it_was(component, needs, sources, self.names)
        found, lacking = from_what_is_there(component, more, sources, self.early)
        return shares + found, put_together(rest, lacking)

    def _too_late(self, component: Component, made: Made) -> bool:
        """Let what is there feed what nothing can feed in time; False where there is too little.

        Whether the times allow it is not for us to say: the windows will.
        """
        ids = {token: name for name, token in made.tokens.items()}
        sources = self.there.sources(component)
        for need in made.stuck:
            left = need.quantity
            for source in sources:
                used = sum(s.quantity for s in made.shares if s.source == source.id)
                part = min(left, source.left - used)
                consumer = ids.get(need.consumer, need.consumer)
                if part > 0 and source.id != consumer:
                    made.shares.append(
                        share(source.id, source.lot, replace(need, consumer=consumer), part)
                    )
                    left -= part
            if left:
                return False
        return True

    def _settle(
        self,
        component: Component,
        asked: list[Need],
        own: list[Need],
        most: int | None,
        least: int,
    ) -> Made:
        needs = sorted(
            (n for n in (*asked, *own) if n.quantity > 0),
            key=lambda n: (n.latest, n.consumer, n.step),
        )
        mine = {n.consumer for n in own}
        extra = [n for n in needs if n.gives is not None]
        shares, open_ = self._from_there(component, [n for n in needs if n.gives is None])
        tight, shorter = fits_all(component), shortest_hold(component, self.grid)
        others = [n for n in open_ if n.consumer not in mine]
        gone_by = [n for n in others if self.begun.gone_by(component, n, self.grid)]
        groups = grouped(
            tight, [n for n in others if n not in gone_by], most, shorter,
            component.id in self.apart,
        )
        made = Made(shares=shares, events={n.consumer: n.events for n in asked})
        for n in asked:
            if n.fresh_from is not None:
                made.fresh[n.consumer] = max(n.fresh_from, made.fresh.get(n.consumer, n.fresh_from))
        called = grouped(component, extra, most, 0, component.id in self.apart)
        for group in called:
            group.key = f"{group.key}/{group.needs[0].gives}"
        groups, made.stuck = from_earlier(
            tight, groups, [n for n in open_ if n.consumer in mine], most, shorter, self.now,
        )
        for group in grouped(tight, gone_by, most, shorter, component.id in self.apart):
            group.gone_by = True
            groups.append(group)
        sources = self.there.sources(component)
        for new in batches_of(component, groups + called, most, least):
            batch = self._new(component, new, sources)
            made.tokens[batch.id] = new.token
            for need, q in new.taken:
                if need.gives is None:
                    made.shares.append(share(batch.id, False, need, q))
                else:
                    made.called[batch.id] = made.called.get(batch.id, frozenset()) | need.events
            made.batches.append(batch)
        for was in self.begun.batches(component):
            made.batches.append(self._as_begun(component, was, needs, shares))
        for begun in self.scenario.week.in_progress:
            if begun.component == component.id:
                made.batches.append(self._begun(component, begun, needs, shares))
        self.names = ids = {token: name for name, token in made.tokens.items()}
        made.shares = [replace(s, consumer=ids.get(s.consumer, s.consumer)) for s in made.shares]
        return made

    def _new(self, component: Component, new: New, sources: list[Source]) -> WorkBatch:
        name = self.begun.name(component, new.number)
        bought, dimension = component.bought_in, component.makes.dimension
        # What is made for what it gives by the way is made in the way that gives it.
        called = any(n.gives for n, _ in new.taken)
        method = None if called else self.chosen.get(name)
        taken, count = sum(q for n, q in new.taken if n.gives is None), 0
        if method == BOUGHT and bought is not None:
            count = packs(taken, component, bought)
            quantity = packed(count, component, bought)
            new = replace(new, quantity=quantity, good=quantity)
        recipe, component = component, made_by(component, method)
        steps = [
            (s, loads_of(s, new.quantity, dimension, component, self.kinds), False)
            for s in component.steps
        ]
        by = min(n.latest for n, _ in new.taken) - up(component.keeps[0].not_before, self.grid)
        stages = staged(steps, by, dimension, component, self.grid)
        if new.bridge:
            # A starter that is only kept going is fed as early as it keeps until it is used,
            # but no earlier than what it begins from asks for.
            itself = (s.latest for s in stages if _takes_itself(s.step, component))
            first = next(itself, stages[0].latest)
            good_until = max((s.ready_by for s in sources), default=0) + component.keeps[0].at_most
            most = bridged(component, shortest_hold(recipe, self.grid))
            slack = min(max(0, first - good_until), most)
            stages = staged(steps, by - slack, dimension, component, self.grid)
        return WorkBatch(
            name, dimension, new.quantity, new.good, stages,
            component=component.id, leftover=new.good - taken, method=method, packs=count,
        )

    def _as_begun(
        self, component: Component, was: PlannedBatch, needs: list[Need], shares: list[WorkShare]
    ) -> WorkBatch:
        """A batch as it was begun, with all its steps: those that are over as well."""
        bought = component.bought_in if was.bought is not None else None
        method = BOUGHT if was.bought is not None else was.method
        component = made_by(component, method)
        dimension = component.makes.dimension
        quantity = self.there.have(was.quantity, component)
        good = self.there.have(was.good, component)
        mine = [s for s in shares if not s.lot and s.source == was.id and s.given is None]
        latest = {(n.consumer, n.step): n.latest for n in needs}
        by = min(
            (latest[s.consumer, s.step] for s in mine if (s.consumer, s.step) in latest),
            default=self.scenario.clock.horizon,
        ) - up(component.keeps[0].not_before, self.grid)
        steps = [
            (s, loads_of(s, quantity, dimension, component, self.kinds), False)
            for s in component.steps
        ]
        return WorkBatch(
            was.id, dimension, quantity, good,
            staged(steps, by, dimension, component, self.grid),
            component=component.id, leftover=good - sum(s.quantity for s in mine),
            method=method, packs=was.bought.packs if bought and was.bought else 0,
        )

    def _begun(
        self, component: Component, begun: InProgress, needs: list[Need], shares: list[WorkShare]
    ) -> WorkBatch:
        component = made_by(component, begun.method)
        dimension = component.makes.dimension
        quantity = self.there.have(begun.quantity, component)
        good = int(quantity * (1 - component.loss.part))
        mine = [s for s in shares if not s.lot and s.source == begun.id]
        latest = {(n.consumer, n.step): n.latest for n in needs}
        by = min(
            (latest[s.consumer, s.step] for s in mine), default=self.scenario.clock.horizon
        ) - up(component.keeps[0].not_before, self.grid)
        return WorkBatch(
            begun.id, dimension, quantity, good,
            staged(
                self.there.left(component, begun, quantity), by, dimension, component, self.grid
            ),
            component=component.id, leftover=good - sum(s.quantity for s in mine),
            in_progress=True, method=begun.method,
        )

    def _takes(self, batch: WorkBatch, made: Made) -> list[Need]:
        """What a component batch takes of other components, or of an earlier batch."""
        assert batch.component is not None
        maker = self.scenario.component[batch.component]
        events = self._events(batch, made)
        onward = [made.fresh[s.consumer] for s in made.shares
                  if s.source == batch.id and s.consumer in made.fresh]  # fmt: skip
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
                        fresh_from=self.dated.through(maker, stage, component, onward),
                    )
                )
        return merged(taken)

    def _events(self, batch: WorkBatch, made: Made) -> frozenset[str]:
        """The events a batch serves in the end."""
        found = set(made.called.get(batch.id, ()))
        for s in made.shares:
            if s.source == batch.id:
                found |= made.events.get(s.consumer, frozenset())
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


def _takes_itself(step: Step, component: Component) -> bool:
    return any(t.component == component.id for t in step.takes)
