"""Random tiny weeks, random setbacks at a random moment: the past stays, the audit passes."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.file import plan_of
from scheduler.plan.model import Plan
from scheduler.solve.engine import plan_week
from tests.reshuffle.small import anew, written
from tests.weeks.tiny_random import shared_week, tiny_week


def happened(rng: Random, scenario: Any, plan: Plan, now: int) -> dict[str, Any] | None:
    """Something that breaks the plan at that moment; None where there is nothing of the kind."""
    clock = scenario.clock

    def wall(minute: int) -> str:
        return f"{clock.local(minute):%Y-%m-%d %H:%M}"

    begun = [t for t in plan.tasks if t.start < now]
    running = [t for t in begun if t.end > now]
    units = sorted({t.unit for task in plan.tasks for t in task.taken if t.unit})
    kind = rng.choice(
        ["down", "down", "away", "away", "lost", "short", "counts", "ends", "not-begun", "moved"]
    )
    event = scenario.week.events[0]
    if kind == "down" and units:
        end = {"until": wall(now + 60 * rng.randint(1, 6))} if rng.random() < 0.6 else {}
        return {"kind": "down", "what": rng.choice(units), **end}
    if kind == "away":
        who = rng.choice([p.id for p in scenario.kitchen.people])
        end = {"until": wall(now + 60 * rng.randint(1, 6))} if rng.random() < 0.6 else {}
        return {"kind": "away", "who": who, **end}
    components = [b for b in plan.batches if b.component and any(t.batch == b.id for t in begun)]
    if kind in ("lost", "short") and components:
        batch = rng.choice(components)
        left = {} if kind == "lost" else {"left": f"{int(batch.good.base) // 2} {_unit(batch)}"}
        return {"kind": "lost", "batch": batch.id, **left}
    if kind == "counts":
        return {"kind": "counts", "event": event.id, "guests": rng.randint(1, 2 * event.guests)}
    if kind == "ends" and running:
        task = rng.choice(running)
        return {"kind": "ends", "task": task.id, "at": wall(task.end + 30 * rng.randint(-2, 3))}
    if kind == "not-begun" and running:
        return {"kind": "not-begun", "task": rng.choice(running).id}
    if kind == "moved":
        to = clock.minute(event.first_plate) + 60 * rng.randint(-3, 3)
        return {"kind": "moved", "event": event.id, "to": wall(to)}
    return None


def _unit(batch: Any) -> str:
    return {"mass": "g", "volume": "ml", "count": "pieces"}[batch.good.dimension.value]


def with_a_duty(rng: Random, scenario: Any, plan: Plan) -> tuple[Any, Plan]:
    """Somebody takes care of the door for some hours, where anybody can."""
    document = scenario.document()
    who = rng.choice(document["kitchen"]["people"])
    day, hour = rng.choice(scenario.clock.days()), rng.randint(6, 18)
    document["kitchen"]["duties"] = [
        {"id": "door", "days": [day.isoformat()], "hours": f"{hour:02}:00-{hour + 3:02}:00",
         "section": rng.choice(sorted(who["sections"])), "people": 1}
    ]  # fmt: skip
    other = scenario_of(document)
    try:
        return other, plan_week(other, seconds=0.5, deterministic=True)
    except BadInput:  # nobody is there
        return scenario, plan


def broken_at_random(seed: int) -> bool:
    """One week and one or two setbacks; False where they make no sense."""
    rng = Random(seed)
    scenario = scenario_of((shared_week if rng.random() < 0.3 else tiny_week)(rng))
    plan = plan_week(scenario, seconds=0.5, deterministic=True)
    if rng.random() < 0.4:
        scenario, plan = with_a_duty(rng, scenario, plan)
    grid = scenario.kitchen.grid
    if not plan.tasks:
        return False
    first, last = min(t.start for t in plan.tasks), max(t.end for t in plan.tasks)
    now = rng.randrange(first, last) // grid * grid + rng.choice((0, 10))
    said = [happened(rng, scenario, plan, now) for _ in range(rng.choice((1, 1, 2)))]
    setbacks = [s for s in said if s is not None]
    text = written(scenario, plan)
    moment = f"{scenario.clock.local(now):%Y-%m-%d %H:%M}"
    try:
        found = anew(text, moment, *setbacks, seconds=0.5)
    except BadInput as bad:
        assert all(p.what and "duty" not in p.where for p in bad.problems)
        return False
    assert plan_of(found.text).plan.past is not None
    return True


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_the_past_stays_and_the_audit_passes_whatever_happens(seed: int) -> None:
    broken_at_random(seed)


@pytest.mark.parametrize("seed", range(12))
def test_weeks_that_have_been_broken_before(seed: int) -> None:
    broken_at_random(seed)
