"""Semantics 34, 35, 38 and 58, for the second reader: meeting streams, plating, left out."""

from __future__ import annotations

import pytest

from scheduler.plan.model import PlannedHold, Unserved
from tests.plan.byhand import (
    batch,
    bowls,
    broken,
    component,
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

# 34 Meeting streams, 58 needs itself


def joined(roux_at: str, within: str | None = None) -> set[str]:
    """Soup boils from 14:00 and takes roux, hot."""
    takes = {"component": "roux", "amount": "200 g"} | ({"within": within} if within else {})
    made = week(
        component("roux", step("stir", "30 min"), makes="200 g"),
        component("soup", step("boil", takes=[takes])),
    )
    roux = task("roux.1/stir", roux_at, 30, quantity="200 g")
    boil = task("soup.1/boil", "Tue 14:00")
    waits = [used(boil.end)]
    if roux.end < boil.start:
        waits.append(used(roux.end, boil.start, "roux.1", "soup.1/boil", quantity="200 g"))
    return broken(
        made,
        plan(
            made,
            roux,
            boil,
            plating(),
            batches=[batch("roux.1", "200 g"), batch("soup.1"), bowls()],
            shares=[share(), share("roux.1", "soup.1/boil", "200 g")],
            holds=waits,
        ),
    )


def test_34_a_step_has_a_longest_wait_for_each_of_its_inputs() -> None:
    assert joined("Tue 13:30", within="0 min") == set()
    assert joined("Tue 13:25", within="0 min") == {"within"}
    assert joined("Tue 13:25") == set()
    assert joined("Tue 13:35") == {"ready"}


def test_58_a_starter_takes_of_what_is_on_hand_but_never_of_itself() -> None:
    takes = {"component": "soup", "amount": "100 g"}
    keeps = [{"at_most": "3 d", "best_until": "3 d"}]
    stands = {
        "id": "old-soup",
        "component": "soup",
        "quantity": "110 g",
        "made": "2026-03-01 20:00",
    }
    made = week(component("soup", step(takes=[takes]), keeps=keeps), week={"on_hand": [stands]})

    def fed(source: str, holds: list[PlannedHold]) -> set[str]:
        return broken(
            made,
            plan(
                made,
                task("soup.1/cook", "Tue 12:00", quantity="1100 g"),
                plating(),
                batches=[batch("soup.1", "1100 g"), bowls()],
                shares=[share(), share(source, "soup.1/cook", "110 g")],
                holds=[used("Tue 13:00"), *holds],
            ),
        )

    starter = used("Mon 00:00", "Tue 12:00", "old-soup", "soup.1/cook", quantity="110 g")
    assert fed("old-soup", [starter]) == set()
    assert {"shares", "ready"} <= fed("soup.1", [])


# 35 Plating


@pytest.mark.parametrize(
    ("start", "minutes", "rules"),
    [
        ("Tue 18:00", 10, set()),
        ("Tue 18:05", 10, {"first-plate"}),
        ("Tue 17:55", 10, {"first-plate"}),
        ("Tue 18:00", 5, {"law"}),
        ("Tue 18:00", 15, {"law"}),
    ],
)
def test_35_plating_begins_with_the_first_plate_away_and_takes_its_rate(
    start: str, minutes: int, rules: set[str]
) -> None:
    made = week()
    served = plating(start=start, minutes=minutes)
    assert broken(made, supper(made, task("soup.1/cook", "Tue 12:00"), served=served)) == rules


def test_35_components_are_ready_by_its_start() -> None:
    made = week()
    assert broken(made, supper(made, task("soup.1/cook", "Tue 17:00"))) == set()
    assert broken(made, supper(made, task("soup.1/cook", "Tue 17:05"))) == {"ready"}


# 38 What is left out is said


def left_out(*unserved: Unserved, missing: bool = True) -> tuple[set[str], bool]:
    made = week()
    gone = [{"batch": "soup.1", "why": "no place"}] if missing else []
    found = report(made, plan(made, plating(), missing=gone, unserved=unserved))
    return set(found.rules()), found.served


def test_38_a_plan_without_the_soup_is_valid_if_it_says_so_and_serves_nobody() -> None:
    true = Unserved(batch="supper.bowl", event="supper", dish="bowl", portions=10, lacks=("soup",))
    assert left_out(true) == (set(), False)
    assert left_out() == ({"unserved"}, False)
    assert left_out(true.model_copy(update={"portions": 9})) == ({"unserved"}, False)
    assert left_out(true, missing=False) == ({"left-out"}, False)


def test_38_what_is_fed_by_something_left_out_is_left_out() -> None:
    takes = {"component": "roux", "amount": "200 g"}
    made = week(
        component("roux", step("stir", "30 min"), makes="200 g"),
        component("soup", step("boil", takes=[takes])),
    )
    boil = task("soup.1/boil", "Tue 14:00")
    without = plan(
        made,
        boil,
        plating(),
        batches=[batch("roux.1", "200 g"), batch("soup.1"), bowls()],
        shares=[share(), share("roux.1", "soup.1/boil", "200 g")],
        holds=[used(boil.end)],
        missing=[{"batch": "roux.1", "why": "no place"}],
    )
    assert broken(made, without) == {"left-out"}
