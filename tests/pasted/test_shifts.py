"""Shifts from a spreadsheet: everybody's days, as a table of people and days or as a list."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from scheduler.domain import roster
from scheduler.domain.problems import BadInput
from scheduler.domain.roster import cell
from scheduler.pasted.shifts import shifts, with_shifts
from scheduler.pasted.spreadsheet import opened
from tests.pasted.tables import filled, tabbed, told

PEOPLE = {"ada": "Ada", "bo": "Bo"}
THU, FRI, SAT = date(2026, 12, 3), date(2026, 12, 4), date(2026, 12, 5)
KITCHEN = {
    "id": "hut",
    "people": [
        {"id": "ada", "shifts": [{"days": ["daily"], "hours": "09:00-17:00",
                                  "breaks": ["12:00-12:30"]}]},
        {"id": "bo", "off": ["2026-12-04"]},
    ],
}  # fmt: skip


def test_a_roster_of_people_and_days_is_read_with_days_off_and_two_shifts_a_day() -> None:
    found = shifts(
        tabbed(
            ("Name", "Thu 2026-12-03", "2026-12-04", "2026-12-05"),
            ("Ada", "8-16:30", "off", ""),
            ("Bo", "10:00-14:00, 17:00-22:00", "22:00-06:00", "x"),
        ),
        PEOPLE,
    )
    assert found.cells == {
        ("ada", THU): "08:00-16:30", ("ada", FRI): "off", ("ada", SAT): "",
        ("bo", THU): "10:00-14:00, 17:00-22:00", ("bo", FRI): "22:00-06:00", ("bo", SAT): "off",
    }  # fmt: skip


def test_a_list_of_shifts_is_read_with_times_as_the_program_keeps_them() -> None:
    raw = filled(
        ("Person", "Date", "From", "To"),
        ("Ada", datetime(2026, 12, 3), time(8), time(16, 30)),
        ("Bo", date(2026, 12, 3), "10:00", "14:00"),
        ("Bo", date(2026, 12, 3), 0.75, 0.9375),
        ("Bo", "2026-12-04", "off", None),
    )
    assert shifts(opened(raw, "shifts.xlsx"), PEOPLE).cells == {
        ("ada", THU): "08:00-16:30", ("bo", THU): "10:00-14:00, 18:00-22:30", ("bo", FRI): "off"
    }  # fmt: skip


def test_every_wrong_cell_of_a_roster_is_told_at_once() -> None:
    with pytest.raises(BadInput) as refused:
        shifts(
            tabbed(
                ("Name", "3.12.2026", "2026-12-04", "2026-12-04"),
                ("Adda", "", "", ""),
                ("Bo", "", "early", ""),
                ("Bo", "", "", ""),
                ("", "", "8-16", ""),
            ),
            PEOPLE,
        )
    assert told(refused) == [
        "B1: '3.12.2026' is not a date; write 2026-12-03",
        "D1: 2026-12-04 is there already",
        "A2: there is no person 'Adda'. Maybe 'ada'",
        "C3: 'early' is not a stretch of hours; write 08:00-16:30",
        "A4: 'Bo' is there already, in row 3",
        "A5: there is nobody's name here",
    ]


def test_every_wrong_cell_of_a_list_is_told_at_once() -> None:
    with pytest.raises(BadInput) as refused:
        shifts(
            tabbed(
                ("who", "day", "from", "to"),
                ("ada", "1.12.2026", "8", "16"),
                ("ada", "2026-12-03", "8", ""),
                ("ada", "2026-12-03", "soon", "8"),
                ("bo", "2026-12-03", "8", "8"),
                ("bo", "2026-12-04", "off", ""),
                ("bo", "2026-12-04", "8", "16"),
            ),
            PEOPLE,
        )
    assert told(refused) == [
        "B2: '1.12.2026' is not a date; write 2026-12-01",
        "D3: there is no to here",
        "C4: 'soon' is not a time of day; write 08:00",
        "D5: '08:00-08:00' starts and ends at the same moment",
        "row 7: bo is off on 2026-12-04 and works on it",
    ]


def test_a_list_that_says_from_when_says_until_when() -> None:
    with pytest.raises(BadInput, match="none that says until when"):
        shifts(tabbed(("who", "day", "from"), ("ada", "2026-12-03", "8")), PEOPLE)


def test_what_is_no_roster_says_which_headings_it_needs() -> None:
    with pytest.raises(BadInput, match="no row has the headings person and day and from or hours"):
        shifts(tabbed(("a", "b"), ("c", "d")), PEOPLE)


def test_a_year_mistyped_is_no_roster_of_a_century() -> None:
    with pytest.raises(BadInput, match="go from 2026-12-03 to 2126-12-04; a roster is of a year"):
        shifts(tabbed(("who", "2026-12-03", "2126-12-04"), ("ada", "8-16", "8-16")), PEOPLE)


def test_pasted_days_are_as_pasted_and_every_other_day_stays() -> None:
    cells = {("ada", THU): "08:00-16:30", ("ada", FRI): "off", ("bo", FRI): "10:00-14:00"}
    made, notes = with_shifts(KITCHEN, cells, [date(2026, 10, 1), date(2027, 6, 1)])
    ada, bo = made["people"]
    assert [cell(ada, d) for d in (THU, FRI)] == ["08:00-16:30", "off"]
    assert [cell(bo, d) for d in (THU, FRI)] == ["", "10:00-14:00"]
    assert roster.shifts_on(ada, THU)[0]["breaks"] == ["12:00-12:30"]
    assert KITCHEN["people"][1] == {"id": "bo", "off": ["2026-12-04"]}
    for other in (date(2026, 10, 1), SAT, date(2027, 6, 1)):
        assert cell(ada, other) == "09:00-17:00"
    assert notes == (
        "The shifts of ada that repeated (daily) are written out from 2026-10-01 to 2027-06-01; "
        "on later days there are none.",
    )
    assert with_shifts(KITCHEN, {}) == (KITCHEN, ())


def test_a_break_that_lies_outside_the_new_hours_is_left_out() -> None:
    made, _ = with_shifts(KITCHEN, {("ada", THU): "14:00-22:00"})
    ada = made["people"][0]
    assert roster.shifts_on(ada, THU) == [{"days": ["2026-12-03"], "hours": "14:00-22:00"}]
    assert roster.shifts_on(ada, FRI)[0].get("breaks") == ["12:00-12:30"]
