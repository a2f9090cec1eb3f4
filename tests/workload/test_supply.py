"""What is there already: lots on hand, batches in progress, and what needs itself."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.workload.certificates import certify
from scheduler.workload.primitives import HORIZON_START
from tests.weeks.tiny import DAY, EVE, component, dish, event, keep, span, step, take, week_of
from tests.workload.weeks import Week

COOK = step("cook", "1 h", hands=1)
SOUP = component("soup", COOK, keeps=keep("24 h", "chilled"))


def lot(name: str, quantity: str, made: str, **rest: Any) -> dict[str, Any]:
    return {
        "id": name,
        "component": "soup",
        "quantity": quantity,
        "made": made,
        "store": "walk-in",
        **rest,
    }


def with_lots(*lots: dict[str, Any], soup: dict[str, Any] = SOUP, **rest: Any) -> Week:
    """Ten portions of soup at 18:00 on Friday; planning begins on Thursday at 20:00."""
    week = {"plan_from": f"{EVE} 20:00", "on_hand": list(lots)}
    return Week(week_of(soup, week=week, **rest))


# -- on hand ---------------------------------------------------------------------------


def test_what_is_on_hand_is_not_made_again() -> None:
    week = with_lots(lot("tub", "4 portions", f"{EVE} 19:00"))
    assert week.share("tub", "supper.plate") == 4
    assert week.share("soup.1", "supper.plate") == week.batch("soup.1").quantity == 6


def test_the_oldest_that_is_still_good_goes_first() -> None:
    """Service Friday 18:00, limit 24 h: made before Thursday 18:00 is too old by then."""
    week = with_lots(
        lot("fresh", "8 portions", f"{EVE} 19:30"),
        lot("older", "4 portions", f"{EVE} 18:30"),
        lot("too-old", "9 portions", f"{EVE} 17:00"),
    )
    assert week.share("too-old", "supper.plate") == 0
    assert week.share("older", "supper.plate") == 4
    assert week.share("fresh", "supper.plate") == 6
    assert not week.batches_of("soup")


def test_what_nobody_takes_of_a_lot_stands_there_to_its_limit_and_is_reported() -> None:
    week = with_lots(lot("tub", "14 portions", f"{EVE} 19:00"))
    (use,) = week.work.lots
    assert (use.used, use.spare) == (10, 4)
    (spare,) = week.holds("spare")
    task = week.problem.tasks[spare.start.task]
    assert (task.earliest, task.latest) == (40, 86)  # 20:00 to 19:00 next day, half hours


def test_a_lot_reserved_for_another_event_is_left_alone() -> None:
    document = week_of(
        SOUP,
        dishes=[dish("plate", "soup")],
        events=[event("lunch", "12:00", "plate"), event("supper", "18:00", "plate")],
        week={
            "on_hand": [lot("tub", "30 portions", f"{EVE} 19:00", reserved_for="lunch")],
            "plan_from": f"{EVE} 20:00",
        },
    )
    week = Week(document)
    assert week.share("tub", "lunch.plate") == 10
    assert week.share("tub", "supper.plate") == 0
    assert week.share("soup.1", "supper.plate") == 10


def test_a_lot_takes_shelves_until_it_is_used_and_its_age_counts_from_when_it_was_made() -> None:
    """Best within 6 h; made an hour before planning begins at tick 40."""
    soup = component(
        "soup", COOK, keeps=keep("24 h", "chilled", best_until="6 h", per_shelf="3 portions")
    )
    week = with_lots(lot("tub", "10 portions", f"{EVE} 19:00"), soup=soup)
    (hold,) = week.holds("share")
    assert hold.start.task == HORIZON_START and hold.shelves == 4
    (link,) = [x for x in week.problem.links if x.before.task == HORIZON_START]
    assert link.band is not None
    made = 19 * 60
    assert (link.least, link.most) == (38, (made + 24 * 60) // 30)
    assert (link.band.low, link.band.high) == (made, made + 6 * 60)


def test_what_may_not_be_mixed_takes_one_lot_that_is_enough_or_none() -> None:
    soup = component("soup", COOK, keeps=keep("24 h", "chilled"), mixing=False)
    week = with_lots(
        lot("small", "4 portions", f"{EVE} 18:30"),
        lot("large", "12 portions", f"{EVE} 19:00"),
        soup=soup,
    )
    assert week.share("large", "supper.plate") == 10
    assert week.share("small", "supper.plate") == 0


# -- in progress -------------------------------------------------------------------------


def begun(step_time: Any, started: str, plan_from: str, **rest: Any) -> Week:
    pumpkin = component(
        "pumpkin",
        step("pack", "1 h", hands=1),
        step("ferment", step_time, **rest.pop("ferment", {})),
        step("decant", "30 min", hands=1),
    )
    entry = {
        "id": "monday-tub",
        "component": "pumpkin",
        "quantity": "6 portions",
        "step": "ferment",
        "started": started,
        **rest,
    }
    return Week(week_of(pumpkin, week={"plan_from": plan_from, "in_progress": [entry]}))


def test_what_is_running_already_is_supply_before_anything_new_is_begun() -> None:
    week = begun("20 h", f"{EVE} 12:00", f"{EVE} 20:00")
    assert week.share("monday-tub", "supper.plate") == 6
    assert week.share("pumpkin.1", "supper.plate") == 4
    assert week.batch("monday-tub").in_progress


def test_the_running_step_goes_on_from_now_and_is_shorter_by_what_has_passed() -> None:
    """20 to 24 h since 12:00; at 20:00 there are 12 to 16 h left, 24 to 32 half hours."""
    week = begun(span("20 h", "24 h"), f"{EVE} 12:00", f"{EVE} 20:00")
    run = week.task("monday-tub/ferment:run")
    assert (run.least, run.most) == (24, 32)
    assert run.stretch is not None and run.stretch.high == (20 - 8) * 60
    (pin,) = [
        x for x in week.problem.links if x.after == week.point("monday-tub/ferment:run.start")
    ]
    assert (pin.before.task, pin.least, pin.most) == (HORIZON_START, 40, 40)
    assert week.order("monday-tub") == ["ferment:run", "decant:run"]


def test_the_next_visit_is_counted_from_the_last_one_before_the_week() -> None:
    tend = {"tend": [{"time": "30 min", "every": "12 h", "give_or_take": "2 h"}]}
    week = begun(
        span("30 h"), f"{EVE} 02:00", f"{EVE} 20:00", ferment=tend, last_visit=f"{EVE} 14:00"
    )
    (tending,) = [t for t in week.problem.tends if t.since]
    assert (tending.since, tending.gap) == (12, (20, 28))


def test_a_running_step_that_should_be_over_is_refused() -> None:
    with pytest.raises(BadInput):
        begun("2 h", f"{EVE} 12:00", f"{EVE} 20:00")


def test_what_runs_stands_where_the_week_says() -> None:
    pumpkin = component(
        "pumpkin",
        step("ferment", "20 h", on=[{"equipment": "tub"}]),
    )
    entry = {
        "id": "monday-tub",
        "component": "pumpkin",
        "quantity": "10 portions",
        "step": "ferment",
        "started": f"{EVE} 12:00",
        "on": ["tub-2"],
    }
    week = Week(
        week_of(
            pumpkin,
            equipment=[{"id": "tub", "units": 3}],
            week={"plan_from": f"{EVE} 20:00", "in_progress": [entry]},
        )
    )
    (use,) = week.uses("monday-tub/ferment:run")
    assert week.resource(use) == "tub-2"


# -- it needs itself -----------------------------------------------------------------------


def starter(on_hand: str | None) -> Week:
    """Each batch of bread takes a starter; a starter takes a fifth of its size of starter."""
    ripen = step("ripen", "6 h", takes=[take("starter", "2 portions")])
    document = week_of(
        component("starter", ripen, keeps=keep("30 h")),
        component(
            "bread",
            step("bake", "1 h", hands=1, takes=[take("starter", "5 portions")]),
            keeps=keep("8 h"),
        ),
        dishes=[dish("plate", "bread")],
        events=[event("lunch", "12:00", "plate"), event("supper", f"{DAY} 22:00", "plate")],
        week={
            "on_hand": []
            if on_hand is None
            else [
                {"id": "jar", "component": "starter", "quantity": on_hand, "made": f"{EVE} 00:00"}
            ]
        },
    )
    return Week(document)


def test_a_starter_begins_from_what_is_on_hand() -> None:
    """Two breads take 5 each (10); a fifth of 10 comes out of the jar."""
    week = starter("2 portions")
    assert week.batch("starter.1").quantity == 10
    assert week.share("jar", "starter.1") == 2


def test_a_starter_without_anything_to_begin_from_is_refused() -> None:
    with pytest.raises(BadInput):
        starter(None)


def test_no_batch_ever_feeds_itself() -> None:
    week = starter("4 portions")
    assert all(s.source != s.consumer for s in week.work.shares)


def test_a_starter_too_old_by_the_first_baking_is_kept_going_by_a_batch_in_between() -> None:
    """The jar is good until Thursday 16:00 (made 00:00, keeps 16 h).

    The starter for Friday's 18:00 bread has to begin by 11:00 on Friday: one
    batch in between, ready up to 8 h before, begins at 21:00 on Thursday, too
    late for the jar; a second one before it begins in time.
    """
    ripen = step("ripen", "6 h", takes=[take("starter", "1 portion")])
    bread = step("bake", "1 h", hands=1, takes=[take("starter", "5 portions")])
    jar = {"id": "jar", "component": "starter", "quantity": "2 portions", "made": f"{EVE} 00:00"}
    week = Week(
        week_of(
            component("starter", ripen, keeps=keep("16 h")),
            component("bread", bread, keeps=keep("8 h")),
            week={"on_hand": [jar]},
        )
    )
    chain = {s.consumer: s.source for s in week.work.shares if s.component == "starter"}
    assert chain == {
        "bread.1": "starter.3",
        "starter.3": "starter.2",
        "starter.2": "starter.1",
        "starter.1": "jar",
    }


def test_a_starter_that_can_no_longer_be_fed_in_time_is_no_bad_input() -> None:
    """Planning begins at 14:00; the starter for 18:00 bread had to begin at 11:00.

    What is in the jar is too young for that and too little for the bread.
    """
    ripen = step("ripen", "6 h", takes=[take("starter", "1 portion")])
    bread = step("bake", "1 h", hands=1, takes=[take("starter", "5 portions")])
    jar = {"id": "jar", "component": "starter", "quantity": "3 portions", "made": f"{DAY} 12:00"}
    week = Week(
        week_of(
            component("starter", ripen, keeps=keep("16 h"), mixing=False),
            component("bread", bread, keeps=keep("8 h")),
            week={"on_hand": [jar], "plan_from": f"{DAY} 14:00"},
        )
    )
    found = {m.batch: m.why for m in certify(week.scenario, week.work, week.compiled)}
    assert found["starter.1"].startswith("must begin by Fri 7 May 11:00")
    assert found["bread.1"] == "it cannot be made without starter.1"
