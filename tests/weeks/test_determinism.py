"""The same week gives the same plan, in whatever order Python happens to keep its sets."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from random import Random

from scheduler.plan.model import Plan
from tests.weeks.generate import generate

ROOT = Path(__file__).parents[2]
SEEDS = (3, 7, 11, 14)
RUN = """
import json, sys
from scheduler.domain.reading import scenario_of
from scheduler.solve.engine import plan_week
plans = [
    plan_week(scenario_of(week), seconds=2.2, seed=5, deterministic=True).model_dump(mode="json")
    for week in json.load(sys.stdin)
]
print(json.dumps(plans))
"""


def plans_with(hash_seed: str) -> str:
    weeks = [generate(Random(seed)) for seed in SEEDS]
    return subprocess.run(
        [sys.executable, "-c", RUN],
        cwd=ROOT,
        env=os.environ | {"PYTHONHASHSEED": hash_seed, "PYTHONPATH": str(ROOT)},
        input=json.dumps(weeks),
        capture_output=True,
        check=True,
        text=True,
    ).stdout


def test_two_runs_give_the_same_plan() -> None:
    first, second = plans_with("1"), plans_with("2")
    assert [len(Plan.model_validate(p).tasks) > 3 for p in json.loads(first)] == [True] * len(SEEDS)
    assert first == second


def test_a_week_is_generated_alike_every_time() -> None:
    assert generate(Random(3)) == generate(Random(3))
