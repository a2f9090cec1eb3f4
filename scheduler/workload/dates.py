"""Dates of use as windows: what carries a date begins late enough for its last plate.

The last plate away is fixed and shares are fixed beforehand, so on a way that
is nowhere frozen the rule is a window: with `days` allowed, the batch's first
step starts at or after midnight of (day of the last plate - (days - 1)).

Where food stands frozen on its way, the days used before it depend on the plan.
They are divided beforehand: what comes before gets what it needs at its shortest
and a night more, what comes after the last thawing the rest. From the start to
the freezing, and from a thawing to the next freezing, so many days are so many
times 24 hours at most (less what the clock may be put forward), which never
touches more days than that. Where there are too few days to divide, the freezing
counts for nothing.

What goes into exempt food is used by the step that takes it: (days - 1) × 24
hours from its own start, or a window by that step's latest start where one day
is allowed.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from scheduler.domain.dating import (
    Dating,
    dating,
    keeps_frozen,
    runs_frozen,
    stands_frozen,
    waits_frozen,
)
from scheduler.workload.builder import first, last
from scheduler.workload.dated import Dated
from scheduler.workload.model import PLATING
from scheduler.workload.primitives import HORIZON_START, Point

if TYPE_CHECKING:
    from collections.abc import Iterable

    from scheduler.domain.recipes import Component, Wait
    from scheduler.workload.builder import Builder, Built
    from scheduler.workload.model import WorkShare

START = Point(HORIZON_START)
DAY = 24 * 60


@dataclass(frozen=True, slots=True)
class Moments:
    """One moment of every load: where it is in the problem, and about when at its latest."""

    points: tuple[Point, ...]
    about: int


@dataclass(frozen=True, slots=True)
class Way:
    """What food still goes through until it is used, from some moment on.

    Attributes
    ----------
    used : int or Moments
        The last plate away, minutes; or the step of exempt food that takes it.
    cold : tuple of (Moments, Moments)
        Stretches in which it stands frozen: from and until, in order of time.
    thaw : Moments or None
        It stands frozen at that moment, until then.
    longest : int or None
        How long it may take at most, minutes; None: not known.
    own : bool
        The date of the batch that it comes from counts on it.
    """

    used: int | Moments
    cold: tuple[tuple[Moments, Moments], ...] = ()
    thaw: Moments | None = None
    longest: int | None = 0
    own: bool = True

    def back(self, most: int | None) -> Way:
        """The same from so much earlier on."""
        known = self.longest is not None and most is not None
        return replace(self, longest=self.longest + most if known else None)  # type: ignore[operator]

    def frozen(self, until: Moments) -> Way:
        """And before that it stands frozen."""
        return self if self.thaw is not None else replace(self, thaw=until)

    def fresh(self, since: Moments) -> Way:
        """And before that it does not: a frozen stretch began there."""
        if self.thaw is None:
            return self
        return replace(self, thaw=None, cold=((since, self.thaw), *self.cold))


@dataclass(slots=True)
class _Dates:
    """Goes through the week from the plates back."""

    b: Builder
    dated: Dated
    days: int
    beyond: int
    shift: int
    onward: dict[str, list[WorkShare]] = field(default_factory=dict)
    seen: set[str] = field(default_factory=set)
    into: dict[tuple[str, str], list[Way]] = field(default_factory=dict)
    done: set[tuple[object, ...]] = field(default_factory=set)

    def run(self) -> None:
        for share in self.b.work.shares:
            self.onward.setdefault(share.source, []).append(share)
        for built in self.b.built.values():
            self.batch(built)
        for lot in self.b.scenario.week.on_hand:
            for share in self.onward.get(lot.id, []):
                component = self.b.scenario.component[share.component]
                frozen = stands_frozen(self.b.scenario, lot.store, self.dated.limits)
                if dating(self.b.scenario, component) is Dating.OWN:
                    made = self.b.calendar.clock.minute(lot.made)
                    for way in self.held(share, component, frozen):
                        self.good(share, made, way)
                        self.since(made, way)

    # -- ways ------------------------------------------------------------------------

    def batch(self, built: Built) -> None:
        """Every way out of a batch, back to each of its steps and to its start."""
        b, limits = self.b, self.dated.limits
        if built.batch.id in self.seen:
            return
        self.seen.add(built.batch.id)
        given: dict[str, list[Way]] = {}
        for share in self.onward.get(built.batch.id, []):
            component = b.scenario.component[share.component]
            kind = dating(b.scenario, component)
            if kind is not Dating.NONE:
                frozen = keeps_frozen(b.scenario, component, limits)
                ways = given.setdefault(share.given or built.batch.stages[-1].step.id, [])
                held = self.held(share, component, frozen)
                ways += [replace(way, own=kind is Dating.OWN) for way in held]
                began = built.stages[0][1][0].began
                for way in held if began is not None and kind is Dating.OWN else ():
                    self.good(share, began or 0, way)
        maker = b.component(built.batch)
        exempt = maker is not None and dating(b.scenario, maker) is Dating.NONE
        ways = [] if built.plating is None else [self.plated(built)]
        for place in reversed(range(len(built.stages))):
            stage, tasks = built.stages[place]
            begin = Moments(tuple(first(t) for t in tasks), stage.latest)
            least = sum(b.tasks[t].least for t in tasks[0].parts.values()) * b.grid
            end = Moments(tuple(last(t) for t in tasks), stage.latest + least)
            if ways:
                ways = self.waited(built, place, ways)
            ways = self.fewest([*ways, *given.get(stage.step.id, [])])
            length = sum(b.tasks[t].most for t in tasks[0].parts.values()) * b.grid
            most = length if len(tasks) == 1 else None
            cold = runs_frozen(b.scenario, stage.step, limits)
            ways = [(w.frozen(end) if cold else w.fresh(end)).back(most) for w in ways]
            used = [Way(begin)] if exempt else []
            self.into[built.batch.id, stage.step.id] = [*ways, *used]
        if not built.stages:
            return
        stage, tasks = built.stages[0]
        for way in (w for w in ways if w.own and maker is not None):
            if tasks[0].began is not None:
                self.since(tasks[0].began, way)
            else:
                begin = Moments(tuple(first(t) for t in tasks), stage.latest)
                self.starts(begin, way.fresh(begin))

    def plated(self, built: Built) -> Way:
        """From the start of plating to the last plate away."""
        b, batch, plating = self.b, built.batch, built.plating
        assert plating is not None
        dish = b.scenario.dish[batch.dish or ""]
        length = b.tasks[first(plating).task].least * b.grid
        away, longest = batch.service or 0, None
        if dish.keeps is not None:
            longest = dish.keeps.at_most
        elif batch.diet is None:
            away, longest = away + length - 1, length
        way = Way(away, longest=longest)
        self.into[batch.id, PLATING] = [way]
        return way

    def waited(self, built: Built, place: int, ways: list[Way]) -> list[Way]:
        """Before the step that follows: the wait, if there is one."""
        wait: Wait | None = built.stages[place][0].step.then
        if wait is None:
            return ways
        if place + 1 < len(built.stages):
            stage, tasks = built.stages[place + 1]
            begin = Moments(tuple(first(t) for t in tasks), stage.latest)
        else:
            assert built.plating is not None
            begin = Moments((first(built.plating),), built.batch.plating or 0)
        cold = waits_frozen(self.b.scenario, wait, self.dated.limits)
        return [(w.frozen(begin) if cold else w.fresh(begin)).back(wait.at_most) for w in ways]

    def held(self, share: WorkShare, component: Component, frozen: bool) -> list[Way]:
        """From ready on, through the hold of a share."""
        consumer = self.b.built[share.consumer]
        self.batch(consumer)
        latest = {s.step.id: s.latest for s, _ in consumer.stages}
        latest[PLATING] = consumer.batch.plating or 0
        points = tuple(first(t) for t in consumer.task(share.step))
        begin = Moments(points, latest[share.step])
        most = component.keeps[0].at_most
        return [
            (w.frozen(begin) if frozen else w.fresh(begin)).back(most)
            for w in self.into[share.consumer, share.step]
        ]

    def fewest(self, ways: Iterable[Way]) -> list[Way]:
        """Each once; of plates on ways that are nowhere frozen only the last, where that decides.

        What may be kept for so short that it needs no date is told apart only
        where so short a time can be more than the days allowed.
        """
        tell = self.beyond > (self.days - 1) * DAY
        found: dict[object, Way] = {}
        for way in ways:
            plain = isinstance(way.used, int) and not way.cold and way.thaw is None and not tell
            way = way if tell else replace(way, longest=None)
            key: object = way.own if plain else way
            old = found.get(key)
            if old is None or (isinstance(old.used, int) and isinstance(way.used, int)
                               and way.used > old.used):  # fmt: skip
                found[key] = way
        return list(found.values())

    # -- what they ask ---------------------------------------------------------------

    def starts(self, begin: Moments, way: Way) -> None:
        """Of a batch that is still to be begun."""
        if way.longest is not None and way.longest <= self.beyond:
            return
        parts = self.divided(begin, way)
        if parts is None:
            self.counted(begin, way, self.days)
            return
        for (since, until), days in zip(way.cold, parts, strict=False):
            self.at_most(begin, since, days)
            begin = until
        self.counted(begin, way, parts[-1])

    def since(self, minute: int, way: Way) -> None:
        """Of what is there already: whether it is fresh enough was asked when it was shared out.

        Too few days to divide: what comes out of the freezer stays out for those
        after its own; anything else has no use.
        """
        begin, frozen = Moments((START,), minute), way.thaw is not None
        way = way.fresh(begin)
        if not way.cold:
            return
        parts = self.divided(begin, way)
        if parts is None and frozen and self.days > 1:
            self.counted(way.cold[0][1], way, self.days - 1)
            return
        if parts is None:
            self.never(way.cold[0][1].points)
            return
        self.until(minute, way.cold[0][0], parts[0])
        begin = way.cold[0][1]
        for (since, until), days in zip(way.cold[1:], parts[1:], strict=False):
            self.at_most(begin, since, days)
            begin = until
        self.counted(begin, way, parts[-1])

    def good(self, share: WorkShare, minute: int, way: Way) -> None:
        """What is there already and too old for a use has none there, if it was shared out so.

        Happens where a by-product of its consumer, or what nothing else can feed, takes it.
        """
        if way.cold or way.thaw is not None:
            return
        used = way.used.about if isinstance(way.used, Moments) else way.used
        if minute < self.dated.first_day(used, self.days) and used - minute > self.beyond:
            self.never(tuple(first(t) for t in self.b.built[share.consumer].task(share.step)))

    def never(self, points: tuple[Point, ...]) -> None:
        """Nothing begins there in this week."""
        for point in points:
            task = self.b.tasks[point.task]
            self.b.tasks[point.task] = replace(task, earliest=self.b.calendar.horizon)

    def divided(self, begin: Moments, way: Way) -> list[int] | None:
        """Days for each stretch between freezings, the last to its use; None: too few."""
        stretches, nights, at = [], [], begin
        for since, until in way.cold:
            stretches.append(max(1, -(-(since.about - at.about) // DAY)))
            nights.append(since.points != begin.points)
            at = until
        if isinstance(way.used, int):
            ends = (way.used, at.about)
            gone = [self.b.calendar.clock.local(m).date() for m in ends]
            needed = max(1, (gone[0] - gone[1]).days + 1)
        else:
            needed = 1 + max(1, -(-(way.used.about - at.about) // DAY))
        left = self.days - sum(stretches) - needed
        for n in range(len(stretches)):
            if nights[n] and left > 0:
                stretches[n] += 1
                left -= 1
        rest = self.days - sum(stretches)
        return [*stretches, rest] if rest >= 1 else None

    def counted(self, begin: Moments, way: Way, days: int) -> None:
        """So many days from a start to the use, both counted."""
        used = way.used
        if isinstance(used, Moments) and days > 1:
            self.at_most(begin, used, days - 1)
            return
        end = used.about if isinstance(used, Moments) else used
        tick = self.b.up(self.dated.first_day(end, days))
        for point in begin.points:
            key = point, tick
            if key in self.done or tick <= 0:
                continue
            self.done.add(key)
            if point.end:
                self.b.link(START, point, tick)
            elif point != START:
                task = self.b.tasks[point.task]
                self.b.tasks[point.task] = replace(task, earliest=max(task.earliest, tick))

    def at_most(self, begin: Moments, end: Moments, days: int) -> None:
        """So many days from one moment to another, the last not counted."""
        most = self.b.down(days * DAY - self.shift)
        # Loads start in their order.
        first_ = begin.points if begin.points[0].end else begin.points[:1]
        last_ = end.points if end.points[0].end else end.points[-1:]
        for one in first_:
            for other in last_:
                if one != other and (one, other, most) not in self.done:
                    self.done.add((one, other, most))
                    self.b.link(one, other, None, most)

    def until(self, minute: int, end: Moments, days: int) -> None:
        """The same from a moment that has been, whose day is known."""
        tick = self.b.down(self.dated.first_day(minute, -days) - 1)
        for other in end.points:
            if other != START and (START, other, tick) not in self.done:
                self.done.add((START, other, tick))
                self.b.link(START, other, None, tick)


def add_dates(b: Builder) -> None:
    """The windows of everything that carries a date of use, where the kitchen has such a rule."""
    dated = Dated(b.scenario)
    if dated.rule is None:
        return
    clock = b.calendar.clock
    offsets = [clock.local(m).utcoffset() for m in range(0, clock.horizon + DAY, DAY)]
    known = [int(o.total_seconds()) // 60 for o in offsets if o is not None]
    _Dates(b, dated, *dated.rule, max(known) - min(known)).run()
