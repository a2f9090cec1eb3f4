"""How far a job may go to and fro with everything else where it is, as far as its food goes.

Links, holds, deliveries and what is on its machines before and after count; people do not:
their jobs are done in order, all of them told to the quarter.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from scheduler.domain.base import Slug
from scheduler.domain.lengths import Decides
from scheduler.domain.recipes import Add, Step, Tend
from scheduler.plan.audit.amounts import length, shortest
from scheduler.plan.audit.clocks import fresh_within
from scheduler.plan.audit.making import PLATING, Making, Stage
from scheduler.plan.audit.waits import neighbours
from scheduler.plan.binding import Binding, Ties
from scheduler.plan.model import PlannedCleanDown, PlannedTask, PlannedVisit, Taken

FAR = 1 << 20
"""Minutes: no limit."""


@dataclass(frozen=True, slots=True)
class Room:
    """Minutes a job may begin sooner and end later, and where nothing may wait.

    Attributes
    ----------
    at_once : bool
        It begins when something else ends, or when the first plate goes away.
    handed_on : bool
        The next step begins when it ends.
    """

    earlier: int
    later: int
    at_once: bool = False
    handed_on: bool = False


class Rooms:
    """The room of every job of one plan."""

    def __init__(self, ties: Ties) -> None:
        self._ties = ties
        self._facts = ties.facts
        self._bound: dict[str, Binding] = {}

    def of(self, task: PlannedTask, visit: PlannedVisit) -> Room:
        """Of a visit; none where the recipe is not known."""
        making = self._facts.makings.get(task.batch)
        stage = making.stage(task.step) if making else None
        if making is None or stage is None:
            return Room(0, 0)
        if task.id not in self._bound:
            self._bound[task.id] = self._ties.of(task.id)
        bound = self._bound[task.id]
        first, last = visit.start == task.start, visit.end == task.end
        earlier, later = self._within(making, stage, task, visit)
        if first:
            earlier = min(earlier, *self._sooner(bound, making, stage, task, visit))
        if first or last:
            # What ends sooner waits longer, and what begins later keeps something waiting.
            earlier = min([
                earlier,
                *(h.left for h in bound.holds if not h.ends_here),
                *self._kept(making, stage),
            ])  # fmt: skip
            later = min([
                later,
                *(t.in_hand for t in bound.after if t.kind != "service" or _waits(making)),
                *(h.left for h in bound.holds if h.ends_here and not last),
                *self._others_plated(making, stage, task),
                self._gap(task, (*task.taken, *visit.taken), sooner=False),
            ])  # fmt: skip
        out = visit.kind == "unload" and any(t.celsius is not None for t in task.taken)
        return Room(
            max(0, earlier),
            max(0, later),
            out or (first and _at_once(making, stage)),
            last and any(one is stage and one.then is None for one, _ in neighbours(making)),
        )

    def of_cleaning(self, done: PlannedCleanDown) -> Room:
        """Of cleaning a machine: between what was on it and what comes next."""
        tasks = self._facts.tasks
        after, before = tasks.get(done.after), tasks.get(done.before)
        return Room(
            max(0, done.start - after.end) if after else 0,
            max(0, before.start - done.end) if before else 0,
        )

    def _sooner(
        self,
        bound: Binding,
        making: Making,
        stage: Stage,
        task: PlannedTask,
        visit: PlannedVisit,
    ) -> Iterator[int]:
        yield task.start - self._facts.now
        yield from (tie.in_hand for tie in bound.before)
        if stage.id == PLATING:
            ends = (t.end for t in self._plated(making))
            yield from (task.start - end for end in ends if end <= task.start)
        yield self._gap(task, (*task.taken, *visit.taken), sooner=True)
        clock = self._facts.scenario.clock
        for take in stage.takes:
            if take.ingredient is not None:
                came = (
                    clock.minute(d.at)
                    for d in self._facts.deliveries.values()
                    if d.ingredient == take.ingredient
                )
                yield min((task.start - at for at in came if at <= task.start), default=FAR)

    def _kept(self, making: Making, stage: Stage) -> Iterator[int]:
        """What is left of how long its result may wait, counted from its first load."""
        for use in self._ties.uses:
            of, last = self._facts.of_share(use.share), making.stages[-1].id
            if use.share.source != making.id or (use.share.given or last) != stage.id or not of:
                continue
            yield of.keeps[0].at_most - (use.last - use.clock.shortest)
            within = fresh_within(self._facts, use.share)
            if within is not None:
                yield within - (use.last - use.clock.first_out)

    def _plated(self, making: Making) -> Iterator[PlannedTask]:
        """Other plates of the same course: diets are plated before the others."""
        for other in self._facts.makings.values():
            same = (making.batch.event, making.batch.course)
            if other is not making and (other.batch.event, other.batch.course) == same:
                yield from other.tasks.get(PLATING, [])

    def _others_plated(
        self, making: Making, stage: Stage, task: PlannedTask
    ) -> Iterator[int]:
        if stage.id == PLATING:
            starts = (t.start for t in self._plated(making))
            yield from (start - task.end for start in starts if start >= task.end)

    def _within(
        self, making: Making, stage: Stage, task: PlannedTask, visit: PlannedVisit
    ) -> tuple[int, int]:
        """What the step itself leaves: its law before unloading, tolerances of visits in it."""
        step = stage.step
        if step is None or visit.kind == "hands":
            return FAR, FAR
        law = length(step.time, task.quantity, making.component)
        runs = task.law_end - task.law_start
        if visit.kind == "load":
            # Begun sooner it runs longer, as what ends it is told on its own.
            itself = step.time.decides is Decides.IT
            longer = FAR if itself else law.longest(self._facts.grid) - runs
            return min([longer, *_looked_at(step, task)]), FAR
        if visit.kind == "unload":
            return runs - shortest(step.time, task.quantity, making.component), FAR
        if visit.kind == "add" and visit.index < len(step.add):
            return _around(step.add[visit.index], task, visit)
        if visit.kind == "tend" and step.tend:
            return self._tended(step, task, visit)
        return 0, 0

    def _tended(self, step: Step, task: PlannedTask, visit: PlannedVisit) -> tuple[int, int]:
        tend = step.tend[0]
        if tend.every is None:
            return self._in_part(tend, visit)
        looks = sorted((v.start, v.end) for v in task.visits if v.kind == "tend")
        at = looks.index((visit.start, visit.end))
        since = visit.start - (looks[at - 1][1] if at else task.law_start)
        until = (looks[at + 1][0] if at + 1 < len(looks) else task.law_end) - visit.end
        least, most = tend.every - tend.give_or_take, tend.every + tend.give_or_take
        return min(since - least, most - until), min(most - since, until - least)

    def _in_part(self, tend: Tend, visit: PlannedVisit) -> tuple[int, int]:
        """Inside the part of the day that it belongs to."""
        clock = self._facts.scenario.clock
        day = clock.local(visit.start).date()
        for part in self._facts.scenario.kitchen.day_parts:
            start, end = clock.span(day, part.hours)
            if (not tend.day_parts or part.id in tend.day_parts) and start <= visit.start < end:
                return visit.start - start, end - visit.end
        return 0, 0

    def _gap(self, task: PlannedTask, taken: tuple[Taken, ...], sooner: bool) -> int:
        """To what was in its way on its machines before, or comes on them next."""
        gaps = [FAR]
        for use in taken:
            for other, who in self._uses.get(use.unit or "", ()):
                one, next_one = (other, use) if sooner else (use, other)
                between = next_one.start - one.end
                apart = self._apart(one, next_one) if who != task.id and between >= 0 else None
                if apart is not None:
                    gaps.append(between - apart)
        return min(gaps)

    def _apart(self, one: Taken, other: Taken) -> int | None:
        """Minutes between two uses of one machine; None: they may be in it together."""
        kind, unit = self._facts.scenario.unit[one.unit or ""]
        warmer = (other.celsius or 0) - (one.celsius or 0)
        if warmer and kind.heat is not None and None not in (one.celsius, other.celsius):
            return -(-abs(warmer) // (kind.heat.up if warmer > 0 else kind.heat.down))
        places = min(unit.holds.values(), default=unit.capacity or 1)
        return 0 if one.amount + other.amount > places else None

    @cached_property
    def _uses(self) -> dict[Slug, list[tuple[Taken, str]]]:
        """Everything on every machine, and whose it is."""
        found: dict[Slug, list[tuple[Taken, str]]] = {}
        units, plan = self._facts.scenario.unit, self._facts.plan
        for task in plan.tasks:
            for use in (*task.taken, *(t for v in task.visits for t in v.taken)):
                if use.unit in units:
                    found.setdefault(use.unit, []).append((use, task.id))
        for done in plan.clean_downs:
            if done.unit in units:
                size = units[done.unit][1]
                all_of_it = max([size.capacity or 1, *size.holds.values()])
                use = Taken(
                    need=0, unit=done.unit, amount=all_of_it, start=done.start, end=done.end
                )
                found.setdefault(done.unit, []).append((use, done.id))
        return found


def _waits(making: Making) -> bool:
    """May its plates wait for the first one away? Otherwise they are made from then on."""
    return making.dish is not None and making.dish.keeps is not None


def _at_once(making: Making, stage: Stage) -> bool:
    """Nothing may wait before it: it follows a step at once, or the plates go as they are made."""
    if stage.id == PLATING and not _waits(making):
        return True
    return any(other is stage and one.then is None for one, other in neighbours(making))


def _looked_at(step: Step, task: PlannedTask) -> Iterator[int]:
    """Minutes it may be loaded sooner for the looks at it that follow to be in time."""
    first = next((v for v in task.visits if v.kind == "tend"), None)
    for tend in step.tend[:1]:
        until = first.start if first is not None else task.law_end
        if tend.every is not None:
            yield tend.every + tend.give_or_take - (until - task.law_start)
    for visit in task.visits:
        if visit.kind == "add" and visit.index < len(step.add):
            yield _around(step.add[visit.index], task, visit)[1]


def _around(add: Add, task: PlannedTask, visit: PlannedVisit) -> tuple[int, int]:
    off = visit.start - task.law_start - add.after
    return off + add.give_or_take, add.give_or_take - off
