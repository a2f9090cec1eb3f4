"""Personal codes at the command line: made, withdrawn, listed."""

from __future__ import annotations

from scheduler.book.address import ADDRESS, address
from scheduler.book.codes import holders, make_code, withdraw_code
from scheduler.book.links import calendar_link
from scheduler.book.role import Role
from scheduler.commands.book import the_book, the_chef, the_kitchen
from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say, say_all, tell


def calendar_address(person: str, kitchen: str | None) -> Exit:
    """Say where somebody's calendar is found."""
    with the_book() as book:
        who = the_chef(the_kitchen(book, kitchen))
        where = address()
        if where is None:
            tell(f"Nobody has said where phones find the screens: {ADDRESS}=http://NAME:PORT.")
            return Exit.BAD_INPUT
        say(f"{where}/calendar/{calendar_link(book, who, person)}.ics")
        say(
            f"The jobs of {person}, for a calendar that is subscribed to. Whoever has this address "
            f"reads them; it ends with their code (`backtime code {person}` makes a new one)."
        )
    return Exit.FINE


def code(person: str | None, role: Role | None, withdraw: bool, kitchen: str | None) -> Exit:
    """Make or withdraw somebody's code; without a person, say who has one."""
    with the_book() as book:
        who = the_chef(the_kitchen(book, kitchen))
        if person is None:
            found = holders(book, who)
            say_all(
                f"{h.person}  {h.role}, since {h.since:%Y-%m-%d}, made by {h.made_by}"
                for h in found
            )
            if not found:
                say(
                    f"Nobody in {who.kitchen} has a code, so nobody has to sign in: the app "
                    "listens on this machine only, and whoever sits there is the chef."
                )
        elif withdraw:
            withdraw_code(book, who, person)
            say(f"{person} has no code any more and is signed out everywhere.")
        else:
            made = make_code(book, who, person, role or Role.COOK)
            say(f"{made[:3]} {made[3:]}")
            say(
                f"The code of {person}, {role or Role.COOK}. It is said this once: the book "
                "cannot say it again. An older one and its sign-ins have ended."
            )
    return Exit.FINE
