"""Sixty people in the kitchen: every page that names them opens, and can be read and used."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from scheduler.book import plans
from scheduler.book.exchange import import_week
from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import put_up
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_written
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, plan_text, verdicts_of
from scheduler.solve.engine import plan_week
from tests.ui.conftest import Opened
from tests.ui.test_editing_pages import said
from ui.editing.begun import begun

ME = Who("corner-house", "whoever sits here", Role.CHEF)


@pytest.fixture
def crowd(book: Book, tmp_path: Path) -> Book:
    """First-week with sixty people, planned and on the wall."""
    document: dict[str, Any] = read_written(find_scenario("first-week"))[0].document()
    people = document["kitchen"]["people"]
    people += [people[n % 3] | {"id": f"cook-{n}", "name": f"Cook number {n}"} for n in range(57)]
    folder = tmp_path / "written"
    folder.mkdir()
    (folder / "week.yaml").write_text(json.dumps(document), encoding="utf-8")
    week, files = read_written(folder)
    plan = plan_week(week, seconds=0.3, deterministic=True)
    who = Who(week.kitchen.id, "ines", Role.CHEF)
    import_week(book, who, week, files)
    text = plan_text(plan, week, Made(), verdicts_of(audit(week, plan)))
    put_up(book, who, plans.keep(book, who, text).number, None)
    return book


def test_shifts_of_sixty_scroll_under_their_days_and_the_last_one_can_be_changed(
    crowd: Book, opened: Opened
) -> None:
    at = opened("brigade")
    assert not at.exception
    assert [e.value for e in at.error] == []
    table = next(d for d in at.dataframe if "Person" in d.value)
    assert len(table.value) == 60
    day = str(table.value.columns[1])
    key = "form|kitchen corner-house|roster"
    at.session_state[key] = {"selection": {"rows": [], "columns": [], "cells": [(59, day)]}}
    at.run()
    next(b for b in at.button if b.label == "Off").click().run()
    assert not at.exception
    assert begun(crowd, ME, "kitchen", "corner-house").body["people"][59]["off"]


@pytest.mark.parametrize(
    ("page", "address"),
    [("", {}), ("chart", {"rows": "person", "length": "all"}), ("room", {"full": "hands"})],
)
def test_the_plan_of_sixty_opens(
    crowd: Book, opened: Opened, page: str, address: dict[str, str]
) -> None:
    at = opened(page, **address)
    assert not at.exception
    assert [e.value for e in at.error] == []
    assert page or "60 people on duty" in said(at)
