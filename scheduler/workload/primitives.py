"""The few things both engines understand.

A kitchen's week and a published scheduling instance compile to the same
seven primitives, and nothing else reaches an engine: a *task* with a range
of length, a *link* from one endpoint to another, a *use* of a resource from
one endpoint to another, a *state* of a resource with change-over gaps, *hands*
over a task or at visits inside it, a *choice* among options, and what is
*fixed*.

Time is whole ticks from the start of the horizon, half-open; one tick is
`Problem.grid` minutes. Everything refers to everything else by index.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

HORIZON_START = -1
HORIZON_END = -2
FOREVER = 1 << 30
"""Longer than any horizon, ticks."""


@dataclass(frozen=True, slots=True)
class Point:
    """An endpoint: the start or end of a task, or an end of the horizon."""

    task: int
    end: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """Cost of a length x (minutes): weight * (max(0, low - x) + max(0, x - high)).

    Attributes
    ----------
    low, high : int
        Best band, in minutes (not ticks).
    weight : int
        Cost of each minute outside.
    """

    low: int
    high: int
    weight: int

    def cost(self, minutes: int) -> int:
        """The cost of one length."""
        return self.weight * (max(0, self.low - minutes) + max(0, minutes - self.high))


@dataclass(frozen=True, slots=True)
class Task:
    """A stretch of time.

    Attributes
    ----------
    id : str
    batch : int
        Index of the batch it belongs to: what is inserted together.
    least, most : int
        Length, ticks.
    earliest, latest : int
        start >= earliest, end <= latest, ticks.
    within : tuple of (int, int) or None
        The whole task lies inside one of these disjoint stretches (somebody on shift).
    stretch : Band or None
        Cost of its length.
    """

    id: str
    batch: int
    least: int
    most: int
    earliest: int
    latest: int
    within: tuple[tuple[int, int], ...] | None = None
    stretch: Band | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """least <= time(after) - time(before) <= most, ticks; None: no bound. Costs by `band`."""

    before: Point
    after: Point
    least: int | None = 0
    most: int | None = None
    band: Band | None = None


@dataclass(frozen=True, slots=True)
class Resource:
    """Something with a capacity, and perhaps a state.

    Uses that overlap come to at most `capacity`. With `setup`, uses in
    different states never overlap and are at least setup[s][t] ticks apart
    (s before t), and none starts before initial[s]. The gaps obey the
    triangle inequality.
    """

    id: str
    capacity: int
    states: tuple[tuple[str, int], ...] = ()
    setup: tuple[tuple[int, ...], ...] | None = None
    initial: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Option:
    """One way to decide a choice: a resource, and its state where it has states."""

    resource: int
    state: int | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """Exactly one option is taken; all uses that name the choice follow it."""

    batch: int
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class Use:
    """`amount` of the chosen resource from one endpoint to another.

    It counts only when it is longer than `grace` ticks. Length 0 occupies nothing.
    """

    batch: int
    choice: int
    amount: int
    start: Point
    end: Point
    grace: int = 0


@dataclass(frozen=True, slots=True)
class Line:
    """`count` distinct people out of `people` (indices, ascending)."""

    people: tuple[int, ...]
    count: int = 1


@dataclass(frozen=True, slots=True)
class Way:
    """One way to man a task: these people, for a length from `least` to `most` ticks.

    `price`: what that way costs, in the units of a band.
    """

    lines: tuple[Line, ...]
    least: int = 0
    most: int = FOREVER
    price: int = 0


@dataclass(frozen=True, slots=True)
class Crew:
    """Hands all through a task, the same from start to end, in exactly one of its ways.

    Distinct people over all lines of the way; the task's length lies in the
    way's range. Which way is taken is not written down: the cheapest that fits
    the people and the length (`way_taken`).
    """

    task: int
    ways: tuple[Way, ...]


@dataclass(frozen=True, slots=True)
class VisitUse:
    """A resource that every visit takes while it lasts (no choice)."""

    resource: int
    amount: int


@dataclass(frozen=True, slots=True)
class Tend:
    """Visits inside a task.

    With `gap`: from the task's start (or `since` ticks before it) and from the
    end of each visit, the next visit starts gap[0]..gap[1] later; the last
    visit ends by the task's end and at most gap[1] before it; no visit is
    needed if the task ends within gap[1]. With `windows`: one visit lies in
    every window that lies wholly inside the task.
    """

    task: int
    length: int
    lines: tuple[Line, ...]
    gap: tuple[int, int] | None = None
    since: int = 0
    windows: tuple[tuple[int, int], ...] = ()
    uses: tuple[VisitUse, ...] = ()


@dataclass(frozen=True, slots=True)
class Add:
    """One visit that starts least..most ticks after its task does and ends inside it.

    It overlaps no other visit of the same task.
    """

    task: int
    length: int
    lines: tuple[Line, ...]
    least: int
    most: int
    uses: tuple[VisitUse, ...] = ()


@dataclass(frozen=True, slots=True)
class Batch:
    """What is inserted together.

    Attributes
    ----------
    tasks : tuple of int
        In an order in which they could be done one after the other.
    inputs : tuple of int
        Batches it cannot do without (it is left out when one of them is).
    fixed : bool
        Its times are given by its tasks' windows and it is always there.
    lanes : tuple of tuple of tuple of int
        For each group of loads the tasks of each load, in order: lanes of one
        group may overlap. Says nothing that the links do not say; insertion
        tries lanes side by side as well as one after the other.
    """

    id: str
    tasks: tuple[int, ...]
    inputs: tuple[int, ...] = ()
    fixed: bool = False
    lanes: tuple[tuple[tuple[int, ...], ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Plate:
    """Portions of one dish batch that lack something when a batch is left out.

    lacking = max over left-out batches b of lacks[b]; the dish batch itself
    stands in `lacks` with all its portions.
    """

    rank: int
    batch: int
    lacks: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything an engine gets.

    Attributes
    ----------
    grid : int
        Minutes a tick.
    horizon, now : int
        Ticks. Nothing that is not fixed starts before `now`.
    people : tuple of (str, tuple of (int, int))
        Each person's id and the stretches they are there, ticks.
    spent : int
        Price of what is bought in.
    finish : bool
        Minimise the last end instead of quality (published instances).
    """

    grid: int
    horizon: int
    now: int
    batches: tuple[Batch, ...]
    tasks: tuple[Task, ...]
    links: tuple[Link, ...] = ()
    resources: tuple[Resource, ...] = ()
    choices: tuple[Choice, ...] = ()
    uses: tuple[Use, ...] = ()
    people: tuple[tuple[str, tuple[tuple[int, int], ...]], ...] = ()
    crews: tuple[Crew, ...] = ()
    tends: tuple[Tend, ...] = ()
    adds: tuple[Add, ...] = ()
    plates: tuple[Plate, ...] = ()
    ranks: int = 1
    spent: int = 0
    finish: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """One visit as planned: ticks and people (indices, in the order of the lines)."""

    start: int
    end: int
    people: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Solution:
    """Where everything is; batches that found no place are simply absent.

    Attributes
    ----------
    times : mapping of int to (int, int)
        Task: start and end, ticks.
    chosen : mapping of int to int
        Choice: which of its options.
    crews : mapping of int to tuple of int
        Place in Problem.crews: people, in the order of the lines.
    tends : mapping of int to tuple of Placed
        Place in Problem.tends: its visits in order.
    adds : mapping of int to Placed
        Place in Problem.adds.
    """

    times: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    chosen: Mapping[int, int] = field(default_factory=dict)
    crews: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    tends: Mapping[int, tuple[Placed, ...]] = field(default_factory=dict)
    adds: Mapping[int, Placed] = field(default_factory=dict)

    def placed(self, problem: Problem) -> frozenset[int]:
        """The batches that are in it."""
        return frozenset(
            b
            for b, batch in enumerate(problem.batches)
            if all(t in self.times for t in batch.tasks)
        )


def seats(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """A line for every person that is asked for, in the order in which people are written down."""
    return tuple(line for line in lines for _ in range(line.count))


def way_taken(crew: Crew, people: tuple[int, ...], length: int) -> Way | None:
    """The cheapest way of a crew that these people are, for that length; None where none is."""
    found: Way | None = None
    for way in crew.ways:
        wanted = seats(way.lines)
        if (
            way.least <= length <= way.most
            and len(wanted) == len(people)
            and all(p in line.people for p, line in zip(people, wanted, strict=True))
            and (found is None or way.price < found.price)
        ):
            found = way
    return found
