"""One step of one batch as kitchen tasks: load, run, unload, at once after each other."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.domain.base import Alone
from scheduler.domain.cooled import longest_of
from scheduler.domain.methods import BOUGHT
from scheduler.domain.reheated import longest_reheat
from scheduler.domain.times import write_duration
from scheduler.workload.begun import already_hot, standing
from scheduler.workload.broken import been_part, stays_with_it
from scheduler.workload.builder import first, last
from scheduler.workload.buying import comes
from scheduler.workload.compiled import TaskRecord, VisitRecord
from scheduler.workload.hands import add_crew
from scheduler.workload.laws import Law, law
from scheduler.workload.leaving import leave_of
from scheduler.workload.places import take, wanted
from scheduler.workload.primitives import HORIZON_START, Band, Point, Way
from scheduler.workload.sharing import as_written, ways
from scheduler.workload.visits import add_adds, add_tend

if TYPE_CHECKING:
    from scheduler.domain.recipes import Need, Step, Visit
    from scheduler.workload.builder import Builder, Built
    from scheduler.workload.model import Stage


def task_name(batch: str, step: str, load: int, loads: int) -> str:
    """BATCH/STEP, or BATCH/STEP/LOAD where there is more than one."""
    return f"{batch}/{step}" if loads == 1 else f"{batch}/{step}/{load}"


def law_of(b: Builder, built: Built, step: Step, load: int) -> Law:
    """The range of a step for one load, no longer than the limits on food allow."""
    return _reheated(b, built, step, _cooled(b, built, step, load))


def _cooled(b: Builder, built: Built, step: Step, load: int) -> Law:
    """A cooling step lasts no longer than its limit allows."""
    span = law(step.time, load, built.batch.dimension, b.component(built.batch))
    most = longest_of(b.scenario, b.maker(built.batch), step.id) if step.cooling else None
    if most is None or span.it_decides:
        return span
    return span.at_most_in(most.minutes, b.grid)


def _reheated(b: Builder, built: Built, step: Step, span: Law) -> Law:
    """What was cold and is kept hot is hot within the limit, whoever does it.

    What is over it at its quickest is a complaint, so that no method is taken that is.
    """
    limit = longest_reheat(b.exposing, b.maker(built.batch), step)
    if limit is None:
        return span
    quickest = span.by(Fraction(max((line.up_to or 1 for line in step.hands), default=1))).at_least
    if span.it_decides:
        quickest = span.at_most or quickest
    if quickest > limit.value:
        said = f"reheats for {write_duration(quickest)}, within {limit} ({limit.source})"
        b.complaints.add(f"{built.batch.id}, {step.id}", said, "smaller batches")
        return span
    return replace(span.at_most_in(limit.value, b.grid), stop=limit.value)


def _cold_in_time(b: Builder, built: Built, step: Step, span: Law, planned: int) -> None:
    """A complaint where a cooling step is planned for longer than its limit allows at least."""
    most = longest_of(b.scenario, b.maker(built.batch), step.id) if step.cooling else None
    if most is None or planned <= most.minutes:
        return
    own = span.at_least if not span.it_decides else span.at_most or span.at_least
    said = f"cools for {write_duration(max(own, 1))}"
    maybe = "smaller batches"
    if own <= most.minutes:
        said += f", {write_duration(planned)} as planned"
        maybe = "a finer `grid`, or a shorter time"
    said += f", at most {write_duration(most.minutes)}: {most}"
    if own <= most.minutes:
        said += f"; {most.grid_adds(b.grid)}"
    b.complaints.add(f"{built.batch.id}, {step.id}", said, maybe)


def _left_to_cool(b: Builder, built: Built, step: Step, record: TaskRecord) -> int:
    """Ticks that a step may last for the sake of what cools in it, those that are gone left out."""
    most = longest_of(b.scenario, b.maker(built.batch), step.id) if step.cooling else None
    if most is None:
        return b.calendar.horizon
    gone = 0 if record.began is None else b.calendar.now * b.grid - record.began
    return max(0, b.down(most.minutes - gone))


def section_of(b: Builder, built: Built, step: Step) -> str:
    """Whose step it is: its own section, or its recipe's."""
    return step.section or b.maker(built.batch).section


def add_task_record(b: Builder, built: Built, stage: Stage, load: int) -> TaskRecord:
    """All parts of one load of a step, with its hands and visits; needs come later."""
    step, loads = stage.step, len(stage.loads)
    quantity = stage.loads[load]
    record = TaskRecord(
        task_name(built.batch.id, step.id, load + 1, loads), built.batch.id, step.id, load + 1,
        loads, quantity, built.batch.dimension, {},
    )
    earliest, by = b.gates.get((built.batch.id, step.id, load), (None, None))
    if step.load is not None and not stage.running:
        _visit_part(b, built, step, record, "load", step.load, earliest)
    _run_part(b, built, stage, record, earliest)
    if step.unload is not None:
        _visit_part(b, built, step, record, "unload", step.unload, None)
    if by is not None:
        b.link(Point(HORIZON_START), first(record), None, by)
    parts = list(record.parts.values())
    for one, other in pairwise(parts):
        b.link(Point(one, True), Point(other), 0, None if other == record.parts.get("on") else 0)
    b.records.append(record)
    return record


def _visit_part(
    b: Builder,
    built: Built,
    step: Step,
    record: TaskRecord,
    kind: str,
    visit: Visit,
    earliest: int | None,
) -> None:
    """Load or unload: hands all through, its own needs only while it lasts."""
    span = law(visit.time, record.quantity, built.batch.dimension, b.component(built.batch))
    section = section_of(b, built, step)
    able = ways(b, visit.hands, section, (*step.on, *visit.on), span)
    least, most = _lengths(able)
    task = b.add_task(f"{record.id}:{kind}", built.index, least, most, earliest)
    record.parts[kind] = task
    crew = add_crew(b, task, able)
    taken = [
        occupied
        for n, need in enumerate(visit.on)
        for occupied in take(
            b, built.index, n,
            wanted(b, need, record.quantity, built.batch.dimension, b.component(built.batch)),
            Point(task), Point(task, True),
        )
    ]
    record.visits.append(
        VisitRecord(kind, crew, task, 0, visit.verb or kind, tuple(taken))
    )


def _run_part(
    b: Builder, built: Built, stage: Stage, record: TaskRecord, earliest: int | None
) -> None:
    """The law: at_least up, at_most down on the grid; the longest where the food decides.

    Cost of stretching: weight × max(0, length - best rounded up). What runs
    already starts at `now`, shorter by what has passed. A job that may be left
    may take longer by what that comes to.
    """
    step, section = stage.step, section_of(b, built, stage.step)
    span = law_of(b, built, step, record.quantity)
    least, most = span.ticks(b.grid)
    if most < least and (span.stop is None or span.at_least <= span.stop):
        b.complaints.add(
            f"{built.batch.id}, {step.id}",
            f"between {span.at_least} min and {span.at_most} min there is no length on the grid "
            f"of {b.grid} min",
        )
        most = least
    component = b.component(built.batch)
    weight = 1 if component is None else component.weight
    best = b.up(span.best) * b.grid
    since = begun = 0
    able: tuple[Way, ...] = ()
    if step.hands and not stage.running:
        able = ways(b, step.hands, section, step.on, span)
        if able:
            least, most = _lengths(able)
        elif span.ticks(b.grid) == (least, most):
            slow = b.scenario.kitchen.trainee_hour
            b.complaints.add(
                f"{built.batch.id}, {step.id}",
                f"may take {span.at_most or span.stop} min, and whoever may do it is not as quick "
                f"as that (what takes a cook an hour takes a trainee {slow} min)",
                "'level: cook'",
            )
    if stage.running:
        least, most, best, since = _running(b, built, step, span, record)
        begun = (b.calendar.now * b.grid - (record.began or 0)) // b.grid
    if not stage.running:
        _cold_in_time(b, built, step, span, least * b.grid)
    people = sum(h.up_to or h.people for h in step.hands)
    leave, longer = leave_of(b, step.may_leave, people, begun)
    longer = max(0, min(longer, _left_to_cool(b, built, step, record) - most))
    over = None if span.stop is None else b.down(span.stop) - begun
    plain, most = most, _drawn_out(least, most, longer, over)
    stretch = None
    if not span.it_decides and span.at_most is not None and most > least and weight:
        stretch = Band(0, best, weight)
    if step.hands:
        able = able or (Way(as_written(b, step.hands, section, step.on), least, plain),)
    if longer:
        able = tuple(
            replace(way, most=_drawn_out(way.least, way.most, longer, over)) for way in able
        )
    within = _within(b, built, step)
    broken = b.broken_off.get(record.id)
    if broken is not None:
        been = been_part(b, built, record, broken, able, within)
        least, most = max(0, least - been), max(0, most - been)
        able = tuple(
            replace(way, least=max(0, way.least - been), most=max(0, way.most - been))
            for way in able
        )
        stretch = leave = None
    task = b.add_task(
        f"{record.id}:run", built.index, least, most, earliest, within=within, stretch=stretch,
    )
    record.parts["run" if broken is None else "on"] = task
    if stage.running:
        b.link(Point(HORIZON_START), Point(task), b.calendar.now, b.calendar.now)
    if step.hands:
        crew = add_crew(b, task, able, leave)
        record.visits.append(
            VisitRecord("hands", crew, task, int(broken is not None), step.name or step.id)
        )
    add_tend(b, built, step, section, record, since)
    if broken is None:
        add_adds(b, built, step, section, record)


def _drawn_out(least: int, most: int, longer: int, stop: int | None) -> int:
    """The longest of a job that may be left, ticks: not beyond where it must be over."""
    return most + longer if stop is None else max(least, min(most + longer, max(most, stop)))


def _lengths(able: tuple[Way, ...]) -> tuple[int, int]:
    """The shortest and the longest of some ways."""
    return min(way.least for way in able), max(way.most for way in able)


def _running(
    b: Builder, built: Built, step: Step, span: Law, record: TaskRecord
) -> tuple[int, int, int, int]:
    """What is left of a step that runs when planning begins, ticks after `now`.

    Who has been at it is not known: shared work counts as done by `people` cooks.

    Returns
    -------
    tuple of int
        Shortest, longest, best (minutes), ticks since it was tended.
    """
    begun = next(p for p in b.scenario.week.in_progress if p.id == built.batch.id)
    clock, now = b.calendar.clock, b.calendar.now
    began = clock.minute(begun.started)
    record.began = began
    if step.hands and step.hands[0].up_to is not None:
        span = span.by(Fraction(step.hands[0].people))
    least = b.up(began + span.at_least) - now
    longest = span.at_least if span.at_most is None else span.at_most
    if span.it_decides:
        least = most = b.up(began + longest) - now
    elif span.at_most is None:
        most = least
    else:
        most = b.down(began + longest) - now
    _cold_in_time(b, built, step, span, (now + max(0, least)) * b.grid - began)
    if most < 0:
        b.complaints.add(
            built.batch.id,
            f"{record.step} began {longest - most * b.grid} min before planning begins and may "
            f"take {longest} min, so it is over already",
            "the step that follows, or the lot on hand",
        )
        least = most = 0
    tended = clock.minute(begun.last_visit) if begun.last_visit is not None else began
    best = b.up(span.best) * b.grid - (now * b.grid - began)
    return max(0, least), max(0, most), best, now - b.down(tended)


def _within(b: Builder, built: Built, step: Step) -> tuple[tuple[int, int], ...] | None:
    """Stretches a step must lie in: it never runs with the house empty, or it is a delivery."""
    bought = built.batch.method == BOUGHT and b.scenario.component[built.batch.component or ""]
    if bought and bought.bought_in is not None:
        ordered, now = b.ordered
        return tuple(
            (c.start // b.grid, c.end // b.grid)
            for c in comes(b.scenario, bought.bought_in)
            if built.batch.id in ordered or c.order_by >= now
        )
    if step.hands:
        return None
    rules = [step.alone]
    for need in step.on:
        if need.equipment is not None:
            kind, _ = b.kinds.of(need.equipment)
            rules.append(kind.unattended)
            if kind.unattended is Alone.NEVER:
                b.complaints.add(
                    f"step {step.id}",
                    f"{kind.id} never runs alone, so somebody must be at it",
                    "`hands` all the way",
                )
    strictest = min(rules, key=lambda rule: rule.rank)
    return b.calendar.house if strictest is not Alone.YES else None


def add_needs(
    b: Builder, built: Built, stage: Stage, record: TaskRecord, ends: dict[int, Point]
) -> None:
    """Equipment and shelves of one load of a step.

    From the start of its first part to the end of its last one, or to where
    `ends` says (by the need's place): a container to the step that empties
    it, a machine to the end of what waits in it. What a batch in progress
    stands on is named by the week.
    """
    for n, need in enumerate(stage.step.on):
        add_need(b, built, record, n, need, ends.get(n, last(record)), stage.running)


def add_need(
    b: Builder, built: Built, record: TaskRecord, n: int, need: Need, end: Point, running: bool
) -> None:
    """One need of a task, from its start to `end`."""
    uses = wanted(b, need, record.quantity, built.batch.dimension, b.component(built.batch))
    if "on" in record.parts and not stays_with_it(b, need):
        off, on = Point(record.parts["run"], True), Point(record.parts["on"])
        record.taken += take(b, built.index, n, uses, first(record), off)
        record.taken += take(b, built.index, n, uses, on, end)
        return
    if running:
        uses = [standing(b, built.batch.id, want) for want in uses]
        already_hot(b, uses)
    record.taken += take(b, built.index, n, uses, first(record), end)
