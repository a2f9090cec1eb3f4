"""The chart of a plan as a Plotly figure: bars of each kind, services, nights, the present moment.

Bars stand at the kitchen's wall clock without a zone, as the chart has none; how long something
truly takes is in what hovers. A bar that the autumn night turns round keeps a least length.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

import plotly.graph_objects as go

from scheduler.plan.words import Names, day_words, several
from ui.charts.bars import KINDS
from ui.charts.letters import SIZE, cut, wide
from ui.charts.packing import Stretch, drawn, lines
from ui.charts.rows import Row, within
from ui.charts.window import Window, nobody_there, services, wall
from ui.palette import Palette
from ui.wording import short, untagged

WIDTH = 1280
"""Of the chart at a screen of 1440 px, px; narrower screens leave out what does not fit."""
LEFT, RIGHT = 180, 8
"""The most room for the names of rows, and what is free on the other side, px."""
HEIGHTS = {"waits": 18}
"""Of a line, px; `LINE` where nothing is said."""
LINE = 22
GAP = 6
PATTERNS = {"hands": "", "alone": "/", "waits": "", "duty": ".", "clean": "x", "pause": "-"}
GROUPS = (("hands", "duty", "clean", "pause"), ("alone",), ("waits",))
"""Kinds that share lines of a row, from the top."""
GRAINS = {1: 0, 3: 20}
"""Days looked at: minutes below which bars are joined; 60 where more days are looked at."""
LABEL = 120
"""Room that a name beside its bar is sure of, px; it takes what is free on its line."""
FONT = '"Source Sans", "Source Sans Pro", "Noto Sans", "DejaVu Sans", sans-serif'


@dataclass(slots=True)
class Trace:
    """What Plotly wants of the bars of one kind, a list each."""

    base: list[str] = field(default_factory=list)
    length: list[float] = field(default_factory=list)
    y: list[float] = field(default_factory=list)
    width: list[float] = field(default_factory=list)
    text: list[str] = field(default_factory=list)
    where: list[str] = field(default_factory=list)
    hover: list[str] = field(default_factory=list)
    data: list[list[str]] = field(default_factory=list)


def figure(
    names: Names, rows: Sequence[Row], window: Window, palette: Palette, now: int | None = None
) -> go.Figure:
    """The chart.

    Parameters
    ----------
    names : Names
    rows : sequence of Row
    window : Window
    palette : Palette
    now : int, optional
        The present moment, a minute.

    Returns
    -------
    go.Figure
        Its `customdata` are the task of a bar and the day that it begins on; the task is empty
        where several are joined, or where the bar is of none.
    """
    there, left_out = drawn(
        within(rows, window.start, window.end), GRAINS.get(window.days, 60)
    )
    left = min(LEFT, max((wide(row.label) * 1.1 + 14 for row, _ in there), default=0))
    placed = _Placing(names, window, WIDTH - left - RIGHT)
    marks = _marks(names, window, now)
    strip = lines(placed.mark(minute, name) for minute, name, _ in marks)
    y = 18.0 * (1 + max(strip, default=0)) + GAP
    ticks, bounds = [], [y - GAP / 2]
    for row, stretches in there:
        ticks.append((y + LINE / 2, row.label))
        y = placed.row(stretches, y) + GAP
        bounds.append(y - GAP / 2)
    if left_out:
        ticks.append((y + LINE / 2, f"{several(left_out, 'row')} more"))
        y += LINE
    fig = go.Figure([_bar(kind, placed.traces[kind], palette) for kind in KINDS])
    _frame(fig, names, window, palette, max(y, 60), left, ticks, bounds)
    _behind(fig, placed, palette, list(zip(marks, strip, strict=True)))
    return fig


class _Placing:
    """Puts stretches where they are drawn."""

    def __init__(self, names: Names, window: Window, room: float) -> None:
        self.names, self.window = names, window
        self.clock = names.scenario.clock
        first = window.first
        self.origin = datetime(first.year, first.month, first.day)
        self.room = room
        self.scale = room / (window.days * 1440)
        self.traces: dict[str, Trace] = defaultdict(Trace)

    def x(self, moment: datetime) -> float:
        """Pixels from the left of a wall-clock moment."""
        return (moment - self.origin).total_seconds() / 60 * self.scale

    def mark(self, minute: int, name: str) -> tuple[float, float]:
        """Between which pixels a moment's name stands: left of its line where the chart ends."""
        x, room = self.x(wall(self.clock, minute)), wide(name) + 8
        return (x - room, x) if x + room > self.room else (x - 3, x + room)

    def span(self, one: Stretch) -> tuple[datetime, datetime]:
        """Wall-clock moments that a stretch is drawn between, inside the window."""
        start = wall(self.clock, max(one.start, self.window.start))
        end = wall(self.clock, min(one.end, self.window.end))
        # On the night on which clocks go back it may end before it starts.
        return start, max(end, start + timedelta(minutes=min(15, one.end - one.start)))

    def row(self, stretches: list[Stretch], y: float) -> float:
        """Place the stretches of a row from `y` on; where the row ends."""
        top = y
        for kinds in GROUPS:
            own = [s for s in stretches if s.kind in kinds]
            spans = [self.span(s) for s in own]
            texts = [self.text(s, *span) for s, span in zip(own, spans, strict=True)]
            rooms = [
                (self.x(a), self.x(b) + (wide(text) + 8 if beside else 0))
                for (a, b), (text, beside) in zip(spans, texts, strict=True)
            ]
            line = lines(rooms)
            height = HEIGHTS.get(kinds[0], LINE)
            for i, (one, span) in enumerate(zip(own, spans, strict=True)):
                text = texts[i]
                if text[1]:
                    after = (rooms[n][0] for n in range(len(own)) if line[n] == line[i])
                    free = min((x for x in after if x > rooms[i][0]), default=self.room)
                    text = cut(_name(one), free - self.x(span[1]) - 8), True
                self.put(one, span, text, y + (line[i] + 0.5) * height, height - 2)
            y += height * (1 + max(line, default=-1))
        return max(y, top + LINE)

    def text(self, one: Stretch, start: datetime, end: datetime) -> tuple[str, bool]:
        """What stands in a bar, or beside it where one day is looked at; and whether beside."""
        whole = _name(one)
        inside = cut(whole, self.x(end) - self.x(start) - 8)
        if inside == whole or one.kind == "waits" or self.window.days > 1:
            return inside, False
        beside = cut(whole, min(LABEL, self.room - self.x(end) - 8))
        return (beside, True) if len(beside) > len(inside) else (inside, False)

    def put(
        self, one: Stretch, span: tuple[datetime, datetime], text: tuple[str, bool],
        y: float, height: float,
    ) -> None:  # fmt: skip
        """Add it to the bars of its kind."""
        trace, (start, end) = self.traces[one.kind], span
        trace.base.append(start.isoformat(timespec="minutes"))
        trace.length.append((end - start).total_seconds() * 1000)
        trace.y.append(y)
        trace.width.append(height)
        trace.text.append(untagged(text[0]))
        trace.where.append("outside" if text[1] else "inside")
        trace.hover.append(self.hover(one))
        task = one.bars[0].task if len(one.bars) == 1 else ""
        trace.data.append([task, start.date().isoformat()])

    def hover(self, one: Stretch) -> str:
        """What is told beside the pointer."""
        names = self.names
        if len(one.bars) > 1:
            said = [f"<b>{several(len(one.bars), 'job')}</b>, {KINDS[one.bars[0].kind]}"]
            said += [f"{names.moment(b.start)} {untagged(b.name, 60)}" for b in one.bars[:8]]
            said += [f"and {len(one.bars) - 8} more"] if len(one.bars) > 8 else []
            return "<br>".join(said)
        bar = one.bars[0]
        to = names.clock(bar.end)
        if names.local(bar.start).date() != names.local(bar.end).date():
            to = names.moment(bar.end)
        when = f"{names.moment(bar.start)} to {to}, {names.length(bar.end - bar.start)}"
        said = [f"<b>{untagged(bar.name, 60)}</b>", *(untagged(s, 80) for s in bar.says), when]
        return "<br>".join(said)


def _name(one: Stretch) -> str:
    """What a bar is called."""
    return several(len(one.bars), "job") if len(one.bars) > 1 else short(one.bars[0].name)


def _bar(kind: str, trace: Trace, palette: Palette) -> go.Bar:
    pale = kind == "waits"
    dark_text = _lightness(palette.on_bar) < 0.5
    # The pattern goes away from the text, so that text stays as easy to read on it.
    pattern = "rgba(255,255,255,.38)" if dark_text else "rgba(0,0,0,.26)"
    return go.Bar(
        name=KINDS[kind],  # type: ignore[index]
        orientation="h",
        base=trace.base, x=trace.length, y=trace.y, width=trace.width,
        text=trace.text, textposition=trace.where,
        textangle=0, insidetextanchor="start", constraintext="none", cliponaxis=True,
        insidetextfont={"color": palette.ink if pale else palette.on_bar, "size": SIZE},
        outsidetextfont={"color": palette.ink, "size": SIZE},
        hovertext=trace.hover, hoverinfo="text", customdata=trace.data,
        marker={
            "color": getattr(palette, kind),
            "line": {"color": palette.line if pale else palette.paper, "width": 1},
            "pattern": {
                "shape": PATTERNS[kind], "fillmode": "overlay", "fgcolor": pattern,
                "size": 7, "solidity": 0.25,
            },
        },
        unselected={"marker": {"opacity": 0.6}},
    )  # fmt: skip


def _lightness(colour: str) -> float:
    return sum(int(colour[i : i + 2], 16) for i in (1, 3, 5)) / 765


Mark = tuple[int, str, str]
"""A moment with a line through it: minute, name, and which colour of the palette."""


def _marks(names: Names, window: Window, now: int | None) -> list[Mark]:
    found: list[Mark] = [
        (minute, short(name, 28), "ink" if name else "line")
        for minute, name in services(names.scenario)
        if window.start <= minute < window.end and (name or window.days == 1)
    ]
    if now is not None and window.start <= now < window.end:
        found.append((now, f"now {names.clock(now)}", "now"))
    return found


def _frame(
    fig: go.Figure, names: Names, window: Window, palette: Palette, depth: float, left: float,
    ticks: list[tuple[float, str]], bounds: list[float],
) -> None:  # fmt: skip
    """Axes, margins, letters."""
    first = datetime(window.first.year, window.first.month, window.first.day)
    last = first + timedelta(days=window.days)
    hours = {1: 2, 3: 6}.get(window.days, 24)
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
        tickvals=[y for y, _ in ticks], ticktext=[untagged(_label(text)) for _, text in ticks],
        minor={"tickvals": bounds, "showgrid": True, "gridcolor": palette.line, "gridwidth": 1,
               "ticks": ""},
        tickfont={"color": palette.ink, "size": 13}, ticks="",
    )  # fmt: skip


def _thin(colour: str) -> str:
    r, g, b = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return f"rgba({r},{g},{b},.4)"


def _label(text: str) -> str:
    return cut(short(text), (LEFT - 14) / 1.1) or short(text, 18)


def _tick(moment: datetime, days: int) -> str:
    if days > 3:
        return day_words(moment.date()).rpartition(" ")[0]
    if moment.hour == 0 and days > 1:
        return f"<b>{day_words(moment.date())}</b>"
    return f"{moment:%H:%M}"


def _behind(
    fig: go.Figure, placed: _Placing, palette: Palette, marks: list[tuple[Mark, int]]
) -> None:
    """What is behind the bars: hours when nobody is there, services, the present moment."""
    clock, window = placed.clock, placed.window
    shapes: list[dict[str, Any]] = []
    for a, b in nobody_there(placed.names.scenario):
        if a < window.end and b > window.start:
            start, end = wall(clock, max(a, window.start)), wall(clock, min(b, window.end))
            shapes.append(
                {
                    "type": "rect", "layer": "below", "yref": "paper", "y0": 0, "y1": 1,
                    "x0": start.isoformat(), "x1": end.isoformat(),
                    "fillcolor": palette.night, "line": {"width": 0},
                }
            )  # fmt: skip
    notes: list[dict[str, Any]] = []
    for (minute, name, colour), line in marks:
        at, hue = wall(clock, minute).isoformat(), getattr(palette, colour)
        shapes.append(
            {
                "type": "line", "layer": "above" if colour == "now" else "below",
                "yref": "paper", "y0": 0, "y1": 1, "x0": at, "x1": at,
                "line": {"color": hue, "width": 1 if colour == "line" else 2,
                         "dash": {"now": "solid", "line": "dot"}.get(colour, "dash")},
            }
        )  # fmt: skip
        if name:
            right = placed.mark(minute, name)[0] < placed.x(wall(clock, minute)) - 3
            notes.append(
                {
                    "x": at, "y": 18.0 * line + 1, "yref": "y", "xref": "x", "showarrow": False,
                    "xanchor": "right" if right else "left", "yanchor": "top",
                    "text": untagged(name), "xshift": -1 if right else 1,
                    "font": {"color": hue, "size": SIZE},
                }
            )  # fmt: skip
    # Once more below: what is as tall as this is read from either end.
    xaxis = fig.layout.xaxis
    for at, text in zip(xaxis.tickvals, xaxis.ticktext, strict=True):
        notes.append(
            {
                "x": at, "y": 0, "xref": "x", "yref": "paper", "yanchor": "top", "text": text,
                "xanchor": "left" if window.days > 3 else "center", "showarrow": False,
                "font": {"color": palette.faint, "size": SIZE},
            }
        )  # fmt: skip
    fig.update_layout(shapes=shapes, annotations=notes)


def day_of(text: str) -> date | None:
    """The day that an address or a bar names, or none."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
