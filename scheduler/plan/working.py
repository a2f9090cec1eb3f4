"""Overtime and rest as people read them: in the summary, on their sheet, after the audit."""

from __future__ import annotations

from dataclasses import dataclass

from scheduler.domain.base import Slug
from scheduler.domain.rest import Shortfall, shortfalls, write_hours
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.rest import Eaten, eaten, extended, work_of
from scheduler.plan.words import Names, day_words


@dataclass(frozen=True, slots=True)
class Longer:
    """Overtime of one person around one shift: from and to, minutes of the week."""

    person: Slug
    start: int
    end: int
    before: bool

    @property
    def minutes(self) -> int:
        """How long."""
        return self.end - self.start


def overtime_of(names: Names) -> list[Longer]:
    """Everybody's overtime in order of time; from the last point of the grid in the shift on."""
    if not any(person.overtime for person in names.scenario.kitchen.people):
        return []
    facts = Facts(names.scenario, names.plan)
    work, found = work_of(facts), []
    for person in names.scenario.kitchen.people:
        for shift in extended(facts, person, work.get(person.id, [])):
            late = shift.overtime_after(facts.grid)
            early = shift.overtime_before(facts.grid)
            if early:
                found.append(Longer(person.id, shift.first, shift.first + early, True))
            if late:
                found.append(Longer(person.id, shift.last - late, shift.last, False))
    return sorted(found, key=lambda x: (x.start, x.person))


def overtime_line(names: Names) -> str:
    """How much in all, how much beyond the allowance, and whose; empty where there is none."""
    found = overtime_of(names)
    total = sum(x.minutes for x in found)
    if not total:
        return ""
    allowance = names.scenario.kitchen.costs.overtime_allowance
    beyond = max(0, total - allowance)
    said = f"Overtime {names.length(total)} in all, "
    said += f"{names.length(beyond)} beyond the allowance" if beyond else "inside the allowance"
    each = sorted(found, key=lambda x: (-x.minutes, x.start))
    return f"{said}: {', '.join(_whose(names, x) for x in each)}."


def _whose(names: Names, one: Longer) -> str:
    day = day_words(names.local(one.start).date())
    return f"{names.person(one.person)} {names.length(one.minutes)} {day}"


def overtime_rows(names: Names, person: Slug) -> list[str]:
    """Overtime of one person, for their sheet."""
    rows = []
    for x in overtime_of(names):
        if x.person == person:
            day = day_words(names.local(x.start).date())
            until = f"from {names.clock(x.start)}" if x.before else f"until {names.clock(x.end)}"
            rows.append(f"  overtime {day} {until}: {names.length(x.minutes)}")
    return rows


def eaten_notes(names: Names) -> list[tuple[Slug, str]]:
    """Who has how much less rest than is asked for, and what for; most first.

    Person, and a sentence with day, figures, source and the first work.
    """
    if not _priced(names.scenario):
        return []
    found = []
    every = eaten(Facts(names.scenario, names.plan))
    for one in sorted(every, key=lambda x: (-x.lacking, x.begins)):
        asked = one.rest.asked
        said = (
            f"{day_words(one.rest.day)} from {names.clock(one.begins)}: "
            f"{write_hours(one.begins - one.rest.ended)} of rest before work, "
            f"{write_hours(one.lacking)} less than {write_hours(asked.value)} ({asked.source}); "
            f"for {_first_work(names, one)}, as nothing else was found"
        )
        found.append((one.rest.person, said))
    return found


def _priced(scenario: Scenario) -> bool:
    rest = scenario.kitchen.rest
    return rest is not None and rest.daily_rest == "priced"


def _first_work(names: Names, one: Eaten) -> str:
    """What somebody comes in for."""
    at, who = one.begins, one.rest.person
    for task in names.plan.tasks:
        if any(who in v.people and v.start <= at < v.end for v in task.visits):
            return f"{names.batch(task.batch)}, {names.step(task.batch, task.step)}"
    for duty in names.plan.duties:
        if who in duty.people and duty.start <= at < duty.end:
            return names.duty(duty.duty)
    for done in names.plan.clean_downs:
        if who in done.people and done.start <= at < done.end:
            return f"{names.unit(done.unit)}, {done.verb or 'clean-down'}"
    return "work begun before"


def eaten_line(names: Names) -> str:
    """Whose rest is cut most, and how many more; empty where nobody's is."""
    notes = eaten_notes(names)
    if not notes:
        return ""
    who, said = notes[0]
    more = f"; {len(notes) - 1} more, see `backtime audit`" if len(notes) > 1 else ""
    return f"Rest cut short: {names.person(who)} {said}{more}."


def rest_notes(scenario: Scenario) -> list[tuple[Slug, str]]:
    """What the written shifts fall short of: what is warned about, has a price, or is kept.

    Person, and a sentence with day, figures and source.
    """
    found = shortfalls(scenario.kitchen, scenario.clock)
    return [(s.person.id, s.told + _what_then(s)) for s in found if s.kept or not s.hard]


def _what_then(short: Shortfall) -> str:
    if short.priced:
        return ", so called in sooner only where nothing else serves"
    if not short.kept:
        return ""
    return ", so not called in then" if short.rule == "night" else ", so called in later"


def rest_line(names: Names) -> str:
    """The first of them for the summary, and how many more there are; empty where there are none.

    What planning does not keep by itself comes first.
    """
    notes = sorted(rest_notes(names.scenario), key=lambda note: ", so " in note[1])
    if not notes:
        return ""
    first = f"{names.person(notes[0][0])} {notes[0][1]}"
    more = f"; {len(notes) - 1} more, see `backtime audit`" if len(notes) > 1 else ""
    return f"Work and rest: {first}{more}."


def cleaning_line(names: Names) -> str:
    """How often machines are cleaned between two contents, and how long that takes in all."""
    found = names.plan.clean_downs
    minutes = sum(done.end - done.start for done in found)
    if not found:
        return ""
    how = "once" if len(found) == 1 else f"{len(found)} times"
    return f"Cleaned between two contents {how}, {names.length(minutes)} in all."
