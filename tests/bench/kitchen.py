"""How fast and how good planned weeks of any size are, beside plain CP-SAT and a rule by hand.

The weeks are planted (`planted`): each has a hidden plan, so that all can be
served. Seeds 101 … are for reporting; tune on others.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from argparse import ArgumentParser, Namespace
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psutil

from tests.bench.calibration import commit, line, memory
from tests.bench.kitchen_best import KEPT, Known, keep, known, today
from tests.bench.kitchen_table import Row, table
from tests.bench.planted import Planted, planted

REPORTED = 101
LONG_RUNS = 3
QUICK = {"sizes": "250,1000", "seeds": 1, "seconds": 20.0}


@dataclass(slots=True)
class Run:
    """One run of one planner on one week."""

    who: str
    result: dict[str, Any]
    megabytes: float

    def at(self, second: float) -> int | None:
        """Quality of the best plan that serves everybody after so many seconds."""
        good = [q for t, short, out, q in self.result["told"] if t <= second and not short + out]
        return min(good, default=None)

    @property
    def end(self) -> tuple[int, int, int] | None:
        """Portions short, batches left out and quality in the end."""
        told = self.result["told"]
        return None if not told else min(x[1:] for x in told)


@dataclass(slots=True)
class Case:
    """One week with its runs."""

    size: int
    kind: str
    seed: int
    week: Planted
    best: int
    runs: dict[str, Run] = field(default_factory=dict)


def main(arguments: list[str]) -> int:
    """Plan planted weeks and print a table; 1 where a plan is not VALID or a week is called
    impossible."""
    options = _options(arguments)
    print(line(), flush=True)
    cases: list[Case] = []
    for size in (int(s) for s in options.sizes.split(",")):
        for kind in options.kinds.split(","):
            for seed in range(options.first_seed, options.first_seed + options.seeds):
                cases.append(_case(size, kind, seed, options))
    print()
    print(table([_row(cases, size, kind) for size, kind in _groups(cases)], options.seconds))
    if options.out:
        options.out.write_text(json.dumps([_record(c) for c in cases], indent=1), encoding="utf-8")
    return _verdict(cases)


def _options(arguments: list[str]) -> Namespace:
    parser = ArgumentParser(prog="python -m tests.bench kitchen", description=main.__doc__)
    parser.add_argument("--sizes", default="250,500,1000,2500", help="visits")
    parser.add_argument("--kinds", default="loose,tight")
    parser.add_argument("--seeds", type=int, default=3, help="weeks of each size and kind")
    parser.add_argument("--first-seed", type=int, default=REPORTED, help="101: the reported ones")
    parser.add_argument("--seconds", type=float, default=60, help="for each run")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--who", default="engine,model,rule", help="who plans")
    parser.add_argument("--quick", action="store_true", help="within ten minutes")
    parser.add_argument(
        "--long", type=float, default=0, help="three more runs of so many seconds, kept as known"
    )
    parser.add_argument("--best", type=Path, default=KEPT, help="what is known")
    parser.add_argument("--cache", type=Path, default=None, help="folder for planted weeks")
    parser.add_argument("--out", type=Path, default=None, help="all figures, as JSON")
    options = parser.parse_args(arguments)
    if options.quick:
        for name, value in QUICK.items():
            setattr(options, name, value)
    return options


def _case(size: int, kind: str, seed: int, options: Namespace) -> Case:
    """Plant a week and have everybody plan it."""
    week = planted(size, kind == "tight", seed, options.cache)
    best = week.plan.terms.quality
    if options.long:
        _long(week, options)
    kept = known(options.best).get(week.mark)
    case = Case(size, kind, seed, week, min(best, kept.quality) if kept else best)
    for who in options.who.split(","):
        run = case.runs[who] = run_once(week, who, options.seconds, options.workers, seed)
        end = run.end
        first, served = (_seconds(run.result[k]) for k in ("first", "served"))
        print(
            f"{size:5} {kind:5} seed {seed} {week.mark} {who:6} first {first} served {served} "
            f"end {end} hidden {best} {run.megabytes:.0f} MB",
            flush=True,
        )
        reached = run.at(1e9)
        case.best = case.best if reached is None else min(case.best, reached)
    return case


def _seconds(x: float | None) -> str:
    return "-" if x is None else f"{x:.2f} s"


def run_once(week: Planted, who: str, seconds: float, workers: int, seed: int) -> Run:
    """One run in a fresh process, watched from outside."""
    with tempfile.TemporaryDirectory() as folder:
        request, result = Path(folder, f"{who}.json"), Path(folder, "result.json")
        words = {"scenario": week.scenario.document(), "who": who, "seconds": seconds}
        words |= {"workers": workers, "seed": seed, "asked": time.time()}
        request.write_text(json.dumps(words), encoding="utf-8")
        child = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.kitchen_run", str(request), str(result)]
        )
        watched, peak = psutil.Process(child.pid), 0
        while child.poll() is None:
            peak = max(peak, memory(watched))
            time.sleep(0.25)
        if child.returncode or not result.exists():
            raise SystemExit(f"{who} ended with {child.returncode} on {week.mark}")
        return Run(who, json.loads(result.read_text(encoding="utf-8")), peak / 1e6)


def _long(week: Planted, options: Namespace) -> None:
    """Three long runs; what they find is kept."""
    found = []
    for seed in range(11, 11 + LONG_RUNS):
        end = run_once(week, "engine", options.long, options.workers, seed).end
        if end is not None and not end[0] + end[1]:
            found.append(Known(week.mark, end[2], seed, options.long, commit(), today()))
    keep(found, options.best)


def _groups(cases: list[Case]) -> list[tuple[int, str]]:
    return list(dict.fromkeys((c.size, c.kind) for c in cases))


def _row(cases: list[Case], size: int, kind: str) -> Row:
    return Row(
        size, kind,
        [c.week.visits for c in cases if (c.size, c.kind) == (size, kind)],
        [c.best for c in cases if (c.size, c.kind) == (size, kind)],
        {
            who: [c.runs[who] for c in cases if (c.size, c.kind) == (size, kind)]
            for who in cases[0].runs
        },
    )  # fmt: skip


def _record(case: Case) -> dict[str, Any]:
    return {
        "visits": case.week.visits, "kind": case.kind, "seed": case.seed, "week": case.week.mark,
        "hidden": case.week.plan.terms.quality, "best": case.best,
        "runs": {w: r.result | {"megabytes": r.megabytes} for w, r in case.runs.items()},
    }  # fmt: skip


def _verdict(cases: list[Case]) -> int:
    """1 where something is wrong whatever the times; says what."""
    wrong = 0
    for case in cases:
        for who, run in case.runs.items():
            where = f"{case.size} {case.kind} seed {case.seed}, {who}"
            if not run.result["valid"]:
                print(f"NOT VALID: {where}: {'; '.join(run.result['findings'][:3])}")
                wrong = 1
            if run.result["certain"]:
                print(f"CALLED IMPOSSIBLE: {where}: {', '.join(run.result['certain'][:5])}")
                wrong = 1
            if who == "engine" and run.result["served"] is None:
                print(f"not complete: {where}: (portions, batches, quality) {run.end}")
    return wrong

