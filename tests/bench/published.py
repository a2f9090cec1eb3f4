"""Published instances: our search beside plain CP-SAT, on the same primitives, one after the other.

Plain CP-SAT is the same model without a hint and without our lists; all that
differs is what `scheduler.solve.finish` does before and beside it. Both solve
an instance right after each other, so that they find the machine as busy.
"""

from __future__ import annotations

import sys
import time
from argparse import ArgumentParser, Namespace
from collections import Counter
from collections.abc import Callable, Iterable, Sequence

from scheduler.solve.cpsat.solve import ModelResult, solve_model
from scheduler.solve.finish import solve_finish
from scheduler.workload.primitives import Problem
from tests.bench.calibration import line
from tests.bench.published_table import Row, Tally, table
from tests.published.instances import ABSENT, Instance, folder, instances
from tests.published.verdict import judge

SECONDS = 10.0
QUICK = {"seconds": 5.0, "sample": 6, "budget": 9.0}
"""Where nothing else is asked: ten minutes at most."""

GOLDEN = 0.6180339887498949


def spread(known: Iterable[Instance], count: int | None = None) -> list[Instance]:
    """So many of each set (or all), in an order that may be cut anywhere.

    Evenly spaced within each set, as sets run from easy to hard. Then the
    place of the k-th of n is how far along its set it comes when all sets
    progress alike, each in jumps of the golden section.
    """
    groups: dict[tuple[str, str], list[Instance]] = {}
    for instance in known:
        groups.setdefault((instance.family, instance.group), []).append(instance)
    placed: list[tuple[float, int, Instance]] = []
    for g, group in enumerate(groups.values()):
        n = len(group) if count is None else min(count, len(group))
        chosen = [group[k * len(group) // n] for k in range(n)]
        jumps = sorted(range(n), key=lambda k: k * GOLDEN % 1)
        placed += [((at + 0.5) / n, g, chosen[k]) for at, k in enumerate(jumps)]
    return [instance for _, _, instance in sorted(placed, key=lambda p: p[:2])]


class Bench:
    """All sets, solved in turn."""

    def __init__(self, options: Namespace) -> None:
        self.seconds: float = options.seconds
        self.workers: int = options.workers
        self.plain = not options.alone
        self.minutes: float | None = options.budget
        self.clock = self.shared if options.processor else time.monotonic
        self.rows: dict[tuple[str, str], Row] = {}
        self.left_out: Counter[str] = Counter()
        self.wall = self.processor = 0.0
        self.worst = self.seconds + 1

    def shared(self) -> float:
        """Seconds of an idle machine: what this process had of the processor, over its workers."""
        return time.process_time() / self.workers

    def run(self, chosen: Sequence[Instance]) -> None:
        """Solve them; those for which there would be no time are left out, and counted."""
        started = time.monotonic()
        for n, instance in enumerate(chosen):
            gone = time.monotonic() - started
            needed = gone + self.worst * (1 + self.plain)
            if self.minutes is not None and needed > 60 * self.minutes:
                self.left_out.update(f"{i.family} {i.group}" for i in chosen[n:])
                break
            self.solve(instance)
            if (n + 1) % 20 == 0:
                done = time.monotonic() - started
                print(f"  {n + 1} of {len(chosen)}, {done:.0f} s", file=sys.stderr, flush=True)

    def solve(self, instance: Instance) -> None:
        """One instance, ours and plain."""
        name = f"{instance.family} {instance.group}"
        key = (instance.family, instance.group)
        if key not in self.rows:
            plain = Tally(f"{name}, plain") if self.plain else None
            self.rows[key] = Row(name, Tally(name), plain)
        row, problem = self.rows[key], instance.problem()
        self.timed(instance, problem, row.ours, self.ours)
        if row.plain is not None:
            self.timed(instance, problem, row.plain, self.theirs)

    def timed(
        self,
        instance: Instance,
        problem: Problem,
        tally: Tally,
        solve: Callable[[Problem], ModelResult],
    ) -> None:
        """Solve one instance one way and count what came of it."""
        began, wall, used = self.clock(), time.monotonic(), time.process_time()
        result = solve(problem)
        took = time.monotonic() - wall
        self.wall += took
        self.worst = max(self.worst, took)
        self.processor += time.process_time() - used
        tally.add(instance, judge(instance, problem, result), self.clock() - began)

    def ours(self, problem: Problem) -> ModelResult:
        """Our search."""
        return solve_finish(problem, seconds=self.seconds, workers=self.workers, clock=self.clock)

    def theirs(self, problem: Problem) -> ModelResult:
        """The model as it is."""
        began = self.clock()
        wall = None if self.clock == self.shared else self.seconds
        return solve_model(
            problem,
            may_omit=False,
            seconds=wall,
            workers=self.workers,
            stop=lambda: self.clock() - began >= self.seconds,
        )

    def sets(self) -> list[Row]:
        """One row a set, in the order of the index."""
        order = list(dict.fromkeys((i.family, i.group) for i in instances()))
        return [self.rows[key] for key in order if key in self.rows]


def main(arguments: list[str]) -> int:
    """Exit code 1 where a result and what is published cannot both be true, else 0."""
    options = _options(arguments)
    if folder() is None:
        print(ABSENT)
        return 2
    chosen = spread(_asked(options), options.sample)
    if not chosen:
        print("no such family or set; there are:", ", ".join(_names()))
        return 2
    print(line(), flush=True)
    bench = Bench(options)
    bench.run(chosen)
    counted = "of the processors' time" if options.processor else "by the wall"
    processors = bench.processor / max(bench.wall, 1e-9)
    print(f"{options.seconds:g} s {counted} and {options.workers} workers each;", end=" ")
    print(f"{bench.wall / 60:.0f} min in all, {processors:.2f} processors on average\n")
    rows = bench.sets()
    print(table(rows))
    for name, count in sorted(bench.left_out.items()):
        print(f"left out, no time: {name}: {count}")
    tallies = [t for row in rows for t in (row.ours, row.plain) if t is not None]
    for better in (text for tally in tallies for text in tally.better):
        print(f"better, replayed: {better}")
    wrong = [text for tally in tallies for text in tally.wrong]
    for text in wrong:
        print(f"CONTRADICTION: {text}")
    return 1 if wrong else 0


def _options(arguments: list[str]) -> Namespace:
    parser = ArgumentParser(prog="python -m tests.bench published")
    parser.add_argument("--quick", action="store_true", help="a few of each set, in ten minutes")
    parser.add_argument("--seconds", type=float, help=f"for each instance ({SECONDS:g})")
    parser.add_argument("--sample", type=int, metavar="N", help="so many of each set, spaced")
    parser.add_argument("--family", action="append", help="only this family, e.g. rcpsp-max")
    parser.add_argument("--set", action="append", dest="sets", help="only this set, e.g. j30")
    parser.add_argument("--budget", type=float, metavar="MINUTES", help="stop in good time")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument(
        "--processor",
        action="store_true",
        help="count seconds by the processors' time over the workers, where others share them",
    )
    parser.add_argument("--alone", action="store_true", help="without plain CP-SAT beside")
    options = parser.parse_args(arguments)
    for name, value in QUICK.items():
        if options.quick and getattr(options, name) is None:
            setattr(options, name, value)
    options.seconds = options.seconds or SECONDS
    if options.sample is not None and options.sample < 1:
        parser.error("--sample: at least 1 of each set")
    return options


def _asked(options: Namespace) -> list[Instance]:
    return [
        i
        for i in instances()
        if (not options.family or i.family in options.family)
        and (not options.sets or i.group in options.sets)
    ]


def _names() -> list[str]:
    return list(dict.fromkeys(n for i in instances() for n in (i.family, i.group)))
