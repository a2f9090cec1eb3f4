"""Parasites: fish that is served raw has been frozen so cold and for so long in the plan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.cooked import enough
from scheduler.domain.parasites import Stretch, killed, warmest, while_it_runs
from scheduler.domain.profiles import food_classes, food_limits
from scheduler.plan.audit.following import Leg, begins_with, ways_to_plates

if TYPE_CHECKING:
    from scheduler.domain.limits import FoodLimits
    from scheduler.plan.audit.facts import Facts


def check(facts: Facts) -> None:
    """Rule `parasites`: only a limit that is enforced."""
    limits = food_limits(facts.scenario.kitchen)
    limit = limits.parasites
    if limit is None or not limit.hard:
        return
    frozen, told = _Frozen(facts), set()
    for of in food_classes().values():
        for source in begins_with(facts, of.id) if of.parasites and of.served_raw else ():
            for way in ways_to_plates(facts, source, lambda leg: _cooks(leg, limits)):
                where = way[-1].making.id
                if where not in told and not killed(limit, frozen.on(source, way)):
                    told.add(where)
                    facts.broken(
                        "parasites",
                        where,
                        f"{source} in it is served raw and is not frozen first {limit} "
                        f"({limit.source})",
                    )


def _cooks(leg: Leg, limits: FoodLimits) -> bool:
    return any(s.core is not None and enough(s.core, limits.cook_whole) for s in leg.steps)


class _Frozen:
    """How cold it is on a way through a plan, stretch by stretch, in minutes as planned."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.stores = {
            (h.source, h.consumer, h.by_product): h.store
            for h in facts.plan.holds
            if h.kind == "share"
        }

    def on(self, source: str, way: tuple[Leg, ...]) -> Iterator[Stretch]:
        """From the first step of the first batch to the plate."""
        before = source
        for leg in way:
            if leg.share is not None:
                yield self._held(before, leg)
            yield from self._through(leg)
            before = leg.making.id

    def _held(self, source: str, leg: Leg) -> Stretch:
        """In the store in which it stands, from when it is ready (a lot: made) to its use."""
        facts, share = self.facts, leg.share
        tasks = leg.making.of(leg.stages[0])
        if share is None or not tasks:
            return Stretch(None, 1)
        until = min(task.start for task in tasks)
        if source in facts.lots:
            lot = facts.lots[source]
            return self._stands(lot.store, until - facts.scenario.clock.minute(lot.made))
        making = facts.makings[source]
        last = making.stage(share.given) if share.given else making.stages[-1]
        done = making.of(last) if last is not None else []
        if not done:
            return Stretch(None, 1)
        store = self.stores.get((source, tasks[-1].id, share.by_product))
        return self._stands(store, until - max(task.end for task in done))

    def _stands(self, store: str | None, minutes: int) -> Stretch:
        known = self.facts.scenario.store.get(store or "")
        return Stretch(None if known is None else known.warmest, max(0, minutes))

    def _through(self, leg: Leg) -> Iterator[Stretch]:
        scenario, making = self.facts.scenario, leg.making
        for stage in leg.stages:
            tasks = making.of(stage)
            if stage.step is None or not tasks:
                continue
            minutes = min(task.law_end - task.law_start for task in tasks)
            yield Stretch(while_it_runs(scenario, stage.step), max(1, minutes), True)
            after = making.stages[stage.index + 1 :]
            following = making.of(after[0]) if after else []
            if following:
                waits = min(t.start for t in following) - max(t.end for t in tasks)
                cold = warmest(scenario, stage.then.zone if stage.then is not None else None)
                yield Stretch(cold, max(0, waits))


