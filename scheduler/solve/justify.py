"""Schedules by a list: each activity in turn at its earliest, then pushed to the right and back.

For problems that are a network and nothing else (`network_of` says which):
tasks of fixed length, least distances between them without a cycle,
capacities taken from a task's start to its end, the last end to be minimised.

Capacities are kept as one integer, a word of bits for every tick with a field
for every resource, so that "does it fit for these ticks" is one subtraction.

Sources: serial schedule generation, J. E. Kelley, "The critical-path method:
resources planning and scheduling", in Industrial Scheduling (1963); double
justification, V. Valls, F. Ballestín and S. Quintanilla, "Justification and
RCPSP: a technique that pays", European Journal of Operational Research 165
(2005) 375-386. From memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from operator import add
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.workload.primitives import Link, Problem, Use

Arcs = tuple[tuple[tuple[int, int], ...], ...]
"""For each activity (activity, lag): it starts at least `lag` after that one starts."""

MOST_BITS = 300_000
"""Of a longer profile a schedule takes too long."""


@dataclass(frozen=True)
class Network:
    """A problem as activities on a few resources, each activity after those before it.

    Attributes
    ----------
    tasks : tuple of int
        The problem's task that each activity is.
    origin : int
        Tick 0 of the network is this tick of the problem.
    lengths : tuple of int
        Ticks.
    before : Arcs
        start_j >= start_i + lag, with i < j and lag >= length_i.
    after : Arcs
        The same seen from the end: for each i what follows it, in mirrored
        time, in which an activity starts where it really ends.
    needs : tuple of tuple of int
        Of each activity, of each resource.
    capacities : tuple of int
    heads, tails : tuple of int
        Least start; least time from its start to the last end.
    """

    tasks: tuple[int, ...]
    origin: int
    lengths: tuple[int, ...]
    before: Arcs
    after: Arcs
    needs: tuple[tuple[int, ...], ...]
    capacities: tuple[int, ...]
    heads: tuple[int, ...]
    tails: tuple[int, ...]

    @cached_property
    def least(self) -> int:
        """No schedule takes less: the longest path, and the work of each resource.

        max over i of head_i + tail_i; for each resource the least head of
        those who need it + ceil(sum of length * need / capacity) + the least
        of what follows the end of one of them.
        """
        best = max(h + t for h, t in zip(self.heads, self.tails, strict=True))
        for r, capacity in enumerate(self.capacities):
            users = [i for i, row in enumerate(self.needs) if row[r] and self.lengths[i]]
            if users:
                work = sum(self.lengths[i] * self.needs[i][r] for i in users)
                rest = min(self.tails[i] - self.lengths[i] for i in users)
                best = max(best, min(self.heads[i] for i in users) - -work // capacity + rest)
        return best


def network_of(problem: Problem) -> Network | None:
    """A problem as a network; None where it is more than that."""
    tasks, origin = problem.tasks, max(problem.now, 0)
    if (
        not problem.finish
        or not tasks
        or problem.crews
        or problem.tends
        or problem.adds
        or any(r.setup is not None for r in problem.resources)
        or any(len(c.options) != 1 for c in problem.choices)
        or any(b.fixed for b in problem.batches)
        or any(t.least != t.most or t.within is not None for t in tasks)
        or any(t.earliest > origin or t.latest < problem.horizon for t in tasks)
        or not all(_own(problem, use) for use in problem.uses)
    ):
        return None
    arcs = [_arc(problem, link) for link in problem.links]
    order = _in_order(len(tasks), [arc for arc in arcs if arc is not None])
    needs = [[0] * len(problem.resources) for _ in tasks]
    for use in problem.uses:
        needs[use.start.task][problem.choices[use.choice].options[0].resource] += use.amount
    capacities = [r.capacity for r in problem.resources]
    too_much = any(n > c for row in needs for n, c in zip(row, capacities, strict=True))
    if None in arcs or order is None or too_much:
        return None
    place = {t: k for k, t in enumerate(order)}
    known = [(place[i], place[j], lag) for i, j, lag in filter(None, arcs)]
    return _network(problem, order, known, [needs[t] for t in order])


def _arc(problem: Problem, link: Link) -> tuple[int, int, int] | None:
    """A link as "j starts at least so long after i starts"; None where it says anything else."""
    if link.most is not None or link.least is None:
        return None
    i, j = link.before.task, link.after.task
    if i < 0 or j < 0:
        return None
    lag = link.least
    lag += problem.tasks[i].least if link.before.end else 0
    lag -= problem.tasks[j].least if link.after.end else 0
    return (i, j, lag) if lag >= problem.tasks[i].least else None


def _own(problem: Problem, use: Use) -> bool:
    """Whether a use is a task's own, from its start to its end."""
    t = use.start.task
    if t < 0 or t != use.end.task or use.start.end or not use.end.end:
        return False
    return problem.tasks[t].least == 0 or problem.tasks[t].least > use.grace


def _in_order(count: int, arcs: Sequence[tuple[int, int, int]]) -> list[int] | None:
    """All tasks, each after those before it; None where they go round in a circle."""
    after: list[list[int]] = [[] for _ in range(count)]
    waiting = [0] * count
    for i, j, _ in arcs:
        after[i].append(j)
        waiting[j] += 1
    order = [j for j in range(count) if not waiting[j]]
    for i in order:
        for j in after[i]:
            waiting[j] -= 1
            if not waiting[j]:
                order.append(j)
    return order if len(order) == count else None


def _network(
    problem: Problem,
    order: Sequence[int],
    arcs: Sequence[tuple[int, int, int]],
    needs: Sequence[Sequence[int]],
) -> Network:
    lengths = [problem.tasks[t].least for t in order]
    before: list[dict[int, int]] = [{} for _ in order]
    after: list[dict[int, int]] = [{} for _ in order]
    heads, tails = [0] * len(order), list(lengths)
    for i, j, lag in arcs:
        lag = max(lag, before[j].get(i, lag))
        before[j][i], after[i][j] = lag, lag
    for j, those in enumerate(before):
        heads[j] = max((heads[i] + lag for i, lag in those.items()), default=0)
    for i in range(len(order) - 1, -1, -1):
        tails[i] = max([lengths[i], *(lag + tails[j] for j, lag in after[i].items())])
    mirrored = [
        tuple((j, lag + lengths[j] - lengths[i]) for j, lag in those.items())
        for i, those in enumerate(after)
    ]
    return Network(
        tuple(order),
        max(problem.now, 0),
        tuple(lengths),
        tuple(tuple(those.items()) for those in before),
        tuple(mirrored),
        tuple(tuple(row) for row in needs),
        tuple(r.capacity for r in problem.resources),
        tuple(heads),
        tuple(tails),
    )


class Builder:
    """Makes schedules of a network, as quickly as Python can.

    Attributes
    ----------
    made : int
        How many schedules it has made.
    """

    def __init__(self, network: Network) -> None:
        self.network = network
        self.made = 0
        offsets: list[int] = []
        width = 0
        for capacity in network.capacities:
            offsets.append(width)
            width += capacity.bit_length() + 1
        # A word for each tick: of each resource what is free, and above it a bit that
        # stays set when a need is taken off and there was enough.
        fields = list(zip(offsets, network.capacities, strict=True))
        guard = sum(1 << (at + c.bit_length()) for at, c in fields)
        self._word = guard + sum(c << at for at, c in fields)
        self._width = max(width, 1)
        self._longest = max(network.lengths)
        self._taken: list[int] = []
        self._guards: list[int] = []
        self._masks: list[int] = []
        for d, row in zip(network.lengths, network.needs, strict=True):
            ones = self._each(1, d)
            taken = ones * sum(n << at for n, at in zip(row, offsets, strict=True))
            self._taken.append(taken)
            self._guards.append(guard * ones if taken else 0)
            self._masks.append((1 << self._width * d) - 1)
        self._ticks = network.least * 3 // 2 + 2 * self._longest
        self._empty = self._each(self._word, self._ticks)
        self._rising = range(len(network.lengths))
        self._falling = range(len(network.lengths) - 1, -1, -1)

    @property
    def bits(self) -> int:
        """Length of the profile."""
        return self._width * self._ticks

    def _each(self, word: int, ticks: int) -> int:
        """The word at each of so many ticks."""
        one, every = (1 << self._width) - 1, (1 << self._width * ticks) - 1
        return word * (every // one)

    def finish(self, starts: Sequence[int]) -> int:
        """The last end."""
        ends: list[int] = list(map(add, starts, self.network.lengths))
        return max(ends)

    def forward(self, order: Sequence[int]) -> list[int]:
        """The start of each activity, each in turn of `order` as early as it can."""
        return self._serial(order, self.network.before)

    def justified(self, starts: Sequence[int]) -> list[int]:
        """A schedule pushed to the right and back to the left; it never takes longer."""
        lengths = self.network.lengths
        key = [-s - d for s, d in zip(starts, lengths, strict=True)]
        mirrored = self._serial(sorted(self._falling, key=key.__getitem__), self.network.after)
        key = [-s - d for s, d in zip(mirrored, lengths, strict=True)]
        return self.forward(sorted(self._rising, key=key.__getitem__))

    def order(self, starts: Sequence[int]) -> list[int]:
        """The activities as they start."""
        return sorted(self._rising, key=starts.__getitem__)

    def _serial(self, order: Sequence[int], before: Arcs) -> list[int]:
        self.made += 1
        width, taking, guards, masks = self._width, self._taken, self._guards, self._masks
        starts = [0] * len(order)
        profile, ticks = self._empty, self._ticks
        for j in order:
            t = 0
            for i, lag in before[j]:
                s = starts[i] + lag
                if s > t:
                    t = s
            guard = guards[j]
            if guard:
                mask, taken = masks[j], taking[j]
                while bad := (((profile >> width * t & mask | guard) - taken) & guard) ^ guard:
                    if t > ticks - self._longest:
                        profile |= self._each(self._word, ticks) << width * ticks
                        ticks *= 2
                    else:
                        # On to the tick after the last that has too little.
                        t += (bad.bit_length() - 1) // width + 1
                profile -= taken << width * t
            starts[j] = t
        return starts
