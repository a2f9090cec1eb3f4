"""What must be made, worked out from menus and recipes: batches, loads and shares.

Whole base units (g, ml, pieces, portions) and whole minutes; no times are
decided here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction

    from scheduler.domain.quantity import Dimension
    from scheduler.domain.recipes import Step

PLATING = "plating"
"""The name of a dish's last step."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of one batch.

    Attributes
    ----------
    step : Step
    loads : tuple of int
        What goes through it, load by load, base units of the batch.
    latest : int
        Latest start of its first load by walking back shortest lengths from
        service, minutes; nobody's shift is looked at.
    running : bool
        It began before the week.
    """

    step: Step
    loads: tuple[int, ...]
    latest: int
    running: bool = False


@dataclass(frozen=True, slots=True)
class WorkBatch:
    """One weigh-up of a component, or one dish at one event (a diet and a wave apart).

    Attributes
    ----------
    quantity, good : int
        Weighed up, and after losses. Portions for a dish.
    leftover : int
        Good, but nobody takes it.
    stages : tuple of Stage
        Steps that are to be done (a dish's plating is not among them).
    service : int or None
        A dish: its first plate away, minutes.
    plating : int or None
        A dish: latest start of plating, minutes.
    main : str or None
        A diet: the batch of the same dish before which it is plated.
    method : str or None
        How it is made, where not by the recipe's own steps.
    packs : int
        Bought in: so many.
    """

    id: str
    dimension: Dimension
    quantity: int
    good: int
    stages: tuple[Stage, ...]
    component: str | None = None
    leftover: int = 0
    in_progress: bool = False
    dish: str | None = None
    event: str | None = None
    course: int | None = None
    diet: str | None = None
    wave: int | None = None
    rank: int = 1
    service: int | None = None
    plating: int | None = None
    main: str | None = None
    method: str | None = None
    packs: int = 0


@dataclass(frozen=True, slots=True)
class WorkShare:
    """The part of a batch, or of a lot on hand, that goes to one step of one consumer.

    Attributes
    ----------
    lot : bool
        The source stands on hand.
    quantity : int
        Base units of the component.
    within : int or None
        May wait at most so long, minutes, where the consumer says so.
    portion : Fraction or None
        What one portion takes, where the consumer is a dish.
    given : str or None
        A by-product: the step of the source that gives it.
    """

    source: str
    lot: bool
    component: str
    consumer: str
    step: str
    quantity: int
    within: int | None = None
    portion: Fraction | None = None
    given: str | None = None


@dataclass(frozen=True, slots=True)
class LotUse:
    """What becomes of something on hand: base units taken and left over."""

    lot: str
    component: str
    dimension: Dimension
    used: int
    spare: int


@dataclass(frozen=True, slots=True)
class ByProduct:
    """What a step of a batch gives by the way: base units of the component, given and taken."""

    batch: str
    step: str
    component: str
    quantity: int
    used: int = 0


@dataclass(frozen=True, slots=True)
class Workload:
    """Everything that must happen, consumers before what feeds them."""

    batches: tuple[WorkBatch, ...]
    shares: tuple[WorkShare, ...]
    lots: tuple[LotUse, ...]
    by_products: tuple[ByProduct, ...] = ()

    @property
    def batch(self) -> dict[str, WorkBatch]:
        """Batches by id."""
        return {b.id: b for b in self.batches}
