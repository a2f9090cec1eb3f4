"""Insertion against the model: one batch put back with the rest fixed."""

from __future__ import annotations

from argparse import ArgumentParser
from random import Random

from tests.solve.boards import full_board
from tests.solve.problems import random_problem
from tests.solve.test_insertion_and_model import ANY, both_ways


def main(arguments: list[str]) -> int:
    """How often and by how much the model is better; exit 1 if it is ever worse."""
    parser = ArgumentParser(prog="python -m tests.bench engines", description=main.__doc__)
    parser.add_argument("--problems", type=int, default=300)
    options = parser.parse_args(arguments)
    batches = dearer = homeless = worse = minutes = 0
    for seed in range(options.problems):
        board = full_board(random_problem(Random(seed), ANY))
        if board is None:
            continue
        for b in sorted(board.placed):
            if board.problem.batches[b].fixed:
                continue
            old = board.recorded(b)
            ours, theirs = both_ways(board, b)
            batches += 1
            homeless += ours is None and theirs is not None
            worse += ours is not None and (theirs is None or theirs > ours)
            if ours is not None and theirs is not None and theirs < ours:
                dearer += 1
                minutes += ours - theirs
            if b in board.placed:
                board.remove(b)
            board.place(old)
    print(f"batches put back                            {batches:6}")
    print(f"insertion dearer than the model             {dearer:6}  by {minutes} minutes in all")
    print(f"insertion finds no place, the model has one {homeless:6}")
    print(f"the model worse: must be none               {worse:6}")
    return 1 if worse else 0
