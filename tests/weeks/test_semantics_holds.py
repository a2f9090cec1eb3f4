"""Stores, shelves, shares, limits and meeting streams: a tiny week for each."""

from __future__ import annotations

from typing import Any

from tests.weeks.checks import finds_no_place, keeps_the_rule, served, task
from tests.weeks.tiny import (
    DAY,
    Document,
    component,
    cook,
    dish,
    event,
    keep,
    made,
    span,
    step,
    store,
    take,
    visit,
    week_of,
)

MORNING = cook("ana", "08:00-12:00", days=DAY)
BOTH = [MORNING, cook("ben", "16:00-18:00", days=DAY)]


# -- semantics 18 -------------------------------------------------------------------


def carried_across(transfer: str) -> Document:
    """Two creams, one shelf: one of them waits half an hour for the other's hands."""
    return week_of(
        made("red", keep("2 h", "chilled")),
        component("white", step("make", "30 min", hands=1), keeps=keep("2 h", "chilled")),
        people=[cook("ana", "08:00-18:00", days=DAY)],
        stores=[store("walk-in", "chilled", 1)],
        kitchen={"transfer": transfer, "duties": [
            {"id": "bar", "days": ["daily"], "hours": "16:30-18:00",
             "stores": [{"store": "walk-in", "shelves": 1}]},
        ]},
    )  # fmt: skip


def test_half_an_hour_at_the_bench_needs_a_shelf_unless_the_kitchen_allows_it() -> None:
    """With the walk-in full, one of two creams made by one cook has no place."""
    plan = served(carried_across("30 min"))
    assert plan.terms.quality == 30
    assert all(not h.shelves for h in plan.holds)
    finds_no_place(carried_across("0 min"), "red.1", "white.1")


def brief(transfer: str) -> Document:
    document = carried_across(transfer)
    document["kitchen"]["duties"] = []
    return document


def test_a_hold_longer_than_the_transfer_stands_on_a_shelf() -> None:
    keeps_the_rule(brief("0 min"), brief("30 min"), "store-zone")


# -- semantics 19 -------------------------------------------------------------------


def kept_in(zone: str, shelves: int, people: list[Document]) -> Document:
    return week_of(
        made("ham", keep("24 h", zone, per_shelf="5 portions")),
        people=people,
        stores=[store("walk-in", "chilled", shelves), store("rack", "dry", 2)],
    )


def test_what_keeps_cold_does_not_stand_on_the_rack() -> None:
    """Three shelves' worth is spread over no two stores, and over no zone but its own."""
    keeps_the_rule(kept_in("chilled", 2, [MORNING]), kept_in("dry", 2, [MORNING]), "store-zone")


def test_what_finds_no_shelf_is_missing() -> None:
    finds_no_place(kept_in("chilled", 1, [MORNING]), "ham.1")


def test_one_hold_stands_in_one_store() -> None:
    """Two shelves in two cold stores are not one place for a hold of two shelves."""
    document = kept_in("chilled", 1, [MORNING])
    document["kitchen"]["stores"].append(store("cold-room", "chilled", 1))
    finds_no_place(document, "ham.1")


def either_way(*zones: str) -> Document:
    document = kept_in("chilled", 1, [MORNING])
    document["components"][0]["keeps"] = [keep("24 h", z, per_shelf="5 portions") for z in zones]
    return document


def test_where_it_keeps_in_two_ways_the_one_with_room_is_taken() -> None:
    plan = served(either_way("chilled", "dry"))
    assert {h.store for h in plan.holds} == {"rack"}


# -- semantics 25, 26 ---------------------------------------------------------------


def portioned(amount: str, people: list[Document] | None = None) -> Document:
    return week_of(
        component(
            "ragout", step("cook", span("0 min", plus="10 min", per="1 portion"), hands=1),
        ),
        dishes=[dish("plate", take("ragout", amount))],
        people=people or [cook("ana", "08:00-18:00", days=DAY)],
    )  # fmt: skip


def test_every_portion_gets_what_the_recipe_says() -> None:
    plan = keeps_the_rule(portioned("2 portions"), portioned("1 portion"), "shares")
    assert [s.quantity.base for s in plan.shares] == [20]


def test_more_than_can_be_cooked_in_a_shift_is_missing() -> None:
    finds_no_place(
        portioned("2 portions", [cook("ana", "15:00-18:00", days=DAY)]), "ragout.1"
    )


def on_shelves(per_shelf: str, shelves: int, people: list[Document] | None = None) -> Document:
    """Two dishes share a ham; each share has shelves of its own."""
    return week_of(
        made("ham", keep("24 h", "chilled", per_shelf=per_shelf, best_until="24 h")),
        dishes=[dish("plate", "ham"), dish("board", "ham")],
        people=people or BOTH,
        stores=[store("walk-in", "chilled", shelves)],
        events=[event("supper", "18:00", {"dish": "plate"}, {"dish": "board", "after": "60 min"})],
    )


def test_each_share_takes_shelves_of_its_own() -> None:
    """Two shares of ten on shelves of fifteen are two shelves, not one and a third."""
    plan = keeps_the_rule(
        on_shelves("15 portions", 2), on_shelves("5 portions", 4), "shelves"
    )
    assert [h.shelves for h in plan.holds if h.kind == "share"].count(1) == len(
        [h for h in plan.holds if h.kind == "share" and h.end > h.start]
    )


def test_two_shares_do_not_stand_on_one_shelf() -> None:
    finds_no_place(on_shelves("15 portions", 1, [MORNING]), "supper.plate", "supper.board")


# -- semantics 27 -------------------------------------------------------------------


def held(keeps: Document, people: list[Document] | None = None, **take_: Any) -> Document:
    plate = dish("plate", take("mousse", **take_))
    return week_of(made("mousse", keeps), dishes=[plate], people=people or BOTH)


def test_nothing_is_used_past_its_limit() -> None:
    """Best after seven hours, but it keeps for three: the afternoon's cook makes it."""
    plan = keeps_the_rule(
        held(keep("3 h", best_from="3 h")), held(keep("24 h", best_from="7 h")), "hold-limit"
    )
    assert task(plan, "mousse.1/make").visits[0].people == ("ben",)


def test_mousse_that_would_be_too_old_is_missing() -> None:
    finds_no_place(held(keep("3 h"), [MORNING]), "mousse.1")


def test_what_a_dish_wants_fresh_is_fresh() -> None:
    band = {"best_from": "7 h"}
    keeps_the_rule(
        held(keep("24 h", **band), within="60 min"), held(keep("24 h", **band)), "within"
    )


def test_what_a_dish_wants_fresh_and_cannot_have_is_missing() -> None:
    finds_no_place(held(keep("24 h"), [MORNING], within="60 min"), "mousse.1")


def test_a_limit_ends_when_it_becomes_part_of_something_else() -> None:
    """Curd keeps two hours; the cake that takes it keeps a day, and is eaten seven hours on."""
    cake = component(
        "cake", step("fill", "60 min", hands=1, takes=[take("curd", "10 portions")]),
    )  # fmt: skip
    plan = served(week_of(made("curd", keep("2 h")), cake, people=[MORNING]))
    assert task(plan, "supper.plate/plating").start - task(plan, "curd.1/make").end > 120


# -- semantics 34 -------------------------------------------------------------------


def meeting(within: str | None, ben: str) -> Document:
    """Two streams for one bowl, each made by somebody else."""
    rest: dict[str, Any] = {"within": within} if within else {}
    base = made("base", keep("24 h", best_until="24 h"))
    foam = made("foam", keep("24 h", best_from="2 h"), section="larder")
    return week_of(
        base, foam, dishes=[dish("bowl", "base", take("foam", **rest))],
        people=[MORNING, cook("ben", ben, sections={"larder": "cook"}, days=DAY)],
    )  # fmt: skip


def test_two_streams_meet_at_the_bowl_at_once() -> None:
    plan = keeps_the_rule(
        meeting("0 min", "08:00-18:00"), meeting(None, "08:00-18:00"), "within"
    )
    assert task(plan, "foam.1/make").end == task(plan, "supper.bowl/plating").start


def test_a_stream_that_cannot_meet_is_missing() -> None:
    finds_no_place(meeting("0 min", "08:00-17:00"), "foam.1")


# -- what is left over, and what is ready ----------------------------------------------


def test_leftover_that_is_kept_takes_its_shelf() -> None:
    """A batch never smaller than twenty portions, ten wanted, one shelf until the week ends."""
    def kept(leftover: str) -> Document:
        return week_of(
            made("chutney", keep("24 h", "chilled", per_shelf="10 portions"),
                 batch={"least": "20 portions"}, leftover=leftover),
            made("slaw", keep("24 h", "chilled", per_shelf="10 portions"), section="larder"),
            dishes=[dish("plate", "chutney"), dish("late", "slaw")],
            events=[event("supper", "18:00", {"dish": "plate"}, {"dish": "late", "after": "3 h"})],
            people=[cook("ana", "16:00-18:00", days=DAY),
                    cook("ben", "17:00-19:00", sections={"larder": "cook"}, days=DAY)],
            stores=[store("walk-in", "chilled", 1)],
        )  # fmt: skip

    plan = served(kept("goes"))
    assert not any(h.kind == "leftover" for h in plan.holds)
    finds_no_place(kept("kept"), "chutney.1", "slaw.1")


def test_something_loaded_waits_for_hands() -> None:
    """A visit's hands and the wait before it: unloading is what makes it ready."""
    plan = served(
        week_of(
            component("roast", step("roast", "60 min", unload=visit("30 min"))),
            people=[cook("ana", "08:00-17:00", days=DAY)],
        )
    )
    assert task(plan, "roast.1/roast").end == 17 * 60 + 24 * 60
    assert plan.terms.quality == 60
