"""Whole recipes from a spreadsheet: every step stands in its row, or every cell that is wrong."""

from __future__ import annotations

from datetime import time
from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.pasted.recipes import Written, recipes
from scheduler.pasted.spreadsheet import opened
from tests.pasted.tables import filled, tabbed, told

KITCHEN: dict[str, Any] = {
    "sections": [{"id": "stove", "name": "Stove"}, {"id": "pastry"}],
    "equipment": [
        {"id": "oven", "name": "Deck oven", "heat": {"hottest": 250}, "units": [{"id": "oven-1"}]},
        {"id": "burner", "units": 4},
    ],
    "stores": [{"id": "walk-in", "zone": "chilled"}, {"id": "rack", "zone": "dry"}],
}
SOUP: dict[str, Any] = {
    "id": "soup", "name": "Barley soup", "section": "stove", "makes": "6 l", "margin": "5 %",
    "keeps": [{"zone": "chilled", "at_most": "2 d", "per_shelf": "6 l"}],
    "steps": [
        {"id": "cook", "time": "50 min", "hands": [{"people": 1, "up_to": 2}, {"level": "lead"}],
         "on": [{"equipment": "burner", "amount": 2}],
         "takes": [{"ingredient": "barley", "amount": "1 kg"}], "hazards": ["hot-oil"]},
        {"id": "chill", "name": "Chill", "time": {"at_least": "2 h", "at_most": "3 h"},
         "on": [{"zone": "chilled", "per": "6 l"}]},
    ],
}  # fmt: skip
THERE = {("component", "soup"): SOUP, ("dish", "bowl"): {"id": "bowl", "name": "Soup bowl"}}


def read(*rows: tuple[object, ...]) -> Written:
    return recipes(tabbed(*rows), KITCHEN, THERE)


def wrong(*rows: tuple[object, ...]) -> list[str]:
    with pytest.raises(BadInput) as refused:
        read(*rows)
    return told(refused)


def test_a_recipe_from_nothing_has_every_word_of_its_rows() -> None:
    found = read(
        ("Recipes of the pastry",),
        ("Recipe", "Step", "What is done", "Time", "At most", "Plus", "Per", "People", "Level",
         "Up to", "Equipment", "Temperature", "Load", "Waits at most", "Waits in", "Yield",
         "Section", "Keeps", "Kept in", "Cost"),
        ("Crème brûlée", "1", "Whisk the mix", "20 min", "", "2 min", "1 kg", "1", "cook", "3",
         "", "", "", "1 d", "chilled", "4 kg", "pastry", "2 d", "chilled", "9"),
        ("", "2", "Bake", "1 h", "1 h 30 min", "", "", "", "", "", "Deck oven, 2 dry", "95-105",
         "10 min", "", "", "", "stove", "", "", ""),
    )  # fmt: skip
    assert found.bodies == {("component", "creme-brulee"): {
        "id": "creme-brulee", "name": "Crème brûlée", "section": "pastry", "makes": "4 kg",
        "keeps": [{"at_most": "2 d", "zone": "chilled"}],
        "steps": [
            {"id": "whisk-the-mix", "name": "Whisk the mix",
             "time": {"at_least": "20 min", "plus": "2 min", "per": "1 kg"},
             "then": {"at_most": "1 d", "zone": "chilled"},
             "hands": [{"people": 1, "level": "cook", "up_to": 3}]},
            {"id": "bake", "name": "Bake", "time": {"at_least": "1 h", "at_most": "1 h 30 min"},
             "section": "stove", "load": {"time": {"at_least": "10 min"}},
             "on": [{"equipment": "oven", "setting": {"coldest": 95, "hottest": 105}},
                    {"zone": "dry", "amount": 2}]},
        ],
    }}  # fmt: skip
    assert found.unused == ("T2 'Cost'",)
    assert found.rows == {("component", "creme-brulee"): {"": 2, "whisk-the-mix": 2, "bake": 3}}
    assert found.notes == (
        "New, and nothing goes in yet: creme-brulee. Ingredients are a table of their own.",
    )


def test_what_columns_cannot_say_of_a_step_stays_as_it_was() -> None:
    found = read(
        ("component", "step", "time (min)", "people", "equipment", "amount", "makes"),
        ("Barley soup", "cook", "70", "2", "burner", "", "8 l"),
        ("", "skim", "5", "1", "", "", ""),
        ("", "Chill", "", "", "", "", ""),
    )
    (body,) = found.bodies.values()
    cook, skim, chill = body["steps"]
    assert cook == SOUP["steps"][0] | {
        "time": {"at_least": "1 h 10 min"},
        "hands": [{"people": 2, "up_to": 2}, {"level": "lead"}],
    }
    assert skim == {"id": "skim", "time": {"at_least": "5 min"}, "hands": [{"people": 1}]}
    assert chill == SOUP["steps"][1]
    assert {k: body[k] for k in body if k != "steps"} == {
        **{k: SOUP[k] for k in SOUP if k != "steps"}, "makes": "8 l",
    }  # fmt: skip
    assert SOUP["makes"] == "6 l"


def test_what_is_not_wanted_any_more_is_taken_out_by_a_word() -> None:
    (body,) = read(
        ("component", "step", "people", "equipment", "at most", "keeps"),
        ("soup", "cook", "0", "none", "", "1 d"),
        ("soup", "chill", "-", "", "none", ""),
    ).bodies.values()
    cook, chill = body["steps"]
    assert "hands" not in cook
    assert "on" not in cook
    assert chill["time"] == {"at_least": "2 h"}
    assert chill["on"] == SOUP["steps"][1]["on"]
    assert body["keeps"] == [{"zone": "chilled", "at_most": "1 d", "per_shelf": "6 l"}]


def test_a_known_recipe_loses_no_step_for_a_row_that_is_missing() -> None:
    assert wrong(("recipe", "step", "time"), ("soup", "cook", "1 h")) == [
        "A2: 'soup' has the step 'chill' too, which has no row; give it one, or take it out of "
        "the recipe first"
    ]


def test_steps_stand_behind_what_they_come_after() -> None:
    head = ("recipe", "step", "after", "time", "section", "yield", "keeps")
    rest = ("5 min", "stove", "1 kg", "1 d")
    (body,) = read(
        head, ("jam", "pot", "cook", *rest), ("", "wash", "none", *rest), ("", "cook", "", *rest)
    ).bodies.values()
    assert [s["id"] for s in body["steps"]] == ["wash", "cook", "pot"]
    assert wrong(
        head, ("jam", "wash", "", *rest), ("", "cook", "", *rest), ("", "pot", "wash", *rest),
        ("", "jar", "pit", *rest),
    ) == [
        "C4: 'cook' comes after 'wash' too; steps are one after the other",
        "C5: there is no step 'pit'. Maybe 'pot'",
    ]  # fmt: skip
    assert wrong(head, ("jam", "wash", "cook", *rest), ("", "cook", "", *rest)) == [
        "C2: 'wash' comes after itself, in a circle"
    ]


def test_every_wrong_cell_is_told_at_once() -> None:
    assert wrong(
        ("recipe", "step", "time", "people", "level", "equipment", "temperature", "section",
         "yield", "keeps", "kept in", "waits in"),
        ("", "wash", "", "", "", "", "", "", "", "", "", ""),
        ("jam", "wash", "45", "1.5", "chef", "ovn", "hot", "bakery", "8", "2", "cellar",
         "chiled"),
        ("", "wash", "", "", "", "", "", "", "", "", "", ""),
        ("", "cook", "1.5.2026", "", "", "burner", "90", "", "", "", "", ""),
        ("Soup bowl", "serve", "1 h", "", "", "", "", "", "", "", "", ""),
    ) == [
        "A2: there is no component here",
        "I3: '8' has no unit; write '8 kg', or the unit in the heading: quantity (kg)",
        "J3: '2' has no unit of time. Maybe '2 min' or '2 h'",
        "K3: there is no zone 'cellar'. There are chilled, dry",
        "C3: '45' has no unit of time. Maybe '45 min' or '45 h'",
        "L3: there is no zone 'chiled'. Maybe 'chilled'",
        "H3: there is no section 'bakery'. There are pastry, stove",
        "D3: '1.5' is no whole number",
        "E3: 'chef' is no level; there are trainee, cook, lead",
        "F3: there is no equipment 'ovn'. Maybe 'oven'",
        "G3: 'hot' is no temperature; write 150, or 95-105, in °C",
        "B4: 'wash' is there already, in row 3",
        "C5: '1.5.2026' is not a duration. Write it like '45 min', '8 h' or '5 d'",
        "G5: it is on nothing that can be set to it",
        "A6: 'Soup bowl' is a dish; here are components, step by step",
    ]  # fmt: skip


def test_a_new_recipe_says_what_it_needs() -> None:
    assert wrong(("recipe", "step", "section"), ("jam", "cook", "")) == [
        "row 2: how long does 'cook' take?",
        "C2: 'jam' is new: say which section makes it",
        "row 2: 'jam' is new: say how much it makes",
        "row 2: 'jam' is new: say how long it keeps",
    ]


def test_merged_cells_are_one_recipe_and_a_time_of_day_is_no_length() -> None:
    head = ("Recipe", "Step", "Time", "Section", "Yield", "Keeps")
    raw = filled(
        head, ("Jam", "Cook", "2 h", "stove", "2 kg", "30 d"), (None, "Pot", "20 min"),
        merged=("A2:A3", "D2:D3", "E2:E3"),
    )  # fmt: skip
    (body,) = recipes(opened(raw, "r.xlsx"), KITCHEN, THERE).bodies.values()
    assert [s["name"] for s in body["steps"]] == ["Cook", "Pot"]
    raw = filled(head, ("Jam", "Cook", time(1, 30), "stove", "2 kg", "30 d"))
    with pytest.raises(BadInput) as refused:
        recipes(opened(raw, "r.xlsx"), KITCHEN, THERE)
    assert told(refused)[0] == "C2: 1:30:00 may be a time of day; write 1 h 30 min, as text"


def test_rows_of_one_recipe_stand_together_and_names_of_any_kind_get_an_id() -> None:
    head = ("recipe", "step", "time", "section", "yield", "keeps")
    rest = ("1 h", "stove", "1 kg", "1 d")
    assert wrong(head, ("jam", "a", *rest), ("oil", "b", *rest), ("Jam", "c", *rest)) == [
        "A4: 'Jam' is there already, from row 2; keep its rows together"
    ]
    found = read(head, ("酱汁", "煮", *rest), ("Soup", "x", *rest), ("<b>", "煮", *rest))
    assert [id for _, id in found.bodies] == ["component", "soup-2", "b"]
    first = found.bodies["component", "component"]
    assert (first["name"], first["steps"][0]["id"], first["steps"][0]["name"]) == (
        "酱汁", "step-1", "煮"
    )  # fmt: skip


def test_five_thousand_rows_are_read() -> None:
    head = ("recipe", "step", "time", "section", "yield", "keeps")
    rows = [(f"r{n // 5}", f"s{n % 5}", "1 h", "stove", "1 kg", "1 d") for n in range(5000)]
    assert len(read(head, *rows).bodies) == 1000
    assert len(wrong(head, *[("r", f"s{n}", "1", *rows[0][3:]) for n in range(5000)])) == 5000
