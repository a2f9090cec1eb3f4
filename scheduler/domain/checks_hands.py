"""Hands: work that is shared, and what a trainee never does alone."""

from __future__ import annotations

from scheduler.domain.base import Level
from scheduler.domain.checks_people import eligible, level_of
from scheduler.domain.draft import Draft
from scheduler.domain.kitchen import CleanDown
from scheduler.domain.problems import Problem
from scheduler.domain.recipes import ANYONE, Add, Decides, Hands, Plating, Tend, Time
from scheduler.domain.times import write_duration
from scheduler.domain.walks import Crew, crews, steps, visits


def hands(draft: Draft) -> list[Problem]:
    """Whatever is shared can be shared, and whoever is never alone can have company."""
    found: list[Problem] = []
    for crew in crews(draft):
        for line in crew.lines:
            if line.up_to is not None:
                found += _shared(draft, crew, line)
            if line.not_alone:
                found += _accompanied(draft, crew, line)
    return found + _undivided(draft)


def _shared(draft: Draft, crew: Crew, line: Hands) -> list[Problem]:
    owner, holder = (line, crew.holder), crew.holder
    up_to = line.up_to or 0
    if up_to < line.people:
        what = f"shared by {line.people} to {up_to} people is upside down"
        return [draft.problem(owner, "up_to", what=what, maybe=f"'up_to: {line.people}'")]
    if isinstance(holder, Plating):
        what = "plating is not shared: `per_hour` is what all of them do together"
        return [draft.problem(owner, "up_to", what=what, maybe=f"'people: {up_to}'")]
    if isinstance(holder, CleanDown):
        return [draft.problem(owner, "up_to", what="a clean-down is not shared")]
    if isinstance(holder, Tend | Add):
        return [draft.problem(owner, "up_to", what="a visit while it runs is not shared")]
    if len(crew.lines) > 1:
        what = "work that is shared has one line of hands"
        return [draft.problem(owner, "up_to", what=what)]
    time = holder.time
    if time.decides is Decides.IT:
        what = "the food decides how long it takes, however many hands there are"
        return [draft.problem(owner, "up_to", what=what)]
    ranged = time.at_most not in (None, time.at_least) or time.best not in (None, time.at_least)
    if ranged:
        what = "work that is shared has one length: no `best`, no `at_most`"
        return [draft.problem(holder, "time", what=what)]
    if time.undivided > time.at_least:
        what = (
            f"{write_duration(time.undivided)} of {write_duration(time.at_least)} are not divided"
        )
        return [draft.problem(time, "undivided", what=what)]
    return []


def _accompanied(draft: Draft, crew: Crew, line: Hands) -> list[Problem]:
    owner = (line, crew.holder)
    if line.level is not Level.TRAINEE:
        what = f"`not_alone` is about trainees, and the level is {line.level.value}"
        return [draft.problem(owner, "not_alone", what=what, maybe="'level: trainee'")]
    if sum(x.up_to or x.people for x in crew.lines) == 1:
        what = "not alone, yet it is work for one"
        return [draft.problem(owner, "not_alone", what=what, maybe="'up_to: 2', or 'level: cook'")]
    for other in crew.lines:
        section = other.section or crew.section
        words = frozenset(other.may_use)
        able = eligible(draft, section, other.level, words, other.only, crew.recipe)
        for person in draft.kitchen.people:
            at = level_of(person, section)
            if person.id in able and at is not None and at.rank > Level.TRAINEE.rank:
                return []
    section = line.section or crew.section
    where = "" if section == ANYONE else f" of section {section}"
    what = f"a trainee is not to be alone, and nobody{where} above a trainee may do it"
    return [draft.problem(owner, "not_alone", what=what)]


def _undivided(draft: Draft) -> list[Problem]:
    """`undivided` stands only where work is shared."""
    found = []
    for _, step in steps(draft):
        times: list[tuple[Time, tuple[Hands, ...]]] = [(step.time, step.hands)]
        times += [(visit.time, visit.hands) for _, visit in visits(step)]
        for time, lines in times:
            if time.undivided and not any(line.up_to for line in lines):
                what = "`undivided` is for work that is shared"
                found.append(draft.problem((time, step), "undivided", what=what, maybe="'up_to'"))
    return found
