"""Weeks of a few tasks, and assignments to them: what the cases are made of."""

from __future__ import annotations

from dataclasses import dataclass, replace

from scheduler.workload.primitives import (
    HORIZON_END,
    HORIZON_START,
    Batch,
    Line,
    Point,
    Problem,
    Resource,
    Solution,
    Task,
    Use,
)

START = Point(HORIZON_START)
END = Point(HORIZON_END)
SHELF = Resource("shelf", 1)
COLD_HOT = (("bake", 160), ("bake", 240))
OVEN = Resource("oven", 2, COLD_HOT, ((0, 3), (5, 0)), (1, 4))


@dataclass(frozen=True)
class Case:
    """One rule: kept by `good`, broken by `bad`, which the auditor calls `says`."""

    name: str
    problem: Problem
    good: Solution
    bad: Solution
    says: str


def tasks(*lengths: int | tuple[int, int], horizon: int = 20) -> Problem:
    """Tasks of these lengths (or ranges), each in a batch of its own."""
    ranges = [(n, n) if isinstance(n, int) else n for n in lengths]
    return Problem(
        5,
        horizon,
        0,
        tuple(Batch(f"b{t}", (t,)) for t in range(len(ranges))),
        tuple(Task(f"t{t}", t, a, b, 0, horizon) for t, (a, b) in enumerate(ranges)),
    )


def change(problem: Problem, t: int, **what: object) -> Problem:
    """One task otherwise."""
    some = list(problem.tasks)
    some[t] = replace(some[t], **what)  # type: ignore[arg-type]
    return replace(problem, tasks=tuple(some))


def hold(batch: int, choice: int, start: Point, end: Point, amount: int = 1, grace: int = 0) -> Use:
    return Use(batch, choice, amount, start, end, grace)


def whole(t: int, choice: int, amount: int = 1) -> Use:
    """A use all through a task of a batch of its own."""
    return Use(t, choice, amount, Point(t), Point(t, True))


def at(*times: tuple[int, int], **rest: object) -> Solution:
    return Solution(dict(enumerate(times)), **rest)  # type: ignore[arg-type]


def staffed(problem: Problem, *people: tuple[tuple[int, int], ...]) -> Problem:
    return replace(problem, people=tuple((f"p{i}", there) for i, there in enumerate(people)))


ALL_DAY = ((0, 20),)
ONE = (Line((0,)),)
EITHER = (Line((0, 1)),)
