"""What the week's first screen says: in the order in which a chef asks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta

import streamlit as st

from scheduler.book.plans import changed_since_made
from scheduler.plan.calling import BEGUN, UNPLANNED, ahead
from scheduler.plan.freshness import freshness
from scheduler.plan.summary import headline
from scheduler.plan.today import arriving, presence
from scheduler.plan.waiting import LastCall, runs_at
from scheduler.plan.words import SAFETY, Names, day_words, several
from ui.behind import behind_now
from ui.here import Here, choose, chosen
from ui.now import now_in
from ui.planned import planned
from ui.wording import plain

CALLS, CHANGES, HANGS = 8, 8, 3
"""So many of each are shown before the rest is counted."""


def show(at: Here) -> None:
    """Draw it."""
    names, file = planned(at, "what the week comes to"), at.file
    if names is None or file is None:
        return
    st.subheader(plain(headline(names, file.verdicts), 400))
    _lines(_missing(names))
    behind_now(at, names)
    day, now = _moment(at, names)
    left, right = st.columns([3, 2], gap="large")
    with left:
        calls = st.container()
        _part("Events", _events(names), "")
    with right:
        running = [
            f"**{names.moment(u.at)}** {plain(names.batch(u.task.batch))}, "
            f"{plain(names.goes_in(u.task))}: {plain(u.verb)}"
            for u in runs_at(file.plan, now)
        ]
        _part(f"Runs by itself, {names.moment(now)}", running, "Nothing.", "next touched:")
        _part(f"Comes in, {day_words(day)}", _coming(names, day), "Nothing.")
        _part(f"Brigade, {day_words(day)}", _brigade(names, day), "")
        if at.leads:
            _changed(at)
    # Last of all: reckoning them takes seconds, and the rest need not wait for it.
    with calls:
        _calls(at, names, now)
    st.caption(plain(f"{freshness(file.plan)} {SAFETY}", 500))


def _part(title: str, lines: list[str], nothing: str, under: str = "") -> None:
    st.markdown(f"##### {plain(title)}")
    if under and lines:
        st.caption(under)
    _lines(lines)
    if not lines and nothing:
        st.write(nothing)


def _lines(lines: Iterable[str]) -> None:
    text = "\n".join(f"- {line}" for line in lines)
    if text:
        st.markdown(text)


def _moment(at: Here, names: Names) -> tuple[date, int]:
    """The day that is looked at, and the moment: now, or the day's beginning."""
    clock = names.scenario.clock
    now = now_in(names.scenario, at.book.clock())
    today = names.local(now).date()
    last = names.local(clock.horizon - 1).date()
    first = names.scenario.week.plan_from.date()
    days = [first + timedelta(n) for n in range((last - first).days + 1)]
    asked = next((d for d in days if d.isoformat() == chosen("day")), today)
    st.session_state["week-day"] = asked

    def go() -> None:
        choose("day", st.session_state["week-day"].isoformat())

    st.selectbox(
        "Day", days, key="week-day", on_change=go, width=260, label_visibility="collapsed",
        format_func=lambda d: f"{day_words(d)}, now" if d == today else day_words(d),
    )  # fmt: skip
    if asked == today:
        return asked, now
    return asked, clock.minute(datetime.combine(asked, time()))


def _missing(names: Names) -> list[str]:
    """What found no place, each with its reason; what cannot work before the rest."""
    plan = names.plan
    said = []
    for one in sorted(plan.missing, key=lambda m: not m.certain):
        word = "cannot work" if one.certain else "no place found"
        said.append(f"**{plain(names.batch(one.batch))}**, {word}: {plain(one.why, 400)}")
    return said


def _calls(at: Here, names: Names, now: int) -> None:
    """Until when what can be begun again, and its amount raised."""
    st.markdown("##### Last calls")
    calls = ahead(names, last_calls_of(at, names), now)
    if not calls:
        st.write("Nothing is left to begin.")
        return
    st.caption("until when each can be started again, and until when its amount can be raised")
    rows = []
    for call in calls[:CALLS]:
        what = f"{plain(names.batch(call.batch))}, {plain(names.amount(call.batch))}"
        until = "*order in*" if call.orders else call.until
        step = "" if call.orders else f": {plain(call.step)}"
        by = _together(names.moment(call.by))
        alone = call.orders or until in (BEGUN, UNPLANNED)
        raised = until if alone else f"raise until {_together(until)}"
        more = "" if until == names.moment(call.by) else f"; {raised}"
        rows.append(f"**{by}** {what}{step}{more}")
    _lines(rows)
    if len(calls) > CALLS:
        st.caption(f"and {len(calls) - CALLS} later ones")


def _together(text: str) -> str:
    """A moment that is not broken over two lines."""
    return text.replace(" ", "\u00a0")


def last_calls_of(at: Here, names: Names) -> list[LastCall]:
    """Last calls of the plan that is looked at; reckoned once."""
    return _last_calls(at.book.where, at.who.kitchen, at.number or 0, names)


@st.cache_resource(show_spinner="Last calls …", max_entries=24)
def _last_calls(where: str, kitchen: str, number: int, _names: Names) -> list[LastCall]:
    from scheduler.solve.last_calls import last_calls

    return last_calls(_names.scenario, _names.plan)


def _events(names: Names) -> list[str]:
    said = []
    events = sorted(names.scenario.week.events, key=lambda e: (e.first_plate, e.id))
    for event in events:
        lacking: Counter[str] = Counter()
        for one in (u for u in names.plan.unserved if u.event == event.id):
            for lack in [one.dish] if one.dish in one.lacks else one.lacks:
                lacking[names.component(lack)] += one.portions
        what = ", ".join(f"{n} without {lack}" for lack, n in lacking.most_common())
        when = names.moment(names.scenario.clock.minute(event.first_plate))
        guests = several(event.guests, "guest")
        said.append(
            f"**{when}** {plain(names.event(event.id))}, {guests}: {plain(what, 300) or 'served'}"
        )
    return said


def _coming(names: Names, day: date) -> list[str]:
    said = []
    for come in arriving(names, day):
        much = f", {come.delivery.quantity}" if come.delivery.quantity else ""
        hangs = [
            f"{plain(names.batch(t.batch))} ({names.moment(t.start)})" for t in come.hangs[:HANGS]
        ]
        more = f" and {len(come.hangs) - HANGS} more" if len(come.hangs) > HANGS else ""
        on_it = f"; for {', '.join(hangs)}{more}" if hangs else "; nothing waits for it"
        said.append(f"**{names.clock(come.at)}** {plain(come.delivery.ingredient)}{much}{on_it}")
    return said


def _brigade(names: Names, day: date) -> list[str]:
    there = presence(names, day)
    off = [plain(names.person(p.person)) for p in there if p.start is None and p.off]
    none = [plain(names.person(p.person)) for p in there if p.start is None and not p.off]
    on = sum(p.start is not None for p in there)
    said = [f"{several(on, 'person', 'people')} on duty"]
    if off:
        said.append(f"off: {', '.join(off)}")
    if none:
        said.append(f"no shift: {', '.join(none)}")
    return said


def _changed(at: Here) -> None:
    """What is new in the book since the plan on the wall, or the one looked at, was made."""
    number = at.hangs.number if at.hangs is not None else at.number
    if number is None:
        return
    changes = changed_since_made(at.book, at.who, number)
    which = "on the wall" if at.hangs is not None else "looked at"
    lines = [plain(c.says, 200) for c in changes[:CHANGES]]
    if len(changes) > CHANGES:
        lines.append(f"… and {len(changes) - CHANGES} more")
    title = f"Changed since plan {number}, {which}"
    _part(title, lines, "Nothing: it is as new as the book.")
