"""Units, needs, containers, ovens and loads: a tiny week for each."""

from __future__ import annotations

from typing import Any

from tests.weeks.checks import finds_no_place, keeps_the_rule, served, task
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    in_oven,
    keep,
    kind,
    oven,
    span,
    step,
    store,
    take,
    visit,
    week_of,
)

ONLY_AFTERNOON = [cook("ana", "14:00-18:00", days=DAY), cook("bea", "14:00-18:00", days=DAY)]

# -- semantics 14 -------------------------------------------------------------------


def two_pastes(small: str, hours: str = "08:00-18:00") -> Document:
    def paste(name: str) -> Document:
        return component(
            name, step("grind", "60 min", hands=1, on=[{"equipment": "grinder"}]), makes="8 kg"
        )

    return week_of(
        paste("harissa"), paste("zhoug"),
        dishes=[
            {"id": "plate", "section": "pass", "plating": {"per_hour": 600},
             "takes": [take("harissa", "800 g"), take("zhoug", "800 g")]}
        ],
        people=[cook("ana", hours, days=DAY), cook("bea", hours, days=DAY)],
        equipment=[
            kind("grinder", units=[{"id": "small", "fill": small},
                                   {"id": "large", "fill": "10 kg"}])
        ],
    )  # fmt: skip


def test_eight_kilos_do_not_go_into_the_five_kilo_grinder() -> None:
    plan = keeps_the_rule(two_pastes("5 kg"), two_pastes("8 kg"), "fill")
    assert {x.unit for t in plan.tasks for x in t.taken} == {"large"}


def test_two_pastes_do_not_fit_into_one_hour_of_the_large_grinder() -> None:
    finds_no_place(two_pastes("5 kg", "17:00-18:00"), "harissa.1", "zhoug.1")


def test_a_named_machine_is_the_one_that_is_used() -> None:
    def on(name: str) -> Document:
        return week_of(
            component("mince", step("mince", "60 min", hands=1, on=[{"equipment": name}])),
            equipment=[
                kind("mincer", units=[{"id": "old"}, {"id": "new"}]),
            ],
            kitchen={"duties": [
                {"id": "bar", "days": ["daily"], "hours": "15:00-18:00",
                 "equipment": [{"equipment": "old"}]}
            ]},
        )  # fmt: skip

    plan = keeps_the_rule(on("old"), on("mincer"), "equipment")
    assert plan.terms.quality == 180


# -- semantics 15 -------------------------------------------------------------------


def bench_and_mixer(*needs: str, keeps: Document | None = None) -> Document:
    return week_of(
        component(
            "dough", step("mix", "60 min", hands=1, on=[{"equipment": n} for n in needs]),
            keeps=keeps,
        ),
        equipment=[kind("bench", capacity=2), kind("mixer")],
        kitchen={"duties": [
            {"id": "bar", "days": ["daily"], "hours": "14:00-18:00",
             "equipment": [{"equipment": "mixer"}]}
        ]},
    )  # fmt: skip


def test_dough_takes_a_place_at_the_bench_and_the_mixer_too() -> None:
    keeps_the_rule(bench_and_mixer("bench", "mixer"), bench_and_mixer("bench"), "equipment")


def test_dough_is_missing_when_the_mixer_is_taken_as_long_as_it_would_keep() -> None:
    finds_no_place(bench_and_mixer("bench", "mixer", keeps=keep("3 h")), "dough.1")


def two_trays(per: str, capacity: int, people: list[Document] | None = None) -> Document:
    def roasted(name: str) -> Document:
        return component(
            name, step("roast", "2 h", load=visit("30 min"), on=[in_oven(180, per=per)])
        )

    return week_of(roasted("duck"), roasted("goose"), people=people or [
        cook("ana"), cook("bea")], equipment=[oven(capacity=capacity)])  # fmt: skip


def test_an_oven_has_so_many_trays_and_no_more() -> None:
    plan = keeps_the_rule(two_trays("5 portions", 3), two_trays("5 portions", 4), "equipment-full")
    assert plan.terms.quality == 150


def test_two_roasts_do_not_fit_into_the_afternoon_of_one_oven() -> None:
    finds_no_place(two_trays("5 portions", 3, ONLY_AFTERNOON), "duck.1", "goose.1")


def test_a_tray_counts_for_what_lies_on_it() -> None:
    keeps_the_rule(two_trays("4 portions", 5), two_trays("5 portions", 5), "equipment")


def two_creams(shelves: int, plan_from: str = f"{EVE} 00:00") -> Document:
    def cream(name: str) -> Document:
        return component(name, step("set", "4 h", on=[{"zone": "chilled"}]), keeps=keep("24 h"))

    return week_of(
        cream("vanilla"), cream("coffee"), stores=[store("walk-in", "chilled", shelves)],
        week={"plan_from": plan_from},
    )  # fmt: skip


def test_creams_set_one_after_the_other_where_there_is_one_shelf() -> None:
    plan = keeps_the_rule(two_creams(1), two_creams(2), "store-full")
    assert plan.terms.quality == 240


def test_two_creams_do_not_set_on_one_shelf_in_six_hours() -> None:
    finds_no_place(two_creams(1, f"{DAY} 12:00"), "vanilla.1", "coffee.1")


# -- semantics 16 -------------------------------------------------------------------


def two_terrines(moulds: int, until: str | None, plan_from: str = f"{EVE} 00:00") -> Document:
    def terrine(name: str) -> Document:
        need: dict[str, Any] = {"equipment": "mould", "per": "4 portions"}
        if until is not None:
            need["until"] = until
        return component(
            name,
            step("fill", "30 min", hands=1, on=[need],
                 then={"not_before": "3 h", "at_most": "3 h"}),
            step("turn-out", "30 min", hands=1),
        )  # fmt: skip

    return week_of(
        terrine("hare"), terrine("pike"), equipment=[kind("mould", units=moulds)],
        people=[cook("ana"), cook("bea")], week={"plan_from": plan_from},
    )  # fmt: skip


def test_a_mould_is_taken_until_what_is_in_it_is_turned_out() -> None:
    """Three moulds each; of five the second terrine gets its three when the first is out."""
    plan = keeps_the_rule(two_terrines(5, "turn-out"), two_terrines(5, None), "container")
    fills = sorted((t for t in plan.tasks if t.step == "fill"), key=lambda t: t.start)
    assert fills[1].start - fills[0].start == 240
    units = {x.unit for t in fills for x in t.taken}
    assert len(units) == 3


def test_two_terrines_need_six_moulds() -> None:
    keeps_the_rule(two_terrines(5, "turn-out"), two_terrines(6, "turn-out"), "known")
    assert served(two_terrines(6, "turn-out")).terms.quality == 0


def test_a_terrine_without_moulds_in_time_is_missing() -> None:
    finds_no_place(two_terrines(5, "turn-out", f"{DAY} 12:00"), "hare.1", "pike.1")


def standing_moulds(per_shelf: int) -> Document:
    """Six moulds stand while it sets, beside another thing that keeps."""
    return week_of(
        component(
            "jelly",
            step("fill", "30 min", hands=1,
                 on=[{"equipment": "mould", "amount": 6, "until": "turn-out"}],
                 then={"not_before": "3 h", "at_most": "24 h", "best_until": "3 h",
                       "zone": "chilled", "per_shelf": "10 portions"}),
            step("turn-out", "30 min", hands=1),
        ),
        component("salad", step("wash", "30 min", hands=1),
                  keeps=keep("24 h", "chilled", not_before="2 h", per_shelf="10 portions")),
        equipment=[kind("mould", units=6, per_shelf=per_shelf)],
        stores=[store("walk-in", "chilled", 3)],
    )  # fmt: skip


def test_on_the_shelf_the_moulds_count_and_not_what_is_in_them() -> None:
    """Two moulds on a shelf are three shelves, the whole walk-in: the salad must wait for it."""
    plan = keeps_the_rule(standing_moulds(2), standing_moulds(3), "shelves")
    assert max(h.shelves for h in plan.holds if h.kind == "wait") == 3
    assert plan.terms.quality > served(standing_moulds(3)).terms.quality


# -- semantics 17 -------------------------------------------------------------------


def rests_in_the_oven(stays: bool, plan_from: str = f"{EVE} 00:00") -> Document:
    wait: dict[str, Any] = {"not_before": "2 h", "at_most": "2 h"}
    if stays:
        wait["in_machine"] = True
    meat = component(
        "meat",
        step("roast", "60 min", on=[in_oven(180)], then=wait),
        step("carve", "30 min", hands=1),
    )
    bread = component("bread", step("bake", "60 min", on=[in_oven(180)]))
    return week_of(meat, bread, equipment=[oven(capacity=1)], week={"plan_from": plan_from})


def test_what_rests_in_the_oven_keeps_the_oven() -> None:
    plan = keeps_the_rule(rests_in_the_oven(True), rests_in_the_oven(False), "in-machine")
    bake, carve = task(plan, "bread.1/bake"), task(plan, "meat.1/carve")
    assert bake.end <= carve.start - 180 or bake.start >= carve.start


def test_bread_is_missing_when_the_oven_is_kept_by_what_rests_in_it() -> None:
    finds_no_place(rests_in_the_oven(True, f"{DAY} 14:00"), "bread.1", "meat.1")


# -- semantics 20, 21 ---------------------------------------------------------------


def two_settings(hottest: int, people: list[Document] | None = None, **heat: Any) -> Document:
    return week_of(
        component("fish", step("bake", "60 min", load=visit("30 min"), on=[in_oven(120, hottest)])),
        component("tart", step("bake", "60 min", load=visit("30 min"), on=[in_oven(180)])),
        equipment=[oven(**heat)],
        people=people or [cook("ana"), cook("bea")],
    )


def test_fish_and_tart_do_not_share_an_oven_that_one_of_them_cannot_stand() -> None:
    plan = keeps_the_rule(two_settings(150), two_settings(180), "oven-setting")
    one, other = sorted((t for t in plan.tasks if t.step == "bake"), key=lambda t: t.start)
    assert one.end + 6 <= other.start


def test_one_oven_has_one_temperature_at_a_time() -> None:
    plan = keeps_the_rule(
        two_settings(150), two_settings(150, units=2), "oven-shared",
        {"oven-1": "oven", "oven-2": "oven"},
    )  # fmt: skip
    assert plan.terms.quality > 0


def test_two_settings_do_not_fit_into_two_hours() -> None:
    short = [cook(n, "16:00-18:00", days=DAY) for n in ("ana", "bea")]
    finds_no_place(two_settings(150, short), "fish.1", "tart.1")


def test_an_oven_takes_its_time_from_one_temperature_to_the_next() -> None:
    """Sixty degrees at one a minute each way are an hour in which nothing is in it."""
    slow = {"up": 1, "down": 1, "goes_cold_after": "6 h"}
    plan = keeps_the_rule(two_settings(120, **slow), two_settings(120), "oven-heat-up")
    one, other = sorted((t for t in plan.tasks if t.step == "bake"), key=lambda t: t.start)
    assert other.start - one.end >= 60


def test_a_cold_oven_is_not_hot_when_the_week_opens() -> None:
    def early(up: int) -> Document:
        return week_of(
            component("rolls", step("bake", "60 min", on=[in_oven(200)])),
            equipment=[oven(up=up, alone="yes", goes_cold_after="6 h")],
            service="18:00",
            week={"plan_from": f"{DAY} 16:00"},
        )

    served(early(3))
    plan = finds_no_place(early(2), "rolls.1")
    assert "oven" not in {x.unit for t in plan.tasks for x in t.taken}


def test_loaves_join_an_oven_of_a_common_temperature_at_any_time() -> None:
    """Allowed: both in at one temperature inside both ranges, for nothing."""
    assert served(two_settings(180)).terms.quality == 0


# -- semantics 24, 47 ---------------------------------------------------------------


def in_loads(tray: str, people: list[Document] | None = None) -> Document:
    return week_of(
        component(
            "buns",
            step("bake", "60 min", in_loads=True, load=visit("30 min"),
                 on=[in_oven(200, per=tray)]),
        ),
        equipment=[oven(capacity=1)],
        people=people,
    )  # fmt: skip


def test_buns_are_baked_in_as_many_loads_as_they_need() -> None:
    plan = keeps_the_rule(in_loads("5 portions"), in_loads("10 portions"), "loads")
    first, second = task(plan, "buns.1/bake/1"), task(plan, "buns.1/bake/2")
    assert first.end <= second.start
    assert plan.terms.quality == 90


def test_two_loads_do_not_fit_into_two_hours() -> None:
    finds_no_place(in_loads("5 portions", [cook("ana", "16:00-18:00", days=DAY)]), "buns.1")


def test_each_load_counts_its_own_quantity() -> None:
    """Twelve minutes a portion: a load of five takes an hour, not two."""
    plan = served(
        week_of(
            component(
                "buns",
                step("bake", span("0 min", plus="12 min", per="1 portion"), in_loads=True,
                     on=[in_oven(200, per="5 portions")]),
            ),
            equipment=[oven(capacity=1)],
        )
    )  # fmt: skip
    assert [t.law_end - t.law_start for t in plan.tasks if t.step == "bake"] == [60, 60]


def fried_twice(waves: bool) -> Document:
    return week_of(
        component(
            "chips",
            step("blanch", "60 min", in_loads=True, waves=waves,
                 on=[{"equipment": "fryer", "per": "5 portions"}],
                 then={"at_most": "60 min"}),
            step("fry", "60 min", in_loads=True, on=[{"equipment": "pan", "per": "5 portions"}]),
        ),
        equipment=[kind("fryer", capacity=1), kind("pan", capacity=1)],
    )  # fmt: skip


def test_the_next_step_waits_for_the_last_load() -> None:
    """Load for load it would be an hour shorter, but the recipe does not pass its loads on."""
    plan_of_waves = served(fried_twice(True))
    assert task(plan_of_waves, "chips.1/fry/1").start < task(plan_of_waves, "chips.1/blanch/2").end
    finds_no_place(fried_twice(False), "chips.1")


def patient(waves: bool) -> Document:
    document = fried_twice(waves)
    document["components"][0]["steps"][0]["then"] = {"at_most": "2 h"}
    return document


def test_a_second_frying_that_starts_too_soon_is_refused() -> None:
    keeps_the_rule(patient(False), patient(True), "ready")


def whole(pot: str, people: list[Document] | None = None) -> Document:
    return week_of(
        component("stock", step("boil", "60 min", load=visit("30 min"), on=[{"equipment": "pot"}]),
                  makes="10 kg"),
        dishes=[{"id": "plate", "section": "pass", "plating": {"per_hour": 600},
                 "takes": [take("stock", "1 kg")]}],
        equipment=[kind("pot", fill=pot)],
        people=people,
    )  # fmt: skip


def test_a_pot_caps_the_batch() -> None:
    plan = keeps_the_rule(whole("5 kg"), whole("10 kg"), "batch-size")
    assert sorted(b.id for b in plan.batches if b.component) == ["stock.1", "stock.2"]


def test_a_second_pot_of_stock_that_finds_no_time_is_missing() -> None:
    plan = finds_no_place(
        whole("5 kg", [cook("ana", "16:00-18:00", days=DAY)]), "stock.1", "stock.2"
    )
    assert [u.portions for u in plan.unserved] == [5]
