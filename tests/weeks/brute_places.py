"""Every way to house and man one timed batch of a tiny week: people, units, settings, stores."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, product
from math import ceil

from scheduler.domain.kitchen import Equipment
from scheduler.domain.quantity import Quantity
from scheduler.domain.recipes import ANYONE, Hands, Need, Step, Time
from scheduler.plan.model import PlannedHold, Taken
from tests.weeks.brute_kitchen import Heated, Kitchen, agree, counted
from tests.weeks.brute_times import PLATING, Seen, Timed, Timing, Used, lengths
from tests.weeks.brute_work import Make, places

RANK = {"trainee": 0, "cook": 1, "lead": 2}

@dataclass(frozen=True)
class Housed:
    """One need met: what `Taken` says, before numbers are given to units that are all alike."""

    task: int
    visit: int | None
    need: int
    key: str
    store: bool
    amount: int
    start: int
    end: int
    heated: Heated | None = None


@dataclass(frozen=True)
class Candidate:
    """One way to do a batch; `load` is what it takes of everything, packed into one number."""

    make: Make
    timing: Timing
    people: tuple[tuple[tuple[str, ...], ...], ...]
    housed: tuple[Housed, ...]
    holds: tuple[PlannedHold, ...]
    load: int
    ovens: tuple[Heated, ...]


@dataclass(frozen=True)
class _Bit:
    """One decision made: what it takes."""

    load: int
    people: tuple[str, ...] = ()
    housed: Housed | None = None
    hold: PlannedHold | None = None


class Dresser:
    """Enumerates candidates of one batch for one timing.

    `used` is as for `Timer`; `enders` are the tasks that end the holds.
    """

    def __init__(
        self, kitchen: Kitchen, make: Make, used: Used, enders: dict[tuple[str, str], str]
    ) -> None:
        self.kitchen, self.make, self.used, self.enders = kitchen, make, used, enders
        self.scenario = kitchen.scenario
        self.now = self.scenario.clock.minute(self.scenario.week.plan_from)
        self.steps: dict[str, Step] = {s.id: s for s in make.steps}

    def all(self, timing: Timing) -> Iterator[Candidate]:
        """Every candidate with this timing."""
        choices: list[list[_Bit]] = []
        shape: list[int] = []
        for n, task in enumerate(timing.tasks):
            if not self._attended(task):
                return
            shape.append(len(task.visits))
            for at, seen in enumerate(task.visits):
                choices.append(self._people(task, seen))
                choices += [
                    self._need(n, at, i, need, task, seen.start, seen.end)
                    for i, need in enumerate(seen.on)
                ]
            choices += [
                self._need(n, None, i, need, task, task.start, self._till(timing, task, need))
                for i, need in enumerate(self._needs(task))
            ]
        choices += [self._hold(h, zone) for h, zone in self._holds(timing)]
        if not all(choices):
            return
        for bits in self._pick(choices, 0, 0, []):
            people = [b.people for b in bits if b.people]
            by_task = []
            for count in shape:
                by_task.append(tuple(people[:count]))
                del people[:count]
            ovens = tuple(b.housed.heated for b in bits if b.housed and b.housed.heated)
            pairs = combinations(ovens, 2)
            if all(agree(self.kitchen, a, b) for a, b in pairs):
                yield Candidate(
                    self.make, timing, tuple(by_task),
                    tuple(b.housed for b in bits if b.housed),
                    tuple(b.hold for b in bits if b.hold),
                    sum(b.load for b in bits), ovens,
                )

    def _pick(
        self, choices: list[list[_Bit]], at: int, load: int, bits: list[_Bit]
    ) -> Iterator[list[_Bit]]:
        if at == len(choices):
            yield list(bits)
            return
        for bit in choices[at]:
            if self.kitchen.fits(load + bit.load):
                yield from self._pick(choices, at + 1, load + bit.load, [*bits, bit])

    def _needs(self, task: Timed) -> tuple[Need, ...]:
        if task.step == PLATING:
            return self.make.dish.plating.on if self.make.dish else ()
        return self.steps[task.step].on

    def _attended(self, task: Timed) -> bool:
        """Somebody in the house as long as it runs, where it must not be alone."""
        rules = [self.steps[task.step].alone.value] if task.step in self.steps else []
        for need in self._needs(task):
            if need.equipment:
                rules.append(self.scenario.units_of(need.equipment)[0][0].unattended.value)
        return "someone_on_shift" not in rules or any(
            a <= task.start and task.end <= b for a, b in self.kitchen.manned
        )

    def _people(self, task: Timed, seen: Seen) -> list[_Bit]:
        step = self.steps.get(task.step)
        section = (step.section if step else None) or self.make.recipe.section
        touched = [
            kind.may_use
            for need in (*self._needs(task), *seen.on)
            if need.equipment
            for kind in [self.scenario.units_of(need.equipment)[0][0]]
            if kind.may_use
        ]
        lines = [list(self._team(line, section, touched, seen)) for line in seen.lines]
        time = None
        if step is not None and seen.kind == "hands":
            time = step.time
        elif step is not None and seen.kind in ("load", "unload"):
            time = getattr(step, seen.kind).time
        bits = []
        for teams in product(*lines):
            people = tuple(p for team in teams for p in team)
            if len(set(people)) == len(people) and self._quick(teams, section, task, seen, time):
                load = sum(self.kitchen.bits(p, 1, seen.start, seen.end) for p in people)
                bits.append(_Bit(load, people))
        return bits

    def _quick(
        self, teams: tuple[tuple[str, ...], ...], section: str, task: Timed, seen: Seen,
        time: Time | None,
    ) -> bool:
        """Whether those who are at it take as long as that, and no trainee is wrongly alone."""
        learning = []
        for line, team in zip(seen.lines, teams, strict=True):
            of = line.section or section
            for p in team:
                levels = self.scenario.person[p].sections
                here = levels.values() if of == ANYONE else [levels[of]]
                learning.append(all(level.value == "trainee" for level in here))
        if all(learning) and any(line.not_alone for line in seen.lines):
            return False
        if time is None:
            return True
        slow = Fraction(60, self.scenario.kitchen.trainee_hour)
        if seen.lines[0].up_to is not None:
            pace = sum((slow if one else Fraction(1) for one in learning), Fraction(0))
        else:
            pace = slow if all(learning) else Fraction(1)
        lasts = seen.end - seen.start
        grid = self.scenario.kitchen.grid
        return lasts in [n for n, _ in lengths(time, task.quantity, grid, pace)]

    def _team(
        self, line: Hands, section: str, touched: list[str], seen: Seen
    ) -> Iterator[tuple[str, ...]]:
        able = []
        for person in self.scenario.kitchen.people:
            name = line.section or section
            levels = person.sections
            level = (
                max((RANK[v.value] for v in levels.values()), default=-1)
                if name == ANYONE
                else RANK[levels[name].value] if name in levels else -1
            )
            if (
                level >= RANK[line.level.value]
                and (not line.only or person.id in line.only)
                and {*line.may_use, *touched} <= set(person.may_use)
                and self.kitchen.free(person.id, seen.start, seen.end)
            ):
                able.append(person.id)
        for many in range(line.people, (line.up_to or line.people) + 1):
            yield from combinations(able, many)

    def _till(self, timing: Timing, task: Timed, need: Need) -> int:
        if need.until is not None:
            ends = timing.of(need.until)
            step = self.steps[task.step]
            paired = step.waves and len(ends) == task.loads
            return ends[task.load - 1].end if paired else max(t.end for t in ends)
        step_of = self.steps.get(task.step)
        if step_of is not None and step_of.then is not None and step_of.then.in_machine:
            after = timing.of(self._next(step_of))
            paired = step_of.waves and len(after) == task.loads
            return (after[task.load - 1] if paired else after[-1]).start
        return task.end

    def _next(self, step: Step) -> str:
        place = self.make.steps.index(step) + 1
        return self.make.steps[place].id if place < len(self.make.steps) else PLATING

    def _standing(self, step: Step, quantity: int) -> int | None:
        """Shelves of the containers that stand filled after a step; None if there are none."""
        place, found = self.make.steps.index(step), None
        for earlier in self.make.steps[: place + 1]:
            for need in earlier.on:
                emptied = [i for i, s in enumerate(self.make.steps) if s.id == need.until]
                if not emptied or emptied[0] <= place or need.equipment is None:
                    continue
                per = self.scenario.units_of(need.equipment)[0][0].per_shelf
                if per is not None:
                    found = (found or 0) + ceil(places(need, quantity) / per)
        return found

    def _need(
        self, n: int, visit: int | None, i: int, need: Need, task: Timed, start: int, end: int
    ) -> list[_Bit]:
        amount = places(need, task.quantity)
        bits = []
        if need.equipment is None:
            for store in self.scenario.kitchen.stores:
                if store.zone == need.zone:
                    housed = Housed(n, visit, i, store.id, True, amount, start, end)
                    bits.append(_Bit(self.kitchen.bits(store.id, amount, start, end), (), housed))
            return bits
        kind = self.scenario.units_of(need.equipment)[0][0]
        if counted(kind):
            load = self.kitchen.bits(kind.id, amount, start, end)
            return [_Bit(load, (), Housed(n, visit, i, kind.id, False, amount, start, end))]
        for _, unit in self.scenario.units_of(need.equipment):
            if unit.fill is not None and unit.fill.base < task.quantity:
                continue
            taken = 1 if unit.fill is not None else amount
            load = self.kitchen.bits(unit.id, taken, start, end)
            for heated in self._settings(kind, unit.id, need, start, end):
                housed = Housed(n, visit, i, unit.id, False, taken, start, end, heated)
                bits.append(_Bit(load, (), housed))
        return bits

    def _settings(
        self, kind: Equipment, unit: str, need: Need, start: int, end: int
    ) -> Iterator[Heated | None]:
        if kind.heat is None or need.setting is None:
            yield None
            return
        for celsius in sorted(self._celsius(kind, need)):
            warm = ceil(max(0, celsius - kind.heat.ambient) / kind.heat.up)
            if start >= self.now + warm:
                yield Heated(unit, start, end, need.setting.mode, celsius)

    def _celsius(self, kind: Equipment, need: Need) -> set[int]:
        """The coldest of every setting of that mode on that kind that this one allows."""
        mine = need.setting
        assert mine is not None
        recipes = (*self.scenario.components, *self.scenario.dishes)
        needs = [n for r in recipes for s in r.steps for n in s.on]
        return {
            n.setting.coldest
            for n in needs
            if n.setting and n.setting.mode == mine.mode and n.equipment
            and self.scenario.units_of(n.equipment)[0][0].id == kind.id
            and mine.coldest <= n.setting.coldest <= mine.hottest
        }  # fmt: skip

    def _holds(self, timing: Timing) -> Iterator[tuple[PlannedHold, str | None]]:
        """Everything that waits, and the zone it waits in."""
        make, of = self.make, self.make.dimension
        for one, other in zip(make.steps, make.steps[1:], strict=False):
            before, after = timing.of(one.id), timing.of(other.id)
            if one.waves and len(before) == len(after):
                waits = [(a.load, a, b, a.quantity) for a, b in zip(before, after, strict=True)]
            elif len(before) == 1:
                waits = [(b.load, before[0], b, b.quantity) for b in after]
            else:
                waits = [(a.load, a, after[-1], a.quantity) for a in before]
            for load, a, b, quantity in waits:
                zone = one.then.zone if one.then else None
                shelves = 0
                if zone and one.then:
                    per, standing = one.then.per_shelf, self._standing(one, quantity)
                    shelves = ceil(quantity / per.base) if per else 1
                    shelves = shelves if standing is None else standing
                yield (
                    PlannedHold(
                        kind="wait", source=make.id, step=one.id, load=load,
                        consumer=name_of(make.id, b), quantity=Quantity.of(quantity, of),
                        start=a.end, end=b.start, shelves=shelves,
                    ),
                    zone,
                )
        yield from self._finished(timing)

    def _finished(self, timing: Timing) -> Iterator[tuple[PlannedHold, str | None]]:
        make, of, dish = self.make, self.make.dimension, self.make.dish
        if dish is not None:
            if dish.keeps is not None:
                per = dish.keeps.per_shelf
                shelves = ceil(make.quantity / per.base) if per else 1
                plated = timing.of(PLATING)[0].start
                yield (
                    PlannedHold(
                        kind="plated", source=make.id, quantity=Quantity.of(make.quantity, of),
                        start=plated, end=make.away, shelves=shelves if dish.keeps.zone else 0,
                    ),
                    dish.keeps.zone,
                )
            return
        keep = make.recipe.keeps[0]  # type: ignore[union-attr, index]
        loads = timing.of(make.steps[-1].id)
        ready = loads[-1].end

        def shelves_of(quantity: int) -> int:
            if keep.zone is None:
                return 0
            return ceil(quantity / keep.per_shelf.base) if keep.per_shelf else 1

        for task in loads[:-1]:
            yield (
                PlannedHold(
                    kind="loads", source=make.id, step=task.step, load=task.load,
                    quantity=Quantity.of(task.quantity, of), start=task.end, end=ready,
                    shelves=shelves_of(task.quantity),
                ),
                keep.zone,
            )
        for use in make.uses:
            if (use.consumer, use.step) in self.used:
                yield (
                    PlannedHold(
                        kind="share", source=make.id, consumer=self.enders[use.consumer, use.step],
                        quantity=Quantity.of(use.quantity, of), start=ready,
                        end=self.used[use.consumer, use.step][1],
                        shelves=shelves_of(use.quantity),
                    ),
                    keep.zone,
                )

    def _hold(self, hold: PlannedHold, zone: str | None) -> list[_Bit]:
        short = hold.end - hold.start <= self.scenario.kitchen.transfer
        if hold.start == hold.end or zone is None or short:
            kept = hold.model_copy(update={"shelves": 0})
            return [_Bit(0, hold=kept if hold.start < hold.end else None)]
        return [
            _Bit(
                self.kitchen.bits(store.id, hold.shelves, hold.start, hold.end),
                hold=hold.model_copy(update={"store": store.id}),
            )
            for store in self.scenario.kitchen.stores
            if store.zone == zone
        ]


def name_of(batch: str, task: Timed) -> str:
    tail = f"/{task.load}" if task.loads > 1 else ""
    return f"{batch}/{task.step}{tail}"


def taken_of(housed: Housed, unit: str, amount: int) -> Taken:
    """As it stands in a plan."""
    heat = housed.heated
    return Taken(
        need=housed.need, unit=None if housed.store else unit,
        store=unit if housed.store else None, amount=amount, start=housed.start, end=housed.end,
        mode=heat.mode if heat else None, celsius=heat.celsius if heat else None,
    )
