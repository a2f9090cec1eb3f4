"""What is wrong in a document while it is edited, each mistake at its path.

The models and checks of the domain judge, and they say where by line and column. So a document
is given lines that are numbers of paths, and what is said about line 7 belongs to path 7.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from scheduler.book.revisions import Key
from scheduler.book.saving import MODELS, parts_of
from scheduler.book.telling import document
from scheduler.book.uses import belonging
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.reading import draft_of_parts, scenario_of_parts
from scheduler.domain.tree import Node, Refused, tree_of
from scheduler.domain.wording import problems_of
from ui.editing.paths import Path

_MISSING = re.compile(r"'([a-z_]+)' is missing")
Documents = Mapping[Key, Any]
"""Every document that is checked together, as plain data."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """One thing that is wrong.

    Attributes
    ----------
    path : tuple or None
        Where in the document that is edited; None: in another one.
    says : str
        The sentence beside the field.
    place : str
        Where it is, for a list of mistakes: "step braise, time", or the other document.
    line, column : int or None
        In a text that somebody has written.
    """

    path: Path | None
    says: str
    place: str
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        at = "" if self.line is None else f"line {self.line}, column {self.column}: "
        return f"{at}{self.place}: {self.says}" if self.place else f"{at}{self.says}"


def mistakes(
    documents: Documents, key: Key, body: Any, week: str | None
) -> tuple[Mistake, ...]:
    """Everything that is wrong with a document, and with others because of it.

    Parameters
    ----------
    documents : mapping
        All others; what it has of the document itself is not looked at.
    body : plain data
        As typed.
    week : str or None
        The week under which it is looked at as well.
    """
    name = document(*key)
    try:
        tree = tree_of(body, name)
    except Refused as refused:
        return (_mistake(refused.problem, name, {}),)
    paths = dict(enumerate(_numbered(tree), start=1))
    return tuple(_mistake(p, name, paths) for p in _problems(documents, key, tree, week))


def mistakes_in(
    documents: Documents, key: Key, tree: Node, week: str | None
) -> tuple[Mistake, ...]:
    """The same of a text that somebody has written, with line and column."""
    name = document(*key)
    found = []
    for problem in _problems(documents, key, tree, week):
        here = problem.file == name
        place = problem.where if here else _elsewhere(problem)
        line, column = (problem.line, problem.column) if here else (None, None)
        found.append(Mistake(() if here else None, _says(problem), place, line, column))
    return tuple(found)


def beside(found: tuple[Mistake, ...], path: Path, deep: bool = True) -> list[Mistake]:
    """The mistakes of a field: at its path, or further inside where it shows all of that."""
    there = [m for m in found if m.path is not None and m.path[: len(path)] == path]
    return there if deep else [m for m in there if m.path == path]


def _problems(
    documents: Documents, key: Key, tree: Node, week: str | None
) -> list[Problem]:
    """Those of its own model; where there are none, those of everything together."""
    model = MODELS[key[0]]
    try:
        model.model_validate(tree.plain())
    except ValidationError as error:
        return problems_of(error, model, tree, tree, ())
    named = tree.child("id")
    if named is not None and named.value != key[1]:
        what = "a document keeps its id"
        return [named.problem("id", f"'{named.value}' is saved as '{key[1]}'; {what}", key[1])]
    live: dict[Key, Any] = {k: body for k, body in documents.items() if k != key}
    plain = live | {key: tree.plain()}
    if key[0] == "week":
        week = key[1]
    mine = frozenset[Key]()
    found: list[Problem] = []
    if week is not None and ("week", week) in plain:
        mine = belonging(plain, week)
        found += _wrong({k: b for k, b in (live | {key: tree}).items() if k in mine}, week)
    own = [p for p in found if p.file == tree.file]
    if key not in mine or (own and key[0] != "week"):
        # A week knows only the recipes that it needs; what was meant may be any other.
        everything = {k: b for k, b in (live | {key: tree}).items() if k[0] != "week"}
        found = [p for p in found if p not in own]
        found += _wrong(everything, None) or own
    return list(dict.fromkeys(found))


def _wrong(documents: dict[Key, Any], week: str | None) -> tuple[Problem, ...]:
    parts = parts_of(documents)
    try:
        if week is None:
            draft_of_parts(parts)
        else:
            scenario_of_parts(parts)
    except BadInput as bad:
        return bad.problems
    return ()


def _numbered(node: Node, path: Path = ()) -> Iterator[Path]:
    """Give every node a line of its own, and say which paths these are, in their order."""
    count = 0

    def walk(node: Node, path: Path) -> Iterator[Path]:
        nonlocal count
        count += 1
        node.line, node.column = count, 1
        yield path
        if isinstance(node.value, dict):
            for key, inside in node.value.items():
                node.keys[key] = (count + 1, 1)
                yield from walk(inside, (*path, key))
        elif isinstance(node.value, list):
            for i, inside in enumerate(node.value):
                yield from walk(inside, (*path, i))

    return walk(node, path)


def _mistake(problem: Problem, name: str, paths: Mapping[int, Path]) -> Mistake:
    if problem.file != name:
        return Mistake(None, _says(problem), _elsewhere(problem))
    path = paths.get(problem.line or 0, ())
    missing = _MISSING.fullmatch(problem.what)
    if missing:
        # Beside the field it is the field's name that is known, not the word in a file.
        return Mistake((*path, missing[1]), "must be filled in", _within(problem.where, name))
    return Mistake(path, _says(problem), _within(problem.where, name))


def _within(where: str, name: str) -> str:
    """Where in a document, without saying again which one it is."""
    said = name.replace("recipe ", "", 1) if name.startswith("recipe ") else name
    for begin in (name, said, name.split(" ")[0]):
        if where == begin:
            return ""
        if where.startswith(f"{begin}, "):
            return where[len(begin) + 2 :]
    return where


def _says(problem: Problem) -> str:
    maybe = f". Maybe {problem.maybe}" if problem.maybe else ""
    return f"{problem.what.rstrip('.')}{maybe}"


def _elsewhere(problem: Problem) -> str:
    return ", ".join(word for word in (problem.file, _within(problem.where, problem.file)) if word)
