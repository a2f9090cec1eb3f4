"""Batches that were begun before a week is planned anew: as much as they are, for whom they were.

Every use gets first what it was to get of what was begun, and of lots on hand; only what is asked
beyond what the older plan gave it may take what is left over of these. So nothing is shared out
anew where nothing has changed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Quantity
from scheduler.plan.model import Lost
from scheduler.workload.amounts import convert
from scheduler.workload.dated import Dated
from scheduler.workload.supply import Source, share
from scheduler.workload.walk import staged, up

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Past, PlannedBatch
    from scheduler.workload.demand import Need
    from scheduler.workload.model import WorkShare


class Begun:
    """What of a plan had been begun; nothing where there is no past."""

    def __init__(self, scenario: Scenario, past: Past | None) -> None:
        self.scenario = scenario
        self.past = past
        self.dated = Dated(scenario)

    def batches(self, component: Component) -> Iterator[PlannedBatch]:
        """Batches of a component that had been begun, those in progress left out."""
        for batch in self.past.batches if self.past else ():
            if batch.component == component.id and not batch.in_progress:
                yield batch

    def gone_by(self, component: Component, need: Need, grid: int) -> bool:
        """Is it too late to make something new for a use?

        It shares no batch then: others would have to be ready as early, and lack theirs as well.
        """
        if self.past is None:
            return False
        steps: list[tuple[Step, tuple[int, ...], bool]] = [
            (step, (0,), False) for step in component.steps
        ]
        by = need.latest - up(component.keeps[0].not_before, grid)
        stages = staged(steps, by, component.makes.dimension, component, grid)
        return stages[0].latest < self.past.now

    def name(self, component: Component, number: int) -> str:
        """The id of the n-th new batch: ids of what was begun stay theirs, lost or not."""
        past = self.past
        taken = {b.id for b in past.batches} | set(past.gone) if past else set()
        free = (name for n in count(1) if (name := f"{component.id}.{n}") not in taken)
        for _ in range(number - 1):
            next(free)
        return next(free)

    def _lost(self, source: str, component: Component) -> int:
        lost = self.past.lost if self.past else ()
        return sum(self._units(one.quantity, component) for one in lost if one.source == source)

    def _units(self, quantity: Quantity, component: Component) -> int:
        into = component.makes.dimension
        return int(convert(quantity.base, quantity.dimension, into, component))

    def less(self, component: Component, sources: Sequence[Source]) -> list[Source]:
        """Lots and batches in progress without what of them is lost."""
        for source in sources:
            lost = self._lost(source.id, component)
            source.left = max(0, source.left - lost)
        return list(sources)

    def sources(self, component: Component) -> list[Source]:
        """Batches that had been begun, with what is good of them, ready as the plan had it."""
        if self.past is None:
            return []
        clock, found = self.scenario.clock, []
        for batch in self.batches(component):
            tasks = [t for t in self.past.tasks if t.batch == batch.id]
            ends = [t.end for t in tasks]
            ends += [w.start for w in self.past.was if w.task.startswith(f"{batch.id}/")]
            ready = max(ends, default=clock.minute(self.scenario.week.plan_from))
            begun = min((t.start for t in tasks), default=ready)
            found.append(
                Source(
                    batch.id, False,
                    max(0, self._units(batch.good, component) - self._lost(batch.id, component)),
                    ready, ready, begun=self.dated.begun(component, batch, begun),
                )
            )
        return found

    def as_it_was(
        self,
        component: Component,
        needs: list[Need],
        sources: Sequence[Source],
        names: Mapping[str, str],
    ) -> tuple[list[WorkShare], list[Need], list[Need]]:
        """Shares as they were, what more than before is asked, and what others were to give.

        What a step has already taken goes before what one was only to get. `names`: ids of
        batches whose numbers are not settled.
        """
        if self.past is None:
            return [], needs, []
        by = {(s.id, s.step): s for s in sources}
        begun = {(t.batch, t.step) for t in self.past.tasks}
        less = {*self.past.gone, *(one.source for one in self.past.lost)}
        old: dict[tuple[str, str], list[tuple[str, str | None, int]]] = {}
        for was in self.past.shares:
            of = was.by_product or self._of(was.source)
            if of == component.id:
                quantity = self._units(was.quantity, component)
                old.setdefault((was.consumer, was.step), []).append(
                    (was.source, was.given, quantity)
                )
        shares: list[WorkShare] = []
        more: list[Need] = []
        rest: list[Need] = []
        for need in sorted(needs, key=lambda n: (n.consumer, n.step) not in begun):
            left, promised, short = need.quantity, 0, 0
            consumer = names.get(need.consumer, need.consumer)
            for source, given, quantity in old.get((consumer, need.step), ()):
                promised += quantity
                there = by.get((source, given))
                part = min(left, quantity, there.left) if there is not None else 0
                if part and there is not None:
                    there.left -= part
                    left -= part
                    shares.append(share(source, there.lot, need, part, given))
                if source in less:
                    short += quantity - part
            extra = min(left, max(0, need.quantity - promised) + short)
            if extra:
                more.append(replace(need, quantity=extra))
            if left - extra:
                rest.append(replace(need, quantity=left - extra))
        order = {(n.consumer, n.step): i for i, n in enumerate(needs)}
        more.sort(key=lambda n: order[n.consumer, n.step])
        return shares, more, rest

    def _of(self, source: str) -> str | None:
        """Which component a batch or lot of the older plan is of."""
        week = self.scenario.week
        known = {lot.id: lot.component for lot in week.on_hand}
        known |= {batch.id: batch.component for batch in week.in_progress}
        return known.get(source) or source.rpartition(".")[0] or None


def without(past: Past, out: Collection[str]) -> Past:
    """The past with some batches given up that were begun: gone, and what had gone into them.

    What has been taken of them already stays taken by whoever took it, so they cannot be given
    up: these are left as they are.
    """
    begun = {(t.batch, t.step) for t in past.tasks}
    kept = {s.source for s in past.shares if (s.consumer, s.step) in begun}
    running = {b.id for b in past.batches if b.in_progress}
    gone = {name for name in out if name not in kept | running | set(past.gone)}
    if not gone:
        return past
    used = [
        Lost(source=s.source, quantity=s.quantity)
        for s in past.shares
        if s.consumer in gone and (s.consumer, s.step) in begun and not s.by_product
    ]
    tasks = tuple(t for t in past.tasks if t.batch not in gone)
    here = {t.id for t in tasks}
    return past.model_copy(
        update={
            "tasks": tasks,
            "holds": tuple(h for h in past.holds if h.source not in gone),
            "batches": tuple(b for b in past.batches if b.id not in gone),
            "shares": tuple(s for s in past.shares if s.consumer not in gone),
            "broken_off": tuple(b for b in past.broken_off if b.task in here),
            "settled": tuple(name for name in past.settled if name in here),
            "lost": summed((*past.lost, *used)),
            "gone": (*past.gone, *sorted(gone)),
        }
    )


def summed(lost: Sequence[Lost]) -> tuple[Lost, ...]:
    """What is lost of each source, in all."""
    found: dict[str, Quantity] = {}
    for one in lost:
        there = found.get(one.source)
        base = one.quantity.base + (there.base if there is not None else 0)
        if base > 0:
            found[one.source] = Quantity.of(base, one.quantity.dimension)
    return tuple(Lost(source=name, quantity=q) for name, q in sorted(found.items()))


def put_together(some: list[Need], others: list[Need]) -> list[Need]:
    """Needs of two lists, those of one use as one, in order of latest use."""
    found: dict[tuple[str, str], Need] = {}
    for need in (*some, *others):
        key = need.consumer, need.step
        there = found.get(key)
        if there is not None:
            need = replace(need, quantity=need.quantity + there.quantity)
        found[key] = need
    return sorted(found.values(), key=lambda n: (n.latest, n.consumer, n.step))
