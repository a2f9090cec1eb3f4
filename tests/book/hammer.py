"""Processes that write into one book at the same time, or are killed while they do."""

from __future__ import annotations

import multiprocessing
import os
import random
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from scheduler.book.documents import Change, Newer, revision, save
from scheduler.book.opening import Book, open_book
from scheduler.book.record import Entry, enter
from scheduler.book.role import Role
from scheduler.book.roles import Who

KITCHEN, WEEK = "corner-house", "first-week"
CONTEXT = multiprocessing.get_context("fork" if hasattr(os, "fork") else "spawn")


def chef(name: str) -> Who:
    """Somebody who may do everything."""
    return Who(KITCHEN, name, Role.CHEF)


def one_more_save(book: Book, who: Who) -> int:
    """Save the kitchen once more, on the newest of all; its number."""
    while True:
        head = revision(book, who, "kitchen", KITCHEN)
        assert head.body is not None
        body = head.body | {"name": f"{who.person} after {head.number}"}
        try:
            (new,) = save(book, who, [Change("kitchen", KITCHEN, body, head.number)])
        except Newer:
            continue
        return new.number


def write(address: str, name: str, entries: int, saves: int) -> None:
    """Write so many entries, each sent twice, and so many revisions."""
    book, who = open_book(address), chef(name)
    for n in range(max(entries, saves)):
        if n < entries:
            entry = Entry(
                id=f"{name}-{n}", week=WEEK, batch="pea-soup.1", task=None, kind="note",
                body={"text": f"{n}"}, happened=book.clock() - timedelta(minutes=n),
            )
            for _ in range(2):
                enter(book, who, entry)
        if n < saves:
            one_more_save(book, who)
    book.close()


def together(address: str, workers: int, entries: int, saves: int) -> list[int | None]:
    """Let so many processes write at once; their exit codes."""
    processes = [
        CONTEXT.Process(target=write, args=(address, f"w{n}", entries, saves))
        for n in range(workers)
    ]
    for process in processes:
        process.start()
    for process in processes:
        process.join()
    return [p.exitcode for p in processes]


def _save_on(address: str, told: Any) -> None:
    book, who = open_book(address), chef("agnes")
    while True:
        told.send(one_more_save(book, who))


def killed(
    address: str, times: int, seed: int, look: Callable[[int], None], at_most: float = 0.3
) -> None:
    """Kill somebody who saves, at so many random moments.

    Parameters
    ----------
    look : callable
        Called after each with the last revision that was reported as saved.
    """
    rng, last = random.Random(seed), 0
    for _ in range(times):
        here, there = CONTEXT.Pipe(duplex=False)
        process = CONTEXT.Process(target=_save_on, args=(address, there))
        process.start()
        there.close()
        if here.poll(30):
            last = max(last, here.recv())
        time.sleep(rng.uniform(0, at_most))
        process.kill()
        process.join()
        while here.poll():
            try:
                last = max(last, here.recv())
            except (EOFError, OSError):
                break
        here.close()
        look(last)


def _look(address: str) -> Callable[[int], None]:
    book = open_book(address)

    def look(last: int) -> None:
        head = revision(book, chef("bela"), "kitchen", KITCHEN)
        # The last word of somebody who was killed may not have come through.
        assert last <= head.number <= last + 1, (last, head.number)
        with book.reading() as connection:
            if book.lite:
                assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"

    return look


if __name__ == "__main__":
    # Apart from pytest, which has threads: those do not like to be forked.
    what, where, *numbers = sys.argv[1:]
    if what == "together":
        print(together(where, *map(int, numbers)))
    else:
        killed(where, *map(int, numbers), _look(where))
        print("whole")
