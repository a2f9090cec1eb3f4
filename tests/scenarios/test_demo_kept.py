"""The demo with one task moved by half an hour and kept there: who else has to move for that."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.staying import staying
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan, PlannedTask
from scheduler.solve.engine import plan_week
from tests.scenarios.planned import demo, plan

pytestmark = pytest.mark.xdist_group("demo")


def around(*kept: dict[str, Any], seconds: float = 0.05) -> tuple[Plan, Plan]:
    """The first plan around kept tasks that is told, and the answer; both VALID and SERVED."""
    told: list[Plan] = []

    def tell(event: dict[str, Any]) -> None:
        if "plan" in event:
            told.append(event["plan"])

    plan_week(
        demo(), seconds=seconds, deterministic=True, kept=staying(kept), start_from=plan(),
        tell=tell,
    )  # fmt: skip
    for one in (told[0], told[-1]):
        report = audit(demo(), one)
        assert report.valid, [str(f) for f in report.findings]
        assert report.served
        assert one.bound is None  # of what stays nobody knows whether it could be better
    return told[0], told[-1]


def moved(after: Plan) -> set[str]:
    """Tasks that start at another time or are somebody else's, or on something else."""

    def told(task: PlannedTask) -> tuple[Any, ...]:
        hands = sorted((v.kind, v.index, sorted(v.people)) for v in task.visits)
        return task.start, hands, sorted(str(t.unit or t.store) for t in task.taken)

    now = {t.id: told(t) for t in after.tasks}
    return {t.id for t in plan().tasks if now[t.id] != told(t)}


def half_an_hour(task: str, by: int) -> dict[str, Any]:
    start = next(t.start for t in plan().tasks if t.id == task) + by
    return {"task": task, "start": demo().clock.local(start)}


def test_with_nothing_kept_elsewhere_nothing_moves() -> None:
    for one in around():
        assert moved(one) == set()
        assert one.terms == plan().terms


@pytest.mark.parametrize(
    ("task", "by"), [("beef-cheek.3/trim", -30), ("rye-crisps.2/shave", -30)]
)
def test_a_task_that_is_moved_by_half_an_hour_moves_few_others(task: str, by: int) -> None:
    for one in around(half_an_hour(task, by)):
        others = moved(one)
        assert task in others
        assert len(others) <= 10
        assert [k.task for k in one.kept] == [task]


def test_a_task_kept_just_as_it_is_moves_nothing() -> None:
    task = next(t for t in plan().tasks if t.id == "beef-cheek.3/trim")
    people = {p for v in task.visits for p in v.people}
    units = {t.unit for t in task.taken if t.unit}
    kept = half_an_hour(task.id, 0) | {"people": sorted(people), "equipment": sorted(units)}
    for one in around({k: v for k, v in kept.items() if v}):
        assert moved(one) == set()


def test_the_plan_around_a_kept_task_comes_out_alike_every_time() -> None:
    one, two = (around(half_an_hour("rye-crisps.2/shave", 30))[1] for _ in range(2))
    assert one == two
