"""Where somebody is: in which book, as whom, at which week and which plan.

The week and the plan stand in the address, so that a page can be sent, kept and reloaded.
"""

from __future__ import annotations

import gc
import threading
from dataclasses import dataclass
from functools import cached_property

import streamlit as st

from scheduler.book.listing import KeptKitchen, KeptWeek, weeks
from scheduler.book.opening import Book, open_book
from scheduler.book.plans import KeptPlan, plan, plans_of
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import Hanging, hanging
from scheduler.plan.file import PlanFile
from scheduler.plan.words import Names
from ui.arriving import COOKIE, arriving

_RUN = threading.local()
"""Each run of the script has a thread of its own while it lasts."""


@dataclass(frozen=True)
class Here:
    """One look at the book.

    Attributes
    ----------
    book : Book
    who : Who
    week : KeptWeek or None
        None: the kitchen has no week yet.
    plans : tuple of KeptPlan
        Of this week, the newest first; for a cook only what is on the wall.
    hangs : Hanging or None
        What is on the wall.
    number : int or None
        The plan that is looked at.
    """

    book: Book
    who: Who
    week: KeptWeek | None
    plans: tuple[KeptPlan, ...]
    hangs: Hanging | None
    number: int | None

    @cached_property
    def kept(self) -> KeptPlan | None:
        """What the book knows of the plan that is looked at."""
        return next((p for p in self.plans if p.number == self.number), None)

    @property
    def file(self) -> PlanFile | None:
        """The plan that is looked at."""
        return None if self.number is None else plan_file(self.book, self.who, self.number)

    @property
    def leads(self) -> bool:
        """May they change plans?"""
        return self.who.role is not Role.COOK

    @property
    def chef(self) -> bool:
        """May they change everything?"""
        return self.who.role is Role.CHEF


@st.cache_resource(show_spinner=False)
def the_book() -> Book:
    """The book, opened once for everybody."""
    return open_book()


def plan_file(book: Book, who: Who, number: int) -> PlanFile:
    """A plan of the book. A plan never changes, so it is read once."""
    return _plan_file(book.where, who.kitchen, number, book, who)


@st.cache_resource(show_spinner=False, max_entries=24)
def _plan_file(where: str, kitchen: str, number: int, _book: Book, _who: Who) -> PlanFile:
    file = plan(_book, _who, number)[1]
    # Streamlit looks for garbage after each run: what stays for good need not be gone through.
    gc.freeze()
    return file


@st.cache_resource(show_spinner=False, max_entries=24)
def _names(where: str, kitchen: str, number: int, _file: PlanFile) -> Names:
    return Names(_file.scenario, _file.plan)


def names_of(here: Here) -> Names | None:
    """What things are called in the plan that is looked at."""
    return None if here.number is None else names_in(here.book, here.who, here.number)


def names_in(book: Book, who: Who, number: int) -> Names:
    """What things are called in a plan of the book."""
    return _names(book.where, who.kitchen, number, plan_file(book, who, number))


def token() -> str:
    """What somebody's cookie holds, as it was when their page was loaded; empty: nothing."""
    return st.context.cookies.get(COOKIE, "")


def sits_here() -> bool:
    """Is the browser on this machine?"""
    return st.context.ip_address is None  # which is how Streamlit says 127.0.0.1 and ::1


def who_comes(book: Book) -> Who | KeptKitchen | None:
    """Who somebody is; a kitchen: they must sign in there first; None: there is no kitchen yet."""
    return arriving(book, token(), chosen("kitchen"), sits_here=sits_here())


def here() -> Here:
    """Where somebody is, as `app.py` has looked it up in this run of the script."""
    at: Here = _RUN.at
    return at


def look(book: Book, who: Who) -> Here:
    """Look up where somebody is who has been let in; once in a run, for bar and page alike."""
    _RUN.at = _looked_up(book, who)
    return here()


def _looked_up(book: Book, who: Who) -> Here:
    there = weeks(book, who)
    asked = chosen("week")
    week = next((w for w in there if w.id == asked), there[-1] if there else None)
    if week is None:
        return Here(book, who, None, (), None, None)
    kept = tuple(reversed(plans_of(book, who, week.id)))
    up = next(iter(hanging(book, who, week.id)), None)
    if who.role is Role.COOK:  # What is worked on is nobody's to cook from.
        kept = tuple(p for p in kept if up is not None and p.number == up.number)
    known = {str(p.number) for p in kept}
    wanted = chosen("plan")
    number: int | None
    if wanted in known:
        number = int(wanted)
    elif up is not None:
        number = up.number
    else:
        number = kept[0].number if kept else None
    return Here(book, who, week, kept, up, number)


def chosen(key: str) -> str:
    """What the address says of one thing (kitchen, week, plan, task …), or said on another page."""
    asked = st.query_params.get(key)
    if asked is not None:
        st.session_state[f"at-{key}"] = asked
        return asked
    known = str(st.session_state.get(f"at-{key}", ""))
    if known:
        st.query_params[key] = known
    return known


def choose(key: str, value: object) -> None:
    """Put one thing into the address; nothing takes it out."""
    text = "" if value is None else str(value)
    st.session_state[f"at-{key}"] = text
    if text:
        st.query_params[key] = text
    elif key in st.query_params:
        del st.query_params[key]
