"""That it cannot work is said only when two encodings agree, and never on one solver's word."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.solve.cpsat.decide import Answer, ask, cannot_work
from scheduler.solve.cpsat.encoding import FIRST, SECOND, Encoding
from scheduler.workload.primitives import (
    Batch,
    Choice,
    Crew,
    Line,
    Link,
    Option,
    Point,
    Problem,
    Resource,
    Solution,
    Task,
    Use,
    Way,
)
from tests.solve.brute import TooLarge, best
from tests.solve.problems import SMALL, Shape, random_problem

WAYS = replace(SMALL, ways=True, people=(2, 3))


def bakes(count: int, ticks: int) -> Problem:
    """So many bakes of 4 ticks, one oven, so much time, one cook to load each."""
    tasks, links, batches, crews, uses, choices = [], [], [], [], [], []
    for n in range(count):
        tasks += [Task(f"load{n}", n, 1, 1, 0, ticks), Task(f"bake{n}", n, 3, 3, 0, ticks)]
        links.append(Link(Point(2 * n, True), Point(2 * n + 1), 0, 0))
        batches.append(Batch(f"b{n}", (2 * n, 2 * n + 1)))
        crews.append(Crew(2 * n, (Way((Line((0,)),)),)))
        choices.append(Choice(n, (Option(0),)))
        uses.append(Use(n, n, 1, Point(2 * n), Point(2 * n + 1, True)))
    return Problem(
        5,
        ticks,
        0,
        tuple(batches),
        tuple(tasks),
        tuple(links),
        (Resource("oven", 1),),
        tuple(choices),
        tuple(uses),
        (("cook", ((0, ticks),)),),
        tuple(crews),
    )


def liar(
    problem: Problem, batches: frozenset[int], encoding: Encoding, seconds: float
) -> tuple[Answer, Solution | None]:
    return "infeasible", None


def boaster(
    problem: Problem, batches: frozenset[int], encoding: Encoding, seconds: float
) -> tuple[Answer, Solution | None]:
    return "feasible", Solution({t: (0, task.least) for t, task in enumerate(problem.tasks)})


def sleeper(
    problem: Problem, batches: frozenset[int], encoding: Encoding, seconds: float
) -> tuple[Answer, Solution | None]:
    return "unknown", None


def test_three_bakes_do_not_fit_where_two_do() -> None:
    week = bakes(3, 11)
    assert cannot_work(week, [0, 1, 2], 20) is True
    assert cannot_work(week, [0, 1], 20) is False
    assert cannot_work(bakes(3, 12), [0, 1, 2], 20) is False


def test_a_solver_that_lies_is_not_believed() -> None:
    week = bakes(3, 12)
    assert cannot_work(week, [0, 1, 2], 20, first=liar) is None
    assert cannot_work(week, [0, 1, 2], 20, second=liar) is False


def test_a_solver_that_boasts_is_not_believed_either() -> None:
    assert cannot_work(bakes(3, 11), [0, 1, 2], 20, first=boaster) is None
    assert cannot_work(bakes(3, 11), [0, 1, 2], 20, second=boaster) is None


def test_out_of_time_is_not_decided() -> None:
    assert cannot_work(bakes(3, 11), [0, 1, 2], 20, first=sleeper) is None
    assert cannot_work(bakes(3, 11), [0, 1, 2], 20, second=sleeper) is None
    assert cannot_work(bakes(9, 35), range(9), 0.0) is None


def test_what_feeds_a_batch_is_not_asked_for() -> None:
    week = bakes(2, 8)
    needs = replace(week, batches=(replace(week.batches[0], inputs=(1,)), week.batches[1]))
    assert cannot_work(needs, [0], 20) is False


@pytest.mark.parametrize("block", range(12))
def test_both_encodings_decide_as_trying_everything_does(block: int) -> None:
    for seed in range(10 * block, 10 * block + 10):
        problem = random_problem(Random(seed), SMALL if block < 8 else WAYS)
        everything = frozenset(range(len(problem.batches)))
        # `best` looks at sets with all their inputs; here that is everything.
        try:
            works = best(problem, limit=60_000, must=everything) is not None
        except TooLarge:
            continue
        expected = "feasible" if works else "infeasible"
        assert ask(problem, everything, FIRST, 10)[0] == expected
        assert ask(problem, everything, SECOND, 10)[0] == expected
        assert cannot_work(problem, everything, 20) is not works


@pytest.mark.parametrize("seed", [27, 75])
def test_a_batch_without_a_possible_time_is_an_answer_and_no_fault(seed: int) -> None:
    """Once its times, which mean nothing, were laid on the shelves as less than nothing."""
    shape = Shape(components=(3, 5), horizon=(12, 22), ovens=False, people=(1, 3))
    problem = random_problem(Random(seed), shape)
    everything = frozenset(range(len(problem.batches)))
    assert ask(problem, everything, FIRST, 20)[0] == "infeasible"
