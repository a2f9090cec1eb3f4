"""Clean-downs of a solution, as the plan shows them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.model import PlannedCleanDown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.scenario import Scenario
    from scheduler.workload.numbering import Numbering


def clean_downs(scenario: Scenario, read: Numbering) -> Iterator[PlannedCleanDown]:
    """Every clean-down, in order of time: after which task, before which, on which unit."""
    solution, problem = read.solution, read.problem
    if not solution.cleans:
        return
    owner = {
        one.use: record.id
        for record in read.compiled.tasks
        for one in (*record.taken, *(t for v in record.visits for t in v.taken))
    }
    rows: dict[int, list[tuple[int, int]]] = {}
    for n in owner:
        use = problem.uses[n]
        start, end = read.at(use.start), read.at(use.end)
        if use.batch in read.placed and start is not None and end is not None and start < end:
            rows.setdefault(read.option(n).resource, []).append((start, n))
    for n, placed in sorted(solution.cleans.items(), key=lambda item: (item[1].start, item[0])):
        resource = read.option(n).resource
        row = sorted(rows[resource])
        at = next(i for i, (_, m) in enumerate(row) if m == n)
        holder = read.compiled.holders[resource]
        unit = holder.unit or holder.units[0]
        rule = scenario.unit[unit][0].clean_down
        yield PlannedCleanDown(
            id=f"clean-down/{unit}/{owner[n]}",
            unit=unit,
            after=owner[n],
            before=owner[row[at + 1][1]],
            verb=rule.verb if rule is not None else "",
            start=placed.start * read.grid,
            end=placed.end * read.grid,
            people=tuple(problem.people[p][0] for p in placed.people),
        )
