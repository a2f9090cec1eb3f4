"""Who may do what: nothing can be asked of the book without a role for it."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from pathlib import Path

import scheduler.book
from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import SERVICES, matrix

PAGE = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
BEGIN, END = "<!-- roles -->\n", "\n<!-- /roles -->"
# They open a book, or serve those who have it open; nobody asks for them by a role.
INSIDE = {
    "scheduler.book.keys.key_file", "scheduler.book.keys.key_of", "scheduler.book.migrate.migrate",
}


def modules() -> list[str]:
    """Every module of the book but its migrations."""
    found = pkgutil.walk_packages(scheduler.book.__path__, "scheduler.book.")
    return sorted(m.name for m in found if ".migrations" not in m.name)


def test_everything_that_can_be_asked_of_the_book_says_who_may_ask() -> None:
    undeclared = set()
    for name in modules():
        module = importlib.import_module(name)
        for key, function in vars(module).items():
            if key.startswith("_") or not inspect.isfunction(function):
                continue
            if function.__module__ != name:
                continue
            first = next(iter(inspect.signature(function).parameters.values()), None)
            if first is not None and first.annotation in (Book, "Book"):
                undeclared.add(f"{name}.{key}")
    assert undeclared - set(SERVICES) - INSIDE == set()


def test_the_roles_are_those_that_were_agreed() -> None:
    for module in modules():
        importlib.import_module(module)
    for service in SERVICES.values():
        assert not service.roles or Role.CHEF in service.roles, service
        assert Role.COOK not in service.roles or Role.SOUS in service.roles, service


def page() -> str:
    """DEVELOPERS.md with the table as it follows from the code."""
    for module in modules():
        importlib.import_module(module)
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}{matrix()}{END}{after}"


def test_the_table_of_who_may_do_what_is_that_of_the_code() -> None:
    # `python -m tests.book.test_roles` writes it anew.
    assert page() == PAGE.read_text(encoding="utf-8")


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
