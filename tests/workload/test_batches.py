"""Batches and loads: losses, sizes, machines, sharing."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.workload.work import work_out
from tests.weeks.tiny import DAY, component, dish, event, keep, kind, step, week_of
from tests.workload.weeks import Week

COOK = step("cook", "1 h", hands=1)


def one(guests: int = 10, **rest: Any) -> Week:
    """A week with one component, a portion of it for each guest."""
    steps = rest.pop("steps", [COOK])
    equipment = rest.pop("equipment", [])
    return Week(week_of(component("soup", *steps, **rest), guests=guests, equipment=equipment))


def test_losses_are_made_up_for() -> None:
    """120 whole ones with 6 % breaking: 120 / 0.94 = 127.66 -> 128 to be made."""
    batch = one(120, loss="6 %").batch("soup.1")
    assert (batch.quantity, batch.good, batch.leftover) == (128, 120, 0)


def test_a_smallest_batch_leaves_something_over_and_says_so() -> None:
    """20 are the least; 10 % break; 18 are good, 10 are needed."""
    batch = one(10, loss="10 %", batch={"least": "20 portions"}).batch("soup.1")
    assert (batch.quantity, batch.good, batch.leftover) == (20, 18, 8)


def test_above_the_largest_batch_there_are_as_few_equal_ones_as_fit() -> None:
    """50 by 24 at most: three of 16, 17, 17, not 24 + 24 + 2."""
    week = one(50, batch={"most": "24 portions"})
    assert [b.quantity for b in week.batches_of("soup")] == [16, 17, 17]
    assert sum(week.share(b.id, "supper.plate") for b in week.batches_of("soup")) == 50


def test_the_smallest_machine_of_a_whole_step_caps_the_batch() -> None:
    """Kettle 40, mixer 25: 60 are three of 20."""
    steps = [
        step("boil", "1 h", on=[{"equipment": "kettle"}]),
        step("blend", "1 h", on=[{"equipment": "mixer"}]),
    ]
    machines = [kind("kettle", fill="40 portions"), kind("mixer", fill="25 portions")]
    week = one(60, steps=steps, equipment=machines)
    assert [b.quantity for b in week.batches_of("soup")] == [20, 20, 20]


def test_trays_cap_a_batch_by_places_times_per() -> None:
    """A trolley of 4 trays, 6 on a tray: 24 at once; 30 are 15 + 15."""
    steps = [step("bake", "1 h", on=[{"equipment": "trolley", "per": "6 portions"}])]
    week = one(30, steps=steps, equipment=[kind("trolley", capacity=4)])
    assert [b.quantity for b in week.batches_of("soup")] == [15, 15]


def test_a_step_in_loads_does_not_cap_the_batch_and_its_loads_are_equal() -> None:
    """28 through a unit of 20: 2 x 14, not 20 + 8; the larger unit counts, not the smaller."""
    steps = [step("bake", "1 h", in_loads=True, on=[{"equipment": "deck"}])]
    units = [
        {"id": "deck-small", "fill": "8 portions"},
        {"id": "deck-large", "fill": "20 portions"},
    ]
    week = one(28, steps=steps, equipment=[{"id": "deck", "units": units}])
    (batch,) = week.batches_of("soup")
    assert batch.stages[0].loads == (14, 14)
    use = week.uses("soup.1/bake/1:run")[0]
    assert week.resource(use) == "deck-large"  # 14 do not fit the small one


def test_pieces_are_split_as_equally_as_whole_ones_allow() -> None:
    steps = [step("bake", "1 h", in_loads=True, on=[{"equipment": "deck"}])]
    week = one(23, steps=steps, equipment=[kind("deck", fill="8 portions")])
    assert week.batch("soup.1").stages[0].loads == (7, 8, 8)


def test_a_batch_is_weighed_in_whole_grams() -> None:
    """3 portions of 33.3 g: 99.9 -> 100 g; 7 % lost: 100 / 0.93 = 107.53 -> 108 g."""
    soup = component("soup", COOK, makes="1 kg", loss="7 %")
    document = week_of(
        soup, dishes=[dish("plate", {"component": "soup", "amount": "33.3 g"})], guests=3
    )
    week = Week(document)
    assert (week.batch("soup.1").good, week.batch("soup.1").quantity) == (100, 108)


def test_edible_yield_is_what_is_taken_more() -> None:
    """10 portions of 150 g at 75 %: 2,000 g."""
    soup = component("soup", COOK, makes="1 kg")
    take = {"component": "soup", "amount": "150 g", "yield": "75 %"}
    assert Week(week_of(soup, dishes=[dish("plate", take)])).batch("soup.1").good == 2000


def test_pieces_become_grams_only_by_a_stated_weight() -> None:
    """10 portions of 2 pieces of 35 g: 700 g."""
    soup = component("soup", COOK, makes="1 kg", piece_weight="35 g")
    take = {"component": "soup", "amount": "2 pieces"}
    assert Week(week_of(soup, dishes=[dish("plate", take)])).batch("soup.1").good == 700


def test_litres_become_grams_only_by_a_stated_density() -> None:
    """10 portions of 0.2 l at 1.05 kg a litre: 2,100 g."""
    soup = component("soup", COOK, makes="1 kg", density="1050 g")
    take = {"component": "soup", "amount": "200 ml"}
    assert Week(week_of(soup, dishes=[dish("plate", take)])).batch("soup.1").good == 2100


def test_grams_where_pieces_are_meant_are_refused() -> None:
    soup = component("soup", COOK, makes="10 portions")
    document = week_of(soup, dishes=[dish("plate", {"component": "soup", "amount": "200 g"})])
    with pytest.raises(BadInput):
        work_out(scenario_of(document))


# -- sharing between uses ---------------------------------------------------------------


def two(first: str, second: str, limit: str, apart: tuple[str, ...] = (), **rest: Any) -> Week:
    """The same soup for two events on one Friday (or as said)."""
    soup = component("soup", COOK, keeps=keep(limit), **rest)
    document = week_of(
        soup,
        dishes=[dish("plate", "soup")],
        events=[event("lunch", first, "plate"), event("supper", second, "plate")],
    )
    return Week(document, apart)


def test_two_events_share_a_batch_that_keeps_long_enough() -> None:
    """6 h between them; it keeps 14 h, less 8 h in hand is 6 h."""
    week = two("12:00", "18:00", "14 h")
    assert [b.quantity for b in week.batches_of("soup")] == [20]
    assert week.share("soup.1", "lunch.plate") == week.share("soup.1", "supper.plate") == 10


def test_two_events_do_not_share_what_keeps_a_little_shorter() -> None:
    assert len(two("12:00", "18:00", "13 h 30 min").batches_of("soup")) == 2


def test_what_keeps_eight_hours_or_less_is_shared_within_half_of_it() -> None:
    assert len(two("14:00", "18:00", "8 h").batches_of("soup")) == 1
    assert len(two("13:30", "18:00", "8 h").batches_of("soup")) == 2


def test_a_batch_is_shared_only_while_it_is_not_too_large() -> None:
    week = two("12:00", "18:00", "24 h", batch={"most": "19 portions"})
    assert [b.quantity for b in week.batches_of("soup")] == [10, 10]


def test_a_shared_batch_that_found_no_place_can_be_set_apart() -> None:
    week = two("12:00", "18:00", "24 h", apart=("soup",))
    assert [b.quantity for b in week.batches_of("soup")] == [10, 10]


def test_batches_get_their_ids_in_order_of_use() -> None:
    week = two(f"{DAY} 18:00", f"{DAY} 08:00", "8 h")
    assert week.share("soup.1", "supper.plate") == 10  # the event at 08:00
    assert week.share("soup.2", "lunch.plate") == 10


def test_a_shared_intermediate_is_made_once_for_both_that_take_it() -> None:
    """Stock for two sauces: 3 and 4 portions of stock for 10 of each sauce."""
    stock = component("stock", COOK)
    sauces = [
        component(name, step("simmer", "1 h", hands=1, takes=[{"component": "stock", "amount": n}]))
        for name, n in (("jus", "3 portions"), ("glaze", "4 portions"))
    ]
    week = Week(week_of(stock, *sauces))
    assert [b.quantity for b in week.batches_of("stock")] == [7]


def test_the_same_week_is_worked_out_alike_every_time() -> None:
    document = week_of(component("soup", COOK), component("bread", COOK), guests=37)
    assert work_out(scenario_of(document)) == work_out(scenario_of(document))


def test_a_component_nobody_may_mix_is_refused_where_one_use_needs_two_batches() -> None:
    with pytest.raises(BadInput, match="never mixed"):
        one(50, batch={"most": "24 portions"}, mixing=False)


def test_a_smallest_batch_no_machine_takes_is_refused() -> None:
    steps = [step("boil", "1 h", on=[{"equipment": "kettle"}])]
    with pytest.raises(BadInput):
        one(
            30,
            steps=steps,
            equipment=[kind("kettle", fill="10 portions")],
            batch={"least": "20 portions"},
        )
