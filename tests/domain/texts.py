"""A written week that uses every word there is, and ways to spoil it."""

from __future__ import annotations

from pathlib import Path

from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.reading import read_scenario

EVERYTHING = Path(__file__).parent / "version-1"
"""Also the golden files of version 1 of the format: they are read for good, never edited."""

FILES = {p.name: p.read_text(encoding="utf-8") for p in sorted(EVERYTHING.glob("*.yaml"))}


def spoilt(folder: Path, old: str, new: str) -> Path:
    """The week with one text replaced by another, in the file where it stands (once)."""
    homes = [n for n, text in FILES.items() if old in text]
    assert len(homes) == 1, f"{old!r} stands in {homes}"
    assert FILES[homes[0]].count(old) == 1, f"{old!r} stands there several times"
    for name, text in FILES.items():
        (folder / name).write_text(text.replace(old, new) if name == homes[0] else text, "utf-8")
    return folder / homes[0]


def problems(folder: Path) -> tuple[Problem, ...]:
    """What is wrong with a folder; nothing if it can be read."""
    try:
        read_scenario(folder)
    except BadInput as bad:
        return bad.problems
    return ()


def place(text: str, marker: str) -> tuple[int, int]:
    """Line and column of a text's first occurrence, from 1."""
    before = text[: text.index(marker)]
    return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
