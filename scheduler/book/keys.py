"""The key that signs sign-ins: a file that nobody but its owner can read."""

from __future__ import annotations

import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path

from scheduler.book.errors import BookError
from scheduler.book.opening import Book
from scheduler.book.place import usual

_BYTES = 32


def key_file(book: Book) -> Path:
    """Beside the book's file; for a database of a server in the user's data folder."""
    file = book.file or usual()
    return file.with_name(file.name + ".key")


def key_of(book: Book) -> str:
    """The key of a book, made on first use.

    Raises
    ------
    BookError
        If the file cannot be read or made, holds no key, or others can read it.
    """
    path = key_file(book)
    try:
        if not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            _made(path)
        if not path.is_file():
            raise BookError(
                f"'{path}' should be the file with the key that signs sign-ins, and is a folder or "
                "something else. Move it away: a new key is made and everybody signs in again."
            )
        mode = stat.S_IMODE(path.stat().st_mode)
        if os.name == "posix" and mode & 0o077:
            raise BookError(
                f"Others can read the key that signs sign-ins, '{path}' ({mode:o}). Delete it: a "
                "new one is made and everybody signs in again; or take their rights away: "
                f"chmod 600 '{path}'."
            )
        key = path.read_text(encoding="ascii").strip()
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        raise BookError(
            f"The key that signs sign-ins, '{path}', cannot be used ({why}). It should be a file "
            "that whoever runs Backtime can read, in a folder that they can write."
        ) from None
    if len(key) != 2 * _BYTES or not set(key) <= set("0123456789abcdef"):
        raise BookError(
            f"'{path}' should hold the key that signs sign-ins and holds something else. Move it "
            "away: a new one is made and everybody signs in again."
        )
    return key


def _made(path: Path) -> None:
    """Put a new key in its place, whole from the first moment, unless somebody was quicker."""
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(_BYTES) + "\n")
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileExistsError):
            # Neither of them replaces what is there: a link, and on Windows a renaming.
            (os.rename if os.name == "nt" else os.link)(beside, path)
    finally:
        with suppress(FileNotFoundError):
            beside.unlink()
