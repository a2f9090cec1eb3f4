"""Cautions reach the sheet of whoever does it, and alone in the house is seen in the plan."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.by import By
from scheduler.plan.model import Plan
from scheduler.plan.show import show
from tests.plan import tiny

LAST = "Local food and labour codes and licensed practice decide, not this plan."


def week(step: dict[str, Any], *more: dict[str, Any], **kettle: Any) -> Scenario:
    """The tiny week with more said of its step and its kettle, and more people."""
    document = deepcopy(tiny.DOCUMENT)
    document["components"][0]["steps"][0] |= step
    document["kitchen"]["equipment"][0] |= kettle
    document["kitchen"]["people"] += more
    return scenario_of(document)


def boss(hours: str = "08:00-22:00") -> dict[str, Any]:
    return {"id": "boss", "sections": {"stove": "lead"},
            "shifts": [{"days": ["daily"], "hours": hours}]}  # fmt: skip


def sheet(scenario: Scenario, by: By, plan: Plan | None = None) -> list[str]:
    lines = list(show(scenario, plan or tiny.plan(), by))
    assert all(len(line) <= 100 for line in lines)
    return [" ".join(line.split()) for line in lines if line]


@pytest.mark.parametrize("by", [By.DAY, By.PERSON, By.SECTION])
def test_the_caution_stands_under_the_job_of_the_step_and_of_its_machine(by: By) -> None:
    lines = sheet(week({"hazards": ["hot-sugar"]}, boss(), hazards=["steam"]), by)
    job = next(i for i, line in enumerate(lines) if line.startswith("14:00"))
    assert lines[job + 1].startswith("mind hot sugar: sleeves down")
    assert any(line.startswith("mind steam: open away from you") for line in lines[job:])
    served = next(i for i, line in enumerate(lines) if line.startswith("18:00"))
    assert not [line for line in lines[served:] if line.startswith("mind")]


def test_a_caution_is_said_in_full_once_on_a_sheet() -> None:
    scenario = week({"hazards": ["blades"], "unload": {"time": "15 min"}}, boss())
    plan = tiny.plan()
    visits = (*plan.tasks[0].visits,
              plan.tasks[0].visits[0].model_copy(update={"kind": "unload", "start": 2400,
                                                         "end": 2415}))  # fmt: skip
    tasks = (plan.tasks[0].model_copy(update={"visits": visits}), plan.tasks[1])
    lines = sheet(scenario, By.PERSON, plan.model_copy(update={"tasks": tasks}))
    said = [line for line in lines if "knives and blades" in line]
    assert [line.startswith("mind knives and blades: sharp") for line in said] == [True, False]


@pytest.mark.parametrize("by", By)
def test_every_sheet_ends_with_who_decides(by: By) -> None:
    assert sheet(tiny.scenario(), by)[-1] == LAST


def lone(*more: dict[str, Any], start: int | None = None) -> list[str]:
    """The jobs that say they are done alone; the soup is filled at another minute if asked."""
    plan = tiny.plan()
    if start is not None:
        visit = plan.tasks[0].visits[0].model_copy(update={"start": start, "end": start + 15})
        plan = plan.model_copy(
            update={"tasks": (plan.tasks[0].model_copy(update={"visits": (visit,)}), plan.tasks[1])}
        )
    lines = sheet(week({}, *more), By.PERSON, plan)
    return [lines[i - 1][:5] for i, line in enumerate(lines) if "alone in the house" in line]


def test_nobody_is_alone_while_somebody_else_is_on_shift() -> None:
    assert lone(boss()) == []
    assert lone(boss("08:00-14:10")) == ["14:00"]
    assert lone(boss("15:00-18:15")) == ["14:00", "18:00"]


def test_a_stretch_alone_is_said_once_by_day_and_each_time_at_night() -> None:
    """Alone all day long; the soup at 22:30 is overtime at night."""
    assert lone() == ["14:00"]
    assert lone(start=2 * 1440 - 90) == ["18:00", "22:30"]


def test_a_hazard_that_there_is_not_is_said_with_what_was_meant() -> None:
    with pytest.raises(BadInput) as bad:
        week({"hazards": ["hot-suger"]}, hazards=["slicers", "lone-night"])
    said = "\n".join(str(p) for p in bad.value.problems)
    assert "unknown hazard 'hot-suger'. Maybe 'hot-sugar'" in said
    assert "equipment kettle, hazards 1: unknown hazard 'slicers'. Maybe 'slicer'" in said
    assert "'lone-night' is written by nobody: it follows from who is in the house" in said
