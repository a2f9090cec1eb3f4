"""Times on the chart are the kitchen's, whatever zone, night or wall clock."""

from __future__ import annotations

from copy import deepcopy
from datetime import date, datetime

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from tests.plan.tiny import DOCUMENT
from ui.charts.window import LENGTHS, days_of, nobody_there, services, wall, window


def week(starts: str, plan_from: str, ends: str) -> Scenario:
    document = deepcopy(DOCUMENT)
    document["week"] |= {"starts": starts, "plan_from": plan_from, "ends": ends}
    document["week"]["events"][0]["first_plate"] = plan_from[:11] + "19:30"
    return scenario_of(document)


@pytest.fixture
def autumn() -> Scenario:
    """Clocks go back in the night to Sunday, 25 October 2026."""
    return week("2026-10-24 00:00", "2026-10-24 06:00", "2026-10-26 00:00")


def test_the_doubled_hour_of_autumn_is_shown_as_the_clock_shows_it(autumn: Scenario) -> None:
    clock = autumn.clock
    midnight = clock.minute(datetime(2026, 10, 25))
    told = [wall(clock, midnight + m).strftime("%H:%M") for m in (0, 120, 180, 240)]
    assert told == ["00:00", "02:00", "02:00", "03:00"]


def test_a_day_of_twenty_five_hours_is_looked_at_whole(autumn: Scenario) -> None:
    looked = window(autumn.clock, "day", date(2026, 10, 25))
    assert looked.end - looked.start == 25 * 60


def test_a_day_outside_the_week_becomes_the_nearest_in_it(autumn: Scenario) -> None:
    assert window(autumn.clock, "day", date(2020, 1, 1)).first == date(2026, 10, 24)
    assert window(autumn.clock, "day", date(2030, 1, 1)).first == date(2026, 10, 25)


def test_all_days_are_all_days_and_midnight_at_the_end_is_none(autumn: Scenario) -> None:
    assert days_of(autumn.clock) == [date(2026, 10, 24), date(2026, 10, 25)]
    looked = window(autumn.clock, "all", date(2026, 10, 25))
    assert (looked.start, looked.end) == (0, autumn.clock.horizon)
    assert set(LENGTHS) == {"day", "three", "all"}


def test_nights_are_when_nobody_is_on_shift(autumn: Scenario) -> None:
    clock = autumn.clock
    told = [(f"{wall(clock, a):%d %H:%M}", f"{wall(clock, b):%d %H:%M}")
            for a, b in nobody_there(autumn)]  # fmt: skip
    assert told == [("24 00:00", "24 08:00"), ("24 22:00", "25 08:00"), ("25 22:00", "26 00:00")]


def test_a_service_has_its_name_at_the_first_plate_only() -> None:
    autumn = week("2026-10-24 00:00", "2026-10-24 06:00", "2026-10-26 00:00")
    found = services(autumn)
    assert [name for _, name in found if name] == ["Supper"]
    assert found[0][0] == autumn.clock.minute(datetime(2026, 10, 24, 19, 30))
