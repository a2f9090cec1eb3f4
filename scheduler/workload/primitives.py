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

from scheduler.workload.calming import Calm as Calm
from scheduler.workload.calming import Job as Job
from scheduler.workload.calming import Shift as Shift
from scheduler.workload.changing import Changes as Changes
from scheduler.workload.changing import JobWas as JobWas
from scheduler.workload.manning import FOREVER as FOREVER
from scheduler.workload.manning import Add as Add
from scheduler.workload.manning import Crew as Crew
from scheduler.workload.manning import Leave as Leave
from scheduler.workload.manning import Line as Line
from scheduler.workload.manning import Placed as Placed
from scheduler.workload.manning import Tend as Tend
from scheduler.workload.manning import VisitUse as VisitUse
from scheduler.workload.manning import Way as Way
from scheduler.workload.manning import seats as seats
from scheduler.workload.manning import way_taken as way_taken
from scheduler.workload.spending import Extra as Extra
from scheduler.workload.spending import Money as Money
from scheduler.workload.spending import Used as Used

HORIZON_START = -1
HORIZON_END = -2


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
    ripe : int or None
        Where `low` is raised by the time in hand that is wanted: what it is without
        (only told apart when costs are told).
    wish : bool
        It is the price of a wish (as above).
    """

    low: int
    high: int
    weight: int
    ripe: int | None = None
    wish: bool = False

    def cost(self, minutes: int) -> int:
        """The cost of one length."""
        return self.weight * (max(0, self.low - minutes) + max(0, minutes - self.high))


@dataclass(frozen=True, slots=True)
class Dear:
    """Cost of a task that starts in [start, end): `price` once; `wish`: of a wish."""

    start: int
    end: int
    price: int
    wish: bool = False


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
    dear : tuple of Dear
        Starts that cost something.
    """

    id: str
    batch: int
    least: int
    most: int
    earliest: int
    latest: int
    within: tuple[tuple[int, int], ...] | None = None
    stretch: Band | None = None
    dear: tuple[Dear, ...] = ()


@dataclass(frozen=True, slots=True)
class Link:
    """least <= time(after) - time(before) <= most, ticks; None: no bound. Costs by `band`."""

    before: Point
    after: Point
    least: int | None = 0
    most: int | None = None
    band: Band | None = None


@dataclass(frozen=True, slots=True)
class Clean:
    """What people do to a resource of capacity 1 between two uses that follow one another.

    Where a use in state t is the next one after a use in state s and
    after[s][t]: one visit of `length` ticks between them, by distinct people
    over all lines; with `at_once` it begins when the earlier use ends. There
    is none otherwise. `after` is transitive the other way round: where neither
    after[s][t] nor after[t][u], nor is after[s][u].

    Attributes
    ----------
    after : tuple of tuple of bool
    """

    length: int
    lines: tuple[Line, ...]
    after: tuple[tuple[bool, ...], ...]
    at_once: bool = True


@dataclass(frozen=True, slots=True)
class Resource:
    """Something with a capacity, and perhaps a state.

    Uses that overlap come to at most `capacity`. With `setup`, uses in
    different states never overlap and are at least setup[s][t] ticks apart
    (s before t), and none starts before initial[s]. The gaps obey the
    triangle inequality. With `clean`, setup[s][t] is at least its length where
    clean.after[s][t], and every use has a state. `states` are the settings of
    an oven; where it is cleaned as well, several states have one setting.
    """

    id: str
    capacity: int
    states: tuple[tuple[str, int], ...] = ()
    setup: tuple[tuple[int, ...], ...] | None = None
    initial: tuple[int, ...] = ()
    clean: Clean | None = None


@dataclass(frozen=True, slots=True)
class Option:
    """One way to decide a choice: a resource, its state where it has states, and what it costs."""

    resource: int
    state: int | None = None
    price: int = 0


@dataclass(frozen=True, slots=True)
class Choice:
    """Exactly one option is taken; all uses that name the choice follow it."""

    batch: int
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class Use:
    """`amount` of the chosen resource from one endpoint to another.

    It counts only when it is longer than `grace` ticks. Length 0 occupies nothing.

    Attributes
    ----------
    shut : bool
        No other use of the resource starts or ends strictly inside it.
    sort, not_beside : int
        Bits. Two uses of one resource of which one's sort meets the other's
        `not_beside` never overlap.
    """

    batch: int
    choice: int
    amount: int
    start: Point
    end: Point
    grace: int = 0
    shut: bool = False
    sort: int = 0
    not_beside: int = 0

    def apart(self, other: Use) -> bool:
        """Whether the two may never be beside each other."""
        return bool(self.sort & other.not_beside or other.sort & self.not_beside)


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
    turns : tuple of tuple of int
        Other orders in which insertion tries the tasks, where what one load
        stands in has to be washed for a later one. Lanes that are not in one
        of them go in after it.
    """

    id: str
    tasks: tuple[int, ...]
    inputs: tuple[int, ...] = ()
    fixed: bool = False
    lanes: tuple[tuple[tuple[int, ...], ...], ...] = ()
    turns: tuple[tuple[int, ...], ...] = ()


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
    extras : tuple of Extra
        What costs of those stretches; those of one person are disjoint.
    money : Money or None
        None: nothing costs anything.
    spent : int
        Price of what is bought in.
    finish : bool
        Minimise the last end instead of quality (published instances).
    calm : Calm or None
        Part of quality that only whole solutions have.
    changes : Changes or None
        Where jobs were before, where a plan on the wall is made anew.
    stay : frozenset of int
        Batches that are where a search that goes on from them must leave them.
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
    extras: tuple[Extra, ...] = ()
    money: Money | None = None
    spent: int = 0
    finish: bool = False
    calm: Calm | None = None
    changes: Changes | None = None
    stay: frozenset[int] = frozenset()


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
    cleans : mapping of int to Placed
        Use (its place in Problem.uses) after which its resource is cleaned.
    """

    times: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    chosen: Mapping[int, int] = field(default_factory=dict)
    crews: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    tends: Mapping[int, tuple[Placed, ...]] = field(default_factory=dict)
    adds: Mapping[int, Placed] = field(default_factory=dict)
    cleans: Mapping[int, Placed] = field(default_factory=dict)

    def placed(self, problem: Problem) -> frozenset[int]:
        """The batches that are in it."""
        return frozenset(
            b
            for b, batch in enumerate(problem.batches)
            if all(t in self.times for t in batch.tasks)
        )
