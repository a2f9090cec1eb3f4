"""With some tasks kept where they are both engines find the same, in every kind of problem."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.solve.board import Board
from scheduler.solve.check import violations
from scheduler.solve.construct import adopt
from scheduler.solve.index import Index
from scheduler.workload.primitives import (
    HORIZON_START,
    Choice,
    Link,
    Point,
    Problem,
    Solution,
)
from scheduler.workload.staying import manned_by
from tests.solve.boards import full_board
from tests.solve.problems import random_problem
from tests.solve.shapes import EVERYTHING, Shape
from tests.solve.test_insertion_and_model import ANY, EXACT, SHARED, THINGS, both_ways

CROSSED = replace(EVERYTHING, calm=False, overtime=False, rest=False)
"""All that the model has a price for, and nothing that comes before quality."""


def kept(rng: Random, problem: Problem, solution: Solution) -> Problem:
    """A third of what has a place stays: its start, its people, or what it is on."""
    links, crews, choices = list(problem.links), list(problem.crews), list(problem.choices)
    for t, (start, _) in solution.times.items():
        if not problem.batches[problem.tasks[t].batch].fixed and rng.random() < 0.3:
            links.append(Link(Point(HORIZON_START), Point(t), start, start))
    for n, people in solution.crews.items():
        if rng.random() < 0.3:
            crews[n] = replace(crews[n], ways=manned_by(crews[n].ways, people))
    for c in solution.chosen:
        if rng.random() < 0.3:
            resource = choices[c].options[solution.chosen[c]].resource
            options = tuple(o for o in choices[c].options if o.resource == resource)
            choices[c] = Choice(choices[c].batch, options)
    return replace(problem, links=tuple(links), crews=tuple(crews), choices=tuple(choices))


def board_with_kept(seed: int, shape: Shape) -> Board | None:
    problem = random_problem(Random(seed), shape)
    free = full_board(problem)
    if free is None:
        return None
    here = free.solution()
    narrowed = kept(Random(seed), problem, here)
    chosen = {
        c: narrowed.choices[c].options.index(problem.choices[c].options[o])
        for c, o in here.chosen.items()
    }
    board = Board(Index(narrowed))
    adopt(board, replace(here, chosen=chosen))
    return board


@pytest.mark.parametrize(
    ("shape", "seed"),
    [
        *((EXACT, seed) for seed in range(20)),
        *((SHARED, seed) for seed in range(15)),
        *((THINGS, seed) for seed in range(15)),
    ],
)
def test_a_chain_with_kept_tasks_goes_where_the_model_proves_it_cheapest(
    shape: Shape, seed: int
) -> None:
    board = board_with_kept(seed, shape)
    for b in sorted(board.placed) if board is not None else ():
        assert board is not None
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours is not None, "it stays where it is, so it has a place"
        assert ours == theirs, f"batch {board.problem.batches[b].id}"
        board.remove(b)
        assert board.place(old)


@pytest.mark.parametrize(
    ("shape", "seed"), [*((ANY, s) for s in range(15)), *((CROSSED, s) for s in range(10))]
)
def test_whatever_is_kept_what_is_put_back_obeys_and_the_model_is_never_worse(
    shape: Shape, seed: int
) -> None:
    board = board_with_kept(seed, shape)
    for b in sorted(board.placed) if board is not None else ():
        assert board is not None
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours is None or (theirs is not None and theirs <= ours)
        if b in board.placed:
            assert violations(board.problem, board.solution()) == []
            board.remove(b)
        assert board.place(old)
