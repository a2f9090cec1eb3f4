"""The plan file: what was asked, what came of it, and both verdicts on it.

It carries the exact scenario, so that reading, auditing and replanning need
nothing else, and no value of the wall clock, so that a deterministic plan is
the same file every time.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import Field, ValidationError

from scheduler.domain.base import SCHEMA, Word
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.atomic import write_atomically
from scheduler.plan.model import Plan
from scheduler.plan.moments import in_minutes, with_offset
from scheduler.plan.opening import KIND, opened, parsed, placed
from scheduler.plan.versions import versions

if TYPE_CHECKING:
    from scheduler.plan.audit import Report


class Made(Word):
    """How a plan was made."""

    seed: int = Field(default=1, description="Seed.")
    seconds: float = Field(default=20, description="Time it was given, seconds.")
    deterministic: bool = Field(default=False, description="Made so that it comes out alike.")
    parent: str | None = Field(default=None, description="SHA-256 of the plan it replaces.")
    versions: dict[str, str] = Field(
        default_factory=versions, description="Versions of what made it."
    )


class Broken(Word):
    """One thing the audit found."""

    rule: str = Field(description="Rule.")
    where: str = Field(description="Where.")
    what: str = Field(description="What is wrong.")


class Accepted(Broken):
    """A house rule that is broken, and who has accepted that and why."""

    by: str = Field(description="Who has accepted it.")
    reason: str = Field(description="Why.")


class Verdicts(Word):
    """What the audit said when the file was written."""

    valid: bool = Field(description="What is there breaks no rule.")
    served: bool = Field(description="Nothing is missing.")
    findings: tuple[Broken, ...] = Field(default=(), description="What was found.")
    let_go: tuple[Accepted, ...] = Field(
        default=(), description="House rules that are broken where somebody has accepted it."
    )


@dataclass(frozen=True)
class PlanFile:
    """A plan file as read.

    Attributes
    ----------
    scenario : Scenario
    plan : Plan
    made : Made
    verdicts : Verdicts
        As they stand in the file; `report` is what the audit says now.
    """

    scenario: Scenario
    plan: Plan
    made: Made
    verdicts: Verdicts

    @cached_property
    def report(self) -> Report:
        """The audit of the plan as it was read: it may have been edited by hand."""
        from scheduler.plan.audit import audit

        return audit(self.scenario, self.plan)


def verdicts_of(report: Report) -> Verdicts:
    """The audit's report as it is written into a file."""
    return Verdicts(
        valid=report.valid,
        served=report.served,
        findings=tuple(Broken(rule=f.rule, where=f.where, what=f.what) for f in report.findings),
        let_go=tuple(
            Accepted(rule=f.rule, where=f.where, what=f.what, by=f.by, reason=f.reason)
            for f in report.let_go
        ),
    )


def plan_text(plan: Plan, scenario: Scenario, made: Made, verdicts: Verdicts) -> str:
    """The text of a plan file: JSON, one batch, task or hold a line."""
    exact = scenario.canonical()
    told = with_offset(plan.model_dump(mode="json", exclude_defaults=True), scenario.clock)
    parts = {
        "backtime": json.dumps(KIND),
        "schema": json.dumps(SCHEMA),
        "made": _one_line(made.model_dump(mode="json")),
        "verdicts": _a_line_each(verdicts.model_dump(mode="json")),
        "plan": _a_line_each(told),
        "scenario_sha256": json.dumps(hashlib.sha256(exact.encode()).hexdigest()),
        "scenario": exact,
    }
    return "{\n" + ",\n".join(f'"{key}": {value}' for key, value in parts.items()) + "\n}\n"


def _one_line(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def _a_line_each(record: Mapping[str, Any]) -> str:
    """A record with each entry of its lists on a line of its own."""
    rows = []
    for key, value in record.items():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            inside = ",\n  ".join(_one_line(v) for v in value)
            rows.append(f' "{key}": [\n  {inside}\n ]')
        else:
            rows.append(f' "{key}": {_one_line(value)}')
    return "{\n" + ",\n".join(rows) + "\n}"


def write_plan(
    path: Path | str,
    plan: Plan,
    scenario: Scenario,
    made: Made | None = None,
    report: Report | None = None,
) -> Verdicts:
    """Audit a plan and write it to a file, in one go or not at all.

    Parameters
    ----------
    report : Report, optional
        The audit of this very plan, where it has just been made.

    Returns
    -------
    Verdicts
        What the audit said.

    Raises
    ------
    OSError
        If the file cannot be written.
    """
    if report is None:
        from scheduler.plan.audit import audit

        report = audit(scenario, plan)
    verdicts = verdicts_of(report)
    write_atomically(Path(path), plan_text(plan, scenario, made or Made(), verdicts))
    return verdicts


def read_plan(path: Path | str) -> PlanFile:
    """Read a plan file.

    Raises
    ------
    BadInput
        If it is no plan of ours, cut short, newer than this code, or edited into nonsense.
    """
    path = Path(path)
    return _read_all(opened(path), path)


def plan_of(text: str, name: str = "plan") -> PlanFile:
    """Read the text of a plan file.

    Parameters
    ----------
    name : str
        What it is called where something is wrong with it.

    Raises
    ------
    BadInput
        As `read_plan` does.
    """
    return _read_all(parsed(text, Path(name)), Path(name))


def _read_all(document: dict[str, Any], path: Path) -> PlanFile:
    scenario = scenario_of(document["scenario"], name=path.name)
    data, wrong = in_minutes(document["plan"], scenario.clock)
    problems = [placed(path, ("plan", *where), what, data) for where, what in wrong]
    if problems:
        raise BadInput(problems)
    try:
        return PlanFile(
            scenario=scenario,
            plan=Plan.model_validate(data),
            made=_read(Made, "made", document),
            verdicts=_read(Verdicts, "verdicts", document),
        )
    except ValidationError as error:
        field = {"Plan": "plan", "Made": "made", "Verdicts": "verdicts"}.get(error.title, "plan")
        raise BadInput(
            [
                placed(path, (field, *e["loc"]), _said(e["msg"], e.get("input")), data)
                for e in error.errors()
            ]
        ) from None


def _read(kind: type[Any], field: str, document: dict[str, Any]) -> Any:
    return kind.model_validate(document.get(field))


def _said(message: str, value: Any) -> str:
    text = message[:1].lower() + message[1:]
    return f"{text}, not '{value}'" if isinstance(value, (str, int, float)) else text
