"""Paths into the plain data of a document: what stands there, and the same with one thing changed.

Nothing is changed in place. What a path does not lead to stays as it is.
"""

from __future__ import annotations

from typing import Any, Final

Path = tuple[str | int, ...]


class _Absent:
    def __repr__(self) -> str:
        return "ABSENT"


ABSENT: Final = _Absent()
"""Stands for what is not written."""
_SHORT = {"time": "at_least", "clean_down": "time"}
"""Fields for which one word may stand, and what that word then is."""


def at(data: Any, path: Path) -> Any:
    """What stands at the end of a path; ABSENT where nothing does."""
    for i, step in enumerate(path):
        data = _opened(data, path[i - 1] if i else "")
        there = isinstance(step, int) and isinstance(data, list) and 0 <= step < len(data)
        if not there and not (isinstance(data, dict) and step in data):
            return ABSENT
        data = data[step]
    return data


def put(data: Any, path: Path, value: Any, name: str | int = "") -> Any:
    """The data with one thing changed.

    Parameters
    ----------
    value : plain data or ABSENT
        ABSENT takes it out: a word with its key, and mappings that are empty then; an entry of a
        list with its place.

    Raises
    ------
    IndexError
        The path leads through an entry of a list that is not there.
    """
    if not path:
        return value
    step, *rest = path
    if isinstance(step, int):
        entries = list(data) if isinstance(data, list) else []
        if not 0 <= step < len(entries):
            raise IndexError(f"no entry {step} among {len(entries)}")
        new = put(entries[step], tuple(rest), value, step)
        entries[step : step + 1] = [] if new is ABSENT and not rest else [_or_empty(new)]
        return entries
    made = dict(_opened(data, name)) if isinstance(_opened(data, name), dict) else {}
    new = put(made.get(step, ABSENT), tuple(rest), value, step)
    if new is ABSENT:
        made.pop(step, None)
        return made or ABSENT
    made[step] = new
    return made


def _opened(data: Any, name: str | int) -> Any:
    """A short form written out, so that there is something to look into."""
    key = _SHORT.get(str(name))
    return {key: data} if key and isinstance(data, (str, int)) else data


def _or_empty(value: Any) -> Any:
    return {} if value is ABSENT else value
