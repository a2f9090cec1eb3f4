"""The pages of sheets, as text: whose there are, and one of them. What is put in is escaped."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from html import escape
from urllib.parse import quote, urlencode

from scheduler.book.standing import Recorded, TaskState
from scheduler.domain.limits import DEFER
from scheduler.outputs.known import can_be_ticked, look
from scheduler.outputs.lines import Line
from scheduler.outputs.sheet import Sheet
from scheduler.plan.words import SAFETY, Names, day_words, several
from ui.forms import page, shown
from ui.phone.hanging import Hangs, Kind
from ui.phone.job import LONGEST, Page, due, folded, job, otherwise
from ui.phone.style import STYLE
from ui.phone.taking import told

SCRIPT = "/sheet/outbox.js"
SOON = 45
"""Minutes before and after its moment in which what is to be measured stands above the job: from
a while before it until it is no longer worth running for. Common practice, no source."""


def address(kind: str, id: str, day: date, kitchen: str, week: str) -> str:
    """Where a sheet is."""
    return f"/sheet/{kind}/{quote(id)}/{day}?{urlencode({'kitchen': kitchen, 'week': week})}"


def whose_page(hangs: Hangs, kitchen: str, signed: str, day: date) -> str:
    """Whose sheets there are on a day: anybody reads any of them."""
    sheets, names = hangs.sheets, hangs.sheets.names

    def way(kind: Kind, id: str, name: str) -> str:
        sheet = hangs.sheet(kind, id, day)
        where = escape(address(kind, id, day, kitchen, hangs.week))
        how_many = several(len(sheet.lines), "job") if sheet.lines else "nothing to do"
        return f'<a class="way" href="{where}">{shown(name)}, {how_many}</a>'

    people = sorted(sheets.persons, key=lambda p: (p != signed, names.person(p).casefold()))
    sections = "".join(way("section", s, names.section(s)) for s in sheets.sections)
    persons = "".join(way("person", p, names.person(p)) for p in people)
    asked = {"kitchen": kitchen, "week": hangs.week}
    days = "".join(
        f'<a href="/sheet/whose?{escape(urlencode(asked | {"day": str(d)}))}"'
        f'{" aria-current=page" if d == day else ""}>{day_words(d)}</a>'
        for d in sheets.days
    )
    return _page(
        f"Whose sheet, {day_words(day)}?",
        f"<nav>{days}</nav><h4>Sections</h4>{sections}<h4>Brigade</h4>{persons}"
        f'<nav><a href="/">The week</a><a href="/sign-out">Sign out</a></nav>',
    )


def sheet_page(
    hangs: Hangs, sheet: Sheet, states: Mapping[str, TaskState], form: Page, kitchen: str,
    who: str, said: Sequence[str], moment: datetime,
) -> str:  # fmt: skip
    """One sheet: what is to be done now in full, the next two below, everything else folded.

    Parameters
    ----------
    who : str
        What whoever has signed in is called.
    said : sequence of str
        What was answered to what they have just sent.
    moment : datetime
        The present one by the book's clock.
    """
    names = form.names
    found = look(names, sheet.lines, states, hangs.now)
    minded: set[str] = set()
    parts = [_head(hangs, sheet, kitchen, who), *(f'<p class="said">{shown(s, LONGEST)}</p>'
                                                  for s in said)]  # fmt: skip
    parts.append('<p id="line" role="status" hidden></p>')
    soon = [d for d in found.due if abs((d.measures[0].by or 0) - hangs.now) <= SOON]
    parts += _part("To measure", (due(form, one) for one in soon))
    if found.present is not None:
        now = found.present
        parts.append(
            f'<section class="now job" data-job="{escape(now.mark)}">{job(form, now, minded)}'
            "</section>"
        )
    else:
        parts.append(f"<p>{_nothing(sheet, found.unknown)}</p>")
    later = (due(form, one) for one in found.due if one not in soon)
    parts += _part("To measure at some other time", later)
    parts += _part("Next", (folded(form, line, minded) for line in found.after))
    parts += _part("Then", (folded(form, line, minded) for line in found.later))
    parts += _part("Put off", (
        folded(form, line, minded, f": {shown(str(e.body.get('why', '')), LONGEST)}")
        for line, e in found.put_off
    ))  # fmt: skip
    parts += _part(
        "Not ticked: nobody knows whether it is done",
        (folded(form, line, minded) for line in found.unknown),
    )
    if sheet.section is not None and any(map(can_be_ticked, sheet.lines)):
        parts.append(_as_planned(form, sheet, hangs))
    parts += _part("Done", (_over(form, line, e) for line, e in found.over))
    parts += _rest(names, sheet)
    links = {"kitchen": kitchen, "week": hangs.week}
    parts.append(
        f'<nav><a href="/log?{escape(urlencode(links | {"day": str(sheet.day)}))}">The record of '
        f"this day</a></nav>"
    )
    if sheet.limited:
        parts.append(f'<p class="faint">{shown(DEFER, LONGEST)}</p>')
    parts.append(f'<p class="faint">{shown(SAFETY, LONGEST)}</p>')
    mark = (
        f'<div id="sheet" data-as="{escape(form.signed)}" data-number="{hangs.number}" '
        f'data-now="{moment.isoformat()}">'
    )
    return _page(f"{shown(sheet.title)}, {day_words(sheet.day)}", mark + "".join(parts) + "</div>")


def _head(hangs: Hangs, sheet: Sheet, kitchen: str, who: str) -> str:
    kind, id = ("section", sheet.section) if sheet.section is not None else ("person", sheet.person)
    local = hangs.up.astimezone(hangs.sheets.names.scenario.clock.zone)
    others = {"kitchen": kitchen, "week": hangs.week, "day": str(sheet.day)}
    ways = [(f"/sheet/whose?{urlencode(others)}", "Other sheets")]
    for step, word in ((-1, "Day before"), (1, "Next day")):
        day = sheet.day + timedelta(days=step)
        if day in hangs.sheets.days:
            ways.append((address(kind, str(id), day, kitchen, hangs.week), word))
    links = "".join(f'<a href="{escape(to)}">{word}</a>' for to, word in ways)
    return (
        f'<p class="faint">Plan {hangs.number}, on the wall since {day_words(local.date())} '
        f"{local:%H:%M}. You sign as <b>{shown(who)}</b> "
        f'(<a href="/sign-out">somebody else?</a>)</p><nav>{links}</nav>'
    )


def _part(title: str, inside: Iterable[str], tag: str = "div") -> list[str]:
    there = "".join(inside)
    return [f"<h4>{title}</h4><{tag}>{there}</{tag}>"] if there else []


def _nothing(sheet: Sheet, unknown: Sequence[Line]) -> str:
    if not sheet.lines:
        return "There is nothing to do on this day."
    return (
        f"Nothing more is planned; of {several(len(unknown), 'job')} nobody has said anything."
        if unknown
        else "Everything on this sheet is done."
    )


def _as_planned(form: Page, sheet: Sheet, hangs: Hangs) -> str:
    local = form.names.local(hangs.now)
    quarter = local.replace(minute=local.minute // 15 * 15)
    again = form.again if form.same("all") else {}
    until = again.get("until", f"{quarter:%H:%M}")
    hidden = form.hidden("all", section=str(sheet.section), day=str(sheet.day))
    return (
        f'<h4>The whole section</h4><form method="post" class="tick" data-stays>{hidden}'
        f'<label>All as planned until <input type="time" name="until" value="{escape(until)}" '
        "required></label><button>All as planned</button>"
        '<p class="faint">What must be measured is still ticked one by one.</p></form>'
    )


def _over(form: Page, line: Line, entry: Recorded) -> str:
    names = form.names
    at = entry.when.astimezone(names.scenario.clock.zone)
    text = f"{at:%H:%M} {line.what}, {line.does}: {told(entry)}, {names.person(entry.who)}"
    return (
        f'<details class="over"><summary>{shown(text, LONGEST)}</summary>'
        f'<nav><a href="/sheet/entry/{escape(quote(entry.id))}">Correct it</a></nav>'
        f"{otherwise(form, line)}</details>"
    )


def _rest(names: Names, sheet: Sheet) -> list[str]:
    """What else stands on a sheet, in words."""

    def listed(rows: Iterable[str]) -> Iterable[str]:
        return (f"<li>{shown(row, LONGEST)}</li>" for row in rows)

    short = [
        (f"{names.moment(x.start_by.minute)} {x.what}, {x.does}" for x in lines)
        for lines in (sheet.tonight, sheet.tomorrow)
    ]
    coming = (
        f"{names.clock(d.at)} {d.what} {d.quantity}{' for ' if d.hangs else ''}"
        + ", ".join(d.hangs)
        for d in sheet.deliveries
    )
    night = (f"{o.what} {o.where}; next: {o.verb} {names.moment(o.at)}" for o in sheet.overnight)
    there = (f"{names.person(p)} {names.clock(a)}-{names.clock(z)}" for p, a, z in sheet.people)
    return [
        *_part("Deliveries", listed(coming), "ul"),
        *_part("Before we leave tonight", listed(short[0]), "ul"),
        *_part("Overnight, by itself", listed(night), "ul"),
        *_part("First thing tomorrow", listed(short[1]), "ul"),
        *_part("Here", listed([*there, *sheet.notes]), "ul"),
    ]


def _page(title: str, body: str) -> str:
    return page(title, body, style=STYLE, head=f'<script src="{SCRIPT}" defer></script>')
