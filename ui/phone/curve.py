"""Temperatures over time as a drawing: readings joined by a line, limits dashed, all in words."""

from __future__ import annotations

from fractions import Fraction

from scheduler.domain.celsius import write_celsius
from scheduler.outputs.log import Curve
from scheduler.plan.words import Names
from ui.forms import shown

WIDTH, HEIGHT = 420, 300
_LEFT, _RIGHT, _TOP, _BOTTOM = 8, 12, 20, 40
_WIDE = 0.85
"""So far to the right a reading is written to the left of its mark."""
_ROOM = Fraction(5)
"""°C above and below."""


def drawn(names: Names, curve: Curve) -> str:
    """An SVG; what colour says it also says by shape and in text."""
    every = [m for m, _ in (*curve.points, *curve.limits)] + [curve.begins]
    warm = [t for _, t in (*curve.points, *curve.limits)]
    warm += [curve.least] if curve.least is not None else []
    first, last = min(every), max(*every, min(every) + 1)
    low, high = min(warm) - _ROOM, max(warm) + _ROOM

    def x(minute: int) -> str:
        return f"{_LEFT + (WIDTH - _LEFT - _RIGHT) * (minute - first) / (last - first):.1f}"

    def y(celsius: Fraction) -> str:
        return f"{_TOP + (HEIGHT - _TOP - _BOTTOM) * float((high - celsius) / (high - low)):.1f}"

    parts = [
        f'<line x1="{_LEFT}" y1="{_TOP}" x2="{_LEFT}" y2="{HEIGHT - _BOTTOM}" class="axis"/>'
        f'<line x1="{_LEFT}" y1="{HEIGHT - _BOTTOM}" x2="{WIDTH - _RIGHT}" '
        f'y2="{HEIGHT - _BOTTOM}" class="axis"/>'
    ]
    for minute in (first, (first + last) // 2, last):
        anchor = "start" if minute == first else "end" if minute == last else "middle"
        parts.append(
            f'<text x="{x(minute)}" y="{HEIGHT - _BOTTOM + 20}" text-anchor="{anchor}">'
            f"{shown(names.clock(minute))}</text>"
        )
    for minute, celsius in curve.limits:
        # It must be below from then on; before, nothing is said.
        parts.append(
            f'<polyline points="{x(minute)},{_TOP} {x(minute)},{y(celsius)} '
            f'{WIDTH - _RIGHT},{y(celsius)}" class="limit"/>'
            f'<text x="{_LEFT + 4}" y="{y(celsius)}" dy="-4">{shown(write_celsius(celsius))} by '
            f"{shown(names.clock(minute))}</text>"
        )
    if curve.least is not None:
        parts.append(
            f'<line x1="{_LEFT}" y1="{y(curve.least)}" x2="{WIDTH - _RIGHT}" y2="{y(curve.least)}" '
            f'class="limit"/><text x="{_LEFT + 4}" y="{y(curve.least)}" dy="-4">at least '
            f"{shown(write_celsius(curve.least))}</text>"
        )
    line = " ".join(f"{x(m)},{y(t)}" for m, t in curve.points)
    parts.append(f'<polyline points="{line}" class="read"/>')
    for minute, celsius in curve.points:
        value = write_celsius(Fraction(round(celsius * 10), 10))
        side = 'dx="8"' if float(x(minute)) < WIDTH * _WIDE else 'dx="-8" text-anchor="end"'
        parts.append(
            f'<circle cx="{x(minute)}" cy="{y(celsius)}" r="5"/><text x="{x(minute)}" '
            f'y="{y(celsius)}" {side} dy="-6">{shown(value)}</text>'
        )
    title = shown(curve.title, 200)
    return (
        f'<figure><figcaption>{title}</figcaption><svg viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-label="Temperatures of {title}; the table says the same.">{"".join(parts)}</svg>'
        "</figure>"
    )
