"""What would mend a plan that leaves portions short: said in the order of who may say yes."""

from __future__ import annotations

from scheduler.plan.audit import audit
from scheduler.reshuffle.help import Mending, mending
from tests.reshuffle.small import Anew, anew, text_of
from tests.reshuffle.test_setbacks import EARLY, POT, POTS, braise, cheeks
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    dish,
    event,
    keep,
    step,
    week_of,
)

ILL = {"kind": "away", "who": "ana"}


def helped(found: Anew, each: float = 0.2) -> Mending:
    assert found.plan.unserved
    mended = mending(found.file.scenario, found.plan, each=each, deterministic=True)
    assert audit(found.file.scenario, found.plan).valid, "looking for help has changed the plan"
    return mended


def said(found: Anew) -> list[str]:
    return [one.said for one in helped(found).helps]


def sauce(hours: str, *people: Document, keeps: str = "1 h") -> str:
    """One sauce, all of it in one pair of hands, fresh for 18:00."""
    made = component("sauce", step("stir", hours, hands=1), keeps=keep(keeps))
    return text_of(week_of(made, people=list(people)))


def test_a_machine_that_could_be_borrowed_is_named_with_until_when() -> None:
    found = anew(cheeks(POT), "10:10", {"kind": "down", "what": "left"})
    # There at 11:10, so from 11:30; half an hour was done by 10:00, 3 h 30 min are left: 15:00.
    # Out by 15:30.
    assert said(found) == ["A borrowed pot until Fri 7 May 15:30: everything is served."]


def test_one_more_machine_of_a_kind_is_borrowed_where_none_is_broken() -> None:
    fresh = {"keeps": keep("1 h")}
    week = week_of(
        braise(), equipment=[POTS], dishes=[dish("plate", "cheeks")], people=[cook("ana")],
    )  # fmt: skip
    week["components"][0] |= {"keeps": [fresh["keeps"]], "batch": {"most": "10 portions"}}
    week["components"][0]["steps"][0]["time"] = "8 h"
    found = anew(text_of(week), "07:00", {"kind": "counts", "event": "supper", "guests": 30})
    # Ready 17:00 at the soonest, from 08:30 on: two pots hold 20 portions, ten need a third.
    assert found.plan.terms.served == (10,)
    lines = said(found)
    assert lines[0].startswith("One more pot until Fri 7 May 1")
    assert lines[0].endswith(": everything is served.")


def test_own_people_are_asked_to_stay_before_anything_else() -> None:
    text = sauce("60 min", cook("ana"), cook("ben", "08:00-16:00"), cook("cem", days=EVE))
    lines = said(anew(text, "10:00", ILL))
    # It keeps an hour, so it is stirred from 16:00 at the soonest: Ben stays until 17:00.
    assert lines[0] == "Ben staying until Fri 7 May 17:00: everything is served."


def test_whoever_is_off_is_called_in_for_the_hours_that_it_takes() -> None:
    text = sauce("4 h", cook("ana"), cook("cem", "08:00-18:00", days=EVE))
    lines = said(anew(text, "10:00", ILL))
    assert len(lines) == 1
    assert lines[0].startswith("Cem called in, Fri 7 May 1")
    assert lines[0].endswith(": everything is served.")


def test_whoever_is_away_is_not_asked_also_when_the_plan_breaks_again() -> None:
    text = sauce("4 h", cook("ana"))
    first = anew(text, "10:00", ILL)
    again = anew(first.text, "10:30", {"kind": "counts", "event": "supper", "guests": 9})
    assert [one.person for one in again.past.away] == ["ana"]
    assert not any("Ana" in line for found in (first, again) for line in said(found))
    back = anew(text, "10:00", {**ILL, "until": f"{DAY} 12:00"})
    assert [again.clock(one.end) for one in back.past.away] == ["12:00"]
    later = anew(back.text, "12:30", {"kind": "counts", "event": "supper", "guests": 9})
    assert later.past.away == ()


def test_what_may_be_bought_is_asked_for_without_delay_when_it_is_too_late_to_order() -> None:
    offer = {"lead_time": "4 h", "hours": "15:00-16:00", "pack": "10 portions", "price": 50}
    paste = component("paste", step("mill", "8 h", on=[{"equipment": "pot"}]),
                      keeps=keep("30 h"), bought_in=offer)  # fmt: skip
    text = text_of(week_of(paste, equipment=[POT]))
    found = anew(text, "11:30", {"kind": "lost", "batch": "paste.1"}, seconds=1)
    # Milled until 18:00, at 11:30 eight hours are too many. There within an hour of 12:30.
    line = next(one.said for one in helped(found, each=1).helps if one.kind == "bought")
    assert line == "Paste bought in and here Fri 7 May 13:30, 1 pack: everything is served."


def test_a_later_first_plate_comes_last_and_by_no_more_than_it_takes() -> None:
    found = anew(sauce("2 h", cook("ana")), "10:00", {**ILL, "until": f"{DAY} 16:30"})
    # Ana is back at 16:30 and stirs until 18:30.
    assert said(found) == ["Supper from 18:30, 30 min later: everything is served."]


def test_a_later_first_plate_is_not_offered_where_something_else_serves_everything() -> None:
    found = anew(cheeks(POT), "10:10", {"kind": "down", "what": "left"})
    assert {one.kind for one in helped(found).helps} == {"borrowed"}


def test_what_mends_only_a_part_says_how_much() -> None:
    week = week_of(
        braise(), component("sauce", step("stir", "4 h", hands=1), keeps=EARLY),
        dishes=[dish("stew", "cheeks"), dish("pasta", "sauce")],
        events=[event("gala", "18:00", "stew"), event("club", "19:00", "pasta", guests=6)],
        equipment=[POT],
        people=[cook("ana"), cook("lea", sections={"larder": "cook"})],
    )  # fmt: skip
    week["components"][0]["section"] = "larder"
    found = anew(text_of(week), "10:10", {"kind": "down", "what": "left"}, ILL)
    assert found.plan.terms.served == (16,)
    lines = said(found)
    assert lines[0] == (
        "A borrowed pot until Fri 7 May 15:30: 10 portions of the 16 that go short are served."
    )


def test_what_there_is_no_time_for_is_named_and_nothing_is_asked_where_nothing_is_short() -> None:
    found = anew(cheeks(POT), "10:10", {"kind": "down", "what": "left"})
    none = mending(found.file.scenario, found.plan, seconds=0)
    assert none.helps == ()
    assert list(none.lines()) == [
        "No time to look at: people staying longer, a borrowed pot, supper from 18:30, 30 min "
        "later, supper from 19:00, 60 min later, supper from 20:00, 120 min later."
    ]
    whole = anew(cheeks(), "10:10", {"kind": "down", "what": "left"})
    assert mending(whole.file.scenario, whole.plan) == Mending(())
