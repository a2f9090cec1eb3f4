"""A plan as plain tables: by day, section, person, equipment, dish or event."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from scheduler.domain.base import Slug
from scheduler.domain.limits import DEFER
from scheduler.domain.scenario import Scenario
from scheduler.plan.away import away
from scheduler.plan.by import By
from scheduler.plan.figures import duty_of
from scheduler.plan.jobs import Job, jobs, places_of
from scheduler.plan.labels import Labels
from scheduler.plan.minding import cautions as minded
from scheduler.plan.model import Plan, PlannedBatch, PlannedTask, PlannedVisit, Taken
from scheduler.plan.plates import of_course, of_event
from scheduler.plan.words import SAFETY, Names, about, clean, day_words, fit, pad, several
from scheduler.plan.working import cleaning_line, eaten_notes, overtime_rows, rest_notes

_COLUMNS = 100
_WHEN, _WHO, _WHAT, _WHERE = 11, 18, 44, 18


@dataclass(frozen=True, slots=True)
class Sheet:
    """What rows of one table need to know of each other.

    Attributes
    ----------
    every : sequence of Job
        Everything in the plan.
    said : set of str
        Hazards whose caution stands further up on it.
    """

    every: Sequence[Job]
    said: set[Slug] = field(default_factory=set)


def show(scenario: Scenario, plan: Plan, by: By) -> Iterator[str]:
    """The lines of one table; about 100 columns wide, times on the kitchen's wall clock."""
    names = Names(scenario, plan)
    tables: dict[By, Callable[[Names], Iterator[str]]] = {
        By.DAY: _by_day,
        By.SECTION: _by_section,
        By.PERSON: _by_person,
        By.EQUIPMENT: _by_equipment,
        By.DISH: _by_dish,
        By.EVENT: _by_event,
    }
    yield from tables[by](names)
    yield from _headed("Mind when cleaning", cautions(names))
    yield from _headed("Labels", Labels(names).rows())
    if plan.missing:
        yield from _headed("Not planned", (_missing(names, m.batch, m.why) for m in plan.missing))
    yield SAFETY


def cautions(names: Names) -> Iterator[str]:
    """What whoever cleans a machine must mind, for each kind that the plan has cleaned."""
    if names.plan.clean_downs:
        yield f"  {cleaning_line(names)}"
    units = {c.unit for c in names.plan.clean_downs}
    for kind in names.scenario.kitchen.equipment:
        if kind.clean_down is not None and units & {u.id for u in kind.each}:
            said = f"{kind.name or kind.id}, {kind.clean_down.verb}: {kind.clean_down.caution}"
            yield from (f"  {line}" for line in textwrap.wrap(clean(said), _COLUMNS - 2))


def _shared(names: Names, job: Job, who: Sequence[Slug]) -> str:
    """What several share; on somebody's own sheet with whom."""
    if not who:
        return f"{job.what}, shared"
    return f"{job.what}, with {', '.join(names.person(p) for p in job.people if p not in who)}"


def _row(names: Names, job: Job, *, people: bool = True, who: Sequence[Slug] = ()) -> str:
    when = names.clock(job.start) + (f"-{names.clock(job.end)}" if job.end > job.start else "")
    cells = [pad(when, _WHEN)]
    if people:
        cells.append(pad(", ".join(names.person(p) for p in job.people) or "-", _WHO))
    what = _COLUMNS - 2 - sum(len(cell) + 2 for cell in cells) - 2 - _WHERE
    said = _shared(names, job, who) if job.shared else job.what
    return "  " + "  ".join([*cells, pad(said, what), fit(job.where, _WHERE)]).rstrip()


def _rows(
    names: Names,
    job: Job,
    sheet: Sheet,
    who: Sequence[Slug] = (),
    *,
    people: bool = True,
) -> Iterator[str]:
    """The row of a job; under it what its people step away to, what they judge and must mind."""
    yield _row(names, job, people=people, who=who)
    gone = away(job, sheet.every, who or job.people)
    told = (f"{names.clock(g.start)}-{names.clock(g.end)} {clean(g.short)}" for g in gone)
    below = [f"away {', '.join(told)}"] if gone else []
    indent = " " * (_WHEN + 4 + (0 if not people else _WHO + 2))
    for line in (job.note, *below, *job.judges, *minded(job.minds, sheet.said)):
        yield from textwrap.wrap(
            clean(line), _COLUMNS, initial_indent=indent, subsequent_indent=indent
        )


def _daily(
    names: Names,
    these: Iterable[Job],
    sheet: Sheet,
    who: Sequence[Slug] = (),
    *,
    people: bool = True,
) -> Iterator[str]:
    """Rows under a line for each day."""
    day = None
    for job in these:
        today = names.local(job.start).date()
        if today != day:
            day = today
            yield f" {day_words(today)}"
        yield from _rows(names, job, sheet, who, people=people)


def _deferring(these: Iterable[Job]) -> Iterator[str]:
    """Who decides, at the foot of a sheet on which a limit stands: it may be cut off and hung."""
    if any(job.limited for job in these):
        yield f"  {DEFER}"


def _headed(title: str, rows: Iterable[str]) -> Iterator[str]:
    """A table with its title and a blank line behind it; nothing where there are no rows."""
    lines = list(rows)
    if lines:
        yield fit(title, _COLUMNS)
        yield from lines
        yield ""


def _by_day(names: Names) -> Iterator[str]:
    days: dict[str, list[Job]] = {}
    every = jobs(names)
    for job in every:
        days.setdefault(day_words(names.local(job.start).date()), []).append(job)
    for day, these in days.items():
        sheet = Sheet(every)
        rows = [row for job in these for row in _rows(names, job, sheet)]
        yield from _headed(day, [*rows, *_deferring(these)])


def _by_section(names: Names) -> Iterator[str]:
    every = jobs(names)
    for section in [s.id for s in names.scenario.kitchen.sections] + [""]:
        these = [job for job in every if job.section == section]
        title = names.section(section) if section else "The whole brigade"
        yield from _headed(title, [*_daily(names, these, Sheet(every)), *_deferring(these)])


def _by_person(names: Names) -> Iterator[str]:
    every = jobs(names)
    for person in names.scenario.kitchen.people:
        these = [job for job in every if person.id in job.people]
        sections = ", ".join(f"{names.section(s)}, {level}" for s, level in person.sections.items())
        title = f"{names.person(person.id)} ({sections})"
        rows = [*overtime_rows(names, person.id)]
        rows += [f"  {note}" for who, note in eaten_notes(names) if who == person.id]
        rows += [f"  {note}" for who, note in rest_notes(names.scenario) if who == person.id]
        rows += _daily(names, these, Sheet(every), (person.id,), people=False)
        rows += _deferring(these)
        yield from _headed(title, rows)


def _span(names: Names, start: int, end: int, what: str, how: str) -> tuple[int, int, str]:
    when = f"{pad(names.moment(start), 17)}- {pad(names.moment(end), 17)}"
    return start, end, f"  {when} {pad(what, _WHAT)}  {how}".rstrip()


def _visit_or_task(task: PlannedTask) -> Iterator[tuple[PlannedVisit | None, Taken]]:
    for taken in task.taken:
        yield None, taken
    for visit in task.visits:
        for taken in visit.taken:
            yield visit, taken


def _by_equipment(names: Names) -> Iterator[str]:
    places: dict[tuple[str, Slug], list[tuple[int, int, str]]] = {}
    labels, dated = Labels(names), set()
    for task in names.plan.tasks:
        what = f"{names.batch(task.batch)}: {names.step(task.batch, task.step)}"
        for visit, taken in _visit_or_task(task):
            said = f"{what}, {visit.verb or visit.kind}" if visit else what
            how = _how(names, taken)
            row = _span(names, taken.start, taken.end, said, how)
            key = ("unit", taken.unit) if taken.unit else ("store", taken.store or "")
            places.setdefault(key, []).append(row)
    for hold in names.plan.holds:
        if hold.end > hold.start and (hold.unit or hold.store):
            key = ("store", hold.store) if hold.store else ("unit", hold.unit or "")
            what = f"{names.held(hold)}, {about(hold.quantity)}: waits"
            label = "" if hold.by_product or hold.kind == "wait" else labels.use_by(hold.source)
            dated |= {hold.store} if label else set()
            shelves = several(hold.shelves, "shelf", "shelves") if hold.store else ""
            how = ", ".join(x for x in (shelves, label) if x)
            places.setdefault(key, []).append(_span(names, hold.start, hold.end, what, how))
    for done in names.plan.clean_downs:
        who = ", ".join(names.person(p) for p in done.people)
        row = _span(names, done.start, done.end, done.verb, who)
        places.setdefault(("unit", done.unit), []).append(row)
    for planned in names.plan.duties:
        duty = duty_of(names.scenario, planned.duty)
        for shelf in duty.stores if duty else ():
            how = several(shelf.shelves, "shelf", "shelves")
            row = _span(names, planned.start, planned.end, names.duty(planned.duty), how)
            places.setdefault(("store", shelf.store), []).append(row)
    for unit, (kind, size) in names.scenario.unit.items():
        places_there = f", {size.capacity} {kind.measure}" if (size.capacity or 1) > 1 else ""
        if size.holds:
            places_there = ", " + " or ".join(f"{n} {tray}" for tray, n in size.holds.items())
        rows = sorted(places.get(("unit", unit), ()))
        yield from _headed(names.unit(unit) + places_there, (text for _, _, text in rows))
    for store in names.scenario.kitchen.stores:
        title = f"{names.store(store.id)}, {several(store.shelves, 'shelf', 'shelves')}"
        rows = sorted(places.get(("store", store.id), ()))
        defers = [f"  {DEFER}"] if store.id in dated else []
        yield from _headed(title, [*(text for _, _, text in rows), *defers])


def _how(names: Names, taken: Taken) -> str:
    if taken.store:
        return several(taken.amount, "shelf", "shelves")
    setting = f"{taken.mode or ''} {taken.celsius} °C" if taken.celsius is not None else ""
    known = names.scenario.unit.get(taken.unit or "")
    shared = known and ((known[1].capacity or 1) > 1 or known[1].holds)
    return (
        f"{taken.amount} {known[0].measure} {setting}".strip()
        if shared and known
        else (setting.strip())
    )


def _feeding(names: Names, batch: str) -> list[str]:
    """A dish's batch and everything that goes into it, through sub-components."""
    found, open_ = [batch], [batch]
    while open_:
        consumer = open_.pop()
        for share in names.plan.shares:
            if share.consumer == consumer and share.source not in found:
                found.append(share.source)
                open_.append(share.source)
    return found


def _by_dish(names: Names) -> Iterator[str]:
    dishes = [b for b in names.plan.batches if b.dish is not None]
    order = {e.id: e.first_plate for e in names.scenario.week.events}
    late = max(order.values())

    def place(batch: PlannedBatch) -> tuple[object, ...]:
        return order.get(batch.event or "", late), batch.course or 0, batch.wave or 0, batch.id

    for dish in sorted(dishes, key=place):
        feeding = set(_feeding(names, dish.id))
        rows = []
        for task in names.plan.tasks:
            if task.batch in feeding:
                load = f" ({task.load} of {task.loads})" if task.loads > 1 else ""
                what = f"{names.batch(task.batch)}, {names.goes_in(task)}: "
                what += names.step(task.batch, task.step) + load
                where = fit(places_of(names, task.taken), _WHERE)
                rows.append(_span(names, task.start, task.end, what, where))
        title = f"{names.batch(dish.id)}, {names.amount(dish.id)}"
        yield from _headed(title, (text for _, _, text in sorted(rows)))


def _by_event(names: Names) -> Iterator[str]:
    """Every event's dishes: how many, and what is in them beside the guests' needs."""
    for event in sorted(names.scenario.week.events, key=lambda e: (e.first_plate, e.id)):
        first = names.scenario.clock.minute(event.first_plate)
        rows = [line for said in of_event(names.scenario, event) for line in _indented(said, 2)]
        for at, course in enumerate(event.menu):
            these = [b for b in names.plan.batches if (b.event, b.course) == (event.id, at)]
            many = sum(int(b.quantity.base) for b in these)
            dish = names.scenario.dish[course.dish]
            when = names.moment(first + course.after)
            title = f"{dish.name or dish.id}, {several(many, 'plate')}, {when}"
            rows.append("  " + fit(title, _COLUMNS - 2))
            for said in of_course(names.scenario, course):
                rows += _indented(said, 4)
        title = f"{names.event(event.id)}, {several(event.guests, 'guest')}"
        yield from _headed(title, rows)


def _indented(said: str, by: int) -> list[str]:
    indent, more = " " * by, " " * (by + 2)
    return textwrap.wrap(clean(said), _COLUMNS, initial_indent=indent, subsequent_indent=more)


def _missing(names: Names, batch: str, why: str) -> str:
    return "  " + fit(f"{names.batch(batch)}, {names.amount(batch)}: {why}", 98)
