"""Time out of temperature control: a tiny week for each way in which it adds up."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from tests.weeks.checks import keeps_the_rule, planned, read_again, served, task
from tests.weeks.crossed import crossed
from tests.weeks.tiny import Document, component, dish, keep, span, step, store, take, week_of
from tests.weeks.tiny_random import tiny_week

COLD: tuple[Document, ...] = (
    store("walk-in", "chilled", 20) | {"coldest": "1 °C", "warmest": "4 °C"},
    store("rack", "dry", 20) | {"coldest": "18 °C", "warmest": "22 °C"},
)
LOOSE = {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"}
BENCH_5 = keep("24 h", best_from="5 h", best_until="5 h")
"""At the bench, best after five hours."""


def food(name: str, *steps: Document, keeps: Document, **rest: Any) -> Document:
    """Food that must be kept cold."""
    return component(name, *steps, keeps=keeps, **{"food_class": "ready", **rest})


def hands(name: str, time: str, **rest: Any) -> Document:
    """Work at the bench."""
    return step(name, time, hands=1, **rest)


def under(profile: str | None, *components: Document, **rest: Any) -> Document:
    """A week of these under a rule profile, the cold kept at 4 °C."""
    kitchen: Document = {"rule_profile": profile} if profile else {}
    if profile == "uk":
        kitchen["rest"] = LOOSE
    kitchen |= rest.pop("kitchen", {})
    return week_of(*components, stores=COLD, kitchen=kitchen, **rest)


def waited(plan: Plan, source: str) -> int:
    """How long a share of a batch has waited, minutes."""
    return next(h.end - h.start for h in plan.holds if h.kind == "share" and h.source == source)


def refused(document: Document) -> str:
    """What is said instead of a plan."""
    with pytest.raises(BadInput) as caught:
        planned(document)
    return "\n".join(str(p) for p in caught.value.problems)


def test_food_is_not_left_out_for_five_hours_though_it_would_be_best_then() -> None:
    """FDA Food Code 3-501.19(B): served or discarded within 4 h.

    One hour of work, so long at the bench, half an hour of plating (on the grid).
    """
    salad = food("salad", hands("mix", "60 min"), keeps=BENCH_5)
    plan = keeps_the_rule(under("us", salad), under(None, salad), "exposure")
    assert waited(plan, "salad.1") == 150


def test_nobody_counts_the_hours_of_what_needs_no_cold() -> None:
    """Dry food (aw at most 0.85, 21 CFR 114.3) may lie at the bench."""
    brittle = food("brittle", hands("mix", "60 min"), keeps=BENCH_5, food_class="sugar")
    assert waited(served(under("us", brittle)), "brittle.1") == 300


@pytest.mark.parametrize(("food_class", "wait"), [("ready", 0), ("acid", 120)])
def test_what_a_sub_component_has_been_out_counts_as_well(food_class: str, wait: int) -> None:
    """FDA Food Code 3-501.19(B): the clock starts when it leaves control, not with each recipe.

    2 h for the base, then the night in the cold, 1 h 30 min for the sauce, 30 min of plating.
    """
    base = food(
        "base", hands("chop", "2 h"), keeps=keep("24 h", "chilled", best_from="6 h"),
        food_class=food_class,
    )
    sauce = food(
        "sauce", hands("mix", "90 min", takes=[take("base")]),
        keeps=keep("6 h", best_from="2 h", best_until="2 h"),
    )
    plan = served(under("us", base, sauce))
    assert waited(plan, "base.1") >= 360
    assert waited(plan, "sauce.1") == wait


def test_what_is_out_too_long_by_itself_is_said_and_not_searched_for() -> None:
    base = food("base", hands("chop", "3 h"), keeps=keep("24 h", "chilled"))
    sauce = food("sauce", hands("mix", "90 min", takes=[take("base")]), keeps=keep("24 h"))
    said = refused(under("us", base, sauce))
    assert "supper.plate: out of temperature control for 5 h at least" in said
    assert "after 4 h it may not be used (FDA Food Code as adopted 3-501.19(B))" in said


def rested(last: str, keeps: Document) -> Document:
    """An hour of work, and then so much more."""
    return food("terrine", hands("mix", "60 min"), hands("fill", last), keeps=keeps)


def test_after_two_and_a_half_hours_it_may_be_used_and_not_chilled() -> None:
    """FSANZ 2-hour/4-hour guidance to Standard 3.2.2 cl. 25: 1 h + 1.5 h out: use it now.

    Chilled it would be best after three hours; it is used at once instead.
    """
    chilled = keep("24 h", "chilled", best_from="3 h", best_until="3 h")
    plan = keeps_the_rule(
        under("anz", rested("90 min", chilled)), under(None, rested("90 min", chilled)), "exposure"
    )
    assert waited(plan, "terrine.1") == 0
    assert waited(served(under("anz", rested("30 min", chilled))), "terrine.1") == 180
    assert waited(served(under("us", rested("90 min", chilled))), "terrine.1") == 180


def test_what_must_be_chilled_after_two_and_a_half_hours_is_refused() -> None:
    """FSANZ 2-hour/4-hour guidance: between 2 and 4 h it is used, not chilled again."""
    said = refused(under("anz", rested("90 min", keep("24 h", "chilled", not_before="1 h"))))
    assert "terrine.1: out of temperature control for 2 h 30 min at least" in said
    assert "from 2 h on it may not go into the cold" in said


def test_less_than_two_hours_is_not_two_hours() -> None:
    """FSANZ 2-hour/4-hour guidance: less than 2 h: chill it; 4 h or more (Australia): away.

    FDA Food Code 3-501.19(B) has 4 h as the most, so that exactly 4 h is within it.
    """
    chilled = keep("24 h", "chilled", best_from="3 h", best_until="3 h")
    assert waited(served(under("anz", rested("60 min", chilled))), "terrine.1") == 0
    assert waited(served(under("anz", rested("30 min", chilled))), "terrine.1") == 180
    salad = food("salad", hands("mix", "3 h 30 min"), keeps=BENCH_5)
    assert served(under("us", salad))
    assert "for 4 h at least; from 4 h on it may not be used" in refused(under("anz", salad))


def test_hours_add_up_over_several_times_out_of_the_cold() -> None:
    """FSANZ 2-hour/4-hour guidance: the time of each period is added up.

    Three times an hour of work with the cold between, and then two hours to rest at the bench.
    """
    cold = {"at_most": "12 h", "best_until": "12 h", "not_before": "1 h", "zone": "chilled"}
    steps = [hands(f"turn-{n}", "60 min", then=cold) for n in (1, 2)]
    last = hands("turn-3", "60 min")
    cake = food("cake", *steps, last, keeps=keep("4 h", best_from="2 h", best_until="2 h"))
    plan = keeps_the_rule(under("us", cake), under(None, cake), "exposure")
    assert waited(plan, "cake.1") == 30


def test_cooked_through_it_starts_again() -> None:
    """FDA Food Code 3-401.11(A)(3): poultry at 74 °C is cooked; before that its time counts too.

    Where the figure is from memory, nobody is held to it, and what is less hot may be planned.
    """
    raw = hands("bone", "3 h")
    roast = step("roast", "60 min", kept="hot")
    keeps = keep("6 h", best_from="2 h", best_until="2 h")
    words: Document = {"food_class": "raw-poultry"}
    hot = food("bird", raw, roast | {"core": "74 °C"}, keeps=keeps, **words)
    warm = food("bird", raw, roast | {"core": "70 °C"}, keeps=keeps, **words)
    assert waited(served(under("us", hot)), "bird.1") == 120
    told = {"value": "74 °C", "seconds": 15, "evidence": "from memory"}
    own = {"cook_poultry": told, "exposure": {"value": "4 h"}}
    kitchen: Document = {"rest": LOOSE, "own_limits": own}
    assert waited(served(under("eu", hot, kitchen=kitchen)), "bird.1") == 120
    assert waited(served(under("eu", warm, kitchen=kitchen)), "bird.1") == 30
    left = food("bird", hands("bone", "5 h"), roast | {"core": "74 °C"}, keeps=keeps, **words)
    assert "bird.1: out of temperature control for 5 h at least" in refused(under("us", left))


def test_in_one_country_only_what_waits_counts() -> None:
    """NISR 2006/3 Schedule 4 para. 5: less than four hours on display, whatever the work was."""
    work = hands("mix", "3 h")
    salad = food("salad", work, keeps=BENCH_5)
    assert waited(served(under("uk", salad)), "salad.1") == 210
    assert waited(served(under("us", salad)), "salad.1") == 30


def test_what_was_hot_stands_for_less_than_two_hours() -> None:
    """SI 2005/2059 Schedule 4 para. 7: below 63 °C for service, less than two hours, once.

    Without a figure for that (FDA Food Code 3-501.19) it is out like everything else.
    """
    boil = step("boil", "60 min", kept="hot", hands=1)
    soup = food("soup", boil, keeps=BENCH_5)
    plan = keeps_the_rule(under("uk", soup), under(None, soup), "exposure")
    assert waited(plan, "soup.1") == 90
    assert waited(served(under("us", soup)), "soup.1") == 210
    long = food("soup", boil, keeps=keep("24 h", not_before="2 h"))
    said = refused(under("uk", long))
    assert "supper.plate: out of temperature control for 2 h at least since it was hot" in said
    assert "from 2 h on it may not be used (SI 2005/2059 Schedule 4 para. 7" in said


def test_what_was_hot_and_is_cold_again_stands_as_what_is_cold() -> None:
    """SI 2005/2059 Schedule 4 para. 7 is about hot food; NISR 2006/3 para. 5 about cold."""
    boil = step("boil", "60 min", kept="hot", hands=1)
    chill = step("chill", "3 h", kept="cold")
    soup = food("soup", boil, chill, keeps=BENCH_5)
    assert waited(served(under("uk", soup)), "soup.1") == 210


def test_half_an_hour_before_and_after_the_hot_cupboard_add_up() -> None:
    """SI 2005/2059 Schedule 4 para. 7 has one occasion: a cupboard keeps hot, it does not heat."""
    boil = step("boil", "60 min", kept="hot", hands=1, then={"not_before": "1 h", "at_most": "1 h"})
    warm = step("stand", "60 min", kept="hot")
    soup = food("soup", boil, warm, keeps=BENCH_5)
    assert waited(served(under("uk", soup)), "soup.1") == 30


def test_a_range_at_room_temperature_is_not_used_up() -> None:
    rest = step("rest", span("60 min", "6 h", best="5 h"))
    salad = food("salad", hands("mix", "60 min"), rest, keeps=keep("0 min"))
    ahead = dish("plate", "salad", keeps=keep("8 h", "chilled"))
    document = under("us", salad, dishes=[ahead])
    plan = served(document)
    task_ = task(plan, "salad.1/rest")
    assert task_.end - task_.start <= 150


def test_plates_that_stand_in_the_room_count_to_the_last_one_away() -> None:
    salad = food("salad", hands("mix", "60 min"), keeps=keep("0 min"))
    for zone, most in ((None, 180), ("chilled", 300)):
        waits = keep("8 h", zone, best_from="5 h", best_until="5 h")
        plan = served(under("us", salad, dishes=[dish("plate", "salad", keeps=waits)]))
        assert next(h.end - h.start for h in plan.holds if h.kind == "plated") == most


def test_a_wait_too_short_for_a_shelf_is_on_a_shelf_where_every_minute_counts() -> None:
    """3 h 30 min of work and plating: a half hour more at the bench is the last one."""
    cold = {"at_most": "12 h", "best_from": "30 min", "best_until": "30 min", "zone": "chilled"}
    salad = food(
        "salad", hands("wash", "90 min", then=cold), hands("mix", "90 min", then=cold),
        hands("dress", "30 min"), keeps=keep("0 min"),
    )
    plan = served(under("us", salad, kitchen={"transfer": "30 min"}))
    waits = [h for h in plan.holds if h.kind == "wait"]
    assert [h.end - h.start for h in waits] == [30, 30]
    assert {h.store for h in waits} == {"walk-in"}


def test_where_it_may_stand_in_the_cold_or_the_room_it_stands_in_the_cold() -> None:
    chilled, room = (keep("24 h", z, best_from="6 h", best_until="6 h") for z in ("chilled", "dry"))
    salad = food("salad", hands("mix", "60 min"), keeps=room)
    salad["keeps"] = [room, chilled]
    plan = served(under("us", salad))
    assert waited(plan, "salad.1") == 360
    assert {h.store for h in plan.holds if h.kind == "share"} == {"walk-in"}


@settings(
    max_examples=40, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)  # fmt: skip
@given(
    seed=st.integers(0, 10**6),
    profile=st.sampled_from(("us", "anz", "uk")),
    limit=st.sampled_from((None, "1 h", "2 h", "3 h", "6 h")),
)
def test_no_plan_of_a_random_week_leaves_food_out_too_long(
    seed: int, profile: str, limit: str | None
) -> None:
    document = under_a_limit(seed, profile, limit)
    try:
        scenario = scenario_of(document)
        plan = read_again(scenario, 0.3)
    except BadInput as bad:
        assert all("out of temperature control" in str(p) for p in bad.problems)
        return
    assert audit(scenario, plan).valid


def under_a_limit(seed: int, profile: str, limit: str | None) -> Document:
    """A random tiny week of food that must be kept cold."""
    document = tiny_week(Random(seed))
    kitchen = document["kitchen"]
    kitchen["rule_profile"] = profile
    if profile == "uk":
        kitchen["rest"] = LOOSE
    if limit is not None:
        kitchen["own_limits"] = {"exposure": {"value": limit, "confirmed": "chef, a variance"}}
        if profile == "anz":
            kitchen["own_limits"]["rechill"] = {"value": "1 h"}
        elif profile == "uk":
            kitchen["own_limits"]["exposure_hot"] = {"value": "1 h"}
    for made in document["components"]:
        made["food_class"] = "ready"
    return document


@pytest.mark.parametrize("seed", [307, 312, 322, 334, 341, 352])
def test_no_plan_of_a_week_with_every_word_leaves_food_out_too_long(seed: int) -> None:
    """Loads, waves, by-products, lots, what is in progress: all that food can go through."""
    read_again(scenario_of(with_every_word(seed)), 0.5)


def with_every_word(seed: int) -> Document:
    """A believable week of food that must be kept cold, what runs alone in the cold or hot."""
    rng = Random(seed)
    document = crossed(rng, 0.4)
    kitchen = document["kitchen"]
    kitchen.pop("rest", None)
    kitchen["rule_profile"] = profile = rng.choice(("us", "anz", "uk"))
    if profile == "uk":
        kitchen["rest"] = LOOSE
        for person in kitchen["people"]:
            person.pop("born", None)
    word = {"confirmed": "chef, a variance"}
    kitchen["own_limits"] = {"exposure": word | {"value": rng.choice(("6 h", "9 h", "12 h"))}}
    if profile == "anz":
        kitchen["own_limits"]["rechill"] = word | {"value": rng.choice(("4 h", "6 h"))}
    elif profile == "uk":
        kitchen["own_limits"]["exposure_hot"] = word | {"value": rng.choice(("3 h", "5 h"))}
    for made in document["components"]:
        made["food_class"] = rng.choice(("ready", "ready", "ready", "acid"))
        for one in made.get("steps", ()):
            if not one.get("hands"):
                one["kept"] = rng.choice(("cold", "hot"))
    return document
