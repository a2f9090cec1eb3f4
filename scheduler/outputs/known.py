"""What is known of the jobs on a sheet, and which of them is next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from scheduler.book.standing import UNKNOWN, Recorded, TaskState
from scheduler.domain.times import Clock
from scheduler.outputs.lines import Line
from scheduler.outputs.measured import LATE, WHAT, Judged, Verdict, judged, reaches
from scheduler.outputs.measuring import Kind, Measure
from scheduler.plan.words import Names

BEHIND = 60
"""Minutes after its end for which a job without a tick is still offered as the present one: so
far a cook may be behind and go on in order. What is longer past is unknown, not late. Common
practice, no source."""
_WORST = (Verdict.OUT, Verdict.NOT_YET, Verdict.FINE)
NEXT = 2
"""So many jobs stand below the present one."""


@dataclass(frozen=True, slots=True)
class Due:
    """What is still to be measured at something that runs by itself, after the job is ticked.

    Attributes
    ----------
    line : Line
        The job with which it began.
    measures : tuple of Measure
        Those of one kind that nothing has shown yet, the first one first.
    """

    line: Line
    measures: tuple[Measure, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """A sheet at a moment.

    Attributes
    ----------
    present : Line or None
        What is to be done now.
    after : tuple of Line
        The next ones.
    later : tuple of Line
        And all the others to come.
    unknown : tuple of Line
        What should be over and nobody has said anything of: not late, unknown.
    put_off : tuple of (Line, Recorded)
    over : tuple of (Line, Recorded)
        Done, with the entry that says so, the last one first.
    due : tuple of Due
        What is to be measured at what cools or cooks by itself, the first one first.
    """

    present: Line | None
    after: tuple[Line, ...]
    later: tuple[Line, ...]
    unknown: tuple[Line, ...]
    put_off: tuple[tuple[Line, Recorded], ...]
    over: tuple[tuple[Line, Recorded], ...]
    due: tuple[Due, ...]


def can_be_ticked(line: Line) -> bool:
    """Is it recorded? Duties, breaks and what begins by itself are not."""
    return bool(line.task and line.key)


def visit_of(names: Names, line: Line) -> str | None:
    """Which visit of its task a job is, as the record has it; None: with it the task is over."""
    task = names.tasks.get(line.task)
    if task is None or line.end >= task.end:
        return None
    return line.key.removeprefix(f"{line.task}:")


def said_of(names: Names, states: Mapping[str, TaskState], line: Line) -> Recorded | None:
    """The entry that says that a job is done or put off; None: nobody has said so.

    A task that is over takes all its visits along: nobody is asked about them any more.
    """
    state = states.get(line.task, UNKNOWN)
    visit = visit_of(names, line)
    of_visit = state.visits.get(visit or "")
    if of_visit is not None and of_visit.kind == "done":
        return of_visit
    if state.ended is not None:
        return state.ended
    if visit is not None:
        return of_visit if of_visit is not None and of_visit.kind == "skipped" else None
    return state.skipped


def look(
    names: Names, lines: Sequence[Line], states: Mapping[str, TaskState], now: int
) -> Look:
    """Put the jobs of a sheet in order for somebody who stands before it."""
    over: list[tuple[Line, Recorded]] = []
    off: list[tuple[Line, Recorded]] = []
    unknown, ahead = [], []
    for line in lines:
        said = said_of(names, states, line) if can_be_ticked(line) else None
        if said is not None:
            (over if said.kind == "done" else off).append((line, said))
        elif line.end > now or (can_be_ticked(line) and line.end > now - BEHIND):
            ahead.append(line)
        elif can_be_ticked(line):
            unknown.append(line)
    present = next((line for line in ahead if line.end > line.start), None)
    others = [line for line in ahead if line is not present]
    after = [line for line in others if line.end > line.start][:NEXT]
    return Look(
        present=present,
        after=tuple(after),
        later=tuple(line for line in others if line not in after),
        unknown=tuple(unknown),
        put_off=tuple(off),
        over=tuple(sorted(over, key=lambda one: one[1].place, reverse=True)),
        due=tuple(_due(names, lines, states, now)),
    )


def unconfirmed(
    names: Names, lines: Sequence[Line], states: Mapping[str, TaskState], until: int
) -> tuple[list[Line], list[Line]]:
    """What "all as planned until then" says of a section's jobs.

    Returns
    -------
    tuple of list of Line
        Those that it confirms, and those that must be ticked one by one, as a figure belongs to
        them. What was put off is neither.
    """
    open_ = [
        line
        for line in lines
        if can_be_ticked(line) and line.end <= until and said_of(names, states, line) is None
    ]
    return (
        [line for line in open_ if not figures(names, line)],
        [line for line in open_ if figures(names, line)],
    )


def figures(names: Names, line: Line) -> list[tuple[int, Measure]]:
    """What is measured as the job is ticked, with the place of each among its measures."""
    return [(n, m) for n, m in enumerate(line.measures) if not _runs_on(names, line, m)]


def by_and_by(names: Names, line: Line) -> list[Measure]:
    """What is measured after the job, while its task runs on, each with its moment."""
    found = []
    for measure in line.measures:
        if _runs_on(names, line, measure):
            task = names.tasks.get(measure.task)
            ends = task.end if task is not None else line.end
            found.append(measure if measure.by is not None else replace(measure, by=ends))
    return found


def _runs_on(names: Names, line: Line, measure: Measure) -> bool:
    """Is it read when the job is long over: what cools, what nobody takes out of the oven?"""
    if measure.kind == "cooling":
        return True
    unmanned = not line.key or visit_of(names, line) is not None
    return measure.kind == "core" and measure.task == line.task and unmanned


def readings(state: TaskState, measure: Measure) -> list[tuple[Recorded, Fraction, str]]:
    """What was read of a measure, with value and unit, in order of arrival."""
    what = WHAT.get(measure.kind, "")
    return [
        (entry, Fraction(entry.body["value"]), entry.body["unit"])
        for entry in state.measured
        if entry.body.get("what") == what
    ]


def reached(state: TaskState, measure: Measure) -> bool:
    """Has a reading shown that it is as it should be?"""
    return any(reaches(measure, value, unit) for _, value, unit in readings(state, measure))


def in_time(state: TaskState, measure: Measure, clock: Clock) -> bool:
    """Has a reading shown so by its moment, or soon enough after it?"""
    return any(
        reaches(measure, value, unit)
        and (measure.by is None or clock.since(entry.when) <= measure.by + LATE)
        for entry, value, unit in readings(state, measure)
    )


def held_against(
    some: Sequence[Measure], state: TaskState, value: Fraction, unit: str, clock: Clock, at: int
) -> Judged:
    """A reading beside everything that it is of: the worst of what is to be said.

    Parameters
    ----------
    state : TaskState
        What was known of the task when it was read.
    at : int
        When. Minute.
    """
    found = [judged(m, value, unit, at, in_time(state, m, clock)) for m in some]
    return min(found, key=lambda one: _WORST.index(one.verdict), default=Judged(Verdict.FINE))


def _due(
    names: Names, lines: Sequence[Line], states: Mapping[str, TaskState], now: int
) -> list[Due]:
    found = []
    for line in lines:
        said = said_of(names, states, line)
        if (said is None and line.start > now) or (said is not None and said.kind == "skipped"):
            continue  # not begun
        open_: dict[Kind, list[Measure]] = {}
        for measure in by_and_by(names, line):
            if not reached(states.get(measure.task, UNKNOWN), measure):
                open_.setdefault(measure.kind, []).append(measure)
        found += [Due(line, tuple(some)) for some in open_.values()]
    return sorted(found, key=lambda d: (d.measures[0].by or 0, d.line.start))
