"""Classic instances typed in, for everybody: what the model finds is what was published."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from scheduler.solve.check import violations
from scheduler.solve.cpsat.solve import ModelResult, solve_model
from scheduler.workload.primitives import Problem
from tests.published.instances import SHOPS, Instance
from tests.published.projects import Activity, Project, problem_of, read_rcp, shop_of
from tests.published.verdict import judge

# H. Fisher and G. L. Thompson, "Probabilistic learning combinations of local job-shop
# scheduling rules", in J. F. Muth and G. L. Thompson (eds.), Industrial Scheduling,
# Prentice Hall 1963, pp. 225-251: the 6 x 6 instance. (machine, duration); optimum 55.
FISHER_THOMPSON_6 = [
    [(2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)],
    [(1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)],
    [(2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)],
    [(1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)],
    [(2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)],
    [(1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)],
]

# F. S. Hillier and G. J. Lieberman, Introduction to Operations Research, the chapter on
# project management with PERT/CPM: a construction project of 14 activities, 44 weeks along
# A B C E F J L N. From memory. (duration, activities before it)
CONSTRUCTION = {
    "A": (2, ""),
    "B": (4, "A"),
    "C": (10, "B"),
    "D": (6, "C"),
    "E": (4, "C"),
    "F": (5, "E"),
    "G": (7, "D"),
    "H": (9, "EG"),
    "I": (7, "C"),
    "J": (8, "FI"),
    "K": (4, "J"),
    "L": (5, "J"),
    "M": (2, "H"),
    "N": (6, "KL"),
}


def solved(problem: Problem) -> ModelResult:
    result = solve_model(problem, may_omit=False, seconds=60, deterministic=True)
    assert result.refused == ()
    if result.solution is not None:
        assert violations(problem, result.solution, partial=False) == []
    return result


def shop(jobs: list[list[tuple[int, int]]], apart: bool) -> Problem:
    durations = [[d for _, d in job] for job in jobs]
    return shop_of("shop", durations, [[m for m, _ in job] for job in jobs], apart)


@pytest.mark.parametrize("apart", [False, True])
def test_fisher_and_thompson_6_by_6_takes_55(apart: bool) -> None:
    result = solved(shop(FISHER_THOMPSON_6, apart))
    assert (result.status, result.quality, result.bound) == ("optimal", 55, 55)


@pytest.mark.parametrize("apart", [False, True])
def test_a_textbook_construction_project_takes_44_weeks(apart: bool) -> None:
    names = sorted(CONSTRUCTION)
    after = {
        name: tuple(
            (names.index(n), CONSTRUCTION[name][0]) for n in names if name in CONSTRUCTION[n][1]
        )
        for name in names
    }
    acts = tuple(Activity(CONSTRUCTION[name][0], (), after[name]) for name in names)
    result = solved(problem_of(Project("construction", (), acts), apart))
    assert (result.status, result.quality) == ("optimal", 44)


def johnson(jobs: list[tuple[int, int]]) -> int:
    """S. M. Johnson, Naval Research Logistics Quarterly 1 (1954) 61-68: two machines in turn.

    Jobs that are shorter on the first machine go first, by its length
    upwards; the others after, by the second's length downwards.
    """
    first = sorted((j for j in jobs if j[0] < j[1]), key=lambda j: j[0])
    second = sorted((j for j in jobs if j[0] >= j[1]), key=lambda j: -j[1])
    one = two = 0
    for a, b in first + second:
        one += a
        two = max(one, two) + b
    return two


@pytest.mark.parametrize("seed", range(12))
def test_two_machines_in_turn_take_as_long_as_johnsons_rule_says(seed: int) -> None:
    rng = Random(seed)
    jobs = [(rng.randint(1, 9), rng.randint(1, 9)) for _ in range(rng.randint(2, 7))]
    result = solved(shop([[(0, a), (1, b)] for a, b in jobs], apart=False))
    assert (result.status, result.quality) == ("optimal", johnson(jobs))


# Worked by hand. Two activities of 3 and 4 on one resource of which both take all: 7 one after
# the other. With "the second starts 2 to 4 after the first starts": first 0-3, second 3-7: 7.
# With 2 to 2 they would overlap: infeasible.
def lagged(least: int, most: int) -> Project:
    acts = (Activity(3, (2,), ((1, least),)), Activity(4, (2,), ((0, -most),)))
    return Project("lagged", (2,), acts)


def test_a_maximum_lag_that_leaves_room_is_kept() -> None:
    assert solved(problem_of(lagged(2, 4))).quality == 7


def test_a_maximum_lag_that_leaves_no_room_cannot_work() -> None:
    assert solved(problem_of(lagged(2, 2))).status == "infeasible"


# Worked by hand. In the store: 1. The first activity (3 long) puts 2 in when it ends; the second
# (4 long) takes out 3 when it starts: not before 3, so 7 in all. With 0 in the store it never can.
def stored(path: Path, initial: int) -> Project:
    path.write_text(f"4 1 1\n5 {initial}\n0 0 9 8 2 2 3\n3 2 0 2 1 4\n4 2 3 0 1 4\n0 0 7 7 0\n")
    return read_rcp(path)


def test_a_store_gives_only_what_was_put_in(tmp_path: Path) -> None:
    project = stored(tmp_path / "store.rcp", 1)
    assert project.activities[0].produces == (0,), "the dummies put nothing in"
    assert solved(problem_of(project)).quality == 7
    assert solved(problem_of(stored(tmp_path / "store.rcp", 0))).status == "infeasible"


def test_a_file_with_more_numbers_than_it_says_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "long.rcp"
    path.write_text("2 1 0\n5\n0 0 1 2\n3 2 0 1\n")
    with pytest.raises(ValueError, match="more numbers"):
        read_rcp(path)


def test_a_contradiction_with_what_is_published_is_found() -> None:
    problem = shop(FISHER_THOMPSON_6, apart=False)
    result = solved(problem)

    def about(least: int | None, best: int | None) -> str:
        return judge(Instance(SHOPS, "ft", "ft06", least, best), problem, result).contradiction

    assert about(55, 55) == ""
    assert about(50, 57) == "", "better than the best known is listed, not contradicted"
    assert judge(Instance(SHOPS, "ft", "ft06", 50, 57), problem, result).better
    assert "below the lower bound" in about(56, 57)
    assert "proved to be at least 55" in about(50, 54)
    assert "published as infeasible" in about(None, None)
