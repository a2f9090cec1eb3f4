"""Dates of use: weeks that just keep them and weeks that just do not.

The rule: FDA Food Code 3-501.17 and .18, ready-to-eat food of a controlled class that is kept
for more than 24 h is used within 7 days, the day of preparation being day 1; what is mixed takes
the date of the oldest; freezing stops the clock and does not reset it. The dates are those that
health departments publish with it, named beside each test.
"""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.audit.dates import Dates
from scheduler.plan.audit.facts import Facts
from scheduler.plan.model import Plan
from tests.weeks.checks import (
    finds_no_place,
    keeps_the_rule,
    model_key,
    planned,
    problem_of,
    served,
    task,
)
from tests.weeks.tiny import (
    Document,
    component,
    cook,
    dish,
    event,
    keep,
    made,
    step,
    store,
    take,
    week_of,
)

STORES = (store("walk-in", "chilled", 20), store("freezer", "frozen", 20), store("rack", "dry", 20))
LONG = keep("30 d", "chilled", best_until="30 d")
ICY = keep("90 d", "frozen", best_until="90 d")


def on(day: str, hours: str = "08:00-20:00") -> Document:
    """Hours of one day."""
    return {"days": [day], "hours": hours}


def week(
    *components: Document,
    starts: str,
    ends: str,
    at: str | list[Document],
    cooks: list[Document],
    rules: Document | None = None,
    dishes: list[Document] | None = None,
    **more: Any,
) -> Document:
    """A run of days in which somebody cooks in these shifts and no others."""
    events = at if isinstance(at, list) else [event("supper", at, "plate")]
    return week_of(
        *components,
        dishes=dishes,
        events=events,
        people=[cook("ana", *cooks)],
        stores=STORES,
        kitchen={"rule_profile": "us", **(rules or {})},
        week={
            "starts": f"{starts} 00:00", "plan_from": f"{starts} 00:00", "ends": f"{ends} 23:30",
            **more,
        },
    )  # fmt: skip


def loosened(document: Document) -> Document:
    """The same week where nobody has such a rule."""
    kitchen = {k: v for k, v in document["kitchen"].items() if k != "own_limits"}
    return document | {"kitchen": kitchen | {"rule_profile": "house"}}


def own(days: int, beyond: str | None = None) -> Document:
    """A kitchen of its own."""
    limits: Document = {"date_mark": {"value": days}}
    if beyond is not None:
        limits["date_mark_beyond"] = {"value": beyond}
    return {"rule_profile": "house", "own_limits": limits}


def told(document: Document, plan: Plan) -> list[str]:
    """What the audit says of dates."""
    return [f.what for f in audit(scenario_of(document), plan).findings if f.rule == "date-mark"]


def ready(name: str, **rest: Any) -> Document:
    """Cooked, and ready to eat."""
    return made(name, LONG, food_class="ready", **rest)


def april(last: str, food_class: str = "ready", rules: Document | None = None) -> Document:
    """Cooked on 1 April, the only day somebody cooks."""
    stew = made("stew", LONG, food_class=food_class)
    return week(
        stew, starts="2027-04-01", ends="2027-04-10", at=f"{last} 19:00", cooks=[on("2027-04-01")],
        rules=rules,
    )


def test_what_is_made_on_the_first_of_april_is_used_through_the_seventh() -> None:
    """Southern Nevada Health District, on 3-501.17: made 1 April, usable through 7 April."""
    assert told(april("2027-04-07"), served(april("2027-04-07"))) == []
    finds_no_place(april("2027-04-08"), "stew.1")
    late = served(loosened(april("2027-04-08")))
    assert told(april("2027-04-08"), late) == [
        "stew.1 in it: mark 7 Apr, used 8 Apr, 7 days at most, day made counted "
        "(FDA Food Code as adopted 3-501.17(A))"
    ]


@pytest.mark.parametrize("food_class", ["acid", "dry", "oil-seed-paste", "raw-fish", None])
def test_what_has_no_date_is_planned_as_ever(food_class: str | None) -> None:
    """3-501.17 is about ready-to-eat food that time and temperature control; 21 CFR 114.3."""
    document = april("2027-04-08")
    document["components"][0]["food_class"] = food_class
    if food_class is None:
        del document["components"][0]["food_class"]
    plan = served(document)
    assert told(document, plan) == []
    facts = Facts(scenario_of(document), plan)
    assert Dates(facts).ready("stew.1") == ()


def test_raw_fish_that_its_recipe_cooks_is_dated() -> None:
    document = april("2027-04-08", "raw-fish")
    document["components"][0]["steps"][0]["core"] = {"at": "63 °C", "for": "1 min"}
    finds_no_place(document, "stew.1")


def test_fish_that_is_served_raw_is_dated_though_nothing_cooks_it() -> None:
    """FDA Food Code 1-201.10(B), "ready-to-eat food" (2)(a), second hand; 3-501.17(A)."""
    late, early = april("2027-04-08", "fish-let-off"), april("2027-04-07", "fish-let-off")
    assert "date-mark" in audit(scenario_of(late), served(loosened(late))).rules()
    finds_no_place(late, "stew.1")
    plan = served(early)
    assert told(early, plan) == []
    # That which must be frozen first is ready to eat all the same.
    frozen_first = april("2027-04-07", "fish-served-raw")
    mine = Dates(Facts(scenario_of(frozen_first), plan)).ready("stew.1")
    assert mine == Dates(Facts(scenario_of(early), plan)).ready("stew.1") != ()


def test_the_plan_makes_it_late_enough_though_early_is_no_dearer() -> None:
    """Best after five days at least: without the rule it would be made as early as it may."""
    stew = made(
        "stew", keep("30 d", "chilled", best_from="9 d", best_until="30 d"), food_class="ready"
    )
    document = week(
        stew, starts="2027-04-01", ends="2027-04-12", at="2027-04-12 19:00",
        cooks=[on("2027-04-02"), on("2027-04-06")],
    )
    plan = keeps_the_rule(document, loosened(document), "date-mark")
    day = scenario_of(document).clock.local(task(plan, "stew.1/make").start).date()
    assert day.isoformat() == "2027-04-06"


def chili(last: str) -> Document:
    """Burgers on 1 June, chili with them in it on 3 June."""
    burgers = ready("burgers")
    stew = component(
        "chili", step("stew", "60 min", hands=1, takes=[take("burgers")]),
        keeps=LONG, food_class="ready",
    )
    return week(
        burgers, stew, starts="2027-06-01", ends="2027-06-10", at=f"{last} 19:00",
        cooks=[on("2027-06-01", "08:00-09:00"), on("2027-06-03", "08:00-09:00")],
    )


def test_what_is_mixed_takes_the_date_of_the_oldest() -> None:
    """Southern Nevada Health District: burgers of 1 June in a chili of 3 June, until 7 June."""
    served(chili("2027-06-07"))
    finds_no_place(chili("2027-06-08"), "burgers.1", "chili.1")
    late = served(loosened(chili("2027-06-08")))
    assert told(chili("2027-06-08"), late)[0].startswith("burgers.1 in it: mark 7 Jun, used 8 Jun")


def frozen(last: str, frozen_on: str = "2027-10-03") -> Document:
    """Cooked on 1 October, frozen, thawed on 10 October."""
    cold = "08:00-08:30" if frozen_on != "2027-10-01" else "11:00-11:30"
    chicken = made("chicken", LONG, food_class="ready")
    chicken["states"] = [
        {"id": "frozen", "steps": [step("freeze", "30 min", hands=1)], "keeps": [ICY]},
        {"id": "thawed", "of": "frozen", "steps": [step("thaw", "30 min", hands=1)],
         "keeps": [LONG]},
    ]  # fmt: skip
    return week(
        chicken, starts="2027-10-01", ends="2027-10-16", at=f"{last} 19:00",
        cooks=[
            on("2027-10-01", "10:00-11:00"), on(frozen_on, cold), on("2027-10-10", "08:00-08:30")
        ],
        dishes=[dish("plate", take("chicken", state="thawed"))],
    )


def test_freezing_stops_the_clock_and_does_not_set_it_back() -> None:
    """North Carolina on 3-501.17: cooked 1 Oct (day 1), frozen 3 Oct, thawed 10 Oct (day 3),
    last day 14 Oct; the day it is frozen is no day, the day it is thawed is one."""
    served(frozen("2027-10-14"))
    finds_no_place(frozen("2027-10-15"), "chicken.1", "chicken-frozen.1", "chicken-thawed.1")
    late = served(loosened(frozen("2027-10-15")))
    assert any("mark 14 Oct, used 15 Oct" in what for what in told(frozen("2027-10-15"), late))


def test_made_and_frozen_on_one_day_is_a_day_used() -> None:
    """Our reading, the careful one: six days are left from the thawing on."""
    for last, late in (("2027-10-15", False), ("2027-10-16", True)):
        document = frozen(last, frozen_on="2027-10-01")
        said = told(document, served(loosened(document)))
        assert late == any("mark 15 Oct, used 16 Oct" in what for what in said)
        assert bool(said) == late


def test_days_before_and_after_the_freezing_are_divided_beforehand() -> None:
    """What is made and frozen on one day is planned as if a night lay between: so a plan may
    be missed that the rule would allow, and none is told that it would not."""
    document = frozen("2027-10-15", frozen_on="2027-10-01")
    assert planned(document).missing
    document["kitchen"]["people"][1]["shifts"][2]["days"] = ["2027-10-11"]
    served(document)


def test_a_kitchen_of_its_own_keeps_three_days() -> None:
    served(april("2027-04-03", rules=own(3)))
    finds_no_place(april("2027-04-04", rules=own(3)), "stew.1")
    late = served(april("2027-04-04", rules=own(4)))
    assert told(april("2027-04-04", rules=own(3)), late) == [
        "stew.1 in it: mark 3 Apr, used 4 Apr, 3 days at most, day made counted "
        "(the kitchen's own rule)"
    ]


def overnight(away: str, beyond: str | None) -> Document:
    """One day is allowed; made in the evening, and served at this time the next day."""
    stew = made("stew", keep("16 h", "chilled", best_until="16 h"), food_class="ready")
    return week(
        stew, starts="2027-04-01", ends="2027-04-03", at=f"2027-04-02 {away}",
        cooks=[on("2027-04-01", "20:00-21:00")], rules=own(1, beyond),
    )


def test_what_cannot_be_kept_for_a_day_needs_no_date() -> None:
    """3-501.17 dates what is kept for more than 24 h: an hour's work and 16 h are less."""
    assert told(overnight("12:00", "24 h"), served(overnight("12:00", "24 h"))) == []
    finds_no_place(overnight("12:00", None), "stew.1")


@pytest.mark.parametrize(
    ("day", "hours", "works"),
    [("2026-10-18", "23:00-24:00", False), ("2026-10-19", "00:00-01:00", True)],
)
def test_days_are_the_calendars_also_where_one_has_25_hours(
    day: str, hours: str, works: bool
) -> None:
    """Clocks go back on 25 October 2026 in Vienna: the seventh day has 25 hours."""
    document = week(
        ready("stew"), starts="2026-10-18", ends="2026-10-26", at="2026-10-25 23:00",
        cooks=[on(day, hours)],
    )
    if works:
        served(document)
    else:
        finds_no_place(document, "stew.1")


@pytest.mark.parametrize(
    ("away", "works"), [("2027-04-07 23:30", True), ("2027-04-08 00:00", False)]
)
def test_a_plate_at_midnight_belongs_to_the_day_that_begins(away: str, works: bool) -> None:
    document = april("2027-04-07")
    document["week"]["events"][0]["first_plate"] = away
    if works:
        served(document)
    else:
        finds_no_place(document, "stew.1")


def test_the_last_plate_counts_and_not_the_first() -> None:
    """Ten plates in an hour from 23:30 on: the last of them goes on the eighth day."""
    document = april("2027-04-07")
    document["week"]["events"][0]["first_plate"] = "2027-04-07 23:30"
    document["dishes"][0]["plating"] = {"per_hour": 10}
    finds_no_place(document, "stew.1")


def two(second: str) -> Document:
    return week(
        ready("stew"), starts="2027-04-01", ends="2027-04-12",
        at=[event("lunch", "2027-04-03 19:00", "plate"), event("supper", second, "plate")],
        cooks=[on("2027-04-02"), on("2027-04-09")], dishes=[dish("plate", "stew")],
    )


def test_events_share_a_batch_only_while_its_date_allows_it() -> None:
    near, far = served(two("2027-04-08 19:00")), served(two("2027-04-10 19:00"))
    assert [b.id for b in near.batches if b.component] == ["stew.1"]
    assert sorted(b.id for b in far.batches if b.component) == ["stew.1", "stew.2"]


def jar(made_on: str, where: str = "walk-in", last: str = "2027-04-07") -> Document:
    return week(
        ready("stew"), starts="2027-04-05", ends="2027-04-12", at=f"{last} 19:00",
        cooks=[on("2027-04-06")], dishes=[dish("plate", "stew")],
        on_hand=[
            {"id": "jar", "component": "stew", "quantity": "10 portions", "made": made_on,
             "store": where}
        ],
    )  # fmt: skip


def test_a_jar_past_its_date_is_left_and_new_is_made() -> None:
    good, old = served(jar("2027-04-01 23:00")), served(jar("2027-03-31 23:00"))
    assert [s.source for s in good.shares] == ["jar"]
    assert [s.source for s in old.shares] == ["stew.1"]


def test_a_jar_out_of_the_freezer_has_used_the_day_it_was_made() -> None:
    document = jar("2027-03-20 23:00", "freezer")
    document["components"][0]["keeps"].append(LONG | {"zone": "frozen"})
    plan = served(document)
    assert [s.source for s in plan.shares] == ["jar"]
    assert told(document, plan) == []


def into_crackers(made_on: str) -> Document:
    """Custard goes into crackers on 9 April: dry, they keep, but the custard must be good then."""
    crackers = component(
        "crackers", step("bake", "60 min", hands=1, takes=[take("custard")]),
        keeps=keep("60 d", "dry", best_until="60 d"), food_class="dry",
    )
    return week(
        ready("custard"), crackers, starts="2027-04-01", ends="2027-04-25", at="2027-04-24 19:00",
        cooks=[on(made_on, "08:00-09:00"), on("2027-04-09", "08:00-09:00")],
    )


def test_what_goes_into_exempt_food_is_good_when_it_goes_in() -> None:
    served(into_crackers("2027-04-03"))
    finds_no_place(into_crackers("2027-04-02"), "custard.1", "crackers.1")
    late = served(loosened(into_crackers("2027-04-02")))
    assert told(into_crackers("2027-04-02"), late)[0].startswith(
        "custard.1 in it: mark 8 Apr, used 9 Apr"
    )


def dripping(last: str) -> Document:
    """Drippings of a roast of 1 April, which is eaten the same evening."""
    roast = ready("roast")
    roast["steps"][0]["gives"] = [{"component": "drippings", "amount": "10 portions"}]
    drippings = component("drippings", keeps=LONG, food_class="ready")
    return week(
        roast, drippings, starts="2027-04-01", ends="2027-04-10",
        cooks=[on("2027-04-01", "08:00-09:00")],
        at=[event("lunch", "2027-04-01 19:00", "plate"), event("supper", f"{last} 19:00", "bowl")],
        dishes=[dish("plate", "roast"), dish("bowl", "drippings")],
    )


def test_what_a_recipe_leaves_by_the_way_is_as_old_as_the_recipe() -> None:
    served(dripping("2027-04-07"))
    finds_no_place(dripping("2027-04-08"), "roast.1", "roast.2")
    late = served(loosened(dripping("2027-04-08")))
    assert told(dripping("2027-04-08"), late)[0].startswith(
        "roast.1 in it: mark 7 Apr, used 8 Apr"
    )


def begun(started: str) -> Document:
    return week(
        component("stew", step("cook", "48 h", kept="cold"), keeps=LONG, food_class="ready"),
        starts="2027-04-05", ends="2027-04-12", at="2027-04-09 19:00", cooks=[on("2027-04-06")],
        in_progress=[
            {"id": "pot", "component": "stew", "quantity": "10 portions", "step": "cook",
             "started": started}
        ],
    )  # fmt: skip


def test_what_is_running_counts_from_when_it_began() -> None:
    good = served(begun("2027-04-03 12:00"))
    assert [s.source for s in good.shares] == ["pot"]
    document = begun("2027-04-04 12:00") | {"kitchen": begun("")["kitchen"] | own(5)}
    assert [s.source for s in served(document).shares] != ["pot"]


def test_the_engines_agree_where_dates_decide() -> None:
    for document in (april("2027-04-07"), chili("2027-06-07"), frozen("2027-10-14"),
                     into_crackers("2027-04-03"), two("2027-04-08 19:00")):  # fmt: skip
        plan = served(document)
        key = (*plan.terms.served, plan.terms.left_out), plan.terms.quality
        assert model_key(problem_of(scenario_of(document))) == key
