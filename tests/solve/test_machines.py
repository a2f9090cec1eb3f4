"""Doors and neighbours: insertion, the model and a search of everything agree."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.solve.board import Board
from scheduler.solve.check import violations
from scheduler.solve.construct import paid
from scheduler.solve.cpsat.decide import ask
from scheduler.solve.cpsat.encoding import FIRST, SECOND
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.objective import terms
from scheduler.solve.ways import insert
from tests.solve import brute
from tests.solve.boards import full_board
from tests.solve.problems import CHAINS, SMALL, Shape, random_problem
from tests.solve.test_insertion_and_model import both_ways

EXACT = replace(
    CHAINS, adds=False, components=(2, 5), steps=(1, 3), horizon=(16, 30), doors=True,
    neighbours=True,
)  # fmt: skip
ANY = Shape(components=(2, 4), steps=(1, 3), horizon=(16, 30), doors=True, neighbours=True)


@pytest.mark.parametrize("seed", range(120))
def test_behind_doors_and_apart_a_chain_goes_to_the_cheapest_place(seed: int) -> None:
    board = full_board(random_problem(Random(seed), EXACT))
    if board is None:
        return
    assert violations(board.problem, board.solution()) == []
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours == theirs, f"batch {board.problem.batches[b].id}"
        if b in board.placed:
            board.remove(b)
        assert board.place(old)


@pytest.mark.parametrize("seed", range(60))
def test_with_loads_behind_doors_the_model_is_never_worse(seed: int) -> None:
    board = full_board(random_problem(Random(seed), ANY))
    if board is None:
        return
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours is None or (theirs is not None and theirs <= ours)
        if b in board.placed:
            assert violations(board.problem, board.solution()) == []
            board.remove(b)
        assert board.place(old)


def broken(board: Board) -> list[str]:
    """Rules broken on a board; what lacks its inputs for a while is not one."""
    found = violations(board.problem, board.solution())
    return [line for line in found if "is there without" not in line]


STONES = Shape(
    components=(3, 5), dishes=(1, 2), steps=(1, 2), horizon=(20, 36), ovens=False, cleaning=True,
    people=(1, 3),
)  # fmt: skip
PANS = replace(STONES, scoured=True)
"""Of pans a state is a residue and a setting."""
BOTH = pytest.mark.parametrize("shape", [STONES, PANS], ids=["stones", "pans"])


@BOTH
@pytest.mark.parametrize("seed", range(120))
def test_stones_are_clean_whatever_is_put_on_them_and_taken_off(seed: int, shape: Shape) -> None:
    """In any order; and put back, everything is as it was, down to who cleans."""
    rng = Random(seed)
    board = full_board(random_problem(rng, shape))
    if board is None:
        return
    assert broken(board) == []
    movable = [b for b in sorted(board.placed) if not board.problem.batches[b].fixed]
    for _ in range(5):
        before = board.solution()
        some = rng.sample(movable, rng.randint(1, len(movable))) if movable else []
        olds = [board.remove(b) for b in some if b in board.placed]
        olds += paid(board)
        assert broken(board) == []
        for b in rng.sample(some, len(some)):
            insert(board, b)
            assert broken(board) == []
        with board.restoring(before.cleans):
            for old in olds:
                if old.batch in board.placed:
                    board.remove(old.batch)
            for old in olds:
                assert board.place(old)
        assert board.solution() == before


@BOTH
@pytest.mark.parametrize("seed", range(80))
def test_on_stones_the_model_is_never_worse(seed: int, shape: Shape) -> None:
    board = full_board(random_problem(Random(seed), shape))
    if board is None:
        return
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old, cleans = board.recorded(b), dict(board.cleans)
        board.remove(b)
        if board.cleaning is None or not board.cleaning.owed:
            with board.restoring(cleans):
                assert board.place(old)
            ours, theirs = both_ways(board, b)
            assert ours is None or (theirs is not None and theirs <= ours)
            if b in board.placed:
                assert violations(board.problem, board.solution()) == []
        with board.restoring(cleans):
            if b in board.placed:
                board.remove(b)
            assert board.place(old)


@BOTH
@pytest.mark.parametrize("seed", range(40))
def test_both_ways_of_writing_it_down_agree_on_what_cannot_be_ground(
    seed: int, shape: Shape
) -> None:
    """All batches of a problem, in much too little time for some of them."""
    problem = random_problem(Random(seed), replace(shape, horizon=(12, 22)))
    everything = frozenset(range(len(problem.batches)))
    answers = {ask(problem, everything, encoding, 20)[0] for encoding in (FIRST, SECOND)}
    assert len(answers - {"unknown"}) <= 1


@pytest.mark.parametrize("seed", range(40))
def test_the_model_finds_what_trying_everything_finds(seed: int) -> None:
    problem = random_problem(Random(seed), replace(SMALL, doors=True, neighbours=True))
    try:
        best = brute.best(problem)
    except brute.TooLarge:
        return
    result = solve_model(problem, seconds=20, deterministic=True, workers=1)
    if best is None:
        assert result.status == "infeasible"
        return
    assert result.solution is not None
    assert violations(problem, result.solution) == []
    assert terms(problem, result.solution) == best
