"""Clean-downs on sheets: whoever cleans reads it, with what to mind."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.by import By
from scheduler.plan.model import Plan
from scheduler.plan.show import show


def test_whoever_cleans_reads_it_on_their_sheet(rich_week: Scenario, rich_plan: Plan) -> None:
    (done, *_) = rich_plan.clean_downs
    sheet = "\n".join(show(rich_week, rich_plan, By.PERSON))
    mine = sheet.split(f"\n{done.people[0]} (")[-1].split("\n\n")[0]
    assert "mincer: take apart and scald (after" in mine


def test_a_machine_shows_when_it_is_cleaned_and_by_whom(
    rich_week: Scenario, rich_plan: Plan
) -> None:
    sheet = "\n".join(show(rich_week, rich_plan, By.EQUIPMENT))
    row = next(line for line in sheet.splitlines() if "take apart and scald  " in line)
    assert row.endswith(rich_plan.clean_downs[0].people[0])


def test_every_sheet_says_what_to_mind_with_blades(rich_week: Scenario, rich_plan: Plan) -> None:
    for by in By:
        text = " ".join(" ".join(show(rich_week, rich_plan, by)).split())
        assert "mincer, take apart and scald: disconnected first, guards back on" in text
        assert "local rules decide" in text


def test_a_plan_in_which_nothing_is_cleaned_says_nothing_of_it(
    rich_week: Scenario, rich_plan: Plan
) -> None:
    plain = rich_plan.model_copy(update={"clean_downs": ()})
    assert not [line for line in show(rich_week, plain, By.DAY) if "cleaning" in line]
