"""Which lot, running batch or new batch feeds whom, for one component.

Supply order: on hand, oldest first, while still inside its limit at the
consumer's latest start; then in progress; then new batches. Uses close
enough in time share a batch: sorted by latest use, one joins while the
quantity fits and the latest uses lie within the hold limit less 8 hours
(within half of it where the limit is 8 hours or less).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.workload.amounts import ceil_div, equal_parts
from scheduler.workload.loads import weighed
from scheduler.workload.model import WorkShare

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component
    from scheduler.workload.demand import Need

SLACK = 8 * 60
"""So much earlier than the hold limit a shared batch must be used up, minutes."""
A_DAY = 24 * 60
"""A shared batch with a date of use may be begun so long before its first use: a quarter of what
its last use allows, and between 8 and 24 hours; minutes."""


@dataclass
class Source:
    """Something that is there already (a lot, a batch in progress), or given by the way.

    Attributes
    ----------
    ready, ready_by : int
        When it is ready: earliest and latest, minutes.
    step : str or None
        A by-product: the step of the batch that gives it.
    begun : int or None
        From when its date of use counts, where it has one; minutes.
    """

    id: str
    lot: bool
    left: int
    ready: int
    ready_by: int
    reserved: str | None = None
    step: str | None = None
    begun: int | None = None


@dataclass
class Group:
    """Needs that one batch, or a run of equal batches, feeds.

    Attributes
    ----------
    key : str
        What it is called while numbers are not settled.
    bridge : bool
        It only keeps a starter going until the next batch.
    gone_by : bool
        It should have been begun before now.
    """

    key: str
    needs: list[Need] = field(default_factory=list)
    total: int = 0
    bridge: bool = False
    gone_by: bool = False

    def add(self, need: Need) -> None:
        """One more use."""
        self.needs.append(need)
        self.total += need.quantity

    @property
    def latest(self) -> int:
        """Latest start of the first of its uses, minutes."""
        return min(n.latest for n in self.needs)


@dataclass(frozen=True)
class New:
    """A new batch: what is good of it, what is weighed up, and whom it feeds.

    Attributes
    ----------
    token : str
        What it is called while numbers are not settled.
    """

    number: int
    token: str
    bridge: bool
    quantity: int
    good: int
    taken: tuple[tuple[Need, int], ...]


def hold_limit(component: Component, need: Need) -> int:
    """How long the component may wait for this use, minutes."""
    limit = component.keeps[0].at_most
    return limit if need.within is None else min(limit, need.within)


def from_what_is_there(
    component: Component, needs: list[Need], sources: list[Source], early: Mapping[str, int]
) -> tuple[list[WorkShare], list[Need]]:
    """Shares out of lots, running batches and by-products, and what is still needed of each use.

    `early`: how much before its latest start each batch that takes some may be made.
    """
    shares: list[WorkShare] = []
    open_: list[Need] = []
    lots = sorted((s for s in sources if s.lot), key=lambda s: (s.ready, s.id))
    running = sorted(
        (s for s in sources if not s.lot and s.step is None), key=lambda s: (s.ready, s.id)
    )
    given = [s for s in sources if s.step is not None]
    for need in needs:
        left = need.quantity
        near = sorted(given, key=lambda s: (_off(component, need, s), s.ready_by, s.id))
        for source in (*lots, *running, *near):
            if left == 0 or source.left == 0:
                continue
            if not _will_do(component, need, source, early.get(need.consumer, 0)):
                continue
            if not component.mixing and source.left < need.quantity:
                continue
            part = min(left, source.left)
            source.left -= part
            left -= part
            shares.append(share(source.id, source.lot, need, part, source.step))
        if left:
            open_.append(replace(need, quantity=left))
    return shares, open_


def share(
    source: str, lot: bool, need: Need, quantity: int, given: str | None = None
) -> WorkShare:
    """A share that meets a need, or part of it."""
    return WorkShare(
        source, lot, need.component, need.consumer, need.step, quantity, need.within, need.portion,
        given,
    )


def _will_do(component: Component, need: Need, source: Source, early: int) -> bool:
    """Is it ready in time, and still good?

    Of what is there that is asked at the use's latest start; a by-product has
    a stretch in which it may be ready, and its use one in which it may start.
    """
    if source.reserved is not None and need.events != {source.reserved}:
        return False
    if not source.lot and source.id == need.consumer:
        return False
    begun, fresh = source.begun, need.fresh_from
    if begun is not None and fresh is not None and begun < fresh:
        return False
    not_before = component.keeps[0].not_before
    limit = hold_limit(component, need)
    first = need.latest - (early if source.step is not None else 0)
    return source.ready + not_before <= need.latest and first <= source.ready_by + limit


def _off(component: Component, need: Need, source: Source) -> int:
    """By how much a by-product is too late or too old for a use, both at their latest."""
    age = need.latest - source.ready_by
    return max(0, component.keeps[0].not_before - age) + max(0, age - hold_limit(component, need))


def grouped(
    component: Component, needs: list[Need], most: int | None, shortened: int, apart: bool
) -> list[Group]:
    """Needs that share a batch, in order of latest use.

    `shortened`: by how much the hold limit is shorter because the food
    decides when the last step ends. `apart`: none shares.
    """
    groups: list[Group] = []
    for need in needs:
        for group in () if apart else groups:
            if joins(component, group, need, most, shortened):
                break
        else:
            group = Group(f"{need.consumer}/{need.step}")
            groups.append(group)
        group.add(need)
    return groups


def joins(
    component: Component, group: Group, need: Need, most: int | None, shortened: int
) -> bool:
    """May a use share a batch with those of a group, by size, hold limit and date of use?"""
    total = group.total + need.quantity
    if most is not None and weighed(total, component) > most:
        return False
    together = [*group.needs, need]
    limit = min(hold_limit(component, n) for n in together)
    limit -= component.keeps[0].not_before + shortened
    first, last = min(n.latest for n in together), max(n.latest for n in together)
    fresh = max((n.fresh_from for n in together if n.fresh_from is not None), default=None)
    if fresh is not None and first - fresh < min(A_DAY, max(SLACK, (last - fresh) // 4)):
        return False
    spread = last - first
    return spread <= (limit - SLACK if limit > SLACK else limit // 2)


def batches_of(
    component: Component, groups: list[Group], most: int | None, least: int
) -> Iterator[New]:
    """Equal batches for every group, in order of use, with what each need takes of which.

    What has gone by comes last: what can be made keeps the number that it had.
    """
    number = 0
    for group in sorted(groups, key=lambda g: (g.gone_by, g.latest, g.key)):
        open_ = [need.quantity for need in group.needs]
        for part, good in enumerate(parts(group.total, component, most)):
            number += 1
            taken: list[tuple[Need, int]] = []
            left = good
            for i, need in enumerate(group.needs):
                some = min(left, open_[i])
                if some:
                    taken.append((need, some))
                    open_[i] -= some
                    left -= some
            quantity = weighed(good, component)
            if quantity < least:
                quantity = least
                good = max(good, int(Fraction(least) * (1 - component.loss.part)))
            yield New(
                number, f"{group.key}#{part}", group.bridge, quantity, good, tuple(taken)
            )


def parts(total: int, component: Component, most: int | None) -> tuple[int, ...]:
    """What is good of each of the fewest equal batches none of which is above `most`."""
    if most is None or weighed(total, component) <= most:
        return (total,)
    if most <= 0:
        return (total,)
    count = ceil_div(weighed(total, component), most)
    while weighed(equal_parts(total, count)[-1], component) > most and count < total:
        count += 1
    return equal_parts(total, count)
