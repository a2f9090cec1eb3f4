"""Everything that is told of a week and its plan: no word of it may be in the way of another."""

from __future__ import annotations

from pathlib import Path

from scheduler.domain.classes import not_checked_yet
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.by import By
from scheduler.plan.file import read_plan, write_plan
from scheduler.plan.model import Plan
from scheduler.plan.show import show
from scheduler.plan.summary import summarise
from scheduler.plan.working import rest_notes
from scheduler.solve.last_calls import last_calls
from scheduler.workload.compile import compile_week
from scheduler.workload.render import render_work
from scheduler.workload.work import work_out


def words(scenario: Scenario, plan: Plan, folder: Path) -> str:
    """Work, summary and every table, with the plan as its file gives it back."""
    workload = work_out(scenario)
    said = render_work(scenario, workload, compile_week(scenario, workload))
    path = folder / "week.plan.json"
    verdicts = write_plan(path, plan, scenario)
    file = read_plan(path)
    assert file.scenario == scenario
    assert file.plan == plan
    assert file.verdicts == verdicts
    assert audit(file.scenario, file.plan).valid == verdicts.valid
    for by in By:
        said += show(file.scenario, file.plan, by)
    summary = summarise(
        file.scenario, file.plan, verdicts, last_calls=last_calls(file.scenario, file.plan),
        not_checked=not_checked_yet(file.scenario),
    )  # fmt: skip
    lines = summary.splitlines()
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 80, [line for line in lines if len(line) > 80]
    return "\n".join((*said, summary, *(note for _, note in rest_notes(scenario))))
