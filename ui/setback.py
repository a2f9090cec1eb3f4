"""Something has happened: what, to what, since when; then the rest of the week is worked out anew.

What is likely stands first: machines that are in use, people who are on duty. Nothing changes
before somebody puts the new plan on the wall.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from typing import Any

import streamlit as st

from scheduler.book import documents
from scheduler.book.setbacks import Setback as Entered
from scheduler.book.setbacks import enter_setback, setbacks, take_back
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.times import read_moment
from scheduler.domain.week import Event
from scheduler.plan.model import PlannedTask, Taken
from scheduler.plan.today import presence
from scheduler.plan.words import SAFETY, Names
from scheduler.reshuffle.setback import Setback, setback_of
from scheduler.reshuffle.week import out_of_use
from scheduler.reshuffle.words import moment_of
from ui.bar import the_runs
from ui.here import Here
from ui.now import now_in
from ui.planned import planned
from ui.planning import Broken, anew
from ui.refusing import refusing
from ui.wording import plain, short

SECONDS = 10.0
"""Time to look for a plan with little moved; the first one comes sooner."""
KINDS = {
    "down": "machine or store", "away": "somebody", "lost": "batch", "counts": "guests",
    "moved": "event moves", "cancelled": "event is off", "added": "event comes in",
    "delivery": "delivery", "ends": "job takes longer", "not-begun": "job not begun",
    "working": "works again",
}  # fmt: skip
ASKS = {
    "down": "What stands still?", "away": "Who is not there?", "lost": "Which batch is lost?",
    "counts": "Of which event?", "moved": "Which event?", "cancelled": "Which event?",
    "added": "Which event, as it stands in Menu?", "delivery": "Which delivery?",
    "ends": "Which job?", "not-begun": "Which job?", "working": "What works again?",
}  # fmt: skip
NONE = {
    "added": "Write the event under Menu and save it; then it stands here.",
    "ends": "No job is running.", "not-begun": "No job is running.",
    "working": "Nothing is out of use in this plan.",
}  # fmt: skip
"""What is said where there is nothing to choose from."""
LIKELY = 12
"""So many are offered to be touched; the rest stands in a list."""


def show(at: Here) -> None:
    """Draw it."""
    names = planned(at, "what has happened")
    if names is None or at.week is None or at.number is None:
        return
    st.subheader("What has happened?")
    if not at.leads:
        st.write("Tell the sous or the chef: who leads enters it, and works the rest out anew.")
        return
    if at.hangs is None or at.hangs.number != at.number:
        st.warning(f"Plan {at.number} is not the one on the wall.", icon=None)
    clock = names.scenario.clock
    now = clock.local(now_in(names.scenario, at.book.clock())).replace(tzinfo=None)
    st.session_state.setdefault("setback-now", f"{now:%Y-%m-%d %H:%M}")
    with refusing():
        _entered(at, names)
    st.segmented_control(
        "Kind", list(KINDS), format_func=KINDS.__getitem__, key=_ready("kind", "down"),
        required=True, label_visibility="collapsed",
    )  # fmt: skip
    kind = str(st.session_state["setback-kind"])
    there = _there(at, names, kind, _now(now))
    _which(kind, there)
    _more(kind, now)

    def go() -> None:
        with refusing():
            _work_out(at, names, there)

    st.button("Work it out anew", type="primary", key="setback-go", on_click=go)
    st.caption(
        "What has begun stays as it is. The proposal stands beside the plan on the wall, and "
        f"nothing changes before you put it up. {plain(SAFETY)}"
    )


def _ready(key: str, otherwise: str) -> str:
    st.session_state.setdefault(f"setback-{key}", otherwise)
    return f"setback-{key}"


def _now(otherwise: datetime) -> datetime:
    """What is typed, as far as it can be read."""
    try:
        return read_moment(str(st.session_state["setback-now"]))
    except ValueError:
        return otherwise


def _which(kind: str, there: dict[str, str]) -> None:
    first = list(there)[:LIKELY]
    if not there:
        st.info(NONE.get(kind, "There is none of these in this week."), icon=None)
        return
    st.pills(
        ASKS[kind], first, format_func=lambda id: short(there[id], 60), key=f"setback-{kind}",
    )  # fmt: skip
    if len(there) > len(first):
        st.selectbox(
            "Another", list(there)[LIKELY:], index=None, key=f"setback-{kind}-other",
            format_func=lambda id: short(there[id], 90), placeholder="choose",
        )  # fmt: skip


def _more(kind: str, now: datetime) -> None:
    """What may be said besides; left alone, the likely holds."""
    if kind == "counts":
        st.number_input("Guests by now", 0, 100000, 50, key="setback-guests")
    if kind == "moved":
        st.text_input("First plate now", key="setback-to", placeholder="20:15")
    if kind == "ends":
        st.text_input("It is over at", key="setback-over", placeholder="16:40")
    if kind == "delivery":
        st.text_input("It comes at", key="setback-comes", placeholder="15:00")
    if kind in ("counts", "moved", "cancelled"):
        st.caption("The plan follows; what is written under Menu stays as it is.")
    with st.expander("Since when, until when, what becomes of it"):
        st.text_input("Now, by the kitchen's clock", key="setback-now")
        if kind in ("down", "away"):
            left, right = st.columns(2)
            left.text_input("Since", key="setback-since", placeholder="now")
            right.text_input("Until", key="setback-until", placeholder="the end of the day")
            st.checkbox("What was running starts again", key="setback-again")
        if kind == "down":
            st.number_input("Places or shelves still of use", 0, 10000, 0, key="setback-left")
        if kind == "lost":
            st.text_input("Still of use", key="setback-rest", placeholder="nothing")


def _there(at: Here, names: Names, kind: str, now: datetime) -> dict[str, str]:
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
    if kind == "working":
        return {what: names.place(what) for what in out_of_use(names.scenario)}
    if kind == "added":
        return {e.id: short(e.name or e.id) for e in _new_events(at, names)}
    events = sorted(week.events, key=lambda e: e.first_plate)
    coming = [e for e in events if clock.minute(e.first_plate) > minute]
    return {e.id: names.event(e.id) for e in coming}


def _new_events(at: Here, names: Names) -> list[Event]:
    """Events that are written in the week by now, and not in this plan."""
    assert at.week is not None
    written = documents.scenario(at.book, at.who, at.week.id).week.events
    return [e for e in written if e.id not in names.scenario.event]


def _held(task: PlannedTask) -> Iterator[Taken]:
    """What is taken while somebody is at a task."""
    for visit in task.visits:
        yield from visit.taken


def _work_out(at: Here, names: Names, there: dict[str, str]) -> None:
    """Enter what has happened, and have the rest worked out; refused, nothing is entered."""
    assert at.week is not None and at.number is not None
    now = read_moment_or_say(st.session_state["setback-now"], "now")
    kind = str(st.session_state["setback-kind"])
    which = st.session_state.get(f"setback-{kind}-other") or st.session_state.get(f"setback-{kind}")
    open_ = [s for s in setbacks(at.book, at.who, at.week.id) if s.open]
    before = [setback_of({"kind": s.kind, **s.body}) for s in open_]
    new: list[Setback] = []
    if which in there:
        new = [setback_of(_fields(at, names, kind, str(which), now))]
    elif not before:
        raise BadInput([Problem("", None, None, "", "choose what has happened, and to what")])
    broken = Broken(at.number, (*before, *new), now)
    anew(at.book, at.who, at.week.id, broken)  # Nonsense is said before anything is entered.
    zone = names.scenario.clock.zone
    for one in new:
        body = one.model_dump(mode="json", exclude={"kind"}, exclude_defaults=True)
        enter_setback(
            at.book, at.who, uuid.uuid4().hex, at.week.id, one.kind, body,
            now.replace(tzinfo=zone),
        )  # fmt: skip
    run = the_runs().begin(at.book, at.who, at.week.id, SECONDS, broken)
    st.session_state["watching"] = run.id


def _fields(at: Here, names: Names, kind: str, which: str, now: datetime) -> dict[str, Any]:
    """A setback as plain data."""
    typed = st.session_state.get

    def moment(key: str) -> datetime | None:
        text = str(typed(f"setback-{key}") or "").strip()
        return moment_or_say(text, key, lambda t: moment_of(t, now)) if text else None

    said: dict[str, Any] = {"kind": kind}
    if kind == "down":
        said |= {"what": which, "since": moment("since"), "until": moment("until")}
        said |= {"left": int(typed("setback-left") or 0)}
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
    elif kind == "working":
        said |= {"what": which}
    elif kind == "not-begun":
        said |= {"task": which}
    elif kind == "delivery":
        said |= {"delivery": which, "at": moment("comes")}
    else:
        said |= {"task": which, "at": moment("over")}
    if kind in ("down", "away") and typed("setback-again"):
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
            if kind == "down"
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


def _entered(at: Here, names: Names) -> None:
    """What has been entered and no plan on the wall has dealt with yet."""
    assert at.week is not None
    week = at.week.id
    open_ = [s for s in setbacks(at.book, at.who, week) if s.open]
    if not open_:
        return

    def back(id: str) -> None:
        with refusing():
            take_back(at.book, at.who, week, id)

    st.markdown("**Entered, and not dealt with yet**")
    for one in open_:
        said, button = st.columns([5, 1], vertical_alignment="center")
        said.write(f"{plain(told_of(names, one), 300)} (said by {plain(one.who)})")
        button.button("Take it back", key=f"setback-back-{one.id}", on_click=back, args=(one.id,))


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
