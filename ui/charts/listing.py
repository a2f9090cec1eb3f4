"""The chart in words: a line for each bar, for the keyboard, for a phone, to copy."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.plan.words import Names
from ui.charts.bars import KINDS
from ui.charts.rows import Row
from ui.charts.window import Window
from ui.wording import short


@dataclass(frozen=True, slots=True)
class Line:
    """One bar in words; `task` is the job that it opens."""

    start: str
    what: str
    end: str
    more: str
    who: str
    row: str
    kind: str
    task: str


def listed(names: Names, rows: Iterable[Row], window: Window) -> list[Line]:
    """Everything that stands on rows in a window: what begins in it, then what goes on in it."""
    found = []
    for row in rows:
        for bar in row.bars:
            if bar.start >= window.end or bar.end <= window.start:
                continue
            same_day = names.local(bar.start).date() == names.local(bar.end).date()
            line = Line(
                names.moment(bar.start), short(bar.name),
                names.clock(bar.end) if same_day else names.moment(bar.end),
                short("; ".join(bar.says), 240),
                ", ".join(short(names.person(p)) for p in bar.people), short(row.label),
                KINDS[bar.kind], bar.task,
            )  # fmt: skip
            found.append((bar.start < window.start, bar.start, bar.end, line))
    return [line for *_, line in sorted(found, key=lambda x: x[:3])]
