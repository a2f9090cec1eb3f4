"""Last calls as they come: until when something can be begun again, raised, or ordered in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.plan.waiting import LastCall
from scheduler.plan.words import Names

UNPLANNED, BEGUN = "unplanned", "begun"
"""What stands instead of a moment: it found no place, or it is too late to raise its amount."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """A last call that is still to come.

    Attributes
    ----------
    by : int
        The moment, minutes from the horizon's start.
    batch : str
    step : str
        What must begin by then, in words; `order` for what is bought in.
    until : str
        Until when its number can be raised, in words.
    orders : bool
        It is the last moment to order in what is made here.
    """

    by: int
    batch: str
    step: str
    until: str
    orders: bool = False


def ahead(names: Names, calls: Sequence[LastCall], now: int) -> list[Ahead]:
    """The last calls from a moment on, in time order; of what is made and kept.

    A number can be raised until the batch is begun (or ordered) as planned;
    it can be started again as long as the windows of its work allow. When a
    dish is plated stands with its event.
    """
    made = {b.id: b for b in names.plan.batches if b.component is not None}
    begun = {b.id: b.bought.order_by for b in made.values() if b.bought is not None}
    for task in names.plan.tasks:
        if task.batch in made and made[task.batch].bought is None:
            begun[task.batch] = min(begun.get(task.batch, task.start), task.start)
    found = []
    for call in calls:
        if call.batch not in made:
            continue
        start = begun.get(call.batch)
        until = UNPLANNED if start is None else names.moment(start)
        until = BEGUN if start is not None and start < now else until
        bought = made[call.batch].bought is not None
        step = "order" if bought else names.step(call.batch, call.step)
        found.append(Ahead(call.by, call.batch, step, until))
        if call.order_in is not None:
            found.append(Ahead(call.order_in, call.batch, step, until, True))
    said = (c for c in found if c.by >= now)
    return sorted(said, key=lambda c: (c.by, c.orders, names.batch(c.batch), c.step, c.until))
