"""Semantics 54 and 55, for the second reader: counts and service."""

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

# 54 Counts


def portions(counted: int, *, guests: int = 10, **course: Any) -> set[str]:
    """Does the menu come to so many? Soup is on hand in plenty."""
    margin = {} if course.pop("kitchen", False) else {"margin": course.pop("margin", "0 %")}
    keeps = [{"at_most": "3 d", "best_until": "3 d"}]
    stands = {
        "id": "old-soup",
        "component": "soup",
        "quantity": f"{counted * 100} g",
        "made": "2026-03-01 20:00",
    }
    supper_event = {
        "id": "supper",
        "first_plate": "2026-03-03 18:00",
        "guests": guests,
        "tables": 3,
        "menu": [{"dish": "bowl"} | course],
    } | margin
    made = week(
        component("soup", step(), keeps=keeps),
        events=[supper_event],
        dishes=[dish(plating={"per_hour": 6000})],
        week={"on_hand": [stands]},
    )
    minutes = max(5, -(-counted // 500) * 5)
    amount = f"{counted * 100} g"
    return broken(
        made,
        plan(
            made,
            plating(portions=counted, minutes=minutes),
            batches=[bowls(portions=counted)],
            shares=[share("old-soup", quantity=amount)],
            holds=[used("Mon 00:00", source="old-soup", quantity=amount)],
        ),
    )


@pytest.mark.parametrize(
    ("right", "words"),
    [
        (10, {}),
        (11, {"margin": "10 %"}),
        (12, {"margin": "11 %"}),  # 11.1
        (110, {"guests": 100, "margin": "10 %"}),  # never 111
        (3, {"each": "table"}),
        (1, {"each": "event"}),
        (60, {"per": 6}),
        (7, {"count": 7}),
        (4, {"share": "35 %"}),  # 3.5
        (14, {"crew": 4}),
        (15, {"crew": 4, "margin": "10 %"}),
        # The published bands: 100 guests 110; 101 guests and 5 % would be 107.
        (110, {"guests": 100, "kitchen": True}),
        (110, {"guests": 101, "kitchen": True}),
        (112, {"guests": 106, "kitchen": True}),  # 111.3
    ],
)
def test_54_portions_are_counted_as_the_menu_says(right: int, words: dict[str, Any]) -> None:
    assert portions(right, **words) == set()
    assert portions(right + 1, **words) == {"menu"}


def test_54_a_components_margin_replaces_the_events_once() -> None:
    # 10 guests; the event's 50 % makes 15 bowls; soup has its own 20 %: 12 x 100 g.
    made = week(
        component("soup", step(), margin="20 %", batch={"least": "2 kg"}),
        events=[event(margin="50 %")],
    )

    def given(amount: str) -> set[str]:
        cooked = task("soup.1/cook", "Tue 12:00", quantity="2 kg")
        return broken(
            made,
            plan(
                made,
                cooked,
                plating(portions=15),
                batches=[batch("soup.1", "2 kg"), bowls(portions=15)],
                shares=[share(quantity=amount)],
                holds=[used(cooked.end, quantity=amount)],
            ),
        )

    assert given("1200 g") == set()
    assert given("1500 g") == {"shares"}
    assert given("1800 g") == {"shares"}


def diets(diet_start: str, diet_soup: str = "broth.1", ahead: str = "30 min") -> set[str]:
    """Two of ten get broth instead of soup, plated before the others."""
    menu = {"dish": "bowl", "diets": [{"id": "light", "count": 2, "swap": {"soup": "broth"}}]}
    made = week(
        component("soup", step()),
        component("broth", step()),
        events=[event(menu)],
        diets_ahead=ahead,
    )
    soup = task("soup.1/cook", "Tue 12:00", quantity="1 kg")
    broth = task("broth.1/cook", "Tue 12:00", quantity="200 g")
    apart = plating("supper.bowl.light", diet_start, 2)
    return broken(
        made,
        plan(
            made,
            soup,
            broth,
            plating(portions=8),
            apart,
            batches=[
                batch("soup.1", "1 kg"),
                batch("broth.1", "200 g"),
                bowls(portions=8),
                bowls("supper.bowl.light", 2, diet="light"),
            ],
            shares=[
                share(quantity="800 g"),
                share(diet_soup, "supper.bowl.light/plating", "200 g"),
            ],
            holds=[
                used(soup.end, quantity="800 g"),
                used(broth.end, apart.start, diet_soup, apart.id, quantity="200 g"),
            ],
        ),
    )


def test_54_diets_get_their_own_component_first_and_apart() -> None:
    assert diets("Tue 17:55") == set()
    assert diets("Tue 17:25") == set()
    assert diets("Tue 17:20") == {"diets-first"}
    assert diets("Tue 18:00") >= {"diets-first"}
    assert diets("Tue 17:55", diet_soup="soup.1") == {"shares"}


def test_54_a_menu_without_its_diet_batch_is_short() -> None:
    menu = {"dish": "bowl", "diets": [{"id": "light", "count": 2}]}
    made = week(component("soup", step()), events=[event(menu)])
    cooked = task("soup.1/cook", "Tue 12:00")
    made_plan = plan(
        made,
        cooked,
        plating(portions=8),
        batches=[batch("soup.1"), bowls(portions=8)],
        shares=[share(quantity="800 g")],
        holds=[used(cooked.end, quantity="800 g")],
    )
    found = report(made, made_plan)
    assert found.rules() == {"menu"}
    assert not found.served
    assert found.terms.served == (2,)


# 55 Service


def test_55_courses_go_away_by_their_offset() -> None:
    made = week(events=[event({"dish": "bowl", "after": "45 min"})])

    def away(start: str) -> set[str]:
        return broken(
            made, supper(made, task("soup.1/cook", "Tue 12:00"), served=plating(start=start))
        )

    assert away("Tue 18:45") == set()
    assert away("Tue 18:00") == {"first-plate"}


def test_55_a_reception_goes_out_in_waves() -> None:
    # 11 portions in waves of 30, 30 and 40 %: 4, 3 and 4.
    waves = [
        {"after": "0 min", "share": "30 %"},
        {"after": "30 min", "share": "30 %"},
        {"after": "1 h", "share": "40 %"},
    ]
    made = week(events=[event({"dish": "bowl", "waves": waves}, guests=11)])

    def sent(*sizes: int, third: str = "Tue 19:00") -> set[str]:
        starts = ("Tue 18:00", "Tue 18:30", third)
        cooked = task("soup.1/cook", "Tue 12:00", quantity="1100 g")
        names = [f"supper.bowl.w{i + 1}" for i in range(3)]
        goods = [f"{n * 100} g" for n in sizes]
        return broken(
            made,
            plan(
                made,
                cooked,
                *(plating(n, s, p) for n, s, p in zip(names, starts, sizes, strict=True)),
                batches=[
                    batch("soup.1", "1100 g"),
                    *(
                        bowls(n, p, wave=i)
                        for i, (n, p) in enumerate(zip(names, sizes, strict=True))
                    ),
                ],
                shares=[
                    share(consumer=f"{n}/plating", quantity=g)
                    for n, g in zip(names, goods, strict=True)
                ],
                holds=[
                    used(cooked.end, s, consumer=f"{n}/plating", quantity=g)
                    for n, s, g in zip(names, starts, goods, strict=True)
                ],
            ),
        )

    assert sent(4, 3, 4) == set()
    assert sent(4, 4, 3) == {"menu"}
    assert sent(4, 3, 4, third="Tue 19:05") == {"first-plate"}


def plated_early(start: str, *holds: PlannedHold, at_most: str = "2 h") -> tuple[set[str], int]:
    """A cold starter that may wait plated, four to a shelf."""
    keeps = {
        "zone": "chilled",
        "at_most": at_most,
        "per_shelf": "4 portions",
        "best_until": "30 min",
    }
    made = week(
        component("soup", step()),
        dishes=[dish(keeps=keeps)],
        stores=[{"id": "cold-room", "zone": "chilled", "shelves": 4}],
    )
    served = plating(start=start)
    found = report(made, supper(made, task("soup.1/cook", "Tue 12:00"), served=served, holds=holds))
    return set(found.rules()), found.terms.quality


def stands(start: str, shelves: int = 3) -> PlannedHold:
    return hold(
        "plated",
        "supper.bowl",
        start,
        "Tue 18:00",
        quantity="10 pieces",
        store="cold-room",
        shelves=shelves,
    )


def test_55_a_plated_dish_waits_on_its_shelves_within_its_limit() -> None:
    # Plated at 17:00, an hour before; best until half an hour: 30 min.
    assert plated_early("Tue 17:00", stands("Tue 17:00")) == (set(), 30)
    assert plated_early("Tue 17:00", stands("Tue 17:00", 2))[0] == {"shelves"}
    assert plated_early("Tue 17:00")[0] == {"holds"}
    assert plated_early("Tue 15:55", stands("Tue 15:55"))[0] == {"plated-hold"}
    assert plated_early("Tue 17:55", stands("Tue 17:55"))[0] == {"first-plate"}


def test_55_a_dish_may_have_steps_before_it_is_plated() -> None:
    crisp = {
        "id": "crisp",
        "time": "15 min",
        "hands": [{}],
        "takes": [{"component": "soup", "amount": "100 g"}],
    }
    made = week(
        component("soup", step()),
        dishes=[{"id": "bowl", "section": "stove", "steps": [crisp], "plating": {"per_hour": 60}}],
    )

    def crisped(start: str) -> set[str]:
        cooked = task("soup.1/cook", "Tue 12:00")
        hot = task("supper.bowl/crisp", start, 15, quantity="10 pieces", hands=["ben"])
        return broken(
            made,
            plan(
                made,
                cooked,
                hot,
                plating(),
                shares=[share(consumer="supper.bowl/crisp")],
                holds=[used(cooked.end, hot.start, consumer=hot.id)],
            ),
        )

    assert crisped("Tue 17:45") == set()
    assert crisped("Tue 17:40") == {"at-once"}
