"""The pages that show a plan: they open, say what a chef asks, and never show a traceback."""

from __future__ import annotations

import time
from typing import Any

import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from scheduler.book import documents, plans
from scheduler.book.codes import make_code
from scheduler.book.documents import Change
from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import hanging, put_up, take_down
from scheduler.domain.scenario import Scenario
from scheduler.plan.file import Made, plan_of, plan_text
from tests.ui.conftest import Opened, said

PAGES = ("", "chart", "room", "plans", "rules", "record")


def fine(at: AppTest) -> None:
    assert not at.exception
    assert [e.value for e in at.error] == []


@pytest.mark.parametrize("page", PAGES)
def test_an_empty_book_says_how_to_begin(book: Book, opened: Opened, page: str) -> None:
    at = opened(page)
    fine(at)
    assert "backtime import" in said(at)


@pytest.mark.parametrize("page", PAGES)
def test_a_week_that_is_not_planned_opens_on_every_page(
    imported: Book, opened: Opened, page: str
) -> None:
    at = opened(page)
    fine(at)
    assert any(b.label == "Plan this week" for b in at.button)


@pytest.mark.parametrize("page", PAGES)
def test_a_planned_week_opens_on_every_page(hung: Book, opened: Opened, page: str) -> None:
    at = opened(page)
    fine(at)
    assert at.subheader or at.get("plotly_chart")


def test_the_first_sentence_says_whether_everybody_is_served(hung: Book, opened: Opened) -> None:
    at = opened()
    assert at.subheader[0].value.startswith("One event served; tightest")
    text = said(at)
    assert "Last calls" in text
    assert "Runs by itself" in text
    assert "ines" not in text.split("Brigade")[1].split("Changed")[0]  # she is on duty


def test_what_has_changed_since_the_wall_is_said(hung: Book, chef: Who, opened: Opened) -> None:
    """The chef has 44 guests since; the plan on the wall is for 40."""
    week = documents.revision(hung, chef, "week", "first-week")
    assert week.body is not None
    event = {**week.body["events"][0], "guests": 44}
    changed = {**week.body, "events": [event]}
    documents.save(hung, chef, [Change("week", "first-week", changed, week.number)])
    text = said(opened())
    assert "40" in text.split("Changed since plan 1")[1]
    assert "44" in text.split("Changed since plan 1")[1]


def test_a_plan_comes_from_one_button_and_is_kept(
    imported: Book, chef: Who, opened: Opened
) -> None:
    at = opened()
    at.session_state["bar-seconds"] = 10
    next(b for b in at.button if b.label == "Plan this week").click().run()
    fine(at)
    assert any(b.label.startswith("Stop") for b in at.button)
    next(b for b in at.button if b.label.startswith("Stop")).click().run()
    until = time.monotonic() + 60
    while time.monotonic() < until and any(b.label.startswith("Stop") for b in at.button):
        time.sleep(0.2)
        at.run()
    fine(at)
    # It was stopped at once, so there may be no plan; then the button is there again.
    assert any(b.label.startswith("Plan") for b in at.button)
    assert all(p.week == "first-week" for p in plans.plans_of(imported, chef))


def test_putting_a_plan_up_takes_the_other_one_down(
    imported: Book, chef: Who, planned: tuple[object, str], opened: Opened
) -> None:
    plans.keep(imported, chef, planned[1])
    at = opened("plans")
    next(b for b in at.button if b.label == "Put plan 1 on the wall").click().run()
    fine(at)
    assert [h.number for h in hanging(imported, chef, "first-week")] == [1]
    assert "It is on the wall since" in said(at)


def test_somebody_without_a_sign_in_sees_nothing_once_there_are_codes(
    hung: Book, chef: Who, opened: Opened
) -> None:
    make_code(hung, chef, "ines", Role.CHEF)
    at = opened()
    fine(at)
    assert "sign in" in said(at).lower()
    assert "served" not in said(at)


def test_from_another_machine_nobody_comes_in_without_a_code_though_there_are_none(
    hung: Book, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ui.here.sits_here", lambda: False)
    at = opened()
    fine(at)
    assert "sign in" in said(at).lower()
    assert "served" not in said(at)


def test_a_cook_sees_what_is_on_the_wall_and_nothing_that_is_worked_on(
    imported: Book, chef: Who, planned: tuple[object, str], opened: Opened,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    plans.keep(imported, chef, planned[1])
    cook = Who("corner-house", "marek", Role.COOK)
    monkeypatch.setattr("ui.arriving.sitting_here", lambda book, kitchen, name: cook)
    at = opened()
    fine(at)
    assert "Nothing is on the wall" in said(at)
    assert not at.button
    put_up(imported, chef, 1, None)
    at.run()
    assert "served" in at.subheader[0].value
    assert not at.button


def test_the_rules_are_said_with_who_decides(hung: Book, opened: Opened) -> None:
    at = opened("rules")
    at.selectbox(key="rules-by").set_value("us").run()
    fine(at)
    assert "Local codes and licensed practice decide" in said(at)
    assert "FDA Food Code" in said(at) or "FDA Food Code" in str(at.dataframe[0].value)


def test_a_cook_is_offered_no_page_that_takes_more_and_no_traceback_where_they_go_there(
    hung: Book, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    cook = Who("corner-house", "marek", Role.COOK)
    monkeypatch.setattr("ui.arriving.sitting_here", lambda book, kitchen, name: cook)
    offered: list[str] = []

    def navigation(pages: Any, **more: Any) -> Any:
        offered[:] = [p.title for p in pages if p.visibility == "visible"]
        return there(pages, **more)

    there = st.navigation
    monkeypatch.setattr("streamlit.navigation", navigation)
    for page in ("menu", "recipes", "brigade", "kitchen"):
        at = opened(page)
        assert "takes a chef or sous" in said(at)
        assert not at.exception
    assert offered == ["Week", "Chart", "Room", "Plans", "Rules", "Record"]


def test_a_cook_who_looks_on_is_told_that_the_wall_has_changed_and_sees_the_new_plan(
    hung: Book, chef: Who, planned: tuple[Scenario, str], opened: Opened,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    cook = Who("corner-house", "marek", Role.COOK)
    monkeypatch.setattr("ui.arriving.sitting_here", lambda book, kitchen, name: cook)
    at = opened("plans", plan="1")
    assert at.subheader[0].value == "Plan 1"
    assert not at.toast
    file = plan_of(planned[1])
    other = plan_text(file.plan, file.scenario, Made(seed=7), file.verdicts)
    put_up(hung, chef, plans.keep(hung, chef, other).number, 1)
    at.run()
    assert at.subheader[0].value == "Plan 2"
    assert "Bin plan 1" in at.toast[0].value
    take_down(hung, chef, "first-week", 2)
    at.run()
    assert "do not cook from it" in at.toast[0].value
