"""How fresh a plan is and how much fresher one could be, as a sentence."""

from __future__ import annotations

from scheduler.domain.times import write_duration
from scheduler.plan.model import Plan

TELLING = 25
"""A percentage is told only below this: a large one says more about the bound than the plan."""
LONG = 600
"""Minutes from which it is told in whole hours, rounded up."""


def freshness(plan: Plan) -> str:
    """What is outside the best bands, and at most how much of that is avoidable.

    avoidable <= quality - bound; its percentage is taken of the bound, which
    is what the best plan for these batches and methods costs at least.
    """
    quality, bound = plan.terms.quality, plan.bound
    said = f"Freshness: {quality} weighted minutes outside the best band"
    if quality == 0:
        return f"{said}."
    if bound is None or bound > quality:
        return f"{said}; how much of it could be avoided is not known."
    gap = quality - bound
    if gap == 0:
        return f"{said}; nothing better exists for these batches and methods."
    hours = f"{-(-gap // 60)} h" if gap >= LONG else write_duration(gap)
    said += f"; at most {hours} of avoidable holding for these batches and methods"
    percent = -(-100 * gap // bound) if bound > 0 else TELLING
    return f"{said} ({percent} %)." if percent < TELLING else f"{said}."
