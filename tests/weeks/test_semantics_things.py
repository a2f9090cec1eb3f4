"""By-products, states, crates and washed containers: a tiny week for each, planned and read."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.plan.by import By
from scheduler.plan.file import Verdicts
from scheduler.plan.show import show
from scheduler.plan.summary import summarise
from tests.weeks.checks import finds_no_place, keeps_the_rule, problem_of, served, task
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
    step,
    store,
    take,
    week_of,
)

# -- semantics 30: by-products --------------------------------------------------------

DRAIN = step("drain", "10 h", gives=[{"component": "whey", "amount": "5 portions"}])


def with_whey(
    limit: str = "24 h",
    given: str = "5 portions",
    takes: str = "4 portions",
    steps: tuple[Document, ...] = (),
    shelf: str = "2 portions",
    **rest: Any,
) -> Document:
    """Drained yoghurt, at its best after 6 h, and caramel of its whey, best at once."""
    drain = DRAIN | {"gives": [{"component": "whey", "amount": given}]}
    return week_of(
        component("yoghurt", drain, step("season", "30 min", hands=1),
                  keeps=keep("12 h", "chilled", best_from="6 h", best_until="12 h")),
        component("whey", *steps,
                  keeps=keep(limit, "chilled", best_until=limit, per_shelf=shelf)),
        component("caramel", step("cook", "1 h", hands=1, takes=[take("whey", takes)]),
                  keeps=keep("24 h", best_until="1 h")),
        dishes=[dish("plate", "yoghurt", "caramel")],
        **rest,
    )  # fmt: skip


def test_caramel_is_cooked_while_the_whey_is_good() -> None:
    plan = keeps_the_rule(with_whey("2 h"), with_whey("24 h"), "hold-limit")
    drained, cooked = task(plan, "yoghurt.1/drain"), task(plan, "caramel.1/cook")
    assert drained.end <= cooked.start <= drained.end + 120


def test_a_drain_gives_no_more_whey_than_there_is_in_it() -> None:
    """Seven portions of whey: with five in the bowl the rest is drained for nothing else."""
    lacking, enough = with_whey(takes="7 portions"), with_whey(takes="7 portions", given="9 pieces")
    plan = served(lacking)
    assert sorted(b.id for b in plan.batches if b.component == "yoghurt") == [
        "yoghurt.1", "yoghurt.2",
    ]  # fmt: skip
    keeps_the_rule(lacking, enough, "by-product")


def test_whey_that_stands_takes_its_shelves_and_poured_away_it_takes_none() -> None:
    """One shelf is the yoghurt's: two of whey find no room beside it, and nobody's need none."""
    room = {"stores": [store("walk-in", "chilled", 2)]}
    plan = keeps_the_rule(
        with_whey(**room), with_whey(shelf="9 portions", **room), "shelves"
    )
    (whey,) = [h for h in plan.holds if h.by_product == "whey"]
    (own,) = [h for h in plan.holds if h.source == "yoghurt.1" and not h.by_product]
    assert whey.end <= own.start or whey.start == whey.end
    nobody = with_whey(given="50 portions", **room)
    nobody["dishes"][0]["takes"] = [take("yoghurt")]
    nobody["dishes"].append(dish("sweet", "caramel"))  # on no menu
    assert not [h for h in served(nobody).holds if h.by_product]


def test_the_summary_says_what_is_poured_away_and_the_tables_what_waits() -> None:
    document = with_whey(given="7 portions")
    scenario, plan = scenario_of(document), served(document)
    text = summarise(scenario, plan, Verdicts(valid=True, served=True))
    assert "Nobody takes: whey 3 pieces." in text
    assert "Left over" not in text
    table = "\n".join(show(scenario, plan, By.EQUIPMENT))
    assert "whey (yoghurt), 4 pieces: waits" in table


def test_whey_is_made_where_it_can_be_and_yoghurt_hung_for_it_where_it_cannot() -> None:
    boil = step("boil", "30 min", hands=1)
    assert {b.component for b in served(with_whey(takes="9 portions", steps=(boil,))).batches} == {
        None, "yoghurt", "caramel", "whey",
    }  # fmt: skip


def test_a_plate_goes_short_of_caramel_when_the_yoghurt_that_gives_its_whey_is_left_out() -> None:
    ana = cook("ana", "12:00-18:00", days=DAY)
    nobody = with_whey(people=[ana])
    nobody["components"][0]["steps"][0]["load"] = {"time": "30 min", "hands": [{"level": "lead"}]}
    nobody["kitchen"]["people"].append(
        cook("lea", "12:00-18:00", sections={"stove": "lead"}, days=DAY)
    )
    plan = finds_no_place(nobody, "yoghurt.1")
    assert {m.batch for m in plan.missing} >= {"yoghurt.1", "caramel.1"}


# -- semantics 56: states -------------------------------------------------------------


def parfait(limit: str = "1 h", freezer: int = 8, amount: str = "1 portion") -> Document:
    """Set on Thursday, frozen, best out of the freezer soon, tempered out before it is eaten."""
    frozen = {
        "id": "frozen", "steps": [step("freeze", "2 h", on=[{"zone": "frozen"}])],
        "keeps": [keep("10 d", "frozen", per_shelf="5 portions")],
    }  # fmt: skip
    tempered = {
        "id": "tempered", "of": "frozen",
        "steps": [step("temper", "30 min", hands=1)],
        "keeps": [keep(limit, best_until=limit)],
    }  # fmt: skip
    base = component(
        "parfait", step("whip", "30 min", hands=1), keeps=keep("30 min"),
        states=[frozen, tempered],
    )  # fmt: skip
    taken = take("parfait", amount, state="tempered")
    return week_of(
        base, dishes=[dish("plate", taken)], stores=[store("freezer", "frozen", freezer)],
        people=[cook("ana", "08:00-12:00", "16:00-18:00", days=DAY)],
    )


def test_what_is_tempered_out_waits_no_longer_than_that_state_keeps() -> None:
    plan = keeps_the_rule(parfait("1 h"), parfait("12 h"), "hold-limit")
    assert [t.id for t in plan.tasks if "parfait" in t.id] == [
        "parfait-tempered.1/temper", "parfait-frozen.1/freeze", "parfait.1/whip",
    ]  # fmt: skip
    assert task(plan, "parfait-tempered.1/temper").start >= 40 * 60  # after 16:00


def test_each_state_takes_its_own_room() -> None:
    stands = {h.source: (h.store, h.shelves) for h in served(parfait()).holds}
    assert stands["parfait-frozen.1"] == ("freezer", 2)
    assert stands["parfait-tempered.1"] == (None, 0)
    assert finds_no_place(parfait(freezer=1), "parfait-frozen.1").unserved


def test_a_frozen_parfait_on_hand_need_only_be_tempered() -> None:
    document = parfait()
    document["week"]["on_hand"] = [
        {"id": "old", "component": "parfait", "state": "frozen", "quantity": "10 portions",
         "made": f"{EVE} 00:00", "store": "freezer"}
    ]  # fmt: skip
    plan = served(document)
    assert [b.id for b in plan.batches if b.component] == ["parfait-tempered.1"]


def test_a_terrine_is_cut_into_so_many_portions_of_what_it_weighs() -> None:
    """Twelve slices of a kilogram: ten plates and two to spare weigh up a kilogram."""
    terrine = component(
        "terrine", step("bake", "1 h", hands=1), keeps=keep("24 h"), makes="1 kg",
        states=[{"id": "cut", "makes": "12 pieces", "out_of": "1 kg", "batch": {"least": "12"},
                 "steps": [step("slice", "30 min", hands=1)], "keeps": [keep("4 h")]}],
    )  # fmt: skip
    document = week_of(terrine, dishes=[dish("plate", take("terrine", "1 piece", state="cut"))])
    document["components"][0]["states"][0]["batch"] = {"least": "12 pieces"}
    weighed = {b.component: str(b.quantity) for b in served(document).batches}
    assert (weighed["terrine-cut"], weighed["terrine"]) == ("12 pieces", "1 kg")


# -- semantics 32: what is delivered ---------------------------------------------------


def fish(limit: str | None = "12 h", shelves: int = 6, walk_in: int = 8, **rest: Any) -> Document:
    """Crates come on Thursday at eight; the fish is best cured an hour before it is eaten."""
    crates = {
        "id": "crates", "ingredient": "fish", "at": f"{EVE} 08:00", "quantity": "6 kg",
        "zone": "chilled", "shelves": shelves,
    }  # fmt: skip
    cured = component(
        "cured", step("cure", "1 h", hands=1, takes=[{"ingredient": "fish", "amount": "6 kg"}]),
        keeps=keep("48 h", best_until="1 h"),
    )  # fmt: skip
    return week_of(
        cured, *rest.pop("components", ()), dishes=rest.pop("dishes", [dish("plate", "cured")]),
        stores=[store("walk-in", "chilled", walk_in)],
        week={"deliveries": [crates | ({"at_most": limit} if limit else {})]}, **rest,
    )


def test_fish_is_cured_before_its_own_limit_though_later_would_be_fresher() -> None:
    plan = keeps_the_rule(fish("12 h"), fish("2 d"), "use-by")
    assert task(plan, "cured.1/cure").start <= 20 * 60


def test_crates_fill_the_walk_in_until_they_are_used() -> None:
    """Three shelves of soup beside six of crates: eight do not hold them both."""
    soup = made("soup", keep("24 h", "chilled", best_from="12 h", best_until="24 h",
                             per_shelf="4 portions"))  # fmt: skip
    rest: dict[str, Any] = {"components": (soup,), "dishes": [dish("plate", "cured", "soup")]}
    plan = keeps_the_rule(fish("2 d", **rest), fish("2 d", shelves=1, **rest), "shelves")
    (crates,) = [h for h in plan.holds if h.kind == "delivered"]
    (soup_hold,) = [h for h in plan.holds if h.source == "soup.1"]
    assert crates.shelves == 6
    assert soup_hold.start >= crates.end


def test_crates_that_the_walk_in_cannot_hold_leave_no_fish() -> None:
    ana = cook("ana", "08:00-18:00", days=DAY)
    served(fish("2 d", people=[ana]))
    assert finds_no_place(fish("2 d", shelves=9, people=[ana]), "cured.1").unserved


# -- semantics 16: washed and dry ------------------------------------------------------


def domes(
    washed: Document | None, supper: str = "16:00", count: int = 2, **rest: Any
) -> Document:
    """Two moulds, each for ten: lunch and supper both want them all."""
    mould: Document = {"id": "mould", "capacity": count}
    if washed is not None:
        mould["washed"] = washed
    dome = component(
        "dome",
        step("pour", "30 min", hands=1,
             on=[{"equipment": "mould", "per": "10 portions", "until": "unmould"}]),
        step("set", "60 min"), step("unmould", "30 min", hands=1),
        keeps=keep("12 h", best_until="1 h"),
    )  # fmt: skip
    return week_of(
        dome, dishes=[dish("plate", "dome")], equipment=[mould],
        events=[event("lunch", "13:00", "plate", guests=20),
                event("supper", supper, "plate", guests=20)],
        **rest,
    )  # fmt: skip


WASH: Document = {"time": "30 min", "dry": "60 min", "hands": [{"section": "stove"}]}


def test_moulds_are_poured_again_only_when_they_are_washed_and_dry() -> None:
    plan = keeps_the_rule(domes(WASH), domes(None), "container")
    first, second = sorted(
        (t for t in plan.tasks if t.step == "pour"), key=lambda t: t.start
    )
    wash = next(t for t in plan.tasks if t.batch == first.batch and t.step == "wash-mould")
    assert second.start >= wash.end
    assert wash.end - wash.law_start == 60
    assert [v.people for v in wash.visits] == [("ana",)]
    assert wash.quantity.base == 2


def test_moulds_nobody_washes_leave_nothing_to_pour_into() -> None:
    scullion = cook("sol", "08:00-16:00", sections={"scullery": "trainee"}, off=[EVE, DAY])
    nobody = domes(
        WASH | {"hands": [{"section": "scullery", "level": "trainee"}]},
        people=[cook("ana"), scullion],
    )
    nobody["kitchen"]["sections"].append({"id": "scullery"})
    assert finds_no_place(nobody, "dome.1", "dome.2").unserved


def test_moulds_are_not_left_dirty_for_longer_than_the_kitchen_allows() -> None:
    """The cook who may wash comes at 20:00; lunch's moulds may not wait for her."""
    late = cook("sol", "20:00-22:00", sections={"scullery": "trainee"}, days=DAY)

    def within(limit: str) -> Document:
        document = domes(
            WASH | {"hands": [{"section": "scullery", "level": "trainee"}], "within": limit},
            count=4, people=[cook("ana"), late],
        )
        document["kitchen"]["sections"].append({"id": "scullery"})
        return document

    served(within("12 h"))
    finds_no_place(within("3 h"), "dome.1", "dome.2")


def puddings(washed: Document | None, begin: str, bowls: int = 10) -> Document:
    """Thirty puddings for six o'clock, ten in the steamer at a time."""
    bowl: Document = {"id": "bowl", "units": bowls}
    if washed is not None:
        bowl["washed"] = washed
    in_bowls = [{"equipment": "bowl", "per": "1 portion", "until": "turn-out"},
                {"equipment": "funnel", "per": "10 portions"}]  # fmt: skip
    pudding = component(
        "pudding",
        step("fill", "30 min", hands=1, in_loads=True, waves=True, on=in_bowls),
        step("steam", "60 min", in_loads=True, waves=True,
             on=[{"equipment": "steamer", "per": "10 portions"}]),
        step("turn-out", "30 min", hands=1, in_loads=True,
             on=[{"equipment": "tray", "per": "10 portions"}]),
        keeps=keep("12 h"),
    )  # fmt: skip
    return week_of(
        pudding, guests=30, people=[cook("ana", f"{begin}-23:00", days=DAY)],
        equipment=[bowl, {"id": "funnel"}, {"id": "steamer"}, {"id": "tray"}],
    )  # fmt: skip


def test_bowls_too_few_for_all_loads_are_washed_between_one_load_and_the_next() -> None:
    """Filled, steamed, turned out, washed and dry before the next load: nine o'clock till six."""
    plan = keeps_the_rule(puddings(WASH, "09:00"), puddings(None, "09:00"), "container")
    for load in (1, 2):
        washed = task(plan, f"pudding.1/wash-bowl/{load}")
        assert task(plan, f"pudding.1/turn-out/{load}").end <= washed.start
        assert washed.end <= task(plan, f"pudding.1/fill/{load + 1}").start
    finds_no_place(puddings(WASH, "09:30"), "pudding.1")


def test_bowls_for_two_loads_let_the_second_begin_before_the_first_are_dry() -> None:
    plan = keeps_the_rule(puddings(WASH, "10:00", 20), puddings(None, "10:00", 20), "container")
    first, third = task(plan, "pudding.1/wash-bowl/1"), task(plan, "pudding.1/fill/3")
    assert task(plan, "pudding.1/fill/2").start < first.end <= third.start


def test_loads_are_tried_in_turn_with_their_washing_where_bowls_are_few() -> None:
    """For three loads at once nothing has to be washed in between, unless others have the bowls."""

    def rows(bowls: int) -> list[str]:
        problem = problem_of(scenario_of(puddings(WASH, "09:00", bowls)))
        [turns] = [batch.turns for batch in problem.batches if batch.turns]
        short = {f"pudding.1/{step}/{n}:{part}": step[0] + str(n) for n in (1, 2, 3)
                 for step, part in (("fill", "run"), ("wash-bowl", "load"))}  # fmt: skip
        names = [[short.get(problem.tasks[t].id) for t in order] for order in turns]
        return [" ".join(name for name in row if name) for row in names]

    assert rows(10) == ["f1 w1 f2 w2 f3"]
    assert rows(20) == ["f1 f2 w1 f3", "f1 w1 f2 w2 f3"]
    assert rows(30) == ["f1 w1 f2 w2 f3"]


def test_tubs_emptied_half_way_are_washed_beside_what_follows() -> None:
    """The dough leaves its tub after two hours and is baked for six: there is time to wash it."""
    dough = component(
        "dough",
        step("mix", "30 min", hands=1, on=[{"equipment": "tub", "until": "shape"}]),
        step("rise", "60 min"), step("shape", "30 min", hands=1), step("bake", "6 h"),
        keeps=keep("60 min", best_until="60 min"),
    )  # fmt: skip
    wash = {"time": "30 min", "dry": "30 min", "hands": [{"section": "stove"}]}
    document = week_of(
        dough, dishes=[dish("plate", "dough")], equipment=[{"id": "tub", "washed": wash}],
        events=[event("lunch", "13:00", "plate"), event("supper", "16:00", "plate")],
    )
    loose = deepcopy(document)
    del loose["kitchen"]["equipment"][0]["washed"]
    plan = keeps_the_rule(document, loose, "container")
    wash, baked = task(plan, "dough.1/wash-tub"), task(plan, "dough.1/bake")
    assert baked.start <= wash.start
    assert wash.end <= task(plan, "dough.2/mix").start < baked.end
