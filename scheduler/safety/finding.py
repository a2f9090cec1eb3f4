"""What a check says: about what, how it stands, by how much, and by whose limit."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from scheduler.domain.choices import near_limit
from scheduler.plan.words import clean

_COLUMNS = 100


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

    @property
    def sentence(self) -> str:
        """What is said, with the source behind it."""
        return f"{self.said} ({self.source})" if self.source else self.said

    def __str__(self) -> str:
        return f"{self.standing.shape} {self.where}: {self.sentence}"


def against(figure: int, most: int) -> Standing:
    """How a figure stands that must not pass a limit."""
    if figure > most:
        return Standing.BROKEN
    return Standing.NEAR if near_limit(figure, most) else Standing.FINE


def lines(findings: Iterable[Finding]) -> Iterator[str]:
    """All of them by standing, worst first, with a line that counts them.

    What has the same to be said of it stands together; lines are wrapped.
    """
    found = list(findings)
    for standing in Standing:
        some = [f for f in found if f.standing is standing]
        if some:
            yield f"{standing.value} ({len(some)})"
        alike: dict[tuple[str, str], list[str]] = {}
        for f in some:
            where = alike.setdefault((f.rule, f.sentence), [])
            where += [] if f.where in where else [f.where]
        for (_, sentence), where in alike.items():
            text = f"{standing.shape} {'; '.join(where)}: {sentence}"
            yield from textwrap.wrap(
                clean(text), _COLUMNS, initial_indent="  ", subsequent_indent="    ",
                break_long_words=False, break_on_hyphens=False,
            )  # fmt: skip
    count = Counter(f.standing for f in found)
    counted = ", ".join(f"{count[s]} {s.value}" for s in Standing if count[s])
    yield f"In all: {counted}." if counted else "Nothing to check."
