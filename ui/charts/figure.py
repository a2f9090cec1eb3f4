"""The chart of a plan as a Plotly figure: bars of each kind, services, nights, the present moment.

Bars stand at the kitchen's wall clock without a zone, as the chart has none; how long something
truly takes is in what hovers. A bar that the autumn night turns round keeps a least length.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

import plotly.graph_objects as go

from scheduler.plan.words import Names, several
from ui.charts.bars import KINDS
from ui.charts.frame import RIGHT, WIDTH, behind, frame, marks, strip
from ui.charts.letters import SIZE, cut, wide
from ui.charts.packing import Stretch, drawn, lines
from ui.charts.rows import Row, within
from ui.charts.window import Window, wall
from ui.palette import Palette
from ui.wording import short, untagged

LEFT = 180
"""The most room for the names of rows, px."""
HEIGHTS = {"waits": 18}
"""Of a line, px; `LINE` where nothing is said."""
LINE = 22
GAP = 6
PATTERNS = {"hands": "", "alone": "/", "waits": "", "duty": ".", "clean": "x", "pause": "-",
            "was": "|"}  # fmt: skip
PALE = ("waits", "was")
"""Kinds that are light with an outline; the others are dark."""
GROUPS = (("hands", "duty", "clean", "pause"), ("was",), ("alone",), ("waits",))
"""Kinds that share lines of a row, from the top."""
GRAINS = {1: 0, 3: 20}
"""Days looked at: minutes below which bars are joined; 60 where more days are looked at."""
LABEL = 180
"""Room that a name beside its bar is sure of, px; it takes what is free on its line."""


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
    names: Names, rows: Sequence[Row], window: Window, palette: Palette, now: int | None = None,
    width: float = WIDTH,
) -> go.Figure:  # fmt: skip
    """The chart.

    Parameters
    ----------
    names : Names
    rows : sequence of Row
    window : Window
    palette : Palette
    now : int, optional
        The present moment, a minute.
    width : float
        Of the page, px.

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
    room = width - left - RIGHT
    placed = _Placing(names, window, room)
    there_too = marks(names, window, now, room)
    y = strip(there_too) + GAP
    ticks, bounds = [], [y - GAP / 2]
    for row, stretches in there:
        ticks.append((y + LINE / 2, _label(row.label)))
        y = placed.row(stretches, y) + GAP
        bounds.append(y - GAP / 2)
    if left_out:
        ticks.append((y + LINE / 2, f"{several(left_out, 'row')} more"))
        y += LINE
    fig = go.Figure([_bar(kind, placed.traces[kind], palette) for kind in KINDS])
    frame(fig, window, palette, max(y, 60), left, ticks, bounds, width)
    behind(fig, names, window, palette, there_too)
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
    pale = kind in PALE
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
            "color": palette.raised if kind == "was" else getattr(palette, kind),
            "line": {"color": palette.line if pale else palette.paper, "width": 1},
            "pattern": {
                "shape": PATTERNS[kind], "fillmode": "overlay",
                "fgcolor": palette.line if kind == "was" else pattern,
                "size": 7, "solidity": 0.25,
            },
        },
        unselected={"marker": {"opacity": 0.6}},
    )  # fmt: skip


def _lightness(colour: str) -> float:
    return sum(int(colour[i : i + 2], 16) for i in (1, 3, 5)) / 765

def _label(text: str) -> str:
    return cut(short(text), (LEFT - 14) / 1.1) or short(text, 18)


def day_of(text: str) -> date | None:
    """The day that an address or a bar names, or none."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
