"""Who somebody is that comes to the screens; the one rule for pages, routes and the door."""

from __future__ import annotations

from scheduler.book.listening import sitting_here
from scheduler.book.listing import KeptKitchen, kitchens
from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.sign_in import NotSignedIn, needed, who_is

COOKIE = "backtime_sign_in"
"""The cookie that says who has signed in."""
NOBODY = Who("", "nobody yet", Role.COOK)
"""Somebody who has only just come in: may see which kitchens there are."""
AT_THIS_MACHINE = "whoever sits here"


def arriving(
    book: Book, token: str, asked: str, *, sits_here: bool
) -> Who | KeptKitchen | None:
    """Say who somebody is.

    Parameters
    ----------
    token : str
        What their cookie holds; empty: they have none.
    asked : str
        The kitchen they ask for; empty or unknown: the first one.
    sits_here : bool
        They are at this machine. Nobody else is let in without a sign-in, also where the last
        code was withdrawn, or another kitchen came into the book, while the app was listening.

    Returns
    -------
    Who or KeptKitchen or None
        A kitchen: they must sign in there first. None: there is no kitchen yet.
    """
    if token:
        try:
            return who_is(book, token)
        except NotSignedIn:
            pass
    there = kitchens(book, NOBODY)
    if not there:
        return None
    kitchen = next((k for k in there if k.id == asked), there[0])
    if needed(book, kitchen.id) or not sits_here:
        return kitchen
    return sitting_here(book, kitchen.id, AT_THIS_MACHINE)
