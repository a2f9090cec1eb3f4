"""Tablets that all write at once, and laptops that lose power: nothing entered is lost."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import func, select

from scheduler.book.documents import Change, save
from scheduler.book.opening import Book
from scheduler.book.revisions import Kind
from scheduler.book.tables import record, revisions
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_scenario
from tests.book.hammer import KITCHEN, WEEK, chef

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def house(book: Book) -> Book:
    """A book with the first week in it."""
    document = read_scenario(find_scenario("first-week")).document()
    assert (document["kitchen"]["id"], document["week"]["id"]) == (KITCHEN, WEEK)
    parts: list[tuple[Kind, dict[str, object]]] = [
        ("kitchen", document["kitchen"]), ("week", document["week"]),
        *(("component", c) for c in document["components"]),
        *(("dish", d) for d in document["dishes"]),
    ]
    save(book, chef("agnes"), [Change(kind, str(b["id"]), b, 0) for kind, b in parts])
    return book


def ran(address: str, what: str, *numbers: int) -> str:
    """What the processes said that were let loose on a book."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.book.hammer", what, address, *map(str, numbers)],
        cwd=ROOT,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout.strip()


def test_of_2000_entries_and_200_saves_by_eight_at_once_none_is_lost_or_doubled(
    house: Book, address: str
) -> None:
    assert ran(address, "together", 8, 250, 25) == str([0] * 8)
    with house.reading() as connection:
        places = connection.execute(select(record.c.place).order_by(record.c.place)).scalars()
        assert list(places) == list(range(1, 2001))
        ids = connection.execute(select(func.count(func.distinct(record.c.id)))).scalar()
        assert ids == 2000
        of_kitchen = revisions.c.kind == "kitchen"
        numbers = connection.execute(
            select(revisions.c.number).where(of_kitchen).order_by(revisions.c.number)
        ).scalars()
        assert list(numbers) == list(range(1, 202))
        # Each says after which one it was saved: nobody has saved over somebody else.
        bodies = connection.execute(
            select(revisions.c.body).where(of_kitchen).order_by(revisions.c.number)
        ).scalars()
        assert [b["name"].split()[-1] for b in list(bodies)[1:]] == [str(n) for n in range(1, 201)]


@pytest.mark.usefixtures("house")
def test_whoever_is_killed_while_saving_leaves_the_last_save_whole(address: str) -> None:
    assert ran(address, "killed", 50, 6) == "whole"
