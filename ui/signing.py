"""Signing in and out: pages that need no script, and the cookie that says who somebody is."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from urllib.parse import parse_qs, quote

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
        sent = await _sent(request)
        if sent is None:
            return _refused()
        return await anyio.to_thread.run_sync(_let_in, book, request, sent, limiter=limit)

    async def signing_out(request: Request) -> Response:
        if request.method == "POST":
            if await _sent(request) is None:
                return _refused()
            return await anyio.to_thread.run_sync(_leave, book, request)
        return await anyio.to_thread.run_sync(_leaving, book, request)

    return [
        Route("/sign-in", signing_in, methods=["GET", "POST"]),
        Route("/sign-out", signing_out, methods=["GET", "POST"]),
    ]


async def _sent(request: Request) -> Callable[[str], str] | None:
    """What a form of ours has sent, by field; None: it is no form of ours.

    Browsers say with every POST which page sent it; the door has compared that with the host.
    """
    if "origin" not in request.headers:
        return None
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > _MOST_BYTES:
            return None
    try:
        fields = parse_qs(body.decode(), max_num_fields=8)
    except ValueError:
        return None
    return lambda name: (fields.get(name) or [""])[0]


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


def _let_in(book: Book, request: Request, sent: Callable[[str], str]) -> Response:
    person, code = sent("person").strip(), sent("code")
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
