"""Does a setback make sense for a plan, at that moment? One clear sentence each, all at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from scheduler.domain.problems import BadInput, Problem, nearest
from scheduler.domain.times import write_duration
from scheduler.reshuffle import sense_of_tasks as tasks
from scheduler.reshuffle.sense_of_tasks import LATE, Said
from scheduler.reshuffle.setback import (
    Added,
    Away,
    Cancelled,
    Counts,
    Delivered,
    Down,
    Ends,
    LostBatch,
    Moved,
    NotBegun,
    NotThere,
    Stuck,
    Working,
)
from scheduler.reshuffle.standing import says_broken
from scheduler.reshuffle.warm import needs_cold, too_long

if TYPE_CHECKING:
    from datetime import datetime

    from scheduler.plan.model import PlannedTask
    from scheduler.reshuffle.setback import Setback
    from scheduler.reshuffle.standing import Standing


def check(
    standing: Standing, setbacks: Sequence[Setback], recorded: int | None = None,
    adjusts: bool = False,
) -> None:  # fmt: skip
    """Refuse nonsense.

    Parameters
    ----------
    adjusts : bool
        Somebody wants a task elsewhere, so nothing need have happened.
    recorded : int, optional
        The minute of the last entry of the record: now cannot be before it.

    Raises
    ------
    BadInput
    """
    problems = [
        Problem("setbacks", None, None, _where(one), what, maybe)
        for one in setbacks
        for what, maybe in _LOOKS[type(one)](standing, one)
    ]
    problems += [Problem("setbacks", None, None, "now", what) for what in _now(standing, recorded)]
    if not setbacks and not adjusts:
        problems.append(Problem("setbacks", None, None, "", "nothing is said to have happened"))
    whats = [one.what for one in setbacks if isinstance(one, Down | Stuck)]
    both = [one.what for one in setbacks if isinstance(one, Working) and one.what in whats]
    problems += [
        Problem("setbacks", None, None, name, "is said to be out of use and to work again")
        for name in both
    ]
    problems += [Problem("setbacks", None, None, name, what) for name, what in _twice(setbacks)]
    if problems:
        raise BadInput(problems)


def _twice(setbacks: Sequence[Setback]) -> Said:
    """Two things said of one: not begun, and over, or lost."""
    idle = {one.task for one in setbacks if isinstance(one, NotBegun)}
    over = {one.task for one in setbacks if isinstance(one, Ends | NotThere)}
    lost = {one.batch for one in setbacks if isinstance(one, LostBatch)}
    for task in sorted(idle):
        if task in over:
            yield task, "is said not to have begun, and when it is over"
        if task.partition("/")[0] in lost:
            yield task, "is said not to have begun, and its batch to be lost"
    seen: set[tuple[type, str]] = set()
    for one in setbacks:
        key = type(one), _where(one)
        if key in seen and not isinstance(one, Down | Stuck | Away):
            yield _where(one), "is said twice"
        seen.add(key)


def _where(one: Setback) -> str:
    field = next(f for f in type(one).model_fields if f != "kind")
    value = getattr(one, field)
    return f"{one.kind} {getattr(value, 'id', value)}"


def _now(standing: Standing, recorded: int | None) -> Iterator[str]:
    starts = standing.clock.minute(standing.scenario.week.plan_from)
    if standing.exactly < starts:
        yield f"{standing.said(standing.exactly)} is before planning begins"
    elif standing.now >= standing.clock.horizon:
        yield f"{standing.said(standing.exactly)} is after the week"
    past = standing.plan.past
    if past is not None and standing.now < past.now:
        yield (
            f"{standing.said(standing.exactly)} is before {standing.said(past.now)}, when this "
            "plan was made"
        )
    if recorded is not None and standing.exactly < recorded:
        yield (
            f"{standing.said(standing.exactly)} is before the last entry of the record, "
            f"{standing.said(recorded)}"
        )


def _span(standing: Standing, since: datetime | None, until: datetime | None) -> Said:
    start = standing.minute(since)
    if until is not None and standing.clock.minute(until) <= start:
        end = standing.said(standing.clock.minute(until))
        yield f"it is over {end}, before it begins {standing.said(start)}", ""
    elif until is not None and standing.clock.minute(until) <= standing.exactly:
        yield f"it was over {standing.said(standing.clock.minute(until))}, so nothing is amiss", ""
    if start < standing.exactly - LATE:
        ago = write_duration(standing.exactly - start)
        yield f"{standing.said(start)} is {ago} ago; what it did then is past", ""
    if start >= standing.clock.horizon:
        yield f"{standing.said(start)} is after the week", ""


def _what(standing: Standing, name: str) -> Said:
    known = {**standing.scenario.unit, **standing.scenario.store}
    kind = standing.scenario.equipment.get(name)
    if kind is not None and name not in known:
        units = ", ".join(u.id for u in kind.each)
        yield f"'{name}' is a kind of machine; say which one", units
    elif name not in known:
        yield f"there is no machine or store '{name}'", nearest(name, known)


def _down(standing: Standing, one: Down) -> Said:
    wrong = list(_what(standing, one.what))
    yield from wrong
    yield from _span(standing, one.since, one.until)
    if wrong:
        return
    store = standing.scenario.store.get(one.what)
    has = store.shelves if store else standing.scenario.unit[one.what][1].capacity or 1
    if one.left >= has:
        yield f"{one.left} of its {has} places are of use: that is all of it", ""
    for task in one.salvage:
        yield from tasks.running(standing, task)
    if store is None and (one.good or one.cold):
        yield f"{one.what} is no store, in which things keep cold", ""
    elif one.cold is not None and standing.clock.minute(one.cold) > standing.exactly:
        yield f"{standing.said(standing.clock.minute(one.cold))} is still to come", ""
    elif long := too_long(standing, one):
        for source in one.good:
            if needs_cold(standing, one, source):
                yield f"{standing.names.batch(source)} {long}: nobody may call it good", ""


def _stuck(standing: Standing, one: Stuck) -> Said:
    wrong = list(_what(standing, one.what))
    yield from wrong
    yield from _span(standing, one.since, one.until)
    if wrong:
        return
    unit = standing.scenario.unit.get(one.what)
    heat = unit[0].heat if unit is not None else None
    if heat is None:
        yield f"{one.what} does not heat, so it stays at no setting", ""
        return
    if one.mode is not None and one.mode not in heat.modes:
        yield f"{one.what} has no mode '{one.mode}'", nearest(one.mode, heat.modes)
    if not heat.coldest <= one.celsius <= heat.hottest:
        yield f"{one.celsius} °C: {one.what} goes from {heat.coldest} to {heat.hottest} °C", ""
    for task in one.salvage:
        yield from tasks.running(standing, task)


def _working(standing: Standing, one: Working) -> Said:
    wrong = list(_what(standing, one.what))
    yield from wrong
    duties = standing.scenario.kitchen.duties
    if not wrong and not any(says_broken(d.id, one.what) for d in duties):
        yield f"{one.what} is not out of use in this plan", ""


def _away(standing: Standing, one: Away) -> Said:
    known = standing.scenario.person
    if one.who not in known:
        yield f"there is nobody called '{one.who}'", nearest(one.who, known)
    yield from _span(standing, one.since, one.until)
    for task in one.salvage:
        yield from tasks.running(standing, task)


def _lost(standing: Standing, one: LostBatch) -> Said:
    lots = {lot.id: lot.quantity for lot in standing.scenario.week.on_hand}
    batch = standing.batch.get(one.batch)
    if batch is None and one.batch not in lots:
        known = [*standing.batch, *lots]
        yield f"there is no batch or lot '{one.batch}'", nearest(one.batch, known)
        return
    tasks = standing.tasks_of.get(one.batch, [])
    if batch is not None and not batch.in_progress and not any(standing.begun(t) for t in tasks):
        yield "it has not been begun, so nothing of it can be lost", ""
        return
    if batch is not None and batch.dish is not None:
        yield "plates are said by their event: lose what is on them, or change the count", ""
        return
    has = batch.good if batch is not None else lots[one.batch]
    begun = {(t.batch, t.step) for t in standing.plan.tasks if standing.begun(t)}
    mine = [s for s in standing.plan.shares if s.source == one.batch and not s.by_product]
    given = sum(s.quantity.base for s in mine if (s.consumer, s.step) in begun)
    if given >= has.base:
        yield "nothing of it is left: all of it has been used", ""
    elif one.left is not None and one.left.dimension is not has.dimension:
        yield f"'{one.left}' is another measure than its {has}", ""
    elif one.left is not None and one.left.base > has.base - given:
        yield f"'{one.left}' are said to be left of it; there were {has}", ""


def _known_event(standing: Standing, name: str) -> Said:
    event = standing.scenario.event.get(name)
    if event is None:
        yield f"there is no event '{name}'", nearest(name, standing.scenario.event)
        return
    if standing.clock.minute(event.first_plate) < standing.exactly:
        yield "its first plate has gone away already", ""
        return
    for batch in standing.plan.batches:
        if batch.event == name:
            for task in standing.tasks_of.get(batch.id, ()):
                if standing.begun(task):
                    yield f"{task.id} has begun {standing.said(task.start)}: it is being plated", ""
                    return


def _counts(standing: Standing, one: Counts) -> Said:
    yield from _known_event(standing, one.event)
    if not 0 < one.guests <= 100_000:
        yield f"{one.guests} guests. If nobody comes the event is called off", "cancel"


def _moved(standing: Standing, one: Moved) -> Said:
    yield from _known_event(standing, one.event)
    to = standing.clock.minute(one.to)
    if to <= standing.exactly:
        yield f"{standing.said(to)} is past", ""
    elif to >= standing.clock.horizon:
        yield f"{standing.said(to)} is after the week, which ends "\
              f"{standing.said(standing.clock.horizon)}", ""  # fmt: skip


def _cancelled(standing: Standing, one: Cancelled) -> Said:
    wrong = [w for w in _known_event(standing, one.event) if "plated" not in w[0]]
    yield from wrong
    if not wrong and len(standing.scenario.event) == 1:
        yield "it is the only event of the week: take the plan off the wall instead", ""


def _added(standing: Standing, one: Added) -> Said:
    event, dishes = one.event, standing.scenario.dish
    if event.id in standing.scenario.event:
        yield "there is an event of that name already", ""
    for course in event.menu:
        if course.dish not in dishes:
            yield f"there is no dish '{course.dish}'", nearest(course.dish, dishes)
    at = standing.clock.minute(event.first_plate)
    if not standing.exactly < at < standing.clock.horizon:
        yield f"{standing.said(at)} is not between now and the end of the week", ""


def _delivered(standing: Standing, one: Delivered) -> Said:
    known = {d.id: d for d in standing.scenario.week.deliveries}
    if one.delivery not in known:
        yield f"there is no delivery '{one.delivery}'", nearest(one.delivery, known)
        return
    if one.at is None and one.quantity is None and not one.never:
        yield "say when it comes, or how much, or that it never does", ""
    if one.never and (one.at is not None or one.quantity is not None):
        yield "is said to come, and never to come", ""
    there = known[one.delivery]
    was = standing.clock.minute(there.at)
    if one.at is not None and standing.clock.minute(one.at) < standing.exactly:
        yield f"{standing.said(standing.clock.minute(one.at))} is past", ""
    elif (one.at is not None or one.never) and was < standing.exactly:
        begun = [t for t in standing.plan.tasks if standing.begun(t) and was <= t.start]
        for task in begun:
            if _takes(standing, task, there.ingredient):
                yield f"{task.id} has begun with what came {standing.said(was)}", ""
                return
    if one.quantity is not None and one.quantity.base <= 0:
        yield f"'{one.quantity}' of it is nothing: say that it never comes", "never"


def _takes(standing: Standing, task: PlannedTask, ingredient: str) -> bool:
    batch = standing.batch[task.batch]
    scenario = standing.scenario
    if batch.component is not None:
        steps = scenario.component[batch.component].steps
        return any(
            t.ingredient == ingredient for s in steps if s.id == task.step for t in s.takes
        )
    takes = scenario.dish[batch.dish or ""].takes
    return any(t.ingredient == ingredient for t in takes)


_LOOKS: dict[type, Callable[[Standing, Any], Said]] = {
    Down: _down, Stuck: _stuck, Working: _working, Away: _away, LostBatch: _lost, Counts: _counts,
    Moved: _moved, Cancelled: _cancelled, Added: _added, Delivered: _delivered, Ends: tasks.ends,
    NotBegun: tasks.not_begun, NotThere: tasks.not_there,
}  # fmt: skip
