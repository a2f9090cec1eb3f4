"""The key that signs sign-ins is its owner's alone."""

from __future__ import annotations

import os
import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from unittest import mock

import pytest

from scheduler.book.errors import BookError
from scheduler.book.keys import key_file, key_of
from scheduler.book.opening import Book, open_book


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return open_book(str(tmp_path / "book.sqlite"))


def test_the_key_is_made_once_and_only_its_owner_can_read_it(book: Book) -> None:
    with ThreadPoolExecutor(8) as threads:
        keys = set(threads.map(lambda _: key_of(book), range(16)))
    assert len(keys) == 1
    assert len(keys.pop()) == 64
    if os.name == "posix":
        assert stat.S_IMODE(key_file(book).stat().st_mode) == 0o600
    assert sorted(p.suffix for p in key_file(book).parent.iterdir()) == [".key", ".sqlite"]


@pytest.mark.skipif(os.name != "posix", reason="rights of a file are others on Windows")
def test_a_key_that_others_can_read_is_refused(book: Book) -> None:
    key_of(book)
    key_file(book).chmod(0o640)
    with pytest.raises(BookError, match=r"Others can read the key .* \(640\)"):
        key_of(book)


def test_a_key_file_with_something_else_in_it_is_refused_and_left(book: Book) -> None:
    key_file(book).write_text("shopping list")
    key_file(book).chmod(0o600)
    with pytest.raises(BookError, match="holds something else"):
        key_of(book)
    assert key_file(book).read_text() == "shopping list"


def test_a_folder_in_the_place_of_the_key_is_called_one_and_stays(book: Book) -> None:
    key_file(book).mkdir()
    (key_file(book) / "recipes.txt").touch()
    with pytest.raises(BookError, match="is a folder or something else"):
        key_of(book)
    assert (key_file(book) / "recipes.txt").exists()


def test_whoever_may_not_read_the_key_is_told_who_must(book: Book) -> None:
    key_of(book)
    refused = mock.patch.object(Path, "read_text", side_effect=PermissionError(13, "Refused"))
    with refused, pytest.raises(BookError, match=r"cannot be used \(refused\). It should be"):
        key_of(book)
