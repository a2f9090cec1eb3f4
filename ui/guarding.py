"""The door of the server: what is answered at all, to whom, and with which headers.

Streamlit sends no security headers of its own, takes any page of `localhost` for its own, and
looks up this machine's address on the internet when a strange one asks. So strange hosts and
strange pages are turned away before it hears of them.
"""

from __future__ import annotations

import base64
import hashlib
import ipaddress
import re
import socket
from collections.abc import Collection
from functools import partial
from pathlib import Path
from urllib.parse import quote, urlsplit

import anyio.to_thread
import streamlit
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import HTTPConnection
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from scheduler.book.listing import KeptKitchen
from scheduler.book.opening import Book
from ui.arriving import COOKIE, arriving
from ui.settings import THIS_MACHINE

SHUT = ("/_stcore/metrics", "/_stcore/agent", "/_stcore/script-health-check")
"""What Streamlit would answer to anybody, and nobody here needs."""
WITHOUT_SIGN_IN = (
    "/sign-in", "/sign-out", "/health", "/_stcore/", "/static/", "/favicon", "/s/", "/calendar/"
)  # fmt: skip
"""Where nobody is sent to sign in; Streamlit's own doors ask at the first run of the page, and
links are signed."""
_HOST = re.compile(r"(?P<name>\[[0-9a-f:.]+\]|[a-z0-9._-]+)(:\d{1,5})?")
_INLINE = re.compile(r"<script>(.*?)</script>", re.DOTALL)

def names_of_this_machine(host: str, address: str | None = None) -> tuple[str, ...]:
    """What may stand in the address bar for this machine, besides any number of it.

    `address` is where other devices find it by the chef's word (`BACKTIME_ADDRESS`).

    Somebody who makes a name of theirs point at this machine (DNS rebinding) needs a name.
    """
    mine = socket.gethostname().lower()
    more = () if host in THIS_MACHINE else (host.strip("[]").lower(), mine, f"{mine}.local")
    said = urlsplit(address).hostname if address else None
    return (*THIS_MACHINE, *more, *((said,) if said else ()))


def policy() -> str:
    """The Content-Security-Policy: everything from here, styles and Streamlit's one script inline.

    What a browser may load, https://www.w3.org/TR/CSP3/.
    """
    page = Path(streamlit.__file__).parent / "static" / "index.html"
    scripts = _INLINE.findall(page.read_text(encoding="utf-8"))
    hashes = [base64.b64encode(hashlib.sha256(s.encode()).digest()).decode() for s in scripts]
    known = "".join(f" 'sha256-{one}'" for one in hashes)
    return "; ".join(
        (
            "default-src 'self'",
            f"script-src 'self'{known}",
            "style-src 'self' 'unsafe-inline'",
            "img-src 'self' data: blob:",
            "font-src 'self' data:",
            "connect-src 'self'",
            "worker-src 'self' blob:",
            "frame-src 'self'",
            "frame-ancestors 'none'",
            "form-action 'self'",
            "base-uri 'self'",
            "object-src 'none'",
        )
    )


class Guard:
    """Turns away what is not ours, and gives every answer its headers.

    Parameters
    ----------
    app : ASGIApp
    book : Book
    names : collection of str
        What this machine is called; numbers always pass.
    """

    def __init__(self, app: ASGIApp, book: Book, names: Collection[str]) -> None:
        self.app, self.book, self.names = app, book, frozenset(names)
        self.headers = {
            "content-security-policy": policy(),
            "x-frame-options": "DENY",
            "x-content-type-options": "nosniff",
            "referrer-policy": "same-origin",
            "cross-origin-opener-policy": "same-origin",
            "permissions-policy": "camera=(), geolocation=(), microphone=()",
        }

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or let through."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        if not (ours(headers.get("host", ""), self.names) and _same_page(headers)):
            # Before a WebSocket is accepted this closes it, with 403 (ASGI specification).
            if scope["type"] == "websocket":
                await receive()
                await send({"type": "websocket.close", "code": 1008})
            else:
                text = "This address or the page that asked is not one of Backtime here."
                await PlainTextResponse(text, 403)(scope, receive, send)
            return
        if scope["type"] == "websocket":
            await self.app(scope, receive, send)
            return
        if scope["path"].startswith(SHUT):
            await PlainTextResponse("There is nothing here.", 404)(scope, receive, send)
            return
        named = partial(self._named, send)
        if _asks_for_a_page(scope, headers):
            kitchen = await anyio.to_thread.run_sync(self._must_sign_in, scope)
            if kitchen is not None:
                where = f"/sign-in?kitchen={quote(kitchen.id)}&next={quote(_there(scope))}"
                await RedirectResponse(where, 303)(scope, receive, named)
                return
        await self.app(scope, receive, named)

    async def _named(self, send: Send, message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in self.headers.items():
                headers.setdefault(name, value)
        await send(message)

    def _must_sign_in(self, scope: Scope) -> KeptKitchen | None:
        asked = HTTPConnection(scope)
        kitchen = asked.query_params.get("kitchen", "")
        token = asked.cookies.get(COOKIE, "")
        found = arriving(self.book, token, kitchen, sits_here=at_this_machine(scope))
        return found if isinstance(found, KeptKitchen) else None


def at_this_machine(scope: Scope) -> bool:
    """Does whoever asks sit here? As `st.context.ip_address` has it."""
    return (scope.get("client") or ("",))[0] in ("127.0.0.1", "::1")


def safe_next(there: str) -> str:
    """Where to go after signing in: a place of this server, or the first page."""
    parts = urlsplit(there) if re.fullmatch(r"/(?![/\\])[\x21-\x7e]*", there) else None
    ours = parts is not None and not parts.scheme and not parts.netloc and "\\" not in there
    return there if ours and not there.startswith(("/sign-in", "/sign-out")) else "/"


def ours(host: str, names: Collection[str]) -> bool:
    """Is a Host header this machine: a number, or one of some names, whatever the port?"""
    found = _HOST.fullmatch(host.lower())
    if found is None:
        return False
    name = found["name"].strip("[]").rstrip(".")
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return name in names
    return True


def _same_page(headers: Headers) -> bool:
    """Does a page of ours ask, or nobody's page at all (an address typed in)?"""
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc == headers.get("host")


def _asks_for_a_page(scope: Scope, headers: Headers) -> bool:
    return (
        scope["method"] == "GET"
        and "text/html" in headers.get("accept", "")
        and not scope["path"].startswith(WITHOUT_SIGN_IN)
    )


def _there(scope: Scope) -> str:
    query = scope.get("query_string", b"").decode("latin-1")
    return quote(scope["path"]) + (f"?{query}" if query else "")
