"""Where the app runs that has this book open: a small file says so, for the second `open`."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from http.client import HTTPException
from pathlib import Path
from urllib.request import ProxyHandler, build_opener

from scheduler.book.opening import Book
from scheduler.book.place import usual
from scheduler.book.processes import mark_of, runs, this_host
from scheduler.plan.atomic import write_atomically

_PATIENCE = 3.0
"""Seconds a server is given to say which book it serves."""


@dataclass(frozen=True, slots=True)
class Running:
    """An app that runs.

    Attributes
    ----------
    host : str
        The machine.
    process : int
    mark : str or None
        What tells the process from a later one of that number.
    address : str
        As the browser of this machine asks for it.
    """

    host: str
    process: int
    mark: str | None
    address: str


def fingerprint(book: Book) -> str:
    """Which book it is, for whoever may ask the server: not where it lies."""
    return hashlib.sha256(book.where.encode()).hexdigest()[:16]


def running(book: Book) -> Running | None:
    """The app that has this book open on this machine; what is left of an ended one is none."""
    with suppress(OSError, ValueError, TypeError):
        one = Running(**json.loads(_file(book).read_text(encoding="utf-8")))
        alive = one.host == this_host() and runs(one.process, one.mark)
        # Where the system gives no marks, another process may have got the number.
        if alive and (one.mark is not None or answers(one.address, book)):
            return one
    return None


def answers(address: str, book: Book) -> bool:
    """Does an app at this address serve this book?"""
    try:
        # Straight there: a proxy of the environment knows nothing of this machine.
        with build_opener(ProxyHandler({})).open(f"{address}/health", timeout=_PATIENCE) as said:
            return bool(json.load(said).get("book") == fingerprint(book))
    except (OSError, HTTPException, ValueError, AttributeError):
        return False


@contextmanager
def noted(book: Book, address: str) -> Iterator[None]:
    """Note where this process serves the book, as long as it does.

    That it cannot be noted keeps nobody from working: a second `open` then serves the book too.
    """
    mine = Running(this_host(), os.getpid(), mark_of(os.getpid()), address)
    file = _file(book)
    text = json.dumps(asdict(mine)) + "\n"
    with suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        write_atomically(file, text)
    try:
        yield
    finally:
        with suppress(OSError):
            if file.read_text(encoding="utf-8") == text:
                file.unlink()


def _file(book: Book) -> Path:
    """Beside the book; for a database of a server in the user's data folder."""
    if book.file is not None:
        return book.file.with_name(f"{book.file.name}.open")
    return usual().with_name(f"{fingerprint(book)}.open")
