"""Signing in and out: pages that need no script, and the cookie that says who somebody is."""

from __future__ import annotations

from contextlib import suppress
from urllib.parse import quote

import anyio
import anyio.to_thread
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from scheduler.book.errors import BookError
from scheduler.book.listing import kitchens
from scheduler.book.opening import Book
from scheduler.book.sign_in import (
    LASTS,
    NotSignedIn,
    sign_in,
    sign_out,
    who_can,
    who_is,
)
from ui.arriving import COOKIE, NOBODY
from ui.forms import choice_page, code_page, leaving_page, sorry_page
from ui.guarding import safe_next
from ui.sending import form_sent

_MOST_BYTES = 4096
"""Of a form that is sent; a person and a code take far less."""
_AT_ONCE = 2
"""Codes that are tried at once: each takes 32 MB and a tenth of a second, by design."""
_FRESH = {"cache-control": "no-store"}


def routes(book: Book) -> list[Route]:
    """`/sign-in` and `/sign-out`."""
    limit = anyio.CapacityLimiter(_AT_ONCE)

    async def signing_in(request: Request) -> Response:
        if request.method != "POST":
            return await anyio.to_thread.run_sync(_form, book, request)
        sent = await form_sent(request, _MOST_BYTES, 8)
        if sent is None:
            return _refused()
        return await anyio.to_thread.run_sync(_let_in, book, request, sent, limiter=limit)

    async def signing_out(request: Request) -> Response:
        if request.method == "POST":
            if await form_sent(request, _MOST_BYTES, 8) is None:
                return _refused()
            return await anyio.to_thread.run_sync(_leave, book, request)
        return await anyio.to_thread.run_sync(_leaving, book, request)

    return [
        Route("/sign-in", signing_in, methods=["GET", "POST"]),
        Route("/sign-out", signing_out, methods=["GET", "POST"]),
    ]


def _form(book: Book, request: Request, wrong: str = "", person: str = "") -> Response:
    there = kitchens(book, NOBODY)
    asked = request.query_params.get("kitchen", there[0].id if len(there) == 1 else "")
    after = safe_next(request.query_params.get("next", "/"))
    kitchen = next((k for k in there if k.id == asked), None)
    if kitchen is None:
        links = [(k.name, f"/sign-in?kitchen={quote(k.id)}") for k in there]
        return HTMLResponse(choice_page(links), headers=_FRESH)
    where = f"/sign-in?kitchen={quote(kitchen.id)}&next={quote(after)}"
    page = code_page(kitchen.name, where, who_can(book, kitchen.id), person, wrong)
    return HTMLResponse(page, 403 if wrong else 200, headers=_FRESH)


def _let_in(book: Book, request: Request, sent: dict[str, str]) -> Response:
    person, code = sent.get("person", "").strip(), sent.get("code", "")
    kitchen = request.query_params.get("kitchen", "")
    try:
        token = sign_in(book, kitchen, person, code)
    except BookError as wrong:  # a wrong code, or what the book will not even look at
        return _form(book, request, str(wrong), person)
    answer = RedirectResponse(safe_next(request.query_params.get("next", "/")), 303, _FRESH)
    answer.set_cookie(
        COOKIE,
        token,
        max_age=int(LASTS.total_seconds()),
        httponly=True,
        samesite="lax",
        secure=request.url.scheme == "https",
    )
    return answer


def _leaving(book: Book, request: Request) -> Response:
    try:
        who = who_is(book, request.cookies.get(COOKIE, ""))
    except NotSignedIn:
        return RedirectResponse("/sign-in", 303, _FRESH)
    name = dict(who_can(book, who.kitchen)).get(who.person, who.person)
    return HTMLResponse(leaving_page(name), headers=_FRESH)


def _leave(book: Book, request: Request) -> Response:
    with suppress(NotSignedIn):
        sign_out(book, request.cookies.get(COOKIE, ""))
    answer = RedirectResponse("/sign-in", 303, _FRESH)
    answer.delete_cookie(COOKIE, httponly=True, samesite="lax")
    return answer


def _refused() -> Response:
    page = sorry_page("This was not sent by a page of Backtime here.")
    return HTMLResponse(page, 403, headers=_FRESH)
