"""The app: who is there, and which pages they have. Run by `ui/server.py`."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from scheduler.book.roles import Who
from ui.bar import bar
from ui.here import here, the_book, who_comes
from ui.refusing import refusing
from ui.wording import plain

# Not a folder called `pages`: Streamlit would serve the files of that by themselves.
PAGES = Path(__file__).parent / "screens"


def main() -> None:
    """Let somebody in and run the page they ask for."""
    st.set_page_config(page_title="Backtime", page_icon="🕰️", layout="wide")
    with refusing():
        who = who_comes(the_book())
        # Pages are named to Streamlit in any case: otherwise it would offer every file of them.
        page = st.navigation(pages(), position="top" if isinstance(who, Who) else "hidden")
        if isinstance(who, Who):
            bar(here())
            page.run()
        elif who is None:
            st.subheader("There is nothing in this book yet")
            st.write(
                "Bring in a written week with `backtime import FOLDER`, or the one that comes "
                "with Backtime: `backtime import demo`. Then reload this page."
            )
        else:
            st.subheader(f"Please sign in to {plain(who.name)}")
            st.link_button("Sign in", f"/sign-in?kitchen={who.id}", type="primary")


def pages() -> list[st.Page]:
    """The pages, the first one first."""
    return [
        st.Page(PAGES / "week.py", title="Week", default=True),
        st.Page(PAGES / "chart.py", title="Chart"),
        st.Page(PAGES / "room.py", title="Room"),
        st.Page(PAGES / "menu.py", title="Menu"),
        st.Page(PAGES / "recipes.py", title="Recipes"),
        st.Page(PAGES / "brigade.py", title="Brigade"),
        st.Page(PAGES / "kitchen.py", title="Kitchen"),
        st.Page(PAGES / "plans.py", title="Plans"),
        st.Page(PAGES / "rules.py", title="Rules"),
    ]


main()
