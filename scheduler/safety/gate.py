"""What no plan can mend is said at once, and nothing is searched."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from scheduler.domain.limits import DEFER
from scheduler.domain.problems import BadInput, Problem
from scheduler.safety.check import broken_for_good

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.safety.finding import Finding


class BrokenForGood(BadInput):
    """A week whose recipes break an enforced limit of food safety, whatever the times.

    Attributes
    ----------
    findings : tuple of Finding
    """

    def __init__(self, name: str, findings: Sequence[Finding]) -> None:
        self.name, self.findings = name, tuple(findings)
        super().__init__(
            [Problem(name, None, None, f.where, f.sentence, "") for f in self.findings]
        )

    def __str__(self) -> str:
        return (
            f"{super().__str__()}\nNothing is planned: no other time would mend that. "
            f"`backtime check {self.name}` lists everything. {DEFER}"
        )


def gate(scenario: Scenario, name: str = "") -> None:
    """Refuse a week that is broken for good.

    Parameters
    ----------
    name : str
        What the week is called by whoever asks; left out: its id.

    Raises
    ------
    BrokenForGood
        With every finding.
    """
    found = broken_for_good(scenario)
    if found:
        raise BrokenForGood(name or scenario.week.id, found)
