"""What is placed and what it occupies: the working state of insertion.

The board holds a partial solution together with the occupancy of every
resource and person, and can take a batch off again exactly.
"""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import next_blocked
from scheduler.solve.calm import Ledger
from scheduler.solve.changes import Told
from scheduler.solve.cleaning import Cleaning
from scheduler.solve.leaving import Leavings
from scheduler.solve.objective import NOTHING, Score, crew_price, missing, money
from scheduler.solve.overtime import Overtime
from scheduler.solve.placement import Placement as Placement
from scheduler.solve.placement import Stay as Stay
from scheduler.solve.placement import placement_in as placement_in
from scheduler.solve.rooms import in_the_way
from scheduler.workload.primitives import HORIZON_END, HORIZON_START, Placed, Solution, Used

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from numpy.typing import NDArray

    from scheduler.solve.anchors import Anchors
    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.index import Chain, Index
    from scheduler.workload.primitives import Point


class Board:
    """A partial solution with its occupancy.

    Attributes
    ----------
    used : array of int, resource x tick
    busy : array of int, person x tick
        At how many things; off shift counts as one.
    overtime : Overtime or None
        Where somebody of the problem may work outside their shifts, or before their
        rest is over.
    last_resort : bool
        What finds no place otherwise may use overtime.
    leavings : Leavings or None
        Where a crew of the problem may be left.
    cleaning : Cleaning or None
        Where something is cleaned between two contents.
    """

    def __init__(self, index: Index) -> None:
        problem = index.problem
        self.index = index
        self.problem = problem
        self.times: dict[int, tuple[int, int]] = {}
        self.chosen: dict[int, int] = {}
        self.crews: dict[int, tuple[int, ...]] = {}
        self.tends: dict[int, tuple[Placed, ...]] = {}
        self.adds: dict[int, Placed] = {}
        self.placed: set[int] = set()
        shape = (len(problem.resources), problem.horizon)
        self.used: NDArray[np.int32] = np.zeros(shape, dtype=np.int32)
        self.away: NDArray[np.bool_] = np.ones((len(problem.people), problem.horizon), dtype=bool)
        for p, (_, spells) in enumerate(problem.people):
            for start, end in spells:
                self.away[p, max(0, start) : end] = False
        self.busy: NDArray[np.int8] = self.away.astype(np.int8)
        self.overtime = Overtime(self) if problem.extras else None
        self.last_resort = False
        self.anchors: Anchors | None = None  # where tasks were in an older plan
        self.next_busy: Ints = (
            np.stack([next_blocked(self.hidden(p)) for p in range(len(self.away))])
            if len(self.busy)
            else np.zeros((0, problem.horizon + 1), dtype=np.int64)
        )
        self.leavings = Leavings(self) if index.leaving else None
        self.quality = 0
        """Cost of the bands and stretches of what is placed."""
        self.stays: dict[int, Stay] = {}
        self.by_resource: list[set[int]] = [set() for _ in problem.resources]
        self.visit_loads: dict[int, list[tuple[int, int, int, int]]] = {}
        self.people_of: dict[int, list[tuple[int, int, int]]] = {}
        self.spells: list[set[tuple[int, int, int]]] = [set() for _ in problem.people]
        """For each person what takes their time: (start, end, batch)."""
        self.cleaning = Cleaning(self) if index.cleaned else None
        self.calm = None if problem.calm is None else Ledger(self, problem.calm)
        self.told = None if problem.changes is None else Told(self, problem.changes)

    # -- reading ---------------------------------------------------------------

    def moment(self, point: Point) -> int | None:
        """The tick of an endpoint, or None where its task has no place yet."""
        if point.task == HORIZON_START:
            return 0
        if point.task == HORIZON_END:
            return self.problem.horizon
        times = self.times.get(point.task)
        return None if times is None else times[1 if point.end else 0]

    def full(self, resource: int, amount: int, state: int | None, lo: int, hi: int) -> Bools:
        """Ticks of [lo, hi) at which `amount` in that state cannot be taken."""
        r = self.problem.resources[resource]
        blocked: Bools = self.used[resource, lo:hi] > r.capacity - amount
        if r.setup is not None and state is not None:
            first = r.initial[state] if r.initial else 0
            if first > lo:
                blocked[: first - lo] = True
            for n in self.by_resource[resource]:
                stay = self.stays[n]
                if stay.state is not None and stay.state != state and stay.end > stay.start:
                    a = stay.start - r.setup[state][stay.state]
                    b = stay.end + r.setup[stay.state][state]
                    if b > lo and a < hi:
                        blocked[max(0, a - lo) : b - lo] = True
        return blocked

    @property
    def cleans(self) -> dict[int, Placed]:
        """Uses after which their resource is cleaned, as in a solution."""
        return {} if self.cleaning is None else self.cleaning.done

    def solution(self) -> Solution:
        """A copy of what is placed."""
        return Solution(
            dict(self.times),
            dict(self.chosen),
            dict(self.crews),
            dict(self.tends),
            dict(self.adds),
            dict(self.cleans),
        )

    def recorded(self, b: int) -> Placement:
        """How a placed batch is placed: what `place` would need to put it back."""
        return placement_in(self.problem, self.index.chains[b], self)

    def score(self) -> Score:
        """What `terms` says of `solution()`, without copying it."""
        everything = len(self.placed) == len(self.problem.batches)
        served = self.index.served if everything else missing(self.problem, self.placed)
        if self.problem.finish:
            return Score(served, 0, max((e for _, e in self.times.values()), default=0))
        quality = self.quality + (self.calm.cost() if self.calm is not None else 0)
        changes = 0 if self.told is None else self.told.total
        return Score(served, money(self.problem, self.extended), quality, changes)

    @property
    def extended(self) -> Used:
        """Ticks of overtime and of rest in use."""
        return NOTHING if self.overtime is None else self.overtime.total

    def touching(self, b: int) -> int:
        """What the placed batch costs: its links' bands, its stretch, and prices it pays."""
        problem, grid, cost = self.problem, self.problem.grid, 0
        for n in self.index.links_of[b]:
            link = problem.links[n]
            before, after = self.moment(link.before), self.moment(link.after)
            if link.band is not None and before is not None and after is not None:
                cost += link.band.cost((after - before) * grid)
        for t in self.index.stretched_of[b]:
            task = problem.tasks[t]
            if t in self.times:
                start, end = self.times[t]
                if task.stretch is not None:
                    cost += task.stretch.cost((end - start) * grid)
                cost += sum(d.price for d in task.dear if d.start <= start < d.end)
        for n in self.index.priced_crews_of[b]:
            if n in self.crews:
                crew = problem.crews[n]
                cost += crew_price(crew, self.crews[n], self.times.get(crew.task))
        for c in self.index.priced_of[b]:
            if c in self.chosen:
                cost += problem.choices[c].options[self.chosen[c]].price
        return cost

    # -- changing --------------------------------------------------------------

    def place(self, placement: Placement, chain: Chain | None = None) -> bool:
        """Put a batch, or one chain of it, on the board.

        False where something is over-full; then nothing of the batch is left on it.
        """
        b = placement.batch
        chain = chain or self.index.chains[b]
        before = self.touching(b) if b in self.placed else 0
        self.times.update(placement.times)
        self.chosen.update(placement.chosen)
        self.crews.update(placement.crews)
        self.tends.update(placement.tends)
        self.adds.update(placement.adds)
        self.placed.add(b)
        self.visit_loads.setdefault(b, [])
        self.people_of.setdefault(b, [])
        ok = True
        for span in chain.spans:
            ok = ok and self._stay(span.use)
        for hold in chain.holds:
            if ok and self.moment(hold.other) is not None:
                ok = self._stay(hold.index)
        touched: set[int] = set()
        for n, people in placement.crews.items():
            start, end = self.times[self.problem.crews[n].task]
            ok = ok and self._hands(b, people, start, end, touched, n)
        for n, visits in placement.tends.items():
            uses = self.problem.tends[n].uses
            for visit in visits:
                ok = ok and self._hands(b, visit.people, visit.start, visit.end, touched)
                for use in uses:
                    ok = ok and self._visit_load(b, use.resource, visit, use.amount)
        for n, visit in placement.adds.items():
            ok = ok and self._hands(b, visit.people, visit.start, visit.end, touched)
            for use in self.problem.adds[n].uses:
                ok = ok and self._visit_load(b, use.resource, visit, use.amount)
        if self.calm is not None:
            self.calm.enter(placement)
        self.refresh(touched)
        if ok and self.cleaning is not None:
            self.cleaning.learn(placement.cleans)
            ok = self.cleaning.settle(self._cleaned(chain))
        self.quality += self.touching(b) - before
        if self.told is not None:
            self.told.look(b)
        if not ok:
            self.remove(b)
        return ok

    def remove(self, b: int) -> Placement:
        """Take a batch off the board and return it as it was."""
        chain = self.index.chains[b]
        old = self.recorded(b)
        self.quality -= self.touching(b)
        cleaned = self._cleaned(chain)
        for n in [s.use for s in chain.spans] + [h.index for h in chain.holds]:
            self._unstay(n)
        for resource, start, end, amount in self.visit_loads.pop(b, []):
            self.used[resource, start:end] -= amount
        touched = set()
        if self.leavings is not None:
            for n in old.crews:
                self.leavings.end(n)
        for person, start, end in self.people_of.pop(b, []):
            self._go(b, person, start, end)
            touched.add(person)
        self.refresh(touched)
        if self.calm is not None:
            self.calm.leave(b)
        for t in chain.tasks:
            self.times.pop(t, None)
        for choice in old.chosen:
            self.chosen.pop(choice, None)
        for items, held in (
            (chain.crews, self.crews),
            (chain.tends, self.tends),
            (chain.adds, self.adds),
        ):
            for ns in items.values():
                for n in ns:
                    held.pop(n, None)
        self.placed.discard(b)
        if self.told is not None:
            self.told.look(b)
        if self.cleaning is not None:
            for span in chain.spans:
                self.cleaning.forget(span.use)
            self.cleaning.settle(cleaned)
        return old

    @contextmanager
    def restoring(self, cleans: Mapping[int, Placed]) -> Iterator[None]:
        """Put back what was there, in any order; cleaning with it, once everything is."""
        if self.cleaning is None:
            yield
            return
        self.cleaning.clear()
        try:
            yield
        finally:
            self.cleaning.recall(cleans)

    def engage(self, b: int, people: tuple[int, ...], start: int, end: int) -> bool:
        """People do something more for a placed batch; False where one of them cannot."""
        touched: set[int] = set()
        done = self._hands(b, people, start, end, touched)
        self.refresh(touched)
        return done

    def dismiss(self, b: int, people: tuple[int, ...], start: int, end: int) -> None:
        """They do not after all."""
        for person in people:
            self.people_of[b].remove((person, start, end))
            self._go(b, person, start, end)
        self.refresh(set(people))

    def _go(self, b: int, person: int, start: int, end: int) -> None:
        self.busy[person, start:end] -= 1
        self.spells[person].discard((start, end, b))
        if self.leavings is not None:
            self.leavings.come_back(person, start, end)

    def _cleaned(self, chain: Chain) -> frozenset[int]:
        """Resources with a clean-down that a chain stands on."""
        if self.cleaning is None:
            return frozenset()
        stays = (self.stays[s.use].resource for s in chain.spans if s.use in self.stays)
        return self.index.cleaned.intersection(stays)

    def _stay(self, n: int) -> bool:
        use = self.problem.uses[n]
        start, end = self.moment(use.start), self.moment(use.end)
        if start is None or end is None:
            return True
        self.chosen.setdefault(use.choice, 0)
        if end - start <= use.grace:
            return True
        start, end = max(0, start), min(self.problem.horizon, end)
        if end <= start:
            return True
        option = self.problem.choices[use.choice].options[self.chosen[use.choice]]
        if bool(self.full(option.resource, use.amount, option.state, start, end).any()):
            return False
        careful = option.resource in self.index.careful
        if careful and next(in_the_way(self, n, option.resource, start, end), None) is not None:
            return False
        self.used[option.resource, start:end] += use.amount
        self.stays[n] = Stay(n, option.resource, start, end, use.amount, option.state)
        self.by_resource[option.resource].add(n)
        if self.calm is not None and option.state is not None:
            self.calm.ovens.add(option.resource)
        return True

    def _unstay(self, n: int) -> None:
        stay = self.stays.pop(n, None)
        if stay is not None:
            self.used[stay.resource, stay.start : stay.end] -= stay.amount
            self.by_resource[stay.resource].discard(n)
            if self.calm is not None and stay.state is not None:
                self.calm.ovens.add(stay.resource)

    def _hands(
        self,
        b: int,
        people: tuple[int, ...],
        start: int,
        end: int,
        touched: set[int],
        crew: int | None = None,
    ) -> bool:
        if len(set(people)) < len(people):
            return False
        if self.leavings is None:
            for p in people:
                if bool(self.busy[p, start:end].any()):
                    return False
        elif crew is not None and self.problem.crews[crew].leave is not None:
            if not self.leavings.begin(crew, people, start, end):
                return False
        else:
            rest = crew is not None and self.problem.crews[crew].rest
            if not self.leavings.step_out(people, start, end, rest):
                return False
        for p in people:
            self.busy[p, start:end] += 1
            self.people_of[b].append((p, start, end))
            self.spells[p].add((start, end, b))
            touched.add(p)
        return True

    def _visit_load(self, b: int, resource: int, visit: Placed, amount: int) -> bool:
        capacity = self.problem.resources[resource].capacity
        if bool((self.used[resource, visit.start : visit.end] > capacity - amount).any()):
            return False
        self.used[resource, visit.start : visit.end] += amount
        self.visit_loads[b].append((resource, visit.start, visit.end, amount))
        return True

    def refresh(self, people: set[int]) -> None:
        """What these people do, or may do, has changed."""
        for p in people:
            if self.overtime is not None:
                self.overtime.refresh(p)
            self.next_busy[p] = next_blocked(self.hidden(p))
            if self.leavings is not None:
                self.leavings.forget(p)

    def hidden(self, person: int) -> Bools:
        """When a search for a place must not take somebody: busy, away, or in shut overtime."""
        row: Bools = self.busy[person] > 0
        return row if self.overtime is None else self.overtime.hidden(person, row)
