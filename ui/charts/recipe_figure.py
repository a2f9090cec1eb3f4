"""The figure of a recipe over time."""

from __future__ import annotations

from typing import Any

import plotly.graph_objects as go

from scheduler.domain.times import write_duration
from ui.charts.recipe import Kind, Row, Timeline
from ui.palette import Palette
from ui.wording import untagged

NAMES: dict[Kind, str] = {
    "hands": "hands", "alone": "by itself", "stretch": "may take longer",
    "must": "has to wait", "wait": "may wait",
}  # fmt: skip
PATTERNS: dict[Kind, str] = {"hands": "", "alone": "/", "stretch": "-", "must": "x", "wait": ""}
STEPS = (15, 30, 60, 120, 240, 360, 720, 1440, 2880, 4320, 10080, 20160, 43200)
"""How far apart ticks may stand, minutes."""
MOST_TICKS = 6
LONGEST_NAME = 48
ROW = 68
"""Two lines of text and a bar, px."""


def figure(line: Timeline, palette: Palette) -> go.Figure:
    """Draw a recipe: a row for each step, time to the right, service as a line.

    Returns
    -------
    go.Figure
    """
    fig = go.Figure()
    for kind in NAMES:
        rows = enumerate(line.rows)
        there = [(y, bar) for y, row in rows for bar in row.bars if bar.kind == kind]
        if not there:
            continue
        fig.add_bar(
            orientation="h",
            name=NAMES[kind],
            base=[bar.start for _, bar in there],
            x=[max(bar.end - bar.start, line.end / 400) for _, bar in there],
            y=[y for y, _ in there],
            width=0.3 if kind in ("hands", "alone") else 0.18,
            marker=_marker(kind, palette),
            customdata=[
                [untagged(line.rows[y].name), write_duration(bar.end - bar.start)]
                for y, bar in there
            ],
            hovertemplate=f"%{{customdata[0]}}<br>{NAMES[kind]}: %{{customdata[1]}}<extra></extra>",
        )
    for y, row in enumerate(line.rows):
        fig.add_annotation(_words(y, row, palette))
    _frame(fig, line, palette)
    return fig


def _marker(kind: Kind, palette: Palette) -> dict[str, Any]:
    colour = {"hands": palette.hands, "alone": palette.alone}.get(kind, palette.waits)
    return {
        "color": colour,
        "line": {"color": palette.line, "width": 1},
        "pattern": {
            "shape": PATTERNS[kind], "fillmode": "overlay", "size": 7, "solidity": 0.25,
            "fgcolor": palette.on_bar if kind == "alone" else palette.line,
        },
    }  # fmt: skip


def _words(y: int, row: Row, palette: Palette) -> dict[str, Any]:
    """What a row is called and says, above its bars: there is room there however narrow it is."""
    mark = "✗ " if row.wrong else ""
    return {
        "x": 0, "xref": "paper", "xanchor": "left", "y": y - 0.17, "yanchor": "bottom",
        "showarrow": False, "align": "left",
        "text": f"<b>{untagged(row.name, LONGEST_NAME)}</b><br>{mark}{untagged(row.says, 90)}",
        "font": {"size": 12, "color": palette.ink},
    }  # fmt: skip


def _frame(fig: go.Figure, line: Timeline, palette: Palette) -> None:
    apart = next((s for s in STEPS if line.end / s <= MOST_TICKS), STEPS[-1])
    before = range(line.service % apart, line.service + 1, apart)
    behind = range(line.service + apart, line.end + 1, apart)
    ticks = [*before, *behind]
    says = [
        "service" if t == line.service
        else f"{'-' if t < line.service else '+'}{write_duration(abs(line.service - t))}"
        for t in ticks
    ]
    fig.add_shape(
        type="line", x0=line.service, x1=line.service, y0=0, y1=1, yref="paper", layer="below",
        line={"color": palette.now, "width": 2},
    )
    fig.update_layout(
        barmode="overlay",
        height=80 + ROW * len(line.rows),
        margin={"l": 8, "r": 8, "t": 34, "b": 30},
        paper_bgcolor=palette.paper,
        plot_bgcolor=palette.paper,
        font={"color": palette.ink, "size": 12},
        dragmode=False,
        hovermode="closest",
        legend={"orientation": "h", "x": 0, "y": 1.0, "yanchor": "bottom", "itemclick": False,
                "itemdoubleclick": False},
        xaxis={"range": [-line.end * 0.01, line.end * 1.02], "tickvals": ticks, "ticktext": says,
               "gridcolor": palette.raised, "tickangle": 0, "zeroline": False, "fixedrange": True},
        yaxis={"range": [len(line.rows) - 0.7, -0.95], "showticklabels": False,
               "fixedrange": True, "showgrid": False, "zeroline": False},
    )  # fmt: skip
