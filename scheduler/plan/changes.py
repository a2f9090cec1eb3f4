"""The difference between two plans as data: what moved, for whom, and what it does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scheduler.domain.base import Slug
from scheduler.domain.quantity import Quantity
from scheduler.plan.model import Terms

Stretch = tuple[int, int]
"""From and to: minutes from the start of the newer plan's horizon, also for the older plan."""


@dataclass(frozen=True, slots=True)
class JobChange:
    """What becomes of one job, for one person.

    Attributes
    ----------
    kind : str
        new; gone; moved (15 minutes or more, or in another order); given (to `others`);
        taken (over from `others`); elsewhere (on another machine); amount (another quantity).
    key : str
        Which job it is, as in `jobs`.
    task : str
        Its task; empty for duties, cleaning and breaks.
    what, said : str
        The job, and what becomes of it, in words.
    before, after : (int, int) or None
    others : tuple of str
        Ids of people.
    """

    kind: Literal["new", "gone", "moved", "given", "taken", "elsewhere", "amount"]
    key: str
    task: str
    what: str
    said: str
    before: Stretch | None
    after: Stretch | None
    others: tuple[Slug, ...] = ()

    @property
    def later(self) -> int:
        """Minutes by which it begins later; negative: earlier."""
        return self.after[0] - self.before[0] if self.before and self.after else 0


@dataclass(frozen=True, slots=True)
class PersonChange:
    """Everything that changes for one person, in order of time."""

    person: Slug
    name: str
    jobs: tuple[JobChange, ...]


@dataclass(frozen=True, slots=True)
class EventChange:
    """One event before and after; None where it is in one of the plans only.

    Attributes
    ----------
    first_plate : (int or None, int or None)
    guests : (int or None, int or None)
    lacking : (int or None, int or None)
        Portions that lack something; 0: served.
    in_hand : (int or None, int or None)
        The least time, minutes, between ready and needed of what it is plated from and may
        wait an hour or longer; None: nothing may, or it is not known.
    said : str
        What changes, in words; empty: nothing.
    """

    event: Slug
    name: str
    first_plate: tuple[int | None, int | None]
    guests: tuple[int | None, int | None]
    lacking: tuple[int | None, int | None]
    in_hand: tuple[int | None, int | None]
    said: str


@dataclass(frozen=True, slots=True)
class StepChange:
    """One step of a batch (or one load of it) that moves or goes on another machine."""

    task: str
    step: str
    before: Stretch | None
    after: Stretch | None
    units: tuple[tuple[Slug, ...], tuple[Slug, ...]]
    said: str

    @property
    def later(self) -> int:
        """Minutes by which it begins later; negative: earlier."""
        return self.after[0] - self.before[0] if self.before and self.after else 0


@dataclass(frozen=True, slots=True)
class BatchChange:
    """What becomes of one batch.

    Attributes
    ----------
    kind : str
        new; gone; placed (it had no place before); left out (it has none now); changed.
    quantity : (Quantity or None, Quantity or None)
    begins : (int or None, int or None)
        Start of its first step.
    method : (str, str)
        How it is made, in words, where that changes; otherwise both empty.
    steps : tuple of StepChange
    """

    batch: str
    name: str
    kind: Literal["new", "gone", "placed", "left out", "changed"]
    quantity: tuple[Quantity | None, Quantity | None]
    begins: tuple[int | None, int | None]
    method: tuple[str, str]
    steps: tuple[StepChange, ...]
    said: str


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of both plans, in words.

    Attributes
    ----------
    better : bool or None
        Is the new one better? None: as good, or a matter of taste.
    """

    name: str
    before: str
    after: str
    better: bool | None = None

    @property
    def changed(self) -> bool:
        """Do they differ?"""
        return self.before != self.after


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two plans of one week side by side.

    Attributes
    ----------
    headline : str
        One sentence: what a sous chef would call across the kitchen.
    people, batches : tuple
        Only those for whom, and for which, something changes.
    events : tuple of EventChange
        Every event of either week, in order of time.
    figures : tuple of Figure
        Every figure that both plans have.
    terms : (Terms, Terms)
    """

    headline: str
    people: tuple[PersonChange, ...]
    events: tuple[EventChange, ...]
    batches: tuple[BatchChange, ...]
    figures: tuple[Figure, ...]
    terms: tuple[Terms, Terms]

    @property
    def same(self) -> bool:
        """Is there nothing that anybody has to be told?"""
        return not (self.people or self.batches or any(e.said for e in self.events))
