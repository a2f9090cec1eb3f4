"""Shares: what a recipe takes is there, step by step, and nothing gives more than it has."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Quantity
from scheduler.plan.audit.amounts import A_UNIT, measure
from scheduler.plan.audit.batches import good
from scheduler.plan.audit.menu import own_margin

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Take
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import Share


def swapped(take: Take, making: Making) -> str:
    """The component that a take asks for; a diet may replace it."""
    name = take.component or ""
    return making.diet.swap.get(name, name) if making.diet else name


def per_portion(take: Take, of: Component) -> Fraction | None:
    """What one portion (or what the recipe makes) takes, in the component's own dimension."""
    amount = measure(take.amount, of.makes.dimension, of)
    if amount is None:
        return None
    return amount / take.yield_.part if take.yield_ else amount


def wanted(facts: Facts, making: Making, stage: Stage) -> dict[str, int]:
    """What a stage takes of every component: amount x q / makes / yield, rounded up.

    For a dish q is its portions, or those of the component's own margin.
    """
    sums: dict[str, int] = {}
    if making.begun is not None and stage.index <= making.first:
        return sums
    for take in stage.takes:
        if take.component is None:
            continue
        name = swapped(take, making)
        of = facts.scenario.component.get(name)
        each = per_portion(take, of) if of else None
        if of is None or each is None:
            continue
        times = making.size
        if making.component is not None:
            times /= making.component.makes.base
        elif of.margin is not None:
            times = own_margin(making, of.margin.part)
        sums[name] = sums.get(name, 0) + ceil(each * times)
    return sums


def amount_of(facts: Facts, share: Share) -> Fraction | None:
    """A share in the base units of its own component."""
    of = facts.of_share(share)
    return measure(share.quantity, of.makes.dimension, of) if of else None


def check(facts: Facts) -> None:
    """Rules `shares`, `given`, `by-product`, `reserved`, `mixing` and `measure`."""
    for share in facts.plan.shares:
        if facts.of_share(share) is None and share.source in facts.batches:
            facts.broken("shares", share.consumer, f"{share.source} is no component")
        elif facts.of_share(share) and amount_of(facts, share) is None:
            facts.broken(
                "measure",
                f"{share.source} for {share.consumer}",
                f"'{share.quantity}' is in a measure that it cannot be reckoned in",
            )
    for making in facts.makings.values():
        _needs(facts, making)
    _given(facts)
    _reserved(facts)


def _needs(facts: Facts, making: Making) -> None:
    got: dict[tuple[str, str], list[Share]] = defaultdict(list)
    for share in facts.shares_to.get(making.id, []):
        of = facts.of_share(share)
        if of is not None:
            got[share.step, of.id].append(share)
        if share.source == making.id:
            facts.broken("shares", making.id, "feeds itself")
    for stage in making.stages:
        for name, needed in wanted(facts, making, stage).items():
            shares = got.pop((stage.id, name), [])
            of = facts.scenario.component[name]
            total = sum((amount_of(facts, s) or 0 for s in shares), Fraction(0))
            where = f"{making.id}/{stage.id}"
            if total != needed:
                need = Quantity.of(needed, of.makes.dimension)
                have = Quantity.of(total, of.makes.dimension)
                facts.broken("shares", where, f"takes {need} of {name}; its shares come to {have}")
            if not of.mixing and len({s.source for s in shares}) > 1:
                names = ", ".join(sorted({s.source for s in shares}))
                facts.broken("mixing", where, f"takes {name} from {names}, which may not be mixed")
    for (step, name), shares in got.items():
        sources = ", ".join(s.source for s in shares)
        facts.broken(
            "shares", f"{making.id}/{step}", f"takes no {name} by its recipe, yet gets {sources}"
        )


def _given(facts: Facts) -> None:
    for source, every in facts.shares_from.items():
        _by_the_way(facts, source, [s for s in every if s.by_product or s.given])
        of = facts.component_of(source)
        shares = [s for s in every if not s.by_product]
        if of is None:
            continue
        if source in facts.lots:
            lot = facts.lots[source]
            has = measure(lot.quantity, of.makes.dimension, of) or Fraction(0)
        else:
            has = good(facts.makings[source])
        has -= lost(facts, source)
        total = sum((amount_of(facts, s) or 0 for s in shares), Fraction(0))
        if any(s.quantity.base <= 0 for s in shares):
            facts.broken("given", source, "gives a share of nothing")
        if total > has:
            facts.broken(
                "given",
                source,
                f"gives {Quantity.of(total, of.makes.dimension)}, has "
                f"{Quantity.of(has, of.makes.dimension)}",
            )


def gives(making: Making, stage: Stage, name: str) -> Fraction:
    """What a stage gives of a component by the way: amount x q / makes, in base units."""
    if stage.step is None or making.component is None or stage.index < making.first:
        return Fraction(0)
    return sum(
        (
            g.amount.base * making.size / making.component.makes.base
            for g in stage.step.gives
            if g.component == name
        ),
        Fraction(0),
    )


def _by_the_way(facts: Facts, source: str, shares: list[Share]) -> None:
    """By-products come from a step that is still to come and gives them, and no more of them."""
    making = facts.makings.get(source)
    sums: dict[tuple[str, str], Fraction] = defaultdict(Fraction)
    for share in shares:
        stage = making.stage(share.given or "") if making else None
        of = facts.of_share(share)
        if making is None or stage is None or of is None or not gives(making, stage, of.id):
            what = share.by_product or "something"
            facts.broken(
                "by-product", share.consumer, f"takes {what} of {source}, which gives none "
                f"in {share.given or 'any step'}",
            )  # fmt: skip
            continue
        if share.quantity.base <= 0:
            facts.broken("given", source, "gives a share of nothing")
        sums[stage.id, of.id] += amount_of(facts, share) or 0
    for (step, name), total in sums.items():
        stage = making.stage(step) if making else None
        of = facts.scenario.component[name]
        if making is None or stage is None:
            continue
        has = gives(making, stage, name)
        given = next(g for g in stage.step.gives if g.component == name) if stage.step else None
        if given is not None and given.amount.dimension is not of.makes.dimension:
            has = measure(Quantity.of(has, given.amount.dimension), of.makes.dimension, of) or has
        if total > has:
            facts.broken(
                "by-product",
                f"{source}/{step}",
                f"gives {Quantity.of(has, of.makes.dimension)} of {name}; "
                f"{Quantity.of(total, of.makes.dimension)} are taken",
            )


def lost(facts: Facts, source: str) -> Fraction:
    """What of a batch or lot goes to nobody."""
    of, past = facts.component_of(source), facts.plan.past
    if of is None or past is None:
        return Fraction(0)
    every = (one.quantity for one in past.lost if one.source == source)
    return sum((measure(q, of.makes.dimension, of) or Fraction(0) for q in every), Fraction(0))


def left_over(facts: Facts, source: str) -> Fraction:
    """What nobody takes of a batch or a lot; under a base unit is nothing."""
    of = facts.component_of(source)
    if of is None:
        return Fraction(0)
    if source in facts.lots:
        has = measure(facts.lots[source].quantity, of.makes.dimension, of) or Fraction(0)
    else:
        has = good(facts.makings[source])
    shares = [s for s in facts.shares_from.get(source, []) if not s.by_product]
    given = sum((amount_of(facts, s) or 0 for s in shares), Fraction(0))
    left = has - given - lost(facts, source)
    return left if left >= A_UNIT else Fraction(0)


def _reserved(facts: Facts) -> None:
    week = facts.scenario.week
    kept = [(x.id, x.reserved_for) for x in week.on_hand if x.reserved_for]
    kept += [(x.id, x.reserved_for) for x in week.in_progress if x.reserved_for]
    for source, event in kept:
        for consumer in sorted({s.consumer for s in facts.shares_from.get(source, [])}):
            elsewhere = sorted(_events(facts, consumer) - {event})
            if elsewhere:
                facts.house(
                    "reserved",
                    source,
                    f"is reserved for {event}; through {consumer} it goes to "
                    f"{', '.join(elsewhere)}",
                    lot=source,
                )


def _events(facts: Facts, start: str) -> set[str]:
    seen, todo, events = {start}, [start], set[str]()
    while todo:
        name = todo.pop()
        batch = facts.batches.get(name)
        if batch is not None and batch.event is not None:
            events.add(batch.event)
        for share in facts.shares_from.get(name, []):
            # What is reserved does not go on in what is left beside what it was made into.
            if share.consumer not in seen and not share.by_product:
                seen.add(share.consumer)
                todo.append(share.consumer)
    return events
