"""Where the app listens, and where a second `open` of the same book leads."""

from __future__ import annotations

import json
import os
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("streamlit")

from scheduler.book.errors import BookError
from scheduler.book.opening import Book, open_book
from scheduler.book.processes import mark_of, this_host
from ui import opening
from ui.running import noted, running


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    one = open_book(str(tmp_path / "book.sqlite"))
    yield one
    one.close()


def wish(told: list[str], port: int | None = None, host: str = "127.0.0.1") -> opening.Wish:
    return opening.Wish(host, port, False, "agnes", told.append, told.append)


@pytest.fixture
def taken() -> Iterator[int]:
    """A port on which somebody else listens."""
    with socket.create_server(("127.0.0.1", 0)) as other:
        yield other.getsockname()[1]


def test_a_taken_port_gives_way_to_the_next_free_one(
    taken: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "PORT", taken)
    told: list[str] = []
    with opening._listening(wish(told)) as found:  # noqa: SLF001
        port = found.getsockname()[1]
    assert taken < port <= taken + 30
    assert told == [f"Port {taken} is taken, so it is {port}."]


def test_a_port_that_was_asked_for_and_is_taken_is_refused(taken: int) -> None:
    with pytest.raises(BookError, match=f"Port {taken} is taken"):
        opening._listening(wish([], taken))  # noqa: SLF001


@pytest.mark.parametrize("host", ["no.such.host.invalid", "203.0.113.7", "", "a b"])
def test_an_address_that_is_not_of_this_machine_is_one_sentence(host: str) -> None:
    with pytest.raises(BookError, match="Nothing can listen at"):
        opening._listening(wish([], 0, host))  # noqa: SLF001


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "kitchen.example", "10.0.0.5"])
def test_the_network_sees_nothing_while_nobody_has_a_code(book: Book, host: str) -> None:
    with pytest.raises(BookError, match="Make codes first"):
        opening.open_screens(book, wish([], 0, host))
    assert running(book) is None


def test_a_second_open_leads_to_the_first(book: Book) -> None:
    told: list[str] = []
    with noted(book, "http://127.0.0.1:1"):
        opening.open_screens(book, wish(told))
    assert told == ["Backtime is open already: http://127.0.0.1:1"]
    assert running(book) is None


def test_what_a_killed_app_has_left_leads_nowhere(book: Book, tmp_path: Path) -> None:
    left = tmp_path / "book.sqlite.open"
    one = {
        "host": this_host(), "process": os.getpid(), "mark": mark_of(os.getpid()),
        "address": "http://127.0.0.1:1",
    }  # fmt: skip
    left.write_text(json.dumps(one), encoding="utf-8")
    assert running(book) is not None
    for change in (
        {"mark": "a later process of that number"}, {"host": "elsewhere"}, {"process": 2**22 + 7},
        {"mark": None}, {"process": "x"}, {"more": 1},
    ):  # fmt: skip
        left.write_text(json.dumps(one | change), encoding="utf-8")
        assert running(book) is None, change
    for text in ("", "{", "[]", "null", "\udcff"):
        left.write_bytes(text.encode("utf-8", "surrogateescape"))
        assert running(book) is None, text


@pytest.mark.parametrize(
    ("host", "address"),
    [
        ("127.0.0.1", "http://127.0.0.1:8470"),
        ("localhost", "http://127.0.0.1:8470"),
        ("::1", "http://[::1]:8470"),
        ("[::1]", "http://[::1]:8470"),
        ("10.0.0.5", "http://10.0.0.5:8470"),
        ("0.0.0.0", f"http://{socket.gethostname()}:8470"),
    ],
)
def test_the_address_is_one_that_a_browser_can_ask_for(host: str, address: str) -> None:
    assert opening._address(host, 8470) == address  # noqa: SLF001
