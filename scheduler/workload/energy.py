"""More work than there are machines or people for in some stretch of time.

A task of length m that lies in [e, l) takes at least
min(overlap if it starts at e, overlap if it ends at l) of any stretch
[a, z). Summed over all that uses a kind of equipment, or people of one group,
and held against capacity × (z - a), or the hours those people are there.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from scheduler.workload.primitives import FOREVER, Line
from scheduler.workload.windows import windows
from scheduler.workload.words import hours, moment

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

    from scheduler.domain.scenario import Scenario
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.primitives import Crew, Problem
    from scheduler.workload.windows import Windows

MOST_EDGES = 32
"""So many beginnings and ends of stretches are tried for each group."""


@dataclass(frozen=True, slots=True)
class NotAll:
    """Batches that cannot all be placed so that they are of use, and why.

    At least one of them has to be left out; which one is the engine's choice.
    """

    batches: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class Load:
    """Something that takes `amount` for `least` ticks somewhere in [earliest, latest).

    `pieces`: not all at once.
    """

    batch: int
    earliest: int
    latest: int
    least: int
    amount: int
    pieces: bool = False


def cannot_all(
    scenario: Scenario, compiled: Compiled, without: Collection[str] = ()
) -> tuple[NotAll, ...]:
    """Sets of batches for which there are not enough machine or people's hours.

    Parameters
    ----------
    without : collection of str
        Batches that are left out already (those that are certain by themselves).
    """
    problem = compiled.problem
    gone = {compiled.batch[name] for name in without}
    bounds = windows(problem, gone)
    if bounds.stuck is not None:
        return ()
    found: list[NotAll] = []
    ticks = np.arange(problem.horizon + 1, dtype=np.int64)
    for name, capacity, loads in _machines(compiled, bounds, gone):
        worst = _worst(loads, capacity * ticks, problem)
        if worst is not None:
            found.append(_said(scenario, problem, f"{name}-hours", worst))
    for people, loads in _people(problem, bounds, gone):
        worst = _worst(loads, _there(problem, people), problem)
        if worst is not None:
            names = [problem.people[p][0] for p in sorted(people)]
            who = ", ".join(names[:3]) + (f" and {len(names) - 3} more" if names[3:] else "")
            found.append(_said(scenario, problem, f"hours of {who}", worst))
    return tuple(dict.fromkeys(found))


def _machines(
    compiled: Compiled, bounds: Windows, gone: set[int]
) -> list[tuple[str, int, list[Load]]]:
    """Each kind of equipment with its places and what certainly takes them."""
    problem = compiled.problem
    group_of: dict[int, str] = {}
    places: dict[str, int] = {}
    for r, holder in enumerate(compiled.holders):
        if holder.kind is not None:
            group_of[r] = holder.kind
            places[holder.kind] = places.get(holder.kind, 0) + problem.resources[r].capacity
    loads: dict[str, list[Load]] = {}
    for record in compiled.tasks:
        batch = compiled.batch[record.batch]
        if batch in gone:
            continue
        parts = list(record.parts.values())
        least = sum(problem.tasks[t].least for t in parts)
        earliest, latest = bounds.earliest[parts[0]], bounds.latest_end[parts[-1]]
        for one in record.taken:
            use = problem.uses[one.use]
            kinds = {
                group_of.get(o.resource) for o in problem.choices[use.choice].options
            }
            kind = kinds.pop() if len(kinds) == 1 else None
            if kind is not None:
                loads.setdefault(kind, []).append(
                    Load(batch, earliest, latest, least, use.amount)
                )
    for duty in compiled.duties:
        task = problem.tasks[duty.task]
        for place, _ in duty.taken:
            use = problem.uses[place]
            kind = group_of.get(problem.choices[use.choice].options[0].resource)
            if kind is not None:
                loads.setdefault(kind, []).append(
                    Load(task.batch, task.earliest, task.latest, task.least, use.amount)
                )
    return [(kind, places[kind], found) for kind, found in loads.items()]


def _people(
    problem: Problem, bounds: Windows, gone: set[int]
) -> list[tuple[frozenset[int], list[Load]]]:
    """Each group of people that stands in for something, with all that only they can do."""
    wanted: list[tuple[frozenset[int], Load]] = []

    def note(
        line: Line, batch: int, earliest: int, latest: int, least: int, pieces: bool = False
    ) -> None:
        load = Load(batch, earliest, latest, least, line.count, pieces)
        wanted.append((frozenset(line.people), load))

    for crew in problem.crews:
        task = problem.tasks[crew.task]
        if task.batch not in gone:
            pieces = crew.leave is not None
            lines, least = loosest(crew, 0 if pieces else task.least)
            for line in lines:
                note(
                    line, task.batch, bounds.earliest[crew.task], bounds.latest_end[crew.task],
                    least, pieces,
                )
    for add in problem.adds:
        batch = problem.tasks[add.task].batch
        if batch not in gone:
            first = bounds.earliest[add.task] + add.least
            last = bounds.latest[add.task] + add.most + add.length
            for line in add.lines:
                note(line, batch, first, last, add.length)
    groups = dict.fromkeys(people for people, _ in wanted if people)
    return [
        (group, [load for people, load in wanted if people and people <= group])
        for group in groups
    ]


def loosest(crew: Crew, least: int) -> tuple[tuple[Line, ...], int]:
    """Hands that a task takes at the least, whichever way it is manned, and for how long.

    One way: its lines. Several: out of all their people the fewest that any of
    them takes, for the fewest ticks of one person that any of them takes.
    """
    if len(crew.ways) == 1:
        return crew.ways[0].lines, max(least, crew.ways[0].least)
    fewest, work = FOREVER, FOREVER
    people: set[int] = set()
    for way in crew.ways:
        count = sum(line.count for line in way.lines)
        fewest = min(fewest, count)
        work = min(work, count * max(least, way.least))
        people |= {p for line in way.lines for p in line.people}
    shortest = max(least, min(way.least for way in crew.ways))
    return (Line(tuple(sorted(people)), fewest),), min(shortest, work // max(1, fewest))


def _there(problem: Problem, people: frozenset[int]) -> Ints:
    """Ticks of presence of a group from the start of the horizon to each tick."""
    steps = np.zeros(problem.horizon + 2, dtype=np.int64)
    for p in people:
        for start, end in problem.people[p][1]:
            steps[start + 1] += 1
            steps[end + 1] -= 1
    return np.cumsum(np.cumsum(steps))[:-1].astype(np.int64)


@dataclass(frozen=True, slots=True)
class Worst:
    """The stretch in which most is lacking, and the batches that need it."""

    start: int
    end: int
    needed: int
    there: int
    batches: tuple[int, ...]


def _worst(loads: list[Load], room: Ints, problem: Problem) -> Worst | None:
    """The stretch in which most is lacking, if any; room[t]: what there is until t."""
    loads = [x for x in loads if x.least > 0]
    if not loads:
        return None
    early, late, least, amount, pieces = (
        np.array(column, dtype=np.int64)
        for column in zip(
            *((x.earliest, x.latest, x.least, x.amount, x.pieces) for x in loads), strict=True
        )
    )
    starts = _few(np.unique(np.append(early, problem.now)))
    ends = _few(np.unique(late))
    a, z = starts[:, None, None], ends[None, :, None]
    left = np.minimum(early + least, z) - np.maximum(early, a)
    right = np.minimum(late, z) - np.maximum(late - least, a)
    whole = np.minimum(left, right)
    # In pieces: what is left when all there is before and after has been used.
    apart = least - np.maximum(0, a - early) - np.maximum(0, late - z)
    taken = np.maximum(0, np.where(pieces > 0, np.minimum(whole, apart), whole)) * amount
    needed = taken.sum(axis=2)
    there = np.maximum(0, room[ends][None, :] - room[starts][:, None])
    lacking = needed - there
    i, j = (int(n) for n in np.unravel_index(int(lacking.argmax()), lacking.shape))
    if lacking[i, j] <= 0 or starts[i] >= ends[j]:
        return None
    of = dict.fromkeys(x.batch for x, n in zip(loads, taken[i, j], strict=True) if n > 0)
    return Worst(int(starts[i]), int(ends[j]), int(needed[i, j]), int(there[i, j]), tuple(of))


def _few(points: Ints) -> Ints:
    """At most so many of the points, spread evenly, the first and last among them."""
    if len(points) <= MOST_EDGES:
        return points
    few: Ints = points[np.linspace(0, len(points) - 1, MOST_EDGES).astype(int)]
    return few


def _said(scenario: Scenario, problem: Problem, what: str, worst: Worst) -> NotAll:
    grid = problem.grid
    when = (
        f"before {moment(scenario, worst.end * grid)}"
        if worst.start <= problem.now
        else f"between {moment(scenario, worst.start * grid)} and "
        f"{moment(scenario, worst.end * grid)}"
    )
    return NotAll(
        tuple(
            problem.batches[b].id for b in worst.batches if not problem.batches[b].fixed
        ),
        f"needs {hours(worst.needed * grid)} {what} {when}, has {hours(worst.there * grid)}",
    )
