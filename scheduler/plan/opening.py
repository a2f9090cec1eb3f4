"""Opening a plan file: from bytes to plain data of today's schema, or one clear sentence."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from scheduler.domain.base import SCHEMA
from scheduler.domain.problems import BadInput, Problem

KIND = "plan"
LARGEST = 64 * 1024 * 1024
"""A file larger than this, in bytes, is refused unread."""

UPGRADES: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}
"""From each older schema to the next one; empty while there is only the first."""


def opened(path: Path) -> dict[str, Any]:
    """A plan file as plain data in today's schema, with nothing left out at the top.

    Raises
    ------
    BadInput
        If it is no plan of ours, cut short, newer than this code, or if the
        scenario in it is not the one it was made from.
    """
    return parsed(text_of(path), path)


def parsed(text: str, path: Path) -> dict[str, Any]:
    """The text of a plan file as plain data, as `opened` gives it.

    Parameters
    ----------
    path : Path
        What it is called where something is wrong with it.

    Raises
    ------
    BadInput
    """
    document = _document(text, path)
    number = _schema(path, document)
    missing = [key for key in ("scenario", "plan", "made", "verdicts") if key not in document]
    if missing:
        raise refused(path, f"is no plan: it has no {' and no '.join(missing)}")
    if sha256(document["scenario"]) != document.get("scenario_sha256"):
        raise refused(
            path,
            "the scenario in it is not the one it was made from",
            "plan the changed scenario again: a plan's times may be edited, its scenario may not",
        )
    for older in range(number, SCHEMA):
        document = UPGRADES[older](document)
    return document


def _schema(path: Path, document: dict[str, Any]) -> int:
    number = document.get("schema")
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise refused(path, f"is no plan: its schema is '{number}'", f"{SCHEMA}")
    if number > SCHEMA:
        raise refused(
            path,
            f"was made by a newer Backtime (schema {number}; this one reads up to {SCHEMA})",
            "upgrade Backtime",
        )
    return number


def sha256(scenario: Any) -> str:
    """SHA-256 of the canonical JSON of a scenario as it stands in a file."""
    text = json.dumps(scenario, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def text_of(path: Path) -> str:
    """The text of a file that may be a plan.

    Raises
    ------
    BadInput
        If it cannot be read, or is no text.
    """
    try:
        if path.is_dir():
            raise refused(
                path, "is a folder, and a plan is a file", "backtime plan with this folder"
            )
        size = path.stat().st_size
        if size > LARGEST:
            raise refused(path, f"is no plan: {size // 2**20} MB is too large for one")
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise refused(path, "there is no such file") from None
    except OSError as error:
        raise refused(path, f"cannot be read: {error.strerror or error}") from None
    except UnicodeDecodeError:
        raise refused(path, "is no plan: it is not text in UTF-8") from None


def _document(text: str, path: Path) -> dict[str, Any]:
    """The JSON of a plan file, as plain data."""
    if not text.strip():
        raise refused(path, "is no plan: it is empty")
    try:
        document = json.loads(text, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        cut = error.pos >= len(text.rstrip()) - 1
        what = "is cut short: it ends in the middle" if cut else "is no plan: no JSON from here on"
        raise BadInput([Problem(str(path), error.lineno, error.colno, "", what)]) from None
    except (RecursionError, ValueError):
        what = "is no plan: it is nested too deep or holds a number that is none"
        raise refused(path, what) from None
    if not isinstance(document, dict) or document.get("backtime") != KIND:
        raise refused(path, "is not a plan of Backtime", "a file that `backtime plan` has written")
    return document


def _no_number(text: str) -> Any:
    raise ValueError(text)


def refused(path: Path, what: str, maybe: str = "") -> BadInput:
    """A problem with the file as a whole."""
    return BadInput([Problem(str(path), None, None, "", what, maybe)])


def placed(path: Path, where: tuple[str | int, ...], what: str, data: Any) -> Problem:
    """A problem with its path: "plan, tasks 12 (rolls.1/bake), start"."""
    words: list[str] = []
    value: Any = {"plan": data}
    for key in where:
        try:
            value = value[key]
        except (KeyError, IndexError, TypeError):
            value = None
        if isinstance(key, int) and words:
            name = value.get("id") if isinstance(value, dict) else None
            words[-1] += f" {key + 1}" + (f" ({name})" if isinstance(name, str) else "")
        else:
            words.append(str(key))
    what, _, maybe = what.partition(". Maybe ")
    return Problem(str(path), None, None, ", ".join(words), what, maybe)
