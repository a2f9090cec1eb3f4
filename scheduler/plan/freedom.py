"""How far a task may go earlier and later, and what holds it there, found by trying."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from scheduler.domain.scenario import Scenario
from scheduler.plan.answering import Answer, Said, answer
from scheduler.plan.audit import Report, audit
from scheduler.plan.audit.brigade import brigade
from scheduler.plan.binding import Binding, binding
from scheduler.plan.model import Plan, PlannedTask
from scheduler.plan.moving import NotByHand, moved
from scheduler.plan.words import Names

TRIES = 8
"""So many audits in each direction at most."""

Stretch = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Room:
    """How far a task may go one way.

    Attributes
    ----------
    minutes : int
        So far it may go; nothing new is broken there.
    breaks : tuple of Said
        What would break one step of the grid further; empty where it is the week that ends, or
        where nothing was found in as many tries as there are.
    said : str
        A sentence.
    """

    minutes: int
    breaks: tuple[Said, ...]
    said: str


@dataclass(frozen=True, slots=True)
class Freedom:
    """Where a task may go with everything else where it is."""

    task: str
    earlier: Room
    later: Room


def freedom(
    scenario: Scenario, plan: Plan, task_id: str, before: Report | None = None
) -> Freedom:
    """How far a task may go with everything else where it is, and what stops it.

    Tried with `moved` and the audit where something is likely to be in the way: what comes
    before and after, the next job of its people, the next use of its machines, the ends of
    shifts and of holds. What lies between two places that were tried is taken to be alike.

    Parameters
    ----------
    before : Report, optional
        The audit of the plan as it is, where it has been made.

    Raises
    ------
    NotByHand
        The task cannot be moved by hand (see `moved`).
    """
    names, grid = Names(scenario, plan), scenario.kitchen.grid
    tied = binding(scenario, plan, task_id)
    task = names.tasks[task_id]
    report = before if before is not None else audit(scenario, plan)

    def tried(way: int) -> Room:
        def at(minutes: int) -> Answer | str:
            try:
                made = moved(scenario, plan, task_id, task.start + way * minutes)
            except NotByHand as refused:
                return str(refused)
            return answer(scenario, report, made)

        likely = {w // grid * grid for w in _likely(scenario, plan, task, tied, way) if w >= 0}
        return _room(names, way, grid, sorted(likely), at)

    if task.start < scenario.clock.minute(scenario.week.plan_from):
        moved(scenario, plan, task_id, task.start + grid)  # says why not
    return Freedom(task_id, tried(-1), tried(1))


def _room(
    names: Names, way: int, grid: int, likely: list[int], at: Callable[[int], Answer | str]
) -> Room:
    """One step beyond each likely place until something breaks; then back to where it did not."""
    fine, stop, found, left = 0, None, None, TRIES

    def holds(minutes: int) -> bool:
        nonlocal fine, stop, found, left
        left -= 1
        said = at(minutes)
        if isinstance(said, Answer) and not said.breaks:
            fine = minutes
            return True
        stop, found = minutes, said
        return False

    for place in likely:
        if left and stop is None and place >= fine:
            holds(place + grid)
    if stop is not None:
        nearest = max((p for p in likely if fine < p < stop), default=None)
        if nearest is not None and left:
            holds(nearest)
        while left and stop - fine > grid:
            holds((fine + stop) // 2 // grid * grid)
    return Room(fine, found.breaks if isinstance(found, Answer) else (),
                _sentence(names, way, fine, found))  # fmt: skip


def _sentence(names: Names, way: int, fine: int, found: Answer | str | None) -> str:
    word = "earlier" if way < 0 else "later"
    length = names.length(fine)
    if found is None:
        return f"May go at least {length} {word}."
    why = found if isinstance(found, str) else found.breaks[0].said
    if not fine:
        return f"Not {word}: {why}"
    return f"May go up to {length} {word}; then: {why}"


def _likely(
    scenario: Scenario, plan: Plan, task: PlannedTask, tied: Binding, way: int
) -> Iterator[int]:
    """Minutes from where it is to what may be in its way, in one direction."""
    clock = scenario.clock
    yield task.start - clock.minute(scenario.week.plan_from) if way < 0 else (
        clock.horizon - task.end
    )
    yield from (tie.in_hand for tie in (tied.before if way < 0 else tied.after))
    yield from (h.left for h in tied.holds if h.ends_here == (way > 0))
    there = brigade(scenario).may_work
    for visit in task.visits:
        span = visit.start, visit.end
        for who in visit.people:
            yield from _gaps(span, _elsewhere(plan, task, who), way)
            for start, end in there.get(who, ()):
                if start <= span[0] and span[1] <= end:
                    yield span[0] - start if way < 0 else end - span[1]
    for use in task.taken:
        if use.unit is not None:
            others = (t for o in plan.tasks if o is not task for t in o.taken)
            taken = [(t.start, t.end) for t in others if t.unit == use.unit]
            yield from _gaps((use.start, use.end), taken, way)


def _gaps(span: Stretch, others: list[Stretch], way: int) -> Iterator[int]:
    """To the nearest of them that way."""
    gaps = [span[0] - b if way < 0 else a - span[1] for a, b in others]
    yield from (min(some) for some in [[g for g in gaps if g >= 0]] if some)


def _elsewhere(plan: Plan, task: PlannedTask, who: str) -> list[Stretch]:
    """When somebody is at something else."""
    found = [
        (v.start, v.end)
        for other in plan.tasks
        if other is not task
        for v in other.visits
        if who in v.people
    ]
    found += [(d.start, d.end) for d in plan.duties if who in d.people]
    found += [(c.start, c.end) for c in plan.clean_downs if who in c.people]
    return found + [(b.start, b.end) for b in plan.breaks if b.person == who]
