"""Semantics 29, 31 and 32, for the second reader: on hand, in progress, deliveries."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.plan.model import PlannedBatch, PlannedHold, PlannedTask, Share
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
    share,
    step,
    supper,
    task,
    used,
    visit,
    week,
)

COLD_ROOM = [{"id": "cold-room", "zone": "chilled", "shelves": 9}]

# 29 On hand


def from_stock(
    quantity: str = "1 kg",
    *,
    made_at: str = "2026-03-01 20:00",
    holds: list[PlannedHold],
    shares: list[Share] | None = None,
    **lot: Any,
) -> set[str]:
    """A kilo and a half stands in the cold room when the week opens."""
    keeps = [{"zone": "chilled", "at_most": "2 d", "best_until": "2 d", "per_shelf": "400 g"}]
    stands = {
        "id": "old-soup",
        "component": "soup",
        "quantity": quantity,
        "made": made_at,
        "store": "cold-room",
    } | lot
    made = week(
        component("soup", step(), keeps=keeps), stores=COLD_ROOM, week={"on_hand": [stands]}
    )
    given = [share("old-soup")] if shares is None else shares
    return broken(made, plan(made, plating(), batches=[bowls()], shares=given, holds=holds))


def test_29_what_is_on_hand_stands_on_its_shelves_until_it_is_used() -> None:
    used_up = used("Mon 00:00", source="old-soup", store="cold-room", shelves=3)
    assert from_stock(holds=[used_up]) == set()
    assert from_stock(holds=[]) == {"holds"}
    assert from_stock("900 g", holds=[used_up]) == {"given"}
    elsewhere = used_up.model_copy(update={"store": None, "shelves": 0})
    assert from_stock(holds=[elsewhere]) == {"store-zone"}


def test_29_its_age_counts_from_when_it_was_made() -> None:
    # Sunday 18:00 to Tuesday 18:00 is two days.
    used_up = used("Mon 00:00", source="old-soup", store="cold-room", shelves=3)
    assert from_stock(made_at="2026-03-01 18:00", holds=[used_up]) == set()
    assert from_stock(made_at="2026-03-01 17:59", holds=[used_up]) == {"hold-limit"}


def test_29_what_nobody_takes_stands_there_to_its_limit() -> None:
    used_up = used("Mon 00:00", source="old-soup", store="cold-room", shelves=3)
    spare = hold(
        "spare",
        "old-soup",
        "Mon 00:00",
        "Tue 20:00",
        quantity="500 g",
        store="cold-room",
        shelves=2,
    )
    assert from_stock("1500 g", holds=[used_up, spare]) == set()
    assert from_stock("1500 g", holds=[used_up]) == {"holds"}


def test_29_what_is_reserved_goes_nowhere_else() -> None:
    keeps = [{"at_most": "3 d", "best_until": "3 d"}]

    def kept_for(name: str) -> set[str]:
        stands = {
            "id": "old-soup",
            "component": "soup",
            "quantity": "2 kg",
            "made": "2026-03-01 20:00",
            "reserved_for": name,
        }
        made = week(
            component("soup", step(), keeps=keeps),
            week={"on_hand": [stands]},
            events=[event(), event(id="lunch", first_plate="2026-03-04 12:00")],
        )
        cooked = task("soup.1/cook", "Tue 12:00")
        return broken(
            made,
            plan(
                made,
                cooked,
                plating(),
                plating("lunch.bowl", "Wed 12:00"),
                batches=[batch("soup.1"), bowls(), bowls("lunch.bowl", event="lunch")],
                shares=[share("old-soup"), share(consumer="lunch.bowl/plating")],
                holds=[
                    used("Mon 00:00", source="old-soup"),
                    used("Tue 13:00", "Wed 12:00", consumer="lunch.bowl/plating"),
                    hold("spare", "old-soup", "Mon 00:00", "Wed 20:00"),
                ],
            ),
        )

    assert kept_for("supper") == set()
    assert kept_for("lunch") == {"reserved"}


def test_29_lots_are_not_mixed_where_the_recipe_says_so() -> None:
    def mixed(mixing: bool) -> set[str]:
        stands = {
            "id": "old-soup",
            "component": "soup",
            "quantity": "400 g",
            "made": "2026-03-02 00:00",
        }
        keeps = [{"at_most": "2 d", "best_until": "2 d"}]
        made = week(
            component("soup", step(), keeps=keeps, mixing=mixing), week={"on_hand": [stands]}
        )
        cooked = task("soup.1/cook", "Tue 12:00", quantity="600 g")
        return broken(
            made,
            plan(
                made,
                cooked,
                plating(),
                batches=[batch("soup.1", "600 g"), bowls()],
                shares=[share("old-soup", quantity="400 g"), share(quantity="600 g")],
                holds=[
                    used("Mon 00:00", source="old-soup", quantity="400 g"),
                    used(cooked.end, quantity="600 g"),
                ],
            ),
        )

    assert mixed(True) == set()
    assert mixed(False) == {"mixing"}


# 31 Work in progress


def fermenting(
    law_end: str,
    *,
    visits: tuple[Any, ...] = (),
    unit: str = "crock-2",
    begun: PlannedBatch | None = None,
    **of: Any,
) -> set[str]:
    """A ferment of two to three days, begun on Sunday at noon in the second crock.

    Its packing was on Saturday; the crock is empty when it is drained.
    """
    crock = {"equipment": "crock", "until": "drain"}
    ferment = step("ferment", {"at_least": "48 h", "best": "72 h", "at_most": "72 h"}, **of)
    keeps = [{"at_most": "2 d", "best_until": "2 d"}]
    running = {
        "id": "old-pot",
        "component": "soup",
        "quantity": "1 kg",
        "step": "ferment",
        "started": "2026-03-01 12:00",
        "on": ["crock-2"],
    }
    if "tend" in of:
        running["last_visit"] = "2026-03-01 20:00"
    made = week(
        component("soup", step("pack", on=[crock]), ferment, step("drain", "30 min"), keeps=keeps),
        equipment=[{"id": "crock", "units": 2}],
        week={"in_progress": [running]},
    )
    end = task("x/y", law_end, 0).start
    fermented = PlannedTask(
        id="old-pot/ferment",
        batch="old-pot",
        step="ferment",
        quantity="1 kg",
        start=0,
        law_start=0,
        law_end=end,
        end=end,
        visits=visits,
        taken=(on(unit, 0, end + 30, need=0),),
    )
    drain = task("old-pot/drain", end, 30)
    old = begun or batch("old-pot", component="soup", in_progress=True)
    return broken(
        made,
        plan(
            made,
            fermented,
            drain,
            plating(),
            batches=[old, bowls()],
            shares=[share("old-pot")],
            holds=[used(drain.end, source="old-pot")],
        ),
    )


def test_31_what_was_begun_last_week_ends_by_its_own_clock() -> None:
    # Sunday noon and 48 h is Tuesday noon.
    assert fermenting("Tue 12:00") == set()
    assert fermenting("Tue 11:55") == {"law"}


def test_31_it_stays_on_what_it_is_on() -> None:
    assert fermenting("Tue 12:00", unit="crock-1") == {"begun"}


def test_31_tending_goes_on_from_the_last_visit() -> None:
    tend = {"every": "20 h", "give_or_take": "4 h", "time": "10 min"}

    def looked_at(*times: str) -> set[str]:
        visits = tuple(visit("tend", t, 10) for t in times)
        return fermenting("Tue 12:00", visits=visits, tend=[tend])

    # Last on Sunday 20:00: due Monday 12:00 to 20:00.
    assert looked_at("Mon 14:00", "Tue 08:00") == set()
    assert looked_at("Mon 11:00", "Tue 08:00") == {"tending"}
    assert looked_at() == {"tending"}


def test_31_it_is_in_the_plan_as_it_stands() -> None:
    smaller = batch("old-pot", "900 g", component="soup", in_progress=True)
    assert "begun" in fermenting("Tue 12:00", begun=smaller)
    as_new = batch("old-pot", component="soup")
    assert fermenting("Tue 12:00", begun=as_new) == {"begun"}


# 32 Deliveries


@pytest.mark.parametrize(("start", "rules"), [("Tue 12:00", set()), ("Tue 11:55", {"delivery"})])
def test_32_a_step_waits_for_what_it_takes(start: str, rules: set[str]) -> None:
    leeks = {"ingredient": "leeks", "amount": "500 g"}
    arrives = {"id": "greens", "ingredient": "leeks", "at": "2026-03-03 12:00"}
    made = week(component("soup", step(takes=[leeks])), week={"deliveries": [arrives]})
    assert broken(made, supper(made, task("soup.1/cook", start))) == rules


def test_32_a_delivery_gates_the_step_and_not_the_batch() -> None:
    leeks = {"ingredient": "leeks", "amount": "500 g"}
    arrives = {"id": "greens", "ingredient": "leeks", "at": "2026-03-03 12:00"}
    made = week(
        component("soup", step("soak"), step("boil", takes=[leeks])), week={"deliveries": [arrives]}
    )
    tasks = task("soup.1/soak", "Tue 11:00"), task("soup.1/boil", "Tue 12:00")
    assert broken(made, supper(made, *tasks)) == set()


def test_32_what_is_in_house_is_not_used_twice() -> None:
    leeks = {"ingredient": "leeks", "amount": "500 g"}

    def in_house(amount: str) -> set[str]:
        arrives = {
            "id": "greens",
            "ingredient": "leeks",
            "at": "2026-03-03 16:00",
            "in_house": amount,
        }
        both = dish(
            {"component": "soup", "amount": "100 g"}, {"component": "bread", "amount": "100 g"}
        )
        made = week(
            component("soup", step(takes=[leeks])),
            component("bread", step(takes=[leeks])),
            dishes=[both],
            week={"deliveries": [arrives]},
        )
        soup, bread = task("soup.1/cook", "Tue 12:00"), task("bread.1/cook", "Tue 13:00")
        return broken(
            made,
            plan(
                made,
                soup,
                bread,
                plating(),
                batches=[batch("soup.1"), batch("bread.1"), bowls()],
                shares=[share(), share("bread.1")],
                holds=[used(soup.end), used(bread.end, source="bread.1")],
            ),
        )

    assert in_house("1 kg") == set()
    assert in_house("999 g") == {"delivery"}
