"""One step as primitives: rounding, parts, hands, visits, equipment, who may."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from tests.weeks.tiny import (
    DAY,
    component,
    cook,
    in_oven,
    keep,
    kind,
    oven,
    span,
    step,
    visit,
    week_of,
)
from tests.workload.weeks import Week


def one(*steps: dict[str, Any], guests: int = 10, **rest: Any) -> Week:
    names = ("people", "equipment", "stores", "kitchen", "week")
    week = {k: rest.pop(k) for k in list(rest) if k in names}
    return Week(week_of(component("soup", *steps, **rest), guests=guests, **week))


# -- rounding (grid of 30 min) ------------------------------------------------------------


@pytest.mark.parametrize(
    ("time", "ticks"),
    [
        ("40 min", (2, 2)),  # no range: up
        (span("40 min", "40 min"), (2, 2)),  # at_most equal: as if it were not there
        (span("40 min", "100 min"), (2, 3)),  # up to 60, down to 90
        (span("1 h", "2 h"), (2, 4)),
    ],
)
def test_lengths_round_up_at_least_and_down_at_most(time: Any, ticks: tuple[int, int]) -> None:
    task = one(step("cook", time)).task("soup.1/cook:run")
    assert (task.least, task.most) == ticks


def test_a_length_grows_with_the_quantity_and_so_do_best_and_longest() -> None:
    """20 min + 3 min a portion for 10: 50; best 30 + 30 = 60; at most 70 + 30 = 100 -> 90."""
    time = span("20 min", "70 min", "30 min", plus="3 min", per="1 portion")
    task = one(step("cook", time)).task("soup.1/cook:run")
    assert (task.least, task.most) == (2, 3)
    assert task.stretch is not None and (task.stretch.low, task.stretch.high) == (0, 60)


def test_an_empty_range_is_refused_with_both_figures() -> None:
    with pytest.raises(BadInput, match=r"31.*59"):
        one(step("cook", span("31 min", "59 min")))


def test_stretching_costs_by_the_components_weight() -> None:
    task = one(step("cook", span("1 h", "2 h")), weight=3).task("soup.1/cook:run")
    assert task.stretch is not None and task.stretch.cost(90) == 90


def test_where_the_food_decides_the_longest_is_set_aside_at_no_cost() -> None:
    task = one(step("ripen", span("5 h", "8 h", decides="it"))).task("soup.1/ripen:run")
    assert (task.least, task.most, task.stretch) == (16, 16, None)


# -- parts -----------------------------------------------------------------------------------


def test_loading_and_unloading_follow_at_once_and_lengthen_the_machine_not_the_law() -> None:
    smoke = step(
        "smoke",
        "2 h",
        load=visit("30 min"),
        unload=visit("60 min"),
        on=[{"equipment": "smoker"}],
    )
    week = one(smoke, equipment=[kind("smoker")])
    assert week.order("soup.1") == ["smoke:load", "smoke:run", "smoke:unload"]
    assert week.bounds("soup.1/smoke:load.end", "soup.1/smoke:run.start") == (0, 0)
    assert week.bounds("soup.1/smoke:run.end", "soup.1/smoke:unload.start") == (0, 0)
    assert week.task("soup.1/smoke:run").least == 4
    (use,) = week.uses("soup.1/smoke:load")
    assert use.end == week.point("soup.1/smoke:unload.end")


def test_hands_all_the_way_are_a_crew_on_the_law() -> None:
    week = one(step("knead", "1 h", hands=2), people=[cook("ana"), cook("bo")])
    crew = next(c for c in week.problem.crews if c.task == week.index("soup.1/knead:run"))
    assert [line.count for line in crew.ways[0].lines] == [2]


def test_what_a_visit_takes_is_taken_only_while_it_lasts() -> None:
    smoke = step("smoke", "2 h", load=visit("30 min", on=[{"equipment": "bench"}]))
    week = one(smoke, equipment=[kind("bench")])
    (use,) = week.uses("soup.1/smoke:load")
    assert use.end == week.point("soup.1/smoke:load.end")


def test_nothing_new_starts_before_planning_begins_or_ends_after_the_week() -> None:
    week = one(step("cook", "1 h"), week={"plan_from": f"{DAY} 08:00"})
    task = week.task("soup.1/cook:run")
    assert (task.earliest, task.latest) == (week.problem.now, week.problem.horizon) == (64, 94)


# -- visits ------------------------------------------------------------------------------------


def test_tending_keeps_its_tolerance_inside_the_grid() -> None:
    """Every 100 min give or take 25: 75 to 125 min are 90 to 120 on half hours."""
    tend = visit("30 min", every="100 min", give_or_take="25 min")
    week = one(step("turn", "8 h", tend=[tend]))
    (made,) = week.problem.tends
    assert made.gap == (3, 4)


def test_a_tolerance_finer_than_the_grid_is_refused() -> None:
    tend = visit("30 min", every="100 min", give_or_take="5 min")
    with pytest.raises(BadInput):
        one(step("turn", "8 h", tend=[tend]))


PARTS = {
    "day_parts": [
        {"id": "morning", "hours": "07:00-10:00"},
        {"id": "evening", "hours": "17:00-20:00"},
    ]
}


def test_morning_and_evening_are_windows_on_every_day() -> None:
    tend = visit("30 min", day_parts=["morning"])
    week = one(step("turn", "8 h", tend=[tend]), kitchen=PARTS)
    (made,) = week.problem.tends
    assert made.windows == ((14, 20), (62, 68))


def test_once_a_shift_asks_only_when_the_section_is_there() -> None:
    """Ana works Thursday mornings and Friday evenings."""
    ana = cook("ana")
    ana["shifts"] = [
        {"days": ["2027-05-06"], "hours": "06:00-12:00"},
        {"days": ["2027-05-07"], "hours": "16:00-22:00"},
    ]
    tend = visit("30 min", once_a_shift=True)
    week = one(step("turn", "8 h", tend=[tend]), kitchen=PARTS, people=[ana])
    (made,) = week.problem.tends
    assert made.windows == ((14, 20), (82, 88))


def test_adding_is_counted_to_the_start_of_the_visit() -> None:
    add = visit("30 min", after="90 min", give_or_take="30 min")
    week = one(step("boil", "4 h", add=[add]))
    (made,) = week.problem.adds
    assert (made.least, made.most, made.length) == (2, 4, 1)


# -- alone -------------------------------------------------------------------------------------


def test_an_oven_runs_only_while_somebody_is_on_shift() -> None:
    bake = step("bake", "2 h", on=[in_oven(180)])
    people = [cook("ana", {"days": ["daily"], "hours": "08:00-16:00", "breaks": ["12:00-13:00"]})]
    document = week_of(component("soup", bake), equipment=[oven()], people=people)
    document["kitchen"]["people"][0] = cook("pia", "17:00-23:00", sections={"pass": "lead"})
    assert Week(document).task("soup.1/bake:run").within == ((16, 32), (34, 46), (64, 80), (82, 94))


def test_a_drain_in_the_walk_in_needs_nobody() -> None:
    week = one(step("drain", "12 h", on=[{"zone": "chilled"}]))
    assert week.task("soup.1/drain:run").within is None


def test_the_stricter_of_step_and_equipment_rules() -> None:
    bake = step("bake", "2 h", on=[in_oven(180)])
    week = one(bake, equipment=[oven(alone="yes")])
    assert week.task("soup.1/bake:run").within is None
    bake["alone"] = "someone_on_shift"
    assert one(bake, equipment=[oven(alone="yes")]).task("soup.1/bake:run").within is not None


def test_equipment_that_never_runs_alone_needs_hands_all_the_way() -> None:
    with pytest.raises(BadInput):
        one(
            step("fry", "1 h", on=[{"equipment": "fryer"}]),
            equipment=[kind("fryer", alone="never")],
        )


# -- people ------------------------------------------------------------------------------------


def spans_of(week: Week, person: str) -> tuple[tuple[int, int], ...]:
    return dict(week.problem.people)[person]


def test_breaks_days_off_opening_hours_and_the_past_are_no_working_time() -> None:
    ana = cook(
        "ana",
        {"days": ["daily"], "hours": "06:00-16:00", "breaks": ["11:00-11:30"]},
        off=["2027-05-06"],
    )
    week = Week(
        week_of(
            component("soup", step("cook", "1 h")),
            people=[ana],
            service="14:00",
            kitchen={"open": "08:00-15:00"},
            week={"plan_from": f"{DAY} 09:00"},
        )
    )
    assert spans_of(week, "ana") == ((66, 70), (71, 78))


def test_shift_edges_round_inwards() -> None:
    week = one(step("cook", "1 h"), people=[cook("ana", "08:10-11:50", days=DAY)])
    assert spans_of(week, "ana") == ((65, 71),)


def test_a_shift_over_midnight_counts_for_the_day_it_starts() -> None:
    ana = cook("ana", "22:00-06:00", off=["2027-05-07"])
    week = one(step("cook", "1 h"), people=[ana])
    assert spans_of(week, "ana") == ((0, 12), (44, 60))


def test_section_level_and_training_decide_who_may() -> None:
    people = [
        cook("lead", sections={"stove": "lead"}, may_use=["slicer"]),
        cook("junior", sections={"stove": "trainee"}, may_use=["slicer"]),
        cook("plain", sections={"stove": "cook"}),
        cook("other", sections={"larder": "lead"}, may_use=["slicer"]),
    ]

    def who(hands: dict[str, Any], on: list[dict[str, Any]] | None = None) -> set[str]:
        slicer = kind("slicer", may_use="slicer")
        week = one(
            step("slice", "1 h", hands=[hands], on=on or []), people=people, equipment=[slicer]
        )
        crew = next(c for c in week.problem.crews if c.task == week.index("soup.1/slice:run"))
        able = {p for way in crew.ways for line in way.lines for p in line.people}
        return {week.problem.people[p][0] for p in able}

    assert who({}) == {"lead", "plain"}
    assert who({"level": "trainee"}) == {"lead", "junior", "plain"}
    assert who({"section": "anyone"}) == {"pia", "lead", "plain", "other"}
    assert who({"may_use": ["slicer"]}) == {"lead"}
    assert who({"level": "trainee"}, [{"equipment": "slicer"}]) == {"lead", "junior"}


# -- equipment ----------------------------------------------------------------------------------


def test_alike_units_that_nobody_names_are_one_count() -> None:
    week = one(
        step("boil", "1 h", on=[{"equipment": "burner", "amount": 2}]),
        equipment=[kind("burner", units=4)],
    )
    (use,) = week.uses("soup.1/boil:run")
    assert week.resource(use) == "burner" and use.amount == 2
    assert next(r.capacity for r in week.problem.resources if r.id == "burner") == 4


def test_a_named_unit_makes_its_kind_individuals() -> None:
    steps = [
        step("boil", "1 h", on=[{"equipment": "burner-2"}]),
        step("simmer", "1 h", on=[{"equipment": "burner"}]),
    ]
    week = one(*steps, equipment=[kind("burner", units=3)])
    assert week.resource(week.uses("soup.1/boil:run")[0]) == "burner-2"
    assert len(week.options(week.uses("soup.1/simmer:run")[0])) == 3


def test_several_of_a_kind_of_individuals_are_taken_one_by_one() -> None:
    steps = [
        step("boil", "1 h", on=[{"equipment": "burner-2"}]),
        step("simmer", "1 h", on=[{"equipment": "burner", "amount": 2}]),
    ]
    week = one(*steps, equipment=[kind("burner", units=3)])
    assert [u.amount for u in week.uses("soup.1/simmer:run")] == [1, 1]


def test_one_place_for_every_so_much_of_the_load() -> None:
    week = one(
        step("bake", "1 h", on=[{"equipment": "prover", "per": "4 portions"}]),
        equipment=[kind("prover", capacity=8)],
    )
    assert week.uses("soup.1/bake:run")[0].amount == 3


def test_a_containers_step_takes_it_to_the_end_of_the_step_that_empties_it() -> None:
    steps = [
        step(
            "mix",
            "1 h",
            on=[{"equipment": "tub", "per": "6 portions", "until": "shape"}],
            then=keep("8 h", "chilled"),
        ),
        step("shape", "1 h", unload=visit("30 min")),
        step("bake", "1 h"),
    ]
    week = one(*steps, equipment=[kind("tub", units=5, per_shelf=2)])
    use = next(u for u in week.uses("soup.1/mix:run") if not u.start.end)
    assert use.amount == 2 and use.end == week.point("soup.1/shape:unload.end")
    (hold,) = week.holds("wait")
    assert hold.shelves == 1  # two tubs on one shelf


def test_a_visit_may_not_have_to_choose_between_machines() -> None:
    tend = visit("30 min", every="2 h", give_or_take="30 min", on=[{"equipment": "sink"}])
    sinks = [{"id": "sink", "units": [{"id": "left", "capacity": 2}, {"id": "right"}]}]
    with pytest.raises(BadInput, match="choose"):
        one(step("turn", "8 h", tend=[tend]), equipment=sinks)


@pytest.mark.parametrize(
    ("saturday", "sunday", "hours"),
    [("2027-03-27", "2027-03-28", 7), ("2027-10-30", "2027-10-31", 9)],
)
def test_a_night_shift_is_an_hour_shorter_in_spring_and_longer_in_autumn(
    saturday: str, sunday: str, hours: int
) -> None:
    """European summer time begins on the last Sunday of March and ends on that of October."""
    ana = cook("ana", {"days": [saturday], "hours": "22:00-06:00", "breaks": ["03:00-03:30"]})
    document = week_of(component("soup", step("cook", "1 h")), people=[ana])
    document["week"] |= {
        "starts": f"{saturday} 00:00",
        "plan_from": f"{saturday} 00:00",
        "ends": f"{sunday} 23:00",
    }
    document["week"]["events"][0]["first_plate"] = f"{sunday} 18:00"
    week = Week(document)
    (first, last) = spans_of(week, "ana")
    assert first[0] == 44
    assert last[1] - first[0] == 2 * hours
    assert last[0] - first[1] == 1  # the break
    assert week.batch("supper.plate").service == (24 + 18 + hours - 8) * 60
