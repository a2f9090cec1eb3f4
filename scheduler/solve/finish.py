"""The earliest last end: lists first and beside, the model for the proof.

What is a network of activities (`justify.network_of`) gets a first schedule
from lists in a fraction of a second. Then the model, hinted with it and
bounded by it, proves in a thread (CP-SAT lets go of the interpreter while it
searches) and the lists go on here; what either finds the other hears of.
Anything else goes to the model as it is, and so does a job shop.
"""

from __future__ import annotations

import time
from dataclasses import replace
from threading import Thread
from typing import TYPE_CHECKING

from scheduler.solve.check import violations
from scheduler.solve.cpsat.solve import ModelResult, solve_model
from scheduler.solve.justify import MOST_BITS, Builder, network_of
from scheduler.solve.lists import Lists
from scheduler.solve.objective import terms
from scheduler.workload.primitives import Solution

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from scheduler.workload.primitives import Problem

FIRST = 1500
"""Schedules before the model is asked."""

FIRST_SHARE = 0.05
"""Of the time, at most, before the model is asked."""

BESIDE = 0.3
"""Of the time, at most, with the model and the lists beside each other; then the model alone."""


def solve_finish(
    problem: Problem,
    *,
    seconds: float,
    workers: int = 2,
    seed: int = 1,
    clock: Callable[[], float] = time.monotonic,
) -> ModelResult:
    """Finish as early as possible; everything has a place.

    Parameters
    ----------
    seconds
        Time for all of it, by the clock.
    workers
        Cores to use.
    clock
        What time is counted by: the wall, or what this process had of the
        processor where others share it.

    Returns
    -------
    ModelResult
        As of `solve_model`.
    """
    time_left = Clock(seconds, clock)
    network = network_of(problem)
    builder = None if network is None else Builder(network)
    # Of one thing at a time the model proves more with all workers from the start.
    shop = network is not None and max(network.capacities, default=1) == 1
    if builder is None or shop or builder.bits > MOST_BITS:
        return solve_model(
            problem,
            may_omit=False,
            seconds=time_left.wall(1.0),
            workers=workers,
            seed=seed,
            stop=lambda: time_left.gone() >= 1,
        )
    return _Finish(problem, builder, time_left, workers, seed).result()


class Clock:
    """How much of the time has gone."""

    def __init__(self, seconds: float, clock: Callable[[], float]) -> None:
        self.seconds = seconds
        self.clock = clock
        self.started = clock()

    def gone(self) -> float:
        """Share of the time that has gone."""
        return (self.clock() - self.started) / self.seconds if self.seconds > 0 else 1.0

    def wall(self, share: float) -> float | None:
        """Seconds until that share has gone; None where the wall's clock cannot tell."""
        if self.clock is not time.monotonic:
            return None
        return max(0.0, (share - self.gone()) * self.seconds)


class _Finish:
    """One problem's search."""

    def __init__(
        self, problem: Problem, builder: Builder, clock: Clock, workers: int, seed: int
    ) -> None:
        self.problem = problem
        self.network = builder.network
        self.clock = clock
        self.workers = workers
        self.seed = seed
        self.started = time.monotonic()
        self.lists = Lists(builder, seed)
        self.bound = self.network.least
        self.refused: tuple[str, ...] = ()

    def result(self) -> ModelResult:
        """Lists; the model with the lists beside; the model alone with all workers."""
        made = self.lists.builder
        self.lists.run(lambda: made.made >= FIRST or self.clock.gone() > FIRST_SHARE)
        if not self.proved and self.workers > 1 and BESIDE > 0:
            self.beside(BESIDE)
        if not self.proved and self.clock.gone() < 1:
            self.model(self.workers, 1.0)
        return self.report()

    @property
    def proved(self) -> bool:
        """Whether nothing can end earlier."""
        return self.bound >= self.lists.finish

    def beside(self, share: float) -> None:
        """The model in a thread with one worker less, the lists here, until the share has gone."""
        thread = Thread(target=self.model, args=(self.workers - 1, share), daemon=True)
        thread.start()
        self.lists.run(lambda: not thread.is_alive() or self.clock.gone() > share)
        thread.join()

    def model(self, workers: int, share: float) -> None:
        """Ask the model for something that ends earlier than the lists' best, or for the proof."""
        end = self.network.origin + self.lists.finish
        tasks = tuple(replace(task, latest=end) for task in self.problem.tasks)
        result = solve_model(
            replace(self.problem, horizon=end, tasks=tasks),
            hint=self.solution(self.lists.best),
            may_omit=False,
            seconds=self.clock.wall(share),
            workers=workers,
            seed=self.seed,
            stop=lambda: self.proved or self.clock.gone() >= share,
            on_solution=lambda solution: self.lists.meet(self.starts(solution)),
        )
        self.refused += result.refused
        if result.solution is not None:
            self.lists.meet(self.starts(result.solution))
        if result.bound is not None:
            self.bound = max(self.bound, result.bound - self.network.origin)

    def starts(self, solution: Solution) -> list[int]:
        """The starts of the network's activities in a solution."""
        return [solution.times[t][0] - self.network.origin for t in self.network.tasks]

    def solution(self, starts: Sequence[int]) -> Solution:
        """The other way round."""
        origin = self.network.origin
        spans = zip(self.network.tasks, starts, self.network.lengths, strict=True)
        times = {t: (origin + s, origin + s + d) for t, s, d in spans}
        return Solution(times, {use.choice: 0 for use in self.problem.uses})

    def report(self) -> ModelResult:
        """The best of both, and what is proved of it."""
        solution = self.solution(self.lists.best)
        refused = (*self.refused, *violations(self.problem, solution))
        score = terms(self.problem, solution)
        return ModelResult(
            "optimal" if self.proved else "feasible",
            solution,
            score.served,
            score.money,
            score.quality,
            self.network.origin + self.bound,
            time.monotonic() - self.started,
            refused,
        )
