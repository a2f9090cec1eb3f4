"""Kitchens to save into a book: the demo's, and the first week's."""

from __future__ import annotations

import copy
from typing import Any

from scheduler.book.documents import Body, Change, Kind
from scheduler.book.roles import Role, Who
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_scenario

LISTS: dict[str, Kind] = {"components": "component", "dishes": "dish"}


def document(name: str) -> dict[str, Any]:
    """A shipped scenario as plain data."""
    return read_scenario(find_scenario(name)).document()


def parts(written: dict[str, Any]) -> dict[tuple[Kind, str], Body]:
    """The documents of a scenario."""
    kitchen, week = written["kitchen"], written["week"]
    found: dict[tuple[Kind, str], Body] = {("kitchen", kitchen["id"]): kitchen}
    for key, kind in LISTS.items():
        found |= {(kind, one["id"]): one for one in written.get(key, ())}
    return copy.deepcopy(found | {("week", week["id"]): week})


def new(written: dict[str, Any]) -> list[Change]:
    """Everything of a scenario, to be saved for the first time."""
    return [Change(kind, id, body, 0) for (kind, id), body in parts(written).items()]


def chef(written: dict[str, Any], person: str = "ada") -> Who:
    """A chef of its kitchen."""
    return Who(written["kitchen"]["id"], person, Role.CHEF)
