"""The sheet by event: what is on each dish beside the guests' counted needs."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.by import By
from scheduler.plan.model import Plan
from scheduler.plan.show import show


def test_whoever_serves_reads_what_is_in_each_dish(rich_week: Scenario, rich_plan: Plan) -> None:
    sheet = "\n".join(show(rich_week, rich_plan, By.EVENT))
    lunch = sheet.split("reception")[0]
    plate = lunch[lunch.index("cold-plate") :]
    assert "    contains mustard" in plate
    assert "    4 no-meat, free of mustard, kiwi (on no list): contains none written" in plate


def test_every_sheet_says_how_often_machines_are_cleaned(
    rich_week: Scenario, rich_plan: Plan
) -> None:
    many = len(rich_plan.clean_downs)
    how = "once" if many == 1 else f"{many} times"
    for by in By:
        text = "\n".join(show(rich_week, rich_plan, by))
        assert f"Cleaned between two contents {how}, " in text
