"""A plan in pencil: what is taken of every machine, shelf and pair of hands, tick by tick.

Written for the bench alone and on the primitives alone, so that neither the
planted weeks nor the rule that stands beside the engine change when the
engine does.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scheduler.workload.primitives import (
    HORIZON_END,
    HORIZON_START,
    Line,
    Option,
    Placed,
    Point,
    Problem,
    Solution,
    VisitUse,
)

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


def next_blocked(blocked: Bools) -> Ints:
    """For every tick, and the end, the first blocked tick at or after it."""
    n = len(blocked)
    out = np.empty(n + 1, dtype=np.int64)
    out[n] = n
    out[:n] = np.where(blocked, np.arange(n), n)
    np.minimum.accumulate(out[::-1], out=out[::-1])
    return out


@dataclass(slots=True)
class Mark:
    """How much was pencilled in at some moment: what to go back to."""

    stays: int
    hands: int
    times: int
    chosen: int
    found: int


@dataclass(slots=True)
class Pencil:
    """What is placed, and how much of everything may be used.

    Attributes
    ----------
    taken, there, opened : array of bool, person x tick
        At a visit; could be on shift; is on shift.
    used : array of int, resource x tick
    most, capacity : array of int
        Places of each resource that there could be, and that there are.
    wide : bool
        Count on everybody and everything there could be.
    """

    problem: Problem
    taken: Bools = field(init=False)
    there: Bools = field(init=False)
    opened: Bools = field(init=False)
    used: NDArray[np.int32] = field(init=False)
    most: Ints = field(init=False)
    capacity: Ints = field(init=False)
    wide: bool = False
    times: dict[int, tuple[int, int]] = field(default_factory=dict)
    chosen: dict[int, int] = field(default_factory=dict)
    crews: dict[int, tuple[int, ...]] = field(default_factory=dict)
    tends: dict[int, tuple[Placed, ...]] = field(default_factory=dict)
    adds: dict[int, Placed] = field(default_factory=dict)
    states: list[list[tuple[int, int, int]]] = field(init=False)
    _stays: list[tuple[int, int, int, int, bool]] = field(default_factory=list)
    _hands: list[tuple[int, int, int]] = field(default_factory=list)
    _order: list[tuple[dict[int, Any], int]] = field(default_factory=list)
    _until: dict[int, Ints] = field(default_factory=dict)
    _until_wide: bool = False

    def __post_init__(self) -> None:
        problem = self.problem
        shape = (len(problem.people), problem.horizon)
        self.taken = np.zeros(shape, dtype=bool)
        self.there = np.zeros(shape, dtype=bool)
        for p, (_, spans) in enumerate(problem.people):
            for a, b in spans:
                self.there[p, a:b] = True
        self.opened = self.there.copy()
        self.used = np.zeros((len(problem.resources), problem.horizon), dtype=np.int32)
        self.most = np.array([r.capacity for r in problem.resources], dtype=np.int64)
        self.capacity = self.most.copy()
        self.states = [[] for _ in problem.resources]

    # -- reading ---------------------------------------------------------------

    def moment(self, point: Point) -> int | None:
        """The tick of an endpoint, or None where its task has no place yet."""
        if point.task == HORIZON_START:
            return 0
        if point.task == HORIZON_END:
            return self.problem.horizon
        times = self.times.get(point.task)
        return None if times is None else times[1 if point.end else 0]

    def room(self, resource: int) -> int:
        """Places of a resource that may be used."""
        return int(self.most[resource] if self.wide else self.capacity[resource])

    def free_until(self, person: int) -> Ints:
        """For every tick up to when a person is free from it on."""
        if self._until_wide != self.wide:
            self._until.clear()
            self._until_wide = self.wide
        known = self._until.get(person)
        if known is None:
            on = self.there if self.wide else self.opened
            known = self._until[person] = next_blocked(self.taken[person] | ~on[person])
        return known

    def manned_until(self, lines: tuple[Line, ...]) -> Ints:
        """For every tick up to when each of the lines has enough people from it on."""
        until: Ints | None = None
        for line in lines:
            rows = np.stack([self.free_until(p) for p in line.people])
            k = len(line.people) - line.count
            latest = rows.max(axis=0) if line.count == 1 else np.partition(rows, k, axis=0)[k]
            until = latest if until is None else np.minimum(until, latest)
        assert until is not None
        return until

    def open_until(self, option: Option, amount: int) -> Ints:
        """For every tick up to when so much of a resource in that state is free."""
        r = option.resource
        blocked: Bools = self.used[r] > self.room(r) - amount
        resource = self.problem.resources[r]
        if resource.setup is not None and option.state is not None:
            state = option.state
            if resource.initial:
                blocked[: resource.initial[state]] = True
            for a, b, other in self.states[r]:
                if other != state:
                    first = max(0, a - resource.setup[state][other])
                    blocked[first : b + resource.setup[other][state]] = True
        return next_blocked(blocked)

    def fits(self, option: Option, amount: int, start: int, end: int) -> bool:
        """Is so much free from start to end, in that state?"""
        r = option.resource
        if bool((self.used[r, start:end] > self.room(r) - amount).any()):
            return False
        resource = self.problem.resources[r]
        if resource.setup is None or option.state is None:
            return True
        if resource.initial and start < resource.initial[option.state]:
            return False
        return not any(
            other != option.state
            and start < b + resource.setup[other][option.state]
            and end > a - resource.setup[option.state][other]
            for a, b, other in self.states[r]
        )

    # -- writing ---------------------------------------------------------------

    def mark(self) -> Mark:
        """Remember how far the plan has come."""
        return Mark(
            len(self._stays), len(self._hands), len(self.times), len(self.chosen), len(self._order)
        )

    def back(self, mark: Mark) -> None:
        """Rub out everything since a mark."""
        for r, start, end, amount, stated in self._stays[mark.stays :]:
            self.used[r, start:end] -= amount
            if stated:
                self.states[r].pop()
        del self._stays[mark.stays :]
        for p, start, end in self._hands[mark.hands :]:
            self.taken[p, start:end] = False
            self._until.pop(p, None)
        del self._hands[mark.hands :]
        for held, key in self._order[mark.found :]:
            del held[key]
        del self._order[mark.found :]
        for known, count in ((self.times, mark.times), (self.chosen, mark.chosen)):
            while len(known) > count:
                known.popitem()

    def stay(self, option: Option, amount: int, start: int, end: int) -> None:
        """Take places of a resource."""
        self.used[option.resource, start:end] += amount
        stated = option.state is not None and end > start
        if stated and option.state is not None:
            self.states[option.resource].append((start, end, option.state))
        self._stays.append((option.resource, start, end, amount, stated))

    def visit(self, uses: tuple[VisitUse, ...], start: int, end: int) -> None:
        """Take what a visit takes."""
        for use in uses:
            self.stay(Option(use.resource), use.amount, start, end)

    def work(self, people: tuple[int, ...], start: int, end: int) -> None:
        """Take people."""
        for p in people:
            self.taken[p, start:end] = True
            self._until.pop(p, None)
            self._hands.append((p, start, end))

    def hold(self, held: dict[int, Any], key: int, value: Any) -> None:
        """Note who does something, so that `back` can rub it out."""
        held[key] = value
        self._order.append((held, key))

    def hands_since(self, hands: int) -> list[tuple[int, int, int]]:
        """Whose hands were taken since so many had been: person, start, end."""
        return self._hands[hands:]

    def stays_since(self, stays: int) -> list[tuple[int, int, int, int, bool]]:
        """What was taken since so much had been: resource, start, end, places, in a state."""
        return self._stays[stays:]

    def on_shift(self, person: int, start: int, end: int) -> None:
        """Open part of somebody's time."""
        self.opened[person, start:end] = self.there[person, start:end]
        self._until.pop(person, None)

    def solution(self) -> Solution:
        """What is pencilled in."""
        return Solution(
            dict(self.times), dict(self.chosen), dict(self.crews), dict(self.tends),
            dict(self.adds),
        )
