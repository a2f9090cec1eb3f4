"""What a newcomer meets: names instead of ids, a page that begins on the first screen."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from types import SimpleNamespace

from scheduler.book import plans
from scheduler.book.opening import Book
from scheduler.book.roles import Who
from scheduler.book.wall import put_up
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_written
from scheduler.plan.words import Names
from tests.ui.conftest import Opened, said


def test_an_oven_with_a_letter_is_called_by_its_kind() -> None:
    """Its id, `combi-b`, is nothing that anybody says in a kitchen."""
    week, _ = read_written(find_scenario("demo"))
    names = Names(week, SimpleNamespace(batches=(), tasks=()))  # type: ignore[arg-type]
    assert names.unit("combi-b") == "Combi oven B"
    assert names.unit("stone-1") == "Stone grinder 1"
    assert names.unit("griddle") == "Griddle"
    assert names.unit("no-such-thing") == "no-such-thing"


def test_recipes_open_on_one_of_them(hung: Book, opened: Opened) -> None:
    at = opened("recipes")
    assert not at.exception and not at.error
    assert any(m.value.startswith("### ") for m in at.markdown)


def test_the_only_week_is_named_and_not_asked_for(hung: Book, opened: Opened) -> None:
    at = opened()
    assert "bar-week" not in [s.key for s in at.selectbox]
    assert "first" in said(at).split("served")[0].lower() or at.markdown[0].value.startswith("**")


def test_last_calls_say_until_when_a_number_can_be_raised(hung: Book, opened: Opened) -> None:
    text = said(opened())
    assert "until when each can be started again" in text
    assert "raise until" in text


def test_the_table_of_plans_says_nothing_where_there_is_nothing_and_names_the_year(
    imported: Book, chef: Who, planned: tuple[object, str], opened: Opened
) -> None:
    put_up(imported, chef, plans.keep(imported, chef, planned[1]).number, None)
    row = opened("plans").dataframe[0].value.iloc[0]
    assert row["in place of"] == ""
    assert str(plans.plans_of(imported, chef)[0].at.year) in row["made"]


def test_rules_name_a_dish_and_not_the_id_of_its_batch(hung: Book, opened: Opened) -> None:
    at = opened("rules")
    at.selectbox(key="rules-by").set_value("us").run()
    names = {str(w) for frame in at.dataframe for w in frame.value.get("about", ())}
    text = said(at) + " ".join(names)
    ids = [b.id for b in _plan(hung)]
    assert not any(f"**{i}**" in text or i in names for i in ids if "." in i)


def _plan(book: Book) -> tuple[object, ...]:
    who = Who("corner-house", "ines", "chef")  # type: ignore[arg-type]
    return plans.plan(book, who, 1)[1].plan.batches


def test_a_damaged_plan_leaves_the_others_and_planning_within_reach(
    hung: Book, opened: Opened, tmp_path: Path
) -> None:
    with sqlite3.connect(tmp_path / "book.sqlite") as raw:
        raw.execute("update plans set body = '{' where number = 1")
    at = opened()
    assert "damaged" in said(at)
    assert any(b.label == "Plan anew" for b in at.button)
    assert at.selectbox(key="bar-plan-1").options[0].startswith("Plan 1, ")
