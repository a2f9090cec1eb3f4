"""Whether standing duties can be staffed at all: their times are fixed, so it shows beforehand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.workload.words import span

if TYPE_CHECKING:
    from scheduler.workload.builder import Builder


@dataclass(frozen=True, slots=True)
class Block:
    """A stretch in which a standing duty takes people.

    Attributes
    ----------
    name : str
        Its id in the plan.
    start, end : int
        Ticks.
    people : tuple of int
        Who may do it.
    count : int
        How many it takes.
    leaving, pausing : bool
        Its cooks may step away from it; and for their breaks.
    """

    name: str
    start: int
    end: int
    people: tuple[int, ...]
    count: int
    leaving: bool = False
    pausing: bool = False


def staffed(b: Builder, blocks: Sequence[Block]) -> None:
    """Complain of every duty for which too few are there, alone or beside others.

    A duty that may be left may be beside a short one of the same people.

    At the start of each duty the duties that run then need distinct people;
    a matching (augmenting paths) tells whether there are enough.
    """
    there = _there(b, blocks, 0)
    for block, here in zip(blocks, there, strict=True):
        words, duty = span(b.scenario, block.start * b.grid, block.end * b.grid), _duty(block.name)
        if len(here.people) < block.count:
            b.complaints.add(
                f"duty {duty}",
                f"takes {block.count} {words}; of those who may do it {len(here.people)} are there "
                "all the time, breaks apart",
                "'may_leave: {breaks: true}', or another stretch for a break",
            )
            continue
        beside = _beside(there, block.start)
        short = _unmatched(beside)
        if short is not None:
            others = ", ".join(_duty(one.name) for one in beside)
            b.complaints.add(
                f"duty {_duty(short)}",
                f"takes people {words} that are all needed at once: {others}",
            )


def manned(b: Builder, blocks: Sequence[Block], now: int) -> dict[str, int]:
    """How many each duty gets at most where nobody else can be had: in the middle of a week.

    Each moment by itself: for all of them together it may still be too many.

    Parameters
    ----------
    now : int
        The tick it is.
    """
    there = [replace(x, count=min(x.count, len(x.people))) for x in _there(b, blocks, now)]
    for one in there:
        while (short := _unmatched(_beside(there, one.start))) is not None:
            there = [replace(x, count=x.count - (x.name == short)) for x in there]
    return {x.name: x.count for x in there}


def _there(b: Builder, blocks: Sequence[Block], now: int) -> list[Block]:
    """With those only who are there all through it, and whose break has room beside it."""
    working, pausing = (
        [b.calendar.longer(p, there) for p, there in enumerate(hours)]
        for hours in (b.calendar.working, b.calendar.people)
    )

    def able(block: Block, p: int) -> bool:
        hours = pausing[p] if block.pausing else working[p]
        return any(a <= block.start and block.end <= z for a, z in hours) and (
            block.pausing or not _rests(b, p, block.start, block.end, now)
        )

    return [replace(x, people=tuple(p for p in x.people if able(x, p))) for x in blocks]


def _duty(name: str) -> str:
    return name.partition("/")[0]


def _beside(blocks: Sequence[Block], start: int) -> list[Block]:
    """What runs at a moment and may not be left, as far as each by itself has its people."""
    return [
        x for x in blocks
        if x.start <= start < x.end and len(x.people) >= x.count and not x.leaving
    ]  # fmt: skip


def _rests(b: Builder, person: int, start: int, end: int, now: int) -> bool:
    """Has somebody a break that moves, and room for it neither before nor after?"""
    return any(
        min(start, x.latest) - max(x.earliest, now) < x.length
        and x.latest - max(end, x.earliest) < x.length
        for x in b.calendar.floating
        if x.person == person and x.latest - now >= x.length
    )


def _unmatched(blocks: Sequence[Block]) -> str | None:
    """A duty that gets too few people when all of these run at once."""
    seats = [(x.name, x.people) for x in blocks for _ in range(x.count)]
    holder: dict[int, int] = {}

    def seat(i: int, seen: set[int]) -> bool:
        for p in seats[i][1]:
            if p in seen:
                continue
            seen.add(p)
            if p not in holder or seat(holder[p], seen):
                holder[p] = i
                return True
        return False

    return next((name for i, (name, _) in enumerate(seats) if not seat(i, set())), None)
