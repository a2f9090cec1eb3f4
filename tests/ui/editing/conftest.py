"""An empty book in a file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from scheduler.book.opening import Book, open_book


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """A new book."""
    opened = open_book(str(tmp_path / "book.sqlite"))
    yield opened
    opened.close()
