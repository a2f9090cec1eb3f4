"""How long steps really took beside what was planned, and a recipe's time as it was measured."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction
from statistics import median, quantiles
from typing import Any, Literal

from scheduler.book.standing import Recorded, TaskState, states_of
from scheduler.domain.times import read_duration, write_duration
from scheduler.plan.model import PlannedTask
from scheduler.plan.words import Names

ENOUGH = 10
"""So many times before a recipe's time is doubted."""
APART = Fraction(1, 5)
"""And so far the median must be from what was planned."""
LONGEST = timedelta(days=8)
"""What seems to take longer was ticked on another day than it was done. Common practice, no
source."""


@dataclass(frozen=True, slots=True)
class Of:
    """Which step of which recipe, made in which way.

    Attributes
    ----------
    kind : str
        component or dish.
    id, step : str
    method : str or None
        None: by the recipe's own steps.
    """

    kind: Literal["component", "dish"]
    id: str
    step: str
    method: str | None


@dataclass(frozen=True, slots=True)
class Took:
    """How long a step took once.

    Attributes
    ----------
    planned, really : int
        Minutes, both from end of load to start of unload, or of the hands all the way.
    """

    of: Of
    planned: int
    really: int


@dataclass(frozen=True, slots=True)
class Compared:
    """How often a step was measured, and how that compares with its plans.

    Attributes
    ----------
    times : int
    planned, really : Fraction
        Medians. Minutes.
    ratio : Fraction
        Median of real by planned.
    low, high : Fraction
        Between these lies the middle half of the ratios.
    """

    of: Of
    times: int
    planned: Fraction
    really: Fraction
    ratio: Fraction
    low: Fraction
    high: Fraction

    @property
    def doubted(self) -> bool:
        """Is it time to use what was measured?"""
        return self.times >= ENOUGH and abs(self.ratio - 1) > APART


def took(names: Mapping[int, Names], record: Iterable[Recorded]) -> list[Took]:
    """Every step of which begin and end are known by the clock.

    Where the tick of a single job is all there is, nobody knows when it was begun; what a section
    has confirmed as planned says nothing of the clock; nor does a clock that cannot be right.

    Parameters
    ----------
    names : mapping
        The plans that entries name, by number.
    """
    found = []
    for task_id, state in states_of(record).items():
        ended = state.ended
        known = names.get(ended.number or 0) if ended is not None else None
        task = known.tasks.get(task_id) if known is not None else None
        if ended is None or known is None or task is None or not _by_the_clock(ended):
            continue
        of = _of(known, task)
        minutes = _really(task, state, ended)
        if of is not None and minutes is not None and 0 < minutes <= LONGEST.total_seconds() / 60:
            planned = task.law_end - task.law_start
            if planned > 0:
                found.append(Took(of, planned, minutes))
    return found


def _by_the_clock(entry: Recorded) -> bool:
    return not entry.doubtful and not entry.body.get("as_planned")


def _of(names: Names, task: PlannedTask) -> Of | None:
    batch = names.batches.get(task.batch)
    if batch is None or batch.bought is not None or names.step_of(task.batch, task.step) is None:
        return None
    if batch.component is not None:
        return Of("component", batch.component, task.step, batch.method)
    return Of("dish", batch.dish or "", task.step, batch.method)


def _really(task: PlannedTask, state: TaskState, ended: Recorded) -> int | None:
    """Minutes of the law, as far as ticks say."""
    loads = [e for visit, e in state.visits.items() if visit.startswith("load:")]
    begun = next((e for e in loads if e.kind == "done" and _by_the_clock(e)), None)
    if begun is None:
        started = state.begun
        if started is None or started.kind != "started" or not _by_the_clock(started):
            return None
        begins = started.when + timedelta(minutes=task.law_start - task.start)
    else:
        begins = begun.when
    ends = ended.when - timedelta(minutes=task.end - task.law_end)
    return round((ends - begins).total_seconds() / 60)


def compared(some: Iterable[Took]) -> list[Compared]:
    """Of each step all times together, those most in doubt first."""
    by_step: dict[Of, list[Took]] = {}
    for one in some:
        by_step.setdefault(one.of, []).append(one)
    found = [_compared(of, times) for of, times in by_step.items()]
    return sorted(found, key=lambda c: (not c.doubted, -abs(c.ratio - 1), c.of.id, c.of.step))


def _compared(of: Of, times: Sequence[Took]) -> Compared:
    ratios = sorted(Fraction(t.really, t.planned) for t in times)
    low, _, high = quantiles(ratios, n=4, method="inclusive") if len(ratios) > 1 else ratios * 3
    return Compared(
        of, len(times), median(Fraction(t.planned) for t in times),
        median(Fraction(t.really) for t in times), median(ratios), low, high,
    )  # fmt: skip


def as_measured(body: Mapping[str, Any], of: Of, ratio: Fraction) -> dict[str, Any] | None:
    """A recipe in which a step takes as long as was measured.

    Every part of its time grows alike, to whole minutes. A range, or what the food decides, is
    for the chef to change: None, as where the recipe has no such step any more.

    Parameters
    ----------
    body : mapping
        The document.
    """
    steps = _steps(body, of)
    place = next((n for n, s in enumerate(steps) if s.get("id") == of.step), None)
    new = None if place is None else _time(steps[place].get("time"), ratio)
    if place is None or new is None:
        return None
    steps[place] = {**steps[place], "time": new}
    if of.method is None:
        return {**body, "steps": steps}
    methods = [{**m, "steps": steps} if m.get("id") == of.method else m for m in body["methods"]]
    return {**body, "methods": methods}


def _time(time: Any, ratio: Fraction) -> Any:
    """A time as it is written, so much longer or shorter."""
    parts = dict(time) if isinstance(time, Mapping) else {"at_least": time}
    ranged = {"best", "at_most", "decides"} & {k for k, v in parts.items() if v not in (None, "we")}
    if parts.get("at_least") is None or ranged:
        return None
    for name in ("at_least", "plus", "undivided"):
        if parts.get(name):
            minutes = read_duration(parts[name])
            parts[name] = write_duration(max(1, round(minutes * ratio)) if minutes else 0)
    return parts if isinstance(time, Mapping) else parts["at_least"]


def written(time: Any) -> str:
    """A time of a document in words."""
    parts = time if isinstance(time, Mapping) else {"at_least": time}
    plus = f" and {parts['plus']} for every {parts['per']}" if parts.get("plus") else ""
    return f"{parts.get('at_least')}{plus}"


def time_of(body: Mapping[str, Any], of: Of) -> Any:
    """The time of a step as its document has it; None: it has none."""
    return next((s.get("time") for s in _steps(body, of) if s.get("id") == of.step), None)


def _steps(body: Mapping[str, Any], of: Of) -> list[dict[str, Any]]:
    """The steps of a document by which it is made so."""
    ways = [m for m in body.get("methods", ()) if m.get("id") == of.method]
    whose: Mapping[str, Any] = body if of.method is None else ways[0] if ways else {}
    return list(whose.get("steps", ()))
