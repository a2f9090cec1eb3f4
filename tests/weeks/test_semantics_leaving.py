"""Stepping away, pausing over breaks, breaks that move: a tiny week for each."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from tests.weeks.checks import (
    finds_no_place,
    model_key,
    planned,
    problem_of,
    served,
    task,
)
from tests.weeks.checks import key_of as key
from tests.weeks.tiny import DAY, EVE, Document, component, cook, keep, span, step, visit, week_of

ANA = [cook("ana", "08:00-18:00", days=DAY)]
OFTEN: Document = {"times": 4, "longest": "30 min"}


def trays(turning: str = "30 min", **leave: Any) -> Document:
    """Three hours of portioning by the only cook, and trays to be turned meanwhile."""
    turn = visit(turning, every="60 min", verb="turn the trays")
    return week_of(
        component("leather", step("dry", span("6 h", "7 h"), tend=[turn]), keeps=keep("30 min")),
        component("fish", step("portion", "3 h", hands=1, **leave), keeps=keep("60 min")),
        people=ANA,
    )


def away(plan: Plan) -> list[tuple[int, int]]:
    """Visits to the trays while fish is portioned."""
    job = task(plan, "fish.1/portion").visits[0]
    turns = [v for v in task(plan, "leather.1/dry").visits if v.kind == "tend"]
    return [
        (v.start - job.start, v.end - job.start)
        for v in turns
        if job.start < v.end and v.start < job.end
    ]


# -- semantics 46 -------------------------------------------------------------------


def test_trays_are_turned_by_the_only_cook_during_three_hours_of_portioning() -> None:
    plan = served(trays(may_leave=OFTEN))
    gone = away(plan)
    portion = task(plan, "fish.1/portion")
    assert gone
    assert portion.end - portion.start == 180 + sum(b - a for a, b in gone)
    assert model_key(problem_of(scenario_of(trays(may_leave=OFTEN)))) == key(plan)


def test_without_stepping_away_one_of_them_is_missing() -> None:
    finds_no_place(trays(), "leather.1", "fish.1")


def test_portioning_is_not_left_more_often_than_it_may_be() -> None:
    finds_no_place(trays(may_leave={"times": 1, "longest": "30 min"}), "leather.1", "fish.1")


def test_nobody_is_away_for_longer_than_they_may_be() -> None:
    plan = served(trays("60 min", may_leave={"times": 4, "longest": "60 min"}))
    report = audit(scenario_of(trays("60 min", may_leave=OFTEN)), plan)
    assert "one-place" in report.rules()


def test_the_work_takes_as_long_as_it_takes_however_often_it_is_left() -> None:
    """Whoever forgets the time that stepping away costs has portions too few at six o'clock."""
    plan = served(trays(may_leave=OFTEN))
    portion = task(plan, "fish.1/portion")
    late = portion.model_copy(update={"start": portion.start + 30, "law_start": portion.start + 30})
    hands = portion.visits[0].model_copy(update={"start": late.start})
    late = late.model_copy(update={"visits": (hands,)})
    tasks = tuple(late if t.id == portion.id else t for t in plan.tasks)
    report = audit(scenario_of(trays(may_leave=OFTEN)), plan.model_copy(update={"tasks": tasks}))
    assert "stepping-away" in report.rules()


# -- semantics 10, 11 ---------------------------------------------------------------


def braise(floating: bool, **leave: Any) -> Document:
    """Five hours of hands until six, and the cook's half hour between three and five."""
    pause = {"between": "15:00-17:00", "length": "30 min"}
    shift: Document = {"days": [DAY], "hours": "12:00-18:00"}
    shift |= {"floating_breaks": [pause]} if floating else {"breaks": ["16:00-16:30"]}
    return week_of(
        component("carve", step("carve", "5 h", hands=1, **leave), keeps=keep("0 min")),
        people=[cook("ana", shift)],
    )


def test_work_that_may_pause_goes_on_after_the_break() -> None:
    for floating in (True, False):
        plan = served(braise(floating, may_leave={"breaks": True}))
        carve = task(plan, "carve.1/carve")
        assert carve.end - carve.start == 330
        assert len(plan.breaks) == floating


def test_work_that_may_not_pause_waits_for_no_break() -> None:
    for floating in (True, False):
        finds_no_place(braise(floating), "carve.1")


def test_a_break_that_moves_goes_where_nothing_needs_the_cook() -> None:
    """At three, with both sauces in a row after it; a break at the worst time would cost one."""
    pause = {"between": "13:00-17:00", "length": "30 min"}
    shift: Document = {"days": [DAY], "hours": "13:00-18:00", "floating_breaks": [pause]}
    document = week_of(
        component("sauce", step("reduce", "3 h", hands=1), keeps=keep("0 min")),
        component("roux", step("stir", "60 min", hands=1), keeps=keep("3 h")),
        people=[cook("ana", shift)],
    )
    plan = served(document)
    assert [(b.end - b.start, b.person) for b in plan.breaks] == [(30, "ana")]
    assert model_key(problem_of(scenario_of(document))) == key(plan)


def test_a_break_is_not_forgotten() -> None:
    plan = planned(braise(True, may_leave={"breaks": True}))
    without = plan.model_copy(update={"breaks": ()})
    scenario = scenario_of(braise(True, may_leave={"breaks": True}))
    assert "break" in audit(scenario, without).rules()


def two_carve(*breaks: str, leave: Document | None = None) -> Document:
    """Five hours of two cooks until six, who each have half an hour in between."""
    people = [
        cook(name, {"days": [DAY], "hours": "12:00-18:00", "breaks": [pause]})
        for name, pause in zip(("ana", "ben"), breaks, strict=True)
    ]
    carve = step("carve", "5 h", hands=2, **({"may_leave": leave} if leave else {}))
    return week_of(component("carve", carve, keeps=keep("0 min")), people=people)


def test_two_who_have_lunch_at_once_lose_half_an_hour() -> None:
    document = two_carve("15:00-15:30", "15:00-15:30", leave={"breaks": True})
    plan = served(document)
    carve = task(plan, "carve.1/carve")
    assert carve.end - carve.start == 330
    assert model_key(problem_of(scenario_of(document))) == key(plan)


def test_two_who_have_lunch_one_after_the_other_lose_an_hour() -> None:
    document = two_carve("14:00-14:30", "15:00-15:30", leave={"breaks": True})
    carve = task(served(document), "carve.1/carve")
    assert carve.end - carve.start == 360
    finds_no_place(two_carve("15:00-15:30", "15:00-15:30"), "carve.1")


def test_a_night_shift_has_its_break_after_midnight() -> None:
    """By the day on which the shift begins."""
    pause = {"between": "01:00-03:00", "length": "30 min"}
    shift: Document = {"days": [EVE], "hours": "22:00-06:00", "floating_breaks": [pause]}
    document = week_of(
        component("dough", step("fold", "3 h", hands=1), keeps=keep("24 h")),
        people=[cook("ana", shift)],
    )
    [rest] = served(document).breaks
    assert rest.id == f"ana/{EVE}/1"
    assert rest.start >= 25 * 60 and rest.end <= 27 * 60


def test_planning_in_the_middle_of_a_stretch_still_gives_the_break() -> None:
    """One that no longer fits into what is left of it has been taken."""
    for begins, left in (("16:00", 1), ("17:00", 0)):
        document = braise(True, may_leave={"breaks": True})
        document["components"][0]["steps"][0]["time"] = "30 min"
        document["week"]["plan_from"] = f"{DAY} {begins}"
        assert len(served(document).breaks) == left


# -- semantics 49 -------------------------------------------------------------------


def beside_the_bar(**leave: Any) -> Document:
    """The only cook stands at the bar from noon to six; something is to be turned there."""
    duty: Document = {
        "id": "bar", "days": [DAY], "hours": "12:00-18:00", "section": "stove", "people": 1,
        **leave,
    }  # fmt: skip
    turn = visit("30 min", every="2 h", give_or_take="30 min", verb="turn")
    return week_of(
        component("leather", step("dry", "4 h", tend=[turn]), keeps=keep("30 min")),
        people=ANA,
        kitchen={"duties": [duty]},
    )


def test_a_cook_steps_away_from_the_bar_where_the_bar_may_be_left() -> None:
    plan = served(beside_the_bar(may_leave={"times": 2, "longest": "30 min"}))
    assert [d.id for d in plan.duties] == [f"bar/{DAY}"]


def test_a_bar_that_may_not_be_left_is_not() -> None:
    finds_no_place(beside_the_bar(), "leather.1")


def test_one_who_is_at_the_bar_the_day_before_is_free_today() -> None:
    document = beside_the_bar()
    document["kitchen"]["duties"][0]["days"] = [EVE]
    document["kitchen"]["people"][1]["shifts"][0]["days"] = ["daily"]
    served(document)


def from_the_middle(begins: str, bar: str, between: str, **leave: Any) -> Document:
    """Planning begins when the cook has stood at the bar for a while, and their break is due."""
    duty: Document = {
        "id": "bar", "days": [DAY], "hours": bar, "section": "stove", "people": 1,
        "may_leave": {"breaks": True}, **leave,
    }  # fmt: skip
    shift: Document = {"days": [DAY], "hours": "08:00-24:00"}
    shift["floating_breaks"] = [{"between": between, "length": "30 min"}]
    return week_of(
        component("sauce", step("reduce", "60 min", hands=1), keeps=keep("6 h")),
        people=[cook("ana", shift)],
        kitchen={"duties": [duty], "grid": "5 min"},
        week={"plan_from": f"{DAY} {begins}"},
    )


def at_the_clock(plan: Plan) -> list[str]:
    """When the breaks begin."""
    return [f"{b.start // 60 - 24:02d}:{b.start % 60:02d}" for b in plan.breaks]


def test_whoever_is_at_the_bar_since_morning_has_their_break_when_planning_begins() -> None:
    """Not ten minutes of work first; a kitchen that reshuffles at 10:30 would have no plan."""
    document = from_the_middle("10:30", "08:00-14:00", "09:00-11:00")
    plan = served(document)
    assert at_the_clock(plan) == ["10:30"]
    assert model_key(problem_of(scenario_of(document))) == key(plan)


def test_whoever_came_to_the_bar_just_now_works_ten_minutes_first() -> None:
    document = from_the_middle("10:30", "10:25-14:00", "09:00-11:05")
    plan = served(document)
    assert at_the_clock(plan) == ["10:35"]
    assert model_key(problem_of(scenario_of(document))) == key(plan)
    early = plan.breaks[0].model_copy(update={"start": 34 * 60 + 30, "end": 35 * 60})
    report = audit(scenario_of(document), plan.model_copy(update={"breaks": (early,)}))
    assert report.rules() == {"stepping-away"}


def test_a_break_at_the_end_of_the_week_may_be_inside_what_goes_on_into_the_next() -> None:
    document = from_the_middle("08:00", "19:30-24:00", "22:30-23:30")
    assert at_the_clock(served(document)) == ["22:30"]


def test_whoever_is_at_a_long_job_when_planning_begins_has_their_break_then() -> None:
    """Carving since eight; the rest of it is longer by the break."""
    carve = step("carve", "4 h", hands=1, may_leave={"breaks": True})
    shift: Document = {"days": [DAY], "hours": "08:00-18:00"}
    shift["floating_breaks"] = [{"between": "09:00-11:00", "length": "30 min"}]
    document = week_of(
        component("ham", carve, keeps=keep("8 h")),
        people=[cook("ana", shift)],
        kitchen={"grid": "5 min"},
        week={
            "plan_from": f"{DAY} 10:30",
            "in_progress": [{"id": "ham-1", "component": "ham", "quantity": "10 portions",
                             "step": "carve", "started": f"{DAY} 08:00"}],
        },
    )  # fmt: skip
    plan = served(document)
    assert at_the_clock(plan) == ["10:30"]
    assert task(plan, "ham-1/carve").end == (24 + 12) * 60 + 30
    assert model_key(problem_of(scenario_of(document))) == key(plan)


def test_a_break_that_lies_all_in_a_duty_of_the_only_cook_is_said_beforehand() -> None:
    """Otherwise the kitchen gets no plan at all, and nobody says why."""
    document = from_the_middle("08:00", "09:00-14:00", "10:00-11:00")
    served(document)
    document["kitchen"]["duties"][0]["may_leave"] = {"times": 1, "longest": "10 min"}
    with pytest.raises(BadInput, match="0 are there all the time, breaks apart"):
        planned(document)
    document["kitchen"]["people"][1]["shifts"][0]["floating_breaks"][0]["between"] = "13:00-14:30"
    served(document)
