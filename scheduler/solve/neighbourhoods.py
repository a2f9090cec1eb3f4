"""Which batches to take off together: small sets that have to do with each other.

Each function is pure: it looks at a board and returns batches, nearest to the
seed first. What comes after the wanted size is cut off by the caller.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from scheduler.solve.board import Board

    Neighbourhood = Callable[[Board, int, Random], list[int]]


def span(board: Board, b: int) -> tuple[int, int]:
    """First start and last end of a placed batch."""
    tasks = board.index.chains[b].tasks
    return board.times[tasks[0]][0], max(board.times[t][1] for t in tasks)


def movable(board: Board) -> list[int]:
    """Placed batches that may move."""
    pinned = board.index.pinned
    return [b for b in sorted(board.placed) if b not in pinned]


def _middle(board: Board, b: int) -> int:
    start, end = span(board, b)
    return (start + end) // 2


def family(board: Board, seed: int, rng: Random) -> list[int]:
    """What links tie together: consumers, what feeds them, and so on outwards."""
    out, edge = [seed], [seed]
    pinned = board.index.pinned
    while edge and len(out) < 64:
        near: list[int] = []
        for b in edge:
            for n in sorted(board.index.chains[b].neighbours):
                if n in board.placed and n not in out and n not in pinned and n not in near:
                    near.append(n)
        rng.shuffle(near)
        out.extend(near)
        edge = near
    return out


def slab(board: Board, seed: int, rng: Random) -> list[int]:
    """What happens at about the same time."""
    return nearest(board, seed, movable(board))


def nearest(board: Board, seed: int, some: list[int]) -> list[int]:
    """Some placed batches, the nearest to the seed in time first."""
    at = _middle(board, seed)
    return sorted(some, key=lambda b: (abs(_middle(board, b) - at), b))


def machine(board: Board, seed: int, rng: Random) -> list[int]:
    """What wants the same equipment or people at about the same time."""
    at, mine = _middle(board, seed), board.index.rivals[seed]
    near = [b for b in movable(board) if b in mine or b == seed]
    return sorted(near, key=lambda b: (abs(_middle(board, b) - at) * (0.5 + rng.random()), b))


def person_day(board: Board, seed: int, rng: Random) -> list[int]:
    """What one person does around one moment of the seed's hands."""
    spells = board.people_of.get(seed)
    if not spells:
        return machine(board, seed, rng)
    person, start, _ = rng.choice(spells)
    nearest: dict[int, int] = {}
    for b in movable(board):
        for p, a, _ in board.people_of.get(b, ()):
            if p == person:
                nearest[b] = min(nearest.get(b, board.problem.horizon), abs(a - start))
    return sorted(nearest, key=lambda b: (b != seed, nearest[b], b))


def event(board: Board, seed: int, rng: Random) -> list[int]:
    """What ends on the same plates."""
    plates = [
        {b for b, _ in plate.lacks}
        for plate in board.problem.plates
        if any(b == seed for b, _ in plate.lacks)
    ]
    if not plates:
        return family(board, seed, rng)
    on = rng.choice(plates)
    near = [b for b in movable(board) if b in on and b != seed]
    rng.shuffle(near)
    return [seed, *near]


def blockers(board: Board, seed: int, rng: Random) -> list[int]:
    """What takes people or equipment that the seed could use while what it made waits."""
    start, end = span(board, seed)
    until = end
    for outer in board.index.chains[seed].links:
        other = board.moment(outer.other)
        if other is not None and outer.outward:
            until = max(until, other)
    mine = board.index.rivals[seed]
    near = [
        b
        for b in movable(board)
        if b in mine and (s := span(board, b))[0] < until + (end - start) and s[1] > start
    ]
    rng.shuffle(near)
    return [seed, *near]


NEIGHBOURHOODS: dict[str, Neighbourhood] = {
    "family": family,
    "slab": slab,
    "machine": machine,
    "person-day": person_day,
    "event": event,
    "blockers": blockers,
}


def worst(board: Board, rng: Random) -> int:
    """A seed among the batches that cost most: the worst of a few drawn by chance."""
    some = rng.sample(movable(board), min(6, len(movable(board))))
    return max(some, key=lambda b: (board.touching(b), b))
