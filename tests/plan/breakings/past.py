"""Breakings of what had happened when a plan was made anew in the middle of its week."""

from __future__ import annotations

from typing import Any

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Past, Plan, PlannedTask
from tests.plan.breakings.means import breaking

NOON = 2 * 1440 + 720


def _anew(plan: Plan, now: int = NOON, **changed: Any) -> Plan:
    """The plan as if it had been made anew at a moment; `changed`: what is said of the past."""
    past = Past(
        now=now,
        tasks=tuple(t for t in plan.tasks if t.start < now),
        batches=tuple(b for b in plan.batches if any(t.batch == b.id and t.start < now
                                                     for t in plan.tasks)),
        duties=tuple(d for d in plan.duties if d.start < now),
    )  # fmt: skip
    return plan.model_copy(update={"past": past.model_copy(update=changed)})


def _begun(plan: Plan) -> tuple[PlannedTask, ...]:
    return tuple(t for t in plan.tasks if t.start < NOON)


@breaking("past")
def _a_task_of_the_past_is_moved(scenario: Scenario, plan: Plan) -> Plan | None:
    one, *rest = _begun(plan)
    moved = {"start": one.start - 30, "law_start": one.law_start - 30}
    return _anew(plan, tasks=(one.model_copy(update=moved), *rest))


@breaking("past")
def _it_was_somebody_else(scenario: Scenario, plan: Plan) -> Plan | None:
    begun = _begun(plan)
    one = next(t for t in begun if t.visits)
    others = tuple(p.id for p in scenario.kitchen.people if p.id not in one.visits[0].people)[:1]
    visits = (one.visits[0].model_copy(update={"people": others}), *one.visits[1:])
    changed = one.model_copy(update={"visits": visits})
    return _anew(plan, tasks=tuple(changed if t is one else t for t in begun))


@breaking("past")
def _it_was_at_another_setting(scenario: Scenario, plan: Plan) -> Plan | None:
    begun = _begun(plan)
    one = next(t for t in begun if any(x.celsius for x in t.taken))
    taken = tuple(x.model_copy(update={"celsius": (x.celsius or 0) + 10}) for x in one.taken)
    changed = one.model_copy(update={"taken": taken})
    return _anew(plan, tasks=tuple(changed if t is one else t for t in begun))


@breaking("past")
def _what_had_begun_is_left_out(scenario: Scenario, plan: Plan) -> Plan | None:
    anew = _anew(plan)
    return anew.model_copy(update={"tasks": tuple(t for t in plan.tasks if t.start >= NOON)})


@breaking("past")
def _something_new_begins_before_now(scenario: Scenario, plan: Plan) -> Plan | None:
    return _anew(plan, tasks=_begun(plan)[1:])


@breaking("past")
def _more_was_weighed_up_than_was_begun(scenario: Scenario, plan: Plan) -> Plan | None:
    ids = {t.batch for t in _begun(plan)}
    begun = tuple(b for b in plan.batches if b.id in ids)
    other = begun[0].model_copy(update={"method": "another"})
    return _anew(plan, batches=(other, *begun[1:]))
