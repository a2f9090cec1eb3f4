"""The best plan of a tiny week by trying everything, sharing no code with the engines.

Its own reading of what the words mean decides what is tried; every complete
plan it comes to is judged by the audit, and one that is refused is told, so
that a test can ask that there be none. Best first: the first complete plan
that the audit passes is the best there is.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import combinations

from scheduler.domain.quantity import Quantity
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.audit.report import Finding
from scheduler.plan.model import (
    Missing,
    Plan,
    PlannedHold,
    PlannedTask,
    PlannedVisit,
    Taken,
    Terms,
    Unserved,
)
from tests.weeks.brute_kitchen import Kitchen, agree, counted
from tests.weeks.brute_places import Candidate, Dresser, Housed, name_of, taken_of
from tests.weeks.brute_times import Timer, Used
from tests.weeks.brute_work import Make, lacking, makes, short_of

Key = tuple[tuple[int, ...], int]


class TooLarge(Exception):
    """The week is too large to try everything."""


@dataclass
class Best:
    """What trying everything came to.

    Attributes
    ----------
    key : tuple
        Portions lacking by rank and batches left out, and weighted minutes: the least
        there is.
    refused : list of Finding
        What the audit held against plans that looked sound.
    tried : int
        Steps of the search.
    """

    key: Key
    plan: Plan
    refused: list[Finding] = field(default_factory=list)
    tried: int = 0


def best(scenario: Scenario, patience: int = 200_000) -> Best:
    """The best plan of a tiny week.

    Raises
    ------
    TooLarge
        After `patience` steps.
    """
    return _Search(scenario, patience).run()


class _Search:
    def __init__(self, scenario: Scenario, patience: int) -> None:
        self.scenario = scenario
        self.kitchen = Kitchen(scenario)
        self.made = makes(scenario)
        self.ranks = max(e.rank for e in scenario.week.events)
        self.patience = patience
        self.tried = 0
        self.refused: list[Finding] = []
        self.known: dict[object, list[Candidate]] = {}

    def run(self) -> Best:
        groups: dict[tuple[int, ...], list[frozenset[str]]] = {}
        names = [m.id for m in self.made]
        for count in range(len(names) + 1):
            for out in combinations(names, count):
                served = lacking(self.made, frozenset(out), self.ranks)
                if served is not None and self._worth_it(frozenset(out)):
                    groups.setdefault((*served, count), []).append(frozenset(out))
        for served in sorted(groups):
            found = self._of(groups[served])
            if found is not None:
                cost, plan = found
                return Best((served, cost), plan, self.refused, self.tried)
        raise AssertionError("not even the empty plan passes the audit")

    def _worth_it(self, out: frozenset[str]) -> bool:
        """Nothing is made that nobody takes."""
        return all(
            m.id in out or m.dish is not None or any(u.consumer not in out for u in m.uses)
            for m in self.made
        )

    def _of(self, outs: list[frozenset[str]]) -> tuple[int, Plan] | None:
        """The cheapest plan that leaves out exactly one of some sets of batches."""
        queue: list[tuple[int, int, int, int, tuple[Candidate, ...], frozenset[str]]] = []
        count = 0
        for out in outs:
            heappush(queue, (0, 0, count, 0, (), out))
            count += 1
        while queue:
            self.tried += 1
            if self.tried > self.patience:
                raise TooLarge
            cost, _, _, nth, done, out = heappop(queue)
            todo = [m for m in self.made if m.id not in out]
            if len(done) == len(todo):
                plan = self._plan(done, out, cost)
                report = audit(self.scenario, plan)
                if report.valid:
                    return cost, plan
                self.refused += report.findings
                continue
            # One batch more, the nth way; the cost so far does not have its cost in it yet.
            ways = self._ways(todo[len(done)], done)
            while nth < len(ways) and not self._together(done, ways[nth]):
                nth += 1
            if nth == len(ways):
                continue
            spent = sum(c.timing.cost for c in done)
            way = ways[nth]
            count += 1
            heappush(
                queue, (spent + way.timing.cost, -len(done) - 1, count, 0, (*done, way), out)
            )
            if nth + 1 < len(ways):
                count += 1
                heappush(
                    queue,
                    (spent + ways[nth + 1].timing.cost, -len(done), count, nth + 1, done, out),
                )
        return None

    def _together(self, done: tuple[Candidate, ...], way: Candidate) -> bool:
        load = sum(c.load for c in done) + way.load
        return self.kitchen.fits(load) and all(
            agree(self.kitchen, a, b) for c in done for a in c.ovens for b in way.ovens
        )

    def _ways(self, make: Make, done: tuple[Candidate, ...]) -> list[Candidate]:
        """Every way to do a batch after its consumers, cheapest first."""
        used: Used = {}
        enders = {}
        for use in make.uses:
            tasks = [t for c in done if c.make.id == use.consumer for t in c.timing.of(use.step)]
            if tasks:
                used[use.consumer, use.step] = tasks[0].start, tasks[-1].start
                enders[use.consumer, use.step] = name_of(use.consumer, tasks[-1])
        key = (make.id, tuple(sorted(used.items())))
        if key not in self.known:
            dresser = Dresser(self.kitchen, make, used, enders)
            ways = [
                way for timing in Timer(self.scenario, make, used).all()
                for way in dresser.all(timing)
            ]
            ways.sort(key=lambda w: (w.timing.cost, -w.timing.tasks[0].start))
            self.known[key] = ways
        return self.known[key]

    def _plan(self, done: tuple[Candidate, ...], out: frozenset[str], cost: int) -> Plan:
        numbers = _numbered(self.scenario, done)
        tasks = [t for c in done for t in _tasks(c, numbers)]
        served = lacking(self.made, out, self.ranks)
        assert served is not None
        return Plan(
            batches=tuple(m.planned() for m in self.made),
            shares=tuple(s for m in self.made for s in m.shares()),
            tasks=tuple(tasks),
            holds=tuple(_in_machine(h, c, tasks) for c in done for h in c.holds),
            missing=tuple(Missing(batch=b, why="found no place") for b in sorted(out)),
            unserved=tuple(self._unserved(out)),
            terms=Terms(served=served, left_out=len(out), quality=cost),
        )

    def _unserved(self, out: frozenset[str]) -> list[Unserved]:
        short = []
        for dish in self.made:
            portions = short_of(dish, self.made, out) if dish.dish and dish.event else 0
            if not portions or dish.event is None:
                continue
            lacks = {
                m.recipe.id
                for m in self.made
                if m.id in out and any(u.consumer == dish.id for u in m.uses)
            }
            if dish.id in out:
                lacks |= {dish.recipe.id}
            short.append(
                Unserved(
                    batch=dish.id, event=dish.event, dish=dish.recipe.id, portions=portions,
                    lacks=tuple(sorted(lacks)),
                )
            )
        return short


def _numbered(scenario: Scenario, done: tuple[Candidate, ...]) -> dict[int, list[str]]:
    """Which units each need takes (by its identity): the first that are free, in order of time."""
    units = {k.id: [u.id for u in k.each] for k in scenario.kitchen.equipment if counted(k)}
    taken: dict[str, list[tuple[int, int]]] = {}
    given = {}
    for housed in sorted((h for c in done for h in c.housed), key=lambda h: h.start):
        free = [
            unit
            for unit in units.get(housed.key, [])
            if all(b <= housed.start or a >= housed.end for a, b in taken.get(unit, []))
        ][: housed.amount]
        for unit in free:
            taken.setdefault(unit, []).append((housed.start, housed.end))
        given[id(housed)] = free
    return given


def _in_machine(hold: PlannedHold, way: Candidate, tasks: list[PlannedTask]) -> PlannedHold:
    """A hold with the machine it waits in."""
    step = next((s for s in way.make.steps if s.id == hold.step), None)
    if hold.kind != "wait" or step is None or step.then is None or not step.then.in_machine:
        return hold
    made = [t for t in tasks if (t.batch, t.step, t.load) == (hold.source, hold.step, hold.load)]
    return hold.model_copy(update={"unit": made[0].taken[0].unit})


def _tasks(way: Candidate, numbers: dict[int, list[str]]) -> list[PlannedTask]:
    tasks = []
    for n, task in enumerate(way.timing.tasks):
        tail = f"/{task.load}" if task.loads > 1 else ""
        housed = [h for h in way.housed if h.task == n]

        def taken(visit: int | None, housed: list[Housed] = housed) -> tuple[Taken, ...]:
            return tuple(
                taken_of(h, unit, 1 if numbers[id(h)] else h.amount)
                for h in housed
                if h.visit == visit
                for unit in numbers[id(h)] or [h.key]
            )

        visits = tuple(
            PlannedVisit(
                kind=seen.kind, index=seen.index, verb=seen.verb, start=seen.start, end=seen.end,
                people=way.people[n][at], taken=taken(at),
            )
            for at, seen in enumerate(task.visits)
        )
        tasks.append(
            PlannedTask(
                id=f"{way.make.id}/{task.step}{tail}", batch=way.make.id, step=task.step,
                load=task.load, loads=task.loads,
                quantity=Quantity.of(task.quantity, way.make.dimension),
                start=task.start, law_start=task.law_start, law_end=task.law_end, end=task.end,
                visits=visits, taken=taken(None),
            )
        )
    return tasks


__all__ = ["Best", "TooLarge", "best"]
