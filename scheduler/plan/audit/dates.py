"""Dates of use: days counted by the calendar, from the oldest that goes in, freezing left out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from scheduler.domain.dating import (
    Dating,
    dating,
    enforced,
    runs_frozen,
    stands_frozen,
    waits_frozen,
)
from scheduler.domain.kept import zone_kept
from scheduler.domain.profiles import food_limits
from scheduler.plan.audit.facts import MONTHS, TOO_FAR
from scheduler.plan.audit.making import PLATING
from scheduler.plan.audit.service import service

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.recipes import Component
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making
    from scheduler.plan.model import Share


@dataclass(frozen=True, slots=True)
class Mark:
    """How many days of something are gone.

    Attributes
    ----------
    origin : str
        The batch or lot it began with.
    made : int
        When, minutes.
    day : date
        The day it is reckoned for.
    used : int
        Days gone, the first and that one counted.
    """

    origin: str
    made: int
    day: date
    used: int

    def on(self, day: date) -> Mark:
        """The same on another day, nowhere frozen meanwhile."""
        return replace(self, day=day, used=self.used + (day - self.day).days)

    def frozen(self, since: date, until: date) -> Mark:
        """From one day to another frozen: the first is none, the last is one.

        What was made and frozen on one day has used that day.
        """
        before = self.on(since)
        if until <= since:
            return before
        return replace(before, day=until, used=max(1, before.used - 1) + 1)

    def ends(self, days: int) -> date:
        """The last day of so many."""
        return self.day + timedelta(days=days - self.used)


Marks = dict[str, Mark]


@dataclass(frozen=True, slots=True)
class Use:
    """Something that carries a date is used up.

    Attributes
    ----------
    where : str
        The dish's batch, or the task that takes it.
    marks : tuple of Mark
        On that day, most days first.
    minute : int
        When the last of it is used.
    """

    where: str
    marks: tuple[Mark, ...]
    minute: int

    def late(self, days: int, beyond: int) -> Mark | None:
        """What of it is past so many days, unless it was kept no longer than needs no date."""
        over = (m for m in self.marks if m.used > days and self.minute - m.made > beyond)
        return next(over, None)


class Dates:
    """Everything in a plan that carries a date of use."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.limits = food_limits(facts.scenario.kitchen)
        self.known: dict[tuple[str, int], Marks] = {}
        self.stores = {
            (h.source, h.consumer, h.by_product): h.store
            for h in facts.plan.holds
            if h.kind == "share"
        }

    def uses(self) -> Iterator[Use]:
        """Every plate away, and every step of a component that takes something with a date."""
        for making in self.facts.makings.values():
            plating = making.tasks.get(PLATING, [])
            if making.dish is not None and plating:
                away = max(service(self.facts, making), plating[-1].end - 1)
                yield self._use(making.id, self._inside(making, len(making.stages) - 1), away)
        for share in self.facts.plan.shares:
            consumer = self.facts.makings.get(share.consumer)
            tasks = consumer.tasks.get(share.step, []) if consumer else []
            if consumer is not None and consumer.dish is None and tasks:
                at = max(t.start for t in tasks)
                yield self._use(tasks[-1].id, self._held(share, consumer), at)

    def ready(self, source: str) -> tuple[Mark, ...]:
        """What a batch carries when it is done, or a lot; most days first. Nothing: no date."""
        facts = self.facts
        component = facts.component_of(source)
        if component is None:
            return ()
        if source in facts.lots:
            return self._ordered(self._lot(source, component))
        making = facts.makings[source]
        inside = self._inside(making, len(making.stages) - 1)
        return self._ordered(self._of(component, source, inside))

    def day(self, minute: int) -> date:
        """The kitchen's calendar day of a minute; of an absurd one the furthest there is."""
        minute = max(-TOO_FAR, min(minute, TOO_FAR))
        return self.facts.scenario.clock.local(minute).date()

    # -- through the week --------------------------------------------------------------

    def _use(self, where: str, marks: Marks, minute: int) -> Use:
        day = self.day(minute)
        return Use(where, self._ordered({k: m.on(day) for k, m in marks.items()}), minute)

    def _ordered(self, marks: Marks) -> tuple[Mark, ...]:
        return tuple(sorted(marks.values(), key=lambda m: (-m.used, m.made, m.origin)))

    def _of(self, component: Component, source: str, marks: Marks) -> Marks:
        """What goes on with a component made in a batch: nothing, or all but its own, or all."""
        kind = dating(self.facts.scenario, component)
        if kind is Dating.NONE:
            return {}
        return {k: m for k, m in marks.items() if kind is Dating.OWN or k != source}

    def _lot(self, source: str, component: Component) -> Marks:
        if dating(self.facts.scenario, component) is not Dating.OWN:
            return {}
        made = self.facts.scenario.clock.minute(self.facts.lots[source].made)
        return {source: Mark(source, made, self.day(made), 1)}

    def _inside(self, making: Making, last: int) -> Marks:
        """What a batch carries when one of its stages is done: its own and what went in so far."""
        key = making.id, last
        if key in self.known:
            return self.known[key]
        self.known[key] = {}  # a plan whose shares run in a circle ends here
        found: Marks = {}
        start = self._start(making)
        if making.dish is None and start is not None:
            own = Mark(making.id, start, self.day(start), 1)
            _join(found, self._through(making, making.first, last, own))
        places = {s.id: s.index for s in making.stages}
        for share in self.facts.shares_to.get(making.id, []):
            place = places.get(share.step)
            if place is not None and place <= last:
                for mark in self._held(share, making).values():
                    _join(found, self._through(making, place, last, mark))
        self.known[key] = found
        return found

    def _start(self, making: Making) -> int | None:
        """When its first own step starts; of what is begun, when its step began."""
        if making.begun is not None:
            return self.facts.scenario.clock.minute(making.begun.started)
        tasks = making.of(making.stages[0]) if making.stages else []
        return min((t.start for t in tasks), default=None)

    def _held(self, share: Share, consumer: Making) -> Marks:
        """What a share carries when its consumer takes it."""
        facts = self.facts
        of, tasks = facts.of_share(share), consumer.tasks.get(share.step, [])
        if of is None or not tasks:
            return {}
        until = min(t.start for t in tasks)
        if share.source in facts.lots:
            marks, since = self._lot(share.source, of), None
            frozen = stands_frozen(facts.scenario, facts.lots[share.source].store, self.limits)
        else:
            making = facts.makings.get(share.source)
            stage = making.stage(share.given) if making and share.given else None
            stage = making.stages[-1] if making and stage is None and making.stages else stage
            if making is None or stage is None or not making.of(stage):
                return {}
            marks = self._of(of, share.source, self._inside(making, stage.index))
            since = max(t.end for t in making.of(stage))
            key = share.source, tasks[-1].id, share.by_product
            frozen = self._stands(self.stores.get(key), of)
        if not frozen:
            return marks
        return {
            k: m.frozen(m.day if since is None else self.day(since), self.day(until))
            for k, m in marks.items()
        }

    def _stands(self, store: str | None, of: Component) -> bool:
        """Does it stand frozen: in that store, or where its recipe says?"""
        if store is not None:
            return stands_frozen(self.facts.scenario, store, self.limits)
        zone = of.keeps[0].zone
        return zone is not None and zone_kept(self.facts.scenario, zone, self.limits) == "frozen"

    def _through(self, making: Making, first: int, last: int, mark: Mark) -> Mark:
        """A mark from one stage to the end of another, past what is frozen between."""
        scenario, day = self.facts.scenario, self.day
        for stage in making.stages[first : last + 1]:
            tasks = making.of(stage)
            if stage.step is None or not tasks:
                continue
            if runs_frozen(scenario, stage.step, self.limits):
                since, until = max(t.start for t in tasks), min(t.end for t in tasks)
                mark = mark.frozen(day(since), day(until))
            after = making.stages[stage.index + 1 : last + 1]
            following = making.of(after[0]) if after else []
            if following and waits_frozen(scenario, stage.then, self.limits):
                since, until = max(t.end for t in tasks), min(t.start for t in following)
                mark = mark.frozen(day(since), day(until))
        return mark


def _join(marks: Marks, *more: Mark) -> None:
    """Of two ways of one origin the one on which more days are gone."""
    for mark in more:
        old = marks.get(mark.origin)
        day = mark.day if old is None else max(mark.day, old.day)
        if old is None or mark.on(day).used > old.on(day).used:
            marks[mark.origin] = mark


def short(day: date) -> str:
    """A day as it stands on a label: "7 Jun"."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def said(mark: Mark, days: int) -> str:
    """How a mark stands when it is used: "mark 7 Jun, used 9 Jun, 7 days at most, …"."""
    end, count = mark.ends(days), f"{days} days" if days > 1 else "1 day"
    return f"mark {short(end)}, used {short(mark.day)}, {count} at most, day made counted"


def check(facts: Facts) -> None:
    """Rule `date-mark`."""
    limits = food_limits(facts.scenario.kitchen)
    rule = enforced(limits)
    if rule is None or limits.date_mark is None:
        return
    for use in Dates(facts).uses():
        mark = use.late(*rule)
        if mark is None:
            continue
        oldest = "" if mark.origin == use.where else f"{mark.origin} in it: "
        what = f"{oldest}{said(mark, rule[0])} ({limits.date_mark.source})"
        facts.broken("date-mark", use.where, what)
