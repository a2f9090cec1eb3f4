"""An empty book of each kind: a file, and a database of a PostgreSQL server.

`BACKTIME_TEST_POSTGRES` is the address of a server of which databases may be made and dropped.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import URL, create_engine, make_url, text

from scheduler.book.opening import Book, open_book
from scheduler.book.place import WHERE
from tests.book.hut import kept, later, stocked
from tests.book.people import Clock

SERVER = "BACKTIME_TEST_POSTGRES"
KINDS = ("sqlite", "postgres")


def on_server(*statements: str) -> None:
    """Outside any transaction, as making a database asks for."""
    engine = create_engine(
        make_url(os.environ[SERVER]).set(drivername="postgresql+psycopg"),
        isolation_level="AUTOCOMMIT",
    )
    with engine.connect() as connection:
        for statement in statements:
            connection.execute(text(statement))
    engine.dispose()


def database(name: str) -> str:
    """Address of a database of the server."""
    url: URL = make_url(os.environ[SERVER]).set(drivername="postgresql", database=name)
    return url.render_as_string(hide_password=False)


@pytest.fixture(scope="session")
def template() -> Iterator[str]:
    """A database that is a book already, to be copied: quicker than migrating each."""
    if not os.environ.get(SERVER):
        pytest.skip(f"no PostgreSQL server ({SERVER})")
    name = f"backtime_{secrets.token_hex(6)}"
    on_server(f"CREATE DATABASE {name}")
    open_book(database(name)).close()
    yield name
    on_server(f"DROP DATABASE {name} WITH (FORCE)")


@contextmanager
def new_address(kind: str, folder: Path, template: str | None) -> Iterator[str]:
    """Address of a new book, as a user would write it; without a template there is nothing yet."""
    if kind == "sqlite":
        folder.mkdir(exist_ok=True)
        yield str(folder / "book.sqlite")
        return
    if not os.environ.get(SERVER):
        pytest.skip(f"no PostgreSQL server ({SERVER})")
    name = f"backtime_{secrets.token_hex(6)}"
    on_server(f"CREATE DATABASE {name}" + (f" TEMPLATE {template}" if template else ""))
    yield database(name)
    on_server(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(params=KINDS)
def address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Address of a new book."""
    template = None if request.param == "sqlite" else request.getfixturevalue("template")
    with new_address(request.param, tmp_path, template) as address:
        yield address


@pytest.fixture
def book(address: str, monkeypatch: pytest.MonkeyPatch) -> Iterator[Book]:
    """A new book, which is also the one that commands find."""
    monkeypatch.setenv(WHERE, address)
    opened = open_book(address)
    yield opened
    opened.close()


@pytest.fixture
def clock() -> Clock:
    """A clock that the test moves."""
    return Clock()


@pytest.fixture
def hut(book: Book, clock: Clock) -> Book:
    """The hut's book, with three plans of its supper, none on the wall."""
    stocked(book)
    for number, minutes in ((1, 0), (2, 45), (3, -60)):
        kept(book, number, later(minutes))
    return replace(book, clock=clock)
