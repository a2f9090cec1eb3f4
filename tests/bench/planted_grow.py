"""Planting: batch by batch into a kitchen that is empty at first and grows where it must.

A batch goes where those who are on shift and the machines that are there can
take it; only where that finds no place, or only a bad one, somebody else's
shift is opened or another machine set up. What has grown in the end is about
what the plan needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import numpy as np

from scheduler.workload.primitives import Problem
from tests.bench.pencil import Pencil
from tests.bench.pencil_in import PencilIn, Wanted
from tests.bench.pencil_touch import Touch

TRIES = 6
"""Places tried for each block of steps when what comes before it does not fit."""
TOGETHER = 24
"""Ticks: steps with a wait of at most so long between them are placed as one."""
A_SHIFT = 12
"""Ticks: pieces of somebody's time nearer to each other belong to one shift."""


def latest_starts(problem: Problem, touch: Touch) -> list[int]:
    """For each batch the latest start that links to what follows allow, shifts left out."""
    start = [t.latest - t.least for t in problem.tasks]
    for _ in range(200):
        changed = False
        for t in range(len(start) - 1, -1, -1):
            for link in touch.links[t]:
                if link.before.task != t or link.least is None or link.after.task < 0:
                    continue
                after = start[link.after.task]
                if link.after.end:
                    after += problem.tasks[link.after.task].least
                limit = after - link.least - (problem.tasks[t].least if link.before.end else 0)
                if limit < start[t]:
                    start[t], changed = limit, True
        if not changed:
            break
    return [min((start[t] for t in b.tasks), default=0) for b in problem.batches]


def in_order(problem: Problem, touch: Touch) -> list[int]:
    """What is not fixed: latest start last, consumers before what feeds them; all as by hand.

    "Latest start first" backwards in time: what is needed last is pencilled in first.
    """
    late = latest_starts(problem, touch)
    consumers = touch.consumers(problem)
    feeds: list[list[int]] = [[] for _ in problem.batches]
    waits = [0] * len(problem.batches)
    for b, after in enumerate(consumers):
        live = [c for c in after if not problem.batches[c].fixed]
        waits[b] = len(live)
        for c in live:
            feeds[c].append(b)
    ready = {b for b, x in enumerate(problem.batches) if not x.fixed and not waits[b]}
    order: list[int] = []
    while ready:
        b = max(ready, key=lambda b: (late[b], -b))
        ready.remove(b)
        order.append(b)
        for f in feeds[b]:
            waits[f] -= 1
            if not waits[f] and not problem.batches[f].fixed:
                ready.add(f)
    return order


WORTH = 30
"""Ticks: for two and a half hours of work somebody comes in."""


class Grown:
    """A hidden plan and the kitchen that has grown around it.

    Attributes
    ----------
    pencil : Pencil
    lost : list of int
        Batches that found no place in any kitchen.
    """

    def __init__(
        self, problem: Problem, touch: Touch, rng: Random, tight: bool, before: Grown | None = None
    ) -> None:
        self.problem, self.rng, self.tight = problem, rng, tight
        self.touch = touch
        self.pencil = Pencil(problem)
        self.pencil.opened[:] = False
        self.grows = np.array([not r.id.startswith(STORES) for r in problem.resources])
        self.pencil.capacity[self.grows] = 0
        self.hand = PencilIn(self.pencil, self.touch)
        self.lost: list[int] = []
        self.worked = np.zeros(len(problem.people), dtype=np.int64)
        if before is not None:
            self._keep(before)

    def _keep(self, before: Grown) -> None:
        """Begin with the shifts of an earlier planting that were worth coming in for."""
        for p, (_, spans) in enumerate(self.problem.people):
            for pieces in shifts_of(spans):
                a, b = pieces[0][0], pieces[-1][1]
                if int(before.pencil.taken[p, a:b].sum()) >= WORTH:
                    self.worked[p] += 1
                    for start, end in pieces:
                        self.pencil.on_shift(p, start, end)

    def run(self) -> None:
        """Plant everything."""
        problem = self.problem
        for b, batch in enumerate(problem.batches):
            if batch.fixed and not self._put(b, ((False, False), (True, False))):
                self.lost.append(b)
        for b in in_order(problem, self.touch):
            if not self._put(b, self._moods()):
                self.lost.append(b)

    @property
    def key(self) -> tuple[int, int]:
        """Which of several plantings is better: nothing lost, then fewer hours on shift."""
        return len(self.lost), int(self.pencil.opened.sum())

    def _moods(self) -> Sequence[tuple[bool, bool]]:
        """What is tried in turn: (count on everybody, only in best bands)."""
        if self.tight and self.rng.random() < 0.85:
            return ((False, True), (False, False), (True, True), (True, False))
        return ((False, True), (True, True), (True, False))

    def _put(self, b: int, moods: Sequence[tuple[bool, bool]]) -> bool:
        for wide, banded in moods:
            self.pencil.wide = wide
            mark = self.pencil.mark()
            tries = TRIES if wide else TRIES // 2
            if self.hand.place(b, Wanted(self._pick, self._aim, banded, tries)):
                self._open(mark.hands, mark.stays)
                self.pencil.wide = False
                return True
        self.pencil.wide = False
        return False

    def _aim(self, first: int, last: int) -> int:
        """Late in the band, but not always at its end: everything at once is no plan."""
        reach = min(last - first, 72)
        return last - int(reach * self.rng.random() ** 2)

    def _pick(self, person: int, start: int, end: int) -> tuple[float, ...]:
        """Those on shift first, the busiest of them; then those who work already."""
        on = bool(self.pencil.opened[person, start:end].all())
        day = 288 * (start // 288)
        busy = int(self.pencil.taken[person, day : day + 288].sum())
        return (not on, -busy if on else -int(self.worked[person] > 0), person)

    def _open(self, hands: int, stays: int) -> None:
        """Open the shifts and set up the machines that what was just placed needs."""
        pencil = self.pencil
        for p, start, _ in pencil.hands_since(hands):
            if not pencil.opened[p, start]:
                for a, b in shift_at(self.problem.people[p][1], start):
                    pencil.on_shift(p, a, b)
                self.worked[p] += 1
        for r in {r for r, *_ in pencil.stays_since(stays)}:
            if self.grows[r]:
                stated = self.problem.resources[r].setup is not None
                need = int(pencil.most[r]) if stated else int(pencil.used[r].max())
                pencil.capacity[r] = max(int(pencil.capacity[r]), need)


STORES = ("walk-in", "freezer", "dry-rack", "cellar", "hot-cupboard")


def shifts_of(spans: Sequence[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    """Somebody's shifts, each as its pieces; only a break lies between two of them."""
    shifts: list[list[tuple[int, int]]] = []
    for span in spans:
        if shifts and span[0] - shifts[-1][-1][1] <= A_SHIFT:
            shifts[-1].append(span)
        else:
            shifts.append([span])
    return shifts


def shift_at(spans: Sequence[tuple[int, int]], at: int) -> list[tuple[int, int]]:
    """The pieces of the shift that holds a tick."""
    return next((s for s in shifts_of(spans) if s[0][0] <= at < s[-1][1]), [])
