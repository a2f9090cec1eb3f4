"""From a scenario to a plan: the whole way, as one pure function.

work out -> compile -> construct -> repair -> search, with other methods tried
in between (`choosing`). Whoever shows a plan has it read by the audit first
(the solving job and the API do).
"""

from __future__ import annotations

import time
from contextlib import suppress
from random import Random
from typing import TYPE_CHECKING, Any

from scheduler.solve.around import begun, freed, nearer, rooted
from scheduler.solve.budget import Budget
from scheduler.solve.choosing import Chooser, Trial
from scheduler.solve.collecting import uncollected
from scheduler.solve.construct import adopt, construct, drop_hopeless, unplaced
from scheduler.solve.index import Index
from scheduler.solve.last_calls import chosen_in
from scheduler.solve.neighbourhoods import movable
from scheduler.solve.objective import terms
from scheduler.solve.race import Race
from scheduler.solve.room import UNTIL, make_room
from scheduler.solve.rounds import get_ready
from scheduler.solve.search import Search
from scheduler.solve.week import as_kept, week_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from concurrent.futures import Executor

    from scheduler.domain.scenario import Scenario
    from scheduler.domain.staying import Staying
    from scheduler.plan.model import Past, Plan
    from scheduler.solve.objective import Score
    from scheduler.workload.primitives import Solution

    Tell = Callable[[dict[str, Any]], None]

TELL_EVERY = 1.0
"""Seconds between two plans that are told, at least."""
PATIENT = 0.1
"""So much of the time at most is spent on making room before other choices are tried …"""
CHOOSE_UNTIL = 0.3
"""… and so much until making room goes on with the best of them."""
FRESHER_FROM, FRESHER_UNTIL = 0.5, 0.75
"""When choices are tried that would cost less or keep fresher."""
NEARBY = 0.3
"""From an older plan: so much of the time is spent on making way in it before other choices …"""
NEARBY_CHOICES = 0.5
"""… and so much until making room goes on with the best of them."""


@uncollected
def plan_week(
    scenario: Scenario,
    *,
    seconds: float = 20.0,
    seed: int = 1,
    deterministic: bool = False,
    workers: int = 2,
    executor: Executor | None = None,
    kept: Sequence[Staying] = (),
    start_from: Plan | None = None,
    past: Past | None = None,
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
    kept : sequence of Staying
        Tasks that stay where somebody wants them.
    start_from : Plan, optional
        An older plan of the same week: what still may stand there stays where it is, and only
        the rest is planned. Nothing is proved then of how good a plan could be.
    past : Past, optional
        What had happened of that plan, where it is made anew in the middle of the week:
        changes against it are a band of their own then.
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
    chosen = {} if start_from is None else chosen_in(start_from)
    week = week_of(scenario, as_kept(scenario, chosen, kept, past), kept, past)
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

    def due() -> bool:
        return tell is not None and budget.elapsed() - told[0] > TELL_EVERY

    def roomier(best: Trial, part: float) -> Trial:
        """What lacks a place gets one, until so much of the time is used up."""
        week, problem = best.week, best.week.compiled.problem

        race = None
        if executor is not None and not deterministic and workers > 1:
            fresh = start_from is None
            race = Race(problem, best.solution, rng, executor, workers - 1, fresh)

        def heard(found: Solution) -> None:
            if race is not None:
                race.found(found)
            say("better", week.plan(found, terms(problem, found)))

        beaten = race.beaten if race is not None else (lambda: False)
        # What is kept must not depend on a clock.
        make_room(best.board, rng, budget, part, heard, lambda: not deterministic and due(), beaten)
        if race is not None and race.score < terms(problem, best.board.solution()):
            adopt(best.board, race.best)
            say("better", week.plan(race.best, race.score))
        return Trial.of(week, best.board)

    def closer(best: Trial, part: float) -> Trial:
        """From an older plan: what lacks a place gets one near to where it was."""
        if start_from is None or not unplaced(best.board):
            return best
        return nearer(best, start_from, rng, budget.stop if deterministic else budget.until(part))

    if start_from is None:
        board = construct(Index(week.compiled.problem), rng)
        drop_hopeless(board)
    else:
        week, board = begun(week, start_from, rng)
    best = Trial.of(week, board)
    chooser = Chooser(best, rng, budget) if week.choices else None
    if unplaced(best.board) and chooser is not None and start_from is None:
        best = chooser.at_once()
    if past is None:
        best = closer(best, PATIENT)
    # Where a plan has broken somebody waits for it: reasons, and what others make way for, come
    # with the next.
    say("first", best.week.plan(best.solution, best.score, why=past is None))
    if past is not None and executor is not None:  # what broke is wanted in seconds
        with suppress(RuntimeError, OSError, MemoryError):  # the search meets it too, and says so
            executor.submit(get_ready)
    if past is not None:
        before, best = best.score, closer(best, NEARBY)
        if best.score < before:
            say("better", best.week.plan(best.solution, best.score))
    if chooser is not None:
        chooser.best = best
        chooser.explain()
    if unplaced(best.board) and chooser is not None:
        chooser.best = roomier(best, PATIENT)
        choose = CHOOSE_UNTIL if start_from is None else NEARBY_CHOICES
        for found in chooser.fuller(budget.until(choose)):
            say("better", found.week.plan(found.solution, found.score))
        best = chooser.best
    if unplaced(best.board):
        best = roomier(best, UNTIL)
    if start_from is not None:
        chooser = None
        best = rooted(best, start_from) if past is None else freed(best, start_from)

    def bound(value: int | None) -> int | None:
        return value if start_from is None else None  # what stays could be better elsewhere

    def better(score: Score, solution: Solution) -> None:
        if due():
            say("better", best.week.plan(solution, score, bound(search.known.below(score))))

    def lost(what: str) -> None:
        if tell is not None:
            tell({"kind": "helper lost", "what": what, "seconds": round(budget.elapsed(), 3)})

    def bounded(value: int) -> None:
        if tell is not None:
            tell({"kind": "bound", "bound": value, "seconds": round(budget.elapsed(), 3)})

    def searching() -> Search:
        asked = bounded if start_from is None else None  # what stays could be better elsewhere
        new = Search(best.board, rng, budget, executor, max(0, workers - 1), better, asked)
        new.tell_lost = lost
        return new

    search = searching()
    if chooser is not None:
        search.run(FRESHER_FROM)
        chooser.best = Trial(best.week, search.board, search.solution, search.score)
        adopt(search.board, search.solution)
        for found in chooser.fresher(budget.until(FRESHER_UNTIL)):
            say("better", found.week.plan(found.solution, found.score))
        if chooser.best.week is not best.week:
            best = chooser.best
            search = searching()
    if start_from is None or movable(best.board) or unplaced(best.board):
        search.run()
    if unplaced(best.board) and past is None and not budget.stop():  # else: only the plan
        best.week.look_for_reasons(search.solution)
    plan = best.week.plan(search.solution, search.score, bound(search.bound))
    say("done", plan, proved=search.proved and start_from is None)
    return plan
