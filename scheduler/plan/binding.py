"""What one task hangs on: what comes before and after it, and its holds with what is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from scheduler.domain.scenario import Scenario
from scheduler.plan.audit.clocks import Use, uses
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.making import PLATING, Making, Stage
from scheduler.plan.audit.service import service
from scheduler.plan.audit.waits import neighbours
from scheduler.plan.model import Plan, PlannedHold, PlannedTask
from scheduler.plan.moving import NotByHand
from scheduler.plan.waiting import kept
from scheduler.plan.words import Names


@dataclass(frozen=True, slots=True)
class Tie:
    """Something that must come before a task, or after it.

    Attributes
    ----------
    kind : str
        step (of the same batch); share (of what is made elsewhere, or of what is on hand);
        washing; service.
    task : str
        The task it is, or empty: something on hand, or the first plate.
    what : str
        In words.
    at : int
        When it is ready (before), or when it starts (after). Minute.
    in_hand : int
        Minutes between, less what must be waited: so much the task may come nearer.
    said : str
    """

    kind: Literal["step", "share", "washing", "service"]
    task: str
    what: str
    at: int
    in_hand: int
    said: str


@dataclass(frozen=True, slots=True)
class HeldTie:
    """A hold that begins or ends with a task: how long it lasts, its limit, and what is left.

    Attributes
    ----------
    ends_here : bool
        It ends when the task starts; otherwise it begins when the task ends.
    left : int
        Minutes; negative: the limit is broken.
    """

    hold: PlannedHold
    ends_here: bool
    lasts: int
    limit: int
    left: int
    said: str


@dataclass(frozen=True, slots=True)
class Binding:
    """What a task hangs on, the nearest first."""

    task: str
    what: str
    before: tuple[Tie, ...]
    after: tuple[Tie, ...]
    holds: tuple[HeldTie, ...]


class Ties:
    """What the tasks of one plan hang on; made once for all of them."""

    def __init__(self, scenario: Scenario, plan: Plan) -> None:
        self.facts, self.names = Facts(scenario, plan), Names(scenario, plan)
        self.uses = uses(self.facts)

    def of(self, task_id: str) -> Binding:
        """What must come before and after a task, and its holds.

        Raises
        ------
        NotByHand
            If there is no such task in the plan.
        """
        facts, names = self.facts, self.names
        task = facts.tasks.get(task_id)
        if task is None:
            raise NotByHand(f"There is no '{task_id}' in this plan.")
        what = f"{names.batch(task.batch)}, {names.goes_in(task)}"
        before = _before(facts, names, task, self.uses)
        after = _after(facts, names, task, self.uses)
        return Binding(
            task_id,
            f"{what}: {names.step(task.batch, task.step)}",
            tuple(sorted(before, key=lambda t: (t.in_hand, t.at, t.task))),
            tuple(sorted(after, key=lambda t: (t.in_hand, t.at, t.task))),
            tuple(sorted(_holds(facts, names, task), key=lambda h: (h.left, h.hold.source))),
        )


def binding(scenario: Scenario, plan: Plan, task_id: str) -> Binding:
    """What must come before and after one task, and its holds.

    Raises
    ------
    NotByHand
        If there is no such task in the plan.
    """
    return Ties(scenario, plan).of(task_id)


def _stage(facts: Facts, task: PlannedTask) -> tuple[Making, Stage] | None:
    making = facts.makings.get(task.batch)
    stage = making.stage(task.step) if making else None
    return (making, stage) if making and stage else None


def _beside(
    making: Making, stage: Stage, load_by_load: bool, task: PlannedTask
) -> list[PlannedTask]:
    """The tasks of a stage next to a task's own: where loads follow one by one, of its load."""
    return [t for t in making.of(stage) if not load_by_load or t.load == task.load]


def _before(
    facts: Facts, names: Names, task: PlannedTask, used: Sequence[Use]
) -> Iterator[Tie]:
    found = _stage(facts, task)
    if found is None:
        return
    making, stage = found
    for one, other in neighbours(making):
        if other is stage:
            tasks = _beside(making, one, making.load_by_load(one, other), task)
            last = max(tasks, key=lambda t: t.end, default=None)
            if last is not None:
                least = one.then.not_before if one.then else 0
                at_once = one.then is None
                yield _earlier(names, "step", last, task.start, last.end, least, at_once)
    for use in used:
        of = facts.of_share(use.share)
        if task not in use.tasks or of is None:
            continue
        source, least = facts.makings.get(use.share.source), of.keeps[0].not_before
        step = source.stage(use.share.given) if source and use.share.given else None
        last_step = step or (source.stages[-1] if source else None)
        tasks = source.of(last_step) if source and last_step else []
        last = max(tasks, key=lambda t: t.end, default=None)
        if last is not None:
            yield _earlier(names, "share", last, task.start, use.clock.ready, least)
        else:
            what, ready = names.batch(use.share.source), use.clock.ready
            in_hand = task.start - ready - least
            said = f"{what}, ready since {names.moment(ready)}"
            yield Tie("share", "", what, ready, in_hand, said)
    for wash in making.washes:
        if wash.step.id == stage.id:
            alone = making.washed_in(wash) > 1
            tasks = making.tasks.get(wash.after, [])
            last = max(
                (t for t in tasks if not alone or t.load == task.load),
                key=lambda t: t.end, default=None,
            )  # fmt: skip
            if last is not None:
                yield _earlier(names, "washing", last, task.start, last.end, 0)


def _after(
    facts: Facts, names: Names, task: PlannedTask, used: Sequence[Use]
) -> Iterator[Tie]:
    found = _stage(facts, task)
    if found is None:
        return
    making, stage = found
    for one, other in neighbours(making):
        if one is stage:
            tasks = _beside(making, other, making.load_by_load(one, other), task)
            first = min(tasks, key=lambda t: t.start, default=None)
            if first is not None:
                least = one.then.not_before if one.then else 0
                yield _later(names, "step", first, task.end, least, one.then is None)
    last = making.stages[-1]
    for use in used:
        of = facts.of_share(use.share)
        given = use.share.given or last.id
        if use.share.source == making.id and given == stage.id and of is not None:
            first = min(use.tasks, key=lambda t: t.start)
            yield _later(names, "share", first, task.end, of.keeps[0].not_before)
    for wash in making.washes:
        if wash.after == stage.id:
            alone = making.washed_in(wash) > 1
            tasks = making.tasks.get(wash.step.id, [])
            for one_wash in (t for t in tasks if not alone or t.load == task.load):
                yield _later(names, "washing", one_wash, task.end, 0)
    if stage.id == PLATING and making.dish is not None:
        away = service(facts, making)
        keep = making.dish.keeps
        room = away - task.end if keep is not None else away - task.start
        said = f"first plate away {names.moment(away)}"
        said += f", {names.length(room)} in hand" if keep is not None else ""
        yield Tie("service", "", "first plate", away, room, said)


Kind = Literal["step", "share", "washing", "service"]


def _called(names: Names, task: PlannedTask) -> str:
    load = f" {task.load}" if task.loads > 1 else ""
    return f"{names.batch(task.batch)}: {names.step(task.batch, task.step)}{load}"


def _earlier(
    names: Names, kind: Kind, last: PlannedTask, start: int, ready: int, least: int,
    at_once: bool = False,
) -> Tie:  # fmt: skip
    what, left = _called(names, last), start - ready - least
    said = f"after {what}, ready {names.moment(ready)}{_room(names, left, least, at_once)}"
    return Tie(kind, last.id, what, ready, left, said)


def _later(
    names: Names, kind: Kind, first: PlannedTask, end: int, least: int, at_once: bool = False
) -> Tie:
    what, left = _called(names, first), first.start - end - least
    said = f"before {what}, {names.moment(first.start)}{_room(names, left, least, at_once)}"
    return Tie(kind, first.id, what, first.start, left, said)


def _room(names: Names, left: int, least: int, at_once: bool) -> str:
    if at_once and not left:
        return ", at once"
    waits = f" after a wait of {names.length(least)}" if least else ""
    if left < 0:
        return f", {names.length(-left)} too close{waits}"
    return f", {names.length(left)} in hand{waits}" if left else f", nothing in hand{waits}"


def _holds(facts: Facts, names: Names, task: PlannedTask) -> Iterator[HeldTie]:
    making = facts.makings.get(task.batch)
    last = making.stages[-1].id if making else ""
    for hold in facts.plan.holds:
        ends_here = hold.consumer == task.id
        begins_here = hold.source == task.batch and (
            (hold.step == task.step and hold.load in (1, task.load))
            or (hold.kind == "share" and hold.step is None and task.step == last)
            or (hold.kind == "plated" and task.step == PLATING)
        )
        known = kept(names, hold) if ends_here or begins_here else None
        if known is None:
            continue
        left = known.limit - known.age
        place = names.store(hold.store) if hold.store else names.unit(hold.unit or "")
        said = f"{names.held(hold)} waits {names.length(known.age)}"
        said += f" in {place}" if place else ""
        said += f", at most {names.length(known.limit)}: "
        said += f"{names.length(left)} left" if left >= 0 else f"{names.length(-left)} too long"
        yield HeldTie(hold, ends_here, known.age, known.limit, left, said)
