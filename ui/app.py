"""The app: who is there, and which pages they have. Run by `ui/server.py`."""

from __future__ import annotations

from html import escape
from pathlib import Path
from urllib.parse import quote

import streamlit as st

from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.sign_in import sign_out, who_can
from ui.bar import bar
from ui.here import look, the_book, token, who_comes
from ui.on_the_wall import watch
from ui.palette import style_sheet
from ui.refusing import refusing
from ui.wording import plain

# Not a folder called `pages`: Streamlit would serve the files of that by themselves.
PAGES = Path(__file__).parent / "screens"


def main() -> None:
    """Let somebody in and run the page they ask for."""
    st.set_page_config(page_title="Backtime", page_icon="🕰️", layout="wide")
    st.html(style_sheet())
    with refusing():
        book = the_book()
        who = who_comes(book)
        # Pages are named to Streamlit in any case: otherwise it would offer every file of them.
        leads = isinstance(who, Who) and who.role is not Role.COOK
        page = st.navigation(pages(leads), position="top" if isinstance(who, Who) else "hidden")
        if isinstance(who, Who):
            if token():
                leaving(book, who)
            at = look(book, who)
            bar(at)
            watch(at)
            page.run()
        elif who is None:
            st.subheader("There is nothing in this book yet")
            st.write(
                "Bring in a written week with `backtime import FOLDER`, or the one that comes "
                "with Backtime: `backtime import demo`. Then reload this page."
            )
        else:
            # Whoever loads a page is sent there by the door; this is for one that was open.
            st.subheader(f"Please sign in to {plain(who.name)}")
            way = escape(f"/sign-in?kitchen={quote(who.id)}")
            # Streamlit's own links open another tab.
            st.html(f'<a href="{way}" style="color: inherit">Sign in</a>')


def pages(leads: bool) -> list[st.Page]:
    """The pages, the first one first; a cook is not offered what takes a sous or a chef."""

    def page(name: str, for_all: bool = False) -> st.Page:
        file = PAGES / f"{name.lower()}.py"
        return st.Page(file, title=name, visibility="visible" if for_all or leads else "hidden")

    return [
        st.Page(PAGES / "week.py", title="Week", default=True),
        page("Chart", True),
        page("Setback"),
        page("Room", True),
        page("Menu"),
        page("Recipes"),
        page("Brigade"),
        page("Kitchen"),
        page("Plans", True),
        page("Rules", True),
        page("Record", True),
    ]


def leaving(book: Book, who: Who) -> None:
    """Who has signed in here, and the way out."""
    name = dict(who_can(book, who.kitchen)).get(who.person, who.person)
    # No sidebar: on a phone it would stay open over what comes after signing out.
    with st.popover(f"{plain(name, 40)}, {who.role}", type="tertiary"):
        st.button("Sign out", key="sign-out", on_click=leave, args=(book, token()))


def leave(book: Book, held: str) -> None:
    """End this sign-in, on every tab that has it."""
    with refusing():
        sign_out(book, held)


main()
