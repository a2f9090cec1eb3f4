"""The tiny week and its plan, changed in a word or two."""

from __future__ import annotations

from copy import deepcopy
from datetime import date
from typing import Any

from scheduler.outputs.lines import Line
from scheduler.outputs.sheet import Sheet, Sheets
from scheduler.plan.model import Plan, PlannedHold, PlannedTask
from tests.plan import tiny

FRIDAY = date(2026, 12, 4)
DAY = tiny.DAY


def at(hour: int, minute: int = 0, day: int = 1) -> int:
    """A minute of Friday (or so many days from Thursday on)."""
    return day * DAY + hour * 60 + minute


def document(**changed: Any) -> dict[str, Any]:
    """The tiny week's document with values put in: `components__0__makes="8 l"`."""
    found = deepcopy(tiny.DOCUMENT)
    for path, value in changed.items():
        where: Any = found
        *way, last = path.split("__")
        for part in way:
            where = where[int(part)] if part.isdigit() else where[part]
        where[int(last) if last.isdigit() else last] = value
    return found


def moved(task: PlannedTask, by: int) -> PlannedTask:
    """A task with everything in it, so many minutes later."""
    return task.model_copy(
        update={
            "start": task.start + by, "law_start": task.law_start + by,
            "law_end": task.law_end + by, "end": task.end + by,
            "visits": tuple(
                v.model_copy(update={"start": v.start + by, "end": v.end + by})
                for v in task.visits
            ),
            "taken": tuple(
                t.model_copy(update={"start": t.start + by, "end": t.end + by})
                for t in task.taken
            ),
        }
    )  # fmt: skip


def later(soup: int = 0, bowl: int = 0) -> Plan:
    """The tiny plan with its two tasks so many minutes later."""
    plan = tiny.plan()
    one, other = moved(plan.tasks[0], soup), moved(plan.tasks[1], bowl)
    hold = plan.holds[0].model_copy(update={"start": one.end, "end": other.start})
    return plan.model_copy(update={"tasks": (one, other), "holds": (hold,)})


def with_tasks(*tasks: PlannedTask, holds: tuple[PlannedHold, ...] = ()) -> Plan:
    """The tiny plan with other tasks."""
    return tiny.plan().model_copy(update={"tasks": tasks, "holds": holds})


def sheets(plan: Plan | None = None, **changed: Any) -> Sheets:
    """All sheets of the tiny week."""
    return Sheets(tiny.scenario(document(**changed)), plan or tiny.plan())


def stove(plan: Plan | None = None, **changed: Any) -> Sheet:
    """The stove's sheet of Friday."""
    return sheets(plan, **changed).of_section("stove", FRIDAY)


def clock(sheet: Sheet, plan: Plan | None = None) -> list[tuple[str, str, str]]:
    """What each line does, when it is begun and ready by; ! where nothing may wait."""
    names = sheets(plan).names

    def told(minute: int, exact: bool) -> str:
        return names.clock(minute) + ("!" if exact else "")

    return [
        (
            line.does,
            told(line.start_by.minute, line.start_by.exact),
            told(line.ready_by.minute, line.ready_by.exact),
        )
        for line in sheet.lines
    ]


def line(sheet: Sheet, does: str) -> Line:
    """The one line that does so."""
    (found,) = (x for x in sheet.lines if x.does == does)
    return found
