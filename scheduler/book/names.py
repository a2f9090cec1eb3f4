"""Names of files that every system can write, and that no two systems tell apart otherwise."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence

END = ".yaml"
MOST_LETTERS = 100
_FINE = re.compile(r"[^\W_][\w .,+&()'-]*")
_RESERVED = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$"]
    + [f"{port}{n}" for port in ("com", "lpt") for n in "0123456789¹²³"]
)
"""Of Windows, with or without an ending: learn.microsoft.com, "Naming Files, Paths, and
Namespaces" (from memory); 0 is not on that list and left out for good measure."""


def portable(names: Sequence[str]) -> list[str]:
    """The same names where every system can write them, otherwise others, in the same order.

    Sorted, they stand in the order in which they are given, as a folder is read sorted by name.
    """
    taken: set[str] = set()
    found = [free(name if is_portable(name) else _made(name), taken) for name in names]
    if found != sorted(found):
        wide = len(str(len(found)))
        found = [f"{i:0{wide}}-{name}" for i, name in enumerate(found, 1)]
    return found


def is_portable(name: str) -> bool:
    """Can it be written under this name everywhere?"""
    stem = name.removesuffix(END)
    return (
        name.endswith(END)
        and len(name) <= MOST_LETTERS
        and len(name.encode("utf-8", "surrogatepass")) <= 2 * MOST_LETTERS
        and unicodedata.normalize("NFC", name) == name
        and _FINE.fullmatch(stem) is not None
        and stem[-1] not in " ."
        and not _reserved(stem)
    )


def free(name: str, taken: set[str]) -> str:
    """The name, or one with a number where it is taken; it is taken then.

    Parameters
    ----------
    taken : set of str
        Names without their case.
    """
    stem, number, found = name.removesuffix(END), 1, name
    while found.casefold() in taken:
        number += 1
        found = f"{stem}-{number}{END}"
    taken.add(found.casefold())
    return found


def folded(names: Iterable[str]) -> set[str]:
    """Names without their case."""
    return {name.casefold() for name in names}


def _made(name: str) -> str:
    letters = unicodedata.normalize("NFKD", name.removesuffix(END)).encode("ascii", "ignore")
    stem = re.sub(r"[^a-z0-9]+", "-", letters.decode().lower()).strip("-")[:60].strip("-")
    if not stem or _reserved(stem):
        stem = f"file-{stem}".rstrip("-")
    return stem + END


def _reserved(stem: str) -> bool:
    return stem.partition(".")[0].rstrip().casefold() in _RESERVED
