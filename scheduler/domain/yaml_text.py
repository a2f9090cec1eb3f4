"""Reads one YAML file into a tree that knows the line and column of everything.

Only what a written week needs, and strictly: one document, no tags, no
duplicate keys, scalars by the YAML 1.2 core schema as text, whole number,
true/false or nothing. Numbers with a point stay text, so that they stay
exact. Size, depth and aliases are capped while reading.

Source of the scalar rules: YAML 1.2.2, section 10.3.2 (core schema, tag
resolution).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)
from ruamel.yaml.reader import ReaderError

from scheduler.domain.problems import Problem, readable
from scheduler.domain.tree import MOST_DEPTH, MOST_NODES, Node, Refused, clean

MOST_BYTES = 2_000_000
MOST_ALIASES = 100
_MOST_DIGITS = 12

_NULL = frozenset({"", "~", "null", "Null", "NULL"})
_TRUE = frozenset({"true", "True", "TRUE"})
_FALSE = frozenset({"false", "False", "FALSE"})
_INT = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
_NO_NUMBER = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")

# What the parser says, and what a cook can do about it.
_SAID = (
    ("'\\t' that cannot start", "a tab; indent with spaces", ""),
    ("mapping values are not allowed", "a second ': ' in one line", "quotes around the text"),
    ("found character", "a text cannot begin with this character", "quotes around the text"),
    ("unknown escape character", "a backslash that means nothing", "single quotes"),
    ("found unexpected end of stream", "quotes that are never closed", ""),
    ("expected ',' or ']'", "a '[' that is never closed", ""),
    ("expected ',' or '}'", "a '{' that is never closed", ""),
    ("expected <block end>", "this line stands too far left or right, or lacks a ':' or a '-'", ""),
    ("could not find expected ':'", "a line without ': '", ""),
    ("incompatible YAML", "a YAML version that nobody has written", ""),
)


def stays_text(text: str) -> bool:
    """Is it read as text where it stands without quotes?"""
    words = _NULL | _TRUE | _FALSE
    return text not in words and not (_INT.fullmatch(text) or _NO_NUMBER.fullmatch(text))


def decode(raw: bytes, file: str) -> str:
    """The text of a file in UTF-8, with or without a byte-order mark.

    Raises
    ------
    Refused
        For another encoding, and for control characters.
    """
    here = Node(None, file, 1, 1)
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff") or raw[:4].count(0) >= 2 or raw[:200].count(0) > 40:
        raise here.refuse("this is UTF-16 or UTF-32, not UTF-8", "save it again as UTF-8")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        good = raw[: error.start].decode("utf-8", "replace")
        raise _at(good, len(good), file).refuse(
            f"byte 0x{raw[error.start]:02X} is not UTF-8", "save it again as UTF-8"
        ) from None
    for match in re.finditer(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ufffe\uffff]", text):
        raise _at(text, match.start(), file).refuse(
            f"a control character (U+{ord(match[0]):04X})", "delete it"
        )
    return text


def _at(text: str, index: int, file: str) -> Node:
    before = text[:index]
    return Node(None, file, before.count("\n") + 1, index - (before.rfind("\n") + 1) + 1)


def read_text(text: str, file: str) -> Node:
    """The tree of one YAML document.

    Raises
    ------
    Refused
        With the first thing that makes it no such document.
    """
    yaml = YAML(typ="safe", pure=True)
    try:
        return _Builder(yaml.parse(text), file).document()
    except ReaderError as error:
        raise _at(text, int(error.position), file).refuse(
            "a character that YAML does not allow", "delete it"
        ) from None
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        here = Node(None, file, mark.line + 1, mark.column + 1) if mark else Node(None, file, 1, 1)
        said = " ".join(str(error.problem or error.context or "").split())
        if _tab(text, mark.line if mark else 0):
            said = f"'\\t' that cannot start {said}"
        for part, what, maybe in _SAID:
            if part in said:
                raise here.refuse(f"not YAML: {what}", maybe) from None
        raise here.refuse(f"not YAML: {readable(said, 120)}") from None
    except (YAMLError, ValueError, IndexError, AttributeError, TypeError, RecursionError) as error:
        # The parser has a few bugs of its own on text that is no YAML at all.
        said = " ".join(str(error).split())
        raise Node(None, file, 1, 1).refuse(f"not YAML: {readable(said, 120)}") from None


def _tab(text: str, line: int) -> bool:
    """Is there a tab in the indent of a line?"""
    at = text.split("\n")[line : line + 1]
    return bool(at) and "\t" in at[0][: len(at[0]) - len(at[0].lstrip())]


class _Builder:
    def __init__(self, events: Iterator[Any], file: str) -> None:
        self.events = events
        self.file = file
        self.anchors: dict[str, Node] = {}
        self.open: set[str] = set()
        self.aliases = 0
        self.nodes = 0

    def document(self) -> Node:
        tree: Node | None = None
        for event in self.events:
            if not isinstance(event, DocumentStartEvent):
                continue
            if tree is not None:
                raise self._node(event).refuse("a second document begins here", "two files")
            if event.tags:
                raise self._node(event).refuse("tags (%TAG) are not used here", "delete the line")
            tree = self.node(next(self.events), 0)
        if tree is None:
            raise Node(None, self.file, 1, 1).refuse("the file is empty", "`schema: 1`")
        return tree

    def _node(self, event: Any) -> Node:
        mark = event.start_mark
        return Node(None, self.file, mark.line + 1, mark.column + 1)

    def _count(self, node: Node, size: int) -> None:
        self.nodes += size
        if self.nodes > MOST_NODES:
            raise node.refuse(f"more than {MOST_NODES:,} entries, aliases written out")

    def node(self, event: Any, depth: int) -> Node:
        node = self._node(event)
        if isinstance(event, AliasEvent):
            return self._alias(event, node, depth)
        self._count(node, 1)
        if event.tag is not None and not (isinstance(event, ScalarEvent) and event.tag == "!"):
            raise node.refuse(f"tags like '{readable(str(event.tag), 40)}' are not used here")
        if depth > MOST_DEPTH:
            raise node.refuse(f"more than {MOST_DEPTH} levels deep")
        if event.anchor is not None:
            self.open.add(event.anchor)
        if isinstance(event, ScalarEvent):
            node.value = self._scalar(event, node)
        elif isinstance(event, SequenceStartEvent):
            self._list(node, depth)
        elif isinstance(event, MappingStartEvent):
            self._mapping(node, depth)
        if event.anchor is not None:
            self.open.discard(event.anchor)
            self.anchors[event.anchor] = node
        return node

    def _alias(self, event: Any, node: Node, depth: int) -> Node:
        name = readable(str(event.anchor), 40)
        if event.anchor in self.open:
            raise node.refuse(f"'*{name}' stands inside what it refers to")
        if event.anchor not in self.anchors:
            raise node.refuse(f"'*{name}' refers to nothing", "quotes around it")
        self.aliases += 1
        if self.aliases > MOST_ALIASES:
            raise node.refuse(f"more than {MOST_ALIASES} aliases")
        meant = self.anchors[event.anchor]
        if depth + meant.height > MOST_DEPTH:
            raise node.refuse(f"more than {MOST_DEPTH} levels deep, aliases written out")
        self._count(node, meant.size)
        return meant

    def _list(self, node: Node, depth: int) -> None:
        entries: list[Node] = []
        while not isinstance(event := next(self.events), SequenceEndEvent):
            entries.append(self.node(event, depth + 1))
        node.fill(entries)

    def _mapping(self, node: Node, depth: int) -> None:
        entries: dict[str, Node] = {}
        while not isinstance(event := next(self.events), MappingEndEvent):
            here = self._node(event)
            if not isinstance(event, ScalarEvent) or event.tag is not None:
                raise here.refuse("a key is a single word")
            key = clean(unicodedata.normalize("NFC", event.value), here)
            if key in entries:
                raise here.refuse(
                    f"'{readable(key, 60)}' stands here a second time; first in line "
                    f"{node.keys[key][0]}"
                )
            if event.anchor is not None:
                raise here.refuse("an anchor on a key", "put it on the value")
            node.keys[key] = (here.line or 1, here.column or 1)
            entries[key] = self.node(next(self.events), depth + 1)
        node.fill(entries)

    def _scalar(self, event: Any, node: Node) -> str | int | bool | None:
        text = event.value
        if event.style not in (None, "") or event.tag is not None:
            return clean(text, node)
        if text in _NULL:
            return None
        if text in _TRUE or text in _FALSE:
            return text in _TRUE
        if _NO_NUMBER.fullmatch(text):
            raise node.refuse(f"'{text}' is not a number anybody can weigh out")
        if _INT.fullmatch(text):
            if len(text.lstrip("+-")) > _MOST_DIGITS:
                raise node.refuse(f"'{readable(text, 60)}' has more digits than anybody can use")
            return int(text, 0) if text[:2] in ("0o", "0x") else int(text)
        return clean(text, node)


def read_file(raw: bytes, file: str) -> tuple[Node | None, Problem | None]:
    """The tree of a file's bytes, or what is wrong with them."""
    try:
        return read_text(decode(raw, file), file), None
    except Refused as refused:
        return None, refused.problem
