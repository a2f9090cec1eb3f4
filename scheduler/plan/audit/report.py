"""What the second reader says of a plan."""

from __future__ import annotations

from dataclasses import dataclass
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
    """

    rule: str
    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.rule}  {self.where}: {self.what}"


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
    """

    findings: tuple[Finding, ...]
    served: bool
    terms: Terms

    @property
    def valid(self) -> bool:
        """What is there breaks nothing."""
        return not self.findings

    def rules(self) -> frozenset[str]:
        """Names of the rules that are broken."""
        return frozenset(f.rule for f in self.findings)
