"""What is needed to read an engine's answer as a kitchen's plan: which index is what."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction

    from scheduler.domain.quantity import Dimension
    from scheduler.plan.model import Kept, Past
    from scheduler.workload.primitives import Point, Problem


@dataclass(frozen=True, slots=True)
class Holder:
    """What a resource is.

    Attributes
    ----------
    kind : str or None
        The kind of equipment; None for a store.
    unit, store : str or None
        The unit or store it is.
    units : tuple of str
        A counted kind: its units, to be numbered in the plan.
    """

    kind: str | None = None
    unit: str | None = None
    store: str | None = None
    units: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Occupied:
    """One use as the plan will show it: which need, how many places, from when to when."""

    need: int
    use: int
    places: int
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class VisitRecord:
    """Hands: a crew, or the visits of a tend or an add.

    Attributes
    ----------
    item : int
        Place in Problem.crews, .tends or .adds, by `kind` (load, hands and
        unload are crews).
    task : int
        The primitive task.
    takes : tuple of (need, resource, places)
        What each visit of a tend or an add takes.
    """

    kind: str
    item: int
    task: int
    index: int
    verb: str
    taken: tuple[Occupied, ...] = ()
    takes: tuple[tuple[int, int, int], ...] = ()


@dataclass(slots=True)
class TaskRecord:
    """One kitchen task and the primitive tasks it consists of.

    Attributes
    ----------
    began : int or None
        Running when the week opens: when its law began, minutes.
    """

    id: str
    batch: str
    step: str
    load: int
    loads: int
    quantity: int
    dimension: Dimension
    parts: dict[str, int]
    visits: list[VisitRecord] = field(default_factory=list)
    taken: list[Occupied] = field(default_factory=list)
    began: int | None = None


@dataclass(frozen=True, slots=True)
class HoldRecord:
    """Something that waits.

    Attributes
    ----------
    use : int or None
        The use of shelves; None at the bench or in a machine.
    machine : int or None
        The use of the machine it waits in.
    end_minute : int or None
        Where the end is known and off the grid.
    """

    kind: str
    source: str
    step: str | None
    load: int
    consumer: str | None
    quantity: int
    dimension: Dimension
    start: Point
    end: Point
    shelves: int
    use: int | None = None
    machine: int | None = None
    by_product: str | None = None


@dataclass(frozen=True, slots=True)
class DutyRecord:
    """One occurrence of a standing duty; `taken`: uses of equipment, each with its places."""

    id: str
    duty: str
    task: int
    crew: int | None
    taken: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class BreakRecord:
    """A break that moves: the rest of its id, and whose it is."""

    id: str
    person: str
    task: int


@dataclass(frozen=True, slots=True)
class Compiled:
    """A week as primitives, and what each of them means.

    Attributes
    ----------
    batch : dict of str to int
        Batch, duty, lot or service: its place in Problem.batches.
    short : dict of (batch, step, load) to (ingredient, amount)
        Tasks for which too little of an ingredient comes this week.
    kept : tuple of Kept
        Tasks that stay.
    past : Past or None
        What had happened.
    """

    problem: Problem
    batch: dict[str, int]
    tasks: tuple[TaskRecord, ...]
    holds: tuple[HoldRecord, ...]
    duties: tuple[DutyRecord, ...]
    holders: tuple[Holder, ...]
    short: dict[tuple[str, str, int], tuple[str, Fraction]]
    breaks: tuple[BreakRecord, ...] = ()
    kept: tuple[Kept, ...] = ()
    past: Past | None = None
