"""From a scenario to a plan: the whole way, as one pure function.

work out -> compile -> construct -> repair -> search. Whoever
shows a plan has it read by the audit first (the solving job and the API do).
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from functools import cached_property
from random import Random
from typing import TYPE_CHECKING, Any

from scheduler.plan.model import Terms
from scheduler.solve.board import Board
from scheduler.solve.budget import Budget
from scheduler.solve.construct import adopt, construct, drop_hopeless, unplaced
from scheduler.solve.index import Index
from scheduler.solve.objective import terms
from scheduler.solve.repair import Repair
from scheduler.solve.search import Search
from scheduler.workload.assemble import assemble
from scheduler.workload.certificates import certify
from scheduler.workload.compile import compile_week
from scheduler.workload.energy import cannot_all
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from collections.abc import Callable
    from concurrent.futures import Executor

    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan
    from scheduler.solve.objective import Score
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.model import Workload
    from scheduler.workload.primitives import Solution

    Tell = Callable[[dict[str, Any]], None]

REPAIRS = 2000
"""Ejections at most while something has no place …"""
REPAIR_UNTIL = 0.4
"""… and at most so much of the time."""
TELL_EVERY = 1.0
"""Seconds between two plans that are told, at least."""


@dataclass
class Week:
    """One week being planned."""

    scenario: Scenario
    workload: Workload
    compiled: Compiled

    @cached_property
    def certain(self) -> dict[str, str]:
        """Batches that cannot have a place (or not all of a set can), and why.

        Worked out when something is missing: a first plan of everything waits for no reasons.
        """
        found = certify(self.scenario, self.workload, self.compiled)
        return {m.batch: m.why for m in found}

    def look_for_reasons(self, solution: Solution) -> None:
        """For batches without a place: are they of a set for which the hours do not reach?"""
        problem = self.compiled.problem
        placed = solution.placed(problem)
        missing = {batch.id for b, batch in enumerate(problem.batches) if b not in placed}
        for short in cannot_all(self.scenario, self.compiled, tuple(self.certain)):
            for batch in sorted(missing & set(short.batches)):
                self.certain.setdefault(batch, short.why)

    def plan(self, solution: Solution, score: Score, bound: int | None = None) -> Plan:
        """The solution in the kitchen's words."""
        certain = self.certain if any(score.served) else {}
        plan = assemble(
            self.scenario,
            self.workload,
            self.compiled,
            solution,
            certain,
            frozenset(certain),
            Terms(
                served=score.served[:-1],
                left_out=score.served[-1],
                money=self.compiled.problem.spent,
                quality=score.quality,
            ),
        )
        return plan if bound is None else plan.model_copy(update={"bound": bound})


def plan_week(
    scenario: Scenario,
    *,
    seconds: float = 20.0,
    seed: int = 1,
    deterministic: bool = False,
    workers: int = 2,
    executor: Executor | None = None,
    tell: Tell | None = None,
    stop: Callable[[], bool] | None = None,
    clock: Callable[[], float] = time.monotonic,
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
        Processes that search at once, this one counted.
    executor : concurrent.futures.Executor
        Where the others run; left out, all work is done here in turns.
    tell : callable
        Receives a dict for the first plan, each better one and the end:
        kind, plan, seconds, served, quality; and for each better bound:
        kind, bound, seconds.
    stop : callable
        Asked between moves and while the model solves; True returns the best plan so far.
    clock : callable
        Seconds, as far as they count.

    Returns
    -------
    Plan
        Batches without a place are listed in `missing`.
    """
    budget = Budget(seconds, deterministic, stop or (lambda: False), clock)
    workload = work_out(scenario)
    compiled = compile_week(scenario, workload)
    week = Week(scenario, workload, compiled)
    problem = compiled.problem
    rng = Random(seed)
    told = [0.0]

    def say(kind: str, now: Plan, **more: Any) -> None:
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
                | more
            )

    board = construct(Index(problem), rng)
    drop_hopeless(board)
    first = board.solution()
    say("first", week.plan(first, terms(problem, first)))
    if unplaced(board):
        for _ in Repair(board, rng).run(REPAIRS, budget.until(REPAIR_UNTIL)):
            if tell is not None and budget.elapsed() - told[0] > TELL_EVERY:
                fuller = Board(board.index)
                adopt(fuller, board.solution())
                drop_hopeless(fuller)
                solution = fuller.solution()
                say("better", week.plan(solution, terms(problem, solution)))
        drop_hopeless(board)
        repaired = board.solution()
        if terms(problem, repaired) < terms(problem, first):
            say("better", week.plan(repaired, terms(problem, repaired)))
        else:
            adopt(board, first)

    def better(score: Score, solution: Solution) -> None:
        if budget.elapsed() - told[0] > TELL_EVERY:
            say("better", week.plan(solution, score, search.known.below(score)))

    def lost(what: str) -> None:
        if tell is not None:
            tell({"kind": "helper lost", "what": what, "seconds": round(budget.elapsed(), 3)})

    def bounded(value: int) -> None:
        if tell is not None:
            tell({"kind": "bound", "bound": value, "seconds": round(budget.elapsed(), 3)})

    search = Search(board, rng, budget, executor, max(0, workers - 1), better, bounded)
    search.tell_lost = lost
    search.run()
    if unplaced(board) and not budget.stop():  # a stop waits for nothing that is not the plan
        week.look_for_reasons(search.solution)
    plan = week.plan(search.solution, search.score, search.bound)
    say("done", plan, proved=search.proved)
    return plan
