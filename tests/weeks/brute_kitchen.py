"""Who is there when and how much room there is, for the brute-force search of tiny weeks.

What a batch takes of everybody and everything is packed into one whole
number, 16 bits for each person, unit or store and each point of the grid, so
that "do these fit together" is one addition.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil

from scheduler.domain.kitchen import Equipment
from scheduler.domain.scenario import Scenario

BITS = 16


@dataclass(frozen=True)
class Heated:
    """A stretch of an oven at one setting."""

    unit: str
    start: int
    end: int
    mode: str
    celsius: int


@dataclass
class Kitchen:
    """Who is there when, and how much room there is."""

    scenario: Scenario
    grid: int = field(init=False)
    shifts: dict[str, list[tuple[int, int]]] = field(init=False)
    room: dict[str, int] = field(init=False)
    place: dict[str, int] = field(init=False)

    def __post_init__(self) -> None:
        kitchen, clock = self.scenario.kitchen, self.scenario.clock
        self.grid, self.ticks = kitchen.grid, clock.horizon // kitchen.grid + 1
        self.shifts = {}
        for person in kitchen.people:
            there: list[tuple[int, int]] = []
            for day in clock.days():
                for shift in person.shifts:
                    if day not in person.off and any(day in d for d in shift.days):
                        at = clock.span(day, shift.hours)[0]
                        for rest in sorted(clock.span(day, b) for b in shift.breaks):
                            there.append((at, rest[0]))
                            at = rest[1]
                        there.append((at, clock.span(day, shift.hours)[1]))
            self.shifts[person.id] = _joined(there)
        whole = [clock.span(d, s.hours) for p in kitchen.people for d in clock.days()
                 for s in p.shifts if d not in p.off and any(d in x for x in s.days)]  # fmt: skip
        self.manned = _joined(whole)
        self.room = {p.id: 1 for p in kitchen.people}
        for kind in kitchen.equipment:
            if counted(kind):
                self.room[kind.id] = len(kind.each)
            else:
                self.room |= {u.id: u.capacity or 1 for u in kind.each}
        self.room |= {s.id: s.shelves for s in kitchen.stores}
        self.place = {key: i for i, key in enumerate(self.room)}
        one = sum(1 << BITS * t for t in range(self.ticks))
        self.flags = self.spare = 0
        for key, i in self.place.items():
            shift = BITS * self.ticks * i
            self.flags |= (one << (BITS - 1)) << shift
            self.spare |= (one * ((1 << BITS - 1) - 1 - self.room[key])) << shift

    def bits(self, key: str, amount: int, start: int, end: int) -> int:
        """So much of something from one minute to another, packed."""
        first, last = start // self.grid, -(-end // self.grid)
        ticks = sum(1 << BITS * t for t in range(first, last))
        return amount * ticks << BITS * self.ticks * self.place[key]

    def fits(self, load: int) -> bool:
        """Is there room for it all?"""
        return not (load + self.spare) & self.flags

    def free(self, person: str, start: int, end: int) -> bool:
        """Is somebody there all the time?"""
        return any(a <= start and end <= b for a, b in self.shifts[person])


def _joined(stretches: list[tuple[int, int]]) -> list[tuple[int, int]]:
    out: list[tuple[int, int]] = []
    for start, end in sorted(s for s in stretches if s[0] < s[1]):
        if out and start <= out[-1][1]:
            out[-1] = (out[-1][0], max(end, out[-1][1]))
        else:
            out.append((start, end))
    return out


def counted(kind: Equipment) -> bool:
    """Several of a kind that are all alike and take one thing at a time."""
    return isinstance(kind.units, int) and kind.units > 1 and (
        kind.capacity == 1 and kind.heat is None and kind.fill is None
    )


def agree(kitchen: Kitchen, one: Heated, other: Heated) -> bool:
    """May two stretches be in one oven: together at one setting, or far enough apart?"""
    if one.unit != other.unit:
        return True
    first, second = sorted((one, other), key=lambda h: h.start)
    if second.start < first.end:
        return (one.mode, one.celsius) == (other.mode, other.celsius)
    heat = kitchen.scenario.unit[one.unit][0].heat
    assert heat is not None
    gap = second.start - first.end
    change = second.celsius - first.celsius
    needs = ceil(change / heat.up if change > 0 else -change / heat.down)
    return gap >= needs or gap > heat.goes_cold_after
