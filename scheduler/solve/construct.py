"""A first plan: every batch in its best place, consumers before what feeds them.

What finds no place is left out for `repair`, and never placed late.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.board import Board, placement_in
from scheduler.solve.objective import makeable, missing
from scheduler.solve.ways import insert

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from random import Random

    from scheduler.solve.board import Placement
    from scheduler.solve.index import Index
    from scheduler.workload.primitives import Solution

FIXED_TRIES = 8
"""Orders tried before a standing duty is called unmanned."""


def fixed_batches(board: Board, rng: Random) -> tuple[int, ...]:
    """Place everything whose time is given; return what could not be manned or housed.

    Those with the fewest people to choose from go first, breaks that can move last; what
    finds nobody goes to the front of the next try, in which overtime may be used.
    """
    problem = board.problem
    choice = dict.fromkeys((b for b, batch in enumerate(problem.batches) if batch.fixed), 0)
    for b in choice:
        lines = [
            line
            for crews in board.index.chains[b].crews.values()
            for n in crews
            for line in problem.crews[n].ways[0].lines
        ]
        choice[b] = min((len(line.people) - line.count for line in lines), default=-1)
    pinned = board.index.pinned
    order = sorted(choice, key=lambda b: (b not in pinned, choice[b], b))
    failed: tuple[int, ...] = ()
    for _ in range(FIXED_TRIES):
        failed = tuple(b for b in order if not insert(board, b))
        if not failed:
            return ()
        for b in [b for b in order if b in board.placed]:
            board.remove(b)
        board.last_resort = True
        rest = [b for b in order if b not in failed]
        near = sorted(rest, key=lambda b: (choice[b], rng.random()))
        order = [*failed, *near]
    return tuple(b for b in order if not insert(board, b))


def latest_starts(index: Index) -> list[int]:
    """For each batch the latest start its links to consumers allow, shifts left out."""
    problem = index.problem
    late = [problem.horizon] * len(problem.batches)
    end = [problem.tasks[t].latest for t in range(len(problem.tasks))]
    start = [end[t] - problem.tasks[t].least for t in range(len(problem.tasks))]
    changed = True
    rounds = 0
    while changed and rounds < 200:
        changed, rounds = False, rounds + 1
        for link in reversed(problem.links):  # half the rounds: what is fed comes first
            if link.least is None or link.after.task < 0 or link.before.task < 0:
                continue
            after = end[link.after.task] if link.after.end else start[link.after.task]
            t, limit = link.before.task, after - link.least
            if link.before.end:
                limit -= problem.tasks[t].least
            if limit < start[t]:
                start[t], changed = limit, True
                end[t] = min(end[t], limit + problem.tasks[t].most)
    for b, batch in enumerate(problem.batches):
        late[b] = min((start[t] for t in batch.tasks), default=0)
    return late


def in_order(index: Index, batches: Iterable[int], key: Callable[[int], object]) -> list[int]:
    """Batches with consumers before what feeds them, otherwise by `key`."""
    left = sorted(batches, key=lambda b: (key(b), b))
    waiting = set(left)
    out: list[int] = []
    while left:
        for b in left:
            if not any(c in waiting for c in index.consumers[b] if c != b):
                break
        else:
            b = left[0]
        left.remove(b)
        waiting.discard(b)
        out.append(b)
    return out


def wanted(board: Board, b: int) -> bool:
    """False where everything that would take from the batch has itself no place."""
    takers = board.index.takers[b]
    return not takers or any(c in board.placed for c in takers)


def paid(board: Board) -> list[Placement]:
    """Take off what stands on machines that nobody can clean for it; usually nothing."""
    out: list[Placement] = []
    while board.cleaning is not None and board.cleaning.owed:
        b = board.cleaning.creditor()
        if b is None:
            break
        out.append(board.remove(b))
    return out


def drop_hopeless(board: Board) -> list[Placement]:
    """Take off what lacks something that has no place, and what only fed that."""
    problem = board.problem
    dropped: list[Placement] = paid(board)
    changed = len(board.placed) < len(problem.batches)
    while changed:
        changed = False
        for b in sorted(board.placed):
            batch = problem.batches[b]
            if batch.fixed or b not in board.placed:
                continue
            if any(i not in board.placed for i in batch.inputs) or not wanted(board, b):
                dropped.append(board.remove(b))
                dropped += paid(board)
                changed = True
    return dropped


def unplaced(board: Board) -> list[int]:
    """Batches that are wanted and have no place."""
    return [
        b
        for b in range(len(board.problem.batches))
        if b not in board.index.pinned and b not in board.placed and wanted(board, b)
    ]


def shortfall(board: Board) -> tuple[int, ...]:
    """What is missing: portions per rank, then batches without a place or an input."""
    return missing(board.problem, makeable(board.problem, board.placed))


def restore(board: Board, placements: Mapping[int, Placement]) -> None:
    """Make the board hold exactly these placements; what stays as it is is not touched."""
    cleans = {n: visit for p in placements.values() for n, visit in p.cleans.items()}
    out = [
        b
        for b in sorted(board.placed)
        if b not in placements or board.recorded(b) != placements[b]
    ]
    with board.restoring(cleans):
        for b in out:
            board.remove(b)
        for b, placement in placements.items():
            if b not in board.placed:
                board.place(placement)


def adopt(board: Board, solution: Solution) -> None:
    """Make the board hold exactly a solution."""
    problem, index = board.problem, board.index
    restore(
        board,
        {b: placement_in(problem, index.chains[b], solution) for b in solution.placed(problem)},
    )


def stretch(board: Board) -> None:
    """Give what has no place one with overtime, where that is all it takes."""
    board.last_resort = True
    fill(board)


def fill(board: Board) -> None:
    """Put whatever lacks a place where it is best, consumers before what feeds them."""
    late = latest_starts(board.index)
    tried: set[int] = set()
    while queue := [b for b in unplaced(board) if b not in tried]:
        for b in in_order(board.index, queue, lambda b: late[b]):
            tried.add(b)
            insert(board, b)


def construct(index: Index, rng: Random, whim: float = 0) -> Board:
    """Build a first board, in one pass and without ejecting anything.

    `whim`: by so many ticks, more or less, a batch has its turn at another time than its own.
    """
    board = Board(index)
    fixed_batches(board, rng)
    board.last_resort = False
    late: Sequence[float] = latest_starts(index)
    if whim:
        late = [t + rng.gauss(0, whim) for t in late]
    todo = [b for b, batch in enumerate(board.problem.batches) if not batch.fixed]
    for b in in_order(index, todo, lambda b: late[b]):
        if wanted(board, b):
            insert(board, b)
    paid(board)
    return board
