"""Guests from an organiser's table: every event has those it has, or every cell that is wrong."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.pasted.guests import guests
from scheduler.pasted.spreadsheet import opened
from tests.pasted.tables import filled, tabbed, told

DISHES = {"soup": "Barley soup", "lamb": "Lamb, slow", "fish": "Fish", "cake": "Cake"}
GLUTEN = {"id": "gluten-free", "count": 6, "free_of": ["gluten"], "swap": {"roll": "cracker"}}
VEGAN = {"id": "vegan", "count": 2, "swap": {"cream": "oat-cream"}}
WEEK: dict[str, Any] = {
    "id": "december",
    "events": [
        {"id": "lunch", "name": "Jubilee lunch", "first_plate": "2026-12-11 12:30", "guests": 80,
         "rank": 2, "menu": [{"dish": "soup", "diets": [GLUTEN]}, {"dish": "cake"}]},
        {"id": "gala", "name": "Gala", "first_plate": "2026-12-12 19:00", "guests": 180,
         "tables": 18, "menu": [
             {"dish": "soup", "crew": 4}, {"dish": "lamb", "count": 110, "diets": [GLUTEN]},
             {"dish": "fish", "share": "40 %", "diets": [VEGAN]}, {"dish": "cake"}]},
    ],
}  # fmt: skip


def read(*rows: tuple[object, ...], week: dict[str, Any] = WEEK) -> Any:
    return guests(tabbed(*rows), week, DISHES)


def wrong(*rows: tuple[object, ...]) -> list[str]:
    with pytest.raises(BadInput) as refused:
        read(*rows)
    return told(refused)


def test_events_have_the_guests_that_the_organiser_counts_and_the_rest_stays() -> None:
    week, unused, notes = read(
        ("Guests of the house, December",),
        ("Event", "Day", "Guests", "Tables", "Room"),
        ("Jubilee lunch", "2026-12-11", "95", "", "Hall"),
        ("gala", "", "180", "20", "Barn"),
    )
    lunch, gala = week["events"]
    assert (lunch["guests"], "tables" in lunch, lunch["rank"]) == (95, False, 2)
    assert lunch["menu"] == WEEK["events"][0]["menu"]
    assert (gala["guests"], gala["tables"], gala["menu"]) == (180, 20, WEEK["events"][1]["menu"])
    assert unused == ("E2 'Room'",)
    assert notes == ()
    assert WEEK["events"][0]["guests"] == 80


def test_an_event_is_found_by_its_day_alone_where_there_is_one_that_day() -> None:
    raw = filled(("Date", "Covers"), (datetime(2026, 12, 12, 19), 200))
    week, _, notes = guests(opened(raw, "guests.xlsx"), WEEK, DISHES)
    assert [e["guests"] for e in week["events"]] == [80, 200]
    assert notes == (
        "'gala' has other guests, and as many portions as before of lamb, which are counted.",
    )


def test_of_two_events_of_one_name_the_day_says_which() -> None:
    again = {**WEEK["events"][0], "id": "lunch-2", "first_plate": "2026-12-13 12:30"}
    both = {**WEEK, "events": [*WEEK["events"], again]}
    rows = (("event", "date", "guests"), ("Jubilee lunch", "2026-12-13", "70"))
    assert [e["guests"] for e in read(*rows, week=both)[0]["events"]] == [80, 180, 70]
    with pytest.raises(BadInput, match="several are called 'Jubilee lunch'; write the id"):
        read(("event", "guests"), ("Jubilee lunch", "70"), week=both)


def test_portions_of_a_dish_stand_in_a_row_of_their_own_or_below_the_dish() -> None:
    rows = read(
        ("event", "guests", "dish", "portions", "gluten free"),
        ("Gala", "190", "", "", ""),
        ("", "", "Lamb, slow", "120", "9"),
        ("", "", "fish", "70", ""),
    )[0]
    columns = read(("Event", "Guests", "Lamb, slow", "FISH"), ("gala", "190", "120", "70"))[0]
    menu = rows["events"][1]["menu"]
    assert menu[1] == {"dish": "lamb", "count": 120, "diets": [{**GLUTEN, "count": 9}]}
    assert menu[2] == {"dish": "fish", "count": 70, "diets": [VEGAN]}
    assert [c.get("count") for c in columns["events"][1]["menu"]] == [None, 120, 70, None]


def test_a_diet_keeps_what_is_served_instead_and_nobody_on_it_takes_it_out() -> None:
    week, _, _ = read(("event", "gluten-free"), ("lunch", "11"))
    assert week["events"][0]["menu"][0]["diets"] == [{**GLUTEN, "count": 11}]
    week, _, notes = read(("event", "gluten-free"), ("lunch", "0"))
    assert week["events"][0]["menu"][0] == {"dish": "soup"}
    assert notes == (
        "Nobody has gluten-free at 'lunch', so what its soup gets instead is taken out too.",
    )


def test_a_diet_that_nothing_is_written_for_is_not_overlooked() -> None:
    assert wrong(("event", "vegan", "gluten free"), ("lunch", "3", ""), ("gala", "", "4")) == [
        "B2: no dish of 'lunch' has a diet 'vegan' yet; put it on the menu first, with what it "
        "gets instead",
        "C3: not everybody has lamb; say it in a row of each dish",
    ]


def test_every_number_that_is_none_is_told_by_its_cell() -> None:
    assert wrong(
        ("event", "guests", "tables"),
        ("lunch", "120.5", "1.5.2026"),
        ("gala", "about 120", "-3"),
    ) == [
        "B2: '120.5' is no whole number",
        "C2: '1.5.2026' is a day and no number",
        "B3: 'about 120' is no whole number; write 120",
        "C3: '-3' is no whole number",
    ]
    assert wrong(("event", "guests"), ("lunch", "1,200"), ("gala", "0")) == [
        "B2: '1,200' is no whole number; write 1200",
        "B3: an event has a guest at least",
    ]
    assert wrong(("event", "guests"), ("lunch", "100001")) == [
        "B2: 100001 is more than 100000, the most there may be"
    ]
    raw = filled(("event", "guests", "tables"), ("gala", datetime(2026, 5, 1), 12.5))
    with pytest.raises(BadInput) as refused:
        guests(opened(raw, "guests.xlsx"), WEEK, DISHES)
    assert told(refused) == [
        "B2: '2026-05-01 00:00:00' is no number; the spreadsheet may have made a date of it",
        "C2: '12.5' is no whole number",
    ]


def test_an_event_that_is_not_known_is_told_with_the_one_that_was_meant() -> None:
    assert wrong(
        ("event", "date", "guests"),
        ("Jubilee lunsh", "", "about 90"),
        ("gala", "1.12.2026", "90"),
        ("gala", "2026-12-11", "90"),
        ("", "2026-12-24", "90"),
        ("", "", "90"),
    ) == [
        "A2: there is no event 'Jubilee lunsh'. Maybe 'jubilee lunch'",
        "C2: 'about 90' is no whole number; write 90",
        "B3: '1.12.2026' is not a date; write 2026-12-01",
        "A4: 'gala' is on 2026-12-12, and this is 2026-12-11",
        "B5: there is no event on 2026-12-24. There are events on 2026-12-11, 2026-12-12",
        "A6: there is no event here",
    ]


def test_an_event_that_is_there_twice_is_told_and_not_the_last_one_taken() -> None:
    assert wrong(
        ("event", "guests", "dish", "portions"),
        ("gala", "180", "", ""),
        ("Gala", "190", "", ""),
        ("gala", "190", "lamb", "90"),
        ("", "", "lamb", "95"),
        ("", "", "pie", "95"),
        ("lunch", "", "fish", "95"),
        ("lunch", "", "", "95"),
        ("lunch", "", "cake", "0"),
    ) == [
        "A3: 'gala' is there already, in row 2",
        "B4: 190 here, and 180 in row 2",
        "C5: 'lamb' of 'gala' is there already, in row 4",
        "C6: there is no dish 'pie'. There are cake, fish, lamb, soup",
        "D7: 'fish' is not on the menu of 'lunch'. There are cake, soup",
        "D8: of which dish? Its column is 'dish'",
        "D9: a dish has a portion at least; take 'cake' off the menu of 'lunch' instead",
    ]


def test_merged_cells_of_an_event_count_for_each_of_its_dishes() -> None:
    raw = filled(
        ("Event", "Guests", "Dish", "Portions"),
        ("Gala", 200, "Lamb, slow", 120),
        (None, None, "Fish", 80),
        merged=("A2:A3", "B2:B3"),
    )
    week, _, _ = guests(opened(raw, "guests.xlsx"), WEEK, DISHES)
    gala = week["events"][1]
    assert (gala["guests"], [c.get("count") for c in gala["menu"]]) == (200, [None, 120, 80, None])


def test_five_thousand_rows_are_read_and_every_mistake_told() -> None:
    events = [{**WEEK["events"][0], "id": f"e{n}", "name": f"Event {n}"} for n in range(5000)]
    many = {**WEEK, "events": events}
    rows = [(f"Event {n}", n + 1) for n in range(5000)]
    week = read(("event", "guests"), *rows, week=many)[0]
    assert [e["guests"] for e in week["events"]] == list(range(1, 5001))
    assert len(wrong(("event", "guests"), *[("nobody's", "1.5.2026")] * 5000)) == 10000


def test_a_table_without_anything_to_count_is_told() -> None:
    assert wrong(("event", "room"), ("gala", "Barn")) == [
        "row 1: there is no column of guests, and none that is called by a dish or a diet of the "
        "menus"
    ]


def test_a_week_that_somebody_is_still_writing_loses_nothing() -> None:
    half = {**WEEK, "events": ["?", {"id": "lunch", "menu": "later"}, {"menu": [3, {}]}]}
    week = read(("event", "guests"), ("lunch", "90"), week=half)[0]
    lunch = {"id": "lunch", "menu": "later", "guests": 90}
    assert week["events"] == ["?", lunch, {"menu": [3, {}]}]
