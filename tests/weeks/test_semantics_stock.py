"""Events that share, lots, what is running, deliveries and starters: a tiny week for each."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from tests.weeks.checks import finds_no_place, keeps_the_rule, planned, served, task
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    dish,
    event,
    keep,
    made,
    span,
    step,
    take,
    visit,
    week_of,
)

MORNING = cook("ana", "08:00-12:00", days=DAY)


# -- semantics 28 -------------------------------------------------------------------


def two_events(limit: str, hours: str = "08:00-20:00") -> Document:
    return week_of(
        made("stock", keep(limit, best_until=limit)),
        dishes=[dish("plate", "stock")],
        events=[event("lunch", f"{EVE} 20:00", "plate"), event("supper", "20:00", "plate")],
        people=[cook("ana", hours)],
    )


def test_events_close_together_share_a_batch_and_others_do_not() -> None:
    """A day apart: three days' keeping is one batch, twenty hours' is two."""
    shared, apart = served(two_events("72 h")), served(two_events("20 h"))
    assert [b.id for b in shared.batches if b.component] == ["stock.1"]
    assert sorted(b.id for b in apart.batches if b.component) == ["stock.1", "stock.2"]
    keeps_the_rule(two_events("20 h"), two_events("72 h"), "hold-limit")


def test_a_shared_batch_that_finds_no_place_leaves_both_events_short() -> None:
    document = two_events("72 h")
    document["kitchen"]["people"][1]["off"] = [EVE, DAY]
    plan = finds_no_place(document, "stock.1")
    assert {u.event for u in plan.unserved} == {"lunch", "supper"}


# -- semantics 29 -------------------------------------------------------------------


def from_the_walk_in(
    quantity: str, ana: Document = MORNING, at: str = f"{EVE} 00:00", **lot: Any
) -> Document:
    return week_of(
        component(
            "paste", step("grind", span("0 min", plus="12 min", per="1 portion"), hands=1),
            keeps=keep("48 h", "chilled", best_until="48 h"),
        ),
        dishes=[dish("plate", "paste"), dish("bowl", "paste")],
        people=[ana],
        events=[event("lunch", "13:00", "plate"), event("supper", "18:00", "bowl")],
        week={"on_hand": [
            {"id": "jar", "component": "paste", "quantity": quantity, "made": at,
             "store": "walk-in", **lot}
        ]},
    )  # fmt: skip


def test_a_jar_gives_what_is_in_it_and_no_more() -> None:
    plan = keeps_the_rule(from_the_walk_in("5 portions"), from_the_walk_in("20 portions"), "given")
    assert sum(s.quantity.base for s in plan.shares if s.source == "jar") == 5


def test_a_jar_kept_for_supper_is_not_opened_at_lunch() -> None:
    keeps_the_rule(
        from_the_walk_in("20 portions", reserved_for="supper"), from_the_walk_in("20 portions"),
        "reserved",
    )  # fmt: skip


def test_a_spoonful_of_the_old_jar_is_not_stirred_into_the_new_where_lots_stay_apart() -> None:
    def apart(mixing: bool) -> Document:
        document = from_the_walk_in("15 portions")
        document["components"][0]["mixing"] = mixing
        return document

    plan = keeps_the_rule(apart(False), apart(True), "mixing")
    assert len({(s.source, s.consumer) for s in plan.shares}) == 2


def test_what_is_lost_is_weighed_up_on_top() -> None:
    """Twenty less a fifth are sixteen: for twenty, twenty-five are ground: five hours."""
    def lossy(loss: str) -> Document:
        ana = cook("ana", "06:00-12:00", days=DAY)
        document = from_the_walk_in("1 portion", ana)
        document["components"][0] |= {"loss": loss}
        document["week"]["on_hand"] = []
        return document

    plan = keeps_the_rule(lossy("20 %"), lossy("0 %"), "losses")
    assert [b.quantity.base for b in plan.batches if b.component] == [25]
    finds_no_place(lossy("50 %"), "paste.1")


def test_a_jar_past_its_limit_is_not_used() -> None:
    plan = keeps_the_rule(
        from_the_walk_in("20 portions", at="2027-05-05 08:00"),
        from_the_walk_in("20 portions", at="2027-05-06 00:00"),
        "hold-limit",
    )
    used = [s.consumer for s in plan.shares if s.source == "jar"]
    assert used == []


def test_paste_is_missing_when_the_jar_is_not_enough_and_nobody_can_make_more() -> None:
    nobody = {**MORNING, "off": [DAY]}
    plan = finds_no_place(from_the_walk_in("5 portions", nobody), "paste.1")
    assert sum(u.portions for u in plan.unserved) == 15


def test_what_nobody_takes_of_a_lot_is_told() -> None:
    plan = served(from_the_walk_in("30 portions"))
    spare = [h for h in plan.holds if h.kind == "spare"]
    assert [h.quantity.base for h in spare] == [10]


# -- semantics 31 -------------------------------------------------------------------


def running(started: str, service: str = "18:00") -> Document:
    return week_of(
        component(
            "miso",
            step("mix", "60 min", hands=1),
            step("ferment", span("20 h", "24 h", decides="it"), then={"at_most": "10 h"}),
            step("press", "60 min", hands=1),
            keeps=keep("24 h", best_until="24 h"),
        ),
        people=[cook("ana", "06:00-22:00")],
        service=service,
        week={"in_progress": [
            {"id": "tub", "component": "miso", "quantity": "10 portions", "step": "ferment",
             "started": started}
        ]},
    )  # fmt: skip


def test_what_began_before_the_week_is_pressed_when_it_is_done() -> None:
    plan = keeps_the_rule(
        running("2027-05-05 20:00", f"{EVE} 22:00"), running("2027-05-05 10:00", f"{EVE} 22:00"),
        "begun",
    )  # fmt: skip
    press = task(plan, "tub/press")
    assert press.start >= 20 * 60
    assert not any(t.step == "mix" for t in plan.tasks)


def test_what_is_still_fermenting_at_service_is_not_served() -> None:
    document = running("2027-05-05 20:00", f"{EVE} 18:00")
    plan = planned(document)
    assert [u.portions for u in plan.unserved] == [10]


def running_and_fed(last_visit: str) -> Document:
    return week_of(
        component(
            "miso",
            step("mix", "60 min", hands=1),
            step("ferment", "30 h",
                 tend=[visit("30 min", every="12 h", give_or_take="60 min")]),
            keeps=keep("24 h", best_until="24 h"),
        ),
        people=[cook("ana")],
        service="06:00",
        week={"in_progress": [
            {"id": "tub", "component": "miso", "quantity": "10 portions", "step": "ferment",
             "started": "2027-05-05 18:00", "last_visit": last_visit}
        ]},
    )  # fmt: skip


def test_what_was_fed_before_the_week_is_fed_again_in_time() -> None:
    plan = keeps_the_rule(
        running_and_fed("2027-05-05 19:00"), running_and_fed("2027-05-05 23:30"), "tending"
    )
    first = task(plan, "tub/ferment").visits[0]
    assert 6 * 60 <= first.start <= 8 * 60


# -- semantics 32 -------------------------------------------------------------------


def fish(at: str, quantity: str | None = None, **rest: Any) -> Document:
    arrives = {"id": "van", "ingredient": "fish", "at": at, **rest}
    if quantity:
        arrives["quantity"] = quantity
    return week_of(
        component(
            "tartare",
            step("cut", "60 min", hands=1, takes=[{"ingredient": "fish", "amount": "2 kg"}]),
            keeps=keep("24 h", best_from="9 h", best_until="12 h"),
        ),
        people=[cook("ana", "06:00-18:00", days=DAY)],
        week={"deliveries": [arrives]},
    )  # fmt: skip


def test_nothing_is_cut_before_it_is_delivered() -> None:
    keeps_the_rule(fish(f"{DAY} 10:00"), fish(f"{DAY} 06:00"), "delivery")


def test_tartare_is_missing_when_the_van_comes_too_late() -> None:
    finds_no_place(fish(f"{DAY} 17:30"), "tartare.1")


def test_a_van_with_too_little_is_not_enough() -> None:
    keeps_the_rule(
        fish(f"{DAY} 10:00", "2 kg"), fish(f"{DAY} 10:00", "2 kg", in_house="2 kg"), "delivery"
    )
    finds_no_place(fish(f"{DAY} 06:00", "1 kg"), "tartare.1")


# -- semantics 58 -------------------------------------------------------------------


def bread(on_hand: str | None) -> Document:
    """A leaven needs a tenth of itself."""
    lot = {"id": "crock", "component": "leaven", "quantity": on_hand, "made": f"{EVE} 00:00"}
    return week_of(
        component(
            "leaven",
            step("feed", "30 min", hands=1, takes=[take("leaven", "1 portion")]),
            step("ripen", "6 h"),
            keeps=keep("48 h", best_until="48 h"),
        ),
        dishes=[dish("loaf", "leaven")],
        people=[cook("ana", "06:00-18:00")],
        week={"on_hand": [lot]} if on_hand else {},
    )  # fmt: skip


def test_a_leaven_is_fed_from_what_stands_in_the_crock() -> None:
    plan = served(bread("1 portion"))
    assert task(plan, "leaven.1/ripen").end <= task(plan, "supper.loaf/plating").start
    assert ("crock", "leaven.1") in {(s.source, s.consumer) for s in plan.shares}
    keeps_the_rule(bread("1 portion"), bread("20 portions"), "given")


def test_a_leaven_with_nothing_to_begin_from_is_an_input_error() -> None:
    with pytest.raises(BadInput):
        scenario_of(bread(None))


def test_a_cake_is_not_told_to_anybody_without_the_curd_that_nobody_can_make() -> None:
    """Every plan on the way leaves both out, the first one too; the dish goes short of cake."""
    curd = made("curd", keep("2 h"), section="larder")
    cake = component("cake", step("fill", "60 min", hands=1, takes=[take("curd", "10 portions")]))
    ben = cook("ben", "20:00-22:00", sections={"larder": "cook"}, days=DAY)
    plan = finds_no_place(week_of(curd, cake, people=[cook("ana"), ben]), "curd.1")
    assert {m.batch for m in plan.missing} == {"curd.1", "cake.1"}
