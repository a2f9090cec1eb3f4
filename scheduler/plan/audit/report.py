"""What the second reader says of a plan."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from scheduler.plan.model import Terms


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong.

    Attributes
    ----------
    rule : str
        A name out of `RULES`.
    where : str
        Task, batch, unit, store, person or event it is about.
    what : str
        What is wrong, when by the kitchen's clock, and by how much.
    minutes : int or None
        By how many minutes the rule is broken, where minutes are what it is about.
    """

    rule: str
    where: str
    what: str
    minutes: int | None = field(default=None, kw_only=True)

    def __str__(self) -> str:
        return f"{self.rule}  {self.where}: {self.what}"


@dataclass(frozen=True, slots=True)
class LetGo(Finding):
    """A house rule that is broken, and somebody has accepted it: who and why."""

    by: str
    reason: str

    def __str__(self) -> str:
        return f"{self.rule}  {self.where}: {self.what}; accepted by {self.by}: {self.reason}"


@dataclass(frozen=True, slots=True)
class Cost:
    """Something quality pays for.

    Attributes
    ----------
    part : str
        freshness, in_hand, calm or wishes.
    price : int
        Weighted minutes.
    where : str
        Batch, task, person or unit it is about.
    what : str
        What it is, as the end of a sentence about `where`.
    """

    part: str
    price: int
    where: str
    what: str


@dataclass(frozen=True, slots=True)
class Report:
    """Two verdicts and what they rest on.

    Attributes
    ----------
    findings : tuple of Finding
        Everything that is wrong, all at once; none if the plan is valid.
    served : bool
        No portion of any dish lacks anything.
    terms : Terms
        The objective, recomputed from the plan and the written week alone.
    let_go : tuple of LetGo
        House rules that are broken where somebody has accepted it. Not fine, but valid.
    """

    findings: tuple[Finding, ...]
    served: bool
    terms: Terms
    let_go: tuple[LetGo, ...] = ()

    @property
    def valid(self) -> bool:
        """What is there breaks nothing."""
        return not self.findings

    def rules(self) -> frozenset[str]:
        """Names of the rules that are broken."""
        return frozenset(f.rule for f in self.findings)
