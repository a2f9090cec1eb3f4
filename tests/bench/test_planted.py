"""Planted weeks: possible for certain, as full as they say, and never called impossible."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from scheduler.plan.audit import audit
from scheduler.plan.model import Plan, Terms
from scheduler.solve.check import violations
from scheduler.solve.objective import terms
from scheduler.workload.certificates import certify
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out
from tests.bench.kitchen_best import Known, keep, known
from tests.bench.kitchen_run import Listener
from tests.bench.kitchen_table import over
from tests.bench.pencil_hands import seated
from tests.bench.planted import Planted, planted
from tests.bench.planted_figures import fullness
from tests.bench.rule import by_hand
from tests.bench.small import one


@pytest.fixture(scope="module")
def tight() -> Planted:
    """A tight week that is not tiny."""
    return planted(250, True, 3)


@pytest.fixture(scope="module")
def loose() -> Planted:
    """The same events in a loose kitchen."""
    return planted(250, False, 3)


@pytest.mark.parametrize("tight", [False, True])
@pytest.mark.parametrize("seed", [1, 2])
def test_a_planted_week_has_a_plan_that_serves_everybody(seed: int, tight: bool) -> None:
    week = planted(30, tight, seed)
    report = audit(week.scenario, week.plan)
    assert report.valid, report.findings
    assert report.served
    work = work_out(week.scenario)
    assert certify(week.scenario, work, compile_week(week.scenario, work)) == ()
    assert planted(30, tight, seed).scenario.sha256() == week.scenario.sha256()


def test_a_tight_week_is_as_tight_as_it_says(tight: Planted) -> None:
    full = fullness(tight.scenario, tight.plan)
    assert 0.5 <= full.hands <= 0.6
    assert full.walk_in == 1.0
    assert full.machines >= 2
    assert audit(tight.scenario, tight.plan).valid


def test_a_loose_week_leaves_room(loose: Planted) -> None:
    full = fullness(loose.scenario, loose.plan)
    assert 0.27 <= full.hands <= 0.33
    assert full.walk_in <= 0.75
    assert audit(loose.scenario, loose.plan).valid


def test_a_planted_week_has_about_the_visits_asked_for(tight: Planted, loose: Planted) -> None:
    for week in (tight, loose):
        assert 230 <= week.visits <= 270


def test_a_kept_week_is_the_one_that_was_planted(tmp_path: Path) -> None:
    first = planted(30, True, 3, tmp_path)
    again = planted(30, True, 3, tmp_path)
    assert (again.mark, again.plan) == (first.mark, first.plan)


def test_weeks_do_not_change_when_the_engine_does() -> None:
    """What plants imports nothing of the engines; the check of the primitives is not one."""
    here = Path(__file__).parent
    for path in (*here.glob("planted*.py"), *here.glob("pencil*.py"), here / "rule.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(
                "scheduler.solve"
            ):
                assert node.module == "scheduler.solve.check", path.name


def test_the_rule_by_hand_leaves_out_and_breaks_nothing(tight: Planted) -> None:
    problem = compile_week(tight.scenario, work_out(tight.scenario)).problem
    by_rule = by_hand(problem)
    assert violations(problem, by_rule) == []
    assert by_rule.placed(problem)
    assert terms(problem, by_rule).served >= (0,)


@pytest.mark.parametrize("seed", range(4))
def test_a_small_planted_week_is_planned_whole_and_never_called_impossible(seed: int) -> None:
    assert one(seed, seconds=10).what == ""


def test_two_who_can_each_do_one_thing_are_seated_where_both_find_work() -> None:
    assert seated([[1, 2], [1]]) == (2, 1)
    assert seated([[1], [1]]) is None


def test_a_difference_under_an_hour_of_weighted_minutes_counts_as_none() -> None:
    assert over(1059, 1000) == 0
    assert over(1060, 1000) == 6
    assert over(950, 1000) == 0
    assert over(900, 1000) == -10


def test_what_is_known_is_kept_only_when_it_is_better(tmp_path: Path) -> None:
    path = tmp_path / "best.json"
    for quality in (500, 400, 450):
        keep([Known("week", quality, 11, 600, "abc", "2026-11-25")], path)
    keep([Known("other", 7, 11, 600, "abc", "2026-11-25")], path)
    assert {w: k.quality for w, k in known(path).items()} == {"week": 400, "other": 7}


def test_a_plan_counts_as_served_only_once_nobody_goes_short() -> None:
    listener = Listener(began=0.0)
    for served, left_out, quality in (((3,), 1, 5), ((0,), 1, 5), ((0,), 0, 9)):
        told = Terms(served=served, left_out=left_out, quality=quality)

        def plan(told: Terms = told) -> Plan:
            return Plan(batches=(), shares=(), tasks=(), terms=told)

        listener.hear(told, plan)
    assert listener.kept["first"][1]().terms.served == (3,)
    assert listener.kept["served"][1]().terms.quality == 9
