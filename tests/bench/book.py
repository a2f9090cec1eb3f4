"""How long a large week takes into the book and out of it: wanted is 0.3 s each."""

from __future__ import annotations

import copy
import cProfile
import pstats
import tempfile
import time
from argparse import ArgumentParser
from collections.abc import Callable
from pathlib import Path
from typing import Any

from scheduler.book.documents import Change, changed_since, made_from, save, scenario
from scheduler.book.opening import Book, open_book
from scheduler.book.roles import Role, Who
from tests.bench.calibration import line
from tests.bench.planted import planted


def measured(what: Callable[[], Any], runs: int) -> str:
    """The best of some runs: by the wall, and seconds of processor."""
    best = (float("inf"), float("inf"))
    for _ in range(runs):
        wall, processor = time.perf_counter(), time.process_time()
        what()
        best = min(best, (time.perf_counter() - wall, time.process_time() - processor))
    return f"{best[0]:.2f} s ({best[1]:.2f} s of processor)"


def run(book: Book, written: dict[str, Any], runs: int) -> Callable[[], Any]:
    """Put a week in, save and load it; what loads it comes back."""
    who, week = Who(written["kitchen"]["id"], "bench", Role.CHEF), written["week"]["id"]
    first = [Change("kitchen", who.kitchen, written["kitchen"], 0)]
    first += [Change("component", c["id"], c, 0) for c in written["components"]]
    first += [Change("dish", d["id"], d, 0) for d in written["dishes"]]
    first.append(Change("week", week, written["week"], 0))
    print(f"put in ({len(first)} documents): {measured(lambda: save(book, who, first), 1)}")
    bodies = {"week": copy.deepcopy(written["week"]), "component": written["components"][0]}
    numbers = {"week": 1, "component": 1}

    def changed(kind: Any) -> None:
        body = {**bodies[kind], "name": f"Revision {numbers[kind] + 1}"}
        change = Change(kind, body["id"], body, numbers[kind])
        numbers[kind] = save(book, who, [change], week=week)[0].number

    def load() -> None:
        scenario(book, who, week)

    print(f"save the week: {measured(lambda: changed('week'), runs)}")
    print(f"save a recipe: {measured(lambda: changed('component'), runs)}")
    print(f"load: {measured(load, runs)}")
    then = made_from(book, who, week)
    print(f"changed since: {measured(lambda: changed_since(book, who, then), runs)}")
    return load


def main(arguments: list[str]) -> int:
    """Save and load a planted week in a new book."""
    parser = ArgumentParser(prog="python -m tests.bench book", description=main.__doc__)
    parser.add_argument("--visits", type=int, default=1000)
    parser.add_argument("--runs", type=int, default=7)
    parser.add_argument("--book", default=None, help="an empty database; left out: a new file")
    parser.add_argument("--cache", type=Path, default=None, help="folder for planted weeks")
    options = parser.parse_args(arguments)
    print(line(), flush=True)
    written = planted(options.visits, True, 101, options.cache).scenario.document()
    with tempfile.TemporaryDirectory() as folder:
        book = open_book(options.book or str(Path(folder, "book.sqlite")))
        load = run(book, written, options.runs)
        profile = cProfile.Profile()
        profile.runcall(load)
        book.close()
    print("where loading spends it, with the profile's own cost:")
    pstats.Stats(profile).sort_stats("tottime").print_stats(12)
    return 0
