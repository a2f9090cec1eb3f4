"""Real times beside planned ones: only what the clock knows, and never offered too soon."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest

from scheduler.book.standing import Recorded
from scheduler.outputs.durations import (
    Of,
    Took,
    as_measured,
    compared,
    time_of,
    took,
    written,
)
from scheduler.plan.words import Names
from tests.outputs.hut import at, sheets

FILL, PLATE = "soup.1/simmer", "supper.bowl/plating"
SIMMER = Of("component", "soup", "simmer", None)
ZERO = datetime(2026, 12, 2, 23, tzinfo=UTC)


def names() -> Mapping[int, Names]:
    return {1: sheets().names}


def entry(
    place: int, minute: int, kind: str = "done", later: int = 0, task: str = FILL, **body: Any
) -> Recorded:
    happened = ZERO + timedelta(minutes=minute)
    return Recorded(
        str(place), "hut", place, "hut-supper", task.partition("/")[0], task, kind, body, "ada",
        happened, happened + timedelta(minutes=later), 1, None,
    )  # fmt: skip


def test_from_the_tick_of_loading_to_that_of_the_end_is_how_long_it_took() -> None:
    # Planned: filled until 14:15, simmers two hours; nobody takes it out.
    ticks = [entry(1, at(14, 20), visit="load:0"), entry(2, at(16, 50))]
    assert took(names(), ticks) == [Took(SIMMER, 120, 150)]


def test_a_start_that_was_ticked_counts_from_when_loading_would_be_over() -> None:
    assert took(names(), [entry(1, at(14), "started"), entry(2, at(16, 15))]) == [
        Took(SIMMER, 120, 120)
    ]


@pytest.mark.parametrize(
    "ticks",
    [
        [entry(1, at(16, 15))],  # nobody knows when it was begun
        [entry(1, at(14, 15), visit="load:0")],  # nor here when it was over
        [entry(1, at(14, 15), visit="load:0", as_planned=True), entry(2, at(16, 15))],
        [entry(1, at(14, 15), visit="load:0"), entry(2, at(16, 15), as_planned=True)],
        [entry(1, at(14, 15), visit="load:0"), entry(2, at(16, 15), later=-60)],  # a wrong clock
        [entry(1, at(16, 15), visit="load:0"), entry(2, at(14, 15))],  # ended before it began
        [entry(1, at(14, 15), visit="load:0"), entry(2, at(16, 15, day=12))],
        [entry(1, at(18), "started", task=PLATE), entry(2, at(19), task=PLATE)],  # no recipe's step
    ],
)
def test_what_the_clock_does_not_know_is_not_measured(ticks: list[Recorded]) -> None:
    assert took(names(), ticks) == []


def times(*really: int, planned: int = 60) -> list[Took]:
    return [Took(SIMMER, planned, minutes) for minutes in really]


@pytest.mark.parametrize(
    ("really", "doubted"),
    [
        ([73] * 10, True),
        ([73] * 9, False),  # too few
        ([72] * 10, False),  # a fifth is not more than a fifth
        ([47] * 10, True),
        ([48] * 10, False),
        ([60] * 6 + [300] * 5, False),  # a few that went wrong are not the median
    ],
)
def test_ten_times_and_more_than_a_fifth_are_needed(really: list[int], doubted: bool) -> None:
    (found,) = compared(times(*really))
    assert found.doubted is doubted
    assert found.times == len(really)


def test_number_median_and_spread_are_worked_out_over_batches_of_all_sizes() -> None:
    some = times(60, 90, 120) + times(180, 210, planned=120)
    (found,) = compared(some)
    # By planned: 1, 1.5, 2, 1.5, 1.75.
    assert (found.times, found.ratio) == (5, Fraction(3, 2))
    assert (found.low, found.high) == (Fraction(3, 2), Fraction(7, 4))
    assert (found.planned, found.really) == (60, 120)
    assert compared(times(60))[0].low == 1


@pytest.mark.parametrize(
    ("time", "new"),
    [
        ("50 min", "1 h 5 min"),
        ({"at_least": "20 min", "plus": "4 min", "per": "1 kg"},
         {"at_least": "26 min", "plus": "5 min", "per": "1 kg"}),
        ({"at_least": "20 min", "undivided": "10 min"},
         {"at_least": "26 min", "undivided": "13 min"}),
        ({"at_least": "2 h", "at_most": "3 h"}, None),
        ({"at_least": "2 h", "best": "3 h"}, None),
        ({"at_least": "2 h", "decides": "it"}, None),
        (None, None),
    ],
)  # fmt: skip
def test_a_recipes_time_grows_with_what_was_measured_and_a_range_is_the_chefs(
    time: Any, new: Any
) -> None:
    body = {"id": "soup", "steps": [{"id": "peel"}, {"id": "simmer", "time": time, "alone": "yes"}]}
    found = as_measured(body, SIMMER, Fraction(13, 10))
    if new is None:
        assert found is None
        return
    assert found is not None
    assert found["steps"] == [{"id": "peel"}, {"id": "simmer", "time": new, "alone": "yes"}]
    assert time_of(found, SIMMER) == new
    assert time_of(body, SIMMER) == time  # the old one is as it was


def test_another_method_is_another_time() -> None:
    other = Of("component", "soup", "simmer", "kettle")
    own = {"id": "simmer", "time": "50 min"}
    kettle = {"id": "kettle", "steps": [{"id": "simmer", "time": "1 h"}]}
    body = {"id": "soup", "steps": [own], "methods": [{"id": "oven", "steps": [own]}, kettle]}
    found = as_measured(body, other, Fraction(2))
    assert found is not None
    assert found["steps"] == [own]
    assert found["methods"][0] == {"id": "oven", "steps": [own]}
    assert found["methods"][1]["steps"][0]["time"] == "2 h"
    assert as_measured(body, Of("component", "soup", "simmer", "pan"), Fraction(2)) is None
    assert as_measured(body, Of("component", "soup", "boil", None), Fraction(2)) is None


def test_a_time_is_told_as_it_is_written() -> None:
    assert written("50 min") == "50 min"
    assert written({"at_least": "20 min", "plus": "4 min", "per": "1 kg"}) == (
        "20 min and 4 min for every 1 kg"
    )
