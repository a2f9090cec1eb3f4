"""A kitchen's own limits of food are at peace with each other and with those of its profile."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.odds import at_odds
from scheduler.domain.plausible import doubted
from scheduler.domain.problems import Problem
from scheduler.domain.profiles import NAMES, food_limits


def limits(draft: Draft) -> list[Problem]:
    """Limits that cannot both hold, of the kitchen's own and of those of its profile."""
    kitchen, found = draft.kitchen, []
    if "kitchen" not in draft.whole or kitchen.rule_profile not in (None, *NAMES):
        return []
    if any(doubted(kitchen.own_limits)):
        return []  # that has its own line
    own = dict(kitchen.own_limits.named())
    joined = food_limits(kitchen) if kitchen.rule_profile else kitchen.own_limits
    published = dict(joined.named())
    for names, said in at_odds(joined):
        mine = [name for name in names if name in own]
        for name in names:
            if name not in own:
                said += f"; `{name}` is that of the rule profile ({published[name].source})"
        if mine:
            found.append(draft.problem(kitchen.own_limits, mine[0], what=said))
    return found
