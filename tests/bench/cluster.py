"""What a cluster of two workers on this machine is worth: for one large week, for many kitchens.

On one machine it shows what the way there and back costs; what more machines
bring beyond that, a bench on one machine cannot say.
"""

from __future__ import annotations

import statistics
import time
from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from pathlib import Path
from typing import Any

from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.solve.cluster import cluster
from scheduler.solve.engine import plan_week
from scheduler.solve.helpers import helpers
from scheduler.solve.kitchens import Kitchens
from tests.bench.calibration import line
from tests.bench.kitchen_run import Listener
from tests.bench.planted import Planted, planted
from tests.clusters import local

SMALL = 250
Way = Callable[[dict[str, Planted], float], dict[str, Plan]]


def main(arguments: list[str]) -> int:
    """Plan one large tight week and many small loose ones, with and without a cluster; 1 where a
    plan is not VALID."""
    options = _options(arguments)
    print(line(), flush=True)
    wrong = 0
    with local() as there:
        address = there.scheduler_address
        if options.size:
            wrong += _one(
                planted(options.size, True, options.seed, options.cache), address, options
            )
        if options.kitchens:
            seeds = range(1, options.kitchens + 1)
            weeks = {f"seed {s}": planted(SMALL, False, s, options.cache) for s in seeds}
            wrong += _many(weeks, address, options)
    return 1 if wrong else 0


def _options(arguments: list[str]) -> Namespace:
    parser = ArgumentParser(prog="python -m tests.bench cluster", description=main.__doc__)
    parser.add_argument("--size", type=int, default=1000, help="visits of the large week; 0: none")
    parser.add_argument("--seed", type=int, default=101, help="which large week")
    parser.add_argument("--seconds", type=float, default=20, help="for the large week, each way")
    parser.add_argument("--runs", type=int, default=3, help="of the large week, each way")
    parser.add_argument("--kitchens", type=int, default=20, help="small weeks; 0: none")
    parser.add_argument("--each", type=float, default=5, help="seconds for each small week")
    parser.add_argument("--cache", type=Path, default=None, help="folder for planted weeks")
    return parser.parse_args(arguments)


def _one(week: Planted, address: str, options: Namespace) -> int:
    """One large week: alone, with one helper process, with two workers, in turns."""
    ways: dict[str, tuple[int | None, str | None]] = {
        "no helper": (1, None),
        "one helper process": (2, None),
        "two workers": (None, address),
    }
    runs: dict[str, list[dict[str, Any]]] = {name: [] for name in ways}
    for seed in range(1, options.runs + 1):
        for name, (workers, where) in ways.items():
            runs[name].append(_run(week, workers, where, options.seconds, seed))
    print(f"\n{week.visits} visits, tight, {week.mark}; hidden plan {week.plan.terms.quality}")
    print(f"median of {options.runs} runs of {options.seconds:g} s each, in turns")
    print("| one week | first plan | served | in the end | lost |")
    print("| --- | --- | --- | --- | --- |")
    for name, results in runs.items():
        first = statistics.median(r["first"] for r in results)
        served = [r["served"] for r in results if r["served"] is not None]
        when = f" after {statistics.median(served):.1f} s" if served else ""
        short, out, quality = sorted(r["end"] for r in results)[len(results) // 2]
        end = f"{quality}" if not short + out else f"{short} portions, {out} batches short"
        lost = sum(r["lost"] for r in results)
        print(
            f"| {name} | {first:.2f} s | {len(served)} of {len(results)}{when} | {end} | {lost} |"
        )
    return sum(not r["valid"] for results in runs.values() for r in results)


def _run(
    week: Planted, workers: int | None, where: str | None, seconds: float, seed: int
) -> dict[str, Any]:
    lost = 0
    with helpers(workers, False, where) as (executor, count):
        listener = Listener(time.monotonic())

        def tell(event: dict[str, Any]) -> None:
            nonlocal lost
            lost += event["kind"] == "helper lost"
            if "plan" in event:
                plan: Plan = event["plan"]
                listener.hear(plan.terms, lambda: plan)

        plan_week(
            week.scenario, seconds=seconds, seed=seed, workers=count, executor=executor, tell=tell
        )
    result = listener.result(week.scenario)
    return result | {"end": min(x[1:] for x in result["told"]), "lost": lost}


def _many(weeks: dict[str, Planted], address: str, options: Namespace) -> int:
    """Many small weeks: one after the other with a helper process, and each a task there."""
    visits = sum(week.visits for week in weeks.values())
    print(f"\n{len(weeks)} kitchens, loose, {visits} visits in all, {options.each:g} s each")
    print("| many weeks | until all are audited | served | quality, sum | lost |")
    print("| --- | --- | --- | --- | --- |")
    ways: dict[str, Way] = {
        "one after the other": _in_turn,
        "on two workers": lambda w, s: _there(w, s, address),
    }
    wrong = 0
    for name, way in ways.items():
        begun = time.monotonic()
        plans = way(weeks, options.each)
        reports = [audit(weeks[n].scenario, plan) for n, plan in plans.items()]
        took = time.monotonic() - begun
        wrong += sum(not report.valid for report in reports)
        served = sum(report.served for report in reports)
        quality = sum(report.terms.quality for report in reports)
        print(f"| {name} | {took:.1f} s | {served} | {quality} | {len(weeks) - len(plans)} |")
    return wrong


def _in_turn(weeks: dict[str, Planted], seconds: float) -> dict[str, Plan]:
    """As the command does it without a cluster: with a helper process for each."""
    plans = {}
    for name, week in weeks.items():
        with helpers(None, False, None) as (executor, count):
            plans[name] = plan_week(
                week.scenario, seconds=seconds, workers=count, executor=executor
            )
    return plans


def _there(weeks: dict[str, Planted], seconds: float, address: str) -> dict[str, Plan]:
    with cluster(address) as there:
        scenarios = {name: week.scenario for name, week in weeks.items()}
        asked = Kitchens(there, scenarios, seconds=seconds, seed=1, deterministic=False)
        return {name: answer for name, answer in asked.come() if isinstance(answer, Plan)}
