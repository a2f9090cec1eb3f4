"""Lists of ingredients from a spreadsheet go into the steps of their recipes."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.pasted.ingredients import ingredients
from tests.pasted.tables import tabbed, told

RECIPES: dict[tuple[str, str], dict[str, Any]] = {
    ("component", "soup"): {
        "id": "soup", "name": "Barley soup",
        "steps": [
            {"id": "sweat", "takes": [{"ingredient": "onions", "amount": "1 kg", "yield": "85 %",
                                       "within": "1 h"}]},
            {"id": "simmer", "takes": [{"component": "stock", "amount": "4 l"}]},
        ],
    },
    ("component", "stock"): {"id": "stock", "name": "Bone stock", "steps": [{"id": "boil"}]},
    ("dish", "bowl"): {"id": "bowl", "name": "Bowl", "takes": []},
    ("component", "idea"): {"id": "idea"},
}  # fmt: skip


def test_a_list_goes_into_the_first_step_and_keeps_what_was_said_of_the_same_thing() -> None:
    made, unused = ingredients(
        tabbed(
            ("Recipe", "Ingredient", "Amount (g)", "Yield (%)", "Price"),
            ("Barley soup", "onions", "1200", "", "2"),
            ("", "Pearl barley", "500", "100", "3"),
        ),
        RECIPES,
    )
    assert list(made) == [("component", "soup")]
    first, second = made["component", "soup"]["steps"]
    assert first["takes"] == [
        {"ingredient": "onions", "amount": "1200 g", "yield": "85 %", "within": "1 h"},
        {"ingredient": "pearl-barley", "amount": "500 g", "yield": "100 %"},
    ]
    assert second == RECIPES["component", "soup"]["steps"][1]
    assert unused == ("E1 'Price'",)


def test_a_step_may_be_named_and_dishes_take_components_by_name() -> None:
    made, _ = ingredients(
        tabbed(
            ("dish", "what", "quantity", "step"),
            ("soup", "Bone stock", "5 l", "simmer"),
            ("Bowl", "Barley soup", "250 ml", ""),
        ),
        RECIPES,
    )
    assert made["component", "soup"]["steps"][1]["takes"] == [
        {"component": "stock", "amount": "5 l"}
    ]
    assert made["dish", "bowl"]["takes"] == [{"component": "soup", "amount": "250 ml"}]


def test_every_wrong_cell_is_told_at_once_and_nothing_is_half_done() -> None:
    with pytest.raises(BadInput) as refused:
        ingredients(
            tabbed(
                ("recipe", "ingredient", "amount", "yield", "step"),
                ("soop", "onions", "1 kg", "", ""),
                ("soup", "", "1", "185 %", "fry"),
                ("idea", "onions", "1 kg", "", ""),
                ("soup", "salt", "10 g", "", ""),
                ("soup", "salt", "", "", ""),
                ("soup", "Salt", "20 g", "", ""),
            ),
            RECIPES,
        )
    assert told(refused) == [
        "A2: there is no recipe 'soop'. Maybe 'soup'",
        "E3: there is no step 'fry'. There are simmer, sweat",
        "B3: there is no ingredient here",
        "C3: '1' has no unit; write '1 kg', or the unit in the heading: quantity (kg)",
        "D3: '185 %' is not between 0 % and 100 %",
        "A4: 'idea' has no step yet, so nothing can go in",
        "C6: there is no amount here",
        "row 7: 'salt' goes into it twice; write it once, with all of it",
    ]
