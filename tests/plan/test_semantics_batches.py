"""Semantics 24-28, for the second reader: batches, loads, shares and how long they keep."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.plan.model import PlannedHold
from tests.plan.byhand import (
    batch,
    bowls,
    broken,
    component,
    dish,
    event,
    hold,
    on,
    plan,
    plating,
    report,
    share,
    step,
    supper,
    task,
    used,
    week,
)

DAY = [{"at_most": "24 h", "best_until": "24 h"}]
CHILLED = [{"zone": "chilled", "at_most": "24 h", "best_until": "24 h", "per_shelf": "400 g"}]
COLD_ROOM = [{"id": "cold-room", "zone": "chilled", "shelves": 9}]


# 24 Batch and load


def in_loads(*quantities: str, starts: tuple[str, ...] = (), **of: Any) -> set[str]:
    """1 kg through an oven of 400 g: three loads, at 12:00, 13:00 and 14:00."""
    made = week(
        component("soup", step(in_loads=True, on=[{"equipment": "oven"}]), keeps=CHILLED, **of),
        equipment=[{"id": "oven", "fill": "400 g"}],
        stores=COLD_ROOM,
    )
    count = len(quantities)
    when = starts or tuple(f"Tue {12 + i}:00" for i in range(count))
    tasks = [
        task(
            f"soup.1/cook/{i + 1}" if count > 1 else "soup.1/cook",
            start,
            quantity=q,
            load=0,
            loads=count,
            taken=[on("oven")],
        )
        for i, (q, start) in enumerate(zip(quantities, when, strict=True))
    ]
    out = max(t.end for t in tasks)
    early = [
        hold(
            "loads",
            "soup.1/cook",
            t.end,
            out,
            quantity=str(t.quantity),
            load=t.load,
            store="cold-room",
            shelves=1,
        )
        for t in tasks
        if t.end < out
    ]
    kept = {"store": "cold-room", "shelves": 3}
    return broken(made, supper(made, *tasks, holds=early, kept=kept))


def test_24_loads_are_equal_and_as_few_as_the_machine_allows() -> None:
    assert in_loads("333 g", "334 g", "333 g") == set()
    assert in_loads("400 g", "400 g", "200 g") == {"loads"}
    assert in_loads("250 g", "250 g", "250 g", "250 g") == {"loads"}
    assert in_loads("500 g", "500 g") == {"loads", "fill", "shelves"}


def test_24_loads_start_in_order() -> None:
    starts = ("Tue 12:00", "Tue 14:00", "Tue 13:00")
    assert "load-order" in in_loads("333 g", "334 g", "333 g", starts=starts)


def test_24_the_limit_counts_from_the_first_load_out() -> None:
    # The first is out 13:00 and used 18:00: five hours.
    def keeping(hours: int) -> set[str]:
        keeps = [
            {
                "zone": "chilled",
                "at_most": f"{hours} h",
                "best_until": f"{hours} h",
                "per_shelf": "400 g",
            }
        ]
        made = week(
            component("soup", step(in_loads=True, on=[{"equipment": "oven"}]), keeps=keeps),
            equipment=[{"id": "oven", "fill": "500 g"}],
            stores=COLD_ROOM,
        )
        tasks = [
            task(
                f"soup.1/cook/{i}",
                f"Tue {11 + i}:00",
                quantity="500 g",
                loads=2,
                taken=[on("oven")],
            )
            for i in (1, 2)
        ]
        early = hold(
            "loads",
            "soup.1/cook",
            "Tue 13:00",
            "Tue 14:00",
            quantity="500 g",
            store="cold-room",
            shelves=2,
        )
        return broken(
            made, supper(made, *tasks, holds=[early], kept={"store": "cold-room", "shelves": 3})
        )

    assert keeping(5) == set()
    assert keeping(4) == {"hold-limit"}


def test_24_a_whole_step_caps_the_batch() -> None:
    def pot(fill: str) -> set[str]:
        made = week(
            component("soup", step(on=[{"equipment": "pot"}]), batch={"most": "1 kg"}),
            equipment=[{"id": "pot", "fill": "2 kg"}, {"id": "pan", "fill": fill}],
        )
        good = supper(made, task("soup.1/cook", "Tue 12:00", taken=[on("pot")]))
        fat = good.model_copy(update={"batches": (batch("soup.1", "1.1 kg"), bowls())})
        return broken(made, good) | broken(made, fat)

    assert pot("2 kg") == {"batch-size", "loads"}


# 25 Shares


@pytest.mark.parametrize(
    ("shares", "rules"),
    [
        ([("soup.1", "1 kg")], set()),
        ([("soup.1", "990 g")], {"shares"}),
        ([("soup.1", "1010 g")], {"shares", "given"}),
        ([("soup.1", "600 g"), ("soup.1", "400 g")], set()),
    ],
)
def test_25_the_shares_come_to_what_the_recipe_takes(
    shares: list[tuple[str, str]], rules: set[str]
) -> None:
    made = week()
    cooked = task("soup.1/cook", "Tue 12:00")
    given = plan(
        made,
        cooked,
        plating(),
        shares=[share(s, quantity=q) for s, q in shares],
        holds=[used(cooked.end, source=s, quantity=q) for s, q in shares],
    )
    assert broken(made, given) == rules


def test_25_losses_and_yields_are_counted_back() -> None:
    # 10 x 100 g / 80 % = 1250 g of soup; 1250 / (1 - 50 %) = 2500 g weighed.
    takes = {"component": "soup", "amount": "100 g", "yield": "80 %"}
    made = week(component("soup", step(), loss="50 %"), dishes=[dish(takes)])

    def weighed(quantity: str, good: str) -> set[str]:
        cooked = task("soup.1/cook", "Tue 12:00", quantity=quantity)
        return broken(
            made,
            plan(
                made,
                cooked,
                plating(),
                batches=[batch("soup.1", quantity, good), bowls()],
                shares=[share(quantity="1250 g")],
                holds=[used(cooked.end, quantity="1250 g")],
            ),
        )

    assert weighed("2500 g", "1250 g") == set()
    assert weighed("2500 g", "2500 g") == {"losses"}
    assert weighed("2400 g", "1200 g") == {"given"}


# 26 Several consumers at different times


def two_suppers(
    *, second_hold: PlannedHold, first_shelves: int = 3, limit: str = "24 h"
) -> set[str]:
    """2 kg cooked Tuesday 12:00, half for supper 18:00, half for lunch Wednesday 12:00."""
    keeps = [CHILLED[0] | {"at_most": limit, "best_until": limit}]
    made = week(
        component("soup", step(), keeps=keeps),
        stores=COLD_ROOM,
        events=[event(), event(id="lunch", first_plate="2026-03-04 12:00")],
    )
    cooked = task("soup.1/cook", "Tue 12:00", quantity="2 kg")
    return broken(
        made,
        plan(
            made,
            cooked,
            plating(),
            plating("lunch.bowl", "Wed 12:00"),
            batches=[batch("soup.1", "2 kg"), bowls(), bowls("lunch.bowl", event="lunch")],
            shares=[share(), share(consumer="lunch.bowl/plating")],
            holds=[used(cooked.end, store="cold-room", shelves=first_shelves), second_hold],
        ),
    )


def until_lunch(**more: Any) -> PlannedHold:
    words = {"store": "cold-room", "shelves": 3} | more
    return used(
        words.pop("start", "Tue 13:00"), "Wed 12:00", consumer="lunch.bowl/plating", **words
    )


def test_26_each_share_has_its_own_hold_and_shelves() -> None:
    # A kilo at 400 g a shelf: three shelves each, though two kilos together fill five.
    assert two_suppers(second_hold=until_lunch()) == set()
    assert two_suppers(second_hold=until_lunch(shelves=2)) == {"shelves"}
    assert two_suppers(second_hold=until_lunch(start="Tue 18:00")) == {"holds"}


def test_26_leftover_that_is_kept_takes_shelves_to_the_end_of_the_week() -> None:
    made = week(
        component("soup", step(), keeps=CHILLED, leftover="kept", batch={"least": "1500 g"}),
        stores=COLD_ROOM,
    )
    cooked = task("soup.1/cook", "Tue 12:00", quantity="1500 g")
    kept = used(cooked.end, store="cold-room", shelves=3)

    def with_rest(*rest: PlannedHold) -> set[str]:
        return broken(
            made,
            plan(
                made,
                cooked,
                plating(),
                batches=[batch("soup.1", "1500 g"), bowls()],
                holds=[kept, *rest],
            ),
        )

    rest = hold(
        "leftover",
        "soup.1",
        cooked.end,
        "Thu 24:00",
        quantity="500 g",
        store="cold-room",
        shelves=2,
    )
    assert with_rest(rest) == set()
    assert with_rest() == {"holds"}


# 27 Hold limit clock, 28 Sharing between events


def test_27_the_limit_runs_from_ready_to_the_start_of_use() -> None:
    # Ready Tuesday 13:00, used Wednesday 12:00: 23 hours.
    assert two_suppers(second_hold=until_lunch(), limit="23 h") == set()
    assert two_suppers(second_hold=until_lunch(), limit="22 h") == {"hold-limit"}


def test_27_a_finding_says_how_long_and_by_how_much() -> None:
    keeps = [{"at_most": "4 h", "best_until": "4 h"}]
    made = week(component("soup", step(), keeps=keeps))
    found = report(made, supper(made, task("soup.1/cook", "Tue 12:00"))).findings
    assert [str(f) for f in found] == [
        "hold-limit  supper.bowl/plating: soup.1 holds 5 h until Tue 3 Mar 18:00, limit 4 h"
    ]


def test_28_a_batch_for_two_events_stays_inside_its_largest_size() -> None:
    made = week(
        component("soup", step(), keeps=DAY, batch={"most": "1500 g"}),
        events=[event(), event(id="lunch", first_plate="2026-03-04 12:00")],
    )

    def cooked(*sizes: str) -> set[str]:
        soups = [task(f"soup.{i + 1}/cook", "Tue 12:00", quantity=q) for i, q in enumerate(sizes)]
        last = f"soup.{len(sizes)}"
        return broken(
            made,
            plan(
                made,
                *soups,
                plating(),
                plating("lunch.bowl", "Wed 12:00"),
                batches=[
                    *(batch(t.batch, str(t.quantity)) for t in soups),
                    bowls(),
                    bowls("lunch.bowl", event="lunch"),
                ],
                shares=[share(), share(last, "lunch.bowl/plating")],
                holds=[
                    used("Tue 13:00"),
                    used("Tue 13:00", "Wed 12:00", last, "lunch.bowl/plating"),
                ],
            ),
        )

    assert cooked("1 kg", "1 kg") == set()
    assert cooked("2 kg") == {"batch-size"}
