"""The kitchen bench's table, ready for the developers' page."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

NONE = 60
"""Weighted minutes: a smaller difference counts as none."""
MARKS = (10, 30, 60)


class Planned(Protocol):
    """One run as the table needs it."""

    result: dict[str, object]
    megabytes: float

    def at(self, second: float) -> int | None:
        """Quality once everybody is served."""

    @property
    def end(self) -> tuple[int, int, int] | None:
        """Portions short, batches left out, quality."""


@dataclass(slots=True)
class Row:
    """All weeks of one size and kind."""

    size: int
    kind: str
    visits: list[int]
    best: list[int]
    runs: dict[str, list[Planned]]


def table(rows: Sequence[Row], seconds: float) -> str:
    """A table in Markdown: medians over the weeks, and the least and most in brackets.

    "over" is quality over the best known of the week, "over the bound" over what no plan of the
    week can be better than; "n of 3": so many weeks
    are VALID and SERVED, and only they count.
    """
    marks = [m for m in MARKS if m <= seconds]
    head = ["visits", "kind", "first plan", "served", "from start", "weeks served"]
    head += [f"over after {m} s" for m in marks] + ["over the bound, end", "MB"]
    head += ["model: served", "model: over, end", "rule: served", "rule: portions short"]
    lines = ["| " + " | ".join(head) + " |", "|" + " --- |" * len(head)]
    lines += ["| " + " | ".join(_cells(row, marks)) + " |" for row in rows]
    return "\n".join(lines)


def _cells(row: Row, marks: Sequence[int]) -> list[str]:
    engine = row.runs.get("engine", [])
    model, rule = row.runs.get("model", []), row.runs.get("rule", [])
    start = [
        _number(r.result["served"]) + _number(r.result["start"])
        for r in engine
        if r.result["served"] is not None
    ]
    cells = [
        f"{round(statistics.median(row.visits))}", row.kind,
        _spread([_number(r.result["first"]) for r in engine if r.result["first"] is not None]),
        _spread([_number(r.result["served"]) for r in engine if r.result["served"] is not None]),
        _spread(start), _served(engine),
    ]  # fmt: skip
    cells += [_over(engine, row.best, m) for m in marks]
    ends = [(r.at(1e9), r.result["bound"]) for r in engine]
    sure = [over(q, b) for q, b in ends if q is not None and isinstance(b, int)]
    cells.append(_spread(sure, " %", 1))
    cells.append(f"{max((r.megabytes for r in engine), default=0):.0f}")
    short = [float(r.end[0]) for r in rule if r.end is not None]
    cells += [_served(model), _over(model, row.best, 1e9), _served(rule), _spread(short, "", 0)]
    return cells


def _number(x: object) -> float:
    assert isinstance(x, (int, float))
    return float(x)


def _served(runs: Sequence[Planned]) -> str:
    done = sum(r.result["served"] is not None for r in runs)
    return f"{done} of {len(runs)}" if runs else "-"


def over(quality: int, best: int) -> float:
    """Per cent over the best known (under it: better); 0 where the difference counts as none."""
    if abs(quality - best) < NONE:
        return 0.0
    return 100 * (quality - best) / max(1, best)


def _over(runs: Sequence[Planned], best: Sequence[int], second: float) -> str:
    found = [
        over(q, b) for r, b in zip(runs, best, strict=False) if (q := r.at(second)) is not None
    ]
    return _spread(found, " %", 1)


def _spread(values: Sequence[float], unit: str = " s", digits: int = 2) -> str:
    if not values:
        return "-"
    middle = f"{statistics.median(values):.{digits}f}{unit}"
    if len(values) == 1:
        return middle
    return f"{middle} ({min(values):.{digits}f} to {max(values):.{digits}f})"
