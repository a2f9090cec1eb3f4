"""Who may do what: each service of the book says for which roles it is there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from scheduler.book.errors import NotAllowed
from scheduler.book.opening import Book
from scheduler.book.role import Role

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Who:
    """Somebody who asks the book for something.

    Attributes
    ----------
    kitchen : str
        The kitchen in which they ask.
    person : str
        A person's id, or how somebody is called who has not signed in.
    role : Role
    """

    kitchen: str
    person: str
    role: Role


@dataclass(frozen=True, slots=True)
class Service:
    """Something that may be asked of the book."""

    name: str
    module: str
    roles: frozenset[Role]
    does: str


SERVICES: dict[str, Service] = {}
"""Everything that may be asked of the book, by module and name."""

CHEF = frozenset({Role.CHEF})
LEADS = frozenset({Role.CHEF, Role.SOUS})
EVERYBODY = frozenset(Role)


def may(
    roles: frozenset[Role],
) -> Callable[
    [Callable[Concatenate[Book, Who, P], R]], Callable[Concatenate[Book, Who, P], R]
]:
    """Declare who may ask for a service; anybody else is refused before it begins."""

    def declare(
        function: Callable[Concatenate[Book, Who, P], R],
    ) -> Callable[Concatenate[Book, Who, P], R]:
        does = (function.__doc__ or "").strip().partition("\n")[0].rstrip(".")
        service = Service(function.__name__, function.__module__, roles, does)
        SERVICES[f"{service.module}.{service.name}"] = service

        @wraps(function)
        def asked(book: Book, who: Who, /, *args: P.args, **kwargs: P.kwargs) -> R:
            _let_in(who, service)
            return function(book, who, *args, **kwargs)

        return asked

    return declare


def within(name: str, roles: frozenset[Role], does: str) -> Callable[[Who], None]:
    """Declare what takes more than the service does in which it happens.

    Parameters
    ----------
    name : str
        The service's module and name, and what it is, with dots between.
    does : str
        As the first line of a service says it.

    Returns
    -------
    callable
        Refuses whoever may not.
    """
    module, _, short = name.rpartition(".")
    service = SERVICES[name] = Service(short, module, roles, does)
    return lambda who: _let_in(who, service)


def _let_in(who: Who, service: Service) -> None:
    if who.role not in service.roles:
        needed = " or ".join(r for r in Role if r in service.roles)
        raise NotAllowed(
            f"{who.person} is a {who.role} here; to {_lower(service.does)} takes a {needed}."
        )


def anybody(function: Callable[P, R]) -> Callable[P, R]:
    """Declare a service that needs no role: signing in, and what comes before it."""
    does = (function.__doc__ or "").strip().partition("\n")[0].rstrip(".")
    service = Service(function.__name__, function.__module__, frozenset(), does)
    SERVICES[f"{service.module}.{service.name}"] = service
    return function


def matrix() -> str:
    """Who may do what, as a table in Markdown; services in order of module and name."""
    lines = [f"| to | {' | '.join(Role)} |", "|---|" + "---|" * len(Role)]
    for name in sorted(SERVICES):
        service = SERVICES[name]
        if service.roles:
            signs = ["yes" if role in service.roles else "" for role in Role]
        else:
            signs = ["without sign-in"] * len(Role)
        lines.append(f"| {_lower(service.does)} | {' | '.join(signs)} |")
    return "\n".join(lines)


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
