"""An older plan of a week, as something to start from."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from scheduler.domain.problems import BadInput, Problem
from scheduler.plan.file import plan_of

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

NAME = "the plan to start from"


def older_plan(text: str | None, scenario: Scenario) -> tuple[Plan | None, str | None]:
    """The plan in the text of a plan file, and its SHA-256; None where there is none.

    Raises
    ------
    BadInput
        If it is no plan, or one of another week or of other days.
    """
    if text is None:
        return None, None
    file = plan_of(text, NAME)
    theirs, ours = file.scenario.week, scenario.week
    what = ""
    if theirs.id != ours.id:
        what = f"is of the week '{theirs.id}', not of '{ours.id}'"
    elif file.scenario.clock.origin != scenario.clock.origin:
        what = f"is of a week that starts {theirs.starts}; '{ours.id}' starts {ours.starts} by now"
    elif file.scenario.kitchen.grid != scenario.kitchen.grid:
        old, new = file.scenario.kitchen.grid, scenario.kitchen.grid
        what = f"stands on a grid of {old} min; the kitchen's is {new} min by now"
    if what:
        raise BadInput([Problem(NAME, None, None, "", what, "planning from scratch")])
    return file.plan, hashlib.sha256(text.encode()).hexdigest()
