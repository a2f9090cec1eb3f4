"""A proposal that leaves portions short: what would help is told when somebody asks."""

from __future__ import annotations

import pytest

from scheduler.book import plans
from scheduler.book.opening import Book
from scheduler.book.roles import Who
from scheduler.reshuffle.help import Help, Mending
from tests.ui.conftest import Opened, said
from tests.ui.test_setback import press, without


def test_what_would_help_is_looked_for_on_asking_and_told(
    hung: Book, chef: Who, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    newest = without(hung, chef, opened, "oven")
    plan = plans.plan(hung, chef, newest)[1].plan
    assert plan.unserved, "without the oven something is short"
    at = opened("plans", plan=str(newest))
    press(at, "See what would help")
    text = said(at)
    assert not at.exception
    assert "oven until" in text
    assert "everything is served" in text


def test_what_there_was_no_time_to_try_is_said(
    hung: Book, chef: Who, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    newest = without(hung, chef, opened, "oven")

    def looked_for(text: str, *, gently: bool, hear: object) -> Mending:
        return Mending((Help("longer", "Ida until *22:00*: 3 more", 3, 40),), ("a borrowed oven",))

    monkeypatch.setattr("ui.helping.look_for_help", looked_for)
    at = opened("plans", plan=str(newest))
    press(at, "See what would help")
    assert "Ida until *22:00*: 3 more" in said(at).replace("\\", "")
    assert "*22" not in said(at).replace("\\*", ""), "names are no markup"
    assert "There was no time to try: a borrowed oven" in said(at)
