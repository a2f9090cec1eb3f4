"""Work and rest: the rule profile is known, and what it asks for and is kept hard is there."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.kitchen import Person
from scheduler.domain.limits import FoodLimits
from scheduler.domain.problems import Problem, nearest
from scheduler.domain.profiles import NAMES, hours_of, profile_of
from scheduler.domain.profiles import profile as published
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
    if name is None:
        return _of_none(draft)
    found += _own(draft)
    profile = hours_of(kitchen)
    if kitchen.rest is not None and profile is None:
        what = f"how strictly hours are kept, and rule profile {name} has none"
        fitting = _fitting(draft)
        maybe = f"'rule_profile: {fitting}', or no `rest`" if fitting else "no `rest`"
        found.append(draft.problem(kitchen, "rest", what=what, maybe=maybe))
    if profile is not None and kitchen.rest is not None:
        nights = [str(one.hours) for one in profile.young.nights]
        wanted = kitchen.rest.young_night
        if wanted is not None and str(wanted) not in nights:
            what = f"{wanted} is no night of the rule profile: {' or '.join(nights)}"
            found.append(draft.problem(kitchen.rest, "young_night", what=what))
    if draft.clock is None or profile is None:
        return found
    told: dict[tuple[str, str], int] = {}
    short_of = shortfalls(kitchen, draft.clock)
    too_young = {one.person.id for one in short_of if one.rule == "age"}
    for short in short_of:
        if short.person.id in too_young and short.rule != "age":
            continue  # nobody minds the hours of somebody who does not work at all
        key = short.person.id, short.rule
        told[key] = told.get(key, 0) + 1
        if short.rule == "age":
            if told[key] == 1 and not unborn(draft, short.person):
                found.append(draft.problem(short.person, "born", what=short.told))
            continue
        if short.hard and not short.kept and told[key] <= _MOST:
            loose = short.rule in _LOOSE and not under_age(profile, short.person, short.day)
            maybe = f"'rest: {{{short.rule}: warned}}' to be warned only" if loose else ""
            found.append(draft.problem(short.person, "shifts", what=short.told, maybe=maybe))
    return found


def unborn(draft: Draft, person: Person) -> bool:
    """Is somebody's birth date later than the week begins?"""
    return person.born is not None and draft.clock is not None and (
        person.born > draft.clock.first_day
    )


def born(draft: Draft) -> list[Problem]:
    """Nobody at work is born after the week begins."""
    return [
        draft.problem(
            person, "born", what=f"{person.born} lies after the week begins; a birth date is due"
        )
        for person in draft.kitchen.people
        if unborn(draft, person)
    ]


def _fitting(draft: Draft) -> str:
    """The rule profile that has all that the kitchen speaks of and adds least to it.

    So that whoever follows the advice is not refused for it: where working hours are spoken of,
    the profile has some and the shifts obey them, and what is confirmed is there.
    """
    kitchen = draft.kitchen
    own = {name for name, _ in kitchen.own_limits.named()}
    asked = set(kitchen.confirmed) & set(FoodLimits.model_fields)
    found: list[tuple[bool, int, int, str]] = []
    for n, name in enumerate(NAMES):
        limits = {limit for limit, _ in published(name).food.named()}
        under = kitchen.model_copy(update={"rule_profile": name})
        if asked <= own | limits and (kitchen.rest is None or hours_of(under) is not None):
            short = shortfalls(under, draft.clock) if draft.clock is not None else []
            refused = any(one.hard and not one.kept for one in short)
            found.append((refused, len(limits - own), n, name))
    return min(found)[-1] if found else ""


def _of_none(draft: Draft) -> list[Problem]:
    """Words that only have a meaning under a rule profile: one sentence for all of them."""
    kitchen = draft.kitchen
    said = {
        "own_limits": any(kitchen.own_limits.named()),
        "confirmed": bool(kitchen.confirmed),
        "rest": kitchen.rest is not None,
    }
    words = [word for word, there in said.items() if there]
    if not words:
        return []
    fitting = _fitting(draft)
    named = " and ".join(f"`{word}`" for word in words)
    what = f"{named}, and no `rule_profile` says whose rules they are about"
    return [
        draft.problem(kitchen, words[0], what=what, maybe=fitting and f"'rule_profile: {fitting}'")
    ]


def _own(draft: Draft) -> list[Problem]:
    """What somebody has confirmed are limits, and the profile has them."""
    kitchen = draft.kitchen
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
