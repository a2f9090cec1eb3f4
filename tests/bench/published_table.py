"""The table of published sets: what was solved and proved, how far off, how soon."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from tests.published.instances import Instance
from tests.published.verdict import Verdict

SOON = (1.0, 10.0)
"""Seconds: the share that is proved within each."""


@dataclass
class Tally:
    """What one way of solving made of one set.

    Attributes
    ----------
    count, solved, proved, equal : int
        Instances; with a solution, or proved to have none; with the last word
        said; as good as the best known.
    over : list of float
        Per cent over the best known, where there is a solution and a best known.
    soon : list of int
        Proved within each of `SOON`.
    better, wrong : list of str
    seconds : float
    """

    name: str
    count: int = 0
    solved: int = 0
    proved: int = 0
    equal: int = 0
    over: list[float] = field(default_factory=list)
    soon: list[int] = field(default_factory=lambda: [0] * len(SOON))
    better: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    seconds: float = 0.0

    @property
    def undecided(self) -> int:
        """Neither a solution nor the proof that there is none."""
        return self.count - self.solved

    def add(self, instance: Instance, verdict: Verdict, seconds: float) -> None:
        """Count one result."""
        self.count += 1
        self.solved += verdict.value is not None or verdict.proved
        self.proved += verdict.proved
        self.equal += verdict.equal
        self.seconds += seconds
        for n, limit in enumerate(SOON):
            self.soon[n] += verdict.proved and seconds <= limit
        if verdict.value is not None and instance.best:
            self.over.append(100 * (verdict.value / instance.best - 1))
        label = f"{self.name} {instance.name}"
        if verdict.better:
            self.better.append(f"{label}: {verdict.value}, published {instance.best}")
        if verdict.contradiction:
            self.wrong.append(f"{label}: {verdict.contradiction}")


@dataclass
class Row:
    """One set: ours, and plain CP-SAT beside it where it was asked."""

    name: str
    ours: Tally
    plain: Tally | None = None


def table(rows: Sequence[Row]) -> str:
    """A table in Markdown; plain CP-SAT in brackets.

    "over" is the end over the best known, mean and largest; shares are of all
    instances of the set that were run.
    """
    head = ["set", "instances", "solved", "proved", "equal", "over, mean", "over, largest"]
    head += ["undecided", *(f"proved in {limit:g} s" for limit in SOON), "mean s"]
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    for row in rows:
        ours = _figures(row.ours)
        if row.plain is not None:
            plain = _figures(row.plain)
            ours = [f"{a} ({b})" for a, b in zip(ours, plain, strict=True)]
        lines.append("| " + " | ".join([row.name, str(row.ours.count), *ours]) + " |")
    return "\n".join(lines)


def _figures(tally: Tally) -> list[str]:
    over, count = tally.over, max(tally.count, 1)
    return [
        str(tally.solved),
        str(tally.proved),
        str(tally.equal),
        f"{sum(over) / len(over):.2f} %" if over else "-",
        f"{max(over):.2f} %" if over else "-",
        str(tally.undecided),
        *(f"{100 * n / count:.0f} %" for n in tally.soon),
        f"{tally.seconds / count:.2f}",
    ]
