"""Writes plain data as YAML that a chef can read on: the way back from `yaml_text`.

What is short stands in one line (`{equipment: oven, at: 180 °C}`), the rest one
word a line. Quotes only where something would be read as another thing without.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from scheduler.domain.yaml_text import stays_text

WIDTH = 100
"""Letters in a line, where something short is put into one."""
_INDENT = "  "
_PLAIN = re.compile(r"[^\W_](?:[\w .%°/+×½()–-]|:(?=\w))*")
_SAID = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t"}


def write_yaml(data: dict[str, Any]) -> str:
    """A document of mappings, lists, texts, whole numbers, true and false, as YAML.

    What stands at the top, and each entry of a list there, is written one word a line.
    """
    return "".join(f"{line}\n" for line in _mapping(data, WIDTH, 0))


def _mapping(data: dict[str, Any], room: int, level: int) -> Iterator[str]:
    for key, value in data.items():
        name = f"{_scalar(key)}:"
        if isinstance(value, str) and (lines := _lines(value)) is not None:
            yield f"{name} |{'' if value.endswith(chr(10)) else '-'}"
            yield from _further(lines)
        elif (short := _short(value, room - len(name) - 1, level)) is not None:
            yield f"{name} {short}"
        else:
            yield name
            yield from _further(_inside(value, room - len(_INDENT), level))


def _list(data: list[Any], room: int, level: int) -> Iterator[str]:
    for value in data:
        if (short := _short(value, room - len(_INDENT), level)) is not None:
            yield f"- {short}"
        else:
            first, *more = _inside(value, room - len(_INDENT), level)
            yield f"- {first}"
            yield from _further(more)


def _inside(value: Any, room: int, level: int) -> Iterator[str]:
    if isinstance(value, dict):
        return _mapping(value, room, level + 1)
    return _list(value, room, level)


def _further(lines: Iterable[str]) -> Iterator[str]:
    yield from (f"{_INDENT}{line}" if line else "" for line in lines)


def _short(value: Any, room: int, level: int) -> str | None:
    """A value in one line; None where it is too much for one."""
    if not isinstance(value, (dict, list)):
        return _scalar(value)
    if value and (level == 0 or _depth(value) > 2):
        return None
    text = flow(value)
    return text if len(text) <= room else None


def _depth(value: Any) -> int:
    if not isinstance(value, (dict, list)):
        return 0
    inside = value.values() if isinstance(value, dict) else value
    return 1 + max(map(_depth, inside), default=0)


def flow(value: Any) -> str:
    """Write a value in one line: `{equipment: oven, at: 180 °C}`."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_scalar(k)}: {flow(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(flow, value)) + "]"
    return _scalar(value)


def _scalar(value: Any) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    text = str(value)
    if _PLAIN.fullmatch(text) and text[-1] != " " and stays_text(text):
        return text
    return '"' + "".join(_said(ch) for ch in text) + '"'


def _said(ch: str) -> str:
    """A letter between double quotes (YAML 1.2.2, section 5.7)."""
    if ch in _SAID:
        return _SAID[ch]
    if ch.isprintable():
        return ch
    code = ord(ch)
    if code < 0x100:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _lines(text: str) -> list[str] | None:
    """The lines of a text that can stand as it is, under each other; None for any other."""
    lines = text.removesuffix("\n").split("\n")
    if "\n" not in text or not lines[0] or not lines[-1] or lines[0][0] == " ":
        return None
    fine = all(line.isprintable() and line == line.rstrip() for line in lines)
    return lines if fine else None
