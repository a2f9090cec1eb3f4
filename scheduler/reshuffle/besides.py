"""What a proposal means besides who does what: what stood warm, was not tended, which standing
duty has nobody, what is left over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.quantity import Quantity
from scheduler.plan.words import Names, about
from scheduler.reshuffle.setback import Down
from scheduler.reshuffle.standing import Standing
from scheduler.reshuffle.warm import stood_in

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from scheduler.plan.file import PlanFile
    from scheduler.reshuffle.asking import Asked


def besides(asked: Asked, new: PlanFile) -> Iterator[str]:
    """One sentence each."""
    yield from (f"{said[:1].upper()}{said[1:]}" for said in _all(asked, new))


def _all(asked: Asked, new: PlanFile) -> Iterator[str]:
    at = asked.older.scenario.clock.local(asked.past.now).replace(tzinfo=None)
    standing = Standing(asked.older, at)
    for one in asked.setbacks:
        if isinstance(one, Down):
            yield from (it.said for it in stood_in(standing, one))
    yield from _untended(standing, asked)
    yield from _unmanned(new)
    yield from _left_over(asked, new)


def _untended(standing: Standing, asked: Asked) -> Iterator[str]:
    """Visits that fell into the time in which a step was broken off before anybody knew."""
    now, names = asked.past.now, standing.names
    for broken in asked.past.broken_off:
        task = standing.task.get(broken.task)
        if task is None or task.stopped is not None:
            continue
        missed = [
            v for v in task.visits
            if v.kind in ("tend", "add") and broken.stopped <= v.start < now
        ]  # fmt: skip
        if missed:
            what = f"{names.batch(task.batch)}: {names.step(task.batch, task.step)}"
            times = ", ".join(names.moment(v.start) for v in missed)
            verb = missed[0].verb or ("look after" if missed[0].kind == "tend" else "add")
            yield f"{what} stood still since {names.moment(broken.stopped)}; not done then: " \
                  f"{verb} {times}."  # fmt: skip


def _unmanned(new: PlanFile) -> Iterator[str]:
    """Standing duties that get fewer people than they take, as long as they do."""
    names, duties = Names(new.scenario, new.plan), {d.id: d for d in new.scenario.kitchen.duties}
    now = new.plan.past.now if new.plan.past else 0
    for part in new.plan.duties:
        takes, has = duties[part.duty].people, len(part.people)
        if part.end > now and has < takes:
            who = "nobody is" if not has else f"only {has} of {takes} are"
            if has == 1:
                who = f"only one of {takes} is"
            yield f"{who} left for {names.duty(part.duty)}, {names.moment(part.start)} to " \
                  f"{names.clock(part.end)}: find somebody."  # fmt: skip


def _left_over(asked: Asked, new: PlanFile) -> Iterator[str]:
    """Of what was begun: what nobody takes any more."""
    names, before = Names(new.scenario, new.plan), _over(asked.older)
    begun = {b.id for b in asked.past.batches if b.component is not None}
    for source, (base, has) in _over(new).items():
        more = base - before[source][0] if source in before else base
        if source in begun and more > 0:
            of = about(Quantity.of(more, has.dimension))
            yield f"{names.batch(source)}: {of} of {about(has)} are left over."


def _over(file: PlanFile) -> dict[str, tuple[Fraction, Quantity]]:
    """Of every batch that has a place: what of it is for nobody, and how much it is."""
    plan, missing = file.plan, {m.batch for m in file.plan.missing}
    lost = {x.source: x.quantity.base for x in plan.past.lost} if plan.past else {}
    left = {
        b.id: (b.good.base - lost.get(b.id, 0), b.good)
        for b in plan.batches if b.component is not None and b.id not in missing
    }  # fmt: skip
    for share in plan.shares:
        if share.source in left and share.by_product is None and share.consumer not in missing:
            base, has = left[share.source]
            left[share.source] = base - share.quantity.base, has
    return left
