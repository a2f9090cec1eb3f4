"""Whether something cannot work: said only when two encodings agree."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING, Literal, Protocol

from scheduler.solve.check import violations
from scheduler.solve.cpsat.build import build
from scheduler.solve.cpsat.encoding import FIRST, SECOND, Encoding
from scheduler.solve.cpsat.run import Limits, run
from scheduler.solve.cpsat.scope import scope_for

if TYPE_CHECKING:
    from collections.abc import Iterable

    from scheduler.workload.primitives import Problem, Solution

Answer = Literal["feasible", "infeasible", "unknown"]


class Decider(Protocol):
    """Answers whether all of some batches have a place, with the fixed ones."""

    def __call__(
        self, problem: Problem, batches: frozenset[int], encoding: Encoding, seconds: float
    ) -> tuple[Answer, Solution | None]:
        """The answer, with the solution where there is one."""
        ...


def ask(
    problem: Problem, batches: frozenset[int], encoding: Encoding, seconds: float
) -> tuple[Answer, Solution | None]:
    """Ask CP-SAT, with one encoding, without costs; one worker, so that it is the same again."""
    model = build(scope_for(problem, batches), encoding, costs=False)
    found = run(model, Limits(seconds, False, 1, 1, encoding.presolve))
    if found.status == "infeasible":
        return "infeasible", None
    return ("feasible" if found.solution is not None else "unknown"), found.solution


def cannot_work(
    problem: Problem,
    batches: Iterable[int],
    seconds: float,
    first: Decider = ask,
    second: Decider = ask,
) -> bool | None:
    """Is there provably no placement of all these batches (with the fixed ones)?

    Parameters
    ----------
    batches
        Indices. Their inputs are not added: what has no place without them
        has none with them.
    seconds
        Time for both encodings together.
    first, second
        Who answers for each encoding.

    Returns
    -------
    bool or None
        True: two encodings that share neither windows nor capacities nor
        presolve say so. False: a placement was found, and checked. None: not
        decided (out of time, or they disagree).
    """
    wanted = frozenset(batches)
    started = time.monotonic()
    answer, solution = first(problem, wanted, FIRST, seconds / 2)
    if answer == "feasible":
        return False if _works(problem, wanted, solution) else None
    if answer != "infeasible":
        return None
    left = seconds - (time.monotonic() - started)
    answer, solution = second(problem, wanted, SECOND, max(left, 0.0))
    return True if answer == "infeasible" else None


def _works(problem: Problem, batches: frozenset[int], solution: Solution | None) -> bool:
    """Whether a placement is there and sound (inputs were not asked for)."""
    if solution is None or not batches <= solution.placed(problem):
        return False
    alone = tuple(replace(b, inputs=()) for b in problem.batches)
    return not violations(replace(problem, batches=alone), solution)
