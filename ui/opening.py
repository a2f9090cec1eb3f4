"""`backtime open`: where the app listens, what the first start does, and which browser opens."""

from __future__ import annotations

import errno
import os
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass

from scheduler.book.errors import BookError
from scheduler.book.listening import check_listening, this_machine
from scheduler.book.opening import Book
from ui.first_start import begin
from ui.running import noted, running

PORT = 8470
"""Where it listens unless told otherwise."""
_TRIED = 30
"""So many ports after that are tried."""
_TAKEN = {errno.EADDRINUSE, errno.EACCES}


@dataclass(frozen=True, slots=True)
class Wish:
    """How the app shall be opened.

    Attributes
    ----------
    host : str
        Where it listens.
    port : int or None
        0: any that is free; None: the usual one, or the next that is free.
    browser : bool
        Open one.
    person : str
        Who has given the command.
    say, tell : callable
        For the address, and for everything else.
    """

    host: str
    port: int | None
    browser: bool
    person: str
    say: Callable[[str], None]
    tell: Callable[[str], None]


def open_screens(book: Book, wish: Wish) -> None:
    """Serve a book until somebody ends it, or say where it is served already.

    Raises
    ------
    BookError
        Where it may not listen there, or cannot.
    """
    already = running(book)
    if already is not None:
        wish.say(f"Backtime is open already: {already.address}")
        if wish.browser:
            _show(already.address)
        return
    check_listening(book, wish.host)
    with _listening(wish) as listening:
        address = _address(wish.host, listening.getsockname()[1])
        with noted(book, address):
            begin(book, wish.person, wish.tell)
            from ui.server import serve  # slow to import; what can be refused has been by now

            serve(book, wish.host, listening, lambda: _ready(address, wish))


def _ready(address: str, wish: Wish) -> None:
    wish.say(f"Backtime is open: {address}")
    if wish.browser:
        # Looking for a browser may take a while, and nobody is to wait for that.
        threading.Thread(target=_show, args=(address,), daemon=True).start()


def _listening(wish: Wish) -> socket.socket:
    """A socket that listens where it was asked for, or on the next free port.

    Raises
    ------
    BookError
    """
    first = PORT if wish.port is None else wish.port
    last = first if wish.port is not None else first + _TRIED
    for port in range(first, last + 1):
        try:
            found = _bound(wish.host, port)
        except OSError as error:
            if error.errno not in _TAKEN:
                why = (error.strerror or str(error)).lower()
                raise BookError(
                    f"Nothing can listen at '{wish.host}': {why}. --host takes an address of "
                    "this machine, e.g. 127.0.0.1."
                ) from None
            continue
        if port != first:
            wish.tell(f"Port {first} is taken, so it is {port}.")
        return found
    if wish.port is not None:
        raise BookError(
            f"Port {first} is taken, or kept for the system. Name another, or leave --port out."
        )
    raise BookError(f"Ports {first} to {last} are all taken. Name a free one with --port.")


def _bound(host: str, port: int) -> socket.socket:
    bare = host.strip("[]")
    family, _, _, _, where = socket.getaddrinfo(
        bare, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
    )[0]
    found = socket.socket(family)
    try:
        if os.name != "nt":  # There it would let two servers listen on one port.
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind(where)
        found.listen(128)
        found.set_inheritable(False)
    except BaseException:
        found.close()
        raise
    return found


def _address(host: str, port: int) -> str:
    """As a browser asks for it; a wildcard is this machine by its name."""
    bare = host.strip("[]")
    if bare in ("0.0.0.0", "::", ""):
        bare = socket.gethostname()
    elif this_machine(bare) and bare == "localhost":
        bare = "127.0.0.1"
    return f"http://{f'[{bare}]' if ':' in bare else bare}:{port}"


def _show(address: str) -> None:
    """Open a browser, where there is one with a window."""
    windows = "DISPLAY", "WAYLAND_DISPLAY", "BROWSER"
    if sys.platform.startswith("linux") and not any(map(os.environ.get, windows)):
        return  # A browser in the terminal would take it from whoever sits there.
    try:
        webbrowser.open(address)
    except (OSError, webbrowser.Error):
        return
