"""The auditor of the primitives: each rule kept and broken, and what it loads."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest

from scheduler.solve.check import violations
from scheduler.workload.primitives import Placed, Solution
from tests.solve.cases import CASES
from tests.solve.small import Case, at, tasks


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_keeps_a_rule_is_sound(case: Case) -> None:
    assert violations(case.problem, case.good) == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_breaks_a_rule_is_named_and_nothing_else_is(case: Case) -> None:
    found = violations(case.problem, case.bad)
    assert found
    assert all(case.says in line for line in found), found


def test_half_a_batch_is_not_a_batch() -> None:
    one = tasks(2, 2)
    together = replace(
        one,
        batches=(replace(one.batches[0], tasks=(0, 1)),),
        tasks=tuple(replace(t, batch=0) for t in one.tasks),
    )
    assert "only some" in violations(together, Solution({0: (0, 2)}))[0]


def test_what_is_left_out_is_fine_only_where_leaving_out_is_allowed() -> None:
    assert violations(tasks(2), Solution()) == []
    assert "missing" in violations(tasks(2), Solution(), partial=False)[0]


def test_people_at_something_that_is_not_there_are_found() -> None:
    case = next(c for c in CASES if c.name.startswith("nobody works through"))
    assert "no place" in violations(case.problem, Solution(crews={0: (0,)}))[0]


def test_a_visit_is_as_long_as_it_says() -> None:
    case = next(c for c in CASES if c.name.startswith("butter goes in when"))
    found = violations(case.problem, at((1, 7), adds={0: Placed(3, 5, (0,))}))
    assert found == ["t0 visit at 3: lasts 2, not 1"]


def test_an_unknown_task_does_not_pass() -> None:
    assert any("no such task" in line for line in violations(tasks(2), at((0, 2), (2, 4))))


def test_a_first_plan_need_not_wait_for_the_solver_to_load() -> None:
    """Importing ortools costs about a second; checking must not."""
    code = "import sys, scheduler.solve.check; sys.exit('ortools' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
