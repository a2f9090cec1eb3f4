"""Steps, loads, waits and shares in a row: links, costs and shelves."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.workload.primitives import HORIZON_END
from tests.weeks.tiny import (
    component,
    dish,
    event,
    in_oven,
    keep,
    kind,
    oven,
    span,
    step,
    take,
    visit,
    week_of,
)
from tests.workload.weeks import Week

DECK = kind("deck", fill="4 portions")
BENCH = kind("bench", fill="4 portions")


def one(*steps: dict[str, Any], **rest: Any) -> Week:
    """Ten portions of one component; loads of four are three: 3 + 3 + 4."""
    equipment = rest.pop("equipment", [DECK, BENCH])
    return Week(week_of(component("rolls", *steps, **rest), equipment=equipment))


def in_loads(name: str, machine: str = "deck", **rest: Any) -> dict[str, Any]:
    return step(name, "1 h", in_loads=True, on=[{"equipment": machine}], **rest)


# -- waits ------------------------------------------------------------------------------


def test_without_a_wait_the_next_step_follows_at_once() -> None:
    week = one(step("mix", "1 h"), step("bake", "1 h"))
    assert week.bounds("rolls.1/mix:run.end", "rolls.1/bake:run.start") == (0, 0)


def test_a_wait_has_bounds_a_best_band_and_shelves() -> None:
    """Not before 40 min (-> 60), at most 200 (-> 180), best 1 to 2 h; 4 portions on a shelf."""
    wait = keep(
        "200 min",
        "chilled",
        not_before="40 min",
        best_from="1 h",
        best_until="2 h",
        per_shelf="4 portions",
    )
    week = one(step("mix", "1 h", then=wait), step("bake", "1 h"), weight=2)
    (link,) = week.links("rolls.1/mix:run.end", "rolls.1/bake:run.start")
    assert (link.least, link.most) == (2, 6)
    assert link.band is not None
    assert (link.band.low, link.band.high, link.band.weight) == (60, 120, 2)
    (hold,) = week.holds("wait")
    assert (hold.shelves, hold.start, hold.end) == (3, link.before, link.after)


def test_a_wait_where_the_food_decides_runs_from_the_shortest() -> None:
    """Ripe in 5 to 8 h: of a wait of 6 h at most 3 h are left after the longest."""
    ripen = step("ripen", span("5 h", "8 h", decides="it"), then=keep("6 h"))
    week = one(ripen, step("bake", "1 h"))
    assert week.bounds("rolls.1/ripen:run.end", "rolls.1/bake:run.start") == (0, 6)


def test_a_wait_shorter_than_what_the_food_may_take_longer_is_refused() -> None:
    ripen = step("ripen", span("5 h", "8 h", decides="it"), then=keep("2 h"))
    with pytest.raises(BadInput):
        one(ripen, step("bake", "1 h"))


def test_what_waits_in_its_machine_keeps_the_machine() -> None:
    braise = step("braise", "3 h", on=[in_oven(90)], then={"at_most": "5 h", "in_machine": True})
    week = one(braise, step("lift", "30 min", hands=1), equipment=[oven()])
    (use,) = week.uses("rolls.1/braise:run")
    assert use.end == week.point("rolls.1/lift:run.start")
    (hold,) = week.holds("wait")
    assert hold.use is None and hold.machine is not None


# -- loads ---------------------------------------------------------------------------------


def test_loads_start_in_order_and_the_next_step_waits_for_all_of_them() -> None:
    week = one(in_loads("bake", then=keep("4 h")), step("cool", "1 h"))
    assert week.order("rolls.1") == ["bake/1:run", "bake/2:run", "bake/3:run", "cool:run"]
    assert week.bounds("rolls.1/bake/1:run.start", "rolls.1/bake/2:run.start") == (0, None)
    for load in (1, 2, 3):
        assert week.bounds(f"rolls.1/bake/{load}:run.end", "rolls.1/cool:run.start") == (0, 8)


def test_early_loads_take_their_own_shelves_while_they_wait() -> None:
    week = one(
        in_loads("bake", then=keep("4 h", "dry", per_shelf="2 portions")), step("cool", "1 h")
    )
    assert [(h.load, h.quantity, h.shelves) for h in week.holds("wait")] == [
        (1, 3, 2),
        (2, 3, 2),
        (3, 4, 2),
    ]


def test_one_load_before_several_waits_part_by_part() -> None:
    week = one(step("mix", "1 h", then=keep("4 h", "chilled")), in_loads("bake"))
    ends = [week.point(f"rolls.1/bake/{n}:run.start") for n in (1, 2, 3)]
    assert [h.end for h in week.holds("wait")] == ends
    assert week.bounds("rolls.1/mix:run.end", "rolls.1/bake/1:run.start")[0] == 0
    assert week.bounds("rolls.1/mix:run.end", "rolls.1/bake/3:run.start")[1] == 8


def test_waves_pass_each_load_on_by_itself() -> None:
    """Tray 1 bakes while tray 2 is piped: A1 B1 A2 B2 A3 B3."""
    week = one(in_loads("pipe", "bench", waves=True, then=keep("1 h")), in_loads("bake"))
    assert week.order("rolls.1") == [
        "pipe/1:run",
        "bake/1:run",
        "pipe/2:run",
        "bake/2:run",
        "pipe/3:run",
        "bake/3:run",
    ]
    assert week.bounds("rolls.1/pipe/2:run.end", "rolls.1/bake/2:run.start") == (0, 2)
    assert not week.links("rolls.1/pipe/3:run.end", "rolls.1/bake/1:run.start")


def test_waves_into_another_number_of_loads_are_refused() -> None:
    with pytest.raises(BadInput):
        one(in_loads("pipe", "bench", waves=True, then=keep("1 h")), step("bake", "1 h"))


def test_a_share_is_there_with_the_last_load_and_ages_from_the_first() -> None:
    week = one(in_loads("bake"), keeps=keep("6 h", "dry"))
    start = "supper.plate/plating:run.start"
    assert week.links("rolls.1/bake/3:run.end", start)[0].least == 0
    (limit,) = week.links("rolls.1/bake/1:run.end", start)
    assert limit.most == 12 and limit.band is not None
    assert week.bounds("rolls.1/bake/2:run.end", "rolls.1/bake/3:run.end") == (0, None)
    loads = week.holds("loads")
    assert [h.load for h in loads] == [1, 2]
    assert {h.end for h in loads} == {week.point("rolls.1/bake/3:run.end")}


# -- shares -----------------------------------------------------------------------------------


def test_a_share_waits_from_ready_to_the_start_of_what_takes_it() -> None:
    """Hold 1 to 24 h, best 2 to 8 h; 4 portions on a shelf; loading begins the consumer."""
    soup = component(
        "soup",
        step("cook", "1 h", hands=1),
        keeps=keep(
            "24 h",
            "chilled",
            not_before="1 h",
            best_from="2 h",
            best_until="8 h",
            per_shelf="4 portions",
        ),
    )
    warm = step("warm", "1 h", load=visit("30 min"), takes=[take("soup")])
    week = Week(week_of(soup, dishes=[dish("plate", steps=[warm])]))
    (link,) = week.links("soup.1/cook:run.end", "supper.plate/warm:load.start")
    assert (link.least, link.most) == (2, 48)
    assert link.band is not None and (link.band.low, link.band.high) == (120, 480)
    (hold,) = week.holds("share")
    assert (hold.shelves, hold.start, hold.end) == (3, link.before, link.after)


def test_each_share_rounds_its_shelves_up_by_itself() -> None:
    soup = component(
        "soup", step("cook", "1 h"), keeps=keep("24 h", "chilled", per_shelf="8 portions")
    )
    document = week_of(
        soup,
        dishes=[dish("plate", "soup")],
        events=[event("lunch", "17:00", "plate"), event("supper", "18:00", "plate", guests=3)],
    )
    assert [h.shelves for h in Week(document).holds("share")] == [2, 1]


def test_what_a_step_takes_fresh_tightens_the_hold() -> None:
    soup = component("soup", step("cook", "1 h"), keeps=keep("24 h"))
    week = Week(week_of(soup, dishes=[dish("plate", take("soup", within="0 min"))]))
    assert week.bounds("soup.1/cook:run.end", "supper.plate/plating:run.start") == (0, 0)


def test_a_hold_after_what_the_food_decides_runs_from_the_shortest() -> None:
    """Tender in 10 to 13 h, keeps 12 h: 9 h after the longest."""
    soup = component("soup", step("braise", span("10 h", "13 h", decides="it")), keeps=keep("12 h"))
    week = Week(week_of(soup))
    assert week.bounds("soup.1/braise:run.end", "supper.plate/plating:run.start") == (0, 18)


def test_a_share_may_stand_in_any_store_that_keeps_it_as_long() -> None:
    soup = component("soup", step("cook", "1 h"))
    soup["keeps"] = [keep("24 h", "chilled"), keep("24 h", "dry")]
    week = Week(week_of(soup))
    (hold,) = week.holds("share")
    assert hold.use is not None
    stores = {
        week.problem.resources[o.resource].id for o in week.options(week.problem.uses[hold.use])
    }
    assert stores == {"walk-in", "rack"}


def test_a_component_is_not_made_without_what_feeds_it_but_a_dish_goes_out_incomplete() -> None:
    soup = component("soup", step("cook", "1 h", takes=[take("stock")]))
    week = Week(week_of(component("stock", step("boil", "1 h")), soup))
    batch = {b.id: b for b in week.problem.batches}
    assert batch["soup.1"].inputs == (week.compiled.batch["stock.1"],)
    assert batch["supper.plate"].inputs == ()


def test_a_leftover_that_is_kept_takes_shelves_to_the_end_of_the_week() -> None:
    soup = component(
        "soup",
        step("cook", "1 h"),
        keeps=keep("24 h", "chilled", per_shelf="4 portions"),
        batch={"least": "15 portions"},
        leftover="kept",
    )
    (hold,) = Week(week_of(soup)).holds("leftover")
    assert (hold.quantity, hold.shelves, hold.end.task) == (5, 2, HORIZON_END)


def test_a_short_way_to_the_next_step_needs_no_shelf() -> None:
    week = Week(
        week_of(
            component("soup", step("cook", "1 h", then=keep("2 h", "dry")), step("pack", "1 h")),
            kitchen={"transfer": "45 min"},
        )
    )
    (hold,) = week.holds("wait")
    assert hold.use is not None and week.problem.uses[hold.use].grace == 1


# -- ovens -----------------------------------------------------------------------------------


def test_an_oven_may_be_set_to_any_lowest_value_its_users_ask_for() -> None:
    """85 to 90 and 88 to 95 can share 88; 180 can share neither."""
    steps = [
        step("one", "1 h", on=[in_oven(85, 90)]),
        step("two", "1 h", on=[in_oven(88, 95)]),
        step("three", "1 h", on=[in_oven(180)]),
    ]
    week = one(*steps, equipment=[oven()])

    def values(name: str) -> list[int]:
        (use,) = week.uses(f"rolls.1/{name}:run")
        resource = week.problem.resources[0]
        return [resource.states[o.state][1] for o in week.options(use) if o.state is not None]

    assert values("one") == [85, 88]
    assert values("two") == [88]
    assert values("three") == [180]


def test_an_oven_needs_time_between_two_values_and_from_cold() -> None:
    """80 to 240 at 4 °C a minute: 40 min -> 2 half hours; down at 10: 16 min -> 1; cold: 55."""
    steps = [step("one", "1 h", on=[in_oven(80)]), step("two", "1 h", on=[in_oven(240)])]
    week = one(*steps, equipment=[oven(up=4, down=10)])
    resource = week.problem.resources[0]
    assert resource.states == (("dry", 80), ("dry", 240))
    assert resource.setup == ((0, 2), (1, 0))
    assert resource.initial == (1, 2)


def test_a_change_never_takes_longer_than_going_cold_does() -> None:
    steps = [step("one", "1 h", on=[in_oven(40)]), step("two", "1 h", on=[in_oven(240)])]
    week = one(*steps, equipment=[oven(up=10, down=1, goes_cold_after="1 h")])
    resource = week.problem.resources[0]
    assert resource.setup == ((0, 1), (3, 0))  # cooling would take 200 min
