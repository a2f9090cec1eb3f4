"""Doors, all in together, trays, goods that keep apart, clean-down: a tiny week for each."""

from __future__ import annotations

from typing import Any

from scheduler.domain.reading import scenario_of
from tests.weeks.checks import (
    finds_no_place,
    keeps_the_rule,
    model_key,
    problem_of,
    served,
    task,
)
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

# -- semantics 20: the door stays shut --------------------------------------------------


def choux_and_rolls(shut: bool, plan_from: str = f"{EVE} 00:00") -> Document:
    need: dict[str, Any] = {"equipment": "steamer", "door_shut": shut}
    return week_of(
        component("choux", step("puff", "60 min", on=[need])),
        component("rolls", step("warm", "30 min", on=[{"equipment": "steamer"}])),
        equipment=[kind("steamer", capacity=6)],
        week={"plan_from": plan_from},
    )


def test_choux_fall_when_somebody_opens_the_door() -> None:
    plan = keeps_the_rule(choux_and_rolls(True), choux_and_rolls(False), "door-shut")
    choux, rolls = task(plan, "choux.1/puff"), task(plan, "rolls.1/warm")
    assert rolls.end <= choux.start or choux.end <= rolls.start
    assert plan.terms.quality == 30


def test_rolls_are_missing_where_only_an_open_door_would_let_them_in() -> None:
    finds_no_place(choux_and_rolls(True, f"{DAY} 17:00"), "choux.1", "rolls.1")
    served(choux_and_rolls(False, f"{DAY} 17:00"))


def test_what_was_in_before_may_stay_in_behind_the_door() -> None:
    week = choux_and_rolls(True)
    week["components"][1]["steps"][0]["time"] = "3 h"
    plan = served(week)
    assert plan.terms.quality == 0


# -- semantics 20: all in together ------------------------------------------------------


def chilled(together: bool, mousse: str | Document, plan_from: str = f"{EVE} 00:00") -> Document:
    def made(name: str, time: str | Document) -> Document:
        return component(name, step("blast", time, on=[{"equipment": "blast-chiller"}]))

    return week_of(
        made("mousse", mousse), made("terrine", "2 h"),
        equipment=[kind("blast-chiller", capacity=6, shut_while_running=together)],
        week={"plan_from": plan_from},
    )  # fmt: skip


def test_what_is_blast_chilled_together_goes_in_and_comes_out_together() -> None:
    long = span("1 h", "2 h")
    plan = keeps_the_rule(chilled(True, long), chilled(False, long), "door-shut")
    mousse, terrine = task(plan, "mousse.1/blast"), task(plan, "terrine.1/blast")
    assert (mousse.start, mousse.end) == (terrine.start, terrine.end)
    assert plan.terms.quality == 60


def test_a_mousse_that_may_not_stay_as_long_is_chilled_by_itself() -> None:
    plan = keeps_the_rule(chilled(True, "1 h"), chilled(False, "1 h"), "door-shut")
    mousse, terrine = task(plan, "mousse.1/blast"), task(plan, "terrine.1/blast")
    assert mousse.end <= terrine.start or terrine.end <= mousse.start


def test_two_turns_of_the_blast_chiller_do_not_fit_into_two_and_a_half_hours() -> None:
    finds_no_place(chilled(True, "1 h", f"{DAY} 15:30"), "mousse.1", "terrine.1")
    served(chilled(False, "1 h", f"{DAY} 15:30"))


# -- trays of two families --------------------------------------------------------------


def duck_and_tart(tray: str, plan_from: str = f"{EVE} 00:00") -> Document:
    def baked(name: str, on: str) -> Document:
        return component(name, step("bake", "60 min", on=[in_oven(180, tray=on, amount=2)]))

    combi = oven(alone="yes", capacity=1)
    combi["holds"] = {"gn": 5, "sheet": 4}
    return week_of(
        baked("duck", "gn"), baked("tart", tray), equipment=[combi],
        week={"plan_from": plan_from},
    )  # fmt: skip


def test_sheets_do_not_go_between_gastronorm_trays() -> None:
    plan = keeps_the_rule(duck_and_tart("sheet"), duck_and_tart("gn"), "trays")
    duck, tart = task(plan, "duck.1/bake"), task(plan, "tart.1/bake")
    assert duck.end <= tart.start or tart.end <= duck.start
    assert [x.amount for t in (duck, tart) for x in t.taken] == [2, 2]


def test_an_hour_and_a_half_is_too_short_for_two_racks_of_trays() -> None:
    finds_no_place(duck_and_tart("sheet", f"{DAY} 16:00"), "duck.1", "tart.1")
    served(duck_and_tart("gn", f"{DAY} 16:00"))


def buns(holds: dict[str, int]) -> Document:
    combi = oven(capacity=1)
    combi["holds"] = holds
    bake = step("bake", "60 min", in_loads=True, on=[in_oven(200, tray="sheet", per="2 portions")])
    return week_of(component("buns", bake), equipment=[combi])


def test_a_load_is_as_many_sheets_as_the_oven_holds_of_sheets() -> None:
    """Ten portions are five sheets; of gastronorm trays there would be room for ten."""
    real, other = buns({"gn": 10, "sheet": 4}), buns({"gn": 10, "sheet": 5})
    plan = keeps_the_rule(real, other, "equipment-full")
    assert len([t for t in plan.tasks if t.step == "bake"]) == 2


# -- goods that keep apart --------------------------------------------------------------


def fish_and_cream(*apart: str, drawer: bool = True) -> Document:
    def kept(name: str, **rest: Any) -> Document:
        return component(
            name, step("make", "30 min", hands=1),
            keeps=keep("12 h", "chilled", not_before="2 h"), **rest,
        )  # fmt: skip

    stores = [store("walk-in", "chilled", 9)]
    if drawer:
        stores.append(store("fish-drawer", "chilled", 9))
    return week_of(kept("fish", not_beside=list(apart)), kept("cream"), stores=stores)


def test_cream_does_not_stand_where_the_fish_is() -> None:
    plan = keeps_the_rule(fish_and_cream("cream"), fish_and_cream(), "beside")
    assert len({h.store for h in plan.holds}) == 2
    assert plan.terms.quality == served(fish_and_cream()).terms.quality


def test_one_room_is_not_enough_for_fish_and_cream() -> None:
    finds_no_place(fish_and_cream("cream", drawer=False), "fish.1", "cream.1")
    served(fish_and_cream(drawer=False))


def crate_and_cream(*apart: str, drawer: bool = True) -> Document:
    """A crate of fish comes in the morning and stands until it is filleted for the plate."""
    cream = component(
        "cream", step("make", "30 min", hands=1),
        keeps=keep("12 h", "chilled", not_before="2 h"), not_beside=list(apart),
    )  # fmt: skip
    fillet = component(
        "fillet",
        step("cut", "30 min", hands=1, takes=[{"ingredient": "trout", "amount": "1 kg"}]),
    )
    stores = [store("walk-in", "chilled", 9)]
    if drawer:
        stores.append(store("fish-drawer", "chilled", 9))
    crate = {
        "id": "crate", "ingredient": "trout", "at": f"{DAY} 08:00", "quantity": "1 kg",
        "zone": "chilled", "shelves": 1,
    }  # fmt: skip
    return week_of(cream, fillet, stores=stores, week={"deliveries": [crate]})


def test_cream_does_not_stand_where_the_crate_of_fish_is() -> None:
    plan = keeps_the_rule(crate_and_cream("trout"), crate_and_cream(), "beside")
    assert len({h.store for h in plan.holds if h.store}) == 2
    served(crate_and_cream(drawer=False))


def test_thawed_fish_is_fish_beside_cream() -> None:
    """It keeps away in every state, and leaves behind what it is."""
    week = fish_and_cream(drawer=False)
    cream = week["components"][1]
    cream["not_beside"] = ["fish"]
    week["components"][0]["states"] = [
        {"id": "thawed", "steps": [step("thaw", "30 min")],
         "keeps": [keep("12 h", "chilled", not_before="2 h")]}
    ]  # fmt: skip
    week["components"][0]["keeps"] = [keep("12 h")]
    week["dishes"][0]["takes"][0]["state"] = "thawed"
    finds_no_place(week, "fish-thawed.1", "cream.1", "fish.1")


def in_one_oven(*apart: str, one_room: bool = True) -> Document:
    oven_ = oven(one_room=one_room)
    oven_["one_room"] = oven_["heat"].pop("one_room")

    def baked(name: str, **rest: Any) -> Document:
        return component(name, step("bake", "60 min", on=[in_oven(100)]), **rest)

    return week_of(baked("fish"), baked("meringue", not_beside=list(apart)), equipment=[oven_])


def test_meringue_does_not_dry_beside_the_fish() -> None:
    plan = keeps_the_rule(in_one_oven("fish"), in_one_oven(), "beside")
    fish, meringue = task(plan, "fish.1/bake"), task(plan, "meringue.1/bake")
    assert fish.end <= meringue.start or meringue.end <= fish.start
    assert plan.terms.quality == 60


def test_at_separate_places_fish_and_meringue_do_not_mind_each_other() -> None:
    assert served(in_one_oven("fish", one_room=False)).terms.quality == 0


# -- semantics 22, 23: clean-down --------------------------------------------------------

ANA = cook("ana", may_use=["stone"])
GONE = cook("bea", "08:00-18:00", may_use=["stone"], off=[EVE, DAY])
"""The only one who could clean, and she is away."""


def pastes(
    clean: Document | None,
    people: list[Document] | None = None,
    stones: int = 1,
    plan_from: str = f"{EVE} 00:00",
    load: Document | None = None,
    **leaves: list[str],
) -> Document:
    """Two pastes, two hours on the stone each, that nobody need be at."""

    def paste(name: str) -> Document:
        more: dict[str, Any] = {"load": load} if load and name == "sesame" else {}
        rest: dict[str, Any] = {"leaves": leaves[name]} if name in leaves else {}
        return component(
            name, step("grind", "2 h", on=[{"equipment": "stone"}], **more), makes="2 kg", **rest
        )

    stone = kind("stone", units=stones, fill="5 kg")
    if clean is not None:
        stone["clean_down"] = {"hands": [{"may_use": ["stone"]}], **clean}
    return week_of(
        paste("sesame"), paste("pumpkin"),
        dishes=[
            {"id": "plate", "section": "pass", "plating": {"per_hour": 600},
             "takes": [take("sesame", "100 g"), take("pumpkin", "100 g")]}
        ],
        equipment=[stone], people=people or [ANA], week={"plan_from": plan_from},
    )  # fmt: skip


HOUR: Document = {"verb": "brush and flush with oil", "time": "60 min"}


def test_sesame_is_brushed_off_the_stone_before_pumpkin_seed_goes_on() -> None:
    plan = keeps_the_rule(pastes(HOUR), pastes(None), "clean-down")
    (done,) = plan.clean_downs
    one, two = (next(t for t in plan.tasks if t.id == i) for i in (done.after, done.before))
    assert (one.end, two.start) == (done.start, done.end)
    assert done.people in {("ana",), ("pia",)} and done.verb == "brush and flush with oil"
    assert plan.terms.quality == 180


def test_two_grinds_and_the_hour_between_them_do_not_fit_into_four_and_a_half_hours() -> None:
    finds_no_place(pastes(HOUR, plan_from=f"{DAY} 13:30"), "sesame.1", "pumpkin.1")
    served(pastes(None, plan_from=f"{DAY} 13:30"))


def test_a_stone_that_nobody_can_clean_grinds_one_paste_only() -> None:
    finds_no_place(pastes(HOUR, [cook("ana"), GONE]), "sesame.1", "pumpkin.1")


def test_what_may_be_in_the_next_paste_need_not_be_brushed_off() -> None:
    """Nobody can clean, so the paste that has both in it comes last."""
    both = {"pumpkin": ["sesame", "pumpkin"]}
    plan = served(pastes(HOUR, [cook("ana"), GONE], **both))
    assert plan.clean_downs == ()
    assert task(plan, "sesame.1/grind").end <= task(plan, "pumpkin.1/grind").start


def test_with_a_stone_for_each_nobody_has_to_clean() -> None:
    plan = served(pastes(HOUR, [cook("ana"), GONE], stones=2))
    assert plan.clean_downs == () and plan.terms.quality == 0


def test_the_one_who_cleans_is_at_nothing_else() -> None:
    """Salad must be made by ana just when the stone would best be brushed."""
    def week(clean: Document | None) -> Document:
        document = pastes(clean)
        document["components"].append(
            component("salad", step("wash", "60 min", hands=1), keeps=keep("2 h", not_before="2 h"))
        )
        document["dishes"][0]["takes"].append(take("salad"))
        return document

    free = {**HOUR, "hands": [{"section": "pass"}]}
    plan = keeps_the_rule(week(HOUR), week(free), "may-use")
    (done,) = plan.clean_downs
    wash = task(plan, "salad.1/wash")
    assert done.people == ("ana",) and (done.end <= wash.start or wash.end <= done.start)


def test_cleaning_waits_for_somebody_only_where_the_kitchen_says_so() -> None:
    """Sesame goes on at eight, and whoever cleans comes in the afternoon."""
    people = [
        cook("ana", "08:00-08:30", days=DAY),
        cook("bea", "14:00-15:00", days=DAY, may_use=["stone"]),
    ]
    early = visit("30 min")
    finds_no_place(pastes(HOUR, people, load=early), "sesame.1", "pumpkin.1")
    plan = served(pastes({**HOUR, "when": "before use"}, people, load=early))
    (done,) = plan.clean_downs
    assert done.people == ("bea",) and done.start > task(plan, "sesame.1/grind").end


def test_loads_of_one_paste_follow_each_other_on_an_uncleaned_stone() -> None:
    week = pastes(HOUR, [cook("ana"), GONE], sesame=["seed"], pumpkin=["seed"])
    week["kitchen"]["equipment"][0]["fill"] = "500 g"
    for paste in week["components"]:
        paste["steps"][0]["in_loads"] = True
    plan = served(week)
    assert plan.clean_downs == () and len([t for t in plan.tasks if t.step == "grind"]) == 4


def test_cleaning_in_overtime_is_overtime() -> None:
    """Pumpkin seed keeps an hour, so the stone is brushed from three to four; ana is off at two."""
    week = pastes(HOUR, [cook("ana", "08:00-14:00", may_use=["stone"], overtime={"at_end": "3 h"})])
    for paste in week["components"]:
        paste["keeps"] = [keep("3 h")]
    week["kitchen"]["equipment"][0]["clean_down"]["hands"] = [{"section": "stove"}]
    week["kitchen"]["costs"] = {"overtime_hour": 30}
    plan = served(week)
    (done,) = plan.clean_downs
    assert done.people == ("ana",) and plan.terms.money > 0
    assert model_key(problem_of(scenario_of(week)))[0][:1] == (0,)
