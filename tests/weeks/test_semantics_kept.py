"""Tasks that somebody keeps where they are: a tiny week for each, allowed and refused."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.staying import staying
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.engine import plan_week
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out
from tests.weeks.checks import key_of, task
from tests.weeks.tiny import (
    DAY,
    Document,
    component,
    cook,
    in_oven,
    keep,
    kind,
    oven,
    step,
    take,
    visit,
    week_of,
)

OVENS = oven(units=[{"id": "left"}, {"id": "right"}])


def planned_with(document: Document, *kept: Document, **more: Any) -> Plan:
    """The plan around kept tasks: VALID, and the OR-Tools model finds nothing better."""
    scenario, stay = scenario_of(document), staying(kept)
    plan = plan_week(scenario, seconds=1, deterministic=True, kept=stay, **more)
    report = audit(scenario, plan)
    assert report.valid, [str(f) for f in report.findings]
    assert [k.task for k in plan.kept] == [k["task"] for k in kept]
    result = solve_model(compile_week(scenario, work_out(scenario), stay).problem, workers=1)
    assert (result.status, result.refused) == ("optimal", ())
    assert (result.served, result.quality) == key_of(plan)
    return plan


def refused(document: Document, *kept: Document) -> str:
    with pytest.raises(BadInput) as bad:
        plan_week(scenario_of(document), seconds=1, deterministic=True, kept=staying(kept))
    return str(bad.value)


def sauces(*names: str, **rest: Any) -> Document:
    """Each an hour of one cook; fresh is best, so all of them would be made at the last moment."""
    return week_of(
        *(component(n, step("stir", "60 min", hands=1), keeps=keep("30 h")) for n in names),
        people=[cook("ana"), cook("ben")],
        **rest,
    )


def at(time: str) -> str:
    return f"{DAY}T{time}+02:00"


def start(plan: Plan, name: str) -> str:
    minute = task(plan, name).start - 1440
    return f"{minute // 60:02d}:{minute % 60:02d}"


# -- when ---------------------------------------------------------------------------


def test_a_task_kept_at_a_time_starts_then_and_what_it_pushes_aside_goes_elsewhere() -> None:
    week = sauces("red", "white", "green")
    plan = planned_with(week, {"task": "red.1/stir", "start": at("16:00")},
                        {"task": "green.1/stir", "start": at("17:00")},
                        {"task": "white.1/stir", "start": at("16:30")})  # fmt: skip
    assert [start(plan, f"{n}.1/stir") for n in ("red", "green", "white")] == [
        "16:00", "17:00", "16:30",
    ]  # fmt: skip
    assert not plan.missing


def test_the_week_of_an_aware_moment_in_another_zone_is_the_same() -> None:
    plan = planned_with(sauces("red"), {"task": "red.1/stir", "start": f"{DAY}T08:00+00:00"})
    assert start(plan, "red.1/stir") == "10:00"


def test_what_can_stretch_is_kept_by_its_start_alone() -> None:
    braise = component(
        "ribs", step("braise", {"at_least": "3 h", "at_most": "6 h"}, load=visit("30 min"),
                     unload=visit("30 min")), keeps=keep("2 h"),
    )  # fmt: skip
    plan = planned_with(week_of(braise), {"task": "ribs.1/braise", "start": at("10:00")})
    ribs = task(plan, "ribs.1/braise")
    assert start(plan, "ribs.1/braise") == "10:00"
    assert ribs.end >= 1440 + 16 * 60  # it keeps for two hours only, until 18:00


def test_a_task_kept_when_nobody_is_there_leaves_its_batch_out_and_says_why() -> None:
    week = sauces("red")
    week["kitchen"]["people"][1:] = [cook("ana", "08:00-12:00")]
    plan = planned_with(week, {"task": "red.1/stir", "start": at("14:00")})
    (why,) = [m for m in plan.missing if m.batch == "red.1"]
    assert why.why.startswith("stir is kept Fri 7 May 14:00: nobody on shift may do stir")
    assert why.certain


def test_a_task_kept_too_early_for_what_it_takes_leaves_it_out_and_says_which() -> None:
    stock = component("stock", step("boil", "6 h", load=visit("30 min")), keeps=keep("24 h"))
    soup = component("soup", step("cook", "60 min", hands=1, takes=[take("stock")]))
    plan = planned_with(
        week_of(soup, stock, week={"plan_from": f"{DAY} 08:00"}, service="20:00"),
        {"task": "soup.1/cook", "start": at("10:00")},
    )
    why = {m.batch: m.why for m in plan.missing}
    assert "cook is kept Fri 7 May 10:00" in why["soup.1"]
    assert "before planning begins" in why["stock.1"] or "stock.1" in why["soup.1"]


# -- who ----------------------------------------------------------------------------


def test_a_task_kept_for_somebody_is_done_by_them() -> None:
    for who in ("ana", "ben"):
        plan = planned_with(sauces("red"), {"task": "red.1/stir", "people": [who]})
        assert task(plan, "red.1/stir").visits[0].people == (who,)


def test_one_cook_for_whom_two_tasks_are_kept_does_one_after_the_other() -> None:
    stay = [{"task": f"{n}.1/stir", "people": ["ben"]} for n in ("red", "white")]
    plan = planned_with(sauces("red", "white"), *stay)
    assert {start(plan, f"{n}.1/stir") for n in ("red", "white")} == {"16:00", "17:00"}


def pig(**hands: Any) -> Document:
    lift = component("pig", step("lift", "60 min", hands=[hands]))
    return week_of(lift, people=[cook(n) for n in ("ana", "ben", "cem")])


@pytest.mark.parametrize("who", [["cem"], ["ben", "cem"], ["ana", "ben", "cem"]])
def test_of_two_who_lift_the_named_are_among_them_or_they_among_the_named(who: list[str]) -> None:
    plan = planned_with(pig(people=2), {"task": "pig.1/lift", "people": who})
    here = set(task(plan, "pig.1/lift").visits[0].people)
    assert len(here) == 2
    assert here <= set(who) or set(who) <= here


def test_shared_work_that_is_kept_for_two_is_shared_by_those_two() -> None:
    plan = planned_with(
        pig(people=1, up_to=3), {"task": "pig.1/lift", "people": ["ben", "cem"]}
    )
    lift = task(plan, "pig.1/lift")
    assert set(lift.visits[0].people) == {"ben", "cem"}
    assert lift.end - lift.start == 30


def test_loading_and_unloading_are_theirs_and_tending_is_not() -> None:
    cure = component(
        "ham", step("cure", "4 h", load=visit("30 min"), unload=visit("30 min"),
                    tend=[visit("30 min", every="90 min", give_or_take="30 min")]),
    )  # fmt: skip
    week = week_of(cure, people=[cook("ana"), cook("ben", "08:00-09:00", "17:00-18:00")])
    plan = planned_with(week, {"task": "ham.1/cure", "people": ["ana"]})
    ham = task(plan, "ham.1/cure")
    assert {v.people for v in ham.visits if v.kind in ("load", "unload")} == {("ana",)}


def test_what_has_nothing_but_tending_is_kept_by_who_tends_it() -> None:
    feed = component("levain", step(
        "feed", "4 h", tend=[visit("30 min", every="90 min", give_or_take="30 min")]))  # fmt: skip
    week = week_of(feed, people=[cook("ana"), cook("ben")])
    plan = planned_with(week, {"task": "levain.1/feed", "people": ["ben"]})
    assert {v.people for v in task(plan, "levain.1/feed").visits} == {("ben",)}


# -- on what ------------------------------------------------------------------------


def roast(name: str) -> Document:
    return component(name, step("roast", "60 min", on=[in_oven(180, amount=4)]), keeps=keep("30 h"))


@pytest.mark.parametrize("unit", ["left", "right"])
def test_a_roast_kept_in_one_oven_is_in_that_one(unit: str) -> None:
    week = week_of(roast("beef"), equipment=[OVENS])
    plan = planned_with(week, {"task": "beef.1/roast", "equipment": [unit]})
    assert [t.unit for t in task(plan, "beef.1/roast").taken] == [unit]


def test_two_roasts_kept_in_one_oven_take_turns_in_it() -> None:
    week = week_of(roast("beef"), roast("lamb"), equipment=[OVENS])
    stay = [{"task": f"{n}.1/roast", "equipment": ["left"]} for n in ("beef", "lamb")]
    plan = planned_with(week, *stay)
    assert {start(plan, f"{n}.1/roast") for n in ("beef", "lamb")} == {"16:00", "17:00"}


def test_grinders_that_only_counted_are_told_apart_once_one_is_named() -> None:
    grind = [component(n, step("grind", "60 min", on=[{"equipment": "grinder"}])) for n in "ab"]
    week = week_of(*grind, equipment=[kind("grinder", units=[{"id": "g-1"}, {"id": "g-2"}])])
    plan = planned_with(week, {"task": "a.1/grind", "equipment": ["g-2"]})
    assert task(plan, "a.1/grind").taken[0].unit == "g-2"
    assert task(plan, "b.1/grind").taken[0].unit == "g-1"


def test_moulds_of_which_several_are_taken_cannot_be_named() -> None:
    week = week_of(
        component("jelly", step("set", "2 h", on=[{"equipment": "mould", "amount": 3}])),
        equipment=[kind("mould", units=[{"id": f"m-{n}"} for n in range(5)])],
    )
    said = refused(week, {"task": "jelly.1/set", "equipment": ["m-2"]})
    assert "cannot be kept on m-2: of mould several are taken at once" in said


# -- methods ------------------------------------------------------------------------


def test_a_task_of_another_method_is_kept_by_making_it_that_way() -> None:
    week = week_of(component(
        "mousse", step("whip", "60 min", hands=1), keeps=keep("30 h"),
        methods=[{"id": "gun", "steps": [step("charge", "30 min", hands=1)]}],
    ))  # fmt: skip
    plan = planned_with_method(week, {"task": "mousse.1/charge", "start": at("12:00")})
    assert start(plan, "mousse.1/charge") == "12:00"
    assert plan.batches[-1].method == "gun"


def planned_with_method(document: Document, *kept: Document) -> Plan:
    scenario = scenario_of(document)
    plan = plan_week(scenario, seconds=1, deterministic=True, kept=staying(kept))
    assert audit(scenario, plan).valid
    return plan


# -- what cannot be, whatever the times ---------------------------------------------


@pytest.mark.parametrize(
    ("kept", "said"),
    [
        ({"task": "red.1/stirr", "people": ["ana"]}, "there is no such task"),
        ({"task": "red.1/stir", "people": ["anna"]}, "nobody called 'anna'. Maybe ana"),
        ({"task": "red.1/stir", "people": ["pia"]}, "stir cannot be pia's: it asks for 1 of stove"),
        ({"task": "red.1/stir", "equipment": ["ovn"]}, "there is no unit 'ovn'"),
        ({"task": "red.1/stir", "equipment": ["left"]}, "not on left: it takes no machine"),
        ({"task": "red.1/stir", "start": at("10:10")}, "between two moments of the grid of 30 min"),
        ({"task": "red.1/stir", "start": "2027-05-05T10:00+02:00"}, "is before planning begins"),
        ({"task": "red.1/stir", "start": "2027-05-09T10:00+02:00"}, "is after the week"),
        ({"task": "red.1/stir"}, "say what of the task stays"),
        ({"task": "red.1/stir", "start": "2027-05-07T10:00"}, "timezone"),
        ({"task": "red.1/stir", "whom": "ana"}, "whom"),
    ],
)
def test_what_cannot_be_kept_is_said_in_a_sentence_with_its_place(
    kept: Document, said: str
) -> None:
    text = refused(sauces("red", equipment=[OVENS]), kept)
    assert said in text
    assert text.count("\n") == 0
    assert "red.1/stir" in text


def test_a_task_kept_twice_is_refused() -> None:
    stay = {"task": "red.1/stir", "people": ["ana"]}
    assert "is kept twice" in refused(sauces("red"), stay, stay)
