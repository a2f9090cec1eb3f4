"""Whose hands: how long a crew is free from each moment, and who to take."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.leaving import Brief

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from scheduler.solve.arrays import Ints
    from scheduler.solve.board import Board
    from scheduler.solve.index import Index
    from scheduler.workload.primitives import Crew, Line, Way


def brief_way(board: Board, crew: Crew, way: Way) -> Brief | None:
    """A crew as something a job may be left for; None where none may, or it may itself."""
    if board.leavings is None or crew.leave is not None:
        return None
    longest = min(way.most, board.problem.tasks[crew.task].most)
    return Brief(longest, sum(line.count for line in way.lines), crew.rest)


def dearness(index: Index, way: Way) -> int:
    """How much hands of a way are missed elsewhere: their ticks x the lines they could stand in."""
    total = 0
    for line in way.lines:
        wanted = sum(index.scarcity[p] for p in line.people) // max(1, len(line.people))
        total += line.count * way.least * wanted
    return total


def by_price(index: Index, crew: Crew) -> Sequence[Way]:
    """The ways of a crew, cheapest first, of equal ones that whose hands are missed least."""
    if len(crew.ways) == 1:
        return crew.ways
    return sorted(crew.ways, key=lambda way: (way.price, dearness(index, way)))


def ways_until(board: Board, crew: Crew, last: Ints, lo: int, hi: int) -> Ints:
    """For the points that `last` has an entry for the last end that some way of a crew allows.

    `last`: up to where the task could last from each; -1 where no way is long enough.
    """
    best = np.full(len(last), -1, dtype=np.int64)
    t = np.arange(lo, lo + len(last), dtype=np.int64)
    for way in crew.ways:
        until = lo + crew_until(board, way.lines, lo, hi)[: len(last)]
        until = np.minimum(np.minimum(until, last), t + way.most)
        best = np.maximum(best, np.where(until >= t + way.least, until, -1))
    return best


def one_person(lines: tuple[Line, ...]) -> bool:
    """Is it one person's work?"""
    return len(lines) == 1 and lines[0].count == 1


def crew_until(
    board: Board, lines: tuple[Line, ...], lo: int, hi: int, brief: Brief | None = None
) -> Ints:
    """For every point t of [lo, hi] how long the lines can be manned from t on.

    By Hall's theorem distinct people for all lines exist for [t, u) iff for
    every subset of lines at least as many people of their union are free
    throughout as the subset counts; so u is at most the count-th latest
    "free until" of each union. Returned as local points (u - lo), at most hi - lo.
    Whoever is at a job that may be left for something so `brief` counts as free.
    """
    until: Ints | None = None
    for size in range(1, len(lines) + 1):
        for subset in combinations(lines, size):
            people = sorted({p for line in subset for p in line.people})
            count = sum(line.count for line in subset)
            if len(people) < count:
                return np.arange(hi - lo + 1, dtype=np.int64)
            if board.leavings is None or brief is None:
                rows = board.next_busy[people, lo : hi + 1]
            else:
                rows = board.leavings.free_until(people, brief, lo, hi)
            if count == 1:
                latest = rows.max(axis=0)
            elif count == len(people):
                latest = rows.min(axis=0)
            else:
                latest = np.partition(rows, len(people) - count, axis=0)[len(people) - count]
            until = latest if until is None else np.minimum(until, latest)
    assert until is not None
    return np.minimum(until, hi) - lo


def pick_people(
    lines: tuple[Line, ...],
    free: Callable[[int], bool],
    prefer: Callable[[int], tuple[int, ...]],
) -> tuple[int, ...] | None:
    """Distinct people for all lines who are `free`, best `prefer` first; else None."""
    slots = [line for line in lines for _ in range(line.count)]
    ranked = [sorted((p for p in line.people if free(p)), key=prefer) for line in slots]
    order = sorted(range(len(slots)), key=lambda i: len(ranked[i]))
    holder: dict[int, int] = {}

    def seat(i: int, seen: set[int]) -> bool:
        for p in ranked[i]:
            if p not in seen:
                seen.add(p)
                if p not in holder or seat(holder[p], seen):
                    holder[p] = i
                    return True
        return False

    for i in order:
        if not seat(i, set()):
            return None
    found = {i: p for p, i in holder.items()}
    return tuple(found[i] for i in range(len(slots)))
