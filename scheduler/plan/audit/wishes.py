"""Wishes: musts are kept, and what the others cost."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.times import Hours
from scheduler.plan.audit.amounts import measure
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.report import Cost
from scheduler.plan.audit.stretches import Stretch, common, inside, merged
from scheduler.plan.audit.taking import written

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Equipment, Unit
    from scheduler.domain.recipes import Need
    from scheduler.domain.wishes import Wish
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask, PlannedVisit, Taken

    Piece = tuple[Making, Stage, PlannedTask]

BY_HAND = ("hands", "load", "unload")


def check(facts: Facts) -> None:
    """Rule `wish`."""
    for wish in facts.scenario.week.wishes:
        if wish.kind.startswith("must"):
            for where, what, _ in _against(facts, wish):
                facts.broken("wish", where, what)


def costs(facts: Facts) -> Iterator[Cost]:
    """job for each job against a wish; weight x minutes past or ahead of a moment."""
    price = facts.scenario.kitchen.wish
    for wish in facts.scenario.week.wishes:
        if wish.kind.startswith("rather"):
            for where, what, minutes in _against(facts, wish):
                cost = price.job if minutes is None else price.minute * minutes
                yield Cost("wishes", cost, where, what)


def _against(facts: Facts, wish: Wish) -> Iterator[tuple[str, str, int | None]]:
    """Every task that is not as wished: what is wrong, and minutes where those count."""
    pieces = [
        (making, stage, task)
        for making in facts.makings.values()
        if making.component is not None and making.component.id == wish.component
        for stage in making.to_come
        if wish.step in (None, stage.id) and not making.running(stage)
        for task in making.of(stage)
    ]
    if wish.person is not None:
        yield from _person(wish, wish.person, pieces)
    elif wish.unit is not None:
        yield from _unit(facts, wish, wish.unit, pieces)
    elif wish.days:
        yield from _days(facts, wish, pieces)
    else:
        yield from _moment(facts, wish, pieces)


def _person(
    wish: Wish, who: str, pieces: list[Piece]
) -> Iterator[tuple[str, str, int | None]]:
    kinds = (*BY_HAND, "tend", "add") if wish.kind == "must not" else BY_HAND
    for _, _, task in pieces:
        for visit in task.visits:
            there = who in visit.people
            if visit.kind in kinds and there == wish.kind.endswith("not"):
                done = f"{visit.verb or visit.kind} is done by {', '.join(visit.people)}"
                yield task.id, f"{done}, the wish: {wish.kind} {who}", None


def _unit(
    facts: Facts, wish: Wish, unit: str, pieces: list[Piece]
) -> Iterator[tuple[str, str, int | None]]:
    for making, stage, task in pieces:
        by_hand = [v for v in task.visits if v.kind in BY_HAND]
        visits = [(t, v) for v in by_hand for t in v.taken]
        for taken, visit in (*((t, None) for t in task.taken), *visits):
            if taken.unit is None or not _could_be(facts, making, stage, task, visit, taken, unit):
                continue
            if (taken.unit == unit) == wish.kind.endswith("not"):
                yield task.id, f"is on {taken.unit}, the wish: {wish.kind} {unit}", None


def _could_be(
    facts: Facts,
    making: Making,
    stage: Stage,
    task: PlannedTask,
    visit: PlannedVisit | None,
    taken: Taken,
    unit: str,
) -> bool:
    """May the need be served by that unit, and does the load fit it?"""
    word = written(stage, visit) if visit is not None else None
    needs: tuple[Need, ...] = stage.needs if visit is None else (word.on if word else ())
    if taken.need >= len(needs):
        return False
    need = needs[taken.need]
    found: list[tuple[Equipment, Unit]] = [
        x for x in (facts.units(need.equipment) if need.equipment else ()) if x[1].id == unit
    ]
    if not found:
        return False
    one = found[0][1]
    if one.fill is not None:
        load = measure(task.quantity, one.fill.dimension, making.component)
        return load is None or load <= one.fill.base
    return (one.capacity or 1) >= taken.amount


def _days(
    facts: Facts, wish: Wish, pieces: list[Piece]
) -> Iterator[tuple[str, str, int | None]]:
    """Musts: hands lie wholly on the days, or wholly off them. The others: they begin there."""
    clock = facts.scenario.clock
    days: list[Stretch] = merged(
        clock.span(day, Hours(0, 1440))
        for day in clock.days(margin=2)
        if any(day in some for some in wish.days)
    )
    never, must = wish.kind.endswith("not"), wish.kind.startswith("must")
    for _, _, task in pieces:
        for visit in task.visits:
            if visit.kind not in BY_HAND:
                continue
            start, end = visit.start, visit.end if must else visit.start + 1
            alright = not common(days, [(start, end)]) if never else inside(days, start, end)
            if not alright:
                words = ", ".join(str(d) for d in wish.days)
                what = f"{visit.verb or visit.kind} {facts.at(visit.start)}"
                yield task.id, f"{what}, the wish: {wish.kind} {words}", None


def _moment(
    facts: Facts, wish: Wish, pieces: list[Piece]
) -> Iterator[tuple[str, str, int | None]]:
    edge = -1 if wish.done_by is not None else 0
    moment = wish.done_by or wish.not_before
    if moment is None:
        return
    minute = facts.scenario.clock.minute(moment)
    for making, stage, task in pieces:
        if wish.step is None and stage is not making.to_come[edge]:
            continue
        over = task.end - minute if wish.done_by is not None else minute - task.start
        if over > 0:
            said = "is done" if wish.done_by is not None else "begins"
            ends = "late" if wish.done_by is not None else "early"
            when = facts.at(task.end if wish.done_by is not None else task.start)
            yield task.id, f"{said} {when}, {lasting(over)} {ends} by a wish", over
