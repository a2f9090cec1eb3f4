"""All published instances through the same primitives and the same model."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from scheduler.solve.cpsat.solve import solve_model
from tests.published.instances import ABSENT, Instance, folder, instances
from tests.published.verdict import Verdict, judge

SAMPLE_SECONDS = 2.0
SECONDS = 10.0
SAMPLE = {
    "j30": 40,
    "j60": 12,
    "j90": 24,
    "j120": 60,
    "j10": 18,
    "j20": 18,
    "ubo10": 9,
    "ubo20": 9,
    "KSD15_d_ConsProd": 40,
    "BL_ConsProd": 8,
    "ft": 1,
    "la": 4,
    "orb": 5,
    "abz": 3,
    "swv": 20,
    "yn": 4,
    "ta": 40,
}
"""Every so manieth of each set makes the sample: about a minute in all."""


@dataclass
class Row:
    """One set's counts."""

    name: str
    count: int = 0
    proved: int = 0
    equal: int = 0
    better: list[str] = field(default_factory=list)
    open: int = 0
    """Nothing found, nothing proved."""
    wrong: list[str] = field(default_factory=list)
    seconds: float = 0.0

    def add(self, instance: Instance, verdict: Verdict, seconds: float) -> None:
        """Count one result."""
        self.count += 1
        self.proved += verdict.proved
        self.equal += verdict.equal
        self.open += verdict.value is None and not verdict.proved
        self.seconds += seconds
        label = f"{self.name} {instance.name}"
        if verdict.better:
            self.better.append(f"{label}: {verdict.value}, published {instance.best}")
        if verdict.contradiction:
            self.wrong.append(f"{label}: {verdict.contradiction}")


def sample(known: Iterable[Instance]) -> Iterator[Instance]:
    """Every so manieth of each set."""
    seen: dict[str, int] = {}
    for instance in known:
        n = seen[instance.group] = seen.get(instance.group, -1) + 1
        if n % SAMPLE.get(instance.group, 10) == 0:
            yield instance


def run(
    chosen: Iterable[Instance], seconds: float, workers: int = 2, tell: bool = False
) -> list[Row]:
    """Solve them one after the other."""
    rows: dict[tuple[str, str], Row] = {}
    for instance in chosen:
        key = (instance.family, instance.group)
        row = rows.setdefault(key, Row(f"{instance.family} {instance.group}"))
        problem = instance.problem()
        started = time.monotonic()
        result = solve_model(problem, may_omit=False, seconds=seconds, workers=workers)
        row.add(instance, judge(instance, problem, result), time.monotonic() - started)
        if tell and row.count % 20 == 0:
            print(f"  {row.name}: {row.count}", file=sys.stderr, flush=True)
    return list(rows.values())


def table(rows: list[Row]) -> str:
    """One line a set."""
    lines = [
        f"{'set':28} {'count':>6} {'proved':>7} {'equal':>6} {'better':>7} {'open':>5}"
        f" {'wrong':>6} {'seconds':>8}"
    ]
    lines += [
        f"{row.name:28} {row.count:6} {row.proved:7} {row.equal:6} {len(row.better):7}"
        f" {row.open:5} {len(row.wrong):6} {row.seconds:8.1f}"
        for row in rows
    ]
    return "\n".join(lines)


def main(arguments: list[str]) -> int:
    """Exit code 1 where a result and what is published cannot both be true."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench published")
    parser.add_argument("--sample", action="store_true", help="about a minute instead of hours")
    parser.add_argument("--seconds", type=float, default=None, help="for each instance")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--set", action="append", dest="sets", help="only this set, e.g. j30")
    options = parser.parse_args(arguments)
    if folder() is None:
        print(ABSENT)
        return 2
    known = [i for i in instances() if not options.sets or i.group in options.sets]
    chosen = list(sample(known)) if options.sample else known
    if not chosen:
        print(f"no such set: {', '.join(options.sets or ())}")
        return 2
    seconds = options.seconds or (SAMPLE_SECONDS if options.sample else SECONDS)
    rows = run(chosen, seconds, options.workers, tell=not options.sample)
    print(table(rows))
    for row in rows:
        for line in row.better:
            print(f"better, replayed: {line}")
    wrong = [line for row in rows for line in row.wrong]
    for line in wrong:
        print(f"CONTRADICTION: {line}")
    return 1 if wrong else 0
