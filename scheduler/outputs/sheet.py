"""The prep sheet: what a section or somebody does on a day, as data; paper and phones print it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from scheduler.domain.base import Slug
from scheduler.domain.problems import nearest, one_of
from scheduler.domain.scenario import Scenario
from scheduler.outputs.lines import Dated, Line, Lines
from scheduler.outputs.present import Present, day_after
from scheduler.plan.binding import Ties
from scheduler.plan.model import Plan
from scheduler.plan.today import arriving
from scheduler.plan.waiting import Unattended, runs_at
from scheduler.plan.words import Names, about, day_words
from scheduler.plan.working import overtime_of

FIRST_THING = 30
"""Minutes of a section's day that are first thing in the morning. Common practice, no source."""


class NoSuchSheet(ValueError):
    """Nobody is called so, or there is no such section or day; its message is for people."""


@dataclass(frozen=True, slots=True)
class Overnight:
    """Something that runs or rests over midnight with nobody at it, and what it needs next.

    Attributes
    ----------
    task : str
    section : str
    what : str
        What it is, how much, and the step.
    where : str
    at : int
        When somebody must look at it next. Minute.
    verb : str
        What is done then.
    people : tuple of str
        Who does; empty: nobody is planned.
    """

    task: str
    section: Slug
    what: str
    where: str
    at: int
    verb: str
    people: tuple[Slug, ...]


@dataclass(frozen=True, slots=True)
class Coming:
    """A delivery of the day.

    Attributes
    ----------
    delivery : str
    what, quantity : str
    at : int
        Minute.
    shelves : int
    hangs : tuple of str
        What is made of it, the first to begin first.
    sections : frozenset of str
        And whose that is.
    """

    delivery: str
    what: str
    quantity: str
    at: int
    shelves: int
    hangs: tuple[str, ...]
    sections: frozenset[Slug]


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a section, or somebody, does on a day.

    Attributes
    ----------
    section, person : str or None
        Whose it is, one of them.
    title : str
    day : date
        A shift that runs past midnight belongs to the day it begins.
    people : tuple of (str, int, int)
        Who is there, from when to when by their shifts (minutes).
    lines : tuple of Line
        Every job, in order; each once.
    tonight : tuple of Line
        Of these what must be done before everybody leaves: it runs over midnight.
    tomorrow : tuple of Line
        First thing the next day: what has run overnight, and the first jobs.
    overnight : tuple of Overnight
    deliveries : tuple of Coming
    notes : tuple of str
        Overtime.
    """

    section: Slug | None
    person: Slug | None
    title: str
    day: date
    people: tuple[tuple[Slug, int, int], ...]
    lines: tuple[Line, ...]
    tonight: tuple[Line, ...]
    tomorrow: tuple[Line, ...]
    overnight: tuple[Overnight, ...]
    deliveries: tuple[Coming, ...]
    notes: tuple[str, ...]

    @property
    def apart(self) -> tuple[Line, ...]:
        """Diets and allergens: boxed, made first and apart."""
        return tuple(line for line in self.lines if line.diets)

    @property
    def others(self) -> tuple[Line, ...]:
        """Everything else, in order."""
        return tuple(line for line in self.lines if not line.diets)

    @property
    def limited(self) -> bool:
        """Does a limit of a document stand on it?"""
        return any(m.kind != "look" for line in self.lines for m in line.measures)


class Sheets:
    """Every sheet of one plan.

    Parameters
    ----------
    scenario : Scenario
    plan : Plan
        Sheets say what it says, whether or not it breaks a rule.
    """

    def __init__(self, scenario: Scenario, plan: Plan) -> None:
        self.names = Names(scenario, plan)
        self._present = Present(self.names)
        self._ties = Ties(scenario, plan)

    @cached_property
    def _every(self) -> list[Dated]:
        return Lines(self.names, self._ties, self._present).all()

    @cached_property
    def days(self) -> tuple[date, ...]:
        """The days on which there is something to do, in order."""
        found = {d.day for d in self._every}
        return tuple(sorted(found.union(*(d.theirs.values() for d in self._every))))

    @property
    def sections(self) -> tuple[Slug, ...]:
        """All sections, in the order of the kitchen."""
        return tuple(s.id for s in self.names.scenario.kitchen.sections)

    @property
    def persons(self) -> tuple[Slug, ...]:
        """Everybody, in the order of the brigade."""
        return tuple(p.id for p in self.names.scenario.kitchen.people)

    def of_section(self, section: Slug, day: date) -> Sheet:
        """What a section does on a day.

        Raises
        ------
        NoSuchSheet
            There is no such section, or the week has no such day.
        """
        known(section, self.sections, "section")
        self._within(day)

        def on(when: date) -> list[Line]:
            return [d.line for d in self._every if d.line.section == section and d.day == when]

        there = [p.id for p in self.names.scenario.kitchen.people if section in p.sections]
        return self._sheet(section, None, self.names.section(section), day, there, on)

    def of_person(self, person: Slug, day: date) -> Sheet:
        """What somebody does on a day, in whichever section.

        Raises
        ------
        NoSuchSheet
            Nobody is called so, or the week has no such day.
        """
        known(person, self.persons, "person")
        self._within(day)

        def on(when: date) -> list[Line]:
            return [d.line for d in self._every if d.theirs.get(person) == when]

        return self._sheet(None, person, self.names.person(person), day, [person], on)

    def lines_of(self, person: Slug) -> list[Line]:
        """Everything that somebody does in the week, in order of time."""
        return [d.line for d in self._every if person in d.theirs]

    def line(self, mark: str) -> Line | None:
        """The line of the plan that has a mark (`Line.mark`)."""
        return self._marked.get(mark)

    def lines_at(self, task: str) -> list[Line]:
        """The lines of a task, and those at which something of it is measured."""
        return [
            d.line for d in self._every
            if d.line.task == task or any(m.task == task for m in d.line.measures)
        ]  # fmt: skip

    @cached_property
    def _marked(self) -> dict[str, Line]:
        return {d.line.mark: d.line for d in self._every}

    def on(self, day: date) -> tuple[Line, ...]:
        """Everything that is done on a day by anybody, in order of time."""
        return tuple(d.line for d in self._every if d.day == day)

    def overnight(self, day: date) -> tuple[Overnight, ...]:
        """What runs by itself over the midnight after a day, next to need hands first."""
        return tuple(self._runs(u) for u in self._unattended(day))

    def deliveries(self, day: date) -> tuple[Coming, ...]:
        """What comes in on a day, in order of time."""
        found = []
        for one in arriving(self.names, day):
            quantity = about(one.delivery.quantity) if one.delivery.quantity is not None else ""
            hangs = dict.fromkeys(self.names.task(t.id) for t in one.hangs)
            sections = frozenset(self._section_of(t.id) for t in one.hangs)
            found.append(
                Coming(
                    one.delivery.id, one.delivery.ingredient.replace("-", " "), quantity, one.at,
                    one.delivery.shelves or 0, tuple(hangs), sections,
                )
            )
        return tuple(found)

    def _within(self, day: date) -> None:
        """Is it a day of the week? On some of them there may be nothing to do."""
        clock = self.names.scenario.clock
        if not min(clock.first_day, *self.days[:1]) <= day <= max(clock.last_day, *self.days[-1:]):
            first, last = day_words(clock.first_day), day_words(clock.last_day)
            raise NoSuchSheet(
                f"{day_words(day)} {day.year} is not in this week, which goes from {first} to "
                f"{last} {clock.last_day.year}."
            )

    def _sheet(
        self,
        section: Slug | None,
        person: Slug | None,
        title: str,
        day: date,
        there: Sequence[Slug],
        on: Callable[[date], list[Line]],
    ) -> Sheet:
        lines, later = on(day), on(day_after(day))
        night = self._unattended(day)
        mine = {line.task for line in (*lines, *later)}
        hours = [(p, self._present.hours(p, day)) for p in there]
        overnight = [
            o
            for o in map(self._runs, night)
            if (o.section == section if person is None else person in o.people or o.task in mine)
        ]
        return Sheet(
            section=section,
            person=person,
            title=title,
            day=day,
            people=tuple((p, *h) for p, h in hours if h is not None),
            lines=tuple(lines),
            tonight=tuple(self._left(lines, night, day)),
            tomorrow=tuple(_first(later, night)),
            overnight=tuple(overnight),
            deliveries=tuple(self._coming(day, section, lines)),
            notes=tuple(self._overtime(person, day)),
        )

    def _coming(self, day: date, section: Slug | None, lines: list[Line]) -> Iterable[Coming]:
        """Deliveries on which something of the section hangs, or of whoever's sheet it is."""
        whose = {section} if section is not None else {line.section for line in lines}
        return (c for c in self.deliveries(day) if whose & c.sections or not c.sections)

    def _overtime(self, person: Slug | None, day: date) -> Iterable[str]:
        for one in overtime_of(self.names):
            at = self._present.day((one.person,), one.start, one.end)
            if one.person == person and at == day:
                when = f"from {self.names.clock(one.start)}" if one.before else (
                    f"until {self.names.clock(one.end)}"
                )
                yield f"overtime {when}, {self.names.length(one.minutes)}"

    def _midnight(self, day: date) -> int:
        after = day_after(day)
        return self.names.scenario.clock.minute(datetime(after.year, after.month, after.day))

    def _unattended(self, day: date) -> list[Unattended]:
        return runs_at(self.names.plan, self._midnight(day))

    def _runs(self, one: Unattended) -> Overnight:
        task, names = one.task, self.names
        # What rests is told by the task that takes it up: it is not running yet.
        next_up = [v for v in task.visits if v.start == one.at]
        line = next((d.line for d in self._every if d.line.task == task.id), None)
        return Overnight(
            task=task.id,
            section=self._section_of(task.id),
            what=f"{names.batch(task.batch)}, {names.goes_in(task)}: "
            f"{names.step(task.batch, task.step)}",
            where=line.where if line is not None else "",
            at=one.at,
            verb=one.verb,
            people=next_up[0].people if next_up else (),
        )

    def _section_of(self, task: str) -> Slug:
        return next((d.line.section for d in self._every if d.line.task == task), "")

    def _left(self, lines: list[Line], night: list[Unattended], day: date) -> Iterable[Line]:
        """The last job of the day at each thing that then runs or rests over midnight."""
        midnight, tasks = self._midnight(day), self.names.tasks
        found: set[tuple[str, int]] = set()
        for one in night:
            running = one.task.start < midnight
            last = max(
                (
                    line
                    for line in lines
                    if line.key and line.end <= midnight and line.task in tasks
                    and (line.task == one.task.id if running
                         else tasks[line.task].batch == one.task.batch)
                ),
                key=lambda line: line.end, default=None,
            )  # fmt: skip
            if last is not None:
                found.add((last.key, last.start))
        return (line for line in lines if (line.key, line.start) in found)


def _first(later: list[Line], night: list[Unattended]) -> Iterable[Line]:
    """Of the next day's jobs those at what has run overnight, and those of the first minutes."""
    begins = min((line.start for line in later), default=0)
    touched = {(u.task.id, u.at) for u in night}
    return (
        line
        for line in later
        if (line.task, line.start) in touched or line.start < begins + FIRST_THING
    )


def known(word: str, words: Sequence[str], kind: str) -> None:
    """Refuse what there is not, with what was probably meant.

    Raises
    ------
    NoSuchSheet
    """
    if word not in words:
        meant = nearest(word, words)
        maybe = f"Maybe '{meant}'" if meant else f"There are {one_of(words)}"
        what = "There is no section" if kind == "section" else "Nobody here is called"
        raise NoSuchSheet(f"{what} '{word}'. {maybe}.")
