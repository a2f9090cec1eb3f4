"""The command `check`: rules of food, on a written week and on a plan of it."""

from __future__ import annotations

import textwrap
from pathlib import Path

from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say_all


def check(scenario: str, plan: Path | None, rules: str | None) -> Exit:
    """What is fine, near a limit or broken, each with figure, limit and source."""
    from scheduler.commands.scenario import read_week
    from scheduler.domain.problems import BadInput, Problem, nearest
    from scheduler.domain.profiles import NAMES
    from scheduler.plan.file import read_plan
    from scheduler.plan.plates import on_plates
    from scheduler.safety.check import check as look
    from scheduler.safety.check import headline
    from scheduler.safety.finding import Standing, lines

    week = read_week(scenario)
    planned = None
    if plan is not None:
        file = read_plan(plan)
        if file.scenario.sha256() != week.sha256():
            what = f"it was made from another state of the week than {scenario} is in now"
            raise BadInput([Problem(str(plan), None, None, "", what, "plan it again")])
        planned = file.plan
    if rules is not None:
        if rules not in NAMES:
            near = nearest(rules, NAMES)
            what = f"unknown rule profile '{rules}'; there are: {', '.join(NAMES)}"
            raise BadInput([Problem("--rules", None, None, "", what, near)])
        week = week.under(rules)
    found = look(week, planned)
    head = textwrap.wrap(headline(week), 100)
    told = lines(found) if found or week.kitchen.rule_profile else ()
    say_all([*head, *told, *on_plates(week)])
    return Exit.BROKEN if any(f.standing is Standing.BROKEN for f in found) else Exit.FINE
