"""Standing duties: each is in the plan at its hours."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.kitchen import Duty
    from scheduler.plan.audit.facts import Facts


def occurrences(facts: Facts) -> Iterator[tuple[Duty, int, int, str]]:
    """Every occurrence of a duty that planning meets: its hours as written, and duty/date.

    It begins no earlier than planning does, and ends no later than the week.
    """
    clock = facts.scenario.clock
    days = clock.days(margin=2)
    for duty in facts.scenario.kitchen.duties:
        for day in days:
            if not any(day in d for d in duty.days):
                continue
            start, end = clock.span(day, duty.hours)
            if start < facts.horizon and end > facts.now:
                yield (
                    duty, max(start, facts.now), min(end, facts.horizon),
                    f"{duty.id}/{day.isoformat()}",
                )


def check(facts: Facts) -> None:
    """Rule `duty`."""
    there = {d.id: d for d in facts.plan.duties}
    for duty, start, end, name in occurrences(facts):
        planned = there.pop(name, None)
        if planned is None:
            facts.broken("duty", name, f"{facts.span(start, end)} is not in the plan")
            continue
        off = max(abs(planned.start - start), abs(planned.end - end))
        if planned.duty != duty.id or off >= facts.grid:
            facts.broken(
                "duty", name,
                f"is in the plan {facts.span(planned.start, planned.end)}, by the kitchen "
                f"{facts.span(start, end)}",
            )
    for name in there:
        facts.broken("duty", name, "is no duty of this kitchen on that day")
