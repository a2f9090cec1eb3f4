"""What a check says of dates of use, and what stands on labels."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.plan.audit.dates import Mark
from scheduler.plan.by import By
from scheduler.plan.show import show
from scheduler.safety.check import check
from scheduler.safety.finding import Finding, Standing
from tests.weeks.checks import served
from tests.weeks.test_semantics_dates import (
    april,
    chili,
    frozen,
    into_crackers,
    loosened,
    on,
    own,
    week,
)
from tests.weeks.tiny import (
    Document,
    component,
    dish,
    in_oven,
    keep,
    oven,
    span,
    step,
    take,
    week_of,
)


def day(text: str) -> date:
    return date.fromisoformat(f"2027-{text}")


def made(on: str) -> Mark:
    return Mark("it", 0, day(on), 1)


@pytest.mark.parametrize(
    ("made_on", "last"), [("04-01", "04-07"), ("06-01", "06-07"), ("02-26", "03-04")]
)
def test_the_day_it_is_made_is_day_one(made_on: str, last: str) -> None:
    """Southern Nevada Health District on FDA Food Code 3-501.17: made 1 April, through 7 April."""
    assert made(made_on).ends(7) == day(last)


def test_the_north_carolina_example_of_freezing() -> None:
    """Cooked 1 Oct is day 1, 2 Oct day 2, frozen 3 Oct, thawed 10 Oct is day 3, 14 Oct the last."""
    chicken = made("10-01")
    assert chicken.on(day("10-02")).used == 2
    thawed = chicken.frozen(day("10-03"), day("10-10"))
    assert (thawed.used, thawed.ends(7)) == (3, day("10-14"))


@pytest.mark.parametrize(
    ("frozen_on", "thawed_on", "used", "why"),
    [
        ("10-01", "10-10", 2, "made and frozen on one day is a day used"),
        ("10-02", "10-10", 2, "frozen the day after: that day is none"),
        ("10-03", "10-03", 3, "in and out on one day stops nothing"),
        ("10-03", "10-04", 3, "frozen overnight: one of the two days counts"),
    ],
)
def test_what_freezing_saves(frozen_on: str, thawed_on: str, used: int, why: str) -> None:
    assert made("10-01").frozen(day(frozen_on), day(thawed_on)).used == used, why


def test_frozen_twice_is_counted_twice() -> None:
    mark = made("10-01").frozen(day("10-03"), day("10-10")).frozen(day("10-12"), day("10-20"))
    assert mark.used == 5, "1 and 2 October, 10 and 11 October, 20 October"


# -- recipes -----------------------------------------------------------------------


def found(document: Document, rule: str = "date mark") -> list[Finding]:
    return [f for f in check(scenario_of(document)) if f.rule == rule]


def matured(days: str, food_class: str = "ready", **more: Any) -> Document:
    ham = component(
        "ham", step("mature", span(days)), keeps=keep("2 d", "chilled"), food_class=food_class,
        **more,
    )
    return week(
        ham, starts="2027-04-01", ends="2027-04-20", at="2027-04-19 19:00",
        cooks=[on("2027-04-02")], dishes=[dish("plate", "ham")],
    )


def test_a_recipe_that_matures_past_its_date_is_broken_for_good() -> None:
    """Eight days in the chill of what is dated for seven: no time of day helps."""
    (one,) = found(matured("8 d"))
    assert (one.standing, one.enforced) == (Standing.BROKEN, True)
    assert one.said == (
        "from its first step to the last plate 8 d at the shortest, so 9 days with the day made "
        "counted; 7 days at most"
    )
    assert one.source.endswith("3-501.17(A)")
    assert found(matured("5 d")) == []


@pytest.mark.parametrize("food_class", ["acid", "dry", "raw-meat"])
def test_what_has_no_date_may_mature_as_long_as_it_likes(food_class: str) -> None:
    assert found(matured("8 d", food_class)) == []


def test_where_another_method_does_it_is_not_broken_for_good() -> None:
    quick = {"id": "quick", "steps": [step("cure", "2 d")]}
    assert found(matured("8 d", methods=[quick])) == []


def test_ripening_through_a_part_counts_as_well() -> None:
    """Four days for the part and four for the whole are eight days and a ninth."""
    document = matured("4 d")
    document["components"].append(
        component(
            "pie", step("rest", "4 d", takes=[take("ham")]), keeps=keep("2 d", "chilled"),
            food_class="ready",
        )
    )
    document["dishes"] = [dish("plate", "pie")]
    assert [f.where for f in found(document)] == ["ham"]


def test_a_freezing_on_the_way_stops_the_clock_of_a_recipe() -> None:
    """Three days before it and two after it are five of seven; three and six are nine."""
    document = matured("3 d")
    document["components"][0]["states"] = [
        {"id": "frozen", "steps": [step("freeze", "1 h")],
         "keeps": [keep("90 d", "frozen", not_before="20 d")]},
        {"id": "thawed", "of": "frozen", "steps": [step("thaw", "1 d")],
         "keeps": [keep("2 d", "chilled")]},
    ]  # fmt: skip
    document["dishes"] = [dish("plate", take("ham", state="thawed"))]
    assert [f for f in found(document) if f.standing is Standing.BROKEN] == []
    document["components"][0]["states"][1]["steps"][0]["time"] = "5 d"
    assert [f.where for f in found(document) if f.standing is Standing.BROKEN] == ["ham"]


def test_a_hold_longer_than_the_date_is_told() -> None:
    (one,) = found(april("2027-04-07"))
    assert one.standing is Standing.NOTE
    assert one.said == (
        "may be kept 30 d, but is used on its 7th day at the latest, the day made counted"
    )


@pytest.mark.parametrize(
    ("food_class", "why"),
    [
        ("dry", "water activity at most 0.85"),
        ("acid", "pH at most 4.6"),
        ("oil-seed-paste", "without water"),
    ],
)
def test_exempt_food_says_why_it_has_no_date(food_class: str, why: str) -> None:
    """21 CFR 114.3: pH 4.6, water activity 0.85."""
    (one,) = [
        f for f in found(april("2027-04-07", food_class), "food class") if f.where == "stew"
    ]
    assert one.standing is Standing.FINE
    assert "has no date" in one.said and why in one.said
    assert one.source.startswith("21 CFR")


def filled(*heat: Document, food_class: str = "baked") -> list[Finding]:
    """A case filled with custard, and heated afterwards or not."""
    custard = component("custard", step("boil", "30 min", hands=1), food_class="ready")
    fill = step("fill", "30 min", hands=1, takes=[take("custard")])
    case = component("case", fill, *heat, food_class=food_class)
    kitchen = {"rule_profile": "us"}
    document = week_of(custard, case, kitchen=kitchen, equipment=[oven()])
    return [
        f for f in check(scenario_of(document)) if f.rule == "food class" and f.where == "case"
    ]


def test_what_is_filled_with_custard_is_not_exempt_without_a_word() -> None:
    """1-201.10(B): bread is exempt for its low water activity, what goes into it is not."""
    exempt, asked = filled()
    assert (exempt.standing, asked.standing) == (Standing.FINE, Standing.UNKNOWN)
    assert "custard goes in" in asked.said and "end here" in asked.said
    assert len(filled(step("bake", "30 min", on=[in_oven(180)]))) == 1
    assert len(filled(step("bake", "30 min", hands=1, core="90 °C"))) == 1


def test_without_a_figure_nothing_is_said() -> None:
    assert found(loosened(april("2027-04-08"))) == []


# -- plans -------------------------------------------------------------------------


def in_plan(document: Document, planned: Document) -> list[Finding]:
    scenario, plan = scenario_of(document), served(planned)
    return [f for f in check(scenario, plan) if f.rule == "date mark" and "day: mark" in f.said]


def test_a_plan_says_of_every_dish_how_old_its_oldest_is() -> None:
    (one,) = in_plan(chili("2027-06-07"), chili("2027-06-07"))
    assert one.standing is Standing.NEAR
    assert one.said == (
        "burgers (burgers.1) is on its 7th day: mark 7 Jun, used 7 Jun, 7 days at most, day made "
        "counted"
    )
    (one,) = in_plan(chili("2027-06-05"), chili("2027-06-05"))
    assert one.standing is Standing.FINE


def test_a_plan_of_another_country_is_held_against_this_ones_date() -> None:
    broken = in_plan(chili("2027-06-08"), loosened(chili("2027-06-08")))
    assert [f.standing for f in broken] == [Standing.BROKEN]
    assert broken[0].enforced
    (late,) = in_plan(into_crackers("2027-04-02"), loosened(into_crackers("2027-04-02")))
    assert late.standing is Standing.BROKEN and late.where == "crackers"


def labels(document: Document) -> list[str]:
    lines = list(show(scenario_of(document), served(document), By.DAY))
    return lines[lines.index("Labels") :] if "Labels" in lines else []


def test_labels_say_until_when_it_may_be_used() -> None:
    assert labels(chili("2027-06-05"))[:6] == [
        "Labels",
        "  chili (chili.1): made Tue 1 Jun (burgers.1), use by Mon 7 Jun",
        "  burgers (burgers.1): made Tue 1 Jun, use by Mon 7 Jun",
        "  7 days at most, the day made counted (FDA Food Code as adopted 3-501.17(A)).",
        "  Local codes and licensed practice decide, not this list.",
        "",
    ]
    assert labels(april("2027-04-07", "dry")) == []
    assert labels(loosened(april("2027-04-07"))) == []


def test_what_stands_in_the_freezer_says_how_many_days_are_left() -> None:
    said = labels(frozen("2027-10-14"))
    assert "  chicken, frozen (chicken-frozen.1): made Fri 1 Oct (chicken.1), " \
        "frozen, 5 days left from thawing on" in said
    assert "  chicken, thawed (chicken-thawed.1): made Fri 1 Oct (chicken.1), " \
        "use by Thu 14 Oct" in said


def test_a_shelf_says_it_too() -> None:
    document = chili("2027-06-05")
    rows = list(show(scenario_of(document), served(document), By.EQUIPMENT))
    assert any("chili" in row and "use by Mon 7 Jun" in row for row in rows)


def test_a_kitchen_of_its_own_is_named_as_the_source() -> None:
    assert any("3 days at most" in row for row in labels(april("2027-04-03", rules=own(3))))
