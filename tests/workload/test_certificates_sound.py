"""Certificates against the engine: what it manages to place was never called impossible."""

from __future__ import annotations

from random import Random

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.solve.engine import plan_week
from scheduler.workload.certificates import certify
from scheduler.workload.compile import compile_week
from scheduler.workload.compiled import Compiled
from scheduler.workload.energy import cannot_all
from scheduler.workload.model import Workload
from scheduler.workload.work import work_out
from tests.weeks.generate import generate, share_hands

Tight = tuple[Scenario, Workload, Compiled]


def too_tight(seed: int) -> Tight:
    """A week begun too late or with people away, that is still no bad input."""
    for attempt in range(20):
        try:
            scenario = cut(1000 * attempt + seed)
            workload = work_out(scenario)
            return scenario, workload, compile_week(scenario, workload)
        except BadInput:
            continue
    raise AssertionError(f"no week for seed {seed}")


def cut(seed: int) -> Scenario:
    rng = Random(seed)
    document = generate(rng)
    if seed % 3 == 0:
        document = share_hands(document, Random(seed))
    if seed % 2:
        day, hour = rng.choice("567"), rng.choice(("06:00", "12:00", "20:00"))
        document["week"]["plan_from"] = f"2027-05-0{day} {hour}"
    else:
        people = document["kitchen"]["people"]
        document["kitchen"]["people"] = [p for p in people if rng.random() < 0.7] or people[:1]
    return scenario_of(document)


@pytest.mark.parametrize("seed", range(24))
def test_nothing_that_finds_a_place_was_called_impossible(seed: int) -> None:
    scenario, workload, compiled = too_tight(seed)
    claimed = {m.batch: m.why for m in certify(scenario, workload, compiled)}
    sets = cannot_all(scenario, compiled, list(claimed))
    plan = plan_week(scenario, seconds=0.3, deterministic=True)
    placed = {t.batch for t in plan.tasks}
    for name, why in claimed.items():
        users = {s.consumer for s in workload.shares if s.source == name}
        assert name not in placed or not users & placed, why
    for found in sets:
        assert not set(found.batches) <= placed, found.why
