"""A problem seen from its batches: what each one's chain of tasks touches.

A batch of m tasks has 2m boundaries (start and end of each task in turn) and
2m - 1 segments between them: even segments are tasks, odd ones the waits
between. Everything that constrains a batch stands at a boundary or on a run
of segments.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from scheduler.solve.cleaning import cleaned
from scheduler.solve.objective import missing, takers
from scheduler.solve.rooms import with_doors, with_neighbours
from scheduler.workload.primitives import HORIZON_END, HORIZON_START, Band, Link

if TYPE_CHECKING:
    from scheduler.workload.primitives import Add, Crew, Line, Point, Problem, Tend


@dataclass(slots=True)
class Span:
    """A use with both ends in the batch: active on segments first .. last - 1."""

    use: int
    first: int
    last: int


@dataclass(slots=True)
class Outer:
    """A link or use from a boundary of the batch to a point outside it.

    `outward`: the batch has the earlier end.
    """

    index: int
    boundary: int
    other: Point
    outward: bool


@dataclass(slots=True)
class Gap:
    """The wait between two tasks in a row: least, most, band; `loose` where no link says so."""

    least: int = 0
    most: int | None = None
    band: Band | None = None
    loose: bool = True


@dataclass(slots=True, eq=False)
class Chain:
    """One batch: its tasks in a row and what they touch."""

    batch: int
    tasks: tuple[int, ...]
    gaps: list[Gap] = field(default_factory=list)
    spans: list[Span] = field(default_factory=list)
    links: list[Outer] = field(default_factory=list)
    holds: list[Outer] = field(default_factory=list)
    across: list[int] = field(default_factory=list)
    crews: dict[int, list[int]] = field(default_factory=dict)
    tends: dict[int, list[int]] = field(default_factory=dict)
    adds: dict[int, list[int]] = field(default_factory=dict)
    lanes: list[tuple[int, int, int]] = field(default_factory=list)
    """Of a split batch: first and last task of the load that stands for its group, and how many
    loads the group has."""
    neighbours: frozenset[int] = frozenset()
    """Batches that a link ties it to."""
    dear: list[int] = field(default_factory=list)
    """Places of its tasks of which some starts cost something."""
    priced: bool = False
    """Some option of its choices costs something."""

    def __post_init__(self) -> None:
        self.gaps = [Gap() for _ in self.tasks[1:]]


class Index:
    """All chains of a problem, and look-ups that both engines' callers share."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.doors = with_doors(problem)
        self.neighbours = with_neighbours(problem)
        self.cleaned = cleaned(problem)
        self.careful = self.doors | self.neighbours | self.cleaned
        self.chains = [Chain(b, batch.tasks) for b, batch in enumerate(problem.batches)]
        self._fill(self.chains)

    @cached_property
    def takers(self) -> list[frozenset[int]]:
        """For each batch those that take from it."""
        return takers(self.problem)

    @cached_property
    def split(self) -> dict[int, tuple[Chain, list[Chain]]]:
        """For batches with loads: the chain through the last load of each group, and the other
        loads as chains of their own, later groups first, last load first."""
        parts: dict[int, tuple[Chain, list[Chain]]] = {}
        everything: list[Chain] = []
        for b, batch in enumerate(self.problem.batches):
            aside = [lane for group in batch.lanes[::-1] for lane in group[-2::-1]]
            apart = {t for lane in aside for t in lane}
            main = Chain(b, tuple(t for t in batch.tasks if t not in apart))
            sides = [Chain(b, lane) for lane in aside]
            at = {t: i for i, t in enumerate(main.tasks)}
            main.lanes = [(at[g[-1][0]], at[g[-1][-1]], len(g)) for g in batch.lanes]
            everything += [main, *sides]
            if sides:
                parts[b] = main, sides
        self._fill(everything)
        return parts

    @cached_property
    def turns(self) -> dict[int, list[tuple[Chain, list[Chain]]]]:
        """For batches that have other orders: the chain of each, and what goes in after it."""
        found: dict[int, list[tuple[Chain, list[Chain]]]] = {}
        for n in range(max((len(batch.turns) for batch in self.problem.batches), default=0)):
            everything: list[Chain] = []
            for b, batch in enumerate(self.problem.batches):
                if n >= len(batch.turns):
                    continue
                order = batch.turns[n]
                aside = [lane for group in batch.lanes[::-1] for lane in group[-2::-1]]
                sides = [Chain(b, lane) for lane in aside if lane[0] not in order]
                found.setdefault(b, []).append((Chain(b, order), sides))
                everything += [found[b][-1][0], *sides]
            self._fill(everything)
        return found

    @cached_property
    def wary(self) -> list[bool]:
        """For each use whether there is anything that it may not be beside."""
        uses = self.problem.uses
        avoided = 0
        for use in uses:
            avoided |= use.not_beside
        return [bool(use.not_beside or use.sort & avoided) for use in uses]

    @cached_property
    def consumers(self) -> list[tuple[int, ...]]:
        """For each batch those that take from it or follow it (its later neighbours)."""
        found: list[set[int]] = [set() for _ in self.problem.batches]
        for chain in self.chains:
            for outer in chain.links:
                if outer.outward and outer.other.task >= 0:
                    found[chain.batch].add(self.problem.tasks[outer.other.task].batch)
        return [tuple(sorted(s)) for s in found]

    @cached_property
    def priced(self) -> list[int]:
        """Links that cost something."""
        return [n for n, link in enumerate(self.problem.links) if link.band is not None]

    @cached_property
    def stretched_of(self) -> list[list[int]]:
        """For each batch its tasks whose length or start costs something."""
        tasks = self.problem.tasks
        return [
            [t for t in b.tasks if tasks[t].stretch is not None or tasks[t].dear]
            for b in self.problem.batches
        ]

    @cached_property
    def priced_of(self) -> list[list[int]]:
        """For each batch its choices with an option that costs something."""
        found: list[list[int]] = [[] for _ in self.problem.batches]
        for c, choice in enumerate(self.problem.choices):
            if any(o.price for o in choice.options):
                found[choice.batch].append(c)
        return found

    @cached_property
    def priced_crews_of(self) -> list[list[int]]:
        """For each batch its crews of which a way costs something."""
        out: list[list[int]] = [[] for _ in self.problem.batches]
        for n, crew in enumerate(self.problem.crews):
            if any(way.price for way in crew.ways):
                out[self.problem.tasks[crew.task].batch].append(n)
        return out

    @cached_property
    def served(self) -> tuple[int, ...]:
        """What is missing when nothing is."""
        return missing(self.problem, range(len(self.problem.batches)))

    @cached_property
    def links_of(self) -> list[list[int]]:
        """For each batch the links that cost something and touch it."""
        out: list[list[int]] = [[] for _ in self.problem.batches]
        for n in self.priced:
            link = self.problem.links[n]
            ends = {p.task for p in (link.before, link.after) if p.task >= 0}
            for b in {self.problem.tasks[t].batch for t in ends}:
                out[b].append(n)
        return out

    @cached_property
    def rivals(self) -> list[frozenset[int]]:
        """For each batch those that could want the same resource or person."""
        problem = self.problem
        of: list[set[tuple[str, int]]] = [set() for _ in problem.batches]
        for use in problem.uses:
            taken = {o.resource for o in problem.choices[use.choice].options}
            options = {("resource", r) for r in taken}
            for r in taken & self.cleaned:
                rule = problem.resources[r].clean
                options |= {("person", p) for x in (rule.lines if rule else ()) for p in x.people}
            for point in (use.start, use.end):
                if point.task >= 0:
                    of[problem.tasks[point.task].batch] |= options
        for task, lines in self._manned():
            b = problem.tasks[task].batch
            of[b] |= {("person", p) for line in lines for p in line.people}
        users: dict[tuple[str, int], set[int]] = {}
        for b, keys in enumerate(of):
            for key in keys:
                users.setdefault(key, set()).add(b)
        return [
            frozenset(r for key in keys for r in users[key] if r != b) for b, keys in enumerate(of)
        ]

    @cached_property
    def pinned(self) -> frozenset[int]:
        """Batches that cannot move: what stays, and what is fixed, but for breaks with room."""
        problem = self.problem
        rests = {c.task for c in problem.crews if c.rest}
        moving = {
            problem.tasks[t].batch
            for t in rests
            if problem.tasks[t].latest - problem.tasks[t].earliest > problem.tasks[t].least
        }
        fixed = {b for b, batch in enumerate(problem.batches) if batch.fixed and b not in moving}
        return problem.stay | fixed

    @cached_property
    def leaving(self) -> bool:
        """Can any job be left?"""
        return any(crew.leave is not None for crew in self.problem.crews)

    @cached_property
    def scarcity(self) -> list[int]:
        """For each person how many hands lines they could stand in: take the few-sided first."""
        count = [0] * len(self.problem.people)
        for _, lines in self._manned():
            for p in {p for line in lines for p in line.people}:
                count[p] += 1
        return count

    def _manned(self) -> list[tuple[int, tuple[Line, ...]]]:
        """Task and lines of everything with hands; of a crew the lines of all its ways."""
        problem = self.problem
        crews = [(c.task, tuple(x for way in c.ways for x in way.lines)) for c in problem.crews]
        tends = [(tend.task, tend.lines) for tend in problem.tends]
        return [*crews, *tends, *((add.task, add.lines) for add in problem.adds)]

    def _fill(self, chains: list[Chain]) -> None:
        """Give every chain what it touches; together they hold every task of their batches once."""
        problem = self.problem
        wanted = set(chains)
        where = {t: (c, i) for c in (*self.chains, *chains) for i, t in enumerate(c.tasks)}
        neighbours: list[set[int]] = [set() for _ in problem.batches]

        def boundary(chain: Chain, point: Point) -> int | None:
            if point.task in (HORIZON_START, HORIZON_END):
                return None
            owner, i = where[point.task]
            return 2 * i + point.end if owner is chain else None

        def owners(*points: Point) -> list[Chain]:
            seen: list[Chain] = []
            for point in points:
                if point.task >= 0 and where[point.task][0] not in seen:
                    seen.append(where[point.task][0])
            return seen

        for n, link in enumerate(problem.links):
            ends = owners(link.before, link.after)
            if len(ends) == 2 and ends[0].batch != ends[1].batch:
                neighbours[ends[0].batch].add(ends[1].batch)
                neighbours[ends[1].batch].add(ends[0].batch)
            for chain in (c for c in ends if c in wanted):
                first, last = boundary(chain, link.before), boundary(chain, link.after)
                if first is not None and last is not None:
                    self._inner(chain, n, link, first, last)
                elif first is not None:
                    chain.links.append(Outer(n, first, link.after, True))
                elif last is not None:
                    chain.links.append(Outer(n, last, link.before, False))
        for n, use in enumerate(problem.uses):
            for chain in (c for c in owners(use.start, use.end) if c in wanted):
                first, last = boundary(chain, use.start), boundary(chain, use.end)
                if first is not None and last is not None:
                    chain.spans.append(Span(n, first, last))
                elif first is not None:
                    chain.holds.append(Outer(n, first, use.end, True))
                elif last is not None:
                    chain.holds.append(Outer(n, last, use.start, False))
        where = {t: at for t, at in where.items() if at[0] in wanted}
        for n, crew in enumerate(problem.crews):
            self._at(where, crew, n, "crews")
        for n, tend in enumerate(problem.tends):
            self._at(where, tend, n, "tends")
        for n, add in enumerate(problem.adds):
            self._at(where, add, n, "adds")
        for chain in chains:
            chain.neighbours = frozenset(neighbours[chain.batch])
            chain.dear = [i for i, t in enumerate(chain.tasks) if problem.tasks[t].dear]
            choices = {problem.uses[s.use].choice for s in chain.spans}
            chain.priced = any(o.price for c in choices for o in problem.choices[c].options)
            self._change_over(chain)
            self._tighten(chain)

    def _change_over(self, chain: Chain) -> None:
        """Two tasks in a row in the only oven there is, at two settings, wait for it to change."""
        problem = self.problem
        for one in chain.spans:
            for other in chain.spans:
                if one.last % 2 == 0 or other.first != one.last + 1:
                    continue
                first, then = (
                    problem.choices[problem.uses[s.use].choice].options for s in (one, other)
                )
                if len({o.resource for o in (*first, *then)}) == 1:
                    setup = problem.resources[first[0].resource].setup
                    if setup is not None:
                        gap = chain.gaps[one.last // 2]
                        least = min(
                            setup[a.state][b.state]
                            for a in first
                            for b in then
                            if a.state is not None and b.state is not None
                        )
                        gap.least = max(gap.least, least)

    def _tighten(self, chain: Chain) -> None:
        """A link over several gaps bounds each of them: most less all else at its shortest."""
        length = [self.problem.tasks[t].least for t in chain.tasks]
        at = {t: i for i, t in enumerate(chain.tasks)}
        for n in chain.across:
            link = self.problem.links[n]
            i, k = at[link.before.task], at[link.after.task]
            if link.most is None or k <= i:
                continue
            inner = range(i if not link.before.end else i + 1, k + 1 if link.after.end else k)
            least = sum(length[x] for x in inner) + sum(chain.gaps[g].least for g in range(i, k))
            for g in range(i, k):
                most = link.most - least + chain.gaps[g].least
                gap = chain.gaps[g]
                gap.most = most if gap.most is None else min(gap.most, most)

    @staticmethod
    def _at(
        where: dict[int, tuple[Chain, int]], item: Crew | Tend | Add, n: int, kind: str
    ) -> None:
        if item.task in where:
            chain, i = where[item.task]
            getattr(chain, kind).setdefault(i, []).append(n)

    @staticmethod
    def _inner(chain: Chain, n: int, link: Link, first: int, last: int) -> None:
        """Put a link between neighbouring tasks on their gap; keep any other for a check after."""
        if first % 2 == 1 and last == first + 1:
            gap = chain.gaps[first // 2]
            if gap.band is None or link.band is None:
                gap.least = max(gap.least, link.least or 0)
                if link.most is not None:
                    gap.most = link.most if gap.most is None else min(gap.most, link.most)
                gap.band = gap.band or link.band
                gap.loose = False
                return
        chain.across.append(n)
