"""Tiny random problems: a few batches feeding each other, small enough to search by hand.

The same generator serves the tests of the CP-SAT model (against a brute-force
search) and those of insertion (against the model). A `Shape` says which
primitives may occur; `random_problem` needs only a `random.Random`, and
`problems` is the Hypothesis strategy around it (it shrinks).

What comes out looks like a compiled kitchen: fixed moments of service, dishes
that end there, components that feed dishes or each other, each a chain of
steps with loads, ranges, waits on shelves, oven states, hands and visits.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from random import Random
from typing import Any

from hypothesis import strategies as st

from scheduler.workload.primitives import (
    HORIZON_END,
    HORIZON_START,
    Add,
    Band,
    Batch,
    Calm,
    Choice,
    Clean,
    Crew,
    Dear,
    Extra,
    Job,
    Leave,
    Line,
    Link,
    Money,
    Option,
    Plate,
    Point,
    Problem,
    Resource,
    Shift,
    Task,
    Tend,
    Use,
    VisitUse,
    Way,
)
from tests.solve.shapes import CHAINS, SMALL, Shape

__all__ = ["CHAINS", "SMALL", "Shape", "problems", "random_problem"]

START = Point(HORIZON_START)
END = Point(HORIZON_END)


def random_problem(rng: Random, shape: Shape | None = None) -> Problem:
    """One random problem (not always one that works)."""
    return _Kitchen(rng, shape or Shape()).problem()


def problems(shape: Shape | None = None) -> st.SearchStrategy[Problem]:
    """Hypothesis strategy of `random_problem`."""
    return st.randoms(use_true_random=False).map(lambda rng: random_problem(rng, shape))


@dataclass
class _Kitchen:
    """A problem under construction."""

    rng: Random
    shape: Shape
    batches: list[Batch] = field(default_factory=list)
    tasks: list[Task] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    choices: list[Choice] = field(default_factory=list)
    uses: list[Use] = field(default_factory=list)
    crews: list[Crew] = field(default_factory=list)
    tends: list[Tend] = field(default_factory=list)
    adds: list[Add] = field(default_factory=list)

    def problem(self) -> Problem:
        rng, shape = self.rng, self.shape
        self.grid = rng.choice(shape.grid)
        self.horizon = rng.randint(*shape.horizon)
        self.now = rng.randint(0, shape.now)
        people = tuple((f"p{i}", self._shifts()) for i in range(rng.randint(*shape.people)))
        self.people = people
        self.resources = self._resources()
        plates: list[Plate] = []
        ranks = rng.randint(1, 2)
        if shape.duties and shape.crews and self._maybe(0.25):
            self._duty()
        if shape.leaves and self._maybe(0.6):
            self._rest()
        dishes = [self._dish(d) for d in range(rng.randint(*shape.dishes))]
        made: list[int] = []
        feeds: dict[int, set[int]] = {b: {b} for b in dishes}
        for c in range(rng.randint(*shape.components)):
            takers = [rng.choice(dishes)]
            if shape.deep and not shape.fixed_consumers and made and self._maybe(0.4):
                takers = [rng.choice(made)]
            elif len(dishes) > 1 and self._maybe(0.2):
                takers = list(dishes)
            b = self._component(c, takers)
            feeds[b] = {d for taker in takers for d in feeds[taker] if d in dishes}
            made.append(b)
        if shape.stock and shape.holds and self._maybe(0.3):
            self._stock(rng.choice(dishes))
        for d in dishes:
            portions = rng.randint(1, 9)
            lacks = [(d, portions)]
            lacks += [(b, rng.randint(1, portions)) for b in made if d in feeds[b]]
            plates.append(Plate(rng.randint(1, ranks), d, tuple(lacks)))
        if shape.prices:
            self._prices()
        return Problem(
            self.grid,
            self.horizon,
            self.now,
            tuple(self.batches),
            tuple(self.tasks),
            tuple(self.links),
            self.resources,
            tuple(self.choices),
            tuple(self.uses),
            people,
            tuple(self.crews),
            tuple(self.tends),
            tuple(self.adds),
            tuple(plates),
            ranks,
            *(self._overtime() if shape.overtime else ()),
            calm=self._calm() if shape.calm else None,
        )

    # -- the kitchen ----------------------------------------------------------------

    def _shifts(self) -> tuple[tuple[int, int], ...]:
        """One or two stretches, from `now` on."""
        rng, h, now = self.rng, self.horizon, self.now
        if self._maybe(0.5):
            return ((now, h),)
        a = rng.randint(now, h // 2)
        b = rng.randint(min(a + 3, h), h)
        if b + 3 <= h and self._maybe(0.5):
            return ((a, b), (rng.randint(b + 1, b + 2), h))
        return ((a, b),)

    def _overtime(self) -> tuple[tuple[Extra, ...], Money, int]:
        """The ends of some stretches cost, and something has been bought in."""
        rng, extras = self.rng, []
        for p, (_, spells) in enumerate(self.people):
            for a, b in spells:
                if rng.random() < 0.8 and b - a > 2:
                    extras.append(Extra(p, b - rng.randint(1, (b - a) // 2), b))
                if rng.random() < 0.3 and b - a > 2:
                    early = a + rng.randint(1, (b - a) // 2)
                    extras.append(Extra(p, a, early, False, rest=self.shape.rest and early % 2 > 0))
        money = Money(rng.choice([0, self.grid]), rng.randint(30, 90), 10, rng.choice([1, 7]))
        if self.shape.rest:
            money = replace(money, rest_hour=rng.choice([20, 60, 90]))
        return tuple(extras), money, rng.choice([0, 15])

    def _resources(self) -> tuple[Resource, ...]:
        """0: counted benches; 1, 2: shelves; 3: moulds; 4, 5: ovens; 6: a bowl for visits."""
        rng = self.rng
        gap = rng.randint(1, 2)
        setup = ((0, gap), (rng.randint(gap, 2 * gap), 0))
        states = (("bake", 180), ("bake", 220))

        def oven(name: str, capacity: int) -> Resource:
            initial = (self.now + rng.randint(0, 1), self.now + rng.randint(1, 2))
            return Resource(name, capacity, states, setup, initial)

        return (
            Resource("bench", rng.randint(1, 2)),
            Resource("walk-in", rng.randint(1, 3)),
            Resource("freezer", rng.randint(1, 2)),
            Resource("mould", rng.randint(1, 2)),
            oven("oven-1", 1),
            oven("oven-2", 2),
            Resource("bowl", 1),
            *self._stones(),
        )

    def _stones(self) -> tuple[Resource, ...]:
        """7, 8: stones on which sesame, pumpkin seed, or both are ground."""
        if not self.shape.cleaning:
            return ()
        length, at_once = self.rng.randint(1, 2), self._maybe(0.6)
        after = ((False, True, False), (True, False, False), (True, True, False))
        if self.shape.scoured and self._maybe(0.6):
            return self._pans(length, after, at_once)
        rule = Clean(length, self._lines(1), after, at_once)
        setup = tuple(tuple(length * here for here in row) for row in after)
        return tuple(Resource(f"stone-{n}", 1, (), setup, (), rule) for n in (1, 2))

    def _pans(
        self, length: int, between: tuple[tuple[bool, ...], ...], at_once: bool
    ) -> tuple[Resource, ...]:
        """Pans at one of two settings in their place: cold, and cleaned, they heat up again."""
        cold, change = (1, 2), ((0, 2), (1, 0))
        every = [(left, at) for left in range(3) for at in range(2)]
        after = tuple(tuple(between[q][r] for r, _ in every) for q, _ in every)
        setup = tuple(
            tuple(
                length + max(change[a][z], cold[z]) if between[q][r] else change[a][z]
                for r, z in every
            )
            for q, a in every
        )
        rule = Clean(length, self._lines(1), after, at_once)
        states = (("dry", 100), ("dry", 200)) * 3
        return tuple(Resource(f"pan-{n}", 1, states, setup, cold * 3, rule) for n in (1, 2))

    # -- batches --------------------------------------------------------------------

    def _duty(self) -> None:
        b, start = len(self.batches), self.rng.randint(self.now, self.horizon - 3)
        length = self.rng.randint(1, 3)
        self._fixed(f"duty-{b}", start, start + length)
        leave = self._leave() if self.shape.leaves and length > 2 else None
        if leave is not None:
            begun, beyond = start == self.now, start + length == self.horizon
            leave = replace(leave, begun=int(begun), beyond=int(beyond))
        self.crews.append(Crew(len(self.tasks) - 1, (Way(self._lines(1), length - 1),), leave))

    def _rest(self) -> None:
        """A break of somebody (or of everybody who is there), which may move."""
        person = self.rng.randrange(len(self.people))
        a, z = self.rng.choice(self.people[person][1])
        length = min(z - a, self.rng.randint(1, 2))
        first = self.rng.randint(a, z - length)
        last = self.rng.randint(first + length, z)
        everybody = self._maybe(0.4)
        for p, (_, spells) in enumerate(self.people):
            if p == person or (everybody and any(x <= first and last <= y for x, y in spells)):
                b, t = len(self.batches), len(self.tasks)
                self.tasks.append(Task(f"rest-{b}", b, length, length, first, last))
                self.batches.append(Batch(f"rest-{b}", (t,), fixed=True))
                self.crews.append(Crew(t, (Way((Line((p,)),)),), rest=True))

    def _leave(self) -> Leave:
        often = self.rng.randint(1, 2)
        return Leave(often, self.rng.randint(1, 2), 1, self._maybe(0.5))

    def _dish(self, d: int) -> int:
        """A moment of service, and the batch that plates up for it; returns the dish's batch."""
        rng = self.rng
        t = rng.randint(int(self.horizon * self.shape.service), self.horizon - 1)
        fixed = self.shape.fixed_consumers
        length = rng.randint(1, 2)
        if fixed:
            return self._fixed(f"dish-{d}", t - length, t)
        self._fixed(f"service-{d}", t, t)
        service = len(self.tasks) - 1
        b = len(self.batches)
        plating = self._task(b, length, length)
        if self.shape.crews and self._maybe(0.7):
            self.crews.append(Crew(plating, (Way(self._lines(1)),)))
        most = rng.choice([0, 0, 1, 3])
        self.links.append(
            Link(Point(plating, True), Point(service), 0, most, self._band(0, 0) if most else None)
        )
        if most and self.shape.holds and self._maybe(0.5):
            self._use(b, [Option(1)], 1, Point(plating), Point(service))
        self._batch(f"dish-{d}", b, [plating])
        return b

    def _component(self, c: int, takers: list[int]) -> int:
        """A chain of steps whose shares wait for those that take them."""
        rng, shape = self.rng, self.shape
        b = len(self.batches)
        self.batches.append(Batch(f"c{c}", ()))
        loads = shape.loads and self._maybe(0.25)
        chain: list[int] = []
        last: list[int] = []
        for s in range(rng.randint(*shape.steps)):
            count = 2 if loads and s == 0 else 1
            done: list[int] = []
            for n in range(count):
                first, end = self._step(b, f"c{c}/s{s}/{n}")
                chain += [t for t in range(first, end + 1)]
                if n:
                    self.links.append(Link(Point(done[0]), Point(first), 0, None))
                done += [first, end]
                self._after(b, last, first)
            last = done[1::2]
        if shape.containers and self._maybe(0.4):
            self._use(b, [Option(3)], 1, Point(chain[0]), Point(chain[-1], True))
        lanes: tuple[tuple[tuple[int, ...], ...], ...] = ()
        if shape.things:
            lanes = self._things(b, chain, [chain[0]] if len(last) == 1 else last)
        if shape.lags and len(chain) > 2 and self._maybe(0.3):
            self.links.append(Link(Point(chain[0]), Point(chain[-1]), 0, rng.randint(3, 8)))
        for taker in takers:
            consumer = self.batches[taker].tasks[0]
            if not self.batches[taker].id.startswith(("dish", "duty", "service")):
                own = self.batches[taker]
                self.batches[taker] = Batch(own.id, own.tasks, (*own.inputs, b), own.fixed)
            self._share(b, last, consumer)
        if shape.things and not loads and len(chain) > 1 and self._maybe(0.4):
            taker = self.batches[self.rng.choice(takers)].tasks[0]
            self._share(b, [chain[0]], taker)
        if shape.things and self._maybe(0.4):
            self._crates(b, chain[0])
        own = self.batches[b]
        self.batches[b] = Batch(f"c{c}", tuple(chain), own.inputs, lanes=lanes)
        return b

    def _things(
        self, b: int, chain: list[int], emptied: list[int]
    ) -> tuple[tuple[tuple[int, ...], ...], ...]:
        """Moulds from the first step until they are washed (hands) and dry: put in a row, or
        beside the last step; the lanes of the batch."""
        rng = self.rng
        final, early = chain[-1], self.shape.beside and len(chain) > 2
        after = rng.choice(emptied) if early else final
        if not self._maybe(0.6):
            return ()
        wash, dry = self._task(b, 1, 1, f"wash{b}"), self._task(b, rng.randint(0, 2), 2, f"dry{b}")
        self.tasks[dry] = replace(self.tasks[dry], most=self.tasks[dry].least)
        if self.shape.crews:
            self.crews.append(Crew(wash, (Way(self._lines(1)),)))
        self.links.append(Link(Point(after, True), Point(wash), 0, rng.randint(1, 6)))
        self.links.append(Link(Point(wash, True), Point(dry), 0, 0))
        self._use(b, [Option(3)], 1, Point(chain[0]), Point(dry, True))
        chain += [wash, dry]
        return (((wash, dry), (final,)),) if after != final else ()

    def _crates(self, b: int, first: int) -> None:
        """Crates on shelves from when they come until a batch begins, which is not before."""
        comes = self.rng.randint(0, self.horizon // 2)
        self._fixed(f"crates-{b}", comes, comes)
        came = Point(len(self.tasks) - 1)
        self.links.append(Link(came, Point(first), 0, self.rng.choice([None, 6])))
        self._use(b, self._stores(), 1, came, Point(first), self._grace())

    def _stock(self, taker: int) -> None:
        """Something on hand that waits on a shelf until it is taken."""
        consumer = self.batches[taker].tasks[0]
        self._use(taker, self._stores(), 1, START, Point(consumer))
        if self._maybe(0.5):
            self.links.append(
                Link(
                    START, Point(consumer), None, self.rng.randint(self.horizon // 2, self.horizon)
                )
            )

    def _ways(self) -> tuple[Way, ...]:
        """One does it, or two in half the time, or somebody else more slowly."""
        rng = self.rng
        work, more = rng.randint(2, 5), rng.choice([0, 0, 1, 2])
        lengths = [(1, work), (1, work + rng.randint(1, 2))]
        if len(self.people) > 1:
            lengths.append((2, (work + 1) // 2))
        rng.shuffle(lengths)
        return tuple(
            Way(self._lines(count), least, least + more, rng.choice([0, 0, 3, 7]))
            for count, least in lengths[: rng.randint(2, 3)]
        )

    # -- steps ----------------------------------------------------------------------

    def _step(self, b: int, name: str) -> tuple[int, int]:
        """Load, run and unload, or some of them; returns the first task and the last."""
        rng, shape = self.rng, self.shape
        parts: list[int] = []
        handy = shape.crews and self._maybe(0.35)
        if not handy and shape.crews and self._maybe(0.25):
            parts.append(self._task(b, 1, 1, name + ":load"))
            self.crews.append(Crew(parts[-1], (Way(self._lines(1)),)))
        least = rng.randint(1, 4)
        most = least + rng.randint(1, 3) if shape.ranges and self._maybe(0.4) else least
        ways: tuple[Way, ...] = ()
        if handy and shape.ways and self._maybe(0.7):
            ways = self._ways()
            least, most = min(w.least for w in ways), max(w.most for w in ways)
        stretch = None
        if most > least and shape.bands:
            stretch = Band(0, rng.randint(least, most) * self.grid, rng.randint(1, 2))
        leave = self._leave() if shape.leaves and handy and self._maybe(0.7) else None
        if leave is not None:
            longer = leave.times * leave.longest
            most += longer
            ways = tuple(replace(way, most=way.most + longer) for way in ways)
        within = None
        if shape.within and self._maybe(0.2):
            within = self.people[0][1]
        run = self._task(b, least, most, name + ":run", within, stretch)
        parts.append(run)
        if handy:
            team = shape.teams and len(self.people) > 1 and self._maybe(0.3)
            ways = ways or (Way(self._lines(2 if team else 1), least),)
            self.crews.append(Crew(run, ways, leave))
        else:
            self._visits(run, least, most)
        if not handy and shape.crews and self._maybe(0.25):
            parts.append(self._task(b, 1, 1, name + ":unload"))
            self.crews.append(Crew(parts[-1], (Way(self._lines(1)),)))
        for one, two in pairwise(parts):
            self.links.append(Link(Point(one, True), Point(two), 0, 0))
        first, last = Point(parts[0]), Point(parts[-1], True)
        if shape.ovens and self._maybe(0.4):
            units = [4, 5] if shape.choices and self._maybe(0.5) else [rng.choice([4, 5])]
            states = [0, 1] if shape.choices and self._maybe(0.3) else [rng.randint(0, 1)]
            self._use(b, [Option(u, s) for u in units for s in states], 1, first, last)
        elif shape.cleaning and self._maybe(0.7):
            stones = [7, 8] if shape.choices and self._maybe(0.4) else [7]
            many = len(self.resources[7].states) // 3
            at = [rng.randrange(many)] if many else [0]
            at = list(range(many)) if many and shape.choices and self._maybe(0.3) else at
            options = [Option(r, b % 3 * max(1, many) + s) for r in stones for s in at]
            self._use(b, options, 1, first, last)
        elif self._maybe(0.4):
            self._use(b, [Option(0)], rng.randint(1, self.resources[0].capacity), first, last)
        return parts[0], parts[-1]

    def _visits(self, run: int, least: int, most: int) -> None:
        """Perhaps tending by gaps or by windows, perhaps an add."""
        rng, shape = self.rng, self.shape
        bowl = (VisitUse(6, 1),) if self._maybe(0.3) else ()
        if shape.tends and least >= 2 and self._maybe(0.4):
            low = rng.randint(1, 2)
            since = 0
            gap = (low, low + rng.randint(0, 2))
            self.tends.append(Tend(run, 1, self._lines(1), gap, since, (), bowl))
        elif shape.windows and least >= 2 and self._maybe(0.3):
            a = rng.randint(self.now, self.horizon - 4)
            windows = [(a, a + 2)]
            if a + 6 < self.horizon:
                windows.append((a + 4, a + 6))
            self.tends.append(Tend(run, 1, self._lines(1), None, 0, tuple(windows), bowl))
        if shape.adds and least >= 2 and self._maybe(0.3):
            offset = rng.randint(0, most - 1)
            self.adds.append(Add(run, 1, self._lines(1), offset, offset + rng.randint(0, 1), bowl))

    def _after(self, b: int, last: list[int], first: int) -> None:
        """What waits between a step (all its loads) and the next."""
        rng, shape = self.rng, self.shape
        if not last:
            return
        least = rng.choice([0, 0, 1])
        most = least + rng.choice([0, 0, 1, 3])
        if len(last) > 1:
            most += 4
        band = self._band(least, most) if most > least else None
        for n, t in enumerate(last):
            cost = band if n == 0 else None
            self.links.append(Link(Point(t, True), Point(first), least, most, cost))
            if most and shape.holds and self._maybe(0.6):
                self._use(b, self._stores(), 1, Point(t, True), Point(first), self._grace())

    def _share(self, b: int, last: list[int], consumer: int) -> None:
        """A share kept from when it is ready until it is taken."""
        rng, shape = self.rng, self.shape
        least, most = rng.choice([0, 0, 1]), rng.randint(2, 8)
        for n, t in enumerate(last):
            cost = self._band(least, most) if n == 0 else None
            self.links.append(Link(Point(t, True), Point(consumer), least, most, cost))
        if shape.holds and self._maybe(0.7):
            shelves = rng.randint(1, 2)
            ready = Point(last[-1], True)
            self._use(b, self._stores(), shelves, ready, Point(consumer), self._grace())

    # -- prices ---------------------------------------------------------------------

    def _prices(self) -> None:
        """Some starts and some ovens cost something."""
        rng = self.rng
        for t, task in enumerate(self.tasks):
            if self._maybe(0.2) and not self.batches[task.batch].fixed:
                a = rng.randint(0, self.horizon - 2)
                dear = Dear(a, a + rng.randint(1, 6), rng.randint(1, 9), self._maybe(0.5))
                self.tasks[t] = replace(task, dear=(dear,))
        for c, choice in enumerate(self.choices):
            if any(o.state is not None for o in choice.options) and self._maybe(0.4):
                dearer = rng.choice([o.resource for o in choice.options])
                options = tuple(
                    replace(o, price=4) if o.resource == dearer else o for o in choice.options
                )
                self.choices[c] = replace(choice, options=options)

    def _calm(self) -> Calm:
        """Everything that only whole solutions cost."""
        rng, end = self.rng, self.horizon * self.grid
        half = end // 2
        shifts = tuple(
            (Shift(0, half, rng.randint(0, half) if self._maybe(0.5) else None), Shift(half, end))
            for _ in self.people
        )

        def job() -> Job | None:
            if self._maybe(0.1):
                return None
            return Job(rng.randint(0, 3), rng.randint(-1, 2), self._maybe(0.5))

        each = [tuple(job() for _ in x) for x in (self.crews, self.tends, self.adds)]
        batch = [self.tasks[c.task].batch for c in self.crews]
        pairs = [(i, i + 1) for i, b in enumerate(batch[:-1]) if batch[i + 1] == b]
        return Calm(
            shifts, each[0], each[1], each[2], tuple(pairs), over=1, late=7, long=self.grid,
            last=3 * self.grid, section=5, change=3, free=rng.randint(0, 1), short=self.grid,
            ends=2 * self.grid, hand_over=4, oven=6, clean=2,
        )  # fmt: skip

    # -- small things ---------------------------------------------------------------

    def _maybe(self, chance: float) -> bool:
        return self.rng.random() < chance

    def _grace(self) -> int:
        return 1 if self.shape.graces and self._maybe(0.3) else 0

    def _band(self, least: int, most: int) -> Band | None:
        if not self.shape.bands or not self._maybe(0.8):
            return None
        low = self.rng.randint(least, most)
        high = self.rng.randint(low, most)
        # Not always whole ticks: bands are minutes.
        shift = self.rng.randint(0, self.grid - 1)
        return Band(low * self.grid, high * self.grid + shift, self.rng.randint(1, 3))

    def _stores(self) -> list[Option]:
        if self.shape.choices and self._maybe(0.5):
            return [Option(1), Option(2)]
        return [Option(1)]

    def _lines(self, count: int) -> tuple[Line, ...]:
        everybody = tuple(range(len(self.people)))
        if count == 2:
            return (Line((self.rng.choice(everybody),)), Line(everybody))
        some = tuple(p for p in everybody if self._maybe(0.7)) or (self.rng.choice(everybody),)
        return (Line(some),)

    def _task(
        self,
        b: int,
        least: int,
        most: int,
        name: str = "",
        within: Any = None,
        stretch: Band | None = None,
    ) -> int:
        t = len(self.tasks)
        self.tasks.append(
            Task(name or f"t{t}", b, least, most, self.now, self.horizon, within, stretch)
        )
        return t

    def _fixed(self, name: str, start: int, end: int) -> int:
        b, t = len(self.batches), len(self.tasks)
        self.tasks.append(Task(f"{name}/t{t}", b, end - start, end - start, start, end))
        self.batches.append(Batch(name, (t,), fixed=True))
        return b

    def _batch(self, name: str, b: int, chain: list[int]) -> None:
        self.batches.insert(b, Batch(name, tuple(chain)))

    def _use(
        self, b: int, options: list[Option], amount: int, start: Point, end: Point, grace: int = 0
    ) -> None:
        self.choices.append(Choice(b, tuple(options)))
        shut = self.shape.doors and options[0].resource in (0, 4, 5) and self._maybe(0.4)
        sort = (1 << b % 3, 2 if b % 3 == 0 else 0) if self.shape.neighbours else (0, 0)
        self.uses.append(Use(b, len(self.choices) - 1, amount, start, end, grace, shut, *sort))
