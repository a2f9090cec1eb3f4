"""What every chart over time stands in: axes, hours when nobody is there, services, now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import plotly.graph_objects as go

from scheduler.plan.words import Names, day_words
from ui.charts.letters import SIZE, wide
from ui.charts.packing import lines
from ui.charts.window import Window, nobody_there, services, wall
from ui.palette import Palette
from ui.wording import short, untagged

WIDTH = 1280
"""Of a chart at a screen of 1440 px, px; narrower screens leave out what does not fit."""
PHONE = 358
"""Of a chart on a phone of 390 px, px."""
RIGHT = 8
"""What is free on the right, px."""
STRIP = 18
"""A line of names on top, px."""
FONT = '"Source Sans", "Source Sans Pro", "Noto Sans", "DejaVu Sans", sans-serif'


@dataclass(frozen=True, slots=True)
class Mark:
    """A moment with a line through it, and where its name stands.

    Attributes
    ----------
    minute : int
    name : str
        Empty: only a line.
    colour : str
        Which colour of the palette.
    line : int
        Of the names on top, from 0.
    left : bool
        Its name stands left of it, as there is no room on the right.
    """

    minute: int
    name: str
    colour: str
    line: int
    left: bool


def x_of(names: Names, window: Window, minute: int, room: float) -> float:
    """Pixels from the left of a minute, where the window takes so many."""
    moment = wall(names.scenario.clock, minute)
    first = datetime(window.first.year, window.first.month, window.first.day)
    return (moment - first).total_seconds() / 60 * room / (window.days * 1440)


def marks(names: Names, window: Window, now: int | None, room: float) -> list[Mark]:
    """Services and the present moment, where they are in the window.

    Parameters
    ----------
    room : float
        Pixels that the window takes.
    """
    found = [
        (minute, short(name, 28), "ink" if name else "line")
        for minute, name in services(names.scenario)
        if window.start <= minute < window.end and (name or window.days == 1)
    ]
    if now is not None and window.start <= now < window.end:
        found.append((now, f"now {names.clock(now)}", "now"))
    spans, lefts = [], []
    for minute, name, _ in found:
        x, long = x_of(names, window, minute, room), wide(name) + 8
        lefts.append(x + long > room)
        spans.append((x - long, x) if lefts[-1] else (x - 3, x + long))
    return [
        Mark(*one, line, left)
        for one, line, left in zip(found, lines(spans), lefts, strict=True)
    ]


def strip(there: Sequence[Mark]) -> float:
    """How high the names on top are, px."""
    return float(STRIP * (1 + max((m.line for m in there), default=0)))


def frame(
    fig: go.Figure, window: Window, palette: Palette, depth: float, left: float,
    ticks: Sequence[tuple[float, str]], bounds: Sequence[float], width: float = WIDTH,
) -> None:  # fmt: skip
    """Axes, margins, letters; `ticks` and `bounds` of rows in px from the top."""
    first = datetime(window.first.year, window.first.month, window.first.day)
    last = first + timedelta(days=window.days)
    hours = {1: 2, 3: 6}.get(window.days, 24)
    # A time or a day takes some 46 px.
    while hours < 24 * window.days and (width - left) * hours / (24 * window.days) < 46:
        hours *= 2
    moments = [first + timedelta(hours=h) for h in range(0, 24 * window.days, hours)]
    fig.update_layout(
        barmode="overlay", dragmode=False, hovermode="closest", showlegend=False,
        height=int(depth) + 68, margin={"l": left, "r": RIGHT, "t": 44, "b": 24},
        paper_bgcolor=palette.paper, plot_bgcolor=palette.paper,
        font={"family": FONT, "size": SIZE, "color": palette.ink},
        hoverlabel={
            "bgcolor": palette.raised, "bordercolor": palette.line, "align": "left",
            "font": {"family": FONT, "size": 13, "color": palette.ink},
        },
        uniformtext={"minsize": SIZE, "mode": "hide"},
    )  # fmt: skip
    fig.update_xaxes(
        type="date", side="top", tickangle=0, fixedrange=True,
        range=[first.isoformat(), last.isoformat()],
        tickvals=[m.isoformat() for m in moments],
        ticktext=[_tick(m, window.days) for m in moments],
        ticklabelposition="outside right" if window.days > 3 else "outside",
        gridcolor=_thin(palette.line), griddash="dot", zeroline=False,
        tickfont={"color": palette.faint, "size": SIZE},
    )  # fmt: skip
    fig.update_yaxes(
        range=[depth, 0], fixedrange=True, showgrid=False, zeroline=False,
        tickvals=[y for y, _ in ticks], ticktext=[untagged(text) for _, text in ticks],
        minor={"tickvals": list(bounds), "showgrid": True, "gridcolor": palette.line,
               "gridwidth": 1, "ticks": ""},
        tickfont={"color": palette.ink, "size": 13}, ticks="",
    )  # fmt: skip
    # Once more below: what is as tall as this is read from either end.
    for moment in moments:
        fig.add_annotation(
            x=moment.isoformat(), y=0, xref="x", yref="paper", yanchor="top", showarrow=False,
            xanchor="left" if window.days > 3 else "center", text=_tick(moment, window.days),
            font={"color": palette.faint, "size": SIZE},
        )  # fmt: skip


def _thin(colour: str) -> str:
    r, g, b = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return f"rgba({r},{g},{b},.4)"


def _tick(moment: datetime, days: int) -> str:
    if days > 3:
        return day_words(moment.date()).rpartition(" ")[0]
    if moment.hour == 0 and days > 1:
        return f"<b>{day_words(moment.date())}</b>"
    return f"{moment:%H:%M}"


def behind(
    fig: go.Figure, names: Names, window: Window, palette: Palette, there: Sequence[Mark]
) -> None:
    """What is behind the bars: hours when nobody is there, services, the present moment."""
    clock = names.scenario.clock
    shapes: list[dict[str, Any]] = []
    for a, b in nobody_there(names.scenario):
        if a < window.end and b > window.start:
            start, end = wall(clock, max(a, window.start)), wall(clock, min(b, window.end))
            shapes.append(
                {
                    "type": "rect", "layer": "below", "yref": "paper", "y0": 0, "y1": 1,
                    "x0": start.isoformat(), "x1": end.isoformat(),
                    "fillcolor": palette.night, "line": {"width": 0},
                }
            )  # fmt: skip
    for mark in there:
        at, hue = wall(clock, mark.minute).isoformat(), getattr(palette, mark.colour)
        shapes.append(
            {
                "type": "line", "layer": "above" if mark.colour == "now" else "below",
                "yref": "paper", "y0": 0, "y1": 1, "x0": at, "x1": at,
                "line": {"color": hue, "width": 1 if mark.colour == "line" else 2,
                         "dash": {"now": "solid", "line": "dot"}.get(mark.colour, "dash")},
            }
        )  # fmt: skip
        if mark.name:
            fig.add_annotation(
                x=at, y=STRIP * mark.line + 1, xref="x", yref="y", showarrow=False,
                xanchor="right" if mark.left else "left", yanchor="top",
                text=untagged(mark.name), xshift=-1 if mark.left else 1,
                font={"color": hue, "size": SIZE},
            )  # fmt: skip
    fig.update_layout(shapes=shapes)
