"""Saying things on a terminal, in a pipe, or where neither UTF-8 nor a reader is to be had."""

from __future__ import annotations

import errno
import os
import re
import shutil
import sys
import unicodedata
from collections.abc import Iterable
from typing import TextIO

from scheduler.commands.codes import Exit, Stop

_PLAIN = {
    "…": "...",
    "–": "-",
    "—": "-",
    "\u2018": "'",
    "\u2019": "'",
    "“": '"',
    "”": '"',
    "×": "x",
    "→": "->",
    "≤": "<=",
    "≥": ">=",
    "°": "deg ",
    "½": "1/2",
    "·": "-",
    "ß": "ss",
}

# What could move the cursor, colour the terminal or turn the text round; a name has no need of it.
_TRICKS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def speakable(text: str, encoding: str | None) -> str:
    """Text that an encoding can write: marks in ASCII, letters without their accents, or `?`."""
    encoding = encoding or "ascii"
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        pass
    except LookupError:
        return speakable(text, "ascii")
    else:
        return text
    return "".join(ch if _writes(ch, encoding) else _plain(ch) for ch in text)


def _writes(ch: str, encoding: str) -> bool:
    try:
        ch.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def _plain(ch: str) -> str:
    if ch in _PLAIN:
        return _PLAIN[ch]
    letters = "".join(c for c in unicodedata.normalize("NFKD", ch) if c.isascii())
    return letters or ("" if unicodedata.combining(ch) else "?")


def say(text: str = "") -> None:
    """A line on standard output."""
    _write(sys.stdout, _harmless(text) + "\n")


def say_all(lines: Iterable[str]) -> None:
    """Lines on standard output, until nobody reads them any more."""
    for line in lines:
        if not _write(sys.stdout, _harmless(line) + "\n", flush=False):
            return
    _write(sys.stdout, "")


def tell(text: str) -> None:
    """A line on standard error: progress and complaints."""
    _write(sys.stderr, _harmless(text) + "\n")


def _harmless(text: str) -> str:
    return _TRICKS.sub("\N{REPLACEMENT CHARACTER}", text)


def _write(stream: TextIO | None, text: str, *, flush: bool = True) -> bool:
    """Write, quietly giving up on a stream that nobody reads; False if so.

    Raises
    ------
    Stop
        If standard output cannot be written for another reason, which is told.
    """
    if stream is None or stream.closed:
        return False
    try:
        stream.write(speakable(text, stream.encoding))
        if flush:
            stream.flush()
    except OSError as error:
        # `| head` has closed the pipe; Windows says EINVAL instead.
        unread = isinstance(error, BrokenPipeError) or error.errno in (errno.EPIPE, errno.EINVAL)
        if unread or stream is not sys.stdout:  # Of a complaint nobody can be told more.
            _into_nothing(stream)
            return False
        raise unsaid(error) from None
    return True


def unsaid(error: OSError) -> Stop:
    """Tell that standard output cannot be written, and what ends the command then."""
    _into_nothing(sys.stdout)
    why = (error.strerror or str(error)).lower()
    tell(f"What there is to say cannot be written where it should go ({why}).")
    return Stop(Exit.BAD_INPUT)


def _into_nothing(stream: TextIO) -> None:
    """Point a stream at nowhere, so that the end of the program does not stumble over it."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


class Progress:
    """Progress on standard error: one line that changes on a terminal, plain lines elsewhere."""

    def __init__(self) -> None:
        self._live = sys.stderr is not None and sys.stderr.isatty()
        self._shown = 0

    def now(self, text: str, *, lasting: bool = False) -> None:
        """Show how far it is; elsewhere than on a terminal only what is `lasting`."""
        if self._live:
            # A line that wraps could not be written over.
            line = _harmless(text)[: None if lasting else shutil.get_terminal_size().columns - 1]
            _write(sys.stderr, "\r" + line.ljust(self._shown) + ("\n" if lasting else ""))
            self._shown = 0 if lasting else len(line)
        elif lasting:
            tell(text)

    def end(self) -> None:
        """Leave the changing line."""
        if self._live and self._shown:
            _write(sys.stderr, "\r" + " " * self._shown + "\r")
            self._shown = 0
