"""The record as pages: by day or by batch, to be looked at and printed for an inspector."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from html import escape
from urllib.parse import urlencode

from scheduler.domain.limits import DEFER
from scheduler.outputs.log import Curve, Row
from scheduler.outputs.measured import Verdict
from scheduler.plan.words import SAFETY, Names, day_words
from ui.forms import page, shown
from ui.phone.curve import drawn
from ui.phone.style import LOG, STYLE

_WORDS = {
    Verdict.FINE: "as it should be", Verdict.NOT_YET: "on the way", Verdict.OUT: "OUT OF BOUNDS",
}  # fmt: skip


def log_page(
    names: Names, title: str, ways: str, rows: Sequence[Row], curves: Sequence[Curve],
    unknown: Sequence[str], printed: datetime,
) -> str:  # fmt: skip
    """A log.

    Parameters
    ----------
    ways : str
        Links to other logs, as HTML; not printed.
    unknown : sequence of str
        Of what nobody has said anything.
    printed : datetime
        Now, on the kitchen's clock.
    """
    batches = list(dict.fromkeys(row.entry.batch for row in rows))
    tables = "".join(_table([r for r in rows if r.entry.batch == batch]) for batch in batches)
    drawings = "".join(drawn(names, curve) for curve in curves)
    silent = "".join(f"<li>{shown(text, 400)}</li>" for text in unknown)
    kitchen = names.scenario.kitchen
    return page(
        title,
        f"{ways}<p>{shown(kitchen.name or kitchen.id)}, {shown(names.scenario.week.name or '')}. "
        f"Printed {day_words(printed.date())} {printed.year}, {printed:%H:%M}.</p>"
        + (tables or "<p>Nothing has been entered. That nothing is entered is not late.</p>")
        + (f"<h2>Temperatures</h2>{drawings}" if drawings else "")
        + (f"<h2>Unknown: nobody has said anything</h2><ul>{silent}</ul>" if silent else "")
        + f'<p class="faint">Entries stay as they were made; a correction is a new entry in the '
        f"place of an old one, which is struck out. {shown(DEFER, 600)} {shown(SAFETY, 400)}</p>",
        style=STYLE + LOG,
    )


def ways_to(
    kitchen: str, week: str, days: Sequence[date], batches: Sequence[tuple[str, str]]
) -> str:
    """Links to the log of each day and of each batch."""

    def way(text: str, **asked: str) -> str:
        query = urlencode({"kitchen": kitchen, "week": week, **asked})
        return f'<a href="/log?{escape(query)}">{shown(text)}</a>'

    by_day = "".join(way(day_words(d), day=str(d)) for d in days)
    by_batch = "".join(way(name, batch=id) for id, name in batches)
    return (
        f'<nav>{by_day}</nav><details class="ways"><summary>By batch</summary><nav>{by_batch}'
        '</nav></details><nav><a href="/sheet">Sheets</a><a href="/">The week</a></nav>'
    )


def _table(rows: Sequence[Row]) -> str:
    head = "<tr><th>No.<th>When<th>What<th>Entered<th>To be<th>By</tr>"
    first = rows[0]
    return (
        f"<h2>{shown(first.batch, 200)} <small>{shown(first.entry.batch, 200)}</small></h2>"
        f"<table>{head}{''.join(map(_row, rows))}</table>"
    )


def _row(row: Row) -> str:
    when = f"{day_words(row.at.date())} {row.at:%H:%M}"
    if row.arrived is not None:
        when += f" (entered {day_words(row.arrived.date())} {row.arrived:%H:%M})"
    said = shown(row.said, 2000)
    if row.replaced_by is not None:
        said = f"<s>{said}</s> see {row.replaced_by}"
    if row.instead_of is not None:
        said += f" (in place of {row.instead_of})"
    if row.strange:
        said += " (in no plan)"
    if row.entry.doubtful:
        said += " (the clock where it was entered was wrong)"
    against = shown(row.against, 400)
    if row.verdict is not None:
        word = _WORDS[row.verdict]
        against += f": <b>{word}</b>" if row.verdict is Verdict.OUT else f": {word}"
    correct = f' <a class="ways" href="/sheet/entry/{escape(row.entry.id)}">correct</a>'
    return (
        f"<tr><td>{row.entry.place}<td>{when}<td>{shown(row.step, 200)}<td>{said}{correct}"
        f"<td>{against}<td>{shown(row.who)}</tr>"
    )
