"""Plan with the model: what is served first, then money, changes, quality (or the last end)."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.solve.check import violations
from scheduler.solve.cpsat.build import build
from scheduler.solve.cpsat.encoding import FIRST, Encoding
from scheduler.solve.cpsat.run import Limits, Run, Status, run
from scheduler.solve.cpsat.scope import Scope, everything_served, scope_of
from scheduler.solve.objective import extras, terms
from scheduler.workload.primitives import Solution

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.solve.cpsat.model import Model, Objective
    from scheduler.solve.objective import Score
    from scheduler.workload.primitives import Problem

SERVED_SHARE = 0.5
"""Of the time left, what one rank of what is served may take."""


@dataclass(frozen=True, slots=True)
class ModelResult:
    """What the model found.

    Attributes
    ----------
    status : str
        "optimal": every band of the model proved (see `proved`);
        "feasible": a solution; "infeasible": proved by this one encoding
        (see `decide.cannot_work` before telling anybody); "unknown": none of
        these in the time.
    solution : Solution or None
        The best one, checked against the primitives.
    served : tuple of int or None
        Portions lacking by rank, recomputed from the solution.
    money : int or None
        Overtime and buying in beyond the allowance, recomputed from the solution.
    quality : int or None
        Weighted minutes (or the last end), recomputed from the solution.
    bound : int or None
        No solution that serves as much and costs no more has less quality than
        this; None unless both are proved to be the best.
    seconds : float
        Wall-clock time.
    refused : tuple of str
        What the check had against solutions that CP-SAT gave: a bug, here or
        there. Such a solution is never returned.
    """

    status: Status
    solution: Solution | None
    served: tuple[int, ...] | None
    money: int | None
    quality: int | None
    bound: int | None
    seconds: float
    refused: tuple[str, ...] = ()

    @property
    def proved(self) -> bool:
        """Nothing better exists; an optimum of the model may be dearer by what it leaves out."""
        return self.status == "optimal" and (
            self.bound is None or self.quality is None or self.quality <= self.bound
        )


def solve_model(
    problem: Problem,
    *,
    hint: Solution | None = None,
    free: frozenset[int] | None = None,
    may_omit: bool = True,
    seconds: float | None = None,
    deterministic: bool = False,
    workers: int = 2,
    seed: int = 1,
    longer: bool = True,
    stop: Callable[[], bool] | None = None,
    on_solution: Callable[[Solution], None] | None = None,
    encoding: Encoding = FIRST,
) -> ModelResult:
    """Solve a problem, or improve part of a solution.

    Parameters
    ----------
    hint
        A solution to start from; it is never made worse.
    free
        Only these batches move; everything else stays as in `hint` (what has
        no place there stays without one).
    may_omit
        Batches that are not fixed may be left out, at the price of what is
        then not served. False: all that move must have a place.
    seconds
        Time for all of it; None for no limit. In deterministic mode CP-SAT's
        deterministic time, which no clock disturbs.
    deterministic
        One worker, no clock: the same answer every time.
    longer
        Overtime that costs nothing may be used for quality; False: no more of it (and of
        rest) than in a hint that serves as much, and "optimal" says no more than that.
    stop
        Asked ten times a second whether to stop; what was found is returned.
    on_solution
        Told every better solution, checked.
    """
    started = time.monotonic()
    scope = scope_of(problem, hint, free, may_omit)
    limits = Limits(seconds, deterministic, workers, seed, encoding.presolve)
    search = _Search(problem, limits, may_omit, stop, on_solution, started)
    search.longer = longer
    search.begin(scope, hint)
    return search.result(scope, encoding)


class _Search:
    """Band after band, keeping the best checked solution."""

    def __init__(
        self,
        problem: Problem,
        limits: Limits,
        may_omit: bool,
        stop: Callable[[], bool] | None,
        on_solution: Callable[[Solution], None] | None,
        started: float,
    ) -> None:
        self.problem = problem
        self.may_omit = may_omit
        self.limits = limits
        self.stop = stop
        self.on_solution = on_solution
        self.started = started
        self.longer = True
        self.spent = 0.0
        self.refused: list[str] = []
        self.start: Solution | None = None
        self.best: Solution | None = None
        self.score: Score | None = None

    def begin(self, scope: Scope, hint: Solution | None) -> None:
        """Start from a hint; it counts as the best so far if it is sound and whole enough."""
        self.start = hint
        if hint is not None and not violations(self.problem, hint):
            moving = scope.certain | scope.maybe
            if self.may_omit or moving <= hint.placed(self.problem):
                self.best, self.score = hint, terms(self.problem, hint)

    def result(self, scope: Scope, encoding: Encoding) -> ModelResult:
        """Minimise what is not served, rank by rank, then money, changes, quality."""
        model = build(scope, encoding)
        proved = True
        for rank, level in enumerate(model.served):
            if not level.terms:
                continue
            found = self.minimise(model, level, SERVED_SHARE)
            if found.status == "infeasible":
                return self.report("infeasible", None)
            proved &= found.status == "optimal"
            if self.score is not None:
                model.cp.add(level.expr <= self.score.served[rank])
        if model.omitting and self.score is not None and not any(self.score.served):
            model, proved = build(everything_served(scope), encoding), True
        if model.money.terms:
            if self.score is None or self.score.money > model.cheapest:
                found = self.minimise(model, model.money, SERVED_SHARE)
                if found.status == "infeasible":
                    return self.report("infeasible", None)
                proved &= found.status == "optimal"
            if self.score is not None:
                model.cp.add(model.money.expr <= self.score.money)
            if self.best is not None and not self.longer:
                used, grid = extras(self.problem, self.best), self.problem.grid
                model.cp.add(model.overtime <= grid * used.overtime)
                model.cp.add(model.eaten <= grid * used.rest)
        if model.changes.terms:
            if self.score is None or self.score.changes > model.changes.constant:
                found = self.minimise(model, model.changes, SERVED_SHARE)
                if found.status == "infeasible":
                    return self.report("infeasible", None)
                proved &= found.status == "optimal"
            if self.score is not None:
                model.cp.add(model.changes.expr <= self.score.changes)
        found = self.minimise(model, model.quality, 1.0)
        status: Status = found.status
        if status == "optimal" and not proved:
            status = "feasible"
        return self.report(status, found.bound if proved else None)

    def minimise(self, model: Model, objective: Objective, share: float) -> Run:
        """One band in a share of the time left; what it finds is checked before it counts."""
        model.cp.minimize(objective.expr)
        # Without a hint: "everything is left out" is nearly a solution where that is allowed.
        start = Solution() if self.start is None and self.may_omit else self.start
        view = None if start is None else model.view(start)
        found = run(model, self.left(share), view, self.stop, self.heard)
        self.spent += found.spent
        if found.solution is not None and not self.take(found.solution):
            return Run("unknown", None, None, None, found.spent)
        if found.status == "infeasible" and self.best is not None:
            self.refused.append("CP-SAT says infeasible of what has a checked solution")
            return Run("unknown", None, None, None, found.spent)
        return found

    def left(self, share: float) -> Limits:
        """The limits less what has been spent, and of that a share."""
        seconds = self.limits.seconds
        if seconds is None:
            return self.limits
        gone = self.spent if self.limits.deterministic else time.monotonic() - self.started
        return replace(self.limits, seconds=share * max(0.0, seconds - gone))

    def heard(self, solution: Solution) -> None:
        """A solution while the search goes on; what is no better is of no use, and not checked."""
        if self.score is not None and not terms(self.problem, solution) < self.score:
            return
        if self.take(solution) and self.on_solution is not None and self.best is solution:
            self.on_solution(solution)

    def take(self, solution: Solution) -> bool:
        """Check a solution; keep it if it is the best. False where the check refuses it."""
        if solution == self.best:
            return True
        found = violations(self.problem, solution)
        if found:
            self.refused.extend(found)
            return False
        score = terms(self.problem, solution)
        if self.score is None or score < self.score:
            self.best, self.score, self.start = solution, score, solution
        return True

    def report(self, status: Status, bound: int | None) -> ModelResult:
        """The answer; a solution in hand is never lost to a limit."""
        if self.best is not None and status == "unknown":
            status = "feasible"
        score = self.score
        return ModelResult(
            status,
            self.best,
            None if score is None else score.served,
            None if score is None else score.money,
            None if score is None else score.quality,
            bound,
            time.monotonic() - self.started,
            tuple(self.refused),
        )
