"""What stands in cells: read where it can only mean one thing, else said with what to write."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

import pytest

from scheduler.pasted.grid import name_of
from scheduler.pasted.values import Named, amount, clock, day, hours, moment, percent


@pytest.mark.parametrize(
    ("value", "read"),
    [
        ("2026-05-01", date(2026, 5, 1)),
        (datetime(2026, 5, 1), date(2026, 5, 1)),
        (date(2026, 5, 1), date(2026, 5, 1)),
    ],
)
def test_a_day_is_read(value: Any, read: date) -> None:
    assert day(value) == read


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("1.5.2026", "'1.5.2026' is not a date; write 2026-05-01"),
        ("1.5.26", "'1.5.26' is not a date; write 2026-05-01"),
        ("1/5/2026", "'1/5/2026' is not a date; write 2026-05-01 or 2026-01-05"),
        ("13/5/2026", "'13/5/2026' is not a date; write 2026-05-13"),
        ("2026/5/1", "'2026/5/1' is not a date; write 2026-05-01"),
        ("31.2.2026", "'31.2.2026' is not a date; write 2026-05-01"),
        (46143, "format the cell as a date (2026-05-01), or write 2026-05-01"),
        ("soon", "'soon' is not a date"),
        (datetime(2026, 5, 1, 8), "has a time; write the day alone"),
        (True, "'True' is not a date"),
        (date(9999, 12, 31), "is not in 1900 to 2199"),
    ],
)
def test_a_day_that_is_none_says_which_one_was_probably_meant(value: Any, said: str) -> None:
    with pytest.raises(ValueError) as refused:
        day(value)
    assert said in str(refused.value)


def test_a_day_without_an_hour_is_its_first_minute_so_that_nothing_seems_fresher() -> None:
    assert moment("2026-05-01") == moment(date(2026, 5, 1)) == datetime(2026, 5, 1)
    assert moment("2026-05-01 14:30:59") == moment(datetime(2026, 5, 1, 14, 30, 59))
    with pytest.raises(ValueError, match="write 2026-05-01 14:30"):
        moment("1.5.2026 14:30")


@pytest.mark.parametrize(
    ("written", "read"),
    [("08:00-16:30", "08:00-16:30"), ("8-16:30", "08:00-16:30"), ("8.00 – 16h30", "08:00-16:30"),
     ("22:00 to 6:00", "22:00-06:00")],
)  # fmt: skip
def test_hours_are_read_as_cooks_write_them(written: str, read: str) -> None:
    assert hours(written) == read


@pytest.mark.parametrize("written", ["8", "early", "25-26", "8-8", "08:00-16:75"])
def test_hours_that_are_none_are_refused(written: str) -> None:
    with pytest.raises(ValueError, match=f"{written}|time of day|moment"):
        hours(written)


@pytest.mark.parametrize(
    ("value", "read"),
    [(time(8), "08:00"), ("8:00", "08:00"), ("8", "08:00"), (0.3125, "07:30"), (8, None),
     (timedelta(hours=24), "24:00"), (datetime(1900, 1, 1, 6), "06:00")],
)  # fmt: skip
def test_a_time_of_day_is_read_however_the_program_keeps_it(value: Any, read: str | None) -> None:
    assert clock(value) == (read or "08:00")


@pytest.mark.parametrize(
    ("value", "unit", "read"),
    [("3 kg", "", "3 kg"), (3, "kg", "3 kg"), (0.1 + 0.2, "kg", "0.3 kg"), ("3,5 kg", "", "3.5 kg"),
     ("0,125", "l", "0.125 l"), ("48 pieces", "kg", "48 pieces")],
)  # fmt: skip
def test_an_amount_is_read_with_the_unit_that_stands_with_it(
    value: Any, unit: str, read: str
) -> None:
    assert amount(value, unit).text == read


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        ("3", "", "'3' has no unit; write '3 kg', or the unit in the heading: quantity (kg)"),
        ("1,500", "g", "'1,500' may be 1.500 or 1500; write which"),
        ("-2", "kg", "is less than nothing"),
        ("3 kgg", "", "kgg"),
        (datetime(2026, 5, 1), "kg", "is no amount"),
        (True, "kg", "is no amount"),
    ],
)
def test_an_amount_that_is_none_or_two_is_refused(value: Any, unit: str, said: str) -> None:
    with pytest.raises(ValueError) as refused:
        amount(value, unit)
    assert said in str(refused.value)


def test_a_percentage_is_read_as_a_program_keeps_it_and_as_people_write_it() -> None:
    assert percent(0.85, of_one=True) == percent(85, of_one=False) == "85 %"
    assert percent("85", of_one=True) == percent("85 %", of_one=False) == "85 %"
    with pytest.raises(ValueError, match="not between"):
        percent(85, of_one=True)


def test_things_are_found_by_id_and_by_name_unless_two_are_called_so() -> None:
    named = Named("person", {"ada": "Ada", "bo": "Bo", "bo-two": "Bo"})
    assert named.id_of("ada") == named.id_of("  ADA ") == "ada"
    assert named.id_of("bo") == "bo"
    with pytest.raises(ValueError, match="several are called 'Bo'"):
        named.id_of("Bo")
    with pytest.raises(ValueError, match=r"there is no person 'adda'\. Maybe 'ada'"):
        named.id_of("adda")


@pytest.mark.parametrize(
    ("row", "column", "name"), [(0, 0, "A1"), (6, 1, "B7"), (0, 25, "Z1"), (9, 26, "AA10")]
)
def test_cells_are_called_as_the_program_calls_them(row: int, column: int, name: str) -> None:
    assert name_of(row, column) == name
