"""Opening a book with the next shape, in this process or in one that may be killed."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from unittest import mock

import scheduler.book.migrate as migrate
from scheduler.book.opening import Book, open_book

LATER = Path(__file__).parent / "later"
ROOT = Path(__file__).resolve().parents[2]


@contextmanager
def later_code() -> Iterator[None]:
    """As if this were the code of the next shape."""
    with (
        mock.patch.object(migrate, "SCHEMA", "0002"),
        mock.patch.object(migrate, "VERSIONS", (*migrate.VERSIONS, LATER)),
    ):
        yield


def opened_later(address: str) -> Book:
    """A book opened by that code."""
    with later_code():
        return open_book(address)


def begun_later(address: str, pause: float) -> subprocess.Popen[str]:
    """A process that opens it so, and pauses half-way."""
    return subprocess.Popen(
        [sys.executable, "-m", "tests.book.trial", address],
        cwd=ROOT,
        env=os.environ | {"BACKTIME_TRIAL_PAUSE": str(pause), "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


if __name__ == "__main__":
    opened_later(sys.argv[1]).close()
    print("there")
