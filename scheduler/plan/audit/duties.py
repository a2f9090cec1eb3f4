"""Standing duties: each is in the plan at its hours."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from scheduler.plan.audit.amounts import up

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Duty
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit.facts import Facts


Occurrence = tuple["Duty", int, int, str]
"""A duty, its hours as written, and duty/date."""


def occurrences(scenario: Scenario, now: int) -> list[Occurrence]:
    """Every occurrence of a duty that planning meets.

    It begins no earlier than planning does, and ends no later than the week.
    """
    clock = scenario.clock
    found: list[Occurrence] = []
    for duty in scenario.kitchen.duties:
        for day in clock.days(margin=2):
            if not any(day in d for d in duty.days):
                continue
            start, end = clock.span(day, duty.hours)
            if start < clock.horizon and end > now:
                span = max(start, now), min(end, clock.horizon)
                found.append((duty, *span, f"{duty.id}/{day.isoformat()}"))
    return found


def unseen(scenario: Scenario, one: Occurrence) -> tuple[int, int]:
    """For how long a duty goes on before and after what planning meets of it, minutes."""
    duty, start, end, name = one
    first, last = scenario.clock.span(date.fromisoformat(name.split("/")[1]), duty.hours)
    return start - first, last - end


def check(facts: Facts) -> None:
    """Rule `duty`."""
    there = {d.id: d for d in facts.plan.duties}
    for duty, start, end, name in facts.occurrences:
        planned = there.pop(name, None)
        if planned is None:
            # What planning meets of it may lie between two points of the grid.
            if up(start, facts.grid) < facts.down(end):
                facts.broken("duty", name, f"{facts.span(start, end)} is not in the plan")
            continue
        off = max(abs(planned.start - start), abs(planned.end - end))
        if planned.duty != duty.id or off >= facts.grid:
            facts.broken(
                "duty",
                name,
                f"is in the plan {facts.span(planned.start, planned.end)}, by the kitchen "
                f"{facts.span(start, end)}",
            )
    for name in there:
        facts.broken("duty", name, "is no duty of this kitchen on that day")
