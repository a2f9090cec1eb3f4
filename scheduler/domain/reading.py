"""From a folder of YAML to a checked scenario, or to everything that is wrong with it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from scheduler.domain.base import SCHEMA
from scheduler.domain.checks import CHECKS
from scheduler.domain.draft import Draft, draft_of
from scheduler.domain.problems import BadInput, Problem, nearest, readable
from scheduler.domain.scenario import Scenario
from scheduler.domain.tree import Node, Refused, tree_of
from scheduler.domain.yaml_text import MOST_BYTES, read_file

MOST_FILES = 300
_ONCE = ("kitchen", "week")
_LISTS = ("components", "dishes")
_KINDS = {"kitchen": "kitchen", "components": "component", "dishes": "dish", "week": "week"}


@dataclass(frozen=True, slots=True)
class WrittenFile:
    """A file of a written week.

    Attributes
    ----------
    name : str
    text : str
        As it stands there, to the byte in UTF-8.
    holds : tuple of (str, str)
        What is written in it, in its order: kitchen, component, dish or week, and its id.
    """

    name: str
    text: str
    holds: tuple[tuple[str, str], ...]


def read_scenario(folder: Path) -> Scenario:
    """Read every `*.yaml` of a folder.

    Parameters
    ----------
    folder : Path
        Each of its files is a mapping with `schema: 1` and any of `kitchen`,
        `components`, `dishes` and `week`; recipes may be spread over files.

    Raises
    ------
    BadInput
        With every mistake that was found, each with file, line and column.
    """
    return read_written(folder)[0]


def read_written(folder: Path) -> tuple[Scenario, tuple[WrittenFile, ...]]:
    """Read a folder, and keep what stood in its files.

    Returns
    -------
    Scenario
    tuple of WrittenFile
        In the order in which they are read.

    Raises
    ------
    BadInput
        As `read_scenario`.
    """
    texts: list[str] = []
    documents, problems = _documents(folder, texts)
    root, more = _together(documents, str(folder))
    unread = bool(problems)
    problems += more
    if not documents or any(n not in _dict(root) for n in (*_ONCE, "dishes")):
        if not unread:
            problems += _absent(root)
        if not documents:
            raise BadInput(problems)
    read = _checked(root, problems, unread)
    return read, tuple(map(_written, documents, texts))


def _written(tree: Node, text: str) -> WrittenFile:
    holds: list[tuple[str, str]] = []
    for key, node in _dict(tree).items():
        entries = [one for _, one in node.items()] if key in _LISTS else [node]
        ids = [one.child("id") for one in entries if key != "schema"]
        holds += [(_KINDS[key], str(one.value)) for one in ids if one is not None]
    return WrittenFile(Path(tree.file).name, text, tuple(holds))


def scenario_of(document: dict[str, Any], name: str = "scenario") -> Scenario:
    """Check a document that is already plain data, as in a plan file.

    Parameters
    ----------
    document : dict
        As from `Scenario.document`.
    name : str
        What it is called where a file would stand.

    Raises
    ------
    BadInput
        With every mistake that was found.
    """
    try:
        tree = tree_of(document, name)
    except Refused as refused:
        raise BadInput([refused.problem]) from None
    version = _version(tree)
    if version is not None:
        raise BadInput([version])
    root, problems = _together([tree], name)
    return _checked(root, problems + _absent(root), False)


@dataclass(frozen=True, slots=True)
class Part:
    """One document of a scenario that is kept apart from the others.

    Attributes
    ----------
    key : str
        Where it belongs: the kitchen, the week, or one entry of a list.
    name : str
        What it is called where a file would stand.
    data : dict or Node
        Plain data, as in `Scenario.document`; or a tree that says where everything stands.
    """

    key: Literal["kitchen", "components", "dishes", "week"]
    name: str
    data: Any


def draft_of_parts(parts: Sequence[Part]) -> Draft:
    """Check documents together, as far as they are there: a kitchen without a week, too.

    Entries of `as_written` are in the order of the parts.

    Raises
    ------
    BadInput
        With every mistake that was found, each in the document in which it is.
    """
    trees, problems = [], []
    for part in parts:
        try:
            tree = part.data if isinstance(part.data, Node) else tree_of(part.data, part.name)
        except Refused as refused:
            problems.append(refused.problem)
        else:
            inside = Node([tree], part.name) if part.key in _LISTS else tree
            trees.append(Node({part.key: inside}, part.name))
    root, more = _together(trees, "")
    return _draft(root, problems + more, bool(problems))


def scenario_of_parts(parts: Sequence[Part], name: str = "scenario") -> Scenario:
    """Check documents that make a whole scenario.

    Raises
    ------
    BadInput
        With every mistake that was found; also where a kitchen, a week or every dish is missing.
    """
    absent = _absent(Node({part.key: Node(None, name) for part in parts}, name))
    if absent:
        raise BadInput(absent)
    draft = draft_of_parts(parts)
    return Scenario.of(draft.kitchen, *draft.as_written)


def _checked(root: Node, problems: list[Problem], unread: bool) -> Scenario:
    draft = _draft(root, problems, unread)
    return Scenario.of(draft.kitchen, *draft.as_written)


def _draft(root: Node, problems: list[Problem], unread: bool) -> Draft:
    draft, wrong = draft_of(root)
    problems = problems + wrong
    if not unread:
        for check in CHECKS:
            problems += check(draft)
    if problems:
        raise BadInput(problems)
    return draft


def _documents(folder: Path, texts: list[str]) -> tuple[list[Node], list[Problem]]:
    try:
        names = sorted(os.listdir(folder))
    except FileNotFoundError:
        raise BadInput([_at(folder, "there is no such folder", _beside(folder))]) from None
    except NotADirectoryError:
        raise BadInput([_at(folder, "this is a file, not a folder", f"{folder.parent}")]) from None
    except OSError as error:
        raise BadInput([_at(folder, f"it cannot be opened: {_why(error)}")]) from None
    files = [folder / n for n in names if n.endswith(".yaml") and not n.startswith(".")]
    problems = [
        _at(folder / n, "only files named *.yaml are read", f"{n[:-4]}.yaml")
        for n in names
        if n.lower().endswith((".yml", ".yaml")) and not n.endswith(".yaml")
    ]
    if not files and not problems:
        raise BadInput([_at(folder, "there is no *.yaml file in this folder")])
    if len(files) > MOST_FILES:
        raise BadInput([_at(folder, f"{len(files)} files; at most {MOST_FILES}")])
    documents, left = [], MOST_BYTES
    for file in files:
        raw, problem = _bytes(file, left)
        tree = None
        if raw is not None:
            left -= len(raw)
            tree, problem = read_file(raw, str(file))
        if raw is not None and tree is not None:
            problem = _version(tree)
            if problem is None:
                documents.append(tree)
                texts.append(raw.decode())
        if problem is not None:
            problems.append(problem)
    return documents, problems


def _bytes(file: Path, left: int) -> tuple[bytes | None, Problem | None]:
    try:
        if not file.is_file():
            return None, _at(file, "this is not a file")
        size = file.stat().st_size
        if size > MOST_BYTES:
            return None, _at(file, f"{size:,} bytes, left unread; at most {MOST_BYTES:,}")
        with file.open("rb") as opened:
            raw = opened.read(left + 1)
    except OSError as error:
        return None, _at(file, f"it cannot be read: {_why(error)}")
    if len(raw) > left:
        return None, _at(file, f"all files together have more than {MOST_BYTES:,} bytes")
    return raw, None


def _why(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _at(path: Path, what: str, maybe: str = "") -> Problem:
    return Problem(str(path), None, None, "", what, maybe)


def _beside(folder: Path) -> str:
    try:
        names = [p.name for p in folder.parent.iterdir() if p.is_dir()]
    except OSError:
        return ""
    meant = nearest(folder.name, names)
    return str(folder.parent / meant) if meant else ""


def _version(tree: Node) -> Problem | None:
    if not isinstance(tree.value, dict):
        return tree.problem("", "lines of 'key: value' are expected here", f"`schema: {SCHEMA}`")
    schema = tree.value.get("schema")
    if schema is None:
        return tree.problem("", "'schema' is missing", f"`schema: {SCHEMA}` as its first line")
    if isinstance(schema.value, bool) or not isinstance(schema.value, int) or schema.value < 1:
        return schema.problem("schema", "this is no version", f"{SCHEMA}")
    if schema.value > SCHEMA:
        return schema.problem(
            "schema",
            f"written for version {schema.value}; this Backtime reads up to version {SCHEMA}",
            "a newer Backtime",
        )
    return None


def _dict(node: Node) -> dict[str, Node]:
    return node.value if isinstance(node.value, dict) else {}


def _together(documents: Sequence[Node], name: str) -> tuple[Node, list[Problem]]:
    """One document of several, and what cannot be put together."""
    problems = []
    merged: dict[str, Node] = {}
    for tree in documents:
        for key, node in _dict(tree).items():
            line, column = tree.keys.get(key, (node.line, node.column))
            here = Node(None, tree.file, line, column)
            if key in _LISTS and isinstance(node.value, list):
                joined = merged.setdefault(key, Node([], tree.file, line, column))
                if isinstance(joined.value, list):
                    joined.value.extend(node.value)
            elif key in _LISTS:
                problems.append(
                    here.problem(key, "a list is expected here", "a line beginning with '- '")
                )
            elif key in _ONCE and key in merged:
                first = merged[key]
                also = ":".join(str(p) for p in (first.file, first.line) if p is not None)
                problems.append(here.problem(key, f"a second {key}; the first is in {also}"))
            elif key in _ONCE:
                merged[key] = node
            elif key != "schema":
                meant = nearest(key, (*_ONCE, *_LISTS))
                problems.append(
                    here.problem(
                        "", f"there is no '{readable(key, 60)}' here", meant and f"'{meant}'"
                    )
                )
    return Node(merged, name), problems


def _absent(root: Node) -> list[Problem]:
    return [
        root.problem("", f"there is no '{key}' anywhere", f"`{key}:` in one of the files")
        for key in (*_ONCE, "dishes")
        if key not in _dict(root)
    ]
