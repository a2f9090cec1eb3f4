"""Clocks of what is made or on hand: when it was ready, when it is used, how old it is then."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.making import PLATING
from scheduler.plan.audit.service import service
from scheduler.plan.audit.shares import swapped
from scheduler.plan.audit.steps import head_start

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making
    from scheduler.plan.model import PlannedTask, Share


@dataclass(frozen=True, slots=True)
class Clock:
    """Minutes from which the age of a source counts.

    Attributes
    ----------
    ready : int
        End of the last load of its last step: from then on it can be used.
    first_out : int
        End of the first load to be done: limits count from there.
    shortest : int
        The same where the food decides and it took no longer than it must.
    freshness : int
        End of load 1: the best band counts from there.
    """

    ready: int
    first_out: int
    shortest: int
    freshness: int


def clock_of(facts: Facts, source: str, given: str | None = None) -> Clock | None:
    """The clock of a planned batch or of a lot; None if it is not there.

    `given`: of what that step of the batch gives by the way.
    """
    if source in facts.lots:
        made = facts.scenario.clock.minute(facts.lots[source].made)
        return Clock(made, made, made, made)
    making = facts.makings.get(source)
    last = making.stages[-1] if making else None
    if making is not None and given is not None:
        last = making.stage(given)
    tasks = making.of(last) if making and last else []
    if making is None or last is None or not tasks:
        return None
    return Clock(
        max(t.end for t in tasks),
        min(t.end for t in tasks),
        min(t.end - head_start(facts, making, last, t) for t in tasks),
        tasks[0].end,
    )


@dataclass(frozen=True, slots=True)
class Use:
    """A share and the tasks that use it up, in order of loads."""

    share: Share
    tasks: list[PlannedTask]
    clock: Clock

    @property
    def first(self) -> int:
        """When the first of it is used."""
        return min(t.start for t in self.tasks)

    @property
    def last(self) -> int:
        """When the last of it is used: until then it stands where it is kept."""
        return max(t.start for t in self.tasks)


def uses(facts: Facts) -> list[Use]:
    """Every share whose source is there and whose consumer is planned."""
    found = []
    clocks: dict[tuple[str, str | None], Clock | None] = {}
    for share in facts.plan.shares:
        key = share.source, share.given
        if key not in clocks:
            clocks[key] = clock_of(facts, *key)
        clock = clocks[key]
        consumer = facts.makings.get(share.consumer)
        tasks = consumer.tasks.get(share.step, []) if consumer else []
        if clock is not None and tasks and facts.of_share(share) is not None:
            found.append(Use(share, tasks, clock))
    return found


def fresh_within(facts: Facts, share: Share) -> int | None:
    """How long a share may wait by the word of the step that takes it."""
    consumer = facts.makings.get(share.consumer)
    stage = consumer.stage(share.step) if consumer else None
    of = facts.of_share(share)
    if consumer is None or stage is None or of is None:
        return None
    limits = [t.within for t in stage.takes if t.component and swapped(t, consumer) == of.id]
    if not limits or None in limits:
        return None
    return max(w for w in limits if w is not None)


def check(facts: Facts) -> None:
    """Rules `ready`, `not-before`, `hold-limit` and `within` of shares, `plated-hold` of dishes."""
    for use in uses(facts):
        of = facts.of_share(use.share)
        if of is None:
            continue
        keep, where = of.keeps[0], use.tasks[-1].id
        source = use.share.source
        named = f"{of.id} of {source}" if use.share.by_product else source
        gap = use.first - use.clock.ready
        if gap < 0 and source not in facts.lots:
            facts.broken(
                "ready",
                where,
                f"starts {facts.at(use.first)}, {lasting(-gap)} before {named} is ready",
                -gap,
            )
        elif gap < keep.not_before:
            facts.broken(
                "not-before",
                where,
                f"uses {named} after {lasting(gap)}, it must wait {lasting(keep.not_before)}",
                keep.not_before - gap,
            )
        age = use.last - use.clock.shortest
        if age > keep.at_most:
            facts.broken(
                "hold-limit",
                where,
                f"{named} holds {lasting(age)} until {facts.at(use.last)}"
                f"{' from its shortest' if use.clock.shortest < use.clock.first_out else ''}, "
                f"limit {lasting(keep.at_most)}",
                age - keep.at_most,
            )
        within = fresh_within(facts, use.share)
        waited = use.last - use.clock.first_out
        if within is not None and waited > within:
            facts.broken(
                "within",
                where,
                f"{named} has waited {lasting(waited)}, this step allows {lasting(within)}",
                waited - within,
            )
    for making in facts.makings.values():
        _plated(facts, making)


def plated_from(facts: Facts, making: Making) -> tuple[int, int] | None:
    """From the start of plating to the first plate away, of a planned dish that may wait."""
    tasks = making.tasks.get(PLATING, [])
    if making.dish is None or making.dish.keeps is None or not tasks:
        return None
    return tasks[0].start, service(facts, making)


def _plated(facts: Facts, making: Making) -> None:
    span = plated_from(facts, making)
    if span is None or making.dish is None or making.dish.keeps is None:
        return
    keep, waits = making.dish.keeps, span[1] - span[0]
    if waits > keep.at_most:
        facts.broken(
            "plated-hold",
            making.id,
            f"waits plated {lasting(waits)} until {facts.at(span[1])}, "
            f"limit {lasting(keep.at_most)}",
            waits - keep.at_most,
        )
    elif 0 <= waits < keep.not_before:
        facts.broken(
            "not-before",
            making.id,
            f"waits plated {lasting(waits)}, must wait {lasting(keep.not_before)}",
            keep.not_before - waits,
        )
