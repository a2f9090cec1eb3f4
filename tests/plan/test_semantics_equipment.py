"""Semantics 14-21, for the second reader: equipment, containers, ovens and stores."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, PlannedTask, Taken
from tests.plan.byhand import (
    batch,
    bowls,
    broken,
    component,
    dish,
    hold,
    on,
    plan,
    plating,
    share,
    step,
    supper,
    task,
    used,
    week,
)

DAY = [{"at_most": "24 h", "best_until": "24 h"}]


def two(made: Scenario, soup: PlannedTask, bread: PlannedTask) -> Plan:
    """A plan of soup and bread for one bowl."""
    return plan(
        made,
        soup,
        bread,
        plating(),
        batches=[batch("soup.1"), batch("bread.1"), bowls()],
        shares=[share(), share("bread.1")],
        holds=[used(soup.end), used(bread.end, source="bread.1")],
    )


def with_bread(soup: dict[str, Any], bread: dict[str, Any], **kitchen: Any) -> Scenario:
    """A week of soup and bread, a step each."""
    both = dish({"component": "soup", "amount": "100 g"}, {"component": "bread", "amount": "100 g"})
    return week(
        component("soup", soup, keeps=DAY),
        component("bread", bread, keeps=DAY),
        dishes=[both],
        **kitchen,
    )


# 14 Units


@pytest.mark.parametrize(
    ("unit", "start", "rules"),
    [
        ("burner-2", "Tue 12:30", set()),
        ("burner-1", "Tue 13:00", set()),
        ("burner-1", "Tue 12:55", {"equipment-full"}),
        ("burner-3", "Tue 12:30", {"known"}),
    ],
)
def test_14_two_pots_never_stand_on_one_burner(unit: str, start: str, rules: set[str]) -> None:
    needs = step(on=[{"equipment": "burner"}])
    made = with_bread(needs, needs, equipment=[{"id": "burner", "units": 2}])
    soup = task("soup.1/cook", "Tue 12:00", taken=[on("burner-1")])
    bread = task("bread.1/cook", start, taken=[on(unit)])
    assert broken(made, two(made, soup, bread)) == rules


def test_14_a_load_fits_its_machine() -> None:
    mixers = [{"id": "small", "fill": "500 g"}, {"id": "large", "fill": "2 kg"}]
    made = week(
        component("soup", step(on=[{"equipment": "mixer"}])),
        equipment=[{"id": "mixer", "units": mixers}],
    )
    assert (
        broken(made, supper(made, task("soup.1/cook", "Tue 12:00", taken=[on("large")]))) == set()
    )
    small = task("soup.1/cook", "Tue 12:00", taken=[on("small")])
    assert broken(made, supper(made, small)) == {"fill"}


# 15 Needs of a step


def test_15_a_step_takes_all_it_needs_and_nothing_else() -> None:
    made = week(
        component("soup", step(on=[{"equipment": "bench", "amount": 2}, {"equipment": "mixer"}])),
        equipment=[{"id": "bench", "capacity": 4}, {"id": "mixer"}, {"id": "slicer"}],
    )

    def taking(*taken: Taken) -> set[str]:
        return broken(made, supper(made, task("soup.1/cook", "Tue 12:00", taken=taken)))

    assert taking(on("bench", amount=2), on("mixer", need=1)) == set()
    assert taking(on("bench", amount=2)) == {"equipment"}
    assert taking(on("bench", amount=1), on("mixer", need=1)) == {"equipment"}
    assert taking(on("bench", amount=2), on("slicer", need=1)) == {"equipment"}
    assert taking(on("bench", amount=2), on("mixer", need=1), on("slicer", need=2)) == {"equipment"}


def test_15_shelves_while_it_runs_are_shelves() -> None:
    made = week(
        component("soup", step(on=[{"zone": "chilled", "per": "500 g"}])),
        stores=[
            {"id": "cold-room", "zone": "chilled", "shelves": 2},
            {"id": "rack", "zone": "dry", "shelves": 9},
        ],
    )

    def standing(store: str, shelves: int) -> set[str]:
        taken = [on(store, store=True, amount=shelves)]
        return broken(made, supper(made, task("soup.1/cook", "Tue 12:00", taken=taken)))

    assert standing("cold-room", 2) == set()
    assert standing("cold-room", 1) == {"equipment"}
    assert standing("rack", 2) == {"store-zone"}


# 16 Containers over several steps


def tubs(end: str, count: int = 2, shelves: int = 1) -> set[str]:
    """Packed at 12:00 in tubs of 500 g, waits chilled, emptied 14:00-14:30."""
    wait = {"at_most": "2 h", "best_until": "2 h", "zone": "chilled"}
    tub = {"equipment": "tub", "per": "500 g", "until": "empty"}
    made = week(
        component("soup", step("pack", on=[tub], then=wait), step("empty", "30 min")),
        equipment=[{"id": "tub", "units": 3, "per_shelf": 2}],
        stores=[{"id": "cold-room", "zone": "chilled", "shelves": 4}],
    )
    taken = [on(f"tub-{i + 1}", "Tue 12:00", end) for i in range(count)]
    pack = task("soup.1/pack", "Tue 12:00", taken=taken)
    empty = task("soup.1/empty", "Tue 14:00", 30)
    waits = hold(
        "wait",
        "soup.1/pack",
        "Tue 13:00",
        "Tue 14:00",
        consumer=empty.id,
        store="cold-room",
        shelves=shelves,
    )
    return broken(made, supper(made, pack, empty, holds=[waits]))


def test_16_a_container_is_taken_until_it_is_emptied() -> None:
    assert tubs("Tue 14:30") == set()
    assert tubs("Tue 14:00") == {"container"}
    assert tubs("Tue 13:00") == {"container"}


def test_16_there_are_as_many_containers_as_the_quantity_fills() -> None:
    assert tubs("Tue 14:30", count=1) == {"container"}


def test_16_while_it_waits_the_containers_take_the_shelves() -> None:
    # Two tubs, two to a shelf.
    assert tubs("Tue 14:30", shelves=2) == {"shelves"}


# 17 Hold in the machine that made it


def cooling(taken_until: str, unit: str | None = "oven") -> set[str]:
    """Bakes 12:00-13:00, waits in the oven to 14:00, then is cut."""
    wait = {"at_most": "2 h", "best_until": "2 h", "in_machine": True}
    made = week(
        component(
            "soup", step("bake", on=[{"equipment": "oven"}], then=wait), step("cut", "30 min")
        ),
        equipment=[{"id": "oven"}, {"id": "grill"}],
    )
    bake = task("soup.1/bake", "Tue 12:00", taken=[on("oven", "Tue 12:00", taken_until)])
    cut = task("soup.1/cut", "Tue 14:00", 30)
    waits = hold("wait", "soup.1/bake", "Tue 13:00", "Tue 14:00", consumer=cut.id, unit=unit)
    return broken(made, supper(made, bake, cut, holds=[waits]))


def test_17_what_waits_in_its_machine_keeps_it_taken() -> None:
    assert cooling("Tue 14:00") == set()
    assert cooling("Tue 13:00") == {"in-machine"}
    assert cooling("Tue 14:00", "grill") == {"in-machine"}
    assert cooling("Tue 14:00", None) == {"in-machine"}


# 18 Zero and short holds


@pytest.mark.parametrize(
    ("start", "store", "rules"),
    [
        ("Tue 17:00", None, set()),  # used as it is ready: nothing waits
        ("Tue 16:50", None, set()),  # ten minutes: carried over, no shelf
        ("Tue 16:45", None, {"store-zone"}),
        ("Tue 16:45", "cold-room", set()),
    ],
)
def test_18_a_wait_as_long_as_a_transfer_needs_no_shelf(
    start: str, store: str | None, rules: set[str]
) -> None:
    keeps = [{"zone": "chilled", "at_most": "4 h", "best_until": "4 h"}]
    made = week(
        component("soup", step(), keeps=keeps),
        transfer="10 min",
        stores=[{"id": "cold-room", "zone": "chilled", "shelves": 1}],
    )
    kept = {"store": store, "shelves": 1 if store else 0}
    assert broken(made, supper(made, task("soup.1/cook", start), kept=kept)) == rules


def test_18_what_ends_when_another_begins_does_not_overlap_it() -> None:
    needs = step(on=[{"equipment": "pot"}])
    made = with_bread(needs, needs, equipment=[{"id": "pot"}])
    soup = task("soup.1/cook", "Tue 12:00", taken=[on("pot")])
    after = task("bread.1/cook", "Tue 13:00", taken=[on("pot")])
    before = task("bread.1/cook", "Tue 12:55", taken=[on("pot")])
    assert broken(made, two(made, soup, after)) == set()
    assert broken(made, two(made, soup, before)) == {"equipment-full"}


# 19 Choice of store


def test_19_a_share_stands_in_one_store_where_it_keeps() -> None:
    keeps = [{"zone": "chilled", "at_most": "6 h", "best_until": "6 h", "per_shelf": "500 g"}]
    made = week(
        component("soup", step(), keeps=keeps),
        stores=[
            {"id": "cold-room", "zone": "chilled", "shelves": 2},
            {"id": "small-fridge", "zone": "chilled", "shelves": 1},
            {"id": "rack", "zone": "dry", "shelves": 9},
        ],
    )
    cooked = task("soup.1/cook", "Tue 14:00")

    def standing(store: str, shelves: int = 2) -> set[str]:
        return broken(made, supper(made, cooked, kept={"store": store, "shelves": shelves}))

    assert standing("cold-room") == set()
    assert standing("cold-room", 1) == {"shelves"}
    assert standing("small-fridge") == {"store-full"}
    assert standing("rack") == {"store-zone"}
    halves = [
        used("Tue 15:00", quantity="500 g", store=s, shelves=1)
        for s in ("cold-room", "small-fridge")
    ]
    moved = supper(made, cooked, kept=None, holds=halves)
    assert "holds" in broken(made, moved)


# 20 Oven sharing, 21 Heat-up

OVEN = {
    "id": "oven",
    "capacity": 4,
    "measure": "trays",
    "alone": "yes",
    "heat": {"hottest": 250, "up": 10, "down": 5, "goes_cold_after": "2 h"},
}


def baking(low: int, high: int) -> dict[str, Any]:
    return step(on=[{"equipment": "oven", "setting": {"coldest": low, "hottest": high}}])


def baked(bread_at: str, soup_celsius: int, bread_celsius: int) -> set[str]:
    """Soup in the oven from 12:00 to 13:00 at 160-180, bread at 170-200."""
    made = with_bread(baking(160, 180), baking(170, 200), equipment=[OVEN])
    soup = task("soup.1/cook", "Tue 12:00", taken=[on("oven", celsius=soup_celsius)])
    bread = task("bread.1/cook", bread_at, taken=[on("oven", celsius=bread_celsius)])
    return broken(made, two(made, soup, bread))


def test_20_an_oven_is_shared_at_one_temperature_that_suits_all() -> None:
    assert baked("Tue 12:30", 170, 170) == set()
    assert baked("Tue 12:30", 160, 170) == {"oven-shared"}
    assert baked("Tue 12:30", 165, 165) == {"oven-setting"}


def test_20_suiting_the_neighbour_is_not_enough_over_a_chain() -> None:
    # Soup 160-170, bread 160-200, then cake 180-200 while bread is still in:
    # each pair could agree, the three cannot.
    three = dish(*({"component": c, "amount": "100 g"} for c in ("soup", "bread", "cake")))
    made = week(
        component("soup", baking(160, 170)),
        component("bread", baking(160, 200)),
        component("cake", baking(180, 200)),
        dishes=[three],
        equipment=[OVEN],
    )

    def chain(cake_at: str, cake: int) -> set[str]:
        tasks = [
            task("soup.1/cook", "Tue 12:00", taken=[on("oven", celsius=170)]),
            task("bread.1/cook", "Tue 12:30", taken=[on("oven", celsius=170)]),
            task("cake.1/cook", cake_at, taken=[on("oven", celsius=cake)]),
        ]
        sources = ["soup.1", "bread.1", "cake.1"]
        return broken(
            made,
            plan(
                made,
                *tasks,
                plating(),
                batches=[*(batch(s) for s in sources), bowls()],
                shares=[share(s) for s in sources],
                holds=[used(t.end, source=s) for s, t in zip(sources, tasks, strict=True)],
            ),
        )

    assert chain("Tue 13:25", 180) == {"oven-shared"}
    assert chain("Tue 13:25", 170) == {"oven-setting"}
    assert chain("Tue 13:35", 180) == set()


def test_21_an_oven_needs_its_time_between_two_temperatures() -> None:
    # From 160 up to 200 °C at 10 °C a minute: 4 min, so 13:05 and not 13:00.
    assert baked("Tue 13:05", 160, 200) == set()
    assert baked("Tue 13:00", 160, 200) == {"oven-heat-up"}
    # From 200 down to 160 at 5 °C a minute: 8 min.
    assert baked("Tue 10:50", 160, 200) == set()
    assert baked("Tue 10:55", 160, 200) == {"oven-heat-up"}


def test_21_an_oven_left_for_long_or_never_used_starts_cold() -> None:
    # Cold is 20 °C: 170 takes 15 min. Planning begins Monday 00:00.
    made = week(
        component("soup", baking(160, 180), keeps=[{"at_most": "3 d", "best_until": "3 d"}]),
        equipment=[OVEN],
    )

    def first_at(start: str) -> set[str]:
        return broken(
            made, supper(made, task("soup.1/cook", start, taken=[on("oven", celsius=170)]))
        )

    assert first_at("Mon 00:15") == set()
    assert first_at("Mon 00:10") == {"oven-heat-up"}
