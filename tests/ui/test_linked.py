"""What a code on paper and a calendar's link open, without signing in, and what they refuse."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import anyio
import pytest
from icalendar import Calendar

from scheduler.book.codes import make_code, withdraw_code
from scheduler.book.links import calendar_link, sheet_link
from scheduler.book.opening import Book, open_book
from scheduler.book.plans import keep
from scheduler.book.role import Role
from scheduler.book.wall import put_up, take_down
from tests.book.hut import CHEF, WEEK, later, stocked, text
from tests.book.people import Clock

pytest.importorskip("streamlit")

from starlette.applications import Starlette

from ui.guarding import Guard
from ui.linked import routes
from ui.phone.hanging import Kept

FRIDAY = date(2026, 12, 4)


@pytest.fixture
def clock() -> Clock:
    found = Clock()
    found.at = datetime(2026, 12, 3, 15, tzinfo=UTC)
    return found


@pytest.fixture
def hut(tmp_path: Path, clock: Clock) -> Iterator[Book]:
    """The hut's book with plan 1 on the wall, and plan 2."""
    book = open_book(str(tmp_path / "book.sqlite"), clock)
    stocked(book)
    for made in (text(), text(later(45))):
        keep(book, CHEF, made)
    put_up(book, CHEF, 1, None)
    yield book
    book.close()


class Answer:
    """What came back."""

    def __init__(self, status: int, headers: dict[str, str], body: bytes) -> None:
        self.status, self.headers, self.body = status, headers, body

    @property
    def text(self) -> str:
        return " ".join(self.body.decode().split())


def asked(book: Book, path: str, guarded: bool = False, kind: str = "text/html") -> Answer:
    """One GET from a phone on the network."""
    app: Any = Starlette(routes=routes(book, Kept(book).of))
    if guarded:
        app = Guard(app, book, ("kitchen.local",))
    got: list[dict[str, Any]] = []

    async def send(message: dict[str, Any]) -> None:
        got.append(message)

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b"", "more_body": False}

    scope = {
        "type": "http", "method": "GET", "path": path, "raw_path": path.encode(), "scheme": "http",
        "query_string": b"", "http_version": "1.1", "root_path": "", "client": ("10.0.0.9", 5000),
        "headers": [(b"host", b"kitchen.local:8470"), (b"accept", kind.encode())],
        "server": ("kitchen.local", 8470),
    }  # fmt: skip
    anyio.run(app, scope, receive, send)
    start = next(m for m in got if m["type"] == "http.response.start")
    body = b"".join(m.get("body", b"") for m in got if m["type"] == "http.response.body")
    headers = {k.decode().lower(): v.decode() for k, v in start["headers"]}
    return Answer(start["status"], headers, body)


def sheet(book: Book, number: int = 1, whose: Any = "section", id: str = "stove") -> str:
    return f"/s/{sheet_link(book, CHEF, number, whose, id, FRIDAY, FRIDAY)}"


@pytest.mark.parametrize(
    ("whose", "id", "title"),
    [("section", "stove", "Stove, Fri 4 Dec"), ("person", "ada", "Ada, Fri 4 Dec"),
     ("all", "", "The whole kitchen, Fri 4 Dec")],
)  # fmt: skip
def test_the_code_on_paper_opens_the_sheet_without_a_sign_in(
    hut: Book, whose: str, id: str, title: str
) -> None:
    make_code(hut, CHEF, "ada", Role.CHEF)  # from now on pages ask for a sign-in
    got = asked(hut, sheet(hut, 1, whose, id), guarded=True)
    assert got.status == 200
    for said in (
        title, "Plan 1, which is on the wall: your paper holds.", "by 14:00",
        "Barley soup, 9 l: fill (simmer)", "goes to Cold room, 2 shelves: 9 l",
        "Local food and labour codes",
    ):  # fmt: skip
        assert said in got.text
    way = "/sheet/whose?" if whose == "all" else f"/sheet/{whose}/{id}/2026-12-04?kitchen=hut"
    assert f'href="{way}' in got.text
    assert "<form" not in got.text
    assert "<script" not in got.text
    assert got.headers["cache-control"] == "no-store"
    assert got.headers["referrer-policy"] == "no-referrer"


def test_the_code_of_the_wall_sheet_opens_the_day_that_it_is(hut: Book, clock: Clock) -> None:
    first = date(2026, 12, 3)
    there = f"/s/{sheet_link(hut, CHEF, 1, 'all', '', first, FRIDAY)}"
    got = asked(hut, there)
    assert "The whole kitchen, Thu 3 Dec" in got.text
    assert "<p>Nothing.</p>" in got.text
    clock.move(days=1)
    assert "The whole kitchen, Fri 4 Dec" in asked(hut, there).text
    assert "<h2>Stove</h2>" in asked(hut, there).text
    clock.move(days=1)  # the week is over
    assert "The whole kitchen, Thu 3 Dec" in asked(hut, there).text


def test_paper_of_an_older_plan_opens_the_new_one_and_is_to_be_binned(hut: Book) -> None:
    there = sheet(hut)
    put_up(hut, CHEF, 2, 1)
    got = asked(hut, there)
    assert "Your paper is of plan 1: bin it. Plan 2 is on the wall, and this is it." in got.text
    assert "by 14:45" in got.text
    take_down(hut, CHEF, WEEK, 2)
    got = asked(hut, there)
    assert "No plan is on the wall; this is plan 1, as on your paper." in got.text
    assert "by 14:00" in got.text


def test_a_bad_or_expired_code_is_refused_in_a_sentence(hut: Book, clock: Clock) -> None:
    there = sheet(hut)
    assert asked(hut, "/s/nonsense").status == 403
    assert "no link to a sheet of this kitchen" in asked(hut, there + "x").text
    clock.move(days=4)
    got = asked(hut, there)
    assert got.status == 403
    assert "its code has expired" in got.text
    assert "Barley" not in got.text


def test_a_sheet_that_the_new_plan_does_not_have_says_so(hut: Book) -> None:
    got = asked(hut, sheet(hut, 1, "section", "pastry"))
    assert got.status == 404
    assert "There is no section" in got.text


def feed(book: Book) -> str:
    return f"/calendar/{calendar_link(book, CHEF, 'ada')}.ics"


def events(got: Answer) -> dict[str, Any]:
    assert (got.status, got.headers["content-type"]) == (200, "text/calendar; charset=utf-8")
    return {str(e["uid"]): e for e in Calendar.from_ical(got.body).walk("VEVENT")}


def test_a_calendar_follows_the_wall_with_the_same_ids_and_rising_numbers(hut: Book) -> None:
    make_code(hut, CHEF, "ada", Role.CHEF)
    there = feed(hut)
    before = events(asked(hut, there, guarded=True, kind="*/*"))
    assert {str(e["summary"]) for e in before.values()} == {
        "Barley soup, 9 l: fill", "Bowl of soup (Supper), 36 portions: plating"
    }  # fmt: skip
    assert all(int(e["sequence"]) == 0 for e in before.values())
    assert any("goes to Cold room" in str(e["description"]) for e in before.values())
    put_up(hut, CHEF, 2, 1)
    after = events(asked(hut, there))
    assert after.keys() == before.keys()
    soup = next(u for u, e in before.items() if "soup, 9 l" in str(e["summary"]))
    assert int(after[soup]["sequence"]) == 1
    assert after[soup].decoded("dtstart").isoformat() == "2026-12-04T14:45:00+01:00"
    take_down(hut, CHEF, WEEK, 2)
    gone = events(asked(hut, there))
    assert {str(e["status"]) for e in gone.values()} == {"CANCELLED"}
    assert {int(e["sequence"]) for e in gone.values()} == {1, 2}


def test_what_was_over_a_month_ago_leaves_the_calendar(hut: Book, clock: Clock) -> None:
    make_code(hut, CHEF, "ada", Role.CHEF)
    there = feed(hut)
    clock.move(days=60)
    assert events(asked(hut, there)) == {}


def test_the_chef_ends_a_calendar_with_its_code(hut: Book) -> None:
    make_code(hut, CHEF, "ada", Role.CHEF)
    there = feed(hut)
    withdraw_code(hut, CHEF, "ada")
    got = asked(hut, there)
    assert (got.status, got.text) == (
        403, "This calendar's link was withdrawn. Ask the chef for a new one."
    )  # fmt: skip
    assert asked(hut, "/calendar/x.ics").status == 403


def test_nobody_else_comes_in_without_a_sign_in(hut: Book) -> None:
    make_code(hut, CHEF, "ada", Role.CHEF)
    assert asked(hut, "/", guarded=True).status == 303
    assert asked(hut, "/sheet", guarded=True).status == 303


def test_tags_in_a_name_are_letters_on_the_page(hut: Book) -> None:
    from dataclasses import replace

    from tests.outputs.hut import sheets, stove
    from ui.sheet_page import sheet_body

    line = replace(stove().lines[0], what="<b>Soup</b> & <script>x</script>", diets=("vegan",))
    body = sheet_body(sheets().names, replace(stove(), lines=(line,)))
    assert "&lt;b&gt;Soup&lt;/b&gt; &amp; &lt;script&gt;" in body
    assert "<script" not in body
    assert "FIRST AND APART: vegan" in body
