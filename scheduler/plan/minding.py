"""What whoever does something must mind: hazards of it, and being alone in the house."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import timedelta
from functools import cached_property

from scheduler.domain.base import Slug
from scheduler.domain.choices import choices
from scheduler.domain.hazards import LONE, hazards, met_in, met_on
from scheduler.domain.recipes import Need, Visit
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.presence import presence, shifts_of
from scheduler.plan.audit.rest import work_of
from scheduler.plan.audit.stretches import Stretch, common, merged, without
from scheduler.plan.figures import duty_of
from scheduler.plan.model import PlannedCleanDown, PlannedDuty, PlannedTask, PlannedVisit
from scheduler.plan.words import Names


class Minding:
    """Hazards of everything somebody does in a plan, as ids in the order of the data."""

    def __init__(self, names: Names) -> None:
        self._names = names

    def visit(self, task: PlannedTask, visit: PlannedVisit) -> tuple[Slug, ...]:
        """Of a visit: its step's, its equipment's, and being alone."""
        scenario = self._names.scenario
        step = self._names.step_of(task.batch, task.step)
        if step is not None:
            adds = dict(enumerate(step.add))
            words: dict[str, Visit | None] = {
                "load": step.load, "unload": step.unload, "add": adds.get(visit.index),
                "tend": next(iter(step.tend), None),
            }  # fmt: skip
            met = met_in(scenario, step, words.get(visit.kind))
        else:
            batch = self._names.batches.get(task.batch)
            dish = scenario.dish.get(batch.dish or "") if batch is not None else None
            met = met_on(scenario, dish.plating.on) if dish is not None else frozenset()
        return _sorted(met | self._lone(visit))

    def clean_down(self, done: PlannedCleanDown) -> tuple[Slug, ...]:
        """Of cleaning a machine: the machine's."""
        known = self._names.scenario.unit.get(done.unit)
        met = frozenset(known[0].hazards) if known is not None else frozenset()
        return _sorted(met | self._lone(done))

    def duty(self, planned: PlannedDuty) -> tuple[Slug, ...]:
        """Of a standing duty: its equipment's."""
        duty = duty_of(self._names.scenario, planned.duty)
        needs = [Need(equipment=t.equipment) for t in duty.equipment] if duty else []
        return _sorted(met_on(self._names.scenario, needs) | self._lone(planned))

    def _lone(self, job: PlannedVisit | PlannedCleanDown | PlannedDuty) -> frozenset[Slug]:
        """Alone in the house: the first job of such a stretch, and every one at night."""
        if len(set(job.people)) != 1 or job.start >= job.end:
            return frozenset()
        (person,) = set(job.people)
        meanwhile = common(self._alone.get(person, []), [(job.start, job.end)])
        told = (person, job.start) in self._first or common(meanwhile, self._nights)
        return frozenset([LONE]) if meanwhile and told else frozenset()

    @cached_property
    def _first(self) -> set[tuple[Slug, int]]:
        """Who begins a job as the first one of a stretch alone in the house, and when."""
        return {
            (person, min(starts))
            for person, some in self._alone.items()
            for a, b in some
            if (starts := [x for x, y in self._work.get(person, ()) if x < b and y > a])
        }

    @cached_property
    def _work(self) -> dict[Slug, list[Stretch]]:
        return work_of(Facts(self._names.scenario, self._names.plan))

    @cached_property
    def _nights(self) -> list[Stretch]:
        clock = self._names.scenario.clock
        days = (clock.first_day + timedelta(days=n) for n in range(-1, len(clock.days()) + 1))
        return merged(clock.span(day, choices().night.hours) for day in days)

    @cached_property
    def _alone(self) -> dict[Slug, list[Stretch]]:
        """When somebody is in the house and nobody else: shifts, breaks in them, and overtime."""
        scenario = self._names.scenario
        there = {}
        for person in scenario.kitchen.people:
            written = presence(scenario, person, shifts_of(scenario, person))[0]
            there[person.id] = merged([*written, *self._work.get(person.id, [])])
        return {
            person: without(mine, merged(s for p, some in there.items() if p != person
                                         for s in some))
            for person, mine in there.items()
        }  # fmt: skip


def _sorted(met: Iterable[Slug]) -> tuple[Slug, ...]:
    order = list(hazards())
    return tuple(sorted(met, key=order.index))


def cautions(met: Iterable[Slug], said: set[Slug]) -> Iterator[str]:
    """A line for each hazard with its caution; those `said` before only by name, in one line."""
    known = hazards()
    again = [known[h].name for h in met if h in said]
    if again:
        yield f"mind {', '.join(again)}"
    for one in (known[h] for h in met if h not in said):
        said.add(one.id)
        yield f"mind {one.name}: {one.caution}"
