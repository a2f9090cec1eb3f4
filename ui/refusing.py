"""What is said when something cannot be done; nobody ever sees a traceback."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager

import streamlit as st

from scheduler.book.errors import BookError
from scheduler.domain.problems import BadInput
from ui.wording import plain

OUR_FAULT = (
    "Something went wrong here, and it is our fault, not yours. What was saved is safe in the "
    "book. Reload the page; if it happens again, the place where `backtime open` was started says "
    "more."
)
_log = logging.getLogger("backtime")


def told(error: Exception) -> list[str]:
    """The sentences of what the book or a check refuses."""
    if isinstance(error, BadInput):
        return [str(problem) for problem in error.problems]
    return [str(error)]


def refuse(error: Exception) -> None:
    """Show why something could not be done."""
    st.error("  \n".join(plain(line, 600) for line in told(error)), icon=None)


@contextmanager
def refusing() -> Iterator[None]:
    """Show what the book or a check refuses in place; anything else is our fault, and logged."""
    try:
        yield
    except (BookError, BadInput) as error:
        refuse(error)
    except Exception:
        _log.exception("a page failed")
        st.error(OUR_FAULT, icon=None)


def our_fault(error: Exception) -> bool:
    """What `st.App` calls for whatever nobody caught: in the log, and one sentence on the page."""
    _log.error("a page failed", exc_info=error)
    st.error(OUR_FAULT, icon=None)
    return True
