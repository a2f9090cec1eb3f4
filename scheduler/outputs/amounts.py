"""What goes into a step: every ingredient for just this quantity, and where it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from scheduler.domain.base import Slug
from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import Take
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.making import Making
from scheduler.plan.audit.menu import own_margin
from scheduler.plan.audit.shares import swapped
from scheduler.plan.model import PlannedHold, PlannedTask
from scheduler.plan.words import Names


@dataclass(frozen=True, slots=True)
class Ingredient:
    """Something that goes in.

    Attributes
    ----------
    id, name : str
        A component, or an ingredient as it is delivered.
    amount : Quantity
        What is taken, before it is trimmed; pieces are rounded up.
    where : tuple of str
        Where it stands; empty: nobody says.
    instead_of : str
        What it replaces for a diet; mostly empty.
    """

    id: Slug
    name: str
    amount: Quantity
    where: tuple[str, ...] = ()
    instead_of: str = ""


def ingredients(facts: Facts, names: Names, task: PlannedTask) -> tuple[Ingredient, ...]:
    """Everything that goes into a task when it begins; nothing into what was begun before.

    taken = written x quantity / what the recipe makes / yield; of a dish per portion.
    """
    making = facts.makings.get(task.batch)
    stage = making.stage(task.step) if making else None
    if making is None or stage is None:
        return ()
    if making.begun is not None and stage.index <= making.first:
        return ()
    whole = making.batch.quantity.base
    part = Fraction(task.quantity.base) / whole if whole else Fraction(0)
    return tuple(_scaled(facts, names, making, task, take, part) for take in stage.takes)


def _scaled(
    facts: Facts, names: Names, making: Making, task: PlannedTask, take: Take, part: Fraction
) -> Ingredient:
    name = swapped(take, making) if take.component is not None else take.ingredient or ""
    times = making.size
    if making.component is not None:
        times /= making.component.makes.base
    elif take.component is not None:
        of = facts.scenario.component.get(name)
        if of is not None and of.margin is not None:
            times = own_margin(making, of.margin.part)
    base = take.amount.base * times * part / (take.yield_.part if take.yield_ else 1)
    if take.amount.dimension is Dimension.COUNT:
        base = Fraction(ceil(base))
    instead = take.component if take.component is not None and name != take.component else ""
    return Ingredient(
        name,
        names.component(name) if take.component is not None else name.replace("-", " "),
        Quantity.of(base, take.amount.dimension),
        tuple(dict.fromkeys(_where(facts, names, task, name))),
        names.component(instead) if instead else "",
    )


def _where(facts: Facts, names: Names, task: PlannedTask, name: Slug) -> Iterator[str]:
    """Where what a task takes waits until then; loads of one step take from one place."""
    for hold in facts.plan.holds:
        taker = facts.tasks.get(hold.consumer or "")
        if taker is None or (taker.batch, taker.step) != (task.batch, task.step):
            continue
        if hold.kind == "delivered":
            delivery = facts.deliveries.get(hold.source)
            of = delivery.ingredient if delivery else ""
        elif hold.kind == "share":
            known = facts.of_hold(hold)
            of = known.id if known else ""
        else:
            continue
        if of == name:
            yield standing(names, hold)


def standing(names: Names, hold: PlannedHold) -> str:
    """Where something waits."""
    if hold.store:
        return names.store(hold.store)
    return names.unit(hold.unit) if hold.unit else "the bench"

