"""A kitchen's own limits of food: in range, at peace with each other and with its profile's."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.limits import FoodLimits
from scheduler.domain.odds import at_odds, implausible
from scheduler.domain.problems import Problem, nearest
from scheduler.domain.profiles import NAMES, food_limits, profile_of


def limits(draft: Draft) -> list[Problem]:
    """What the kitchen says itself of food can be meant, and has a profile to stand in."""
    kitchen = draft.kitchen
    if "kitchen" not in draft.whole or kitchen.rule_profile not in (None, *NAMES):
        return []
    found = _named(draft)
    wrong = []
    for name, said in implausible(kitchen.own_limits):
        what, _, maybe = said.partition(" Maybe ")
        wrong.append(draft.problem(kitchen.own_limits, name, what=what, maybe=maybe))
    return found + (wrong or _at_odds(draft))


def _at_odds(draft: Draft) -> list[Problem]:
    """Limits that cannot both hold, of the kitchen's own and of those of its profile."""
    kitchen, found = draft.kitchen, []
    own = dict(kitchen.own_limits.named())
    joined = food_limits(kitchen) if kitchen.rule_profile else kitchen.own_limits
    for names, said in at_odds(joined):
        mine = [name for name in names if name in own]
        published = dict(joined.named())
        for name in names:
            if name not in own:
                said += f"; `{name}` is that of the rule profile ({published[name].source})"
        if mine:
            found.append(draft.problem(kitchen.own_limits, mine[0], what=said))
    return found


def _named(draft: Draft) -> list[Problem]:
    """What the kitchen says itself of food limits has a profile to stand in, and names limits."""
    kitchen = draft.kitchen
    if kitchen.rule_profile is None:
        return [
            draft.problem(
                kitchen, field, what="of which rule profile?", maybe="rule_profile: house"
            )
            for field, said in (
                ("own_limits", any(kitchen.own_limits.named())),
                ("confirmed", bool(kitchen.confirmed)),
            )
            if said
        ]
    profile = profile_of(kitchen)
    there = [name for name, _ in profile.food.named()] if profile else []
    found = []
    for name in kitchen.confirmed:
        if name in there:
            continue
        if profile is not None and name in profile.absent:
            what = f"{profile.name} has no such limit: {profile.absent[name]}"
            found.append(draft.key_problem(kitchen, "confirmed", name, what, "own_limits"))
        else:
            near = nearest(name, FoodLimits.model_fields) or ""
            what = f"'{name}' is no limit of food safety"
            found.append(draft.key_problem(kitchen, "confirmed", name, what, near))
    return found
