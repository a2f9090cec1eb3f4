"""Tests that say not there yet, goods that never come, warm stores, counts below what is made.

The grid is 30 minutes and plates go at 18:00, as in `test_setbacks`.
"""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput, Problem
from scheduler.reshuffle.asking import asked, named
from scheduler.reshuffle.proposal import Proposal
from scheduler.reshuffle.setback import Delivered, Down, NotThere, setback_of
from scheduler.reshuffle.words import setbacks_of
from tests.reshuffle.small import Anew, anew, at, text_of
from tests.reshuffle.test_setbacks import COLD, EARLY, POTS, braise, cheeks
from tests.weeks.tiny import (
    DAY,
    Document,
    component,
    cook,
    keep,
    kind,
    made,
    step,
    take,
    visit,
    week_of,
)


def refusal(text: str, now: str, setback: Document) -> str:
    with pytest.raises(BadInput) as bad:
        anew(text, now, setback)
    return str(bad.value)


# -- a test that says not there yet ----------------------------------------------------------


def paste(longer: str | None = "2 h", last_call: str | None = "9 h") -> str:
    """Six hours in a mill until it is fine, best used two to three hours later."""
    test = {"measure": "fineness", "target": "20 µm", "longer": longer, "last_call": last_call}
    grind = step(
        "grind", "6 h",
        on=[{"equipment": "mill"}], unload=visit("30 min"),
        test={k: v for k, v in test.items() if v is not None},
    )  # fmt: skip
    return text_of(
        week_of(component("paste", grind, keeps=keep("30 h", best_from="2 h", best_until="3 h")),
                equipment=[kind("mill")])
    )  # fmt: skip


def test_what_is_not_there_yet_goes_on_for_as_long_as_its_recipe_says() -> None:
    text = paste()
    was = anew(text, "12:00", {"kind": "away", "who": "pia", "since": f"{DAY} 21:00"})
    end = was.task("paste.1/grind").end
    found = anew(text, was.clock(end - 30), {"kind": "not-there", "task": "paste.1/grind"})
    # Two hours more in the mill, lifted out half an hour after that as before.
    assert found.task("paste.1/grind").end == end + 120
    assert found.plan.terms.served == (0,)
    again = anew(text, was.clock(end - 30),
                 {"kind": "not-there", "task": "paste.1/grind", "longer": "60 min"})  # fmt: skip
    assert again.task("paste.1/grind").end == end + 60


def test_after_its_last_call_it_is_to_be_said_lost_and_without_a_word_how_long() -> None:
    said = {"kind": "not-there", "task": "paste.1/grind"}
    assert "after its last call at 7 h: say it is lost" in refusal(
        paste(last_call="7 h"), "15:00", said
    )
    assert "does not say how much longer" in refusal(paste(longer=None), "15:00", said)
    assert "Maybe paste.1/grind" in refusal(paste(), "15:00", {**said, "task": "paste.1/grid"})
    assert "it has not begun" in refusal(paste(), "06:00", said)


def test_it_is_said_in_one_word_of_the_command() -> None:
    one, two = setbacks_of({"not-there": ["paste.1/grind", "paste.1/grind=24 h"]}, at("10:00"))
    assert isinstance(one, NotThere) and isinstance(two, NotThere)
    assert (one.longer, two.longer) == (None, 24 * 60)
    with pytest.raises(BadInput, match="--not-there"):
        setbacks_of({"not-there": ["paste.1/grind=soon"]}, at("10:00"))


# -- a delivery that never comes -------------------------------------------------------------


def slaw() -> str:
    cut = step("cut", "60 min", hands=1, takes=[{"ingredient": "cabbage", "amount": "1 kg"}])
    soup = component("soup", step("stir", "60 min", hands=1), keeps=keep("30 h"))
    week = {"deliveries": [{"id": "greens", "ingredient": "cabbage", "at": f"{DAY} 10:00"}]}
    return text_of(
        week_of(component("slaw", cut, keeps=EARLY), soup, week=week,
                people=[cook("ana"), cook("ben")])
    )  # fmt: skip


def test_what_never_comes_leaves_out_what_is_made_of_it_and_nothing_else() -> None:
    found = anew(slaw(), "09:00", {"kind": "delivery", "delivery": "greens", "never": True})
    assert found.plan.terms.served == (10,)
    (line,) = found.gives
    assert "10 portions of plate lack slaw" in line
    assert found.starts("soup.1/stir") == "17:00"


def test_what_never_comes_is_not_said_to_come_as_well() -> None:
    both = {"kind": "delivery", "delivery": "greens", "never": True, "at": f"{DAY} 12:00"}
    assert "is said to come, and never to come" in refusal(slaw(), "09:00", both)
    nothing = {"kind": "delivery", "delivery": "greens", "quantity": "0 kg"}
    assert "Maybe never" in refusal(slaw(), "09:00", nothing)
    (one,) = setbacks_of({"delivery": ["greens=never"]}, at("09:00"))
    assert isinstance(one, Delivered) and one.never


# -- a store that has been warm --------------------------------------------------------------


def stocked(food_class: str | None, profile: str | None = "us") -> tuple[str, str]:
    """Stock in the cold from 06:00 until 18:00, of a class of food; and in which store."""
    stock = made("stock", keep("30 h", zone="chilled", best_from="12 h", best_until="12 h"),
                 **({"food_class": food_class} if food_class else {}))  # fmt: skip
    kitchen: dict[str, Any] = {"rule_profile": profile} if profile else {}
    text = text_of(week_of(stock, stores=COLD, kitchen=kitchen))
    was = anew(text, "08:00", {"kind": "away", "who": "pia", "since": f"{DAY} 21:00"})
    return text, str(next(h.store for h in was.plan.holds if h.source == "stock.1"))


def besides(found: Anew) -> list[str]:
    return list(Proposal(found.asked, found.text).besides())


def test_food_that_needs_no_cold_outlives_a_warm_store() -> None:
    text, store = stocked("sugar")
    found = anew(text, "08:00", {"kind": "down", "what": store})
    assert found.past.gone == ()
    assert besides(found) == ["Stock needs no cold: it goes elsewhere."]


def test_of_unknown_time_out_of_the_cold_everything_is_thrown_away_and_said() -> None:
    text, store = stocked(None)
    found = anew(text, "08:00", {"kind": "down", "what": store})
    assert found.past.gone == ("stock.1",)
    assert besides(found)[0] == (
        "Nobody knows how long stock was warm: thrown away, unless it is said to be good."
    )


def test_how_long_it_was_warm_at_most_is_counted_from_the_last_cold_reading() -> None:
    text, store = stocked(None)
    down = {"kind": "down", "what": store, "cold": f"{DAY} 07:10"}
    found = anew(text, "08:00", down)
    assert besides(found)[0].startswith("Stock was warm for 50 min at most, of 4 h that food may")
    kept = anew(text, "08:00", {**down, "good": ["stock.1"]})
    assert kept.past.gone == () and kept.plan.terms.served == (0,)


def test_nobody_may_call_good_what_was_warm_for_longer_than_food_may_be_out() -> None:
    text, store = stocked(None)
    down = {"kind": "down", "what": store, "cold": f"{DAY} 06:00", "good": ["stock.1"]}
    said = refusal(text, "13:10", down)
    assert "may have been warm for 7 h 10 min, longer than the 4 h that food may be out" in said
    assert "nobody may call it good" in said


def test_the_last_cold_reading_goes_with_a_store_that_is_down() -> None:
    (one,) = setbacks_of({"down": ["walk-in"]}, at("08:00"), last_cold=["walk-in=07:10"])
    assert isinstance(one, Down) and one.cold == at("07:10")
    with pytest.raises(BadInput, match="goes with a store that is down"):
        setbacks_of({"down": ["walk-in"]}, at("08:00"), last_cold=["cabinet=07:10"])
    text, store = stocked(None)
    late = {"kind": "down", "what": store, "cold": f"{DAY} 09:00"}
    assert "Fri 7 May 09:00 is still to come" in refusal(text, "08:00", late)
    pot = {"kind": "down", "what": "left", "cold": f"{DAY} 09:00"}
    assert "left is no store" in refusal(cheeks(), "10:00", pot)


# -- counts ----------------------------------------------------------------------------------


def test_what_is_left_over_of_what_is_made_for_more_guests_is_said() -> None:
    found = anew(cheeks(), "10:10", {"kind": "counts", "event": "supper", "guests": 6})
    assert besides(found) == ["Cheeks: 4 pieces of 10 pieces are left over."]


def test_a_count_that_a_rule_of_the_menu_does_not_allow_is_refused_in_a_sentence() -> None:
    week = week_of(component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h")))
    menu = week["week"]["events"][0]["menu"][0]
    menu["diets"] = [{"id": "gluten-free", "count": 4, "swap": {}}]
    text = text_of(week)
    said = refusal(text, "10:00", {"kind": "counts", "event": "supper", "guests": 3})
    assert "supper" in said and "4" in said and "3" in said
    assert "\n" not in said.strip()


def test_a_limit_that_more_guests_break_is_said_with_their_number() -> None:
    salad = component("salad", step("dress", "60 min", hands=1), keeps=keep("2 h"),
                      food_class="ready")  # fmt: skip
    text = text_of(week_of(salad, kitchen={"rule_profile": "us"}))
    what = asked(text, [setback_of({"kind": "counts", "event": "supper", "guests": 400})],
                 at("10:00"))  # fmt: skip
    found = named(what, [Problem("scenario", None, None, "supper.plate", "out for too long"),
                         Problem("scenario", None, None, "salad", "another")])  # fmt: skip
    assert [p.where for p in found] == ["supper with 400 guests, supper.plate", "salad"]


# -- tending that was missed -----------------------------------------------------------------


def test_tending_that_fell_into_an_outage_nobody_had_seen_is_said() -> None:
    grind = step(
        "grind", "6 h", on=[{"equipment": "mill"}],
        tend=[visit("30 min", every="2 h", give_or_take="30 min", verb="turn")],
    )  # fmt: skip
    mills = kind("mill", units=[{"id": "old"}, {"id": "new"}])
    paste_ = component("paste", grind, keeps=keep("30 h", best_from="2 h", best_until="3 h"))
    text = text_of(week_of(paste_, equipment=[mills]))
    was = anew(text, "09:00", {"kind": "away", "who": "pia", "since": f"{DAY} 21:00"})
    task = was.task("paste.1/grind")
    first, second = (v.start for v in task.visits if v.kind == "tend")
    now = was.clock(second + 40)
    since = f"{DAY} {was.clock(first + 30)}"
    down = {"kind": "down", "what": was.units("paste.1/grind")[0], "since": since}
    found = anew(text, now, down)
    (line,) = [x for x in besides(found) if "not done then" in x]
    assert f"turn Fri 7 May {was.clock(second)}" in line
    assert was.clock(first) not in line.partition("not done then")[2]


def test_what_nobody_missed_is_not_said() -> None:
    assert besides(anew(cheeks(POTS), "10:10", {"kind": "down", "what": "left"})) == []


def test_what_takes_of_a_batch_that_had_begun_still_gets_what_is_good_of_it() -> None:
    """Of ten portions of stock four are spilt: the sauce takes six of the old and four new."""
    week = week_of(
        made("stock", keep("30 h", best_from="2 h", best_until="10 h")),
        component("sauce", step("boil", "60 min", hands=1, takes=[take("stock", "10 portions")]),
                  keeps=EARLY),
        people=[cook("ana")],
    )  # fmt: skip
    text = text_of(week)
    was = anew(text, "06:00", {"kind": "away", "who": "pia", "since": f"{DAY} 21:00"})
    ready = was.clock(was.task("stock.1/make").end + 10)
    found = anew(text, ready, {"kind": "lost", "batch": "stock.1", "left": "6 portions"})
    shares = {s.source: int(s.quantity.base) for s in found.plan.shares if s.step == "boil"}
    assert shares == {"stock.1": 6, "stock.2": 4}


# -- what the recipe says of an interruption ---------------------------------------------------


def interrupted(what: str) -> str:
    """Cheeks as in `cheeks`, half an hour in the pot by 10:00."""
    week = week_of(braise(), equipment=[POTS])
    week["components"][0]["steps"][0]["if_interrupted"] = what
    return text_of(week)


DEAD = {"kind": "down", "what": "left"}


def test_what_its_recipe_starts_again_takes_all_its_time_anew_unless_the_sous_says_otherwise(
) -> None:
    # 10:30 and four hours are 14:30, out by 15:00; with the time that is left, half an hour less.
    assert anew(interrupted("start again"), "10:10", DEAD).ends("cheeks.1/braise") == "15:00"
    goes_on = {**DEAD, "salvage": {"cheeks.1/braise": "elsewhere"}}
    assert anew(interrupted("start again"), "10:10", goes_on).ends("cheeks.1/braise") == "14:30"
    assert anew(interrupted("resume"), "10:10", DEAD).ends("cheeks.1/braise") == "14:30"


def test_what_its_recipe_gives_up_is_lost_and_made_anew() -> None:
    found = anew(interrupted("lost"), "10:10", DEAD)
    # Loaded again from 10:30, four hours from 11:00, out by 15:30.
    assert found.past.gone == ("cheeks.1",)
    assert (found.starts("cheeks.2/braise"), found.ends("cheeks.2/braise")) == ("10:30", "15:30")


def test_a_task_is_not_said_to_start_again_and_to_go_on() -> None:
    with pytest.raises(BadInput, match="is said to go on as well"):
        setbacks_of({"down": ["left"]}, at("10:00"), again=["x"], resume=["x"])
    with pytest.raises(BadInput, match="--resume"):
        setbacks_of({"cancel": ["supper"]}, at("10:00"), resume=["x"])
