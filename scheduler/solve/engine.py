"""From a scenario to a plan: the whole way, as one pure function.

work out -> compile -> construct -> improve -> polish with the model. Whoever
shows a plan has it read by the audit first (the solving job and the API do).
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING, Any

from scheduler.plan.model import Terms
from scheduler.solve.budget import Budget
from scheduler.solve.construct import Repair, construct, drop_hopeless, unplaced
from scheduler.solve.improve import Improve
from scheduler.solve.index import Index
from scheduler.solve.objective import Score, terms
from scheduler.workload.assemble import assemble
from scheduler.workload.certificates import certify
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Missing, Plan
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.model import Workload
    from scheduler.workload.primitives import Solution

    Tell = Callable[[dict[str, Any]], None]

REPAIRS = 2000
"""Ejections at most while something has no place …"""
REPAIR_UNTIL = 0.4
"""… and at most so much of the time."""
POLISH_FROM = 0.7
"""The model takes over when so much of the time is used up …"""
POLISH_BATCHES = 160
"""… in weeks of at most so many batches."""
TELL_EVERY = 1.0
"""Seconds between two plans that are told, at least."""


@dataclass(slots=True)
class Week:
    """One week being planned."""

    scenario: Scenario
    workload: Workload
    compiled: Compiled
    certain: tuple[Missing, ...]

    def plan(self, solution: Solution, score: Score) -> Plan:
        """The solution in the kitchen's words."""
        return assemble(
            self.scenario,
            self.workload,
            self.compiled,
            solution,
            {m.batch: m.why for m in self.certain},
            frozenset(m.batch for m in self.certain),
            Terms(served=score.served, quality=score.quality),
        )


def plan_week(
    scenario: Scenario,
    *,
    seconds: float = 20.0,
    seed: int = 1,
    deterministic: bool = False,
    workers: int = 2,
    tell: Tell | None = None,
    stop: Callable[[], bool] | None = None,
) -> Plan:
    """Plan a week.

    Parameters
    ----------
    scenario : Scenario
        Checked.
    seconds : float
        Time for the search; in deterministic mode a number of moves.
    seed : int
    deterministic : bool
        The same plan every time, whatever else the machine is doing.
    workers : int
        Cores the model may use.
    tell : callable
        Receives a dict for the first plan, each better one and the end:
        kind, plan, seconds, served, quality.
    stop : callable
        Asked between moves; True returns the best plan so far.

    Returns
    -------
    Plan
        Batches without a place are listed in `missing`.
    """
    budget = Budget(seconds, deterministic, stop or (lambda: False))
    workload = work_out(scenario)
    compiled = compile_week(scenario, workload)
    week = Week(scenario, workload, compiled, certify(scenario, workload, compiled))
    problem = compiled.problem
    rng = Random(seed)
    told = [0.0]

    def say(kind: str, now: Plan) -> None:
        told[0] = budget.elapsed()
        if tell is not None:
            tell(
                {
                    "kind": kind,
                    "plan": now,
                    "seconds": round(budget.elapsed(), 3),
                    "served": list(now.terms.served),
                    "quality": now.terms.quality,
                }
            )

    board = construct(Index(problem), rng)
    solution, score = board.solution(), terms(problem, board.solution())
    say("first", week.plan(solution, score))
    if unplaced(board):
        Repair(board, rng).run(REPAIRS, budget.until(REPAIR_UNTIL))
        drop_hopeless(board)
        solution = board.solution()
        if terms(problem, solution) < score:
            score = terms(problem, solution)
            say("better", week.plan(solution, score))
    small = len(problem.batches) <= POLISH_BATCHES
    search = Improve(board, rng)
    over = budget.until(POLISH_FROM if small else 1.0)
    for score, solution in search.run(budget.used, over):
        if budget.elapsed() - told[0] > TELL_EVERY:
            say("better", week.plan(solution, score))
    if small and not budget.stop() and budget.left() > 0:
        solution = _polish(week, solution, budget, seed, workers)
    score = terms(problem, solution)
    plan = week.plan(solution, score)
    say("done", plan)
    return plan


def _polish(week: Week, solution: Solution, budget: Budget, seed: int, workers: int) -> Solution:
    """The whole week in the OR-Tools model, hinted with the best plan; never worse."""
    from scheduler.solve.cpsat.solve import solve_model

    problem = week.compiled.problem
    result = solve_model(
        problem,
        hint=solution,
        seconds=budget.left(),
        deterministic=budget.deterministic,
        workers=workers,
        seed=seed,
        stop=budget.stop,
    )
    if result.solution is not None and terms(problem, result.solution) < terms(problem, solution):
        return result.solution
    return solution
