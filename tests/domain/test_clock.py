"""Wall clocks become minutes and come back right, the two nights when clocks change included."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.times import (
    Clock,
    Days,
    Hours,
    read_day,
    read_duration,
    read_moment,
    write_duration,
)

VIENNA = "Europe/Vienna"
# Vienna: forward on 2027-03-28, 02:00 to 03:00; back on 2027-10-31, 03:00 to 02:00
# (Directive 2000/84/EC: last Sundays of March and October, 01:00 UTC).
SPRING = Clock(VIENNA, datetime(2027, 3, 27), datetime(2027, 3, 30))
AUTUMN = Clock(VIENNA, datetime(2027, 10, 30), datetime(2027, 11, 2))
ZONES = [VIENNA, "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC",
         "Africa/Casablanca", "America/St_Johns", "Pacific/Apia"]  # fmt: skip


def test_the_spring_night_is_an_hour_shorter() -> None:
    assert SPRING.horizon == 3 * 1440 - 60
    assert SPRING.span(date(2027, 3, 27), Hours.parse("22:00-06:00")) == (1320, 1320 + 7 * 60)
    assert SPRING.local(1440 + 120).strftime("%H:%M %z") == "03:00 +0200"
    assert not SPRING.exists(datetime(2027, 3, 28, 2, 30))
    assert SPRING.exists(datetime(2027, 3, 28, 3, 0))
    assert SPRING.exists(datetime(2027, 3, 28, 1, 59))


def test_the_autumn_night_is_an_hour_longer() -> None:
    assert AUTUMN.horizon == 3 * 1440 + 60
    assert AUTUMN.span(date(2027, 10, 30), Hours.parse("22:00-06:00")) == (1320, 1320 + 9 * 60)
    twice = datetime(2027, 10, 31, 2, 30)
    assert AUTUMN.exists(twice)
    first, second = 1440 + 150, 1440 + 210
    assert AUTUMN.minute(twice) == first  # The first of the two.
    assert AUTUMN.local(first).replace(tzinfo=None, fold=0) == twice
    assert AUTUMN.local(second).replace(tzinfo=None, fold=0) == twice
    assert AUTUMN.local(first).utcoffset() == timedelta(hours=2)
    assert AUTUMN.local(second).utcoffset() == timedelta(hours=1)


@given(
    st.sampled_from(ZONES),
    st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1)),
    st.integers(-20_000, 90_000),
)
def test_minutes_are_what_elapsed_against_plain_arithmetic_in_utc(
    zone: str, start: datetime, minutes: int
) -> None:
    start = start.replace(second=0, microsecond=0, fold=0)
    clock = Clock(zone, start, start + timedelta(days=3))
    # Said another way: instants in UTC from the zone's own tables.
    origin = start.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
    then = origin + timedelta(minutes=minutes)
    local = clock.local(minutes)
    assert local.astimezone(UTC) == then
    assert local == then.astimezone(ZoneInfo(zone))
    assert clock.exists(local.replace(tzinfo=None))
    if local.fold == 0:
        assert clock.minute(local.replace(tzinfo=None)) == minutes


def test_days_reach_one_night_back() -> None:
    assert SPRING.days() == [date(2027, 3, 26) + timedelta(days=i) for i in range(5)]


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("45 min", 45), ("1 h 30 min", 90), ("5 d", 7200), ("0", 0), ("0 min", 0), ("2 d 4 h", 3120),
     ("90min", 90), ("  8   h ", 480)],
)  # fmt: skip
def test_a_duration_is_worked_out_by_hand(text: str, minutes: int) -> None:
    assert read_duration(text) == minutes


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("45", r"has no unit of time\. Maybe '45 min' or '45 h'"),
        ("1.5 h", r"not in whole minutes\. Maybe '1 h 30 min'"),
        ("1,5 h", r"Maybe '1 h 30 min'"),
        ("0.5 d", r"Maybe '12 h'"),
        ("2 hours", r"Maybe '2 h'"),
        ("10 minutes", r"Maybe '10 min'"),
        ("3 days 2 hrs", r"Maybe '3 d 2 h'"),
        ("400 d", "longer than a year"),
        ("-5 min", "is not a duration"),
        ("soon", "is not a duration"),
        ("9" * 30 + " min", "longer than a year"),
        ("9" * 5000 + " min", "is not a duration"),
        ("9" * 400 + ".5 h", "is not a duration"),
        ("1 h " * 5000, "is not a duration"),
    ],
)
def test_what_is_no_duration_says_why(text: str, what: str) -> None:
    with pytest.raises(ValueError, match=what):
        read_duration(text)


@given(st.integers(0, 366 * 1440))
def test_a_duration_written_and_read_is_the_same(minutes: int) -> None:
    assert read_duration(write_duration(minutes)) == minutes


@given(st.integers(0, 1439), st.integers(1, 1439))
def test_hours_written_and_read_are_the_same(start: int, length: int) -> None:
    hours = Hours(start, start + length)
    assert Hours.parse(str(hours)) == hours


def test_hours_past_midnight_and_round_the_clock() -> None:
    assert Hours.parse("22:00-06:00") == Hours(1320, 1800)
    assert Hours.parse("00:00-24:00") == Hours(0, 1440)
    assert str(Hours(0, 1440)) == "00:00-24:00"
    with pytest.raises(ValueError, match="same moment"):
        Hours.parse("08:00-08:00")
    for bad in ("8-16", "08:00", "08:60-09:00", "24:30-25:00", "08:00-09:00-10:00", ""):
        with pytest.raises(ValueError, match="'"):
            Hours.parse(bad)


@pytest.mark.parametrize(
    "text",
    ["2026-02-29 12:00", "2026-12-12", "2026-12-12 7:30", "2026-12-12 19:30:00", "12.12.2026 19:30",
     "2026-12-12 24:00", "2026-12-12T19:30Z", "0001-01-01 00:00", "9999-12-31 23:59", ""],
)  # fmt: skip
def test_what_is_no_moment_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="'"):
        read_moment(text)


def test_days_of_every_kind() -> None:
    saturday = date(2027, 5, 8)
    for text in ("daily", "sat", "SAT", "2027-05-08", "2027-05-01..2027-05-08"):
        assert saturday in Days.parse(text)
    for text in ("sun", "2027-05-09", "2027-05-09..2027-05-10"):
        assert saturday not in Days.parse(text)
    backwards = "2027-05-08..2027-05-01"
    for bad, meant in (("saturday", "'sat'"), (backwards, "backwards"), ("x", "daily")):
        with pytest.raises(ValueError, match=meant):
            Days.parse(bad)
    with pytest.raises(ValueError, match="does not exist"):
        read_day("2027-02-30")


@given(st.text(max_size=60))
def test_no_text_breaks_the_reading_of_times(text: str) -> None:
    for read in (read_duration, read_moment, read_day, Hours.parse, Days.parse):
        try:
            read(text)
        except ValueError as error:
            assert str(error)
