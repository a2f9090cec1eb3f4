"""What must wait, by the tasks of a plan: between steps, as shares, plated, left over, spare."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.plan.audit.amounts import measure, so_many
from scheduler.plan.audit.clocks import clock_of, plated_from, uses
from scheduler.plan.audit.crates import crates
from scheduler.plan.audit.expecting import Expected, Place, about, kept
from scheduler.plan.audit.shares import amount_of, left_over
from scheduler.plan.audit.waits import Waiting, neighbours, waiting

if TYPE_CHECKING:
    from scheduler.domain.recipes import Keep
    from scheduler.plan.audit.clocks import Use
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage

def expected(facts: Facts) -> Iterator[Expected]:
    """Everything that waits in a plan."""
    for making in facts.makings.values():
        for one, other in neighbours(making):
            # What must follow at once has nowhere to wait.
            for wait in waiting(making, one, other) if one.then else ():
                yield _between(facts, making, one, other, wait)
        yield from _loads(facts, making)
        yield from _plated(facts, making)
        yield from _leftover(facts, making)
    for use in uses(facts):
        yield _share(facts, use)
    yield from _spare(facts)
    yield from crates(facts)


def _between(facts: Facts, making: Making, one: Stage, other: Stage, wait: Waiting) -> Expected:
    then = one.then
    units: tuple[str, ...] = ()
    places: tuple[Place, ...] = ((None, 0),)
    if then is not None and then.in_machine:
        units = tuple(dict.fromkeys(t.unit for t in wait.before.taken if t.unit)) or ("?",)
    elif then is not None and then.zone is not None:
        shelves = standing(facts, making, one, other, wait.quantity)
        if shelves is None:
            shelves = 1
            if then.per_shelf is not None:
                shelves = so_many(wait.quantity, then.per_shelf, making.component) or 0
        places = ((then.zone, shelves),)
    amount = measure(wait.quantity, making.dimension, making.component)
    users = tuple(t.id for t in making.of(other))
    return Expected(
        ("wait", making.id, one.id, wait.load, None),
        frozenset((wait.start,)),
        frozenset((wait.end,)),
        amount or Fraction(0),
        making.dimension,
        making.component,
        places,
        units=units,
        consumers=(wait.after.id, *users),
    )


def standing(
    facts: Facts, making: Making, one: Stage, other: Stage, quantity: Quantity
) -> int | None:
    """Shelves that containers take which are filled by `one` or before and emptied later.

    ceil(containers / per_shelf), summed over kinds; None where none that goes
    on a shelf spans the wait.
    """
    found = None
    for stage in making.stages[: one.index + 1]:
        for need in stage.needs:
            until = making.stage(need.until) if need.until else None
            if until is None or until.index < other.index or need.equipment is None:
                continue
            kind = facts.units(need.equipment)[0][0]
            if kind.per_shelf is None:
                continue
            count = need.amount
            if need.per is not None:
                count = so_many(quantity, need.per, making.component) or 0
            found = (found or 0) + -(-count // kind.per_shelf)
    return found


def _loads(facts: Facts, making: Making) -> Iterator[Expected]:
    """Early loads of the last step stand until the last load is out."""
    last = making.stages[-1]
    tasks = making.of(last)
    if making.component is None or len(tasks) < 2:
        return
    out = frozenset((tasks[-1].end, max(t.end for t in tasks)))
    for task in tasks[:-1]:
        amount = measure(task.quantity, making.dimension, making.component)
        yield Expected(
            ("loads", making.id, last.id, task.load, None),
            frozenset((task.end,)),
            out,
            amount or Fraction(0),
            making.dimension,
            making.component,
            kept(making.component.keeps, task.quantity, making.component),
        )


def _plated(facts: Facts, making: Making) -> Iterator[Expected]:
    span = plated_from(facts, making)
    if span is None or making.dish is None or making.dish.keeps is None:
        return
    portions = Quantity.of(making.size, Dimension.COUNT)
    yield Expected(
        ("plated", making.id, None, 1, None),
        frozenset(span[:1]),
        frozenset(span[1:]),
        making.size,
        Dimension.COUNT,
        None,
        kept((making.dish.keeps,), portions, None),
    )


def _share(facts: Facts, use: Use) -> Expected:
    share, lot = use.share, facts.lots.get(use.share.source)
    of = facts.of_share(share)
    assert of is not None  # `uses` yields no other
    # The first load of a by-product waits from its own end, as there is no hold of loads for it.
    starts = {use.clock.ready if share.given is None else use.clock.freshness}
    keeps: tuple[Keep, ...] = of.keeps
    if lot is not None:
        # A lot stands there from before the week; the audit asks from planning on.
        starts = {0, facts.now, facts.down(facts.now + facts.grid - 1), use.clock.ready}
        starts = {s for s in starts if s <= facts.now + facts.grid}
    places = kept(keeps, share.quantity, of)
    store = lot.store if lot else None
    if lot is not None and store is None:
        places = ((None, 0),)
    return Expected(
        ("share", share.source, share.by_product, 1, f"{share.consumer}/{share.step}"),
        frozenset(starts),
        frozenset((use.last,)),
        amount_of(facts, share) or Fraction(0),
        of.makes.dimension,
        of,
        places,
        store=store,
        consumers=tuple(t.id for t in reversed(use.tasks)),
    )


def _leftover(facts: Facts, making: Making) -> Iterator[Expected]:
    of, clock = making.component, clock_of(facts, making.id)
    if of is None or of.leftover != "kept" or clock is None:
        return
    left = left_over(facts, making.id)
    if left > 0:
        yield Expected(
            ("leftover", making.id, None, 1, None),
            frozenset((clock.ready,)),
            about(facts, facts.horizon),
            left,
            making.dimension,
            of,
            kept(of.keeps, Quantity.of(left, making.dimension), of),
        )


def _spare(facts: Facts) -> Iterator[Expected]:
    for lot in facts.lots.values():
        of = facts.scenario.component.get(lot.component)
        left = left_over(facts, lot.id)
        if of is None or left <= 0:
            continue
        made = facts.scenario.clock.minute(lot.made)
        ends = about(facts, min(facts.horizon, made + of.keeps[0].at_most))
        amount = Quantity.of(left, of.makes.dimension)
        starts = {0, facts.now, facts.down(facts.now + facts.grid - 1), made}
        yield Expected(
            ("spare", lot.id, None, 1, None),
            frozenset(s for s in starts if s <= facts.now + facts.grid),
            ends,
            left,
            of.makes.dimension,
            of,
            kept(of.keeps, amount, of) if lot.store else ((None, 0),),
            store=lot.store,
        )
