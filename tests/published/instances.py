"""Where published instances are, and what is known of them.

They are found through the environment variable BACKTIME_BENCH_DATA; its folder
holds `index.csv` (family, set, name, lower_bound, best_known), a folder for
each family and set, and `jobshop.json`.
"""

from __future__ import annotations

import csv
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from scheduler.workload.primitives import Problem
from tests.published.projects import problem_of, read_rcp, read_sch, read_sm, shop_of

VARIABLE = "BACKTIME_BENCH_DATA"
ABSENT = f"{VARIABLE} is not set: published instances are not here"
INFEASIBLE = "infeasible"
SHOPS = "job shop"

_READERS = {
    "rcpsp": (read_sm, ".sm"),
    "rcpsp-max": (read_sch, ".sch"),
    "rcpsp-cpr": (read_rcp, ".rcp"),
}
_LETTERS = ["ft", "la", "orb", "abz", "swv", "yn", "ta"]


@dataclass(frozen=True)
class Instance:
    """One published instance.

    Attributes
    ----------
    family, group, name : str
    least : int or None
        No solution ends earlier. None where it is known to be infeasible.
    best : int or None
        The best that is known; None where it is known to be infeasible.
    """

    family: str
    group: str
    name: str
    least: int | None
    best: int | None

    def problem(self, apart: bool = False) -> Problem:
        """The instance as primitives."""
        root = folder()
        if root is None:
            raise FileNotFoundError(ABSENT)
        if self.family == SHOPS:
            row = json.loads((root / "jobshop.json").read_text())[self.name]
            return shop_of(self.name, row["duration_matrix"], row["machines_matrix"], apart)
        reader, suffix = _READERS[self.family]
        return problem_of(reader(root / self.family / self.group / (self.name + suffix)), apart)


def folder() -> Path | None:
    """The folder of published data, if there is one."""
    named = os.environ.get(VARIABLE)
    return Path(named) if named and Path(named).is_dir() else None


def instances() -> Iterator[Instance]:
    """All that are known, in the order of the index."""
    root = folder()
    if root is None:
        return
    with (root / "index.csv").open(newline="") as file:
        for row in csv.DictReader(file):
            known = row["best_known"] != INFEASIBLE
            yield Instance(
                row["family"],
                row["set"],
                row["name"],
                int(row["lower_bound"]) if known else None,
                int(row["best_known"]) if known else None,
            )
    for name, row in json.loads((root / "jobshop.json").read_text()).items():
        data = row["metadata"]
        best = data["optimum"] if data["optimum"] is not None else data["upper_bound"]
        least = data["optimum"] if data["optimum"] is not None else data["lower_bound"]
        yield Instance(SHOPS, _letters(name), name, least, best)


def _letters(name: str) -> str:
    return next((s for s in _LETTERS if name.startswith(s)), "other")
