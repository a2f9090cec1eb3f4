"""Mistakes that only show when the work is worked out, collected and said at once."""

from __future__ import annotations

from dataclasses import dataclass, field

from scheduler.domain.problems import BadInput, Problem


@dataclass
class Complaints:
    """What is wrong, in the order in which it was found."""

    name: str = "scenario"
    found: list[Problem] = field(default_factory=list)

    def add(self, where: str, what: str, maybe: str = "") -> None:
        """Note one mistake; said once however often it is found."""
        problem = Problem(self.name, None, None, where, what, maybe)
        if problem not in self.found:
            self.found.append(problem)

    def settle(self) -> None:
        """Raise everything that was found.

        Raises
        ------
        BadInput
            With every mistake.
        """
        if self.found:
            raise BadInput(self.found)
