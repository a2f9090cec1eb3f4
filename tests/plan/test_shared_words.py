"""Who shares a job with whom, on sheets and in the summary."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.by import By
from scheduler.plan.file import Verdicts
from scheduler.plan.model import Plan
from scheduler.plan.show import show
from scheduler.plan.summary import COLUMNS, LINES, summarise
from tests.plan.byhand import component, person, step, supper, task, week

GOOD = Verdicts(valid=True, served=True)


def portioned(*who: str) -> tuple[Scenario, Plan]:
    people = [person(n) | {"name": n.capitalize()} for n in ("ana", "ben", "cem")]
    made = week(
        component("soup", step("portion", "4 h", hands=[{"up_to": 3}])) | {"name": "Terrine"},
        people=people,
    )
    return made, supper(made, task("soup.1/portion", "Tue 12:00", 240 // len(who), hands=who))


def test_the_summary_says_who_shares_what_and_for_how_long() -> None:
    text = summarise(*portioned("ana", "ben", "cem"), GOOD)
    assert "Ana, Ben, Cem share 1 h 20 min of Terrine: portion." in text.splitlines()
    assert len(text.splitlines()) <= LINES
    assert max(map(len, text.splitlines())) <= COLUMNS
    assert " share " not in summarise(*portioned("ana"), GOOD)


def test_everybody_reads_with_whom_they_share_it() -> None:
    scenario, plan = portioned("ana", "ben")
    (day,) = [row for row in show(scenario, plan, By.DAY) if "Terrine" in row]
    assert "Ana, Ben" in day and "portion, shared" in day and "12:00-14:00" in day
    rows = [row for row in show(scenario, plan, By.PERSON) if "Terrine" in row]
    assert ["with Ben" in rows[0], "with Ana" in rows[1]] == [True, True]


def test_what_one_does_alone_is_not_called_shared() -> None:
    scenario, plan = portioned("ana")
    text = "\n".join(show(scenario, plan, By.DAY)) + "\n".join(show(scenario, plan, By.PERSON))
    assert "shared" not in text and "with " not in text
