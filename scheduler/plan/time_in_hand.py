"""Time in hand of an event: between ready and needed."""

from __future__ import annotations

from dataclasses import dataclass

from scheduler.domain.base import Slug
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit.clocks import uses
from scheduler.plan.audit.facts import Facts
from scheduler.plan.model import Plan

MAY_WAIT = 60
"""Minutes that something must be allowed to wait for its time in hand to say anything."""


@dataclass(frozen=True, slots=True)
class InHand:
    """The least time in hand of an event, minutes, and the batch that has it."""

    minutes: int
    batch: str


def in_hand(scenario: Scenario, plan: Plan) -> dict[Slug, InHand]:
    """Per event the least time between ready and used of what its dishes are made from.

    min over shares to its dishes of (start of the consumer - ready). What must be used
    within the hour, and what was on hand when the week began, is left out.
    """
    facts = Facts(scenario, plan)
    found: dict[Slug, InHand] = {}
    for use in uses(facts):
        of, consumer = facts.of_share(use.share), facts.makings[use.share.consumer]
        if of is None or consumer.event is None or use.share.source in facts.lots:
            continue
        if of.keeps[0].at_most < MAY_WAIT:
            continue
        one = InHand(use.first - use.clock.ready, use.share.source)
        best = found.get(consumer.event.id)
        if best is None or one.minutes < best.minutes:
            found[consumer.event.id] = one
    return found
