"""What stands in a cell of the wall sheet: the jobs of a batch together, times in bold."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from reportlab.platypus import Paragraph

from scheduler.outputs.lines import Line
from scheduler.outputs.paper.filling import Cell
from scheduler.outputs.paper.letters import BOLD, Letters
from scheduler.outputs.paper.looks import WALL_BOXED, WALL_JOB
from scheduler.outputs.saying import told, when
from scheduler.outputs.sheet import Sheets
from scheduler.plan.words import Names

_TIME = 12
"""Points; read from a step away."""


def jobs_of(names: Names, lines: Sequence[Line], day: date, letters: Letters) -> Cell:
    """The jobs of a day: what is for diets first, boxed; batches by their first job."""
    together: dict[tuple[object, ...], list[Line]] = {}
    for line in lines:
        alone = () if line.quantity else (line.key, line.start)
        together.setdefault((line.what, line.quantity, line.diets, alone), []).append(line)
    batches = sorted(together.values(), key=lambda some: (not some[0].diets, some[0].start))
    return [_batch(names, some, day, letters) for some in batches]


def _batch(names: Names, lines: Sequence[Line], day: date, letters: Letters) -> Paragraph:
    """ "Onion glaze, 4.6 kg: at 07:40 Slice and sweat; 09:00 Stir; Greta" """
    markup, first = letters.markup, lines[0]
    if not first.quantity:
        text = f"{_time(_begins(names, first, day), letters)} {markup(first.what)}"
        return Paragraph(text + _people(names, lines, letters), WALL_JOB)
    diets = f" FIRST AND APART: {', '.join(first.diets)}" if first.diets else ""
    text = f"<b>{markup(f'{first.what}, {first.quantity}{diets}')}:</b> " + "; ".join(
        f"{_time(_begins(names, line, day), letters)} {markup(line.does)}"
        + (f" ({line.load})" if line.load else "")
        + (_people(names, [line], letters) if n + 1 < len(lines) and
           line.people != lines[n + 1].people else "")
        for n, line in enumerate(lines)
    )  # fmt: skip
    return Paragraph(
        text + _people(names, lines[-1:], letters), WALL_BOXED if first.diets else WALL_JOB
    )


def nights(sheets: Sheets, day: date, letters: Letters) -> Cell:
    """What runs by itself over the midnight after a day, what needs hands first on top."""
    names, found = sheets.names, []
    for one in sorted(sheets.overnight(day), key=lambda o: o.at):
        begins = _time(when(names, one.at, names.local(one.at).date()), letters)
        later = (names.local(one.at).date() - day).days
        on = "" if later == 1 else f" ({names.moment(one.at)[:-6]})"
        who = ", ".join(names.person(p) for p in one.people)
        said = f"{on} {one.verb}: {one.what}{f'; {who}' if who else ''}"
        found.append(Paragraph(begins + letters.markup(said), WALL_JOB))
    return [*found]


def _begins(names: Names, line: Line, day: date) -> str:
    return told(names, line.start_by, day).removeprefix("by ")


def _time(text: str, letters: Letters) -> str:
    return f'<font name="{BOLD}" size="{_TIME}">{letters.together(text)}</font>'


def _people(names: Names, lines: Iterable[Line], letters: Letters) -> str:
    people = dict.fromkeys(p for line in lines for p in line.people)
    return f" – {letters.markup(', '.join(map(names.person, people)))}" if people else ""
