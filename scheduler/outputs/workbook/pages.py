"""What stands on the pages of a workbook: a plan, its sheets, its quantities, the record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from fractions import Fraction

from scheduler.book.standing import Recorded
from scheduler.domain.hazards import hazards
from scheduler.domain.quantity import Dimension, Quantity
from scheduler.outputs.lines import Line
from scheduler.outputs.saying import sayings
from scheduler.outputs.sheet import Sheets
from scheduler.outputs.workbook.cells import Page, Value, workbook
from scheduler.plan.jobs import places_of
from scheduler.plan.words import Names

_AMOUNT = ("kg", "l", "pieces", "portions")
_THOUSAND = 1000


Noted = tuple[Recorded, str]
"""An entry of the record, and what it says in words."""


def workbook_of(sheets: Sheets, record: Iterable[Noted] = ()) -> bytes:
    """A plan as a workbook.

    Parameters
    ----------
    record : iterable of Noted
        What was entered for its week, in order; a page of its own where there is any.
    """
    noted = tuple(record)
    pages = [_plan(sheets.names), _sheets(sheets), _quantities(sheets)]
    return workbook([*pages, *([_record(sheets.names, noted)] if noted else [])])


def _plan(names: Names) -> Page:
    rows = (
        (
            _wall(names, t.start), _wall(names, t.end), names.batch(t.batch),
            names.step(t.batch, t.step), f"{t.load} of {t.loads}" if t.loads > 1 else "",
            *_amount(t.quantity, portions=_is_dish(names, t.batch)),
            places_of(names, t.taken),
            ", ".join(dict.fromkeys(names.person(p) for v in t.visits for p in v.people)),
            t.end - t.start, t.id,
        )
        for t in sorted(names.plan.tasks, key=lambda t: (t.start, t.id))
    )  # fmt: skip
    return Page(
        "Plan",
        ("start", "end", "what", "step", "load", *_AMOUNT, "on", "who", "length (min)", "id"),
        tuple(rows),
    )


def _sheets(sheets: Sheets) -> Page:
    names, known = sheets.names, hazards()

    def row(line: Line) -> tuple[Value, ...]:
        said: dict[str, list[str]] = {}
        for one in sayings(names, line, names.local(line.start).date(), None):
            said.setdefault(one.kind, []).append(one.text.partition(": ")[2] if
                                                 one.kind == "label" else one.text)  # fmt: skip
        task = names.tasks.get(line.task)
        amount = (
            _amount(task.quantity, portions=_is_dish(names, task.batch)) if task and line.quantity
            else (None,) * len(_AMOUNT)
        )  # fmt: skip
        return (
            names.section(line.section) if line.section else "",
            _wall(names, line.start_by.minute),
            "yes" if line.start_by.exact else "",
            _wall(names, line.ready_by.minute),
            line.what, *amount, line.load, line.does, line.step,
            ", ".join(map(names.person, line.people)), ", ".join(line.diets),
            *("; ".join(said.get(kind, ())).removeprefix(before) for kind, before in _SAID),
            "; ".join(known[h].name for h in line.minds if h in known),
        )  # fmt: skip

    rows = [row(line) for day in sheets.days for line in sheets.on(day)]
    return Page(
        "Sheets",
        (
            "section", "start by", "may not wait", "ready by", "what", *_AMOUNT, "load", "does",
            "step", "who", "diets, first and apart", "takes", "on", "check", "note", "goes to",
            "label", "mind",
        ),
        tuple(rows),
    )  # fmt: skip


_SAID = (("takes", "takes "), ("on", "on "), ("check", "check "), ("note", ""),
         ("goes", "goes to "), ("label", ""))  # fmt: skip


def _quantities(sheets: Sheets) -> Page:
    """Batches and dishes as they are weighed up, and what is taken of what is delivered."""
    names = sheets.names
    rows: list[tuple[Value, ...]] = []
    batches = sorted(names.plan.batches, key=lambda b: (b.dish is not None, names.batch(b.id)))
    for b in batches:
        kind = "dish" if b.dish is not None else "bought in" if b.bought else "batch"
        rows.append((
            kind, names.batch(b.id), *_amount(b.quantity, portions=b.dish is not None),
            "yes" if b.in_progress else "", b.id,
        ))  # fmt: skip
    rows += [("ingredient", n, *_amount(q), "", i) for i, n, q in _ingredients(sheets)]
    return Page("Quantities", ("kind", "what", *_AMOUNT, "begun before", "id"), tuple(rows))


def _ingredients(sheets: Sheets) -> Iterator[tuple[str, str, Quantity]]:
    """Everything that steps take and nobody makes, in all, by name."""
    total: dict[tuple[str, str, Dimension], Fraction] = {}
    for day in sheets.days:
        for one in (i for line in sheets.on(day) for i in line.ingredients):
            if one.id not in sheets.names.scenario.component:
                key = (one.name, one.id, one.amount.dimension)
                total[key] = total.get(key, Fraction(0)) + one.amount.base
    for (name, id, dimension), base in sorted(total.items()):
        yield id, name, Quantity.of(base, dimension)


def _record(names: Names, record: tuple[Noted, ...]) -> Page:
    """Every entry as it came in, also what was corrected since."""
    zone, places = names.scenario.clock.zone, {e.id: e.place for e, _ in record}

    def wall(moment: datetime) -> datetime:
        return moment.astimezone(zone).replace(tzinfo=None, microsecond=0)

    rows = (
        (
            e.place, wall(e.when), "yes" if e.doubtful else "", wall(e.arrived),
            names.person(e.who), names.batch(e.batch), e.kind, says, e.number,
            places.get(e.corrects or ""), e.task or e.batch,
        )
        for e, says in record
    )  # fmt: skip
    return Page(
        "Record",
        (
            "no.", "happened", "clock is wrong", "arrived", "who", "what", "kind", "says", "plan",
            "corrects no.", "id",
        ),
        tuple(rows),
    )  # fmt: skip


def _is_dish(names: Names, batch: str) -> bool:
    known = names.batches.get(batch)
    return known is not None and known.dish is not None


def _amount(quantity: Quantity, *, portions: bool = False) -> tuple[Value, ...]:
    """A number below its unit, and nothing below the others."""
    base = quantity.base
    if quantity.dimension is Dimension.MASS:
        return (base / _THOUSAND, None, None, None)
    if quantity.dimension is Dimension.VOLUME:
        return (None, base / _THOUSAND, None, None)
    return (None, None, None, base) if portions else (None, None, base, None)


def _wall(names: Names, minute: int) -> datetime:
    return names.local(minute).replace(tzinfo=None)
