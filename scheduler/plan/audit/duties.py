"""Standing duties: each is in the plan at its hours."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.plan.audit.amounts import up

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Duty
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.model import PlannedDuty


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


@dataclass(frozen=True, slots=True)
class Part:
    """What the plan has of an occurrence, or a part of it; from and to by the kitchen where it is
    the first or the last."""

    planned: PlannedDuty
    start: int
    end: int

    def unseen(self, scenario: Scenario, duty: Duty) -> tuple[int, int]:
        """For how long the duty goes on before and after it, minutes."""
        day = date.fromisoformat(self.planned.id.split("/")[1])
        first, last = scenario.clock.span(day, duty.hours)
        return self.start - first, last - self.end


def parts(facts: Facts, one: Occurrence) -> list[Part]:
    """What the plan has of an occurrence: in the middle of a week it may be in several parts."""
    _, start, end, name = one
    some = facts.duties_of.get(name, [])
    last = len(some) - 1
    return [
        Part(d, d.start if n else start, d.end if n < last else end) for n, d in enumerate(some)
    ]


def check(facts: Facts) -> None:
    """Rule `duty`: its parts follow one another, from its start to its end."""
    there = {d.id for d in facts.plan.duties}
    for one in facts.occurrences:
        duty, start, end, name = one
        planned = [part.planned for part in parts(facts, one)]
        there -= {d.id for d in planned}
        if not planned:
            # What planning meets of it may lie between two points of the grid.
            if up(start, facts.grid) < facts.down(end):
                facts.broken("duty", name, f"{facts.span(start, end)} is not in the plan")
            continue
        first, last = planned[0].start, planned[-1].end
        off = max(abs(first - start), abs(last - end))
        if any(d.duty != duty.id for d in planned) or off >= facts.grid:
            facts.broken(
                "duty",
                name,
                f"is in the plan {facts.span(first, last)}, by the kitchen "
                f"{facts.span(start, end)}",
            )
        if len(planned) > 1 and facts.plan.past is None:
            facts.broken("duty", name, "is in parts, and nothing had happened")
        for part, other in pairwise(planned):
            if part.end != other.start:
                facts.broken(
                    "duty", name, f"is in the plan until {facts.at(part.end)} and again from "
                    f"{facts.at(other.start)}",
                )  # fmt: skip
    for name in sorted(there):
        facts.broken("duty", name, "is no duty of this kitchen on that day")
