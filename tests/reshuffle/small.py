"""A tiny week planned, broken and planned anew: what the tests of it have in common."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.domain.staying import Staying
from scheduler.plan.audit import audit
from scheduler.plan.changes import Comparison
from scheduler.plan.file import Made, PlanFile, plan_of, plan_text, verdicts_of
from scheduler.plan.model import Past, Plan, PlannedTask
from scheduler.reshuffle.asking import Asked, asked
from scheduler.reshuffle.proposal import Proposal
from scheduler.reshuffle.setback import setback_of
from scheduler.solve.engine import plan_week
from tests.weeks.tiny import DAY, Document


def text_of(document: Document, **more: Any) -> str:
    """The plan file of a written week."""
    scenario = scenario_of(document)
    plan = plan_week(scenario, seconds=0.5, deterministic=True, **more)
    return written(scenario, plan)


def written(scenario: Any, plan: Plan, parent: str | None = None) -> str:
    """The file of a plan that the audit passes."""
    report = audit(scenario, plan)
    assert report.valid, [str(f) for f in report.findings]
    return plan_text(plan, scenario, Made(parent=parent), verdicts_of(report))


@dataclass(frozen=True)
class Anew:
    """A plan made anew, and the one before."""

    asked: Asked
    text: str

    @property
    def file(self) -> PlanFile:
        return plan_of(self.text)

    @property
    def plan(self) -> Plan:
        return self.file.plan

    @property
    def past(self) -> Past:
        assert self.plan.past is not None
        return self.plan.past

    @property
    def comparison(self) -> Comparison:
        return Proposal(self.asked, self.text).comparison

    @property
    def gives(self) -> list[str]:
        return list(Proposal(self.asked, self.text).gives())

    def task(self, name: str) -> PlannedTask:
        return next(t for t in self.plan.tasks if t.id == name)

    def starts(self, name: str) -> str:
        return self.clock(self.task(name).start)

    def ends(self, name: str) -> str:
        return self.clock(self.task(name).end)

    def clock(self, minute: int | None) -> str:
        assert minute is not None
        return f"{self.file.scenario.clock.local(minute):%H:%M}"

    def people(self, name: str) -> list[tuple[str, ...]]:
        return [v.people for v in self.task(name).visits]

    def units(self, name: str) -> list[str | None]:
        return [t.unit for t in self.task(name).taken]


def at(time: str) -> datetime:
    """A time of the one day that matters, or a whole moment."""
    return datetime.fromisoformat(time if " " in time else f"{DAY} {time}")


def anew(
    older: str, now: str, *setbacks: Document, keep: tuple[Staying, ...] = (), seconds: float = 0.3
) -> Anew:
    """Plan it anew; the audit passes everything told on the way, and none is worse."""
    what = asked(older, [setback_of(s) for s in setbacks], at(now), keep)
    keys = []

    def read(event: dict[str, Any]) -> None:
        plan = event.get("plan")
        if plan is not None:
            report = audit(what.scenario, plan)
            assert report.valid, [str(f) for f in report.findings]
            assert report.terms == plan.terms
            keys.append(plan.terms.key())

    plan = plan_week(
        what.scenario, seconds=seconds, deterministic=True, kept=what.kept,
        start_from=what.older.plan, past=what.past, tell=read,
    )  # fmt: skip
    assert keys == sorted(keys, reverse=True), "a plan told later is worse"
    unchanged(what, plan)
    return Anew(what, written(what.scenario, plan, what.parent))


def unchanged(what: Asked, plan: Plan) -> None:
    """What had begun is in the new plan as it was, held against the old plan itself."""
    past = plan.past
    assert past is not None
    now = {t.id: t for t in plan.tasks}
    missing = {m.batch for m in plan.missing} | set(past.gone)
    begun = {t.id for t in past.tasks}
    for was in what.older.plan.tasks:
        if was.id not in begun or was.batch in missing:
            continue
        task = now[was.id]
        assert (task.start, task.law_start) == (was.start, was.law_start)
        if was.id in past.settled:
            continue
        made = [(v.kind, v.start, v.people) for v in task.visits if v.start < past.now]
        before = [(v.kind, v.start, v.people) for v in was.visits if v.start < past.now]
        assert made == before[: len(made)]
    for task in plan.tasks:
        assert task.id in begun or task.start >= past.now
