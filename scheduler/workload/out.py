"""The way of food through steps, waits, holds and sub-components to the last plate away: a net.

Its points are the ends of tasks; each arc between two says how food is kept, and how long.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.domain.profiles import controlled
from scheduler.workload.builder import first, last
from scheduler.workload.chains import passes_on
from scheduler.workload.dealing import Room
from scheduler.workload.plates import service_point
from scheduler.workload.primitives import HORIZON_START, Point

if TYPE_CHECKING:
    from scheduler.domain.exposed import Exposing
    from scheduler.domain.limits import Kept
    from scheduler.domain.recipes import Component, Dish, Step
    from scheduler.workload.builder import Builder, Built
    from scheduler.workload.compiled import TaskRecord
    from scheduler.workload.model import WorkShare

Ends = tuple[Point, Point]
Node = Point | str
"""An end of a task, or (by its batch) the moment the last plate of a dish is away."""


class Ways:
    """The net of a week: a point for each end of a task, an arc for each stretch between two."""

    def __init__(self, b: Builder, rules: Exposing, limit: int) -> None:
        self.b, self.rules = b, rules
        self.limit = b.down(limit)
        self.back = None if rules.back is None else b.down(rules.back.most)
        hot = rules.limits.exposure_hot
        self.hot = hot if hot is not None and hot.hard else None
        self.links: dict[Ends, int] = {}
        for n, link in enumerate(b.links):
            known = self.links.setdefault((link.before, link.after), n)
            most = b.links[known].most
            if link.most is not None and (most is None or link.most < most):
                self.links[link.before, link.after] = n
        self.shelves: dict[Ends, list[int]] = {}
        for hold in b.holds:
            if hold.use is not None:
                self.shelves.setdefault((hold.start, hold.end), []).append(hold.use)
        self.rooms: list[Room] = []
        self.cut: list[Callable[[int], None]] = []
        self.room_of: dict[object, int] = {}
        self.arcs: list[tuple[Node, Node, int, int | None]] = []
        self.kept: list[Kept] = []  # of each arc; what may be nothing is kept out
        self.heated: set[Node] = set()
        self.chilled: list[tuple[Node, int | None, bool]] = []
        self.brief: list[tuple[int, int, list[int]]] = []
        self.where: dict[Node, str] = {}
        self.anew: set[str] = set()

    # -- walking ---------------------------------------------------------------------

    def walk(self) -> None:
        for built in self.b.built.values():
            component = self.b.component(built.batch)
            if component is None or controlled(component):
                self._batch(built, component)
        for share in self.b.work.shares:
            if controlled(self.b.scenario.component[share.component]):
                self._share(share)

    def _batch(self, built: Built, component: Component | None) -> None:
        maker = self.b.maker(built.batch)
        begins = self._begins(built, component)
        for stage, tasks in built.stages[begins:]:
            runs = self.rules.runs(maker, stage.step)
            for task in tasks:
                self.where[first(task)] = self.where[last(task)] = built.batch.id
                if self.rules.anew(maker, stage.step):
                    self.heated.add(last(task))
                    self.anew.add(built.batch.id)
                    continue
                self._task(task, runs, maker, stage.step)
                if runs in ("cold", "frozen"):
                    self.chilled.append((first(task), None, False))
        after = built.stages[1:] + ([(None, [built.plating])] if built.plating else [])
        pairs = list(zip(built.stages, after, strict=False))
        for (one, tasks), (other, following) in pairs[begins:]:
            pairwise = other is not None and passes_on(one, other)
            for n, task in enumerate(tasks):
                for follower in [following[n]] if pairwise else following:
                    tail = follower if pairwise else following[-1]
                    self._wait(maker, one.step, task, follower, tail)
        if built.plating is not None and begins <= len(built.stages):
            self._plated(built, built.plating)

    def _begins(self, built: Built, component: Component | None) -> int:
        """The first stage that has controlled food in it; of a component the first of all."""
        if component is not None:
            return 0
        steps = [stage.step.id for stage, _ in built.stages]
        taking = (
            steps.index(s.step) if s.step in steps else len(steps)
            for s in self.b.work.shares
            if s.consumer == built.batch.id
            and controlled(self.b.scenario.component[s.component])
        )
        return min(taking, default=len(steps) + 1)

    def _task(
        self,
        task: TaskRecord,
        runs: Kept,
        maker: Component | Dish | None = None,
        step: Step | None = None,
    ) -> None:
        """Its parts one after the other; only what runs by its law can be cut.

        What ran already before planning begins counts from there on. What is broken off waits for
        its other part as it was kept by the step. Of what cools a part is out;
        what a longer run has more is counted whole.
        """
        b, parts, out = self.b, list(task.parts.values()), runs == "out" and self.rules.works
        kept = runs if maker is None or step is None else self.rules.stays(maker, step)
        for n, (kind, part) in enumerate(task.parts.items()):
            length = b.tasks[part]
            more = 0
            if out and kind == "run":
                gone = 0 if task.began is None else b.calendar.now * b.grid - task.began
                counted = length.least * b.grid + gone
                if maker is not None and step is not None:
                    counted = self.rules.out_of(maker, step, counted)
                more = b.up(counted) - length.least
            if not out:
                self._arc(Point(part), Point(part, True), 0, None, kept)
            elif length.least == length.most:
                self._arc(Point(part), Point(part, True), length.least + more, None, kept)
            else:
                good = None if length.stretch is None else self.b.up(length.stretch.high)
                room = Room(length.least, length.most, good, soon=True)
                cut = self._shorter(part)
                room_at = self._room(part, room, cut)
                self._arc(Point(part), Point(part, True), more, room_at, kept)
            before = Point(parts[n - 1], True) if n else None
            if before is not None and kind == "on" and out:
                self._stretch(before, Point(part), (before, Point(part)), 0, "out")
            elif before is not None:
                self._arc(before, Point(part), 0, None)

    def _wait(
        self,
        maker: Component | Dish,
        step: Step,
        task: TaskRecord,
        follower: TaskRecord,
        tail: TaskRecord,
    ) -> None:
        wait = step.then
        least = 0 if wait is None else self.b.up(wait.not_before)
        kept = self.rules.waits(maker, step)
        ends = last(task), first(tail)
        uses = [*self.shelves.get((last(task), first(follower)), ()), *self.shelves.get(ends, ())]
        self._stretch(last(task), first(follower), ends, least, kept, uses)

    def _share(self, share: WorkShare) -> None:
        """From every load of its source to every load of what takes it."""
        component = self.b.scenario.component[share.component]
        users = self.b.built[share.consumer].task(share.step)
        keep, consumer = component.keeps[0], self.b.built[share.consumer]
        for user in users:
            self.where.setdefault(first(user), consumer.batch.id)
        if share.lot:
            lot = next(x for x in self.b.scenario.week.on_hand if x.id == share.source)
            of = component
            kept = (
                self.rules.store(lot.store, of) if lot.store else self.rules.zone(keep.zone, of)
            )
            ends = Point(HORIZON_START), first(users[-1])
            now, since = self.b.calendar.now, self.b.calendar.now
            if kept == "out":  # So it has been since it was made.
                since = self.b.down(self.b.calendar.clock.minute(lot.made))
            for user in users:
                uses = self.shelves.get(ends, [])
                self._stretch(ends[0], first(user), ends, now - since, kept, uses, since)
            return
        source = self.b.built[share.source]
        made = self.b.component(source.batch)
        tasks = source.task(share.given) if share.given else source.stages[-1][1]
        if not share.given and made is not None:
            component, keep = made, made.keeps[0]
        kept = self.rules.zone(self.rules.offered(component)[0], component)
        if self.rules.keeps_out(component):
            kept = "out"
        ends, least = (last(tasks[0]), first(users[-1])), self.b.up(keep.not_before)
        uses = [
            use
            for task in tasks
            for to in (first(users[-1]), last(tasks[-1]))
            for use in self.shelves.get((last(task), to), ())
        ]
        for task in tasks:
            self.where.setdefault(last(task), share.source)
            for user in users:
                self._stretch(last(task), first(user), ends, least, kept, uses)

    def _plated(self, built: Built, plating: TaskRecord) -> None:
        """Plating, and what is plated, to the last plate away."""
        dish = self.b.scenario.dish[built.batch.dish or ""]
        keep = dish.keeps
        start, end, away = first(plating), last(plating), service_point(self.b, built)
        gone = built.batch.id
        self.where[start] = self.where[end] = self.where[gone] = built.batch.id
        self._task(plating, "out")
        self._arc(end, gone, 0, None)
        if keep is not None and self.rules.zone(keep.zone, dish) == "out":
            self._stretch(start, gone, (start, away), self.b.up(keep.not_before), "out")
        elif keep is None and built.batch.diet is not None:
            self._stretch(end, gone, (end, away), 0, "out")

    # -- adding ----------------------------------------------------------------------

    def _arc(
        self, start: Node, end: Node, fixed: int, room: int | None, kept: Kept = "out"
    ) -> None:
        self.arcs.append((start, end, fixed, room))
        self.kept.append(kept)

    def _room(self, key: object, room: Room, cut: Callable[[int], None]) -> int:
        if key not in self.room_of:
            self.room_of[key] = len(self.rooms)
            self.rooms.append(room)
            self.cut.append(cut)
        return self.room_of[key]

    def _batch_of(self, point: Point) -> int:
        return self.b.tasks[point.task].batch if point.task >= 0 else point.task

    def _stretch(
        self,
        start: Node,
        end: Node,
        ends: Ends,
        least: int,
        kept: Kept,
        uses: list[int] | None = None,
        since: int = 0,
    ) -> None:
        """A wait from one point to another, no longer than the link between `ends` lets it be.

        `uses` are its shelves; its link counts from `since` ticks earlier.
        """
        n, most = self.links.get(ends), self.b.calendar.horizon
        if n is not None:
            link = self.b.links[n]
            most = most if link.most is None else link.most
            least = max(least, (link.least or 0) - since)
        most -= since
        if most <= 0 or kept != "out":
            # A wait that may be nothing cools nothing, and nothing gets hot by standing.
            self._arc(start, end, 0, None, kept if kept == "hot" or least > 0 else "out")
        else:
            room = Room(least, max(least, most))
            if n is not None and (band := self.b.links[n].band) is not None:
                # Between two steps somebody can be there in time; a hold is for several uses.
                inner = self._batch_of(ends[0]) == self._batch_of(ends[1])
                room.good, room.soon = self.b.up(band.high) - since, inner
            self._arc(start, end, 0, self._room(ends, room, self._nearer(n, since)))
        if most <= 0 or kept == "out":
            return
        grace = self.b.down(self.b.scenario.kitchen.transfer)
        if uses and grace and least <= grace:
            # Early loads wait twice: for the others, and then together.
            so_long = min(most, grace * (2 if len(uses) > 1 else 1))
            self.brief.append((len(self.arcs) - 1, so_long, uses))
        if kept in ("cold", "frozen"):
            self.chilled.append((start, n, least == 0))

    # -- cutting ---------------------------------------------------------------------

    def _shorter(self, part: int) -> Callable[[int], None]:
        """A task that may last no longer than that, whoever does it."""

        def cut(most: int) -> None:
            tasks, crews = self.b.tasks, self.b.crews
            tasks[part] = replace(tasks[part], most=most)
            for n, crew in enumerate(crews):
                if crew.task == part:
                    able = tuple(
                        replace(w, most=min(w.most, most)) for w in crew.ways if w.least <= most
                    )
                    crews[n] = replace(crew, ways=able)

        return cut

    def _nearer(self, n: int | None, since: int = 0) -> Callable[[int], None]:
        """A wait that may be no longer than that."""

        def cut(most: int) -> None:
            if n is not None:
                self.b.links[n] = replace(self.b.links[n], most=most + since)

        return cut
