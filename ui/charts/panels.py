"""Steps over time as a Plotly figure, one panel under the other: shelves, hands, settings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import accumulate

import plotly.graph_objects as go

from scheduler.plan.load import Load, Setting, Steps, at
from scheduler.plan.words import Names
from ui.charts.frame import RIGHT, WIDTH, Mark, behind, frame, marks, strip, x_of
from ui.charts.letters import SIZE, cut, wide
from ui.charts.window import Window, wall
from ui.palette import Palette
from ui.wording import short, untagged

HIGH, GAP = 96, 34
"""Of a panel, and between two, px; the name of a panel stands above it."""
LEFT = 60
"""Room for the figures beside the panels, px."""
BEYOND = {"shelves": "too many", "pairs of hands": "from other sections"}
"""What is more than there is, in words."""
TITLE = 24
"""Of the name above a panel, px."""


@dataclass(frozen=True, slots=True)
class Peak:
    """The most of a load in a window: when first, how much of how much."""

    minute: int
    taken: int
    there: int


def peak(load: Load, window: Window) -> Peak | None:
    """Where a load is fullest in a window: first moment of the fewest left; none: never taken."""
    moments = sorted(
        {window.start, *(m for m, _ in (*load.taken, *load.there) if inside(m, window))}
    )
    found = [Peak(m, at(load.taken, m), at(load.there, m)) for m in moments]
    used = (p for p in found if p.taken)
    return max(used, key=lambda p: (p.taken - p.there, p.taken), default=None)


def inside(minute: int, window: Window) -> bool:
    """Does a moment lie in a window?"""
    return window.start <= minute < window.end


def said(names: Names, load: Load, window: Window, of: str, width: float = WIDTH) -> str:
    """What stands above a panel: "Walk-in: tightest Fri 11 Dec 19:00, 47 of 88 shelves"."""
    found = peak(load, window)
    if found is None:
        return f"{short(load.name, 40)}: nothing"
    when = names.moment(found.minute)
    text = f"{short(load.name, 40)}: tightest {when}, {found.taken} of {found.there} {of}"
    beyond = found.taken - found.there
    whole = text + (f": {beyond} {BEYOND[of]}" if beyond > 0 else "")
    bare = f"{short(load.name, 24)}: {found.taken} of {found.there}"
    return whole if wide(whole) * 1.1 < width - LEFT - RIGHT else bare


def loads(
    names: Names, rows: Sequence[Load], window: Window, palette: Palette, of: str, now: int,
    width: float = WIDTH,
) -> go.Figure:  # fmt: skip
    """What is taken of what there is, a panel each.

    Parameters
    ----------
    of : str
        What is counted: "shelves", "pairs of hands".
    now : int
        The present moment, a minute.
    """
    fig = go.Figure()
    ticks: list[tuple[float, str]] = []
    notes = []
    there_too = marks(names, window, now, width - LEFT - RIGHT)
    y = strip(there_too) + TITLE
    for load in rows:
        floor = y + HIGH
        top = max([1, *(n for _, n in (*_cut(load.taken, window), *_cut(load.there, window)))])
        scale = HIGH / top
        notes.append((y - 4, said(names, load, window, of, width)))
        _area(fig, names, load, window, palette, floor, scale, of)
        _limit(fig, names, load.there, window, palette, floor, scale)
        ticks += [(floor, "0"), (floor - top * scale, str(top))]
        y = floor + GAP
    _finish(fig, names, window, palette, y - TITLE, ticks, notes, there_too, width)
    return fig


def ovens(
    names: Names, units: dict[str, tuple[Setting, ...]], window: Window, palette: Palette, now: int,
    width: float = WIDTH,
) -> go.Figure:  # fmt: skip
    """What each unit is set to, a panel each; text on the steps."""
    fig = go.Figure()
    ticks: list[tuple[float, str]] = []
    notes = []
    there_too = marks(names, window, now, width - LEFT - RIGHT)
    y = strip(there_too) + TITLE
    for unit, every in units.items():
        there = [s for s in every if s.start < window.end and s.end > window.start]
        kind = names.scenario.unit[unit][0] if unit in names.scenario.unit else None
        hottest = max([kind.heat.hottest if kind and kind.heat else 1, *(s.celsius for s in there)])
        floor, scale = y + HIGH * 0.7, HIGH * 0.7 / max(1, hottest)
        notes.append((y - 4, short(names.unit(unit), 40) + ("" if there else ": not used")))
        texts = _texts(names, there, window, width - LEFT - RIGHT)
        trace = go.Bar(
            orientation="v", base=[floor] * len(there),
            y=[-s.celsius * scale for s in there],
            x=[_middle(names, s, window) for s in there],
            width=[_long(names, s, window) for s in there],
            text=[text for text, _ in texts], textposition=[where for _, where in texts],
            insidetextanchor="end", textangle=0, constraintext="none",
            insidetextfont={"color": palette.on_bar, "size": SIZE},
            outsidetextfont={"color": palette.ink, "size": SIZE},
            hovertext=[
                f"<b>{untagged(names.unit(unit))}</b><br>{s.celsius} °C {s.mode}<br>"
                f"{names.moment(s.start)} to {names.moment(s.end)}, {names.length(s.end - s.start)}"
                for s in there
            ],
            hoverinfo="text",
            marker={"color": palette.alone, "line": {"color": palette.paper, "width": 1}},
        )  # fmt: skip
        fig.add_trace(trace)
        ticks += [(floor, "off"), (floor - hottest * scale, f"{hottest} °C")]
        y = floor + GAP
    _finish(fig, names, window, palette, y - TITLE, ticks, notes, there_too, width)
    return fig


def _texts(
    names: Names, there: list[Setting], window: Window, room: float
) -> list[tuple[str, str]]:
    """What stands in each bar, or above it where there is room beside its neighbours."""
    spans = [
        (x_of(names, window, max(s.start, window.start), room),
         x_of(names, window, min(s.end, window.end), room))
        for s in there
    ]  # fmt: skip
    found = []
    free = 0.0
    for n, (s, (a, b)) in enumerate(zip(there, spans, strict=True)):
        whole, bare = f"{s.celsius} °C {s.mode}".strip(), f"{s.celsius}°"
        inside_it = cut(whole, b - a - 6)
        long = wide(bare) + 4
        left, right = (a + b - long) / 2, (a + b + long) / 2
        ahead = spans[n + 1][0] if n + 1 < len(spans) else room
        if inside_it == whole or left < free or right > ahead:
            found.append((inside_it if inside_it == whole else "", "inside"))
            free = b
        else:
            found.append((bare, "outside"))
            free = right
    return found


def _middle(names: Names, s: Setting, window: Window) -> str:
    a, b = _walls(names, s, window)
    return (a + (b - a) / 2).isoformat()


def _long(names: Names, s: Setting, window: Window) -> float:
    a, b = _walls(names, s, window)
    return max(300_000.0, (b - a).total_seconds() * 1000)


def _walls(names: Names, s: Setting, window: Window) -> tuple[datetime, datetime]:
    clock = names.scenario.clock
    return wall(clock, max(s.start, window.start)), wall(clock, min(s.end, window.end))


def _cut(steps: Steps, window: Window) -> list[tuple[int, int]]:
    """Steps inside a window, with what there is when it begins."""
    inner = [(m, n) for m, n in steps if inside(m, window) and m != window.start]
    return [(window.start, at(steps, window.start)), *inner]


def _onwards(moments: list[str]) -> list[str]:
    """Moments in order; what lies in autumn's doubled hour a second time stands at its end.

    Otherwise the line would run back through itself. What hovers says which of the two it is.
    """
    return list(accumulate(moments, max))


def _area(
    fig: go.Figure, names: Names, load: Load, window: Window, palette: Palette,
    floor: float, scale: float, of: str,
) -> None:  # fmt: skip
    clock = names.scenario.clock
    x, y, hover = [], [], []
    for minute, many in _cut(load.taken, window):
        there = at(load.there, minute)
        x.append(wall(clock, minute).isoformat())
        y.append(floor - many * scale)
        hover.append(
            f"<b>{untagged(load.name)}</b><br>from {names.moment(minute)}<br>"
            f"{many} of {there} {of}, {max(0, there - many)} free"
        )
    x.append(wall(clock, window.end).isoformat())
    y.append(y[-1])
    hover.append("")
    ground = go.Scatter(
        x=[x[0], x[-1]], y=[floor, floor], mode="lines", line={"width": 0}, hoverinfo="skip",
        showlegend=False,
    )  # fmt: skip
    area = go.Scatter(
        x=_onwards(x), y=y, mode="lines", line={"shape": "hv", "color": palette.ink, "width": 1.5},
        fill="tonexty", fillcolor=palette.waits, hovertext=hover, hoverinfo="text",
        showlegend=False,
    )  # fmt: skip
    fig.add_traces([ground, area])


def _limit(
    fig: go.Figure, names: Names, steps: Steps, window: Window, palette: Palette,
    floor: float, scale: float,
) -> None:  # fmt: skip
    clock = names.scenario.clock
    there = [*_cut(steps, window), (window.end, 0)]
    there[-1] = (window.end, there[-2][1])
    fig.add_trace(
        go.Scatter(
            x=_onwards([wall(clock, m).isoformat() for m, _ in there]),
            y=[floor - n * scale for _, n in there],
            mode="lines", hoverinfo="skip", showlegend=False,
            line={"shape": "hv", "color": palette.now, "width": 2, "dash": "dash"},
        )
    )  # fmt: skip


def _finish(
    fig: go.Figure, names: Names, window: Window, palette: Palette, depth: float,
    ticks: list[tuple[float, str]], notes: list[tuple[float, str]], there: list[Mark],
    width: float,
) -> None:  # fmt: skip
    """Axes, what is behind, and the name of each panel above it."""
    frame(fig, window, palette, depth, LEFT, ticks, [], width)
    behind(fig, names, window, palette, there)
    for y, text in notes:
        fig.add_annotation(
            x=0, xref="paper", y=y, yref="y", xanchor="left", yanchor="bottom", showarrow=False,
            text=untagged(text), font={"size": 13, "color": palette.ink},
            bgcolor=palette.paper, borderpad=1,
        )  # fmt: skip
