"""Published projects as primitives: RCPSP, with maximum lags, with stores.

Nothing of a kitchen is faked: tasks, links and uses, a tick of one unit, the
last end to be minimised.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from scheduler.workload.primitives import (
    HORIZON_END,
    HORIZON_START,
    Batch,
    Choice,
    Link,
    Option,
    Plate,
    Point,
    Problem,
    Resource,
    Task,
    Use,
)


@dataclass(frozen=True)
class Activity:
    """One activity of a published project.

    Attributes
    ----------
    duration : int
    demands : tuple of int
        Of each renewable resource, while it runs.
    after : tuple of (int, int)
        Activity j starts at least so many ticks after this one's *start*.
    consumes, produces : tuple of int
        Of each store, at its start and at its end.
    """

    duration: int
    demands: tuple[int, ...]
    after: tuple[tuple[int, int], ...] = ()
    consumes: tuple[int, ...] = ()
    produces: tuple[int, ...] = ()


@dataclass(frozen=True)
class Project:
    """A published project: what it has and what it must do."""

    name: str
    capacities: tuple[int, ...]
    activities: tuple[Activity, ...]
    stores: tuple[int, ...] = ()
    """What is in each store at the beginning."""


def problem_of(project: Project, apart: bool = False) -> Problem:
    """A project as primitives.

    Parameters
    ----------
    apart
        Every activity a batch of its own (for insertion); otherwise one batch.

    Notes
    -----
    A store is one cumulative: consuming c takes c from the start of the
    activity to the end of the horizon, producing p takes p from the start of
    the horizon to its end, of a capacity of what is there and all that is
    ever produced.
    """
    acts = project.activities
    horizon = _horizon(project)
    batch_of = [n if apart else 0 for n in range(len(acts))]
    tasks = [
        Task(f"{project.name}/{n}", batch_of[n], act.duration, act.duration, 0, horizon)
        for n, act in enumerate(acts)
    ]
    links = [
        Link(Point(n), Point(j), lag, None) for n, act in enumerate(acts) for j, lag in act.after
    ]
    resources = [Resource(f"r{r}", c) for r, c in enumerate(project.capacities)]
    for s, initial in enumerate(project.stores):
        produced = sum(act.produces[s] for act in acts)
        resources.append(Resource(f"store{s}", initial + produced))
    taking = _Taking()
    for n, act in enumerate(acts):
        batch, start, end = batch_of[n], Point(n), Point(n, True)
        for r, amount in enumerate(act.demands):
            taking.take(batch, r, amount, start, end)
        for s, amount in enumerate(act.consumes):
            taking.take(batch, len(project.capacities) + s, amount, start, Point(HORIZON_END))
        for s, amount in enumerate(act.produces):
            taking.take(batch, len(project.capacities) + s, amount, Point(HORIZON_START), end)
    return _problem(project.name, horizon, tasks, links, resources, taking, batch_of)


def shop_of(
    name: str,
    durations: Sequence[Sequence[int]],
    machines: Sequence[Sequence[int]],
    apart: bool = False,
) -> Problem:
    """A job shop as primitives: the operations of a job one after the other, machines unary."""
    horizon = sum(sum(row) for row in durations)
    tasks: list[Task] = []
    links: list[Link] = []
    batch_of: list[int] = []
    taking = _Taking()
    for j, (row, where) in enumerate(zip(durations, machines, strict=True)):
        for o, (duration, machine) in enumerate(zip(row, where, strict=True)):
            n = len(tasks)
            batch_of.append(n if apart else 0)
            tasks.append(Task(f"{name}/{j}.{o}", batch_of[n], duration, duration, 0, horizon))
            if o:
                links.append(Link(Point(n - 1, True), Point(n), 0, None))
            taking.take(batch_of[n], machine, 1, Point(n), Point(n, True))
    resources = [Resource(f"m{m}", 1) for m in range(1 + max(max(row) for row in machines))]
    return _problem(name, horizon, tasks, links, resources, taking, batch_of)


def read_sm(path: Path) -> Project:
    """A PSPLIB `.sm` file (single mode): end to start, no lags."""
    import psplib  # type: ignore[import-untyped]

    found = psplib.parse(path, instance_format="psplib")
    acts = []
    for act in found.activities:
        mode = act.modes[0]
        after = tuple((j, mode.duration) for j in act.successors)
        acts.append(Activity(mode.duration, tuple(mode.demands), after))
    return Project(path.stem, tuple(r.capacity for r in found.resources), tuple(acts))


def read_sch(path: Path) -> Project:
    """A ProGen/max `.sch` file: lags from start to start, negative ones are maximum lags."""
    import psplib

    found = psplib.parse(path, instance_format="rcpsp_max")
    acts = []
    for act in found.activities:
        mode = act.modes[0]
        after = tuple(zip(act.successors, act.delays, strict=True))
        acts.append(Activity(mode.duration, tuple(mode.demands), after))
    return Project(path.stem, tuple(r.capacity for r in found.resources), tuple(acts))


def read_rcp(path: Path) -> Project:
    """A `.rcp` file with consumption and production.

    Line 1: activities, renewable resources, stores. Line 2: capacities, then
    what is in each store at first. Then for each activity: duration, demands,
    c1 p1 c2 p2 … for the stores, number of successors, successors (from 1).
    The dummy source and sink consume and produce nothing, whatever stands there.
    """
    numbers = iter([int(word) for word in path.read_text().split()])
    count, renewable, stores = (next(numbers) for _ in range(3))
    capacities = tuple(next(numbers) for _ in range(renewable))
    initial = tuple(next(numbers) for _ in range(stores))
    acts = []
    for n in range(count):
        duration = next(numbers)
        demands = tuple(next(numbers) for _ in range(renewable))
        pairs = [(next(numbers), next(numbers)) for _ in range(stores)]
        if n in (0, count - 1):
            pairs = [(0, 0)] * stores
        after = tuple((next(numbers) - 1, duration) for _ in range(next(numbers)))
        consumes, produces = tuple(c for c, _ in pairs), tuple(p for _, p in pairs)
        acts.append(Activity(duration, demands, after, consumes, produces))
    if next(numbers, None) is not None:
        raise ValueError(f"{path}: more numbers than {count} activities need")
    return Project(path.stem, capacities, tuple(acts), initial)


class _Taking:
    """Uses, with one choice for each batch and resource."""

    def __init__(self) -> None:
        self.choices: list[Choice] = []
        self.uses: list[Use] = []
        self._of: dict[tuple[int, int], int] = {}

    def take(self, batch: int, resource: int, amount: int, start: Point, end: Point) -> None:
        if amount == 0:
            return
        if (batch, resource) not in self._of:
            self._of[batch, resource] = len(self.choices)
            self.choices.append(Choice(batch, (Option(resource),)))
        self.uses.append(Use(batch, self._of[batch, resource], amount, start, end))


def _problem(
    name: str,
    horizon: int,
    tasks: list[Task],
    links: list[Link],
    resources: list[Resource],
    taking: _Taking,
    batch_of: list[int],
) -> Problem:
    members: dict[int, list[int]] = {}
    for n, batch in enumerate(batch_of):
        members.setdefault(batch, []).append(n)
    batches = tuple(Batch(f"{name}/{b}", tuple(m)) for b, m in sorted(members.items()))
    plates = tuple(Plate(1, b, ((b, 1),)) for b in range(len(batches)))
    return Problem(
        1,
        horizon,
        0,
        batches,
        tuple(tasks),
        tuple(links),
        tuple(resources),
        tuple(taking.choices),
        tuple(taking.uses),
        plates=plates,
        finish=True,
    )


def _horizon(project: Project) -> int:
    """Long enough for any schedule that does not wait for nothing."""
    return sum(max([act.duration, *(lag for _, lag in act.after)]) for act in project.activities)
