"""The routes of sheets: read by anybody who may come in, recorded by each as themselves."""

from __future__ import annotations

import functools
import uuid
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, cast
from urllib.parse import quote, unquote, urlencode

import anyio.to_thread
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from scheduler.book.errors import NotThere
from scheduler.book.opening import Book
from scheduler.book.record import entry_of, record_of
from scheduler.book.roles import Who
from scheduler.book.standing import states_of
from scheduler.outputs.sheet import NoSuchSheet
from ui.arriving import COOKIE, arriving
from ui.forms import sorry_page
from ui.guarding import at_this_machine
from ui.phone.correcting import correct, correcting_page
from ui.phone.hanging import Hangs, Kept, Kind, hangs, hung_last
from ui.phone.job import Page
from ui.phone.looking import log_of
from ui.phone.outbox import MOST_BYTES, read_outbox
from ui.phone.pages import address, sheet_page, whose_page
from ui.phone.sent import Sent
from ui.phone.taking import Answer, take
from ui.sending import form_sent, json_sent

FRESH = {"cache-control": "no-store"}
SAID = "backtime_said"
"""The cookie that carries an answer over to the page that is drawn next."""
_MOST_BYTES, _MOST_FIELDS = 16 * 1024, 40
_SCRIPTS = {"outbox.js": "/sheet", "worker.js": "/sheet"}
"""Files that are served, and where a worker of ours may stand in for the server."""
NOTHING = "No plan is on the wall, so there are no sheets yet."

Answered = Callable[[Request, Who], Response]


def sheet_routes(book: Book, kept: Kept) -> list[Route]:
    """`/sheet` and what is below it."""

    def come_in(then: Answered) -> Callable[[Request], Any]:
        """A page for whoever may come in; others are sent to sign in first."""

        def answered(request: Request) -> Response:
            who = who_asks(book, request)
            if not isinstance(who, Who):
                return who
            try:
                return then(request, who)
            except (NoSuchSheet, NotThere) as refused:
                return HTMLResponse(sorry_page(str(refused)), 404, FRESH)

        @functools.wraps(then)
        async def page(request: Request) -> Response:
            if request.method == "POST":
                request.state.sent = await form_sent(request, _MOST_BYTES, _MOST_FIELDS)
                if request.state.sent is None:
                    text = "This was not sent by a page of Backtime here."
                    return HTMLResponse(sorry_page(text), 403, FRESH)
            return await anyio.to_thread.run_sync(answered, request)

        return page

    def mine(request: Request, who: Who) -> Response:
        """The sheet of whoever has signed in, or whose there are where they have none."""
        there = hangs(kept, who, request.query_params.get("week", ""))
        if there is None:
            return HTMLResponse(sorry_page(NOTHING), 200, FRESH)
        if who.person in there.sheets.persons:
            day = there.day_of("person", who.person)
            where = address("person", who.person, day, who.kitchen, there.week)
        else:
            asked = {"kitchen": who.kitchen, "week": there.week}
            where = f"/sheet/whose?{urlencode(asked)}"
        return RedirectResponse(where, 303, FRESH)

    def whose(request: Request, who: Who) -> Response:
        there = hangs(kept, who, request.query_params.get("week", ""))
        if there is None:
            return HTMLResponse(sorry_page(NOTHING), 200, FRESH)
        day = _day(request.query_params.get("day", str(there.today)))
        return HTMLResponse(whose_page(there, who.kitchen, who.person, day), 200, FRESH)

    def sheet(request: Request, who: Who) -> Response:
        there = hangs(kept, who, request.query_params.get("week", ""))
        if there is None:
            return HTMLResponse(sorry_page(NOTHING), 200, FRESH)
        if request.method == "POST":
            now = book.clock()
            answer = take(kept, who, Sent(request.state.sent, now, None, now))
            if answer.state == "entered":
                found = RedirectResponse(_here(request), 303, FRESH)
                text = quote("\n".join(answer.said)[:1500])
                found.set_cookie(SAID, text, 60, path="/sheet", httponly=True, samesite="lax")
                return found
            return _drawn(request, who, there, answer)
        return _drawn(request, who, there, None)

    def _drawn(request: Request, who: Who, there: Hangs, answer: Answer | None) -> Response:
        kind, id = request.path_params["kind"], request.path_params["id"]
        if kind not in ("section", "person"):
            raise NoSuchSheet("A sheet is of a section or of a person.")
        sheet = there.sheet(cast("Kind", kind), id, _day(request.path_params["day"]))
        states = states_of(record_of(book, who, there.week))
        names = there.sheets.names
        again = request.state.sent if answer is not None else {}
        form = Page(
            names, there.number, sheet.day, sheet.person, who.person, again,
            answer.asks if answer is not None else {},
        )  # fmt: skip
        carried = unquote(request.cookies.get(SAID, ""))[:1500].split("\n")
        said = answer.said if answer is not None else [s for s in carried if s]
        text = sheet_page(
            there, sheet, states, form, who.kitchen, names.person(who.person), said, book.clock()
        )
        status = 200 if answer is None else 403 if answer.state == "other" else 422
        drawn = HTMLResponse(text, status, FRESH)
        if SAID in request.cookies:
            drawn.delete_cookie(SAID, path="/sheet", httponly=True, samesite="lax")
        return drawn

    def entry(request: Request, who: Who) -> Response:
        one = entry_of(book, who, request.path_params["id"])
        answer, again = None, {}
        if request.method == "POST":
            now, again = book.clock(), request.state.sent
            answer = correct(kept, who, one, Sent(again, now, None, now))
        text = correcting_page(kept, who, one, answer, again, str(uuid.uuid4()))
        taken = answer is None or answer.state == "entered"
        return HTMLResponse(text, 200 if taken else 422, FRESH)

    def log(request: Request, who: Who) -> Response:
        there = hung_last(kept, who, request.query_params.get("week", ""))
        if there is None:
            return HTMLResponse(sorry_page(NOTHING), 200, FRESH)
        batch, typed = request.query_params.get("batch", ""), request.query_params.get("day", "")
        day = None if batch else _day(typed or str(there.today))
        return HTMLResponse(log_of(kept, who, there, day, batch), 200, FRESH)

    async def outbox(request: Request) -> Response:
        sent = await json_sent(request, MOST_BYTES)
        return await anyio.to_thread.run_sync(_outbox, request, sent)

    def _outbox(request: Request, sent: dict[str, Any] | None) -> Response:
        if sent is None:
            return JSONResponse({"said": "This was not sent by a page of Backtime here."}, 403)
        who = who_asks(book, request)
        if not isinstance(who, Who):
            return JSONResponse({"said": "Sign in to send it."}, 401, FRESH)
        status, answer = read_outbox(kept, who, sent)
        return JSONResponse(answer, status, FRESH)

    return [
        Route("/sheet", come_in(mine)),
        Route("/sheet/whose", come_in(whose)),
        Route("/sheet/outbox", outbox, methods=["POST"]),
        *(Route(f"/sheet/{name}", _script(name, scope)) for name, scope in _SCRIPTS.items()),
        Route("/log", come_in(log)),
        Route("/sheet/entry/{id:str}", come_in(entry), methods=["GET", "POST"]),
        Route("/sheet/{kind:str}/{id:str}/{day:str}", come_in(sheet), methods=["GET", "POST"]),
    ]


def who_asks(book: Book, request: Request) -> Who | Response:
    """Who somebody is, or the way to sign in first."""
    found = arriving(
        book, request.cookies.get(COOKIE, ""), request.query_params.get("kitchen", ""),
        sits_here=at_this_machine(request.scope),
    )  # fmt: skip
    if isinstance(found, Who):
        return found
    if found is None:
        return HTMLResponse(sorry_page("There is nothing in this book yet."), 200, FRESH)
    where = f"/sign-in?kitchen={quote(found.id)}&next={quote(_here(request))}"
    return RedirectResponse(where, 303, FRESH)


def _here(request: Request) -> str:
    query = request.url.query
    return quote(request.url.path) + (f"?{query}" if query else "")


def _day(written: str) -> date:
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise NoSuchSheet(f"'{written[:20]}' is no day like '2026-12-04'.") from None


def _script(name: str, scope: str) -> Callable[[Request], Response]:
    text = (Path(__file__).parent / name).read_text(encoding="utf-8")
    headers = {"cache-control": "no-cache", "service-worker-allowed": scope}

    def script(_: Request) -> Response:
        return Response(text, media_type="text/javascript", headers=headers)

    return script
