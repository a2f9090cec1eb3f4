"""Work and rest: the rule profile is known, and what it asks for and is kept hard is there."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.problems import Problem
from scheduler.domain.profiles import NAMES, hours_of
from scheduler.domain.rest import shortfalls, under_age

_LOOSE = ("daily_rest", "weekly_rest", "breaks")
_MOST = 3
"""Days of one person and rule that are told; the others are alike."""


def rest(draft: Draft) -> list[Problem]:
    """The shifts obey the hours of the rule profile, as far as those are kept hard."""
    kitchen = draft.kitchen
    if "kitchen" not in draft.whole:
        return []
    found = []
    name = kitchen.rule_profile
    if name is not None and name not in NAMES:
        return [
            draft.unknown(
                kitchen, "rule_profile", kind="rule profile", word=name, known=NAMES
            )
        ]
    profile = hours_of(kitchen)
    if kitchen.rest is not None and profile is None:
        what = "how strictly hours are kept, but no rule profile that has any"
        found.append(draft.problem(kitchen, "rest", what=what, maybe="rule_profile: eu"))
    if profile is not None and kitchen.rest is not None:
        nights = [str(one.hours) for one in profile.young.nights]
        wanted = kitchen.rest.young_night
        if wanted is not None and str(wanted) not in nights:
            what = f"{wanted} is no night of the rule profile: {' or '.join(nights)}"
            found.append(draft.problem(kitchen.rest, "young_night", what=what))
    if draft.clock is None or profile is None:
        return found
    told: dict[tuple[str, str], int] = {}
    for short in shortfalls(kitchen, draft.clock):
        key = short.person.id, short.rule
        told[key] = told.get(key, 0) + 1
        if short.hard and not short.kept and told[key] <= _MOST:
            loose = short.rule in _LOOSE and not under_age(profile, short.person, short.day)
            maybe = f"'rest: {{{short.rule}: warned}}' to be warned only" if loose else ""
            found.append(draft.problem(short.person, "shifts", what=short.told, maybe=maybe))
    return found
