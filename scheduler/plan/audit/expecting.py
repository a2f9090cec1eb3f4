"""What is known of something that must wait: by which its hold in the plan is found and judged."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.plan.audit.amounts import so_many

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Keep
    from scheduler.plan.audit.facts import Facts

Place = tuple[str | None, int]
"""A zone (None: the bench) and the shelves it takes there."""


@dataclass(frozen=True, slots=True)
class Expected:
    """One thing that waits.

    Attributes
    ----------
    key : tuple
        Kind, source, step, load and user, by which the plan's hold is found.
    starts, ends : frozenset of int
        Minutes it may be written from and to.
    amount : Fraction
        In base units of `dimension`.
    places : tuple of (zone, shelves)
        Where it may stand, and on how many shelves there.
    store : str or None
        The one store it stands in (a lot on hand).
    units : tuple of str
        The machines it waits in.
    consumers : tuple of str
        Tasks that may be named as ending it; empty: any or none.
    """

    key: tuple[str, str, str | None, int, str | None]
    starts: frozenset[int]
    ends: frozenset[int]
    amount: Fraction
    dimension: Dimension
    of: Component | None
    places: tuple[Place, ...]
    store: str | None = None
    units: tuple[str, ...] = ()
    consumers: tuple[str, ...] = field(default=())

    @property
    def needed(self) -> bool:
        """Does it last at all? What lasts no time needs no hold."""
        return max(self.starts) < min(self.ends)

    @property
    def where(self) -> str:
        """What it is called in a finding."""
        kind, source, step, _, user = self.key
        return f"{kind} of {source}{f'/{step}' if step else ''}{f' for {user}' if user else ''}"


def kept(keeps: tuple[Keep, ...], amount: Quantity, of: Component | None) -> tuple[Place, ...]:
    """Every way of keeping an amount: ceil(amount / per_shelf), or one shelf in all."""
    places: list[Place] = []
    for keep in keeps:
        shelves = 1 if keep.zone is not None else 0
        if keep.zone is not None and keep.per_shelf is not None:
            shelves = so_many(amount, keep.per_shelf, of) or 0
        places.append((keep.zone, shelves))
    return tuple(places)


def about(facts: Facts, minute: int) -> frozenset[int]:
    """A moment, or the point of the grid before it."""
    return frozenset((minute, facts.down(minute)))
