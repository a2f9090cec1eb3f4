"""Plain data that remembers where it was written."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from scheduler.domain.problems import Problem, readable

Path = tuple[str | int, ...]

MOST_DEPTH = 40
MOST_NODES = 200_000
MOST_NUMBER = 10**12
MOST_LETTERS = 4_000
"""A single word or text may be so long."""
_INVISIBLE = frozenset("\u200b\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Refused(Exception):
    """Something that cannot be read any further."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem)


@dataclass(eq=False, slots=True)
class Node:
    """A mapping, a list or a scalar, and its place in a file.

    Attributes
    ----------
    value : dict of str to Node, list of Node, str, int, bool or None
    file : str
    line, column : int or None
        From 1; None where it was not read from a file.
    keys : dict of str to (int, int)
        Where the keys of a mapping stand.
    size, height : int
        Nodes in it, itself included, and levels below it; aliases written out.
    """

    value: dict[str, Node] | list[Node] | str | int | bool | None
    file: str
    line: int | None = None
    column: int | None = None
    keys: dict[str, tuple[int, int]] = field(default_factory=dict)
    size: int = 1
    height: int = 0

    def plain(self) -> Any:
        """The data without places."""
        if isinstance(self.value, dict):
            return {k: n.plain() for k, n in self.value.items()}
        if isinstance(self.value, list):
            return [n.plain() for n in self.value]
        return self.value

    def child(self, step: str | int) -> Node | None:
        """What stands under a key or at a place of a list."""
        if isinstance(self.value, dict):
            return self.value.get(str(step))
        if isinstance(self.value, list) and isinstance(step, int) and step < len(self.value):
            return self.value[step]
        return None

    def at(self, path: Path) -> Node | None:
        """What stands at the end of a path, if all of it is there."""
        here: Node | None = self
        for step in path:
            here = here.child(step) if here is not None else None
        return here

    def fill(self, value: dict[str, Node] | list[Node]) -> None:
        """Make it a mapping or a list."""
        inside = value.values() if isinstance(value, dict) else value
        self.value = value
        self.size = 1 + sum(n.size for n in inside)
        self.height = 1 + max((n.height for n in inside), default=0)

    def items(self) -> Iterator[tuple[int, Node]]:
        """The entries of a list with their places; nothing for anything else."""
        if isinstance(self.value, list):
            yield from enumerate(self.value)

    def problem(self, where: str, what: str, maybe: str = "") -> Problem:
        """A mistake at this place."""
        return Problem(self.file, self.line, self.column, where, what, maybe)

    def refuse(self, what: str, maybe: str = "") -> Refused:
        """A mistake after which nothing more can be read."""
        return Refused(self.problem("", what, maybe))


def clean(text: str, node: Node) -> str:
    """Text in Unicode's composed form (NFC), without characters nobody can see.

    Raises
    ------
    Refused
        For control characters, halves of characters, and marks that turn the
        direction of writing; and for a text of more than 4,000 letters.
    """
    if len(text) > MOST_LETTERS:
        raise node.refuse(f"a text of {len(text):,} characters; at most {MOST_LETTERS:,}")
    if not text.isascii():
        text = unicodedata.normalize("NFC", text)
    for ch in text:
        if (ch < " " and ch not in "\n\t") or "\x7f" <= ch <= "\x9f" or "\ud800" <= ch <= "\udfff":
            raise node.refuse(f"a control character (U+{ord(ch):04X}) in '{readable(text, 40)}'")
        if ch in _INVISIBLE:
            raise node.refuse(f"an invisible character (U+{ord(ch):04X}) in '{readable(text, 40)}'")
    return text


def tree_of(data: Any, file: str, depth: int = 0) -> Node:
    """A tree of plain data that came from no file (JSON, a test, the API)."""
    node = Node(None, file)
    if depth > MOST_DEPTH:
        raise node.refuse(f"more than {MOST_DEPTH} levels deep")
    if isinstance(data, dict):
        node.fill({clean(str(k), node): tree_of(v, file, depth + 1) for k, v in data.items()})
    elif isinstance(data, (list, tuple)):
        node.fill([tree_of(v, file, depth + 1) for v in data])
    elif data is None or isinstance(data, (bool, int)):
        node.value = data
        if data is not None and abs(data) > MOST_NUMBER:
            raise node.refuse("a number with more digits than anybody can use")
    else:
        node.value = clean(str(data), node)
    if node.size > MOST_NODES:
        raise node.refuse(f"more than {MOST_NODES:,} entries")
    return node
