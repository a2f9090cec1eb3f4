"""Sweeping over time: where more is taken than there is."""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush


@dataclass(frozen=True, slots=True)
class Span:
    """So much taken from one minute to another, by somebody."""

    start: int
    end: int
    amount: int
    who: str


@dataclass(frozen=True, slots=True)
class Overfull:
    """A stretch in which more is taken than there is.

    Attributes
    ----------
    start, end : int
        Minutes.
    most : int
        Taken at its worst.
    who : tuple of str
        Who takes it then.
    """

    start: int
    end: int
    most: int
    who: tuple[str, ...]


def overfull(spans: list[Span], capacity: int) -> list[Overfull]:
    """Every stretch in which spans that overlap come to more than `capacity`.

    Half-open: what ends when another starts does not overlap it, and what
    lasts no time takes nothing.
    """
    found: list[Overfull] = []
    running: list[tuple[int, int]] = []
    spans = sorted((s for s in spans if s.start < s.end), key=lambda s: (s.start, s.end))
    taken, opened, worst, who = 0, None, 0, tuple[str, ...]()
    for i, span in enumerate(spans):
        while running and running[0][0] <= span.start:
            end, j = heappop(running)
            taken -= spans[j].amount
            if opened is not None and taken <= capacity:
                found.append(Overfull(opened, end, worst, who))
                opened = None
        heappush(running, (span.end, i))
        taken += span.amount
        if taken > capacity and (opened is None or taken > worst):
            opened = span.start if opened is None else opened
            worst, who = taken, tuple(spans[j].who for _, j in running)
    while opened is not None and running:
        end, j = heappop(running)
        taken -= spans[j].amount
        if taken <= capacity or not running:
            found.append(Overfull(opened, end, worst, who))
            opened = None
    return found


def names(who: tuple[str, ...], most: int = 4) -> str:
    """Who it is, in few words."""
    unique = list(dict.fromkeys(who))
    more = f" and {len(unique) - most} more" if len(unique) > most else ""
    return ", ".join(unique[:most]) + more
