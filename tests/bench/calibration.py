"""What stands beside every timed table: a fixed loop, memory, the machine, the commit."""

from __future__ import annotations

import os
import platform
import statistics
import subprocess
import time
from datetime import date

import psutil

LOOP = 3_000_000


def calibration(runs: int = 5) -> float:
    """Median seconds for a fixed pure Python loop: machines differ, ratios travel."""
    return statistics.median(_loop() for _ in range(runs))


def _loop() -> float:
    began = time.perf_counter()
    x = 0
    for i in range(LOOP):
        x = (x + i * i) % 1_000_003
    return time.perf_counter() - began


def memory(process: psutil.Process) -> int:
    """PSS over the process tree, bytes; RSS where the system does not know PSS."""
    total = 0
    try:
        family = [process, *process.children(recursive=True)]
    except psutil.Error:
        return 0
    for p in family:
        try:
            info = p.memory_full_info()
            total += getattr(info, "pss", info.rss)
        except psutil.Error:
            continue
    return total


def commit() -> str:
    """The commit that runs, with a + where something is changed; "unknown" outside a checkout."""
    try:
        name = _git("rev-parse", "--short", "HEAD")
        return name + ("+" if _git("status", "--porcelain", "--untracked-files=no") else "")
    except (OSError, subprocess.CalledProcessError):
        return "unknown"


def _git(*words: str) -> str:
    done = subprocess.run(["git", *words], check=True, capture_output=True, text=True)
    return done.stdout.strip()


def line() -> str:
    """Date, commit, machine and calibration loop in one line."""
    cores, python = os.cpu_count(), platform.python_version()
    return (
        f"{date.today()}, commit {commit()}, {cores} cores, Python {python}, "
        f"calibration loop {calibration():.3f} s"
    )
