"""The written week as setbacks leave it: what a chef would have written, had they known.

A machine that stands still is a standing duty that takes it, somebody who is away has shorter
shifts, the rest is as it says. So planning, the audit and every sheet know what there is.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from scheduler.domain.reading import scenario_of
from scheduler.domain.times import Hours
from scheduler.reshuffle.setback import (
    Added,
    Away,
    Cancelled,
    Counts,
    Delivered,
    Down,
    Moved,
    Stuck,
    Working,
)
from scheduler.reshuffle.standing import DOWN, STUCK, says_broken

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Duty, Person, Shift
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Past
    from scheduler.reshuffle.setback import Setback
    from scheduler.reshuffle.standing import Standing

Document = dict[str, Any]


def week_after(standing: Standing, setbacks: Sequence[Setback], past: Past) -> Scenario:
    """The week with everything that has happened in it.

    Raises
    ------
    BadInput
        If what comes of it makes no sense as a week.
    """
    document = standing.scenario.document()
    for one in sorted(setbacks, key=lambda s: standing.minute(getattr(s, "since", None))):
        if isinstance(one, Down):
            _down(standing, document, one, past)
        elif isinstance(one, Stuck):
            _stuck(standing, document, one, past)
        elif isinstance(one, Working):
            _working(standing, document, one)
        elif isinstance(one, Away):
            _away(standing, document, one, past)
        elif isinstance(one, Counts):
            _event(document, one.event)["guests"] = one.guests
        elif isinstance(one, Moved):
            _event(document, one.event)["first_plate"] = f"{one.to:%Y-%m-%d %H:%M}"
        elif isinstance(one, Cancelled):
            week = document["week"]
            week["events"] = [e for e in week["events"] if e["id"] != one.event]
            _unreserve(week, one.event)
        elif isinstance(one, Added):
            event = one.event.model_dump(mode="json", exclude_defaults=True)
            document["week"]["events"].append(event)
        elif isinstance(one, Delivered):
            _delivered(document, one)
    return scenario_of(document, name="the week as it is now")


def _event(document: Document, name: str) -> Document:
    found: Document = next(e for e in document["week"]["events"] if e["id"] == name)
    return found


def _unreserve(week: Document, event: str) -> None:
    """What was reserved for an event that is called off is anybody's."""
    for lot in (*week.get("on_hand", ()), *week.get("in_progress", ())):
        if lot.get("reserved_for") == event:
            del lot["reserved_for"]


def _delivered(document: Document, one: Delivered) -> None:
    for delivery in document["week"].get("deliveries", ()):
        if delivery["id"] == one.delivery:
            if one.never:  # what takes of it would begin after the week
                delivery["at"] = document["week"]["ends"]
            if one.at is not None:
                delivery["at"] = f"{one.at:%Y-%m-%d %H:%M}"
            if one.quantity is not None:
                delivery["quantity"] = str(one.quantity)


# -- machines and stores --------------------------------------------------------------------


def _down(standing: Standing, document: Document, one: Down, past: Past) -> None:
    """A duty a day takes what is out of use, from now on: before, nobody could.

    What is said last of a machine holds from then on, whatever was said of it before.
    """
    since = max(standing.down(standing.minute(one.since)), standing.now)
    since = max([since, *_on_it(past, one.what)])
    until = standing.until(one.since, one.until)
    said = {"name": f"{one.what} out of use", "out_of_use": True, **_taken(standing, one)}
    _but(standing, document, one.what, since)
    _duty_a_day(standing, document, f"{DOWN}{one.what}", since, until, said)


def _duty_a_day(
    standing: Standing, document: Document, stem: str, since: int, until: int, said: Document
) -> None:
    duties = document["kitchen"].setdefault("duties", [])
    for start, end in _by_day(standing, since, min(until, standing.clock.horizon)):
        days, hours = [standing.clock.local(start).date().isoformat()], _hours(standing, start, end)
        name = _new_id(duties, stem)
        number = name.removeprefix(f"{stem}-")
        called = said["name"] + (f" ({number})" if number != "1" else "")  # no two alike on sheets
        duties.append({**said, "id": name, "name": called, "days": days, "hours": hours})


def _stuck(standing: Standing, document: Document, one: Stuck, past: Past) -> None:
    """A duty a day at which an oven stays at its setting, from when it has got there."""
    kind, _ = standing.scenario.unit[one.what]
    heat = kind.heat
    assert heat is not None  # `sense` has looked
    mode = one.mode or heat.modes[0]

    def there(since: int, celsius: int) -> int:
        rate = heat.up if one.celsius > celsius else heat.down
        return since + -(-abs(one.celsius - celsius) // rate)

    since = max(standing.down(standing.minute(one.since)), standing.now)
    ready = [there(standing.clock.minute(standing.scenario.week.plan_from), heat.ambient)]
    off = {broken.task: broken.stopped for broken in past.broken_off}
    ready += [
        there(off.get(task.id, taken.end), taken.celsius)
        for task in past.tasks for taken in task.taken
        if taken.unit == one.what and taken.celsius is not None
        and (taken.mode, taken.celsius) != (mode, one.celsius)
    ]  # fmt: skip
    said = {
        "name": f"{one.what} stays at {one.celsius} °C",
        "held": [{"equipment": one.what, "mode": mode, "celsius": one.celsius}],
    }
    until = standing.until(one.since, one.until)
    _but(standing, document, one.what, since)
    _duty_a_day(
        standing, document, f"{STUCK}{one.what}", standing.up(max(since, *ready)), until, said
    )


def _hours(standing: Standing, start: int, end: int) -> str:
    """A stretch of one day as a week says it."""
    local, last = standing.clock.local(start), standing.clock.local(end)
    close = "24:00" if last.date() != local.date() else f"{last:%H:%M}"
    return f"{local:%H:%M}-{close}"


def _but(standing: Standing, document: Document, what: str, since: int) -> None:
    """Leave out what was said of a machine from a moment on."""
    found = list[Document]()
    for duty in document["kitchen"].get("duties", []):
        if not says_broken(duty["id"], what):
            found.append(duty)
            continue
        day = date.fromisoformat(duty["days"][0])
        start, end = standing.clock.span(day, Hours.parse(duty["hours"]))
        if start < since:
            found.append(duty | {"hours": _hours(standing, start, min(end, since))})
    document["kitchen"]["duties"] = found


def _on_it(past: Past, unit: str) -> list[int]:
    """Until when what is past stands on a unit: it is unloaded all the same."""
    broken = {b.task for b in past.broken_off}
    return [
        t.end for task in past.tasks if task.id not in broken
        for t in (*task.taken, *(x for v in task.visits for x in v.taken))
        if t.unit == unit and t.end > past.now and task.law_end <= past.now
    ]  # fmt: skip


def _taken(standing: Standing, one: Down) -> Document:
    """All of its places, or all but those still of use."""
    store = standing.scenario.store.get(one.what)
    if store is not None:
        return {"stores": [{"store": one.what, "shelves": store.shelves - one.left}]}
    _, unit = standing.scenario.unit[one.what]
    taken: Document = {"equipment": one.what, "amount": (unit.capacity or 1) - one.left}
    if unit.holds:
        tray, most = next(iter(unit.holds.items()))
        taken = {"equipment": one.what, "amount": most, "tray": tray}
    return {"equipment": [taken]}


def _by_day(standing: Standing, start: int, end: int) -> list[tuple[int, int]]:
    """A stretch cut at every midnight."""
    found = []
    while start < end:
        stop = min(end, standing.midnight(start))
        found.append((start, stop))
        start = stop
    return found


def _new_id(duties: list[Document], stem: str) -> str:
    names = {d["id"] for d in duties}
    return next(name for n in range(1, len(names) + 2) if (name := f"{stem}-{n}") not in names)


def out_of_use(scenario: Scenario) -> list[str]:
    """Machines and stores that are out of use, or stuck, at some time of the week."""
    found = (broken_by(duty) for duty in scenario.kitchen.duties)
    return list(dict.fromkeys(what for what in found if what is not None))


def broken_by(duty: Duty) -> str | None:
    """The machine or store that a duty says is out of use or stuck; None for any other duty."""
    if not duty.id.startswith((DOWN, STUCK)):
        return None
    taken = (*(use.equipment for use in duty.equipment), *(use.store for use in duty.stores),
             *(held.equipment for held in duty.held))  # fmt: skip
    return next(iter(taken), None)


def _working(standing: Standing, document: Document, one: Working) -> None:
    """Its duties end now, those to come are gone."""
    _but(standing, document, one.what, standing.now)


# -- people ---------------------------------------------------------------------------------


def _away(standing: Standing, document: Document, one: Away, past: Past) -> None:
    """Shifts without the time somebody is away, from now on; visits that they are at end first."""
    since = max(standing.down(standing.minute(one.since)), standing.now)
    since = max([since, *_hands_full(past, one.who)])
    until = standing.until(one.since, one.until)
    person = standing.scenario.person[one.who]
    theirs = next(p for p in document["kitchen"]["people"] if p["id"] == one.who)
    shifts: list[Document] = []
    for shift in person.shifts:
        days, left = _apart(standing, person, shift, since, until)
        written = shift.model_dump(mode="json", exclude_defaults=True)
        if days:
            shifts.append(written | {"days": days})
        shifts += left
    theirs["shifts"] = shifts


def _hands_full(past: Past, who: str) -> list[int]:
    """Ends of short visits that somebody is at."""
    broken = {b.task for b in past.broken_off}
    return [
        v.end for task in past.tasks for v in task.visits
        if who in v.people and v.start < past.now < v.end
        and (task.id not in broken or v.kind != "hands")
    ]  # fmt: skip


def _apart(
    standing: Standing, person: Person, shift: Shift, since: int, until: int
) -> tuple[list[str], list[Document]]:
    """Days on which a shift stays as it is, and what is left of it on the others."""
    clock, days, left = standing.clock, list[str](), list[Document]()
    around = clock.days(margin=15)
    last = around[-1]
    around += [last + timedelta(days=n) for n in range(1, 16)]
    touched = []
    for day in around:
        if day in person.off or not any(day in some for some in shift.days):
            continue
        start, end = clock.span(day, shift.hours)
        if end <= since or start >= until:
            continue
        touched.append(day)
        for a, b in ((start, min(end, since)), (max(start, until), end)):
            if a < b:
                left.append(_part(standing, shift, day, a, b))
    if not touched:
        return [str(d) for d in shift.days], []
    for day in around:
        if any(day in some for some in shift.days) and day not in touched:
            days.append(day.isoformat())
    return days, left


def _part(standing: Standing, shift: Shift, day: date, start: int, end: int) -> Document:
    """What is left of a shift on a day, with the breaks that lie in it."""
    clock = standing.clock

    def wall(minute: int) -> str:
        return f"{clock.local(minute):%H:%M}"

    def inside(hours: Any) -> bool:
        a, b = clock.span(day, hours)
        return start <= a and b <= end

    found: Document = {
        "days": [clock.local(start).date().isoformat()], "hours": f"{wall(start)}-{wall(end)}",
    }
    whole = shift.model_dump(mode="json", exclude_defaults=True)
    pauses = [str(p) for p in shift.breaks if inside(p)]
    moving = [
        written for written, p in
        zip(whole.get("floating_breaks", ()), shift.floating_breaks, strict=True)
        if inside(p.between)
    ]  # fmt: skip
    return found | ({"breaks": pauses} if pauses else {}) | (
        {"floating_breaks": moving} if moving else {}
    )
