"""Planted weeks: possible for certain, and never called impossible."""

from __future__ import annotations

import pytest

from scheduler.plan.audit import audit
from scheduler.workload.certificates import certify
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out
from tests.bench.planted import planted


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
