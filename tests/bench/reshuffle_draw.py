"""Weeks with a plan on the wall, and what happens to them while something is in use."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from itertools import cycle, product
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import read_scenario
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, PlanFile, plan_of, plan_text, verdicts_of
from scheduler.reshuffle.asking import Asked, asked
from scheduler.reshuffle.setback import Away, Counts, Down, Moved, Setback
from scheduler.solve.engine import plan_week
from scheduler.solve.helpers import processes
from tests.bench.planted import planted

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan, PlannedTask

DEMO_FOLDER = Path(__file__).parents[2] / "scenarios" / "demo"
DEMO_NAME = "the demo"
DEMO = 0
"""The size that stands for the demo."""
PLANNED = 30.0
"""Seconds for the plan of the demo."""
SHORTEST = 30
"""Minutes of a task in the middle of which something may happen."""
DOWN = timedelta(hours=4)
AHEAD = (timedelta(hours=6), timedelta(hours=30))
"""How long before an event its guests or its hour change."""
TRIES = 40
"""Draws of one sort of setback before another sort is tried."""


@dataclass(frozen=True)
class Hung:
    """A week and the plan that hangs on its wall."""

    name: str
    file: PlanFile
    text: str

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.file.plan

    @cached_property
    def machines(self) -> set[str]:
        """Units that nothing is carried about in from step to step."""
        scenario = self.file.scenario
        steps = [step for component in scenario.components for step in component.steps]
        carried = {need.equipment for step in steps for need in step.on if need.until is not None}
        return {name for name, (kind, _) in scenario.unit.items() if kind.id not in carried}

    @property
    def visits(self) -> int:
        """Its visits."""
        return sum(len(task.visits) for task in self.plan.tasks)


@dataclass(frozen=True, eq=False)
class Happened:
    """A setback, when it is known, and what follows from it."""

    sort: str
    now: datetime
    setback: Setback
    asked: Asked

    def __str__(self) -> str:
        what = next(
            getattr(self.setback, x) for x in ("what", "who", "event") if hasattr(self.setback, x)
        )
        return f"{self.now:%a %H:%M} {self.sort}: {what}"


def hung(size: int, seed: int, cache: Path) -> Hung:
    """The demo (size 0) with a plan made once, or a planted tight week with its hidden plan."""
    if size != DEMO:
        week = planted(size, True, seed, cache)
        text = _written(week.plan, week.scenario)
        return Hung(f"planted, {size} visits", plan_of(text, "planted"), text)
    scenario = read_scenario(DEMO_FOLDER)
    path = cache / f"demo-{scenario.sha256()[:10]}.plan.json"
    if not path.exists():
        with processes(1) as executor:
            plan = plan_week(scenario, seconds=PLANNED, executor=executor)
        cache.mkdir(parents=True, exist_ok=True)
        path.write_text(_written(plan, scenario), encoding="utf-8")
    text = path.read_text(encoding="utf-8")
    return Hung(DEMO_NAME, plan_of(text, str(path)), text)


def _written(plan: Plan, scenario: Scenario) -> str:
    return plan_text(plan, scenario, Made(), verdicts_of(audit(scenario, plan)))


def happenings(week: Hung, seed: int, everything: bool) -> Iterator[Happened]:
    """Setbacks of one sort after the other: machine or person, in a task or just before, when.

    Of the demo also more guests and an event that is moved: counts of a planted week fit its
    machines exactly. `everything`: each machine and each person, in a task and just before one.
    """
    rng = random.Random(f"{week.name} {seed}")
    if everything:
        yield from _everything(week, rng)
        return
    sorts: list[str | tuple[str, bool, int]] = []
    for third in range(3):
        sorts += [("machine", True, third), ("person", False, (third + 1) % 3)]
        sorts += ["counts", "moved"][third : third + 1] if week.name == DEMO_NAME else []
        sorts += [("machine", False, (third + 2) % 3), ("person", True, third)]
    for sort in cycle(sorts):
        for _ in range(TRIES):
            if isinstance(sort, str):
                found = _event(week, rng, sort)
            else:
                kind, mid, third = sort
                task = rng.choice(_in_use(week, kind, third) or _in_use(week, kind, None))
                found = _stopped(week, rng, kind, task, mid)
            if found is not None:
                yield found
                break


def _everything(week: Hung, rng: random.Random) -> Iterator[Happened]:
    """Every machine and every person, in a task and just before one."""
    for kind, mid in product(("machine", "person"), (True, False)):
        tasks = _in_use(week, kind, None)
        for who in sorted({name for task in tasks for name in _used(week, task, kind)}):
            task = rng.choice([t for t in tasks if who in _used(week, t, kind)])
            found = _stopped(week, rng, kind, task, mid, who)
            if found is not None:
                yield found


def _used(week: Hung, task: PlannedTask, kind: str) -> list[str]:
    """The machines a task is on (no containers), or the people who are at it all the way."""
    if kind == "machine":
        return sorted({x.unit for x in task.taken if x.unit} & week.machines)
    return sorted({p for v in task.visits if v.kind == "hands" for p in v.people})


def _in_use(week: Hung, kind: str, third: int | None) -> list[PlannedTask]:
    """Tasks long enough that use a machine or a person, in one third of the week."""
    long = [t for t in week.plan.tasks if t.end - t.start >= SHORTEST]
    tasks = sorted((t for t in long if _used(week, t, kind)), key=lambda t: t.start)
    part = len(tasks) // 3
    return tasks if third is None else tasks[third * part : (third + 1) * part]


def _stopped(
    week: Hung, rng: random.Random, kind: str, task: PlannedTask, mid: bool, who: str = ""
) -> Happened | None:
    minute = (task.start + task.end) // 2 if mid else task.start - 5
    now = week.file.scenario.clock.local(minute).replace(tzinfo=None)
    who = who or rng.choice(_used(week, task, kind))
    setback = Down(what=who, until=now + DOWN) if kind == "machine" else Away(who=who)
    return _if_any(week, f"{kind}, {'in a task' if mid else 'before one'}", now, setback)


def _event(week: Hung, rng: random.Random, sort: str) -> Happened | None:
    """More guests, or another hour, some time before an event."""
    event = rng.choice(week.file.scenario.week.events)
    now = event.first_plate - rng.choice(AHEAD)
    if sort == "counts":
        more = event.guests + max(1, event.guests * rng.randint(4, 12) // 100)
        return _if_any(week, sort, now, Counts(event=event.id, guests=more))
    to = event.first_plate + timedelta(minutes=rng.choice((-60, -45, 45, 60)))
    return _if_any(week, sort, now, Moved(event=event.id, to=to))


def _if_any(week: Hung, sort: str, now: datetime, setback: Setback) -> Happened | None:
    """What follows; None where it makes no sense for the plan."""
    try:
        return Happened(sort, now, setback, asked(week.text, [setback], now))
    except BadInput:
        return None
