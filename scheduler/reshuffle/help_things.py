"""What else may be asked for where portions go short: a machine, goods, more time."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from scheduler.plan.words import several
from scheduler.reshuffle.setback import Moved, Working
from scheduler.reshuffle.short import FEW, THERE, Remedy, Short, week_with_help
from scheduler.reshuffle.week import broken_by, week_after

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.words import Names

# Common practice, no source.
LATER = (30, 60, 120)
"""So much later the first plate may go away, minutes; the least that serves is said."""


def borrowed(short: Short) -> Iterator[Remedy]:
    """What is out of use is borrowed; then one more of what the work runs on."""
    clock, out = short.scenario.clock, dict[str, int]()
    for duty in short.scenario.kitchen.duties:
        what = broken_by(duty)
        ends = [clock.span(day, duty.hours)[1] for day in clock.days() if day in duty.days[0]]
        if what is not None and max(ends, default=0) > short.past.now + THERE:
            out[what] = max([*ends, out.get(what, 0)])
    for what in list(out)[:FEW]:
        called = _called(short, what)
        yield Remedy(
            "borrowed", f"a borrowed {called}", what, _working(short, what),
            _in_use(short, f"a borrowed {called}", what, out[what]),
        )  # fmt: skip
    kinds = dict.fromkeys(_kinds(short))
    down = {short.scenario.unit[what][0].id for what in out if what in short.scenario.unit}
    for kind in [k for k in kinds if k not in down][:FEW]:
        known = short.scenario.equipment[kind]
        if known.units != 1:  # the one machine of a kind has the id of the kind
            called = f"one more {known.name or known.id}"
            unit = f"{kind}-borrowed"
            yield Remedy(
                "borrowed", called, kind, _one_more(short, known, unit),
                _in_use(short, called, unit, clock.horizon),
            )  # fmt: skip


def _called(short: Short, what: str) -> str:
    """What one asks for: a kind of machine, or a store."""
    known = short.scenario.unit.get(what)
    return (known[0].name or known[0].id) if known else short.names.store(what)


def _working(short: Short, what: str) -> Callable[[], Scenario]:
    return lambda: week_after(short.standing(THERE), [Working(what=what)], short.past)


def _kinds(short: Short) -> Iterator[str]:
    """Kinds of machines that the work runs on."""
    for _, step in short.steps():
        for need in step.on:
            known = short.scenario.unit.get(need.equipment or "")
            kind = known[0].id if known else need.equipment
            if kind is not None and kind in short.scenario.equipment:
                yield kind


def _one_more(short: Short, kind: Equipment, name: str) -> Callable[[], Scenario]:
    def week() -> Scenario:
        document = short.scenario.document()
        written = next(k for k in document["kitchen"]["equipment"] if k["id"] == kind.id)
        units = [u.model_dump(mode="json", exclude_none=True) for u in kind.each]
        written["units"] = [*units, {**units[0], "id": name}]
        return week_with_help(document)

    return week


def _in_use(short: Short, name: str, what: str, until: int) -> Callable[[Names], str]:
    """Until when it is needed of the time in which there would be none."""

    def said(names: Names) -> str:
        plan, now = names.plan, short.past.now
        uses = [(x.start, x.end) for t in plan.tasks
                for x in (*t.taken, *(y for v in t.visits for y in v.taken))
                if what in (x.unit, x.store)]  # fmt: skip
        uses += [(h.start, h.end) for h in plan.holds if what in (h.store, h.unit)]
        ends = [min(end, until) for start, end in uses if start < until and end > now]
        return f"{name} until {names.moment(max(ends))}" if ends else ""

    return said


def bought(short: Short) -> Iterator[Remedy]:
    """What may be bought is brought today, without the usual time from order to delivery."""
    for recipe in short.recipes:
        offer = getattr(recipe, "bought_in", None)
        if offer is not None:
            called = short.names.component(recipe.id)
            yield Remedy(
                "bought", f"{called} brought without delay", recipe.id,
                _without_delay(short, recipe.id), _brought(short, recipe.id, called),
            )  # fmt: skip


def _without_delay(short: Short, component: str) -> Callable[[], Scenario]:
    def week() -> Scenario:
        document = short.scenario.document()
        written = next(c for c in document["components"] if c["id"] == component)
        soon = short.past.now + THERE
        offer = {k: v for k, v in written["bought_in"].items()
                 if k not in ("order_days", "order_before", "days")}  # fmt: skip
        hours = f"{short.wall(soon)}-{short.closing(soon, soon + THERE)}"
        written["bought_in"] = offer | {"lead_time": "1 min", "hours": hours}
        return week_with_help(document)

    return week


def _brought(short: Short, component: str, called: str) -> Callable[[Names], str]:
    def said(names: Names) -> str:
        new = [b for b in names.plan.batches if b.component == component and b.bought
               and short.names.batches.get(b.id) != b]  # fmt: skip
        ends = [t.end for t in names.plan.tasks if t.batch in {b.id for b in new}]
        if not ends:
            return ""
        packs = several(sum(b.bought.packs for b in new if b.bought), "pack")
        return f"{called} bought in and here {names.moment(min(ends))}, {packs}"

    return said


def later(short: Short) -> Iterator[Remedy]:
    """The first plate goes away later: for the events office to say."""
    events = dict.fromkeys(one.event for one in short.plan.unserved)
    ranked = sorted(events, key=lambda e: short.scenario.event[e].rank)
    for event in ranked[:FEW]:
        planned = short.scenario.event[event].first_plate
        for by in LATER:
            to = planned + timedelta(minutes=by)
            if short.scenario.clock.minute(to) < short.scenario.clock.horizon:
                name = f"{short.names.event(event)} from {to:%H:%M}, {by} min later"
                yield Remedy("later", name, event, _moved(short, event, to), _as_it_is(name))


def _as_it_is(name: str) -> Callable[[Names], str]:
    return lambda names: name


def _moved(short: Short, event: str, to: datetime) -> Callable[[], Scenario]:
    return lambda: week_after(short.standing(), [Moved(event=event, to=to)], short.past)
