"""A sheet as a plain page: what paper says, for whoever scans its code. It only reads."""

from __future__ import annotations

from collections.abc import Iterable

from scheduler.domain.base import Slug
from scheduler.domain.limits import DEFER
from scheduler.outputs.lines import Line
from scheduler.outputs.saying import (
    coming,
    first_and_apart,
    heading,
    overnight,
    sayings,
    short,
    told,
)
from scheduler.outputs.sheet import Sheet
from scheduler.plan.minding import cautions
from scheduler.plan.words import SAFETY, Names, day_words
from ui.forms import shown

STYLE = """
main { max-width: 42rem; }
h2 { font-size: 1.2rem; margin: 2rem 0 .5rem; }
h3 { font-size: 1.05rem; margin: 0; }
ul { list-style: none; margin: 0; padding: 0; }
li { border-top: 1px solid var(--line); padding: .6rem 0; }
li p { margin: .1rem 0; }
time { font-weight: bold; font-size: 1.2rem; }
.apart { border: .25rem solid var(--ink); padding: .25rem .75rem; margin: 1rem 0; }
.strong { font-weight: bold; }
"""
_LONGEST = 4000


def sheet_body(names: Names, sheet: Sheet) -> str:
    """What is on a sheet, as HTML; what people have typed is escaped."""
    said: set[Slug] = set()
    there = (
        f"{names.person(p)} {names.clock(a)}-{names.clock(z)}" for p, a, z in sheet.people
    )
    parts = [_paragraph(", ".join(there)), _paragraph("; ".join(sheet.notes))]
    parts.append(_list("Deliveries", (coming(names, c) for c in sheet.deliveries)))
    if sheet.apart:
        jobs = _jobs(names, sheet, sheet.apart, said)
        parts.append(
            f'<section class="apart"><h2>{_shown(first_and_apart(sheet.apart))}</h2>{jobs}'
            "</section>"
        )
    jobs = _jobs(names, sheet, sheet.others, said) if sheet.others else "<p>Nothing.</p>"
    parts.append(f"<h2>Jobs</h2>{jobs}")
    parts += [
        _list("Before we leave tonight", _short(names, sheet, sheet.tonight)),
        _list("Overnight, by itself", (overnight(names, o) for o in sheet.overnight)),
        _list("First thing tomorrow", _short(names, sheet, sheet.tomorrow)),
    ]
    defer = DEFER if sheet.limited else ""
    return "".join((*parts, _paragraph(defer, "faint"), _paragraph(SAFETY, "faint")))


def title_of(sheet: Sheet) -> str:
    """Whose it is, and the day."""
    return f"{sheet.title}, {day_words(sheet.day)}"


def _jobs(names: Names, sheet: Sheet, lines: Iterable[Line], said: set[Slug]) -> str:
    rows = []
    for line in lines:
        ready = f", ready {told(names, line.ready_by, sheet.day)}" if line.end > line.start else ""
        rows.append(
            f"<li><time>{_shown(told(names, line.start_by, sheet.day))}</time>{_shown(ready)}"
            f"<h3>{_shown(heading(line))}</h3>"
        )
        rows += [
            _paragraph(one.text, "strong" if one.kind in ("check", "label") else "")
            for one in sayings(names, line, sheet.day, sheet.person)
        ]
        rows += [_paragraph(text) for text in cautions(line.minds, said)]
        rows.append("</li>")
    return f"<ul>{''.join(rows)}</ul>"


def _short(names: Names, sheet: Sheet, lines: Iterable[Line]) -> Iterable[str]:
    return (short(names, line, sheet.day) for line in lines)


def _list(title: str, texts: Iterable[str]) -> str:
    rows = "".join(f"<li>{_shown(text)}</li>" for text in texts)
    return f"<h2>{title}</h2><ul>{rows}</ul>" if rows else ""


def _paragraph(text: str, name: str = "") -> str:
    kind = f' class="{name}"' if name else ""
    return f"<p{kind}>{_shown(text)}</p>" if text else ""


def _shown(text: str) -> str:
    return shown(text, _LONGEST)
