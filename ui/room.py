"""Store and load: shelves, hands and oven settings over time, with what there is of each."""

from __future__ import annotations

import plotly.graph_objects as go
import streamlit as st

from scheduler.plan.load import Load, Setting, hands, settings, shelves
from scheduler.plan.words import SAFETY, Names
from ui.charts.frame import PHONE, WIDTH
from ui.charts.panels import BEYOND, loads, ovens, peak
from ui.charts.window import TICK, Window
from ui.here import Here
from ui.now import now_in
from ui.palette import Palette
from ui.picking import pick, ready
from ui.planned import planned
from ui.theme import colours, on_phone
from ui.when import when
from ui.wording import plain, short

WHAT = {"shelves": "shelves", "hands": "hands", "settings": "oven settings"}
OF = {"shelves": "shelves", "hands": "pairs of hands"}
_READ = {
    "shelves": "The filled steps are shelves that are taken, the dashed line the usable ones.",
    "hands": "The filled steps are pairs of hands that are needed at once, the dashed line those "
    "on duty. Somebody of two sections is on duty in both; help from another section is counted "
    "where the work is.",
    "settings": "Each step is what the unit is set to while something is in it.",
}


def show(at: Here) -> None:
    """Draw it."""
    names = planned(at, "how full stores, sections and ovens are")
    if names is None or at.number is None:
        return
    now = now_in(names.scenario, at.book.clock()) // TICK * TICK
    what, length, day = st.columns([2, 2, 2], vertical_alignment="bottom")
    what.segmented_control(
        "How full", list(WHAT), required=True, format_func=WHAT.__getitem__,
        key=ready("full", list(WHAT), "shelves"), on_change=pick, args=("full",),
    )  # fmt: skip
    looked = when(names, now, length, day)
    asked = str(st.session_state["pick-full"])
    mark = (at.book.where, at.who.kitchen, at.number)
    if asked == "settings":
        units = _settings(*mark, names)
        if not units:
            st.info("Nothing in this plan is set to a temperature.")
            return
        st.plotly_chart(
            _ovens(*mark, looked, now, colours(), on_phone(), names, units),
            theme=None, key="room-settings", config={"displayModeBar": False},
            alt="Oven settings over time; the table says the same.",
        )  # fmt: skip
        st.caption(_READ[asked])
        _settings_table(names, units, looked)
    else:
        rows = _loads(*mark, asked, names)
        if not rows:
            st.info("This kitchen has no stores. Add them on the page Kitchen.")
            return
        st.plotly_chart(
            _figure(*mark, asked, looked, now, colours(), on_phone(), names, rows), theme=None,
            key=f"room-{asked}", config={"displayModeBar": False},
            alt=f"{WHAT[asked].capitalize()} over time; the table says the same.",
        )  # fmt: skip
        st.caption(_READ[asked])
        _table(names, rows, looked, OF[asked])
    st.caption(plain(SAFETY))


@st.cache_resource(show_spinner=False, max_entries=24)
def _loads(where: str, kitchen: str, number: int, what: str, _names: Names) -> tuple[Load, ...]:
    return shelves(_names) if what == "shelves" else hands(_names)


@st.cache_resource(show_spinner=False, max_entries=24)
def _settings(
    where: str, kitchen: str, number: int, _names: Names
) -> dict[str, tuple[Setting, ...]]:
    return settings(_names)


@st.cache_resource(show_spinner=False, max_entries=48)
def _figure(
    where: str, kitchen: str, number: int, what: str, looked: Window, now: int, hues: Palette,
    narrow: bool, _names: Names, _rows: tuple[Load, ...],
) -> go.Figure:  # fmt: skip
    return loads(_names, _rows, looked, hues, OF[what], now, PHONE if narrow else WIDTH)


@st.cache_resource(show_spinner=False, max_entries=24)
def _ovens(
    where: str, kitchen: str, number: int, looked: Window, now: int, hues: Palette,
    narrow: bool, _names: Names, _units: dict[str, tuple[Setting, ...]],
) -> go.Figure:  # fmt: skip
    return ovens(_names, _units, looked, hues, now, PHONE if narrow else WIDTH)


def _table(names: Names, rows: tuple[Load, ...], looked: Window, of: str) -> None:
    """Where each is fullest on the days that are looked at."""
    found = [(load, peak(load, looked)) for load in rows]
    st.dataframe(
        {
            "": [short(load.name) for load, _ in found],
            "tightest": [names.moment(p.minute) if p else "never used" for _, p in found],
            of: [p.taken if p else None for _, p in found],
            "of": [p.there if p else None for _, p in found],
            "free": [max(0, p.there - p.taken) if p else None for _, p in found],
            BEYOND[of]: [max(0, p.taken - p.there) if p else None for _, p in found],
        },
        hide_index=True, placeholder="",
    )  # fmt: skip


def _settings_table(
    names: Names, units: dict[str, tuple[Setting, ...]], looked: Window
) -> None:
    there = [
        (unit, s)
        for unit, every in units.items()
        for s in every
        if s.start < looked.end and s.end > looked.start
    ]
    st.dataframe(
        {
            "unit": [short(names.unit(unit)) for unit, _ in there],
            "set to": [f"{s.celsius} °C {s.mode}".strip() for _, s in there],
            "from": [names.moment(s.start) for _, s in there],
            "to": [names.moment(s.end) for _, s in there],
            "for": [names.length(s.end - s.start) for _, s in there],
        },
        hide_index=True,
    )  # fmt: skip
