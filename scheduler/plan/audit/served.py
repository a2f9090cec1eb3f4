"""Who goes short: portions that lack something, and whether the plan says so truly."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from scheduler.plan.audit.menu import order_of, orders
from scheduler.plan.audit.shares import amount_of, per_portion, swapped

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making


@dataclass(slots=True)
class Short:
    """Portions of one batch of a dish that lack something, and what."""

    portions: int = 0
    lacks: set[str] = field(default_factory=set)


def short(facts: Facts, making: Making) -> Short:
    """Portions lacking: the most that any one left-out batch leaves without.

    The dish's own batch leaves all of them; a batch that feeds it
    min(portions, ceil(share / what a portion takes)).
    """
    found = Short()
    portions = max(0, ceil(making.size))
    if making.dish is None:
        return found
    if making.id not in facts.placed and portions:
        found.portions, found.lacks = portions, {making.dish.id}
    for name, lacking in _lacking(facts, making).values():
        if lacking:
            found.portions = max(found.portions, min(portions, lacking))
            found.lacks.add(name)
    return found


def _lacking(facts: Facts, making: Making) -> dict[str, tuple[str, int]]:
    """Of every left-out source, what it is and how many portions its shares are for."""
    found: dict[str, tuple[str, int]] = {}
    for share in facts.shares_to.get(making.id, []):
        if share.source in facts.placed or share.source not in facts.batches:
            continue
        of, stage = facts.of_share(share), making.stage(share.step)
        made = facts.component_of(share.source)
        amount = amount_of(facts, share)
        if of is None or made is None or stage is None or not amount or amount < 0:
            continue
        sizes = [
            each
            for t in stage.takes
            if t.component and swapped(t, making) == of.id
            if (each := per_portion(t, of))
        ]
        each = sum(sizes, Fraction(0))
        if each > 0:
            before = found.get(share.source, (made.id, 0))[1]
            found[share.source] = made.id, max(before, ceil(amount / each))
    return found


def served(facts: Facts) -> tuple[int, ...]:
    """Portions lacking something, for events of rank 1, 2, … in turn."""
    ranks = [0] * max(e.rank for e in facts.scenario.week.events)
    there = set()
    for making in facts.makings.values():
        if making.dish is not None and making.event is not None:
            there.add(order_of(making))
            ranks[making.event.rank - 1] += short(facts, making).portions
    for order, portions in orders(facts):
        if order not in there:
            ranks[facts.scenario.event[order[0]].rank - 1] += portions
    return tuple(ranks)


def check(facts: Facts) -> None:
    """Rule `unserved`."""
    said: dict[str, list[tuple[int, frozenset[str], str, str]]] = defaultdict(list)
    for one in facts.plan.unserved:
        said[one.batch].append((one.portions, frozenset(one.lacks), one.event, one.dish))
    for making in facts.makings.values():
        if making.dish is None:
            continue
        lack, words = short(facts, making), said.pop(making.id, [])
        if len(words) > 1:
            facts.broken("unserved", making.id, f"is listed {len(words)} times")
        told = sum(w[0] for w in words)
        if told != lack.portions:
            what = f", lacking {', '.join(sorted(lack.lacks))}" if lack.lacks else ""
            facts.broken(
                "unserved",
                making.id,
                f"the plan says {told} portions go short; they are {lack.portions}{what}",
            )
        for _, lacks, event, dish in words:
            own = {making.dish.id}
            if (lacks | own) != (lack.lacks | own) or (own & lack.lacks) > lacks or not lacks:
                facts.broken(
                    "unserved",
                    making.id,
                    f"lacks {', '.join(sorted(lack.lacks)) or 'nothing'}; the plan says "
                    f"{', '.join(sorted(lacks)) or 'nothing'}",
                )
            if (event, dish) != (making.batch.event, making.dish.id):
                facts.broken("unserved", making.id, f"is not {dish} for {event}")
    for name in said:
        facts.broken("unserved", name, "is no batch of a dish in this plan")
