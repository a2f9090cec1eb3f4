"""From one problem to another of the same week: what is the same in both keeps its place."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from scheduler.solve.board import Board
from scheduler.solve.construct import adopt, drop_hopeless, fill, paid
from scheduler.solve.placement import keeps_links
from scheduler.solve.ways import insert
from scheduler.workload.primitives import Point, Solution

if TYPE_CHECKING:
    from scheduler.solve.index import Index
    from scheduler.workload.primitives import Option, Problem

NOWHERE = Point(0)


@dataclass(slots=True)
class Parts:
    """What belongs to one batch, by its place in the problem."""

    uses: list[int] = field(default_factory=list)
    crews: list[int] = field(default_factory=list)
    tends: list[int] = field(default_factory=list)
    adds: list[int] = field(default_factory=list)


def carry(old: Problem, solution: Solution, index: Index) -> Board:
    """A board of another problem with everything from a solution that is the same there.

    What is new, or fits no longer, is put in its best place, consumers first;
    what finds none is left out.
    """
    new = index.problem
    moved = translated(old, solution, new)
    board = Board(index)
    adopt(board, moved)
    settle(board)
    return board


def settle(board: Board) -> None:
    """Take off what no longer goes with the rest, put in what lacks a place."""
    batches = board.problem.batches
    for b in sorted(board.placed):
        if not batches[b].fixed and not keeps_links(board, b):
            board.remove(b)
    paid(board)
    for b, batch in enumerate(batches):
        if batch.fixed and b not in board.placed:
            insert(board, b)
    fill(board)
    drop_hopeless(board)


def translated(old: Problem, solution: Solution, new: Problem) -> Solution:
    """A solution in the numbers of another problem, as far as batches are the same in both."""
    mine, theirs = _parts(old), _parts(new)
    at = {batch.id: b for b, batch in enumerate(old.batches)}
    placed = solution.placed(old)
    times: dict[int, Any] = {}
    chosen: dict[int, Any] = {}
    hands: dict[str, dict[int, Any]] = {"crews": {}, "tends": {}, "adds": {}, "cleans": {}}
    for b, batch in enumerate(new.batches):
        was = at.get(batch.id)
        if was is None or was not in placed or not _same(old, mine[was], was, new, theirs[b], b):
            continue
        for t, before in zip(batch.tasks, old.batches[was].tasks, strict=True):
            times[t] = solution.times[before]
        for n, before in zip(theirs[b].uses, mine[was].uses, strict=True):
            choice = old.uses[before].choice
            if choice in solution.chosen:
                chosen[new.uses[n].choice] = solution.chosen[choice]
            if before in solution.cleans:
                hands["cleans"][n] = solution.cleans[before]
        for kind in ("crews", "tends", "adds"):
            pairs = zip(getattr(theirs[b], kind), getattr(mine[was], kind), strict=True)
            known = getattr(solution, kind)
            hands[kind].update({n: known[before] for n, before in pairs if before in known})
    return Solution(times, chosen, **hands)


def _parts(problem: Problem) -> list[Parts]:
    parts = [Parts() for _ in problem.batches]
    for n, use in enumerate(problem.uses):
        parts[use.batch].uses.append(n)
    for kind in ("crews", "tends", "adds"):
        for n, item in enumerate(getattr(problem, kind)):
            getattr(parts[problem.tasks[item.task].batch], kind).append(n)
    return parts


def _same(
    old: Problem, mine: Parts, was: int, new: Problem, theirs: Parts, b: int
) -> bool:
    """Are two batches alike but for the numbers of what they consist of?"""
    return (
        _tasks(old, was) == _tasks(new, b)
        and _uses(old, mine) == _uses(new, theirs)
        and all(
            _hands(old, kind, mine) == _hands(new, kind, theirs)
            for kind in ("crews", "tends", "adds")
        )
    )


def _tasks(problem: Problem, b: int) -> list[Any]:
    return [replace(problem.tasks[t], batch=0) for t in problem.batches[b].tasks]


def _uses(problem: Problem, parts: Parts) -> list[Any]:
    uses = [problem.uses[n] for n in parts.uses]
    return [
        (
            replace(u, batch=0, choice=0, start=NOWHERE, end=NOWHERE),
            [_option(problem, o) for o in problem.choices[u.choice].options],
            _named(problem, u.start),
            _named(problem, u.end),
        )
        for u in uses
    ]


def _option(problem: Problem, option: Option) -> tuple[Option, object]:
    """An option with its state by name, where states have names: numbers follow from the week."""
    states = problem.resources[option.resource].states
    if option.state is None or not states:
        return option, None
    return replace(option, state=None), states[option.state]


def _hands(problem: Problem, kind: str, parts: Parts) -> list[Any]:
    items = [getattr(problem, kind)[n] for n in getattr(parts, kind)]
    return [(problem.tasks[item.task].id, replace(item, task=0)) for item in items]


def _named(problem: Problem, point: Point) -> tuple[str | int, bool]:
    """An endpoint by the name of its task."""
    return (problem.tasks[point.task].id if point.task >= 0 else point.task), point.end
