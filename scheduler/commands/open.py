"""`backtime open`: the screens, which come as an extra."""

from __future__ import annotations

from importlib.util import find_spec

from scheduler.commands.book import me, the_book
from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say, tell

NEEDS = ("streamlit", "plotly", "uvicorn")


def open_app(host: str, port: int | None, browser: bool) -> Exit:
    """Open the screens, until somebody ends them."""
    if not all(map(find_spec, NEEDS)):
        tell(
            'The screens take an extra: python -m pip install "backtime[ui]" '
            '(in a clone: .venv/bin/python -m pip install -e ".[ui]").'
        )
        return Exit.BAD_INPUT
    from ui.opening import Wish, open_screens

    with the_book(begin=True) as book:
        open_screens(book, Wish(host, port, browser, me(), say, tell))
    return Exit.FINE
