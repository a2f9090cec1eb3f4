"""Pydantic's errors in a chef's words, at their place in a file."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator, Sequence
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from scheduler.domain.problems import MOST_SHOWN, Problem, nearest, one_of
from scheduler.domain.tree import Node, Path

# What an entry of a list is called. Without an entry here it is called like the list.
NOUNS = {
    "components": "recipe",
    "dishes": "dish",
    "steps": "step",
    "methods": "method",
    "states": "state",
    "people": "person",
    "sections": "section",
    "shifts": "shift",
    "stores": "store",
    "duties": "duty",
    "day_parts": "day part",
    "margins": "margin",
    "events": "event",
    "diets": "diet",
    "waves": "wave",
    "units": "unit",
    "on_hand": "on hand",
    "in_progress": "in progress",
    "deliveries": "delivery",
    "breaks": "break",
}
_NAMES = ("id", "dish", "component", "ingredient", "equipment", "zone", "store")
# Words people write for a field of ours.
_MEANT = {
    "ingredients": "takes",
    "needs": "takes",
    "uses": "on",
    "duration": "time",
    "takes_time": "time",
    "min": "at_least",
    "max": "at_most",
    "least": "at_least",
    "most": "at_most",
    "covers": "guests",
    "pax": "guests",
    "qty": "amount",
    "quantity": "amount",
    "portions": "count",
    "skills": "may_use",
    "skill": "may_use",
    "hours": "shifts",
    "hold": "keeps",
    "holds": "keeps",
    "rest": "then",
    "wait": "then",
    "date": "first_plate",
    "service": "first_plate",
    "recipes": "components",
    "staff": "people",
    "brigade": "people",
    "waste": "loss",
    "tray": "equipment",
    "temperature": "setting",
}


# Words people write where one of ours is to be chosen.
_MEANT_VALUE = {
    "chilled": "cold", "cool": "cold", "fridge": "cold", "refrigerated": "cold",
    "freezer": "frozen", "warm": "hot", "room": "out", "ambient": "out",
}  # fmt: skip
_SHAPES = ("model_type", "model_attributes_type", "dict_type", "mapping_type")


def where(root: Node, path: Path) -> str:
    """Where in the recipe a path leads: "recipe rye-rolls, step bake, time"."""
    words: list[str] = []
    node: Node | None = root
    for i, part in enumerate(path):
        parent, node = node, node.child(part) if node is not None else None
        if isinstance(part, int):
            noun = NOUNS.get(str(path[i - 1]), str(path[i - 1]).replace("_", " ")) if i else ""
            beside = len(parent.value) if parent and isinstance(parent.value, list) else 0
            number = str(part + 1) if beside > 1 else ""
            words.append(f"{noun} {_name(node) or number}".strip())
        elif i + 1 == len(path) or not isinstance(path[i + 1], int):
            words.append(part)
    if path[:1] in (("kitchen",), ("week",)) and len(path) > 2 and isinstance(path[2], int):
        words = words[1:]
    return ", ".join(words)


def _name(node: Node | None) -> str:
    if node is None or not isinstance(node.value, dict):
        return ""
    for key in _NAMES:
        named = node.value.get(key)
        if named is not None and isinstance(named.value, (str, int)):
            return str(named.value)
    return ""


def find(root: Node, loc: Sequence[str | int]) -> tuple[Node, Path, bool]:
    """The deepest node that a location leads to, its path, and whether its end was found.

    Parts that are no key (a branch of a union, a validator's name) are skipped.
    """
    node, path, end_found = root, [], True
    for part in loc:
        child = node.child(part)
        if child is None:
            end_found = False
            continue
        end_found = True
        node = child
        path.append(part)
    return node, tuple(path), end_found


def fields_at(model: type[BaseModel], path: Path) -> list[str]:
    """The fields somebody may write at a path."""
    models = {model}
    for part in path:
        if isinstance(part, int):
            continue
        inner: set[type[BaseModel]] = set()
        for one in models:
            for name, info in one.model_fields.items():
                if part in (name, info.alias):
                    inner |= set(_models(info.annotation))
        models = inner
    return sorted({f.alias or n for m in models for n, f in m.model_fields.items()})


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inside in get_args(annotation):
        yield from _models(inside)


def problems_of(
    error: ValidationError, model: type[BaseModel], node: Node, root: Node, at: Path
) -> list[Problem]:
    """One line for each of pydantic's errors.

    Parameters
    ----------
    error : ValidationError
    model : type
        What was validated.
    node : Node
        From what.
    root : Node
        The whole document, for the words.
    at : Path
        Path from `root` to `node`.
    """
    found = []
    for one in error.errors(include_url=False)[:MOST_SHOWN]:
        if _other_branch(one["loc"], node):
            continue
        place, path, complete = find(node, one["loc"])
        if one["type"] == "too_short" and isinstance(place.value, list) and place.value:
            continue  # Its entries were left out because they are wrong themselves.
        last = str(one["loc"][-1]) if one["loc"] else ""
        extra = one["type"] == "extra_forbidden" and complete
        what, maybe = _say(one, last, place, fields_at(model, path[:-1] if extra else path))
        if extra or place.value is None:
            place = _key(node, path, place)
        found.append(place.problem(where(root, at + path), what, maybe))
    return found


def _key(node: Node, path: Path, place: Node) -> Node:
    """The key in front of a value, where there is one."""
    holder = node.at(path[:-1]) if path else None
    line, column = holder.keys.get(str(path[-1]), (None, None)) if holder else (None, None)
    return place if line is None else Node(None, place.file, line, column)


def _other_branch(loc: Sequence[str | int], node: Node) -> bool:
    """True for the branch of a union (a number or a list) that nobody meant."""
    here: Node | None = node
    for part in loc:
        if here is None:
            return False
        inside = here.child(part)
        if inside is None and isinstance(part, str):
            if part == "int" and isinstance(here.value, list):
                return True
            if part.startswith("tuple[") and not isinstance(here.value, list):
                return True
        here = inside or here
    return False


def slug(text: str) -> str:
    """The id somebody most likely meant."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-")


def fresh(name: str, taken: Collection[str], otherwise: str) -> str:
    """An id that nothing has yet: the name in small letters, with a number where it is taken."""
    begin = slug(name)[:50].strip("-") or otherwise
    if begin not in taken:
        return begin
    return next(f"{begin}-{n}" for n in range(2, len(taken) + 3) if f"{begin}-{n}" not in taken)


def _kind(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, (list, tuple)):
        return "a list"
    return f"'{value}'"


def _say(one: ErrorDetails, last: str, place: Node, fields: list[str]) -> tuple[str, str]:
    kind, context = one["type"], one.get("ctx", {})
    value = place.plain() if not isinstance(place.value, (dict, list)) else place.value
    shown = _kind(value)
    if kind == "missing":
        return f"'{last}' is missing", ""
    if kind == "extra_forbidden":
        if value is None and re.fullmatch(r"[0-9]+ ?[A-Za-z%-]*", last):  # {time: 1,5 h}
            return f"there is no '{last}' here", "a point instead of the comma before it"
        meant = _MEANT.get(last.lower(), "")
        meant = meant if meant in fields else nearest(last, fields)
        there = "" if meant else f"; there are: {one_of(fields, 12)}"
        return f"there is no '{last}' here{there}", f"'{meant}'" if meant else ""
    if value is None:
        return "nothing is written here", ""
    if kind == "value_error":
        what, _, maybe = str(context.get("error", one["msg"])).partition(" Maybe ")
        return what, maybe
    if kind == "string_pattern_mismatch":
        meant = slug(str(value))
        what = f"{shown} is not an id: small letters, digits, single hyphens"
        return what, meant and f"'{meant}'"
    if kind in ("literal_error", "enum"):
        known = re.findall(r"'([^']*)'", str(context.get("expected", "")))
        meant = _MEANT_VALUE.get(str(value).lower(), "")
        meant = meant if meant in known else nearest(str(value), known)
        return f"{shown} is none of: {', '.join(known)}", meant and f"'{meant}'"
    if kind == "string_type" and isinstance(value, (int, bool)):
        return f"{shown} is read as a number or true/false, not as a word", f'"{value}" in quotes'
    if kind == "too_short" and isinstance(value, str):
        return "an empty text", ""
    if kind in _SHAPES and "value" in fields and isinstance(value, (str, int, float)):
        return f"lines of 'key: value' are expected here, not {shown}", f"'value: {value}'"
    return _say_shape(kind, shown, context, one["msg"])


def _say_shape(kind: str, shown: str, context: dict[str, Any], message: str) -> tuple[str, str]:
    if kind in ("tuple_type", "list_type"):
        return f"a list is expected here, not {shown}", "a line beginning with '- '"
    if kind in _SHAPES:
        return f"lines of 'key: value' are expected here, not {shown}", ""
    if kind == "string_type":
        return f"a word is expected here, not {shown}", ""
    if kind == "string_too_short":
        return "an empty text", ""
    if kind == "string_too_long":
        return f"a text of more than {context.get('max_length')} letters", ""
    if kind in ("too_short", "too_long"):
        limit = context.get("min_length", context.get("max_length"))
        word = "at least" if kind == "too_short" else "at most"
        return f"{word} {limit} wanted here, not {context.get('actual_length')}", ""
    if kind.startswith("int_"):
        number = re.match(r"'(-?[0-9]+) ?[A-Za-z°%]+'", shown)  # '7 days'
        return f"{shown} is not a whole number", number[1] if number else ""
    if kind.startswith("bool_"):
        return f"{shown} is neither true nor false", ""
    for name, word in (
        ("gt", "more than"),
        ("ge", "at least"),
        ("lt", "less than"),
        ("le", "at most"),
    ):
        if name in context:
            return f"{shown} must be {word} {context[name]}", ""
    return f"{shown}: {message[:1].lower()}{message[1:]}", ""
