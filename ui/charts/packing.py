"""Bars on lines: what overlaps on a row stands on lines of its own, what is too short is joined."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from ui.charts.bars import KINDS, Bar
from ui.charts.rows import Row

MOST = 1000
"""So many bars are drawn at once."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """One bar as it is drawn: a bar, or several of one kind that are too short to be told apart."""

    bars: tuple[Bar, ...]
    start: int
    end: int

    @property
    def kind(self) -> str:
        """Of all of them."""
        return self.bars[0].kind


def joined(bars: Iterable[Bar], grain: int) -> list[Stretch]:
    """Bars shorter than `grain` minutes made one with those of their kind less than that away."""
    found: list[Stretch] = []
    order = sorted(bars, key=lambda b: (list(KINDS).index(b.kind), b.start, b.end))
    for _, same in groupby(order, key=lambda b: b.kind):
        open_: Stretch | None = None
        for bar in same:
            if bar.end - bar.start >= grain:
                found.append(Stretch((bar,), bar.start, bar.end))
            elif open_ is not None and bar.start - open_.end < grain:
                open_ = Stretch((*open_.bars, bar), open_.start, max(open_.end, bar.end))
            else:
                found += [open_] if open_ else []
                open_ = Stretch((bar,), bar.start, bar.end)
        found += [open_] if open_ else []
    return found


def drawn(
    rows: Sequence[Row], grain: int, most: int = MOST
) -> tuple[list[tuple[Row, list[Stretch]]], int]:
    """What is drawn of rows: at most so many bars, joined ever more coarsely until they are.

    Returns
    -------
    list of (Row, list of Stretch), and int
        How many rows at the end are left out, as even one bar of each kind on each would be
        too many.
    """
    coarsest = 2 * max((b.end for r in rows for b in r.bars), default=0) + 1
    while True:
        found = [(row, joined(row.bars, grain)) for row in rows]
        if sum(len(s) for _, s in found) <= most:
            return found, 0
        if grain > coarsest:
            break
        grain = max(5, 2 * grain)
    kept: list[tuple[Row, list[Stretch]]] = []
    for row, stretches in found:
        most -= len(stretches)
        if most < 0:
            break
        kept.append((row, stretches))
    return kept, len(rows) - len(kept)


def lines(spans: Iterable[tuple[float, float]]) -> list[int]:
    """The line of each span, from 0: the first one that is free, taken in order of start.

    Parameters
    ----------
    spans : iterable of (float, float)
        From and to; half-open, so that one may begin where another ends.
    """
    spans = list(spans)
    free: list[float] = []
    found = [0] * len(spans)
    for at in sorted(range(len(spans)), key=lambda i: spans[i]):
        start, end = spans[at]
        line = next((n for n, until in enumerate(free) if until <= start), len(free))
        if line == len(free):
            free.append(end)
        else:
            free[line] = end
        found[at] = line
    return found
