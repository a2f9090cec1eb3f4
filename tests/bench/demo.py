"""How fast the demo is planned: first plan, plan after a while, memory; calibration beside."""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from argparse import ArgumentParser
from pathlib import Path

import psutil

from tests.bench.calibration import line, memory


def run(scenario: str, seconds: float, seed: int) -> dict[str, float]:
    """One `backtime plan`, watched from outside."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder, "out.plan.json")
        command = [sys.executable, "-P", "-m", "scheduler.cli", "plan", scenario, "--json"]
        command += ["--seconds", str(seconds), "--seed", str(seed), "--out", str(out)]
        began = time.perf_counter()
        child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        watched = psutil.Process(child.pid)
        first, peak = None, 0
        while child.poll() is None:
            peak = max(peak, memory(watched))
            if first is None and out.exists():
                first = time.perf_counter() - began
            time.sleep(0.02)
        stdout = child.stdout.read() if child.stdout else ""
    told = json.loads(stdout)
    return {
        "command to first": first or float("nan"),
        "request to first": told["events"]["first"]["seconds"],
        "request to served": told["events"]["served"]["seconds"],
        "first quality": told["events"]["first"]["quality"],
        "quality": told["terms"]["quality"],
        "portions short": sum(told["terms"]["served"]),
        "MB": peak / 1e6,
    }


def main(arguments: list[str]) -> int:
    """Medians of several runs of one scenario; with --long also the best of long runs."""
    parser = ArgumentParser(prog="python -m tests.bench demo", description=main.__doc__)
    parser.add_argument("--scenario", default="demo")
    parser.add_argument("--seconds", type=float, default=20)
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--long", type=float, default=0, help="seconds of each of three long runs")
    options = parser.parse_args(arguments)
    rows = [run(options.scenario, options.seconds, seed + 1) for seed in range(options.runs)]
    print(line())
    for key in rows[0]:
        values = [row[key] for row in rows]
        spread = f"{min(values):.2f} to {max(values):.2f}"
        print(f"{key:18} median {statistics.median(values):10.2f}   ({spread})")
    if options.long:
        long = [run(options.scenario, options.long, seed + 11) for seed in range(3)]
        best = min(row["quality"] for row in long)
        median = statistics.median(row["quality"] for row in rows)
        print(f"best of three runs of {options.long:g} s: {best:.0f}")
        print(f"after {options.seconds:g} s: {median - best:+.0f} weighted minutes, ", end="")
        print(f"{100 * (median - best) / best:+.1f} %" if best else "best is 0")
    return 0
