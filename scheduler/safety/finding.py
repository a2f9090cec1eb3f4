"""What a check says: about what, how it stands, by how much, and by whose limit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum


class Standing(StrEnum):
    """How something stands against a limit, worst first. Shapes beside words, never colours."""

    BROKEN = "broken"
    NEAR = "near"
    UNKNOWN = "not known"
    NOTE = "note"
    FINE = "fine"

    @property
    def shape(self) -> str:
        """A sign that prints anywhere and differs in form."""
        return _SHAPES[self]


_SHAPES = {
    Standing.BROKEN: "#",
    Standing.NEAR: "!",
    Standing.UNKNOWN: "?",
    Standing.NOTE: "*",
    Standing.FINE: "-",
}
NEAR_PERCENT = 90
"""From so much of a limit on it is near. Our own choice."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One line of a check.

    Attributes
    ----------
    rule : str
        Which rule: the name of a limit, or a word for what is looked at.
    where : str
        What it is about, by name.
    said : str
        A sentence with the figure and the limit.
    source : str
        Where the limit stands; empty where there is none.
    enforced : bool
        Does a plan that breaks it fail the audit?
    """

    standing: Standing
    rule: str
    where: str
    said: str
    source: str = ""
    enforced: bool = False

    def __str__(self) -> str:
        behind = f" ({self.source})" if self.source else ""
        return f"{self.standing.shape} {self.where}: {self.said}{behind}"


def against(figure: int, most: int) -> Standing:
    """How a figure stands that must not pass a limit."""
    if figure > most:
        return Standing.BROKEN
    return Standing.NEAR if figure * 100 > most * NEAR_PERCENT else Standing.FINE


def lines(findings: Iterable[Finding]) -> Iterator[str]:
    """All of them by standing, worst first, with a line that counts them."""
    found = list(findings)
    for standing in Standing:
        some = [f for f in found if f.standing is standing]
        if some:
            yield f"{standing.value} ({len(some)})"
            yield from (f"  {f}" for f in some)
    count = Counter(f.standing for f in found)
    counted = ", ".join(f"{count[s]} {s.value}" for s in Standing if count[s])
    yield f"In all: {counted}." if counted else "Nothing to check."
