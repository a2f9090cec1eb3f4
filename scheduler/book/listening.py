"""Where the app may listen: on this machine, or on a network once people sign in."""

from __future__ import annotations

import ipaddress

from scheduler.book.errors import BookError
from scheduler.book.listing import kitchens_there
from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import Who, anybody
from scheduler.book.sign_in import NotSignedIn, needed
from scheduler.domain.problems import one_of


def this_machine(host: str) -> bool:
    """Does only this machine reach an address?"""
    bare = host.strip().strip("[]").lower()
    if bare == "localhost":
        return True
    try:
        return ipaddress.ip_address(bare).is_loopback
    except ValueError:
        return False


@anybody
def check_listening(book: Book, host: str) -> None:
    """Refuse to listen on a network while nobody has to sign in.

    Raises
    ------
    BookError
    """
    if this_machine(host):
        return
    with book.reading() as connection:
        names = [kitchen.id for kitchen in kitchens_there(connection)]
    open_ones = [name for name in names if not needed(book, name)]
    if names and not open_ones:
        return
    where = f"in {', '.join(open_ones)} " if open_ones else ""
    raise BookError(
        f"Nobody has to sign in {where}yet, so everybody who reaches {host} would be the chef. "
        "Make codes first (`backtime code PERSON --role chef`), or listen on this machine only "
        "(127.0.0.1)."
    )


@anybody
def sitting_here(book: Book, kitchen: str, name: str) -> Who:
    """Say who somebody at this machine is: the chef, as long as nobody has a code.

    Raises
    ------
    NotSignedIn
        Once somebody has one; in a kitchen that is not there, once somebody has one anywhere.
    """
    if needed(book, kitchen):
        raise NotSignedIn(f"{kitchen} has personal codes: please sign in.")
    with book.reading() as connection:
        names = [one.id for one in kitchens_there(connection)]
    having = [name for name in names if needed(book, name)]
    if having and kitchen not in names:
        raise NotSignedIn(
            f"The book has no kitchen '{kitchen}', and {one_of(having)} has personal codes: please "
            "sign in there. A new kitchen begins with `backtime import FOLDER`."
        )
    return Who(kitchen, name, Role.CHEF)
