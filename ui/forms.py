"""The text of the pages that need no script: choosing a kitchen, signing in, signing out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from html import escape

from ui.palette import DARK, LIGHT, Palette
from ui.wording import short

_STYLE = """
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); overflow-wrap: anywhere;
  font: 18px/1.5 "Noto Sans", "DejaVu Sans", system-ui, sans-serif; }
main { max-width: 25rem; margin: 0 auto; padding: 2.5rem 1.25rem; }
h1 { font-size: 1.45rem; line-height: 1.25; margin: 0 0 1.5rem; }
label, p { display: block; margin: 0 0 .35rem; }
select, input, button, .way { display: block; width: 100%; min-height: 3rem; font: inherit;
  padding: .5rem .75rem; margin: 0 0 1.25rem; border: 1px solid var(--line); border-radius: .3rem;
  background: var(--raised); color: inherit; }
input { font-size: 1.4rem; letter-spacing: .2em; }
button { background: var(--accent); color: var(--paper); border-color: var(--accent); }
:focus-visible { outline: 3px solid var(--now); outline-offset: 2px; }
.way { color: var(--accent); }
.wrong { border-left: .3rem solid var(--now); padding-left: .75rem; margin-bottom: 1.25rem; }
.faint { color: var(--faint); font-size: .9rem; }
"""


def code_page(
    kitchen: str, where: str, people: Iterable[tuple[str, str]], chosen: str, wrong: str
) -> str:
    """Where somebody says who they are, with their code.

    Parameters
    ----------
    where : str
        Where the form goes.
    people : iterable of (str, str)
        Ids and names of those who have a code.
    chosen : str
        Who was chosen before; empty: nobody.
    wrong : str
        What was wrong with the last try; empty: there was none.
    """
    there = sorted(people, key=lambda one: (one[1].casefold(), one[0]))
    if not there:
        return page(
            f"Sign in to {shown(kitchen)}",
            "<p>Nobody has a code in this kitchen yet, so it can be seen only at the machine on "
            "which Backtime runs. The chef makes codes there: <b>backtime code PERSON</b>.</p>",
        )
    lines = "".join(
        f'<option value="{escape(id)}"{" selected" if id == chosen else ""}>'
        f"{shown(name)}</option>"
        for id, name in there
    )
    first = "" if chosen else '<option value="" selected disabled>Choose your name</option>'
    said = f'<p class="wrong" role="alert">{shown(wrong, 400)}</p>' if wrong else ""
    return page(
        f"Sign in to {shown(kitchen)}",
        f'{said}<form method="post" action="{escape(where)}">'
        '<label for="person">Who are you?</label>'
        f'<select id="person" name="person" required>{first}{lines}</select>'
        '<label for="code">Your code</label>'
        '<input id="code" name="code" type="password" inputmode="numeric" maxlength="20" required '
        f'autocomplete="off"{" autofocus" if wrong else ""}>'
        "<button>Sign in</button></form>"
        '<p class="faint">It holds for 16 hours on this device. The chef makes codes.</p>',
    )


def choice_page(links: Iterable[tuple[str, str]]) -> str:
    """Which kitchen: names, and where each leads."""
    ways = "".join(f'<a class="way" href="{escape(to)}">{shown(name)}</a>' for name, to in links)
    return page("Which kitchen?", ways or "<p>There is no kitchen in this book yet.</p>")


def leaving_page(name: str) -> str:
    """Where somebody signs out."""
    return page(
        f"{shown(name)}, sign out?",
        '<form method="post" action="/sign-out"><button>Sign out</button></form>'
        '<a class="way" href="/">Stay</a>',
    )


def sorry_page(why: str) -> str:
    """That something could not be done, and why."""
    return page("That did not work", f'<p>{shown(why, 600)}</p><a class="way" href="/">Back</a>')


def page(title: str, body: str, *, style: str = "", head: str = "") -> str:
    """A page; what is put in has been escaped.

    Parameters
    ----------
    style : str, optional
        More than these pages have in common.
    head : str, optional
        Tags: scripts of ours.
    """
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta name="color-scheme" content="light dark">'
        f'<link rel="icon" href="data:,"><title>{title}</title>'
        f"<style>:root {{ {_colours(LIGHT)} }} @media (prefers-color-scheme: dark) "
        f"{{ :root {{ {_colours(DARK)} }} }}{_STYLE}{style}</style>{head}</head>"
        f"<body><main><h1>{title}</h1>{body}</main></body></html>"
    )


def _colours(palette: Palette) -> str:
    return " ".join(f"--{f.name}: {getattr(palette, f.name)};" for f in fields(palette))


def shown(text: str, longest: int = 80) -> str:
    """What people have typed, as it may stand in a page."""
    return escape(short(text, longest))
