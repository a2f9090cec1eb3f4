"""What the audit says of a change by hand: only what is new, in a chef's sentences."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from scheduler.domain.scenario import Scenario
from scheduler.domain.wishes import HOUSE
from scheduler.plan.audit import Finding, Report, audit
from scheduler.plan.model import Plan, Terms
from scheduler.plan.words import Names, several

CALLED = {
    "ready": "Not ready",
    "at-once": "Does not follow at once",
    "not-before": "Has not waited long enough",
    "wait-limit": "Waits too long",
    "hold-limit": "Breaks the hold",
    "within": "No longer fresh enough",
    "date-mark": "Past its date",
    "plated-hold": "Waits too long on the plate",
    "first-plate": "Misses the first plate",
    "diets-first": "Diets do not go first",
    "store-full": "No room in the store",
    "store-zone": "Stands in the wrong place",
    "equipment": "On the wrong machine",
    "equipment-full": "No room on the machine",
    "container": "Containers are not kept",
    "in-machine": "The machine is still taken",
    "fill": "Does not fit",
    "oven-setting": "Wrong setting",
    "oven-shared": "Two settings in one oven",
    "oven-heat-up": "The oven is not there yet",
    "door-shut": "The door must stay shut",
    "trays": "Trays do not go together",
    "beside": "Must not stand together",
    "clean-down": "The machine is not clean",
    "hands": "Wrong number of hands",
    "named": "Not by whom the recipe names",
    "not-alone": "A trainee alone",
    "section-level": "Not of the section, or not of the level",
    "may-use": "May not use it",
    "shift": "Not at work",
    "rest": "Too little rest",
    "young": "Under age",
    "barred": "Barred by age",
    "stepping-away": "Left too often or too long",
    "open-hours": "The kitchen is shut",
    "one-place": "In two places at once",
    "alone": "Runs alone",
    "delivery": "Not delivered yet",
    "use-by": "Past its limit",
    "exposure": "Too long out of temperature control",
    "wish": "Against a must",
    "law": "Wrong length",
    "visit-length": "Wrong length",
    "tending": "Tended at the wrong time",
    "day-parts": "Tended in the wrong part of the day",
    "load-order": "Loads out of order",
    "washed": "Washed at the wrong time",
    "break": "A break finds no place",
    "reserved": "Reserved for something else",
    "cooling": "Does not cool in time",
    "reheat": "Not hot in time",
}
"""Rule: how a breach of it is called across a kitchen."""

_IDS = re.compile(r"[a-z0-9][a-z0-9.\-]*(?:/[a-z0-9.\-]+)*")
_ENGLISH = frozenset({"may", "will", "mark", "day", "load", "use", "rest", "hands", "limit"})
"""Words of the audit's sentences that are nobody's id, even where somebody is called so."""


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that a change breaks.

    Attributes
    ----------
    rule, where : str
        As the audit has them.
    said : str
        A sentence: what is broken, by how much, and where.
    house : bool
        A house rule: a named person may accept it, with a reason.
    minutes : int or None
        By how many minutes, where minutes are what it is about.
    """

    rule: str
    where: str
    said: str
    house: bool
    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """What the audit says of a plan that was changed by hand.

    Attributes
    ----------
    verdict : str
        fine; house (breaks house rules, which may be accepted); broken.
    headline : str
        One sentence.
    breaks : tuple of Said
        Only what was not broken before, the gravest first.
    mended : int
        What was broken before and is not now.
    costs : tuple of str
        How the figures change: "30 weighted minutes fresher".
    terms : (Terms, Terms)
        Before and after.
    report : Report
        The audit of the changed plan.
    """

    verdict: Literal["fine", "house", "broken"]
    headline: str
    breaks: tuple[Said, ...]
    mended: int
    costs: tuple[str, ...]
    terms: tuple[Terms, Terms]
    report: Report


def answer(scenario: Scenario, before: Report, after: Plan) -> Answer:
    """Audit a plan changed by hand and say what is new.

    Parameters
    ----------
    before : Report
        The audit of the plan as it was.
    after : Plan
        As it is now.
    """
    report = audit(scenario, after)
    fresh, mended = news(before, report)
    names = Names(scenario, after)
    breaks = tuple(sorted((_said(names, f) for f in fresh), key=lambda s: s.house))
    verdict: Literal["fine", "house", "broken"] = "fine"
    if breaks:
        verdict = "house" if all(b.house for b in breaks) else "broken"
    costs = changes(before.terms, report.terms)
    return Answer(
        verdict, _headline(verdict, breaks, costs), breaks, mended, costs,
        (before.terms, report.terms), report,
    )  # fmt: skip


def news(before: Report, after: Report) -> tuple[list[Finding], int]:
    """What the later report finds and the earlier did not, and how much it no longer finds.

    What is broken in the same place by no more minutes than before is not new. The plan's own
    figures are not looked at: they follow from the rest.
    """
    was = Counter(f for f in before.findings if f.rule != "terms")
    fresh = []
    for finding in (f for f in after.findings if f.rule != "terms"):
        if was[finding]:
            was[finding] -= 1
        else:
            fresh.append(finding)
    found = []
    for finding in fresh:
        as_bad = next((old for old in was if was[old] and _no_worse(finding, old)), None)
        if as_bad is None:
            found.append(finding)
        else:
            was[as_bad] -= 1
    return found, was.total()


def _no_worse(new: Finding, old: Finding) -> bool:
    """Is it the same breach, by no more minutes?"""
    same = (new.rule, new.where) == (old.rule, old.where)
    return same and new.minutes is not None and new.minutes <= (old.minutes or 0)


def _said(names: Names, finding: Finding) -> Said:
    rule = finding.rule
    called = CALLED.get(rule, rule.replace("-", " ").capitalize())
    by = f" by {names.length(finding.minutes)}" if finding.minutes else ""
    where, what = worded(names, finding.where), worded(names, finding.what)
    # "…: plating" and "plating starts at …" name it twice, as do "…: fill, fill Fri 14:00".
    first = what.partition(" ")[0]
    what = what.removeprefix(f"{first} ") if where.endswith(f": {first}") else what
    where = re.sub(r": (.+), \1 ", r": \1 ", where)
    said = f"{called}{by}: {where} {what}."
    return Said(rule, finding.where, said, rule in HOUSE, finding.minutes)


def worded(names: Names, text: str) -> str:
    """What the audit says, with names instead of ids."""
    scenario = names.scenario
    duties = {duty.id: duty.duty for duty in names.plan.duties}

    def name(found: re.Match[str]) -> str:
        word = found.group()
        bare = word.rstrip(".")
        tail = word[len(bare) :]
        if bare in names.tasks:
            task = names.tasks[bare]
            load = f" {task.load}" if task.loads > 1 else ""
            return f"{names.batch(task.batch)}: {names.step(task.batch, task.step)}{load}{tail}"
        batch, _, step = bare.partition("/")
        if batch in names.batches:
            return names.batch(batch) + (f": {names.step(batch, step)}" if step else "") + tail
        if bare in duties:
            return names.duty(duties[bare]) + tail
        if bare in _ENGLISH:
            return word
        if bare in scenario.person:
            return names.person(bare) + tail
        if bare in scenario.unit:
            return names.unit(bare) + tail
        if bare in scenario.store:
            return names.store(bare) + tail
        return word

    return _IDS.sub(name, text)


def _headline(verdict: str, breaks: tuple[Said, ...], costs: tuple[str, ...]) -> str:
    if not breaks:
        return f"Fine: {', '.join(costs) or 'nothing else changes'}."
    more = f" And {several(len(breaks) - 1, 'thing')} more." if len(breaks) > 1 else ""
    house = " A named person may accept it, with the reason." if verdict == "house" else ""
    return f"{breaks[0].said}{more}{house}"


def changes(before: Terms, after: Terms) -> tuple[str, ...]:
    """How the figures change, what matters most first; nothing where they stay."""
    return tuple(_changes(before, after))


def _changes(before: Terms, after: Terms) -> Iterable[str]:
    short = sum(after.served) - sum(before.served)
    if short:
        yield f"{several(abs(short), 'portion')} {'more short' if short > 0 else 'fewer short'}"
    money = after.money - before.money
    if money:
        yield f"{'dearer' if money > 0 else 'cheaper'} by {several(abs(money), 'step')}"
    words = {
        "freshness": ("staler", "fresher"),
        "in_hand": ("less in hand", "more in hand"),
        "calm": ("less calm", "calmer"),
        "wishes": ("against wishes", "nearer to wishes"),
    }
    for part, (worse, better) in words.items():
        by = getattr(after, part) - getattr(before, part)
        if by:
            yield f"{worse if by > 0 else better} by {several(abs(by), 'weighted minute')}"
