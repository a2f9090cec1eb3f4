"""Each thing that may happen, in a tiny week whose answer is worked out by hand beside it.

The grid is 30 minutes and plates go at 18:00; what keeps best four to six hours is
wanted between 12:00 and 14:00.
"""

from __future__ import annotations

from typing import Any

from scheduler.plan.file import plan_of
from scheduler.reshuffle.recorded import ends_recorded
from scheduler.reshuffle.standing import Standing
from scheduler.solve.week import week_of as week_as_it_is
from tests.reshuffle.small import anew, at, text_of
from tests.weeks.tiny import (
    DAY,
    Document,
    component,
    cook,
    dish,
    event,
    keep,
    kind,
    made,
    step,
    store,
    take,
    visit,
    week_of,
)

POTS = kind("pot", units=[{"id": "left"}, {"id": "right"}])
POT = kind("pot", units=[{"id": "left"}])
EARLY = keep("30 h", best_from="4 h", best_until="6 h")


def braise(hours: str = "4 h", **rest: Any) -> Document:
    """Half an hour to load, so long in a pot, half an hour to lift out."""
    return component(
        "cheeks",
        step("braise", hours, on=[{"equipment": "pot"}], load=visit("30 min"),
             unload=visit("30 min")),
        keeps=EARLY, **rest,
    )  # fmt: skip


def cheeks(*equipment: Document, **rest: Any) -> str:
    """Ready as late as is best, 14:00: loaded 09:00, in the pot 09:30 to 13:30, out by 14:00."""
    return text_of(week_of(braise(), equipment=list(equipment or (POTS,)), **rest))


def sauces(*names: str, **rest: Any) -> str:
    """An hour of one cook each, fresh is best: 17:00 to 18:00 where hands allow."""
    return text_of(
        week_of(
            *(component(n, step("stir", "60 min", hands=1), keeps=keep("30 h")) for n in names),
            **rest,
        )
    )


# -- machines ------------------------------------------------------------------------


def test_what_is_said_last_of_a_machine_holds_and_both_days_of_a_night_have_names() -> None:
    """Down to the close of day, as nobody knew; then until 12:00; then until 02:00."""
    older = cheeks(POT, week={"ends": "2027-05-08 12:00"})
    first = anew(older, "10:00", {"kind": "down", "what": "left"})
    assert first.plan.terms.served == (10,)
    until = anew(first.text, "10:30", {"kind": "down", "what": "left", "until": f"{DAY} 12:00"})
    # Given up at 10:00; anew it is loaded when the pot works, 12:00, and out by 17:00.
    (braise,) = (t for t in until.plan.tasks if t.step == "braise")
    assert (until.plan.terms.served, until.clock(braise.start)) == ((0,), "12:00")
    night = {"kind": "down", "what": "left", "since": f"{DAY} 10:30", "until": "2027-05-08 02:00"}
    again = anew(until.text, "10:30", night)
    hours = [(d.id, d.name, str(d.hours)) for d in again.asked.scenario.kitchen.duties]
    assert hours == [
        ("down-left-1", "left out of use", "10:00-10:30"),
        ("down-left-2", "left out of use (2)", "10:30-24:00"),
        ("down-left-3", "left out of use (3)", "00:00-02:00"),
    ]


def test_a_pot_that_dies_mid_braise_goes_on_in_another_with_the_time_that_is_left() -> None:
    found = anew(cheeks(), "10:10", {"kind": "down", "what": "left"})
    task = found.task("cheeks.1/braise")
    # Stopped at 10:00 by the grid, after half an hour: 3 h 30 min are left, from 10:30 to 14:00.
    assert found.units("cheeks.1/braise") == ["left", "right"]
    assert (found.clock(task.stopped), found.clock(task.resumed)) == ("10:00", "10:30")
    assert found.ends("cheeks.1/braise") == "14:30"
    assert found.plan.terms.served == (0,)
    assert "unload 30 min later" in found.comparison.headline


def test_started_again_it_takes_all_its_time_anew() -> None:
    again = {"cheeks.1/braise": "again"}
    found = anew(cheeks(), "10:10", {"kind": "down", "what": "left", "salvage": again})
    # 10:30 and four hours are 14:30, out by 15:00.
    assert found.ends("cheeks.1/braise") == "15:00"


def test_with_one_pot_it_waits_until_that_works_again() -> None:
    down = {"kind": "down", "what": "left", "until": f"{DAY} 12:00"}
    found = anew(cheeks(POT), "10:10", down)
    # From 12:00 the three and a half hours that are left, then half an hour to lift out.
    assert found.ends("cheeks.1/braise") == "16:00"
    assert found.units("cheeks.1/braise") == ["left", "left"]


def test_a_pot_out_for_the_day_leaves_the_event_short_and_says_what_gives() -> None:
    found = anew(cheeks(POT), "10:10", {"kind": "down", "what": "left"})
    assert found.plan.terms.served == (10,)
    (line,) = found.gives
    assert "10 portions of plate lack cheeks" in line


def test_what_was_known_half_an_hour_late_counts_from_when_it_happened() -> None:
    down = {"kind": "down", "what": "left", "since": f"{DAY} 10:30"}
    found = anew(cheeks(), "11:00", down)
    # An hour is done by 10:30; the three that are left begin at 11:00.
    assert found.ends("cheeks.1/braise") == "14:30"


def test_a_machine_that_works_again_sooner_is_used_again() -> None:
    first = anew(cheeks(POT), "10:10", {"kind": "down", "what": "left", "until": f"{DAY} 14:00"})
    assert first.ends("cheeks.1/braise") == "18:00"
    second = anew(first.text, "11:00", {"kind": "working", "what": "left"})
    # 3 h 30 min from 11:00, out by 15:00; still the first break, of which half an hour counts.
    assert second.ends("cheeks.1/braise") == "15:00"
    assert second.plan.terms.served == (0,)


def test_a_bench_with_fewer_places_takes_one_after_the_other() -> None:
    bench = kind("bench", capacity=2, units=[{"id": "table"}])
    week = week_of(
        *(component(n, step("cut", "60 min", hands=1, on=[{"equipment": "table"}]),
                    keeps=keep("30 h")) for n in ("red", "white")),
        equipment=[bench], people=[cook("ana"), cook("ben")],
    )  # fmt: skip
    text = text_of(week)
    found = anew(text, "10:00", {"kind": "down", "what": "table", "left": 1})
    # Both were to be cut from 17:00; on one place one of them is cut from 16:00.
    assert {found.starts("red.1/cut"), found.starts("white.1/cut")} == {"16:00", "17:00"}


def test_several_at_once() -> None:
    week = week_of(
        braise(), component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h")),
        equipment=[POTS], people=[cook("ana"), cook("ben")],
    )  # fmt: skip
    found = anew(
        text_of(week), "10:10", {"kind": "down", "what": "left"}, {"kind": "away", "who": "ana"}
    )
    assert found.ends("cheeks.1/braise") == "14:30"
    assert found.people("cheeks.1/braise")[1] == ("ben",)
    assert found.people("sauce.1/stir") == [("ben",)]


# -- stores ----------------------------------------------------------------------------

COLD = (store("walk-in", "chilled", 20), store("cabinet", "chilled", 20))


def stock(best: str = "12 h") -> Document:
    """An hour of hands, in the cold half a day before it is wanted: 05:00 to 06:00."""
    return made("stock", keep("30 h", zone="chilled", best_from=best, best_until=best))


def test_what_stood_in_a_warm_store_is_made_again() -> None:
    text = text_of(week_of(stock(), stores=COLD))
    first = next(h for h in anew(text, "08:00", {"kind": "away", "who": "pia",
                 "since": f"{DAY} 20:00"}).plan.holds if h.source == "stock.1")  # fmt: skip
    assert first.store is not None
    found = anew(text, "08:00", {"kind": "down", "what": first.store})
    # It cannot be twelve hours old any more: made at once, 08:00 to 09:00, kept in the other.
    assert found.past.gone == ("stock.1",)
    assert found.starts("stock.2/make") == "08:00"
    (hold,) = [h for h in found.plan.holds if h.source == "stock.2"]
    assert hold.store == next(s["id"] for s in COLD if s["id"] != first.store)


def test_what_is_still_good_is_carried_to_another_store() -> None:
    text = text_of(week_of(stock(), stores=COLD))
    found = anew(text, "08:00", {"kind": "down", "what": "walk-in", "good": ["stock.1"]},
                 {"kind": "away", "who": "ana"})  # fmt: skip
    (hold,) = [h for h in found.plan.holds if h.source == "stock.1"]
    assert hold.store == "cabinet"
    assert found.plan.terms.served == (0,)


# -- people ----------------------------------------------------------------------------


def test_whoever_leaves_mid_job_is_relieved_for_what_is_left_of_it() -> None:
    dice = component("dice", step("cut", "4 h", hands=1), keeps=EARLY)
    text = text_of(week_of(dice, people=[cook("ana"), cook("ben")]))
    who = anew(text, "11:00", {"kind": "away", "who": "pia", "since": f"{DAY} 20:00"})
    (cutting,) = who.people("dice.1/cut")
    (other,) = {"ana", "ben"} - set(cutting)
    found = anew(text, "11:00", {"kind": "away", "who": cutting[0]})
    # Cut from 10:00, an hour is done; the other goes on at once and is ready at 14:00 as planned.
    assert found.people("dice.1/cut") == [cutting, (other,)]
    assert (found.starts("dice.1/cut"), found.ends("dice.1/cut")) == ("10:00", "14:00")


def test_whoever_is_late_is_left_what_comes_later() -> None:
    week = week_of(
        made("early", keep("30 h", best_from="8 h", best_until="9 h")),
        made("late", keep("30 h")), people=[cook("ana"), cook("ben", "09:00-12:00")],
    )  # fmt: skip
    away = {"kind": "away", "who": "ana", "since": f"{DAY} 08:00", "until": f"{DAY} 13:00"}
    found = anew(text_of(week), "07:30", away)
    # `early` is wanted between 09:00 and 10:00, when only Ben is in; `late` stays Ana's at 17:00.
    assert found.people("early.1/make") == [("ben",)]
    assert (found.people("late.1/make"), found.starts("late.1/make")) == ([("ana",)], "17:00")


def test_whoever_leaves_early_hands_over_the_evening_only() -> None:
    text = sauces("red", people=[cook("ana"), cook("ben")])
    was = anew(text, "10:00", {"kind": "away", "who": "pia", "since": f"{DAY} 20:00"})
    ((who,),) = was.people("red.1/stir")
    (other,) = {"ana", "ben"} - {who}
    found = anew(text, "10:00", {"kind": "away", "who": who, "since": f"{DAY} 16:00"})
    assert found.people("red.1/stir") == [(other,)]
    assert found.starts("red.1/stir") == "17:00"


def test_of_two_who_could_step_in_only_one_is_told() -> None:
    """Two jobs of the one who falls ill go to one other cook, not one each to two of them."""
    week = week_of(
        made("one", keep("30 h", best_from="3 h", best_until="4 h")),
        made("two", keep("30 h", best_from="5 h", best_until="6 h")),
        people=[cook("ana"), cook("ben", days=DAY), cook("cem", days=DAY)],
    )  # fmt: skip
    text = text_of(week)
    was = anew(text, "08:00", {"kind": "away", "who": "pia", "since": f"{DAY} 20:00"})
    ill = was.people("one.1/make")[0][0]
    found = anew(text, "08:00", {"kind": "away", "who": ill})
    told = {p.person for p in found.comparison.people} - {ill}
    assert len(told) <= 1


# -- batches -----------------------------------------------------------------------------


def test_a_batch_that_is_lost_is_made_anew_under_another_name() -> None:
    found = anew(cheeks(), "10:10", {"kind": "lost", "batch": "cheeks.1"})
    # 10:30 loaded by 11:00, four hours, out by 15:30.
    assert found.past.gone == ("cheeks.1",)
    assert (found.starts("cheeks.2/braise"), found.ends("cheeks.2/braise")) == ("10:30", "15:30")
    assert found.plan.terms.served == (0,)


def test_of_a_batch_that_is_short_only_what_lacks_is_made() -> None:
    found = anew(cheeks(), "10:10", {"kind": "lost", "batch": "cheeks.1", "left": "6 portions"})
    amounts = {b.id: int(b.good.base) for b in found.plan.batches if b.component}
    shares = {s.source: int(s.quantity.base) for s in found.plan.shares}
    assert amounts == {"cheeks.1": 10, "cheeks.2": 4}
    assert shares == {"cheeks.1": 6, "cheeks.2": 4}


def test_what_had_gone_into_a_lost_batch_is_lost_with_it() -> None:
    """Half the stock went into the sauce that is lost: for a new sauce there is stock to make."""
    week = week_of(
        made("stock", keep("30 h", best_from="2 h", best_until="10 h")),
        component("sauce", step("boil", "60 min", hands=1, takes=[take("stock")]), keeps=EARLY),
        people=[cook("ana")],
    )  # fmt: skip
    found = anew(text_of(week), "14:30", {"kind": "lost", "batch": "sauce.1"}, seconds=1)
    # Sauce was boiled by 14:00. Ten portions of stock take one portion's part: all is used up.
    assert {"sauce.1"} <= set(found.past.gone)
    lost = {one.source for one in found.past.lost}
    assert lost == {"stock.1"}
    assert found.starts("stock.2/make") < found.starts("sauce.2/boil")
    assert found.plan.terms.served == (0,)


# -- events --------------------------------------------------------------------------------


def test_more_guests_get_more_of_what_is_still_to_be_made_and_go_short_of_what_is_too_late() -> (
    None
):
    week = week_of(
        braise("8 h"), component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h")),
        equipment=[POTS], people=[cook("ana"), cook("ben")],
    )  # fmt: skip
    found = anew(text_of(week), "12:10", {"kind": "counts", "event": "supper", "guests": 14})
    # Eight hours from 12:30 are too late for four more cheeks; sauce is made for all 14.
    amounts = {b.id: int(b.good.base) for b in found.plan.batches if b.component}
    assert amounts == {"cheeks.1": 10, "cheeks.2": 4, "sauce.1": 14}
    assert found.plan.terms.served == (4,)


def test_more_guests_who_come_too_soon_take_nothing_from_a_batch_for_a_later_event() -> None:
    """Ten and ten are a batch each, as fifteen are the most; 12 portions would fit one.

    At 11:00 two more at noon are too late, three hours of stirring being asked: they lack it, and
    the batch for the evening is where it was, as large as it was.
    """
    sauce = component("sauce", step("stir", "3 h", hands=1), keeps=keep("30 h"),
                      batch={"most": "15 portions"})  # fmt: skip
    events = [event("lunch", "12:00", "plate"), event("dinner", "20:00", "plate")]
    older = text_of(week_of(sauce, events=events, people=[cook("ana"), cook("ben")]))
    found = anew(older, "11:00", {"kind": "counts", "event": "lunch", "guests": 12})
    assert found.plan.terms.served == (2,)
    assert found.starts("sauce.2/stir") == "17:00"
    assert {b.id: int(b.good.base) for b in found.plan.batches if b.component} == {
        "sauce.1": 10, "sauce.2": 10, "sauce.3": 2,
    }  # fmt: skip
    (why,) = (m.why for m in found.plan.missing if m.batch == "sauce.3")
    assert "must begin by" in why


def test_fewer_guests_than_are_made_for_leave_some_over_and_move_nothing() -> None:
    found = anew(cheeks(), "10:10", {"kind": "counts", "event": "supper", "guests": 6})
    (share,) = found.plan.shares
    assert int(share.quantity.base) == 6
    assert found.plan.batches[-1].good.base == 10
    assert found.ends("cheeks.1/braise") == "14:00"
    assert found.plan.terms.changes == 0


def test_an_event_an_hour_later_moves_its_plating_and_nothing_else() -> None:
    found = anew(cheeks(), "10:10", {"kind": "moved", "event": "supper", "to": f"{DAY} 19:00"})
    assert found.starts("supper.plate/plating") == "19:00"
    assert [p.person for p in found.comparison.people] == ["pia"]


def two_events() -> str:
    return text_of(
        week_of(
            braise(), component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h")),
            dishes=[dish("stew", "cheeks"), dish("pasta", "sauce")],
            events=[event("gala", "18:00", "stew"), event("club", "19:00", "pasta")],
            equipment=[POTS],
        )
    )  # fmt: skip


def test_of_an_event_that_is_called_off_what_is_begun_stops_and_its_jobs_are_gone() -> None:
    found = anew(two_events(), "10:10", {"kind": "cancelled", "event": "gala"})
    assert [t.id for t in found.plan.tasks] == ["club.pasta/plating", "sauce.1/stir"]
    assert found.past.gone == ("cheeks.1",)
    assert {e.event: e.said for e in found.comparison.events}["gala"] == "is called off"


def test_an_event_that_is_added_is_served_beside_the_others() -> None:
    more = event("tea", "20:00", "pasta", guests=4)
    found = anew(two_events(), "10:10", {"kind": "added", "event": more})
    assert found.plan.terms.served == (0,)
    assert found.starts("tea.pasta/plating") == "20:00"
    assert found.ends("cheeks.1/braise") == "14:00"


# -- deliveries and tasks -----------------------------------------------------------------------


def test_what_waits_for_a_late_delivery_is_made_when_it_has_come() -> None:
    week = week_of(
        component("slaw", step("cut", "60 min", hands=1,
                               takes=[{"ingredient": "cabbage", "amount": "1 kg"}]), keeps=EARLY),
        week={"deliveries": [{"id": "greens", "ingredient": "cabbage", "at": f"{DAY} 08:00"}]},
    )  # fmt: skip
    late = {"kind": "delivery", "delivery": "greens", "at": f"{DAY} 15:30"}
    found = anew(text_of(week), "09:00", late)
    assert found.starts("slaw.1/cut") == "15:30"


def test_what_takes_longer_pushes_only_what_waits_for_it() -> None:
    week = week_of(
        braise(), component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h")),
        dishes=[dish("plate", "pie", "sauce")],
        equipment=[POTS], people=[cook("ana"), cook("ben")],
    )  # fmt: skip
    pie = component("pie", step("fill", "60 min", hands=1, takes=[take("cheeks")]),
                    keeps=keep("30 h"))  # fmt: skip
    week["components"].append(pie)
    found = anew(text_of(week), "13:10", {"kind": "ends", "task": "cheeks.1/braise",
                                         "at": f"{DAY} 17:00"})  # fmt: skip
    # The pie was to be filled as late as may be, 17:00: that still does, and nobody is told.
    assert found.ends("cheeks.1/braise") == "17:00"
    assert found.starts("pie.1/fill") == "17:00"
    assert found.plan.terms.changes == 0


def test_what_was_over_sooner_changes_nothing_that_need_not_change() -> None:
    found = anew(cheeks(), "13:00", {"kind": "ends", "task": "cheeks.1/braise",
                                    "at": f"{DAY} 13:00"})  # fmt: skip
    assert found.ends("cheeks.1/braise") == "13:00"
    assert found.comparison.people == ()


def test_what_has_not_been_begun_is_begun_now() -> None:
    found = anew(cheeks(), "10:10", {"kind": "not-begun", "task": "cheeks.1/braise"})
    assert (found.starts("cheeks.1/braise"), found.ends("cheeks.1/braise")) == ("10:30", "15:30")


def test_a_mill_that_is_cleaned_between_pastes_may_stand_still_and_is_cleaned_all_the_same() -> (
    None
):
    mill = kind("mill", clean_down={"time": "30 min", "hands": [{"section": "stove"}]})
    pastes = [
        component(n, step("grind", "60 min", hands=1, on=[{"equipment": "mill"}]),
                  keeps=keep("30 h")) for n in ("almond", "sesame")
    ]  # fmt: skip
    text = text_of(week_of(*pastes, equipment=[mill], people=[cook("ana"), cook("ben")]))
    # 15:30 to 16:30, cleaned, 17:00 to 18:00; now the mill stands still from 15:00 to 16:30.
    down = {"kind": "down", "what": "mill", "since": f"{DAY} 15:00", "until": f"{DAY} 16:30"}
    found = anew(text, "10:00", down)
    first = min(t.start for t in found.plan.tasks if t.step == "grind")
    assert found.clock(first) == "14:00"
    assert [found.clock(c.start) for c in found.plan.clean_downs] == ["15:00"]
    assert found.plan.terms.served == (0,)


def test_visits_to_what_is_broken_off_stay_and_it_is_tended_anew_from_where_it_goes_on() -> None:
    grind = step(
        "grind", "6 h", on=[{"equipment": "mill"}],
        tend=[visit("30 min", every="2 h", give_or_take="30 min", verb="turn")],
    )  # fmt: skip
    mills = kind("mill", units=[{"id": "old"}, {"id": "new"}])
    week = week_of(component("paste", grind, keeps=keep("30 h", best_from="2 h", best_until="3 h")),
                   equipment=[mills])  # fmt: skip
    text = text_of(week)
    was = anew(text, "09:00", {"kind": "away", "who": "pia", "since": f"{DAY} 21:00"})
    unit, start = was.units("paste.1/grind")[0], was.starts("paste.1/grind")
    assert start == "10:00"
    found = anew(text, "13:10", {"kind": "down", "what": unit})
    task = found.task("paste.1/grind")
    # Three hours are done by 13:00; from 13:30 three more, in the other mill, to 16:30.
    assert (found.clock(task.resumed), found.ends("paste.1/grind")) == ("13:30", "16:30")
    before = [v.start for v in task.visits if v.start < found.past.now]
    assert before == [v.start for v in was.task("paste.1/grind").visits if v.start < found.past.now]
    assert before
    after = [v.start for v in task.visits if v.start >= found.past.now]
    assert after and all(90 <= v - (task.resumed or 0) <= 150 for v in after[:1])


def test_what_the_record_says_was_over_sooner_or_later_counts_and_what_it_does_not_say_is_on_time(
) -> None:
    standing = Standing(plan_of(cheeks()), at("13:00"))
    early = ends_recorded(standing, {"cheeks.1/braise": at("12:30")})
    assert [(one.task, one.at) for one in early] == [("cheeks.1/braise", at("12:30"))]
    assert ends_recorded(standing, {}) == ()
    assert ends_recorded(standing, {"supper.plate/plating": at("12:30")}) == ()
    later = Standing(plan_of(cheeks()), at("15:00"))
    assert ends_recorded(later, {"cheeks.1/braise": at("14:10")}) == ()
    found = anew(cheeks(), "15:00", ends_recorded(later, {"cheeks.1/braise": at("14:30")})[0]
                 .model_dump(mode="json"))  # fmt: skip
    assert found.ends("cheeks.1/braise") == "14:30"


def test_what_is_lost_is_bought_in_while_it_can_still_be_ordered_and_not_after() -> None:
    """A paste that mills for eight hours comes by 16:00 if it is ordered four hours before 15:00.
    """
    offer = {"lead_time": "4 h", "hours": "15:00-16:00", "pack": "10 portions", "price": 50}
    paste = component("paste", step("mill", "8 h", on=[{"equipment": "pot"}]),
                      keeps=keep("30 h"), bought_in=offer)  # fmt: skip
    text = text_of(week_of(paste, equipment=[POT]))
    lost = {"kind": "lost", "batch": "paste.1"}
    # Milled from 10:00. At 10:30 there is no time to mill, and half an hour left to order.
    found = anew(text, "10:30", lost, seconds=1)
    (batch,) = [b for b in found.plan.batches if b.component == "paste"]
    assert batch.bought is not None and found.clock(batch.bought.order_by) == "11:00"
    assert found.plan.terms.served == (0,)
    assert anew(text, "11:30", lost, seconds=1).plan.terms.served == (10,)


def test_what_is_still_to_be_added_to_a_running_pot_is_added_no_earlier_than_now() -> None:
    """Simmers 14:00 to 18:00, wine after 30 to 210 minutes; only ana, 16:00 to 17:00, is there.

    At 15:30 nothing has been added: from then on it may be, 90 minutes after the start.
    """
    stock = component(
        "stock",
        step("simmer", "4 h", add=[visit("30 min", after="2 h", give_or_take="90 min")]),
        keeps=keep("30 h"),
    )
    older = text_of(week_of(stock, people=[cook("ana", "16:00-17:00")]))
    found = anew(older, "15:30", {"kind": "away", "who": "ana", "until": f"{DAY} 16:30"})
    (added,) = (v for v in found.task("stock.1/simmer").visits if v.kind == "add")
    assert (found.starts("stock.1/simmer"), found.clock(added.start)) == ("14:00", "16:30")
    (add,) = week_as_it_is(found.asked.scenario, {}, (), found.past).compiled.problem.adds
    assert add.least * 30 == 90
