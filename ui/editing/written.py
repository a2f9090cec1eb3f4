"""A document as text, for whatever a form does not show."""

from __future__ import annotations

from typing import Any

from scheduler.book.revisions import Change, Key
from scheduler.book.saving import as_written
from scheduler.book.telling import document
from scheduler.domain.tree import Node, Refused
from scheduler.domain.yaml_text import decode, read_text
from scheduler.domain.yaml_writing import write_yaml
from ui.editing.mistakes import Documents, Mistake, mistakes_in


def text_of_document(body: Any) -> str:
    """The text of a document, as it would stand in a written week."""
    return write_yaml(body) if isinstance(body, dict) else ""


def read_back(text: str, name: str) -> tuple[Node | None, Mistake | None]:
    """The tree of a typed text, or the first thing for which it cannot be read."""
    try:
        tree = read_text(decode(text.encode("utf-8", "replace"), name), name)
    except Refused as refused:
        problem = refused.problem
        says = f"{problem.what}. Maybe {problem.maybe}" if problem.maybe else problem.what
        return None, Mistake((), says, "", problem.line, problem.column)
    if not isinstance(tree.value, dict):
        return None, Mistake((), "lines of 'key: value' are expected here", "", 1, 1)
    return tree, None


def body_of(key: Key, tree: Node) -> Any:
    """The document of a text: as its model writes it, where that can read it."""
    return as_written(Change(*key, tree.plain(), 0))


def mistakes_of_text(
    documents: Documents, key: Key, text: str, week: str | None
) -> tuple[Mistake, ...]:
    """Everything that is wrong with a text, by line and column."""
    tree, unread = read_back(text, document(*key))
    if tree is None:
        return (unread,) if unread else ()
    return mistakes_in(documents, key, tree, week)
