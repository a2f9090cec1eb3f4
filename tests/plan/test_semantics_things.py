"""Semantics 16, 30 and 32, for the second reader: washed, given by the way, stood in crates."""

from __future__ import annotations

from typing import Any

from scheduler.plan.model import Share
from tests.plan.byhand import (
    at,
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

ROOM = [{"id": "cold-room", "zone": "chilled", "shelves": 9}]

# 30 By-products


def fat(
    *,
    rendered: str = "Tue 12:00",
    skimmed: str = "Tue 13:00",
    quantity: str = "100 g",
    given: str | None = "simmer",
    limit: str = "8 h",
    stands: dict[str, Any] | None = None,
    whole: bool = False,
) -> set[str]:
    """Soup simmers to 12:00 and is skimmed at 13:00; its fat, 150 g, goes on ten bowls."""
    keeps = [{"zone": "chilled", "at_most": limit, "best_until": limit, "per_shelf": "50 g"}]
    simmer = step("simmer", gives=[{"component": "fat", "amount": "150 g"}],
                  then={"at_most": "2 h", "best_until": "2 h"})  # fmt: skip
    takes = [{"component": "soup", "amount": "100 g"}, {"component": "fat", "amount": "10 g"}]
    made = week(
        component("soup", simmer, step("skim")), component("fat", keeps=keeps),
        dishes=[dish(*takes)], stores=ROOM,
    )  # fmt: skip
    fats = Share(
        source="soup.1", consumer="supper.bowl", step="plating", quantity=quantity,
        by_product=None if whole else "fat", given=given,
    )
    simmered, skim = task("soup.1/simmer", at(rendered) - 60), task("soup.1/skim", skimmed)
    waits = {"store": "cold-room", "shelves": 2} | (stands or {})
    return broken(
        made,
        plan(
            made, simmered, skim, plating(), shares=[share(), fats],
            holds=[
                hold("wait", "soup.1/simmer", simmered.end, skim.start, consumer="soup.1/skim"),
                used(skim.end),
                used(rendered, quantity=quantity, step=given, by_product="fat", **waits),
            ],
        ),
    )  # fmt: skip


def test_30_what_a_step_gives_is_there_when_it_ends_and_keeps_by_its_own_limit() -> None:
    assert fat() == set()
    assert fat(limit="6 h") == set()
    assert fat(limit="5 h 55 min") == {"hold-limit"}


def test_30_it_has_shelves_and_a_store_of_its_own() -> None:
    assert fat(stands={"shelves": 1}) == {"shelves"}
    assert fat(stands={"store": None, "shelves": 0}) == {"store-zone"}


def test_30_a_step_gives_no_more_than_it_leaves() -> None:
    assert fat(quantity="160 g", stands={"shelves": 4}) == {"by-product", "shares"}
    assert "by-product" in fat(given="skim")
    assert "by-product" in fat(given=None)


def test_30_fat_that_is_taken_for_soup_is_no_share_of_soup() -> None:
    assert "given" in fat(whole=True, given=None)


# 32 What is delivered stands somewhere and has a limit


def crates(
    start: str = "Mon 20:00",
    *,
    limit: str = "12 h",
    parts: tuple[str, ...] = ("500 g",),
    shelves: int = 3,
    spare: bool = True,
    **stands: Any,
) -> set[str]:
    """A kilogram of leeks on five shelves from Monday 08:00; soup takes half of it."""
    leeks = {"ingredient": "leeks", "amount": "500 g"}
    arrives = {
        "id": "greens", "ingredient": "leeks", "at": "2026-03-02 08:00", "quantity": "1 kg",
        "zone": "chilled", "shelves": 5, "at_most": limit,
    }  # fmt: skip
    keeps = [{"at_most": "2 d", "best_until": "2 d"}]
    made = week(
        component("soup", step(takes=[leeks]), keeps=keeps), stores=ROOM,
        week={"deliveries": [arrives]},
    )  # fmt: skip
    where = {"store": "cold-room", "shelves": shelves} | stands
    holds = [
        hold("delivered", "greens", "Mon 08:00", start, quantity=q, consumer="soup.1/cook", **where)
        for q in parts
    ]
    if spare:
        rest = hold("spare", "greens", "Mon 08:00", "Mon 20:00", quantity="500 g",
                    store="cold-room", shelves=3)  # fmt: skip
        holds.append(rest)
    return broken(made, supper(made, task("soup.1/cook", start), holds=holds))


def test_32_crates_stand_on_their_shelves_until_they_are_used() -> None:
    assert crates() == set()
    assert crates(shelves=2) == {"shelves"}
    assert crates(store=None, shelves=0) == {"store-zone"}
    assert crates(spare=False) == {"holds"}


def test_32_what_came_is_used_before_its_own_limit() -> None:
    assert crates("Mon 20:00") == set()
    assert crates("Mon 20:05") == {"use-by"}


def test_32_every_part_is_accounted_for() -> None:
    assert crates(parts=()) >= {"delivery", "holds"}
    assert "use-by" in crates(parts=("1.2 kg",), shelves=6, spare=False)


# 16 Washed and dry


def washed(
    start: str = "Tue 14:00",
    *,
    until: str = "Tue 14:45",
    quantity: str = "2 pieces",
    load: int = 15,
    dry: int = 30,
    who: str = "ben",
    **rule: Any,
) -> set[str]:
    """Soup stands in two tubs from 12:00 to 14:00; Ben washes them in a quarter of an hour."""
    tub = {
        "id": "tub", "units": 3,
        "washed": {"time": {"at_least": "5 min", "plus": "5 min", "per": "1 piece"},
                   "dry": "30 min", "within": "4 h"} | rule,
    }  # fmt: skip
    made = week(
        component("soup", step("fill", on=[{"equipment": "tub", "per": "500 g", "until": "pour"}]),
                  step("pour")),
        equipment=[tub],
    )  # fmt: skip
    tubs = (on("tub-1", "Tue 12:00", until), on("tub-2", "Tue 12:00", until))
    wash = task(
        "soup.1/wash-tub", start, dry, quantity=quantity, load=load, who=who
    )
    tasks = task("soup.1/fill", "Tue 12:00", taken=tubs), task("soup.1/pour", "Tue 13:00")
    return broken(
        made, plan(made, *tasks, wash, plating(), holds=[used(tasks[-1].end)])
    )


def test_16_a_tub_is_free_when_it_is_washed_and_dry() -> None:
    assert washed() == set()
    assert washed(until="Tue 14:00") == {"container"}
    assert washed(dry=25, until="Tue 14:40") == {"law"}
    assert washed(load=10, until="Tue 14:40") == {"visit-length"}


def test_16_it_is_washed_when_it_is_empty_and_soon() -> None:
    assert washed("Tue 13:55", until="Tue 14:40") == {"washed"}
    assert washed("Tue 18:00", until="Tue 18:45") == set()
    assert washed("Tue 18:05", until="Tue 18:50") == {"washed"}


def test_16_all_of_them_are_washed_and_by_whom_the_kitchen_says() -> None:
    assert washed(quantity="1 piece", load=10, until="Tue 14:40") == {"washed"}
    lead = [{"section": "anyone", "level": "lead"}]
    assert washed(hands=lead) == {"section-level"}
    assert washed(hands=lead, who="ana") == set()
