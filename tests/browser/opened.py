"""`backtime open` as a user starts it: a process of its own, a book of its own."""

from __future__ import annotations

import signal
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.cli.running import COMMAND, as_at_a_terminal, environment

PATIENCE = 180.0
"""Seconds for what takes two on a quiet machine."""


@dataclass
class Opened:
    """An app that is starting or runs.

    Attributes
    ----------
    process : subprocess.Popen
    folder : Path
        Where the command was given; it holds the book, and what was said.
    """

    process: subprocess.Popen[str]
    folder: Path
    number: int

    @property
    def said(self) -> str:
        """Its standard output so far."""
        return (self.folder / f"said-{self.number}").read_text(encoding="utf-8")

    @property
    def told(self) -> str:
        """Its standard error so far."""
        return (self.folder / f"told-{self.number}").read_text(encoding="utf-8")

    @property
    def address(self) -> str:
        """Where it is, once it answers."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            if "http://" in self.said:
                return self.said.split()[-1]
            if self.process.poll() is not None:
                break
            time.sleep(0.05)
        raise AssertionError(f"never said where it is: {self.said!r} {self.told!r}")

    def interrupted(self) -> int:
        """Ctrl-C; its exit code."""
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(PATIENCE)


def where(folder: Path) -> str:
    """The book of a folder."""
    return str(folder / "book.sqlite")


@contextmanager
def opened(folder: Path, *arguments: str, **more: str) -> Iterator[Opened]:
    """Start the app in a folder, and end it afterwards."""
    number = len(list(folder.glob("said-*"))) + 1
    with (
        open(folder / f"said-{number}", "w", encoding="utf-8") as said,
        open(folder / f"told-{number}", "w", encoding="utf-8") as told,
    ):
        process = subprocess.Popen(
            [*COMMAND, "open", "--no-browser", *arguments],
            cwd=folder,
            env=environment(BACKTIME_DB=where(folder), **more),
            stdin=subprocess.DEVNULL,
            stdout=said,
            stderr=told,
            encoding="utf-8",
            preexec_fn=as_at_a_terminal,
        )
    try:
        yield Opened(process, folder, number)
    finally:
        process.kill()
        process.wait()
