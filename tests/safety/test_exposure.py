"""How long food is out at least by its recipe, and how long in a plan, is told with the limit."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.safety.check import check
from scheduler.safety.finding import Standing
from scheduler.solve.engine import plan_week
from tests.safety.test_holding import found, soup, week
from tests.weeks.tiny import keep, step

ANZ_2_4 = "FSANZ Standard 3.2.2 as Australia's page has it clause 25 and its 2-hour/4-hour guidance"


def test_recipes_that_are_out_for_too_long_are_broken_for_good() -> None:
    """FDA Food Code 3-501.19(B); FSANZ 2-hour/4-hour guidance."""
    long = soup(step("chop", "5 h", hands=1))
    (one,) = found(week("us", long), "exposure")
    assert one.standing is Standing.BROKEN
    assert one.enforced
    assert "out for 5 h at least before it is plated; limit 4 h" in one.said
    twice = soup(
        step("chop", "2 h 30 min", hands=1, then={"not_before": "1 h", "at_most": "2 h",
                                                 "zone": "chilled"}),
        step("dress", "30 min", hands=1),
    )  # fmt: skip
    assert not found(week("us", twice), "rechill")
    (back,) = found(week("anz", twice), "rechill")
    assert back.enforced
    assert "2 h 30 min at least before it goes into the cold; from 2 h on it may not" in back.said
    assert back.source == ANZ_2_4


def test_raw_food_left_out_for_the_day_is_not_made_good_by_the_oven() -> None:
    """FDA Food Code 3-501.19(A) and (B): a working supply before cooking as well, four hours."""
    def bird(stands: str) -> Scenario:
        wait = {"not_before": stands, "at_most": "12 h"}
        roast = step("roast", "60 min", hands=1, core={"at": "75 °C", "for": "1 min"})
        steps = step("bone", "30 min", hands=1, then=wait), roast
        return week("us", soup(*steps, keeps=keep("1 h"), food_class="raw-poultry"))

    first, _ = found(bird("9 h"), "exposure")[::-1]
    assert (first.where, first.standing, first.enforced) == ("soup", Standing.BROKEN, True)
    assert "out for 9 h 30 min at least before it is cooked; limit 4 h" in first.said
    assert [f.standing for f in found(bird("3 h"), "exposure")] == [Standing.FINE]


def test_a_recipe_that_leaves_hot_food_out_for_two_hours_is_broken_for_good() -> None:
    """SI 2005/2059 Schedule 4 para. 7: less than two hours; NISR 2006/3 para. 5: four from cold."""
    boil = step("boil", "60 min", hands=1, kept="hot")
    stands = keep("24 h", not_before="2 h")
    (one,) = found(week("uk", soup(boil, keeps=stands)), "exposure_hot")
    assert one.standing is Standing.BROKEN
    assert one.enforced
    assert one.said == "out for 2 h at least since it was hot; limit less than 2 h"
    shorter = keep("24 h", not_before="1 h 55 min")
    assert not found(week("uk", soup(boil, keeps=shorter)), "exposure_hot")
    chill = step("chill", "3 h", kept="cold")
    assert not found(week("uk", soup(boil, chill, keeps=stands)), "exposure_hot")
    assert not found(week("us", soup(boil, keeps=stands)), "exposure_hot")


def test_hot_food_in_a_plan_is_told_with_its_two_hours_and_a_second_time_out() -> None:
    """SI 2005/2059 Schedule 4 para. 7 and NISR 2006/3 para. 5: on one occasion only."""
    boil = step("boil", "60 min", hands=1, kept="hot",
                then={"not_before": "30 min", "at_most": "30 min"})  # fmt: skip
    chill = step("chill", "3 h", kept="cold")
    keeps = keep("24 h", not_before="1 h", best_from="1 h", best_until="1 h")
    scenario = week("uk", soup(boil, chill, keeps=keeps))
    plan = plan_week(scenario, seconds=1, deterministic=True)
    findings = check(scenario, plan)
    (hot,) = (f for f in findings if f.rule == "exposure_hot")
    assert hot.standing is Standing.FINE
    assert hot.where == "soup.1"
    assert "for 30 min in all since it was hot; limit less than 2 h" in hot.said
    (twice,) = (f for f in findings if "2 times" in f.said)
    assert twice.standing is Standing.UNKNOWN
    assert twice.where == "supper.plate"


def test_a_quicker_method_or_what_is_there_already_saves_a_recipe() -> None:
    slow = step("chop", "5 h", hands=1)
    quick = {"id": "machine", "steps": [step("cut", "30 min", hands=1)]}
    (one,) = found(week("us", soup(slow, methods=[quick])), "exposure")
    assert one.standing is Standing.FINE
    lot = {"id": "lot", "component": "soup", "quantity": "10 portions",
           "made": "2027-05-05 20:00", "store": "walk-in"}  # fmt: skip
    (one,) = found(week("us", soup(slow), week={"on_hand": [lot]}), "exposure")
    assert one.standing is Standing.FINE


def test_a_plan_is_told_dish_by_dish_and_what_nobody_knows() -> None:
    lot = {"id": "lot", "component": "soup", "quantity": "4 portions",
           "made": "2027-05-05 20:00", "store": "walk-in"}  # fmt: skip
    keeps = keep("3 d", "chilled", best_until="3 d")
    chop = step("chop", "3 h", hands=1)
    scenario = week("us", soup(chop, keeps=keeps), week={"on_hand": [lot]})
    plan = plan_week(scenario, seconds=1, deterministic=True)
    findings = [f for f in check(scenario, plan) if f.rule == "exposure"]
    near = next(f for f in findings if f.where == "supper.plate")
    assert near.standing is Standing.FINE
    assert "out of temperature control for 3 h 30 min in all, 3 h of it in 'chop'" in near.said
    note = next(f for f in findings if f.standing is Standing.NOTE)
    assert note.where == "lot"
    assert "not known" in note.said
