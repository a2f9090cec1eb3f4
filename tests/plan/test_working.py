"""Overtime and rest as they are told: in the summary and on somebody's sheet."""

from __future__ import annotations

from scheduler.domain.reading import scenario_of
from scheduler.plan.by import By
from scheduler.plan.file import Verdicts
from scheduler.plan.show import show
from scheduler.plan.summary import summarise
from scheduler.plan.words import Names
from scheduler.plan.working import overtime_line, rest_line
from tests.weeks.checks import served
from tests.weeks.test_semantics_overtime import late_work
from tests.weeks.test_semantics_rest import EARLY, LATE, kitchen_of
from tests.weeks.tiny import DAY

GOOD = Verdicts(valid=True, served=True)


def test_the_summary_says_how_long_who_stays_and_what_is_beyond_the_allowance() -> None:
    document = late_work(
        3, overtime={"at_end": "1 h"}, costs={"overtime_allowance": "30 min"}
    )
    scenario, plan = scenario_of(document), served(document)
    names = Names(scenario, plan)
    said = "Overtime 1 h in all, 30 min beyond the allowance: ana 1 h Fri 7 May."
    assert overtime_line(names) == said
    assert said in summarise(scenario, plan, GOOD)
    assert "  overtime Fri 7 May until 13:00: 1 h" in list(show(scenario, plan, By.PERSON))


def test_overtime_inside_the_allowance_is_told_as_well() -> None:
    document = late_work(
        3, overtime={"at_start": "1 h"}, costs={"overtime_allowance": "2 h"}
    )
    scenario, plan = scenario_of(document), served(document)
    assert overtime_line(Names(scenario, plan)) == (
        "Overtime 1 h in all, inside the allowance: ana 1 h Fri 7 May."
    )
    assert "  overtime Fri 7 May from 09:00: 1 h" in list(show(scenario, plan, By.PERSON))


def test_who_is_called_in_later_reads_so_on_their_sheet_and_in_the_summary() -> None:
    document = kitchen_of(LATE, EARLY, service=f"{DAY} 12:00")
    scenario, plan = scenario_of(document), served(document)
    note = (
        "Fri 7 May: 8 h of rest before work, at least 11 h (2003/88/EC art. 3), so called in later"
    )
    assert f"  {note}" in list(show(scenario, plan, By.PERSON))
    assert rest_line(Names(scenario, plan)) == f"Work and rest: ana {note}."
    text = summarise(scenario, plan, GOOD)
    assert "Work and rest: ana Fri 7 May: 8 h of rest before work" in text
    assert "labour codes and licensed practice decide" in text


def test_a_week_without_overtime_and_with_its_rest_says_nothing_of_either() -> None:
    document = late_work(2)
    scenario, plan = scenario_of(document), served(document)
    assert overtime_line(Names(scenario, plan)) == ""
    assert rest_line(Names(scenario, plan)) == ""
