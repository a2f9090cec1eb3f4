"""What the sheet of a cooling step says: how it cools, and when the probe must read what."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.celsius import write_celsius
from scheduler.domain.cooled import limit_at
from scheduler.domain.methods import BOUGHT, made_by

if TYPE_CHECKING:
    from scheduler.domain.cooling import CoolDown
    from scheduler.domain.limits import Cooling
    from scheduler.plan.model import PlannedTask
    from scheduler.plan.words import Names


def probing(names: Names, task: PlannedTask) -> str:
    """ "blast chiller, 50 mm deep; probe: 21 °C by 16:00, 5 °C by 18:00 (write it down)"

    The clock of a limit is started with the step, though what begins warmer
    than the limit passes its first temperature a little later. Empty for
    a step in which nothing cools.
    """
    cool = _cools(names, task)
    if cool is None:
        return ""
    reads = readings(names, task)
    asked = ", ".join(f"{write_celsius(at)} by {_when(names, task, end)}" for at, end in reads)
    return f"{cool.place}, {cool.how_thick}; probe: {asked} (write it down)"


def readings(names: Names, task: PlannedTask) -> list[tuple[Fraction, int]]:
    """What the probe must read (°C at most) by which minute, the first one first."""
    cool = _cools(names, task)
    if cool is None:
        return []
    by = _deadlines(cool, _limit(names, task), task.law_start)
    by[cool.end] = min(task.law_end, by.get(cool.end, task.law_end))
    return sorted(by.items(), key=lambda one: (one[1], -one[0]))


def _cools(names: Names, task: PlannedTask) -> CoolDown | None:
    step = names.step_of(task.batch, task.step)
    return step.cooling if step is not None else None


def _when(names: Names, task: PlannedTask, minute: int) -> str:
    """The time, with the day where that is another than the step's."""
    same = names.local(minute).date() == names.local(task.start).date()
    return names.clock(minute) if same else names.moment(minute)


def _limit(names: Names, task: PlannedTask) -> Cooling | None:
    batch, scenario = names.batches.get(task.batch), names.scenario
    if batch is None:
        return None
    method = BOUGHT if batch.bought is not None else batch.method
    component = scenario.component.get(batch.component or "")
    if component is not None:
        return limit_at(scenario, made_by(component, method), task.step)
    dish = scenario.dish.get(batch.dish or "")
    return None if dish is None else limit_at(scenario, made_by(dish, method), task.step)


def _deadlines(cool: CoolDown, limit: Cooling | None, start: int) -> dict[Fraction, int]:
    """Temperature: the minute by which it must be there. Windows apart follow on each other."""
    by: dict[Fraction, int] = {}
    for fall in sorted(limit.windows if limit else (), key=lambda f: (-f.start, -f.end)):
        begins = by.get(fall.start, start)
        if cool.end <= fall.end < cool.start:
            by[fall.end] = min(begins + fall.within, by.get(fall.end, begins + fall.within))
    return by
