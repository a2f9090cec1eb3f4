"""One job as it stands on a sheet, with everything that whoever does it needs to know."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from scheduler.domain.base import Slug
from scheduler.domain.hazards import hazards
from scheduler.outputs.amounts import Ingredient, ingredients
from scheduler.outputs.destined import Destined
from scheduler.outputs.measuring import Measure, measures
from scheduler.outputs.places import Goes, follows, goes_to, label, now_at
from scheduler.outputs.present import Present
from scheduler.outputs.quarters import By, Quarters
from scheduler.outputs.room import Rooms
from scheduler.plan.away import away
from scheduler.plan.binding import Ties
from scheduler.plan.jobs import Job, jobs, places_of
from scheduler.plan.labels import Labels
from scheduler.plan.model import PlannedTask, PlannedVisit
from scheduler.plan.words import Names


@dataclass(frozen=True, slots=True)
class Line:
    """A job on a sheet.

    Attributes
    ----------
    key : str
        Which job it is, the same in every plan; empty where nobody's hands are needed.
    task : str
        The task it is of, for those that are recorded.
    section : str
    people : tuple of str
        Ids.
    start, end : int
        As planned. Minute.
    start_by, ready_by : By
        To the quarter of an hour, never later than the plan needs it.
    what : str
        Component or dish, with its event; a duty, a break.
    quantity, load : str
        How much goes through it, and which load of how many.
    does, step : str
        What is done, and the name of the step where that is something else.
    ingredients : tuple of Ingredient
    now_at : tuple of str
        Where what is gone on with stands.
    where : str
        Equipment and setting.
    ask : tuple of str
        Whom to ask, ids.
    goes_to : tuple of Goes
    at_once : str
        The step that follows at once; empty: it may wait.
    label : str
        What is written on it.
    minds : tuple of str
        Hazards by id.
    cautions : tuple of str
        And what to mind, a line each.
    measures : tuple of Measure
    note : str
        How it cools and what the probe must read when.
    events : tuple of str
        Which events it is for, ids in order of time.
    diets : tuple of str
        All of it is for these diets: made first and apart.
    shared : bool
        Several share what one could do.
    away : tuple of str
        Keys of what its people do elsewhere in the middle of it.
    """

    key: str
    task: str
    section: Slug
    people: tuple[Slug, ...]
    start: int
    end: int
    start_by: By
    ready_by: By
    what: str
    quantity: str = ""
    load: str = ""
    does: str = ""
    step: str = ""
    ingredients: tuple[Ingredient, ...] = ()
    now_at: tuple[str, ...] = ()
    where: str = ""
    ask: tuple[Slug, ...] = ()
    goes_to: tuple[Goes, ...] = ()
    at_once: str = ""
    label: str = ""
    minds: tuple[Slug, ...] = ()
    cautions: tuple[str, ...] = ()
    measures: tuple[Measure, ...] = ()
    note: str = ""
    events: tuple[Slug, ...] = ()
    diets: tuple[Slug, ...] = ()
    shared: bool = False
    away: tuple[str, ...] = ()

    @property
    def mark(self) -> str:
        """Which line of its plan it is, also where nobody's hands are needed."""
        return self.key or f"{self.task}:begins"


@dataclass(frozen=True, slots=True)
class Dated:
    """A line, and on whose sheet of which day it stands.

    Attributes
    ----------
    day : date
        On the section's sheet.
    theirs : dict of str to date
        On the sheets of each of its people.
    """

    line: Line
    day: date
    theirs: dict[Slug, date]


class Lines:
    """The lines of one plan."""

    def __init__(self, names: Names, ties: Ties, present: Present) -> None:
        self.names, self._facts, self._present = names, ties.facts, present
        self._rooms, self._quarters = Rooms(ties), Quarters(names.scenario.clock)
        self._labels, self._destined = Labels(names), Destined(ties.facts)
        self._every = jobs(names)
        self._visits = {
            (f"{t.id}:{v.kind}:{v.index}", v.start): v for t in names.plan.tasks for v in t.visits
        }
        self._cleaned = {c.id: c for c in names.plan.clean_downs}

    def all(self) -> list[Dated]:
        """Every line in order of time; what had begun by itself before planning did is no news."""
        found, now = [], self._facts.now
        for job in self._every:
            if job.start < now and not job.people:
                continue
            line = self._line(job)
            day = self._present.day(job.people, job.start, job.end)
            theirs = {p: self._present.day((p,), job.start, job.end) for p in job.people}
            found.append(Dated(line, day, theirs))
        return found

    def _line(self, job: Job) -> Line:
        task = self.names.tasks.get(job.task)
        visit = self._visits.get((job.key, job.start))
        start_by, ready_by = self._rounded(job, task, visit)
        section = self._section(job, task)
        known = hazards()
        plain = Line(
            key=job.key,
            task=job.task,
            section=section,
            people=job.people,
            start=job.start,
            end=job.end,
            start_by=start_by,
            ready_by=ready_by,
            what=job.what,
            does=job.short,
            where=job.where,
            ask=self._present.ask(section, job.start, job.people) if section else (),
            minds=job.minds,
            cautions=tuple(f"{known[h].name}: {known[h].caution}" for h in job.minds),
            note=job.note,
            shared=job.shared,
            away=tuple(o.key for o in away(job, self._every, job.people)),
        )
        return plain if task is None else self._cooked(plain, job, task, visit)

    def _cooked(
        self, plain: Line, job: Job, task: PlannedTask, visit: PlannedVisit | None
    ) -> Line:
        """With what there is to say of a step of a batch."""
        facts, names = self._facts, self.names
        first = visit is None or visit.start == task.start
        # Where nobody takes it out, whoever is at it last is told where it goes.
        last = visit is None or visit is task.visits[-1]
        step = names.step(task.batch, task.step)
        after = follows(facts, task) if last else None
        return replace(
            plain,
            what=names.batch(task.batch),
            quantity=names.goes_in(task),
            load=f"{task.load} of {task.loads}" if task.loads > 1 else "",
            does=job.short or f"{step} begins",
            step=step if job.short and job.short != step else "",
            ingredients=ingredients(facts, names, task) if first else (),
            now_at=now_at(facts, names, task) if first else (),
            where=job.where or places_of(names, task.taken),
            goes_to=goes_to(facts, names, task) if last else (),
            at_once=names.step(task.batch, after.id) if after is not None else "",
            label=label(facts, self._labels, task) if last else "",
            measures=measures(facts, names, task, visit, job),
            events=self._destined.events(task.batch),
            diets=self._destined.diets(task.batch),
        )

    def _section(self, job: Job, task: PlannedTask | None) -> Slug:
        """Whose sheet it stands on: its section's; where it is anybody's, whose product it is.

        A cleaning that is anybody's stands with whoever does it.
        """
        if job.section:
            return job.section
        scenario, batch = self.names.scenario, None
        if task is not None:
            batch = self.names.batches.get(task.batch)
        if batch is not None and batch.component in scenario.component:
            return scenario.component[batch.component].section
        if batch is not None and batch.dish in scenario.dish:
            return scenario.dish[batch.dish].section
        for person in job.people[:1]:
            if job.key in self._cleaned and person in scenario.person:
                return next(iter(scenario.person[person].sections))
        return ""  # a break

    def _rounded(
        self, job: Job, task: PlannedTask | None, visit: PlannedVisit | None
    ) -> tuple[By, By]:
        quarters = self._quarters
        if task is not None and visit is not None:
            room = self._rooms.of(task, visit)
        elif job.key in self._cleaned:
            room = self._rooms.of_cleaning(self._cleaned[job.key])
        else:
            # Duties and breaks are as they are written, and what comes by itself as it comes.
            return By(job.start), By(job.end)
        if room.handed_on:
            return By(job.start, True), By(job.end, True)
        begun, length = job.start, job.end - job.start
        if not room.at_once:
            begun = quarters.start_by(job.start, room.earlier)
        ready = quarters.ready_by(begun, length, job.end, room.later)
        return By(begun, room.at_once), By(ready)
