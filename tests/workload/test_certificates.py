"""What cannot work whatever the search does: said truly, and only then."""

from __future__ import annotations

from typing import Any

from scheduler.workload.certificates import certify
from scheduler.workload.energy import cannot_all
from tests.weeks.tiny import (
    DAY,
    EVE,
    component,
    cook,
    dish,
    event,
    keep,
    kind,
    span,
    step,
    take,
    visit,
    week_of,
)
from tests.workload.weeks import Week

COOK = step("cook", "1 h", hands=1)


def missing(week: Week) -> dict[str, str]:
    found = certify(week.scenario, week.work, week.compiled)
    assert all(m.certain for m in found)
    return {m.batch: m.why for m in found}


def of(*components: dict[str, Any], **rest: Any) -> dict[str, str]:
    return missing(Week(week_of(*components, **rest)))


def test_a_week_with_room_for_all_has_no_certificate() -> None:
    assert of(component("soup", COOK)) == {}


# -- too late ------------------------------------------------------------------------------


def test_what_must_have_begun_before_planning_says_when_and_which_date_would_do() -> None:
    """48 h of drying before Friday 18:00 begin on Wednesday 18:00; Saturday would do."""
    duck = component("duck", step("dry", "45 h"), keeps=keep("8 h"))
    why = of(duck)["duck.1"]
    assert "must begin by Wed 5 May 21:00" in why
    assert "3 h before planning begins" in why
    assert "supper at the earliest Fri 7 May 21:00" in why


def test_the_same_with_an_hour_in_hand_has_no_certificate() -> None:
    assert of(component("duck", step("dry", "41 h"), keeps=keep("8 h"))) == {}


def test_what_is_made_of_it_cannot_be_made_either() -> None:
    duck = component("duck", step("dry", "45 h"), keeps=keep("8 h"))
    jus = component("jus", step("boil", "1 h", hands=1, takes=[take("duck")]))
    found = of(duck, jus)
    assert set(found) == {"duck.1", "jus.1"}
    assert found["jus.1"].startswith("it cannot be made without duck.1")


def test_seeds_that_come_too_late_are_named_with_their_moment() -> None:
    paste = component(
        "paste",
        step("grind", "10 h", takes=[{"ingredient": "sesame", "amount": "1 kg"}]),
        keeps=keep("8 h"),
    )
    delivery = {"id": "van", "ingredient": "sesame", "at": f"{DAY} 09:00"}
    why = of(paste, week={"deliveries": [delivery]})["paste.1"]
    assert why == "grind must begin by Fri 7 May 08:00, but sesame comes Fri 7 May 09:00"


def test_too_little_of_an_ingredient_is_said_so() -> None:
    paste = component(
        "paste", step("grind", "1 h", takes=[{"ingredient": "sesame", "amount": "1 kg"}])
    )
    delivery = {"id": "van", "ingredient": "sesame", "at": f"{EVE} 09:00", "quantity": "500 g"}
    assert "not enough sesame" in of(paste, week={"deliveries": [delivery]})["paste.1"]


def test_the_earliest_date_is_that_of_the_first_plate_not_of_a_later_course() -> None:
    """45 h of drying for a course 2 h after the first plate at 16:00: 3 h late, so 19:00."""
    duck = component("duck", step("dry", "45 h"), keeps=keep("8 h"))
    supper = event("supper", "16:00", {"dish": "plate", "after": "2 h"})
    why = missing(Week(week_of(duck, dishes=[dish("plate", "duck")], events=[supper])))["duck.1"]
    assert "must begin by Wed 5 May 21:00" in why
    assert why.endswith("supper at the earliest Fri 7 May 19:00")


def test_no_date_in_the_week_is_said_so_and_the_beginning_counted_from_service() -> None:
    """60 h from Thursday 00:00 are over on Saturday; the week ends on Friday 23:00."""
    why = of(component("duck", step("dry", "60 h"), keeps=keep("8 h")))["duck.1"]
    assert "must begin by Wed 5 May 06:00" in why
    assert why.endswith("supper not within this week")


# -- nobody --------------------------------------------------------------------------------


def test_nobody_long_enough_on_shift_is_said_with_whose_hands_are_meant() -> None:
    why = of(component("soup", step("cook", "3 h", hands=1)), people=[cook("ana", "08:00-10:00")])
    assert why == {"soup.1": "nobody on shift may do cook: it asks for 1 of stove (cook) for 3 h"}


def test_two_cooks_who_never_meet_cannot_do_it_together() -> None:
    soup = component("soup", step("lift", "1 h", hands=2))
    people = [cook("ana", "06:00-12:00"), cook("bo", "12:00-18:00")]
    assert set(of(soup, people=people)) == {"soup.1"}


def test_nobody_in_the_only_window_is_said_with_the_window() -> None:
    """It keeps half an hour and takes one: between 16:30 and 18:00, when Ana is gone."""
    soup = component("soup", COOK, keeps=keep("30 min"))
    why = of(soup, people=[cook("ana", "08:00-16:00")])["soup.1"]
    assert why.startswith("nobody for cook (1 of stove (cook)) Fri 7 May 16:30 to 18:00")


def test_tending_closer_than_the_night_is_refused_where_nobody_is_there() -> None:
    """Turned every 6 h give or take 1, for 30 h; from 20:00 to 06:00 nobody is in."""
    tend = visit("30 min", every="6 h", give_or_take="1 h")
    people = [cook("ana", "06:00-20:00")]
    cure = step("cure", "30 h", tend=[tend])
    assert (
        "must be tended"
        in of(component("trout", cure, keeps=keep("8 h")), people=people)["trout.1"]
    )
    easier = {**tend, "every": "9 h", "give_or_take": "2 h"}
    assert (
        of(
            component("trout", step("cure", "30 h", tend=[easier]), keeps=keep("8 h")),
            people=people,
        )
        == {}
    )


def test_the_stretch_without_anybody_to_tend_it_lies_before_service() -> None:
    """Ana and Bo come Thursday 08:00 to 16:00 and Friday 13:00 to 14:00; the evening is past it."""
    tend = visit("30 min", every="2 h", give_or_take="30 min")
    people = [cook("ana", "08:00-16:00", days=EVE), cook("bo", "13:00-14:00", days=DAY)]
    cure = step("cure", "20 h", tend=[tend])
    why = of(component("trout", cure, keeps=keep("4 h")), people=people, service="16:00")
    assert why["trout.1"].startswith("cure must be tended; nobody")
    assert why["trout.1"].endswith("comes Thu 6 May 16:00 to Fri 7 May 13:00")


def test_an_empty_house_is_said_so() -> None:
    roast = step("roast", "12 h", alone="someone_on_shift")
    document = week_of(component("beef", roast), people=[cook("ana", "08:00-16:00")])
    document["kitchen"]["people"][0] = cook("pia", "17:00-20:00", sections={"pass": "lead"})
    why = missing(Week(document))["beef.1"]
    assert why.startswith("roast may not run with the house empty")


# -- limits that no placement can meet ---------------------------------------------------------


def test_two_things_at_once_that_one_batch_cannot_be_at_both_times() -> None:
    """A broth for two courses six hours apart that keeps two hours."""
    soup = component("soup", COOK, keeps=keep("2 h"), mixing=True)
    sauces = [
        component(n, step("simmer", t, takes=[take("soup")]), keeps=keep("30 min"))
        for n, t in (("jus", "1 h"), ("glaze", "7 h"))
    ]
    # Grouped apart, because six hours are more than half of two: nothing is claimed.
    assert of(soup, *sauces) == {}


def test_a_use_larger_than_any_store_is_refused() -> None:
    soup = component("soup", step("cook", "1 h", on=[{"zone": "chilled", "amount": 30}]))
    week = Week(week_of(soup), unread=True)
    assert "takes 30 places of walk-in, which has 20" in missing(week)["soup.1"]


# -- more than there are hours for ----------------------------------------------------------------


def sets(week: Week) -> list[str]:
    return [n.why for n in cannot_all(week.scenario, week.compiled)]


def grinding(hours: str, stones: int) -> Week:
    """Two pastes of `hours` on a stone each, from Friday's seeds at 06:00, for 18:00."""
    take_seeds = [{"ingredient": "seeds", "amount": "1 kg"}]
    pastes = [
        component(
            name,
            step("grind", hours, on=[{"equipment": "stone"}], takes=take_seeds),
            keeps=keep("8 h"),
        )
        for name in ("sesame", "poppy")
    ]
    delivery = {"id": "van", "ingredient": "seeds", "at": f"{DAY} 06:00"}
    return Week(
        week_of(*pastes, equipment=[kind("stone", units=stones)], week={"deliveries": [delivery]})
    )


def test_more_grinding_than_stones_before_service_is_added_up() -> None:
    """2 x 7 h between 06:00 and 18:00 on one stone: 14 of 12."""
    week = grinding("7 h", 1)
    assert missing(week) == {}
    (found,) = cannot_all(week.scenario, week.compiled)
    assert set(found.batches) == {"sesame.1", "poppy.1"}
    assert found.why == ("needs 14 stone-hours between Fri 7 May 06:00 and Fri 7 May 18:00, has 12")


def test_enough_stones_or_less_grinding_is_no_certificate() -> None:
    assert sets(grinding("7 h", 2)) == []
    assert sets(grinding("6 h", 1)) == []


def test_more_work_than_hours_of_those_who_may_do_it_is_added_up() -> None:
    """3 x 3 h for one cook who is there 8 h before service."""
    soups = [component(n, step("cook", "3 h", hands=1)) for n in ("one", "two", "three")]
    week = Week(week_of(*soups, people=[cook("ana", "09:00-17:00", days=DAY)]))
    assert sets(week) == ["needs 9 hours of ana before Fri 7 May 17:00, has 8"]


def test_hours_that_a_standing_duty_takes_are_counted() -> None:
    soups = [component(n, step("cook", "3 h", hands=1)) for n in ("one", "two")]
    duty = {
        "id": "breakfast",
        "days": [DAY],
        "hours": "09:00-12:00",
        "section": "stove",
        "people": 1,
    }
    people = [cook("ana", "09:00-17:00", days=DAY)]
    assert sets(Week(week_of(*soups, people=people))) == []
    assert len(sets(Week(week_of(*soups, people=people, kitchen={"duties": [duty]})))) == 1


def test_a_range_of_lengths_is_counted_with_its_shortest() -> None:
    time = span("7 h", "12 h")
    pastes = [
        component(n, step("grind", time, on=[{"equipment": "stone"}]), keeps=keep("8 h"))
        for n in ("sesame", "poppy")
    ]
    assert sets(Week(week_of(*pastes, equipment=[kind("stone")]))) == []


def test_several_events_are_judged_each_by_itself() -> None:
    """Too late for Friday's noon, in time for the evening: only one batch is claimed."""
    duck = component("duck", step("dry", "40 h"), keeps=keep("2 h"))
    document = week_of(
        duck,
        dishes=[dish("plate", "duck")],
        events=[event("lunch", "12:00", "plate"), event("supper", "18:00", "plate")],
    )
    assert set(missing(Week(document))) == {"duck.1"}
