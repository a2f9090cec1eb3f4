"""The server of the screens: Streamlit's app with routes and a door of our own, on one socket."""

from __future__ import annotations

import gc
import importlib
import logging
import socket
import sys
from collections.abc import Callable
from pathlib import Path

import streamlit
import uvicorn
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse
from starlette.routing import Route
from streamlit.web import bootstrap

from scheduler.book.address import address
from scheduler.book.errors import BookError
from scheduler.book.opening import Book
from scheduler.plan.versions import version_of
from ui.forms import sorry_page
from ui.guarding import Guard, names_of_this_machine
from ui.linked import routes as linked
from ui.phone.hanging import Kept
from ui.phone.routes import sheet_routes
from ui.refusing import OUR_FAULT, our_fault
from ui.running import fingerprint
from ui.settings import THIS_MACHINE, options
from ui.signing import routes

SCRIPT = Path(__file__).parent / "app.py"
_LAST_ANSWERS = 1
"""Seconds that answers on their way are given when the server ends."""


class _Server(uvicorn.Server):
    """Says when it has begun to answer."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self._ready()


def serve(book: Book, host: str, listening: socket.socket, ready: Callable[[], None]) -> None:
    """Serve a book until somebody ends it.

    Parameters
    ----------
    host : str
        As it was asked for; `listening` is bound to it.
    ready : callable
        Called once it answers.
    """
    _log_faults_only()
    for page in sorted((SCRIPT.parent / "screens").glob("*.py")):
        importlib.import_module(f"ui.{page.stem}")  # or the first to look would wait for it
    gc.collect()
    gc.freeze()  # as in `here`: everything that is imported stays
    names = names_of_this_machine(host, address())
    everywhere = ["*"]  # Which hosts are ours is for the door to say; Streamlit cannot say numbers.
    allowed = names if host in THIS_MACHINE else everywhere
    bootstrap.load_config_options(options(host, listening.getsockname()[1], allowed))
    config = uvicorn.Config(
        app_of(book, names),
        access_log=False,
        log_config=None,
        proxy_headers=True,
        forwarded_allow_ips="127.0.0.1,::1",  # A proxy of this machine says who asks.
        server_header=False,
        timeout_graceful_shutdown=_LAST_ANSWERS,
        ws="websockets-sansio",
        ws_max_size=32 * 2**20,
    )
    _Server(config, ready).run(sockets=[listening])


def app_of(book: Book, names: tuple[str, ...]) -> streamlit.App:
    """The app: its pages, our routes, our door."""
    kept = Kept(book)
    return streamlit.App(
        SCRIPT,
        routes=[
            Route("/health", _health(book)), *routes(book), *sheet_routes(book, kept),
            *linked(book, kept.of),
        ],
        middleware=[Middleware(Guard, book=book, names=names)],
        on_script_error=our_fault,
        exception_handlers={BookError: _said, Exception: _said},
    )


def _health(book: Book) -> Callable[[Request], JSONResponse]:
    said = {"backtime": version_of("backtime"), "book": fingerprint(book)}

    def health(_: Request) -> JSONResponse:
        return JSONResponse(said, headers={"cache-control": "no-store"})

    return health


def _said(_: Request, error: Exception) -> HTMLResponse:
    """What a route answers when it cannot: the book's sentence, or that it is our fault."""
    known = isinstance(error, BookError)
    return HTMLResponse(sorry_page(str(error) if known else OUR_FAULT), 503 if known else 500)


def _log_faults_only() -> None:
    """Faults of ours on standard error; who asked for which page, nowhere."""
    to = logging.StreamHandler(sys.stderr)
    to.setFormatter(logging.Formatter("%(asctime)s %(name)s: %(message)s"))
    for name in ("backtime", "uvicorn.error"):
        logger = logging.getLogger(name)
        logger.handlers, logger.propagate = [to], False
        logger.setLevel(logging.ERROR)
