"""What is written as YAML is read as what it was, by us and by others, and by a cook."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from scheduler.domain.finding import find_scenario, shipped
from scheduler.domain.reading import read_scenario, read_written, scenario_of
from scheduler.domain.tree import Refused, tree_of
from scheduler.domain.yaml_text import read_text
from scheduler.domain.yaml_writing import write_yaml

TEXTS = st.text(max_size=30) | st.sampled_from(
    ["", "~", "null", "True", "0x1F", "0o17", "-12", ".inf", "1.5", "a: b", "a #b", "- a", "a:",
     "a ", " a", "*a", "&a", "!a", "%a", "@a", "`a", "'a'", '"a"', "a\nb", "a\n", "\na", "a\n\nb\n",
     "a\n b", "a \nb", "|", ">", "?", "{a}", "[a]", "a, b", "13:00-16:00", "2026-12-12 19:30",
     "80 °C", "\u2028", "\ufeff", "\x85", "\U0001f951", "---", "...", "a\tb", "=", "<<", "yes"]
)  # fmt: skip
DATA = st.recursive(
    TEXTS | st.booleans() | st.none() | st.integers(-(10**11), 10**11),
    lambda inside: st.lists(inside, max_size=4) | st.dictionaries(TEXTS, inside, max_size=4),
    max_leaves=25,
)


def as_read(data: Any) -> Any:
    """As our own tree has it, which is where a document comes from (NFC, no control letters)."""
    return tree_of(data, "").plain()


@given(st.dictionaries(TEXTS, DATA, min_size=1, max_size=5))
def test_whatever_is_written_is_read_as_what_it_was(data: dict[str, Any]) -> None:
    try:
        meant = as_read(data)
    except Refused:  # no data of a document: invisible marks, control letters
        return
    assert read_text(write_yaml(meant), "x").plain() == meant


def loosely(data: Any) -> Any:
    """Without the difference of 4.6 and "4.6", or a date and its text."""
    if isinstance(data, dict):
        return {str(k): loosely(v) for k, v in data.items()}
    return [loosely(v) for v in data] if isinstance(data, list) else str(data)


@pytest.mark.parametrize("name", shipped())
def test_a_week_that_is_written_anew_is_the_same_week(name: str) -> None:
    week = read_scenario(find_scenario(name))
    text = write_yaml(week.document())
    assert scenario_of(read_text(text, "x").plain()) == week
    # Another reader of YAML, which is not ours.
    read = YAML(typ="safe", pure=True).load(text)
    assert {k for k, v in read.items() if loosely(v) != loosely(week.document()[k])} <= {"week"}
    assert max(map(len, text.splitlines())) <= 120


def test_a_cook_can_read_what_is_written() -> None:
    data = {
        "schema": 1,
        "components": [
            {"id": "stock", "name": "Stock: brown", "note": "Skim it.\n\nNever boil.",
             "steps": [{"id": "boil", "time": {"at_least": "8 h"}, "at": "96 °C",
                        "hands": [{"level": "cook", "up_to": 2}], "alone": True}],
             "keeps": [], "odd": "no"},
        ],
    }  # fmt: skip
    assert write_yaml(data) == (
        "schema: 1\n"
        "components:\n"
        "  - id: stock\n"
        '    name: "Stock: brown"\n'
        "    note: |-\n"
        "      Skim it.\n"
        "\n"
        "      Never boil.\n"
        "    steps:\n"
        "      - id: boil\n"
        "        time: {at_least: 8 h}\n"
        "        at: 96 °C\n"
        "        hands: [{level: cook, up_to: 2}]\n"
        "        alone: true\n"
        "    keeps: []\n"
        "    odd: no\n"
    )


def test_what_stood_in_each_file_is_known_to_the_byte() -> None:
    folder = find_scenario("first-week")
    _, files = read_written(folder)
    assert {f.name: f.text.encode() for f in files} == {
        p.name: p.read_bytes() for p in folder.glob("*.yaml")
    }
    assert [(f.name, f.holds[0]) for f in files] == [
        ("kitchen.yaml", ("kitchen", "corner-house")),
        ("recipes.yaml", ("component", "pea-soup")),
        ("week.yaml", ("week", "first-week")),
    ]
