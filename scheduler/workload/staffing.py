"""Whether standing duties can be staffed at all: their times are fixed, so it shows beforehand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.words import span

if TYPE_CHECKING:
    from scheduler.workload.builder import Builder

Block = tuple[int, int, str, list[int], int]
"""Start, end, name, people who are there all through it, how many it takes."""


def check_duties(b: Builder) -> None:
    """Complain of every duty for which too few are there, alone or beside others.

    A duty that may be left may be beside a short one of the same people.

    At the start of each duty the duties that run then need distinct people;
    a matching (augmenting paths) tells whether there are enough.
    """
    blocks: list[Block] = []
    left: set[str] = set()
    longest = [
        [b.calendar.longer(p, there) for p, there in enumerate(hours)]
        for hours in (b.calendar.working, b.calendar.people)
    ]
    for record in b.duties:
        if record.crew is None:
            continue
        crew = b.crews[record.crew]
        task, line, leave = b.tasks[record.task], crew.ways[0].lines[0], crew.leave
        pausing = leave is not None and leave.breaks
        hours = longest[pausing]
        start, end = task.earliest, task.latest
        there = [
            p
            for p in line.people
            if any(a <= start and end <= z for a, z in hours[p])
            and (pausing or not _rests(b, p, start, end))
        ]
        blocks.append((start, end, record.id, there, line.count))
        if leave is not None:
            left.add(record.id)
    for block in blocks:
        start, end, name, there, count = block
        words = span(b.scenario, start * b.grid, end * b.grid)
        if len(there) < count:
            b.complaints.add(
                f"duty {name.split('/')[0]}",
                f"takes {count} {words}; of those who may do it {len(there)} are there all the "
                "time, breaks apart",
                "'may_leave: {breaks: true}', or another stretch for a break",
            )
            continue
        beside = [
            x
            for x in blocks
            if x[0] <= start < x[1] and len(x[3]) >= x[4] and x[2] not in left
        ]
        short = _unmatched(beside)
        if short is not None:
            others = ", ".join(x[2].split("/")[0] for x in beside)
            b.complaints.add(
                f"duty {short.split('/')[0]}",
                f"takes people {words} that are all needed at once: {others}",
            )


def _rests(b: Builder, person: int, start: int, end: int) -> bool:
    """Has somebody a break that moves, and room for it neither before nor after?"""
    return any(
        min(start, x.latest) - x.earliest < x.length and x.latest - max(end, x.earliest) < x.length
        for x in b.calendar.floating
        if x.person == person
    )


def _unmatched(blocks: list[Block]) -> str | None:
    """A duty that gets too few people when all of these run at once."""
    seats = [(name, there) for _, _, name, there, count in blocks for _ in range(count)]
    holder: dict[int, int] = {}

    def seat(i: int, seen: set[int]) -> bool:
        for p in seats[i][1]:
            if p in seen:
                continue
            seen.add(p)
            if p not in holder or seat(holder[p], seen):
                holder[p] = i
                return True
        return False

    return next((name for i, (name, _) in enumerate(seats) if not seat(i, set())), None)
