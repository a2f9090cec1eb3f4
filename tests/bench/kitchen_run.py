"""One run of the kitchen bench in a process of its own: `... REQUEST.json RESULT.json`.

Clocks start when the request has been read. What is told is noted as it
comes; the audit reads the plans that matter when the time is over.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan, Terms
from scheduler.workload.primitives import Solution

Told = list[tuple[float, int, int, int]]
"""Seconds, portions lacking something, batches left out, quality."""


class Listener:
    """Notes every plan's terms, and keeps the first plan, the first that serves all, the last."""

    def __init__(self, began: float) -> None:
        self.began = began
        self.told: Told = []
        self.bound: int | None = None
        self.kept: dict[str, tuple[float, Callable[[], Plan]]] = {}

    def hear(self, t: Terms, plan: Callable[[], Plan]) -> None:
        """A plan's terms, and how to get at it."""
        now = time.monotonic() - self.began
        self.told.append((round(now, 3), sum(t.served), t.left_out, t.quality))
        self.kept.setdefault("first", (now, plan))
        if not any(t.served) and not t.left_out:
            self.kept.setdefault("served", (now, plan))
        self.kept["last"] = (now, plan)

    def result(self, scenario: Scenario) -> dict[str, Any]:
        """Times and verdicts."""
        plans = {key: plan() for key, (_, plan) in self.kept.items()}
        reports = {key: audit(scenario, plan) for key, plan in plans.items()}
        good = [k for k in ("first", "served") if k in reports and reports[k].valid]
        served = [self.kept[k][0] for k in good if reports[k].served]
        findings = [str(f) for r in reports.values() for f in r.findings]
        missing = plans["last"].missing if plans else ()
        return {
            "first": self.kept["first"][0] if "first" in good else None,
            "served": min(served, default=None),
            "told": self.told,
            "bound": self.bound,
            "valid": all(r.valid for r in reports.values()),
            "findings": findings[:10],
            "certain": [m.batch for m in missing if m.certain],
        }


def engine(scenario: Scenario, request: dict[str, Any], listener: Listener) -> None:
    """The engine as the solving job runs it."""
    from scheduler.solve.engine import plan_week
    from scheduler.solve.helpers import processes

    def tell(event: dict[str, Any]) -> None:
        if "plan" in event:
            plan: Plan = event["plan"]
            listener.hear(plan.terms, lambda: plan)
            listener.bound = plan.bound

    with processes(request["workers"] - 1) as executor:
        plan_week(
            scenario, seconds=request["seconds"], seed=request["seed"],
            workers=request["workers"], executor=executor, tell=tell,
        )  # fmt: skip


def model(scenario: Scenario, request: dict[str, Any], listener: Listener) -> None:
    """One plain CP-SAT model of the same primitives, without a hint."""
    from scheduler.solve.cpsat.solve import solve_model

    assembled = Assembler(scenario)
    left = request["seconds"] - (time.monotonic() - listener.began)
    solve_model(
        assembled.problem, seconds=left, workers=request["workers"], seed=request["seed"],
        on_solution=lambda s: assembled.tell(s, listener),
    )  # fmt: skip


def rule(scenario: Scenario, request: dict[str, Any], listener: Listener) -> None:
    """The dispatching rule."""
    from tests.bench.rule import by_hand

    del request
    assembled = Assembler(scenario)
    assembled.tell(by_hand(assembled.problem), listener)


class Assembler:
    """From solutions of one week to plans."""

    def __init__(self, scenario: Scenario) -> None:
        from scheduler.workload.compile import compile_week
        from scheduler.workload.work import work_out

        self.scenario = scenario
        self.workload = work_out(scenario)
        self.compiled = compile_week(scenario, self.workload)
        self.problem = self.compiled.problem

    def tell(self, solution: Solution, listener: Listener) -> None:
        """Tell a listener of a solution."""
        from scheduler.solve.objective import terms
        from scheduler.workload.assemble import assemble

        score = terms(self.problem, solution)
        t = Terms(
            served=score.served[:-1],
            left_out=score.served[-1],
            money=score.money,
            quality=score.quality,
        )
        listener.hear(
            t,
            lambda: assemble(
                self.scenario, self.workload, self.compiled, solution, {}, frozenset(), t
            ),
        )


WHO: dict[str, Callable[[Scenario, dict[str, Any], Listener], None]] = {
    "engine": engine, "model": model, "rule": rule,
}  # fmt: skip


def main(arguments: list[str]) -> int:
    """Run what the request asks for and write what came of it."""
    request_file, result_file = (Path(a) for a in arguments)
    ready = time.time()
    if request_file.name.startswith("engine"):  # as the job does, before it has its request
        import scheduler.solve.engine
        import scheduler.solve.helpers  # noqa: F401
    request = json.loads(request_file.read_text(encoding="utf-8"))
    listener = Listener(time.monotonic())
    scenario = scenario_of(request["scenario"])
    WHO[request["who"]](scenario, request, listener)
    result = listener.result(scenario) | {"start": ready - request["asked"]}
    result_file.write_text(json.dumps(result), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
