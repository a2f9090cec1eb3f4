"""The sheets of the demo: nothing is left off one, and nobody is told a time that breaks a rule."""

from __future__ import annotations

from collections import Counter
from functools import cache

from scheduler.outputs.lines import Line
from scheduler.outputs.sheet import Sheet, Sheets
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan, PlannedTask, PlannedVisit, Taken
from tests.scenarios.planned import demo, visits
from tests.scenarios.test_demo_findings import kept

# What a plan says besides the times of its tasks follows from them; a job begun a few minutes
# sooner leaves it as it was. People do their jobs in order, all of them a little sooner.
FOLLOWS = {"terms", "holds", "container", "in-machine", "clean-down", "one-place", "bound"}


@cache
def every() -> Sheets:
    return Sheets(demo(), kept())


@cache
def of_sections() -> tuple[Sheet, ...]:
    sheets = every()
    return tuple(sheets.of_section(s, day) for s in sheets.sections for day in sheets.days)


@cache
def of_people() -> tuple[Sheet, ...]:
    sheets = every()
    return tuple(sheets.of_person(p, day) for p in sheets.persons for day in sheets.days)


def key(task: PlannedTask, visit: PlannedVisit) -> tuple[str, int]:
    return f"{task.id}:{visit.kind}:{visit.index}", visit.start


def test_every_visit_stands_on_just_one_sheet_of_a_section() -> None:
    told = Counter((x.key, x.start) for sheet in of_sections() for x in sheet.lines)
    assert {key(t, v): told[key(t, v)] for t, v in visits(kept())} == {
        key(t, v): 1 for t, v in visits(kept())
    }


def test_every_visit_stands_on_the_sheet_of_each_of_its_people() -> None:
    told = Counter((sheet.person, x.key, x.start) for sheet in of_people() for x in sheet.lines)
    wanted = Counter((p, *key(t, v)) for t, v in visits(kept()) for p in v.people)
    assert {who: told[who] for who in wanted} == dict(wanted)


def test_duties_cleaning_and_breaks_stand_on_the_sheets_of_their_people() -> None:
    told = {(sheet.person, x.key) for sheet in of_people() for x in sheet.lines}
    plan = kept()
    wanted = {(p, d.id) for d in plan.duties for p in d.people}
    wanted |= {(p, c.id) for c in plan.clean_downs for p in c.people}
    wanted |= {(b.person, b.id) for b in plan.breaks}
    assert wanted
    assert wanted <= told


def test_nothing_is_ready_after_somebody_needs_it() -> None:
    tasks = every().names.tasks
    ready = {
        x.task: x.ready_by.minute
        for sheet in of_sections()
        for x in sheet.lines
        if x.task and x.end == tasks[x.task].end
    }
    needed = [
        (task.id, ready[task.id], hold.end)
        for hold in kept().holds
        for task in kept().tasks
        if task.batch == hold.source and task.end == hold.start and task.id in ready
    ]
    assert len(needed) > 50
    assert [x for x in needed if x[1] > x[2]] == []


def test_an_oven_is_emptied_before_the_next_load_needs_it() -> None:
    ready = {x.key: x.ready_by.minute for sheet in of_sections() for x in sheet.lines if x.task}
    (first,) = (t for t in kept().tasks if t.id == "rye-honey-rolls.3/bake/1")
    (second,) = (t for t in kept().tasks if t.id == "rye-honey-rolls.3/bake/2")
    assert {t.unit for t in first.taken} & {t.unit for t in second.taken}
    assert ready[f"{first.id}:unload:0"] <= second.start


def test_most_times_are_quarters_of_an_hour() -> None:
    local = every().names.local
    may_wait = [
        x for sheet in of_sections() for x in sheet.lines if x.task and not x.start_by.exact
    ]
    quarters = [x for x in may_wait if local(x.start_by.minute).minute % 15 == 0]
    assert len(quarters) > 0.7 * len(may_wait)


def test_the_second_reader_finds_nothing_wrong_with_a_job_begun_by_the_sheet() -> None:
    sooner = [
        x
        for sheet in of_sections()
        for x in sheet.lines
        if x.task and x.key and x.start_by.minute < x.start
    ]
    assert len(sooner) > 30
    wrong = {}
    for x in sooner[::6]:
        found = audit(demo(), begun(kept(), x)).findings
        wrong |= {(x.key, f.rule): f.what for f in found if f.rule not in FOLLOWS}
    assert wrong == {}


def begun(plan: Plan, line: Line) -> Plan:
    """The plan with one job begun when its line says so: the step with it, or a part of it."""
    task = next(t for t in plan.tasks if t.id == line.task)
    by = line.start - line.start_by.minute
    seen = [v for v in task.visits if key(task, v) == (line.key, line.start)]
    kind = seen[0].kind
    times = {"start": task.start, "law_start": task.law_start}
    ends = {"law_end": task.law_end, "end": task.end}
    moved = times if kind == "load" else ends if kind == "unload" else {}
    moved = times | ends if kind == "hands" else moved

    def shifted(use: Taken) -> Taken:
        ends_here = "end" in moved and use.end == task.end
        starts_here = "start" in moved and use.start == task.start
        return use.model_copy(
            update={"start": use.start - by * starts_here, "end": use.end - by * ends_here}
        )

    def looked(visit: PlannedVisit) -> PlannedVisit:
        if visit is not seen[0]:
            return visit
        uses = tuple(
            u.model_copy(update={"start": u.start - by, "end": u.end - by}) for u in visit.taken
        )
        return visit.model_copy(
            update={"start": visit.start - by, "end": visit.end - by, "taken": uses}
        )

    new = task.model_copy(
        update={name: at - by for name, at in moved.items()}
        | {
            "visits": tuple(looked(v) for v in task.visits),
            "taken": tuple(shifted(u) for u in task.taken),
        }
    )
    return plan.model_copy(update={"tasks": tuple(new if t is task else t for t in plan.tasks)})


def test_every_job_says_what_how_much_and_where_it_goes() -> None:
    lines = [x for sheet in of_sections() for x in sheet.lines if x.task and x.key]
    assert all(x.what and x.quantity and x.does for x in lines)
    unsaid = [
        x.key
        for x in lines
        if x.label and not x.goes_to and not x.at_once and x.end == every().names.tasks[x.task].end
    ]
    # What is used as it is ready goes to nobody's shelf.
    plan = kept()
    waits = {h.source for h in plan.holds if h.kind in ("share", "leftover") and h.start < h.end}
    batches = {every().names.tasks[k.rpartition(":")[0].rpartition(":")[0]].batch for k in unsaid}
    assert batches & waits == set()


def test_the_diets_of_the_gala_stand_apart() -> None:
    apart = {x.what for sheet in of_sections() for x in sheet.apart}
    assert any("gluten-free" in what for what in apart)
    assert all(x.diets == () for sheet in of_sections() for x in sheet.others)
