"""What opens without a sign-in, by a signed link: a sheet from its code, somebody's calendar."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from html import escape
from urllib.parse import urlencode

import anyio.to_thread
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response
from starlette.routing import Route

from scheduler.book.entries import Entry, entries
from scheduler.book.links import BadLink, SheetLink, calendar_of, sheet_of
from scheduler.book.opening import Book
from scheduler.book.plans import plans_of
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import hanging
from scheduler.outputs.calendar import Appointment, calendar, entered, planned
from scheduler.outputs.sheet import NoSuchSheet, Sheet, Sheets
from scheduler.plan.words import day_words
from ui.forms import page, shown, sorry_page
from ui.phone.pages import address as sheet_address
from ui.sheet_page import STYLE, sheet_body, title_of

SheetsOf = Callable[[Who, int], Sheets]
"""The sheets of a plan, by its number."""
PAST = timedelta(days=31)
"""What was over so long ago is left out of a calendar."""
_PRIVATE = {
    "cache-control": "no-store", "referrer-policy": "no-referrer", "x-robots-tag": "noindex"
}  # fmt: skip


def routes(book: Book, sheets_of: SheetsOf) -> list[Route]:
    """`/s/TOKEN` and `/calendar/TOKEN.ics`."""

    async def sheet(request: Request) -> Response:
        return await anyio.to_thread.run_sync(_sheet, book, sheets_of, request.path_params["token"])

    async def feed(request: Request) -> Response:
        return await anyio.to_thread.run_sync(_feed, book, sheets_of, request.path_params["token"])

    return [Route("/s/{token}", sheet), Route("/calendar/{token}.ics", feed)]


def _sheet(book: Book, sheets_of: SheetsOf, token: str) -> Response:
    try:
        link = sheet_of(book, token)
    except BadLink as bad:
        return HTMLResponse(sorry_page(str(bad)), 403, _PRIVATE)
    who = Who(link.kitchen, "whoever has the paper", Role.COOK)
    week = next((p.week for p in plans_of(book, who) if p.number == link.number), None)
    up = next((h.number for h in hanging(book, who) if h.week == week), None)
    number = link.number if up is None else up
    sheets = sheets_of(who, number)
    today = book.clock().astimezone(sheets.names.scenario.clock.zone).date()
    try:
        title, wanted = _wanted(sheets, link, today)
    except NoSuchSheet as none:
        said = f"{_said(link.number, up)} In it there is no such sheet: {none}"
        return HTMLResponse(sorry_page(said), 404, _PRIVATE)
    body = "".join(
        (f"<h2>{shown(one.title)}</h2>" if link.whose == "all" else "")
        + sheet_body(sheets.names, one)
        for one in wanted
    )
    said = f'<p class="wrong" role="status">{shown(_said(link.number, up), 400)}</p>'
    sign = f'<a class="way" href="{escape(_to_record(link, week or ""))}">Record what you do</a>'
    whole = said + (body or "<p>Nothing.</p>") + sign
    return HTMLResponse(page(shown(title), whole, style=STYLE), headers=_PRIVATE)


def _wanted(sheets: Sheets, link: SheetLink, today: date) -> tuple[str, list[Sheet]]:
    """The sheets that a link opens, and what stands over them; of the wall sheet today's."""
    if link.whose != "all":
        of = sheets.of_section if link.whose == "section" else sheets.of_person
        one = of(link.id, link.day)
        return title_of(one), [one]
    last = max(sheets.days, default=link.day)
    day = today if link.day <= today <= last else link.day
    every = [sheets.of_section(section, day) for section in sheets.sections]
    return f"The whole kitchen, {day_words(day)}", [one for one in every if one.lines]


def _to_record(link: SheetLink, week: str) -> str:
    """Where somebody who signs in ticks the jobs of the same sheet."""
    if link.whose != "all":
        return sheet_address(link.whose, link.id, link.day, link.kitchen, week)
    return f"/sheet/whose?{urlencode({'kitchen': link.kitchen, 'week': week})}"


def _said(paper: int, up: int | None) -> str:
    """Whether the paper still holds."""
    if up is None:
        return f"No plan is on the wall; this is plan {paper}, as on your paper."
    if up == paper:
        return f"Plan {up}, which is on the wall: your paper holds."
    return f"Your paper is of plan {paper}: bin it. Plan {up} is on the wall, and this is it."


def _feed(book: Book, sheets_of: SheetsOf, token: str) -> Response:
    try:
        kitchen, person = calendar_of(book, token)
    except BadLink as bad:
        return PlainTextResponse(str(bad), 403, _PRIVATE)
    who = Who(kitchen, person, Role.COOK)
    now = book.clock()
    texts = _texts(book, sheets_of, who)
    found = [
        (one.number, said)
        for one in entries(book, who, person)
        if (said := _appointment(one, texts)).end > now - PAST
    ]
    zone, name = "UTC", person
    if found:
        names = sheets_of(who, max(number for number, _ in found)).names
        zone, name = names.scenario.kitchen.zone, names.person(person)
    raw = calendar([said for _, said in found], zone, now, name)
    return Response(raw, headers=_PRIVATE, media_type="text/calendar; charset=utf-8")


def _texts(book: Book, sheets_of: SheetsOf, who: Who) -> dict[tuple[str, str], Appointment]:
    """What the plans on the wall say of each job, by week and job."""
    found = {}
    for up in hanging(book, who):
        sheets = sheets_of(who, up.number)
        if who.person in sheets.persons:
            for key, one in planned(sheets, who.person).items():
                found[up.week, key] = one
    return found


def _appointment(entry: Entry, texts: dict[tuple[str, str], Appointment]) -> Appointment:
    now = texts.get((entry.week, entry.task))
    text = now.text if now is not None and not entry.gone else ""
    return entered(entry.uid, entry.sequence, entry.gone, entry.says, text)
