"""What may have happened to a plan, to what, and a form's words for it as a setback."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from typing import Any

import streamlit as st

from scheduler.book import documents
from scheduler.book.setbacks import Setback as Entered
from scheduler.book.setbacks import setbacks
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.times import read_moment
from scheduler.domain.week import Event
from scheduler.plan.model import PlannedTask, Taken
from scheduler.plan.today import presence
from scheduler.plan.words import Names
from scheduler.reshuffle.sense_of_tasks import gone_on
from scheduler.reshuffle.setback import Away, Down, Setback, Stuck, setback_of
from scheduler.reshuffle.standing import Standing
from scheduler.reshuffle.week import out_of_use
from scheduler.reshuffle.words import moment_of
from ui.here import Here
from ui.wording import short

KINDS = {
    "down": "machine or store", "stuck": "oven stuck", "away": "somebody", "lost": "batch",
    "counts": "guests", "moved": "event moves", "cancelled": "event is off",
    "added": "event comes in",
    "delivery": "delivery", "ends": "job takes longer", "not-begun": "job not begun",
    "not-there": "test says not yet", "working": "works again",
}  # fmt: skip
"""What may have happened, and what that is called."""
ASKS = {
    "down": "What stands still?", "stuck": "Which oven?", "away": "Who is not there?",
    "lost": "Which batch is lost?",
    "counts": "Of which event?", "moved": "Which event?", "cancelled": "Which event?",
    "added": "Which event, as it stands in Menu?", "delivery": "Which delivery?",
    "ends": "Which job?", "not-begun": "Which job?", "not-there": "Which job?",
    "working": "What works again?",
}  # fmt: skip
"""What is asked then."""
NONE = {
    "added": "Write the event under Menu and save it; then it stands here.",
    "ends": "No job is running.", "not-begun": "No job is running.",
    "not-there": "Nothing that is tested is running.",
    "working": "Nothing is out of use in this plan.",
}  # fmt: skip
"""What is said where there is nothing to choose from."""
RUNNING = ("down", "stuck", "away")
"""Kinds that may stop something that is running."""


def there_is(at: Here, names: Names, kind: str, now: datetime) -> dict[str, str]:
    """What a setback of a kind may be about, by id, the likely first."""
    week, clock = names.scenario.week, names.scenario.clock
    minute = clock.minute(now)
    running = [t for t in names.plan.tasks if t.start <= minute < t.end]
    if kind == "down":
        used = [t.unit for r in running for t in (*r.taken, *_held(r))]
        every = [u.id for e in names.scenario.kitchen.equipment for u in e.each]
        stores = {s.id: names.store(s.id) for s in names.scenario.kitchen.stores}
        ids = dict.fromkeys((*(u for u in used if u in every), *every))
        return {id: names.unit(id) for id in ids} | stores
    if kind == "away":
        there = presence(names, now.date())
        on = [p.person for p in there if p.start is not None]
        return {p: names.person(p) for p in dict.fromkeys((*on, *(p.person for p in there)))}
    if kind == "lost":
        ids = dict.fromkeys((*(t.batch for t in running), *(b.id for b in names.plan.batches)))
        return {id: f"{names.batch(id)}, {names.amount(id)}" for id in ids}
    if kind == "delivery":
        return {d.id: short(d.ingredient) for d in week.deliveries}
    if kind in ("ends", "not-begun"):
        return {t.id: f"{names.batch(t.batch)}: {names.step(t.batch, t.step)}" for t in running}
    if kind == "not-there":
        return {t.id: f"{names.batch(t.batch)}: {names.step(t.batch, t.step)}"
                for t in _tested(at, names, now)}  # fmt: skip
    if kind == "stuck":
        return {u.id: names.unit(u.id) for e in names.scenario.kitchen.equipment
                if e.heat is not None for u in e.each}  # fmt: skip
    if kind == "working":
        return {what: names.place(what) for what in out_of_use(names.scenario)}
    if kind == "added":
        return {e.id: short(e.name or e.id) for e in _new_events(at, names)}
    events = sorted(week.events, key=lambda e: e.first_plate)
    coming = [e for e in events if clock.minute(e.first_plate) > minute]
    return {e.id: names.event(e.id) for e in coming}


def _held(task: PlannedTask) -> Iterator[Taken]:
    """What is taken while somebody is at a task."""
    for visit in task.visits:
        yield from visit.taken


def _tested(at: Here, names: Names, now: datetime) -> Iterator[PlannedTask]:
    """Begun by now, to be tested, and nothing that follows has begun."""
    assert at.file is not None
    standing = Standing(at.file, now)
    for task in names.plan.tasks:
        step = names.step_of(task.batch, task.step)
        tested = step is not None and step.test is not None
        if tested and standing.begun(task) and not gone_on(standing, task):
            yield task


def _new_events(at: Here, names: Names) -> list[Event]:
    """Events that are written in the week by now, and not in this plan."""
    assert at.week is not None
    written = documents.scenario(at.book, at.who, at.week.id).week.events
    return [e for e in written if e.id not in names.scenario.event]


def fields(at: Here, names: Names, kind: str, which: str, now: datetime) -> dict[str, Any]:
    """A setback as plain data."""
    typed = st.session_state.get

    def moment(key: str) -> datetime | None:
        text = str(typed(f"setback-{key}") or "").strip()
        return moment_or_say(text, key, lambda t: moment_of(t, now)) if text else None

    said: dict[str, Any] = {"kind": kind}
    if kind == "down":
        said |= {"what": which, "since": moment("since"), "until": moment("until")}
        said |= {"left": int(typed("setback-left") or 0), "cold": moment("cold")}
    elif kind == "away":
        said |= {"who": which, "since": moment("since"), "until": moment("until")}
    elif kind == "lost":
        said |= {"batch": which, "left": str(typed("setback-rest") or "").strip() or None}
    elif kind == "counts":
        said |= {"event": which, "guests": int(typed("setback-guests") or 0)}
    elif kind == "moved":
        said |= {"event": which, "to": moment("to")}
    elif kind == "cancelled":
        said |= {"event": which}
    elif kind == "added":
        event = next(e for e in _new_events(at, names) if e.id == which)
        said |= {"event": event.model_dump(mode="json", exclude_defaults=True)}
    elif kind == "stuck":
        said |= {"what": which, "since": moment("since"), "until": moment("until")}
        said |= {"celsius": int(typed("setback-celsius") or 0)}
    elif kind == "working":
        said |= {"what": which}
    elif kind == "not-there":
        said |= {"task": which, "longer": str(typed("setback-longer") or "").strip() or None}
    elif kind == "not-begun":
        said |= {"task": which}
    elif kind == "delivery":
        said |= {"delivery": which, "at": moment("comes"), "never": bool(typed("setback-never"))}
    else:
        said |= {"task": which, "at": moment("over")}
    if kind in RUNNING and typed("setback-again"):
        said["salvage"] = {t: "again" for t in _stopped(names, kind, which, now)}
    return {k: v for k, v in said.items() if v is not None}


def _stopped(names: Names, kind: str, which: str, now: datetime) -> Sequence[str]:
    """Tasks that run on a machine, or that somebody is at."""
    at = names.scenario.clock.minute(now)
    return [
        t.id
        for t in names.plan.tasks
        if t.start <= at < t.end
        and (
            any(x.unit == which for x in (*t.taken, *_held(t)))
            if kind != "away"
            else any(which in v.people for v in t.visits)
        )
    ]


def moment_or_say(text: str, where: str, read: Callable[[str], datetime]) -> datetime:
    """A moment as typed, or a sentence of what is wrong with it."""
    try:
        return read(text)
    except ValueError as error:
        raise BadInput([Problem("", None, None, where, str(error))]) from None


def read_moment_or_say(text: object, where: str) -> datetime:
    """The same for a moment with its day."""
    return moment_or_say(str(text), where, read_moment)


def told_of(names: Names, one: Entered) -> str:
    """A setback in words: what kind, of what, and what else is said."""
    body = dict(one.body)
    about = next((body.pop(k) for k in ABOUT if k in body), "")
    if isinstance(about, dict):  # an event as it is written
        return f"{KINDS[one.kind]}: {short(about.get('name') or about['id'])}"
    about = str(about)
    called = names.event(about) if "event" in one.body else names.place(about)
    rest = ", ".join(f"{k} {v}" for k, v in body.items() if not isinstance(v, dict))
    return f"{KINDS.get(one.kind, one.kind)}: {called}" + (f" ({rest})" if rest else "")


ABOUT = ("what", "who", "batch", "event", "delivery", "task")
"""The fields that say what a setback is about."""


def since_then(one: Setback, now: datetime) -> Setback:
    """A setback that is entered now: left out, it is since now, whenever it is read."""
    if isinstance(one, Down | Stuck | Away) and one.since is None:
        return one.model_copy(update={"since": now})
    return one


def still_on(at: Here, now: datetime) -> tuple[Setback, ...]:
    """What has been entered and not dealt with; without what is over by now."""
    assert at.week is not None and at.file is not None
    standing = Standing(at.file, now)
    entered = (s for s in setbacks(at.book, at.who, at.week.id) if s.open)
    found = (setback_of({"kind": s.kind, **s.body}) for s in entered)
    return tuple(
        one for one in found
        if not isinstance(one, Down | Stuck | Away)
        or standing.until(one.since, one.until) > standing.now
    )  # fmt: skip
