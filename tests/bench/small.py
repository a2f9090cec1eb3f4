"""Many small planted weeks: every one gets a complete plan, none is called impossible."""

from __future__ import annotations

import time
from argparse import ArgumentParser
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from random import Random
from typing import Any

from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.solve.engine import plan_week
from scheduler.workload.certificates import certify
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out
from tests.bench.calibration import line
from tests.bench.planted import planted

VISITS = (15, 45)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one small week."""

    seed: int
    what: str
    first: float
    served: float
    quality: int
    hidden: int


def one(seed: int, seconds: float) -> Outcome:
    """Plant a small week, every other one tight, and plan it until everybody is served."""
    rng = Random(seed)
    week = planted(rng.randint(*VISITS), seed % 2 == 1, seed)
    scenario = week.scenario
    workload = work_out(scenario)
    certain = certify(scenario, workload, compile_week(scenario, workload))
    began = time.monotonic()
    first = served = 0.0

    def tell(event: dict[str, Any]) -> None:
        nonlocal first, served
        plan: Plan | None = event.get("plan")
        if plan is None:
            return
        first = first or time.monotonic() - began
        if not any(plan.terms.served) and not plan.terms.left_out:
            served = served or time.monotonic() - began

    plan = plan_week(
        scenario, seconds=seconds, seed=1, workers=1, tell=tell, stop=lambda: served > 0
    )
    report = audit(scenario, plan)
    what = ""
    if certain or any(m.certain for m in plan.missing):
        what = "called impossible"
    elif not report.valid:
        what = f"not VALID: {report.findings[0]}"
    elif not report.served:
        short = sum(plan.terms.served)
        what = f"not complete: {short} portions short, {plan.terms.left_out} batches left out"
    return Outcome(seed, what, first, served, plan.terms.quality, week.plan.terms.quality)


def run(seeds: range, seconds: float, workers: int) -> Iterator[Outcome]:
    """All of them, in order."""
    if workers < 2:
        yield from (one(seed, seconds) for seed in seeds)
        return
    with ProcessPoolExecutor(workers) as pool:
        yield from pool.map(one, seeds, [seconds] * len(seeds), chunksize=4)


def main(arguments: list[str]) -> int:
    """Plan small planted weeks; 1 where one has no complete plan or is called impossible."""
    parser = ArgumentParser(prog="python -m tests.bench small", description=main.__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--first-seed", type=int, default=0)
    parser.add_argument("--seconds", type=float, default=10, help="at most, for each week")
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args(arguments)
    print(line(), flush=True)
    seeds = range(options.first_seed, options.first_seed + options.count)
    wrong, slowest, count = [], 0.0, 0
    for outcome in run(seeds, options.seconds, options.workers):
        count += 1
        slowest = max(slowest, outcome.served)
        if outcome.what:
            wrong.append(outcome)
            print(f"seed {outcome.seed}: {outcome.what}", flush=True)
    print(f"{count - len(wrong)} of {count} planned whole; the slowest after {slowest:.2f} s")
    if wrong:
        print("seeds: " + " ".join(str(o.seed) for o in wrong))
    return 1 if wrong else 0
