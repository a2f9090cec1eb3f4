"""Everything somebody does in a plan, in words, and what starts by itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from scheduler.domain.base import Slug
from scheduler.domain.recipes import ANYONE
from scheduler.plan.figures import duty_of
from scheduler.plan.judging import MEASURE_PH, judged
from scheduler.plan.minding import Minding
from scheduler.plan.model import Taken
from scheduler.plan.probing import probing
from scheduler.plan.words import Names, several


@dataclass(frozen=True, slots=True)
class Job:
    """A stretch of hands, or the start of something that needs none.

    Attributes
    ----------
    start, end : int
        Minutes.
    section : str
    people : tuple of str
        Ids.
    what, where : str
        In words.
    short : str
        What is done, in few words.
    shared : bool
        Several share what one could do.
    minds : tuple of str
        Hazards, by id.
    judges : tuple of str
        What is looked at when it is done.
    note : str
        What to mind, in a line of its own.
    task : str
        The task it is of, for those that are recorded; empty for duties, cleaning and breaks.
    key : str
        Which job it is, the same in every plan: the task and which visit to it, the duty, the
        cleaning or the break.
    """

    start: int
    end: int
    section: Slug
    people: tuple[Slug, ...]
    what: str
    where: str
    short: str = ""
    shared: bool = False
    minds: tuple[Slug, ...] = ()
    judges: tuple[str, ...] = ()
    note: str = ""
    task: str = ""
    key: str = ""

    @property
    def limited(self) -> bool:
        """Does it say a limit: what a probe must read, or a pH?"""
        return bool(self.note) or any(MEASURE_PH in said for said in self.judges)


def jobs(names: Names) -> list[Job]:
    """Everything somebody does, standing duties included, in order of time."""
    found = []
    minding = Minding(names)
    looks, others = judged(names)
    for task in names.plan.tasks:
        load = f" ({task.load} of {task.loads})" if task.loads > 1 else ""
        what = f"{names.batch(task.batch)}, {names.goes_in(task)}{load}: "
        step = names.step(task.batch, task.step)
        section = names.section_of(task)
        note = probing(names, task)
        for visit in task.visits:
            does = step if visit.kind == "hands" else visit.verb or f"{step}, {visit.kind}"
            where = places_of(names, (*visit.taken, *task.taken))
            shared = names.shared(task, visit)
            mind = note if visit.start == task.start else ""
            judges = tuple(looks.get((task.id, visit.kind, visit.start), ()))
            found.append(
                Job(
                    visit.start, visit.end, section, visit.people, what + does, where, does, shared,
                    minding.visit(task, visit), judges, mind,
                    task.id, f"{task.id}:{visit.kind}:{visit.index}",
                )
            )
        bought = names.batches[task.batch].bought if task.batch in names.batches else None
        if bought is not None:
            packs = several(bought.packs, "pack")
            found.append(_moment(bought.order_by, section, f"{what}order {packs} by now"))
            found.append(_moment(task.start, section, f"{what}comes by {names.clock(task.end)}"))
        elif not any(v.start == task.start for v in task.visits):
            where = places_of(names, task.taken)
            begins = _moment(task.start, section, f"{what}{step} begins")
            found.append(replace(begins, where=where, note=note, task=task.id))
    for task, said in others:
        name, section = f"{names.batch(task.batch)}, {names.goes_in(task)}", names.section_of(task)
        over = f"{name}: {names.step(task.batch, task.step)} is over"
        found.append(_moment(task.end, section, over, judges=(said,)))
    for done in names.plan.clean_downs:
        known = names.scenario.unit.get(done.unit)
        rule = known[0].clean_down if known else None
        section = next((h.section for h in rule.hands if h.section), "") if rule else ""
        what = f"{names.unit(done.unit)}: {done.verb} (after {names.task(done.after)})"
        section = "" if section == ANYONE else section
        unit = names.unit(done.unit)
        minds = minding.clean_down(done)
        found.append(
            Job(
                done.start, done.end, section, done.people, what, unit, done.verb, minds=minds,
                key=done.id,
            )
        )
    for duty in names.plan.duties:
        if duty.people:  # others take shelves or equipment only
            written = duty_of(names.scenario, duty.duty)
            section = (written.section if written else None) or ""
            name = names.duty(duty.duty)
            minds = minding.duty(duty)
            found.append(
                Job(
                    duty.start, duty.end, section, duty.people, name, "", name, minds=minds,
                    key=duty.id,
                )
            )
    for pause in names.plan.breaks:
        whose = (pause.person,)
        found.append(Job(pause.start, pause.end, "", whose, "Break", "", "break", key=pause.id))
    return sorted(found, key=lambda j: (j.start, j.end, j.what, j.people))


def _moment(at: int, section: Slug, what: str, judges: tuple[str, ...] = ()) -> Job:
    """Something that takes nobody's hands."""
    return Job(at, at, section, (), what, "", judges=judges)


def places_of(names: Names, taken: Iterable[Taken]) -> str:
    """Where something is done, and at which setting."""
    said: dict[str, None] = {}
    for use in taken:
        place = names.unit(use.unit) if use.unit else names.store(use.store or "")
        setting = f" {use.celsius} °C" if use.celsius is not None else ""
        said[place + setting] = None
    return ", ".join(said)
