"""How good a plan is and how much better one could be, as a sentence; and the worst of each part.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.times import write_duration
from scheduler.plan.model import Plan

if TYPE_CHECKING:
    from scheduler.plan.audit.report import Cost
    from scheduler.plan.words import Names

TELLING = 25
"""A percentage is told only below this: a large one says more about the bound than the plan."""
LONG = 600
"""Minutes from which it is told in whole hours, rounded up."""
PARTS = {
    "freshness": "freshness",
    "in_hand": "time in hand",
    "calm": "calm",
    "wishes": "wishes",
}
"""Part of quality: what it is called."""


def freshness(plan: Plan) -> str:
    """What is outside the best bands, and at most how much of that is avoidable.

    avoidable <= quality - bound; its percentage is taken of the bound, which
    is what the best plan for these batches and methods costs at least.
    """
    quality, bound, terms = plan.terms.quality, plan.bound, plan.terms
    more = {p: n for p in PARTS if (n := int(getattr(terms, p))) and p != "freshness"}
    said = f"Freshness: {quality} weighted minutes outside the best band"
    what = "of avoidable holding"
    if more:
        each = [f"{PARTS['freshness']} {terms.freshness}"] if terms.freshness else []
        each += [f"{PARTS[p]} {n}" for p, n in more.items()]
        said = f"Quality: {quality} weighted minutes ({', '.join(each)})"
        what = "of it avoidable"
    if quality == 0:
        return f"{said}."
    if bound is None or bound > quality:
        return f"{said}; how much of it could be avoided is not known."
    gap = quality - bound
    if gap == 0:
        return f"{said}; nothing better exists for these batches and methods."
    hours = f"{-(-gap // 60)} h" if gap >= LONG else write_duration(gap)
    said += f"; at most {hours} {what} for these batches and methods"
    percent = -(-100 * gap // bound) if bound > 0 else TELLING
    return f"{said} ({percent} %)." if percent < TELLING else f"{said}."


def worst(names: Names) -> str:
    """The worst of each part of quality in a sentence; nothing where freshness is all there is."""
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.terms import costs

    terms = names.plan.terms
    if not (terms.in_hand or terms.calm or terms.wishes):
        return ""
    found: dict[str, Cost] = {}
    for cost in costs(Facts(names.scenario, names.plan)):
        if cost.price > (found[cost.part].price if cost.part in found else 0):
            found[cost.part] = cost
    said = [
        f"{PARTS[part]}, {names.place(found[part].where)} {found[part].what} ({found[part].price})"
        for part in PARTS
        if part in found
    ]
    return f"Worst: {'; '.join(said)}." if said else ""
