"""Labels: until when everything that carries a date of use may be used, as the plan has it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from scheduler.domain.dating import allowed, keeps_frozen, stands_frozen
from scheduler.domain.limits import DEFER
from scheduler.domain.profiles import food_limits
from scheduler.plan.audit.dates import Dates, Mark
from scheduler.plan.audit.facts import Facts
from scheduler.plan.words import clean, day_words, several

if TYPE_CHECKING:
    from scheduler.plan.words import Names


class Labels:
    """The dates of one plan; nothing where the kitchen's rules give none."""

    def __init__(self, names: Names) -> None:
        self.names = names
        self.limits = food_limits(names.scenario.kitchen)
        self.rule = allowed(self.limits)

    @cached_property
    def _dates(self) -> Dates:
        return Dates(Facts(self.names.scenario, self.names.plan))

    def use_by(self, source: str) -> str:
        """What stands on a batch or a lot when it is ready: "use by Sat 7 Jun"; nothing: no date.

        What goes into the freezer: the days that are left once it is thawed.
        """
        day = self.last_day(source)
        if day is not None:
            return f"use by {day_words(day)}"
        marks = self._dates.ready(source) if self.rule is not None else ()
        if not marks or self.rule is None:
            return ""
        made = self._dates.facts.makings.get(source)
        ready = max((t.end for t in made.of(made.stages[-1])), default=None) if made else None
        left = self.rule[0] - max(self._gone(mark, ready) for mark in marks)
        return f"frozen, {several(left, 'day')} left from thawing on"

    def last_day(self, source: str) -> date | None:
        """The last day on which it may be used; None: no date, or it stands frozen."""
        marks = self._dates.ready(source) if self.rule is not None else ()
        if not marks or self.rule is None or self._frozen(source):
            return None
        return marks[0].ends(self.rule[0])

    def _frozen(self, source: str) -> bool:
        """Does it go into the freezer?"""
        lot = self._dates.facts.lots.get(source)
        scenario = self.names.scenario
        if lot is not None:
            return stands_frozen(scenario, lot.store, self.limits)
        of = self._dates.facts.component_of(source)
        return of is not None and keeps_frozen(scenario, of, self.limits)

    def _gone(self, mark: Mark, ready: int | None) -> int:
        """Days used before it was frozen."""
        day = mark.day if ready is None else self._dates.day(ready)
        return mark.frozen(max(day, mark.day), date.max).used - 1

    def rows(self) -> Iterator[str]:
        """One line for every batch and lot with a date, and whose rule it is."""
        limit = self.limits.date_mark
        if self.rule is None or limit is None:
            return
        found = False
        sources = [lot.id for lot in self.names.scenario.week.on_hand]
        sources += [b.id for b in self.names.plan.batches if b.component is not None]
        for source in sources:
            label = self.use_by(source)
            if label:
                found = True
                made = self._dates.ready(source)[0]
                begun = day_words(self._dates.day(made.made))
                name = f"{self.names.batch(source)} ({source})"
                oldest = "" if made.origin == source else f" ({made.origin})"
                yield clean(f"  {name}: made {begun}{oldest}, {label}")
        if found:
            most = several(self.rule[0], "day")
            yield f"  {most} at most, the day made counted ({limit.source})."
            yield f"  {DEFER}"
