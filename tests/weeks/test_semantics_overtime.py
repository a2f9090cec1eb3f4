"""Overtime: only what is needed, at the price the kitchen sets, never where it is not allowed."""

from __future__ import annotations

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.solve.cpsat.solve import solve_model
from tests.weeks.checks import finds_no_place, planned, problem_of, served, task
from tests.weeks.tiny import DAY, Document, component, cook, step, week_of


def late_work(jobs: int, hours: str = "10:00-12:00", **more: object) -> Document:
    """Jobs of an hour for one cook, each to be used at 18:00 and no older than a day."""
    costs = more.pop("costs", {})
    ana = cook("ana", hours, days=DAY, **more)
    parts = [component(f"part-{n}", step("make", "60 min", hands=1)) for n in range(jobs)]
    return week_of(*parts, people=[ana], kitchen={"costs": costs})


def minutes_beyond(plan: Plan, end: str = "12:00") -> int:
    """By how much the last work ends after the shift."""
    scenario = scenario_of(late_work(1))
    shift = scenario.clock.minute(scenario.clock.local(0).replace(tzinfo=None).fromisoformat(
        f"{DAY} {end}"))
    return max(0, max(v.end for t in plan.tasks for v in t.visits if "ana" in v.people) - shift)


def best_money(document: Document) -> int | None:
    """By the OR-Tools model alone."""
    result = solve_model(problem_of(scenario_of(document)), workers=1)
    assert result.status == "optimal" and result.refused == ()
    return result.money


def test_a_week_that_only_overtime_can_serve_is_served_with_overtime() -> None:
    document = late_work(3, overtime={"at_end": "1 h"}, costs={"overtime_hour": 20})
    plan = served(document)
    assert minutes_beyond(plan) == 60
    assert plan.terms.money == 20 == best_money(document)


def test_without_overtime_the_third_job_has_no_place() -> None:
    finds_no_place(late_work(3), "part-0.1", "part-1.1", "part-2.1")


def test_overtime_is_never_longer_than_somebody_may_stay() -> None:
    finds_no_place(late_work(3, overtime={"at_end": "30 min"}), "part-0.1", "part-1.1", "part-2.1")


def test_nobody_stays_late_for_fresher_food() -> None:
    """Fresher by an hour if made in overtime; the shift has room, so it is made in the shift."""
    document = late_work(2, overtime={"at_end": "5 h"})
    plan = served(document)
    assert minutes_beyond(plan) == 0
    assert plan.terms.money == 0 == best_money(document)
    document["kitchen"]["costs"] = {"overtime_allowance": "10 h"}
    assert minutes_beyond(served(document)) == 0


def test_coming_early_is_overtime_too() -> None:
    document = late_work(3, overtime={"at_start": "1 h"}, costs={"overtime_hour": 20})
    plan = served(document)
    starts = [v.start for t in plan.tasks for v in t.visits if "ana" in v.people]
    assert min(starts) % 1440 == 9 * 60
    assert plan.terms.money == 20 == best_money(document)


def test_the_allowance_costs_nothing_and_steps_are_whole() -> None:
    costs = {"overtime_hour": 20, "overtime_allowance": "30 min"}
    document = late_work(3, overtime={"at_end": "1 h"}, costs=costs)
    assert served(document).terms.money == 10
    document["kitchen"]["costs"]["step"] = 8
    assert served(document).terms.money == 2
    document["kitchen"]["costs"]["overtime_allowance"] = "1 h"
    assert served(document).terms.money == 0


def test_idle_time_between_the_shift_and_the_last_job_is_counted() -> None:
    """The job cannot begin before 13:00, when its delivery is there; the shift ends at 12:00."""
    soup = component("soup", step("make", "60 min", hands=1, takes=[
        {"ingredient": "eggs", "amount": "10 piece"}]))  # fmt: skip
    eggs = {"id": "eggs-1", "ingredient": "eggs", "at": f"{DAY} 13:00"}
    ana = cook("ana", "10:00-12:00", days=DAY, overtime={"at_end": "3 h"})
    document = week_of(
        soup, people=[ana], week={"deliveries": [eggs]}, kitchen={"costs": {"overtime_hour": 60}}
    )
    plan = served(document)
    assert plan.terms.money == 120 == best_money(document)


def test_the_audit_sees_overtime_that_nobody_has() -> None:
    plan = served(late_work(3, overtime={"at_end": "1 h"}))
    report = audit(scenario_of(late_work(3, overtime={"at_end": "30 min"})), plan)
    assert "shift" in report.rules()


def test_the_audit_counts_overtime_itself() -> None:
    document = late_work(3, overtime={"at_end": "1 h"}, costs={"overtime_hour": 20})
    plan = served(document)
    lying = plan.model_copy(update={"terms": plan.terms.model_copy(update={"money": 0})})
    assert "terms" in audit(scenario_of(document), lying).rules()


def test_a_duty_may_be_stood_in_overtime() -> None:
    close = {"id": "close", "section": "stove", "people": 1, "days": [DAY], "hours": "11:00-13:00"}
    document = late_work(1, overtime={"at_end": "1 h"})
    document["kitchen"]["duties"] = [close]
    plan = served(document)
    assert plan.duties[0].people == ("ana",)
    assert plan.terms.money == 30


def test_overtime_fills_the_hole_in_a_split_shift_and_no_more() -> None:
    """Half an hour between the parts, an hour after them, and no room for a fourth job."""
    split = [{"days": [DAY], "hours": h} for h in ("10:00-11:00", "11:30-12:00")]
    document = late_work(3, overtime={"at_end": "1 h"})
    document["kitchen"]["people"][1]["shifts"] = split
    assert served(document).terms.money == 45 == best_money(document)
    document = late_work(4, overtime={"at_end": "1 h"})
    document["kitchen"]["people"][1]["shifts"] = split
    assert planned(document).missing


@pytest.mark.parametrize("night", ["2027-03-28", "2026-10-25"])
def test_overtime_in_the_night_of_the_clocks_is_counted_in_elapsed_time(night: str) -> None:
    """A shift to 01:30 and an hour and a half of overtime, across the change at 02:00 or 03:00."""
    bread = component("bread", step("bake", "90 min", hands=1), section="stove")
    ana = cook("ana", "01:00-01:30", days=night, overtime={"at_end": "90 min"})
    document = week_of(
        bread, people=[ana], kitchen={"costs": {"overtime_hour": 60}},
        events=[{"id": "brunch", "first_plate": f"{night} 11:00", "guests": 10, "margin": "0 %",
                 "menu": [{"dish": "plate"}]}],
        week={"starts": f"{night} 00:00", "plan_from": f"{night} 00:00", "ends": f"{night} 20:00"},
    )  # fmt: skip
    plan = served(document)
    assert task(plan, "bread.1/bake").end == 150
    assert plan.terms.money == 60
