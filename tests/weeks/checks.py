"""Plan a written week and have it read again: what the tests of the whole way have in common."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.engine import plan_week
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import PlannedTask
    from scheduler.workload.primitives import Problem
    from tests.weeks.tiny import Document


def planned(document: Document, seconds: float = 3.0) -> Plan:
    """The plan of a week, the same every time; it and what is told before it are VALID."""
    return read_again(scenario_of(document), seconds)


def read_again(
    scenario: Scenario, seconds: float, stop: Callable[[], bool] | None = None
) -> Plan:
    """Plan a week; the audit passes everything that is told on the way, and none is worse."""
    keys = []

    def read(event: dict[str, Any]) -> None:
        if "plan" not in event:
            return
        plan: Plan = event["plan"]
        report = audit(scenario, plan)
        assert report.valid, [event["kind"], *(str(f) for f in report.findings)]
        assert report.terms == plan.terms
        assert report.served == (not plan.unserved)
        keys.append(plan.terms.key())

    plan = plan_week(
        scenario, seconds=seconds, deterministic=True, tell=read, stop=stop
    )
    assert keys == sorted(keys, reverse=True), "a plan told later is worse"
    assert plan.terms.key() == keys[-1]
    return plan


def served(document: Document) -> Plan:
    """The plan of a week in which nothing is missing."""
    plan = planned(document)
    assert not plan.missing, [m.batch for m in plan.missing]
    assert audit(scenario_of(document), plan).served
    return plan


def problem_of(scenario: Scenario) -> Problem:
    """What the engines get."""
    return compile_week(scenario, work_out(scenario)).problem


def key_of(plan: Plan) -> tuple[tuple[int, ...], int]:
    """What the engines compare: portions lacking by rank and batches left out; quality."""
    return (*plan.terms.served, plan.terms.left_out), plan.terms.quality


def model_key(problem: Problem) -> tuple[tuple[int, ...], int]:
    """The best there is by the OR-Tools model alone, proved and without a hint."""
    result = solve_model(problem, workers=1)
    assert result.status == "optimal"
    assert result.refused == ()
    assert result.served is not None
    assert result.quality is not None
    return result.served, result.quality


def named(plan: Plan, names: Mapping[str, str]) -> Plan:
    """The plan with other people or units in it."""
    text = plan.model_dump_json()
    for old, new in names.items():
        text = text.replace(json.dumps(old), json.dumps(new))
    return Plan.model_validate_json(text)


def keeps_the_rule(
    real: Document, loosened: Document, rule: str, renamed: Mapping[str, str] | None = None
) -> Plan:
    """The week is served within a rule that it would be cheaper to break, and the audit would see.

    The plan of the week with the rule loosened is no dearer, and held against
    the real week the audit refuses it by the name of that rule. The OR-Tools
    model alone finds nothing better in the real week.

    Returns
    -------
    Plan
        The plan of the real week.
    """
    plan, other = served(real), served(loosened)
    assert other.terms.key() <= plan.terms.key()
    assert model_key(problem_of(scenario_of(real))) == key_of(plan)
    report = audit(scenario_of(real), named(other, renamed or {}))
    assert rule in report.rules(), [str(f) for f in report.findings]
    return plan


def finds_no_place(document: Document, *batches: str) -> Plan:
    """The plan lists one of these batches as missing, and says who goes short."""
    plan = planned(document)
    assert model_key(problem_of(scenario_of(document))) == key_of(plan)
    missing = {m.batch for m in plan.missing}
    assert missing & set(batches), f"missing: {sorted(missing)}"
    assert plan.unserved
    assert not audit(scenario_of(document), plan).served
    return plan


def task(plan: Plan, name: str) -> PlannedTask:
    """A task of a plan by its id."""
    return next(t for t in plan.tasks if t.id == name)
