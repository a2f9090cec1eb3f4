"""The demo on Sunday evening: one cook in the house counts the stores and presses the ferment."""

from __future__ import annotations

from scheduler.domain.reading import scenario_of
from scheduler.plan.by import By
from scheduler.plan.show import show
from scheduler.solve.engine import plan_week
from tests.scenarios.planned import demo, plan

STOCKTAKING = "stocktaking/2026-12-06"


def test_the_ferment_is_pressed_by_whoever_counts_the_stores() -> None:
    duty = next(d for d in plan().duties if d.id == STOCKTAKING)
    away = [
        (task.batch, v)
        for task in plan().tasks
        for v in task.visits
        if set(v.people) & set(duty.people) and duty.start < v.start and v.end < duty.end
    ]
    assert any(batch.startswith("sour-pumpkin") for batch, _ in away)
    assert len(away) <= 6
    assert all(v.end - v.start <= 20 for _, v in away)


def test_without_stepping_away_there_is_no_sour_pumpkin_at_the_gala() -> None:
    document = demo().document()
    duty = next(d for d in document["kitchen"]["duties"] if d["id"] == "stocktaking")
    duty["may_leave"] = {"breaks": True}
    missing = {m.batch for m in plan_week(scenario_of(document), seconds=2, seed=1).missing}
    assert "sour-pumpkin.1" in missing


def test_a_break_that_moves_stands_on_the_sheet() -> None:
    assert [b.person for b in plan().breaks] == ["rosa"]
    sheet = "\n".join(show(demo(), plan(), By.PERSON))
    assert "  Break" in sheet
    assert "away 1" in sheet
