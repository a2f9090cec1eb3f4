"""Small random weeks with choices, held against the model on every choice there is."""

from __future__ import annotations

from itertools import product
from random import Random
from typing import Any

import pytest

from scheduler.domain.methods import methods_of
from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.engine import plan_week
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out
from tests.weeks.tiny import DAY, component, cook, keep, kind, step, week_of

Key = tuple[tuple[int, ...], int, int]


def random_week(seed: int) -> dict[str, Any]:
    """Three components for one supper, a cook with short hours, one chiller and one griddle."""
    rng = Random(seed)

    def hour() -> str:
        return f"{rng.choice((30, 60, 90, 120))} min"

    def runs(name: str) -> dict[str, Any]:
        on = [{"equipment": rng.choice(("chiller", "griddle"))}] if rng.random() < 0.7 else []
        return step(name, f"{rng.choice((1, 2, 3, 5, 8))} h", on=on)

    made = []
    for name in ("mousse", "sable", "glaze"):
        rest: dict[str, Any] = {}
        if rng.random() < 0.7:
            steps = [step("other", hour(), hands=1)] + [runs("run")] * (rng.random() < 0.6)
            rest["methods"] = [{"id": "other", "steps": steps}]
        if rng.random() < 0.4:
            start = rng.choice((6, 10, 14))
            rest["bought_in"] = {
                "lead_time": f"{rng.choice((6, 26, 40))} h",
                "hours": f"{start:02d}:00-{start + 2}:00",
                "pack": "10 portions",
                "price": rng.choice((3, 8)),
            }
        limit = f"{rng.choice((3, 5, 12))} h"
        made.append(
            component(name, step("make", hour(), hands=1), runs("set"), keeps=keep(limit), **rest)
        )
    begin = rng.choice((6, 8, 10, 12, 14))
    people = [cook("ana", f"{begin:02d}:00-{begin + rng.choice((2, 3, 5))}:00", days=DAY)]
    return week_of(*made, people=people, equipment=[kind("chiller"), kind("griddle")])


def best_of_all(scenario: Scenario) -> tuple[Key, Key]:
    """By the model, over every choice: the best there is, and of what is made here alone."""
    names = {c.id: methods_of(c) for c in scenario.components}
    keys: dict[tuple[str | None, ...], Key] = {}
    for ways in product(*names.values()):
        chosen = {f"{n}.1": way for n, way in zip(names, ways, strict=True) if way is not None}
        problem = compile_week(scenario, work_out(scenario, chosen=chosen)).problem
        found = solve_model(problem, workers=1)
        assert found.status == "optimal"
        assert found.served is not None and found.quality is not None
        keys[ways] = found.served, problem.spent, found.quality
    own = keys[tuple(None for _ in names)]
    return min(keys.values()), own


@pytest.mark.parametrize("seed", range(24))
def test_the_choice_serves_as_much_for_as_little_as_any_and_certain_is_certain(seed: int) -> None:
    scenario = scenario_of(random_week(seed))
    best, own = best_of_all(scenario)
    plan = plan_week(scenario, seconds=6, seed=1, deterministic=True)
    report = audit(scenario, plan)
    assert report.valid, [str(f) for f in report.findings]
    assert plan.terms.served == best[0][:-1]
    mine = (*plan.terms.served, plan.terms.left_out), plan.terms.money, plan.terms.quality
    assert best <= mine <= own
    if plan.terms.served < own[0][:-1] or not plan.terms.money:
        assert plan.terms.money <= best[1] or best[0] != mine[0]
    if any(m.certain for m in plan.missing):
        assert any(best[0])
