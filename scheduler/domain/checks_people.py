"""People: who may do the work, shifts that overlap, breaks outside them, duties too large."""

from __future__ import annotations

import itertools

from scheduler.domain.base import Level, Word
from scheduler.domain.draft import Draft
from scheduler.domain.kitchen import Equipment, Person, Shift
from scheduler.domain.problems import Problem
from scheduler.domain.recipes import ANYONE, Hands, Need
from scheduler.domain.times import write_duration
from scheduler.domain.walks import crews

_MOST_AT_ONCE = 200


def people(draft: Draft) -> list[Problem]:
    """Every crew can be made up from the brigade, and every shift can be worked."""
    return [*_crews(draft), *_duties(draft), *_shifts(draft)]


def eligible(
    draft: Draft,
    section: str,
    level: Level,
    may_use: frozenset[str],
    only: tuple[str, ...] = (),
    recipe: str = "",
) -> frozenset[str]:
    """People of a section, of at least a level, who may use everything they have to.

    For section `anyone` the highest level that somebody has anywhere counts;
    `only` leaves those who are named. At a recipe also those for whom somebody
    lets section and level go.
    """
    let_in = {
        x.person
        for x in draft.week.accepted
        if x.rule == "section-level" and x.component == recipe
    }
    found = set()
    for person in draft.kitchen.people:
        at = level_of(person, section)
        able = person.id in let_in or (at is not None and at.rank >= level.rank)
        if able and may_use <= set(person.may_use):
            found.add(person.id)
    return frozenset(found & set(only) if only else found)


def level_of(person: Person, section: str) -> Level | None:
    """What somebody is in a section; for `anyone` the most they are anywhere."""
    levels = [at for where, at in person.sections.items() if section in (ANYONE, where)]
    return max(levels, key=lambda level: level.rank, default=None)


def _must_use(draft: Draft, needs: tuple[Need, ...]) -> frozenset[str]:
    words = set()
    for need in needs:
        for kind, _ in draft.units_of(need.equipment or ""):
            if kind.may_use is not None:
                words.add(kind.may_use)
    return frozenset(words)


def _known_section(draft: Draft, section: str) -> bool:
    return section == ANYONE or section in draft.written("kitchen", "sections")


def _asked(section: str, level: Level, may_use: frozenset[str]) -> str:
    of = "anywhere" if section == ANYONE else f"in section {section}"
    trained = f" who may use {', '.join(sorted(may_use))}" if may_use else ""
    return f"of at least level {level.value} {of}{trained}"


def _crews(draft: Draft) -> list[Problem]:
    known = draft.written("kitchen", "sections")
    unsure = any(s not in known for p in draft.kitchen.people for s in p.sections)
    if unsure or "kitchen" not in draft.whole:
        return []
    found = []
    letting = {x.component for x in draft.week.accepted if x.rule == "section-level"}
    may: dict[tuple[str, Level, frozenset[str], tuple[str, ...], str], frozenset[str]] = {}
    for crew in crews(draft):
        touched = _must_use(draft, crew.needs)
        places: list[frozenset[str]] = []
        alright = True
        for line in crew.lines:
            section = line.section or crew.section
            if not _known_section(draft, section):
                alright = False
                continue
            recipe = crew.recipe if crew.recipe in letting else ""  # all others ask alike
            asked = (section, line.level, touched | set(line.may_use), line.only, recipe)
            who = may[asked] = may.get(asked) or eligible(draft, *asked)
            places += [who] * line.people
            if not known_people(draft, line.only):
                alright = False
            elif len(who) < line.people:
                alright = False
                found.append(_short(draft, (line, crew.holder), line, section, touched, who))
        if alright and (missing := _unmatched(places)):
            what = f"{len(places)} people at once, and {missing} too few in the brigade may do it"
            found.append(draft.problem(crew.holder, what=what))
    return found


def _why_not(person: Person, section: str, level: Level, may_use: frozenset[str]) -> str:
    """Why somebody may not do it; empty where they may."""
    at = level_of(person, section)
    if at is None:
        return f"{person.id} is not in section {section}"
    if at.rank < level.rank:
        where = "" if section == ANYONE else f" in section {section}"
        return f"{person.id} is a {at.value}{where}, the level asked for is {level.value}"
    lacking = sorted(may_use - set(person.may_use))
    return f"{person.id} may not use {', '.join(lacking)}" if lacking else ""


def known_people(draft: Draft, names: tuple[str, ...]) -> bool:
    """Whether everybody named is in the brigade (who is not is named elsewhere)."""
    return set(names) <= {person.id for person in draft.kitchen.people}


def _short(
    draft: Draft,
    owner: tuple[Word, ...],
    line: Hands,
    section: str,
    touched: frozenset[str],
    who: frozenset[str],
) -> Problem:
    asked = _asked(section, line.level, touched | set(line.may_use))
    if line.only and len(who) < line.people:
        named = "; ".join(
            why
            for person in draft.kitchen.people
            if person.id in line.only
            and (why := _why_not(person, section, line.level, touched | set(line.may_use)))
        )
        few = f"{line.people} people, and {len(who)} of those named may do it"
        what = (few if who else "nobody of those named may do it") + (named and f": {named}")
        return draft.problem(owner, "only", what=what)
    if who:
        what = f"{line.people} people {asked}; there are {len(who)}: {', '.join(sorted(who))}"
        return draft.problem(owner, "people", what=what)
    maybe = ""
    untrained = eligible(draft, section, line.level, frozenset())
    lower = eligible(draft, section, Level.TRAINEE, touched | set(line.may_use))
    if untrained:
        maybe = f"may_use for {', '.join(sorted(untrained)[:3])}"
    elif lower and line.level is not Level.TRAINEE:
        best = max(
            (p.sections[s] for p in draft.kitchen.people if p.id in lower for s in p.sections
             if section in (ANYONE, s)),
            key=lambda level: level.rank,
        )
        maybe = f"'level: {best.value}'"
    return draft.problem(owner, what=f"nobody {asked}", maybe=maybe)


def _unmatched(places: list[frozenset[str]]) -> int:
    """How many places stay empty when each takes a different person (augmenting paths)."""
    everybody = frozenset().union(*places)
    if len(places) > min(len(everybody), _MOST_AT_ONCE):
        return max(0, len(places) - len(everybody))
    taken: dict[str, int] = {}

    def seat(place: int, tried: set[str]) -> bool:
        for who in sorted(places[place] - tried):
            tried.add(who)
            if who not in taken or seat(taken[who], tried):
                taken[who] = place
                return True
        return False

    return sum(not seat(i, set()) for i in range(len(places)))


def _duties(draft: Draft) -> list[Problem]:
    found = []
    for duty in draft.kitchen.duties:
        if duty.people and duty.section is not None and _known_section(draft, duty.section):
            kinds = [
                kind for taken in duty.equipment for kind, _ in draft.units_of(taken.equipment)
            ]
            who = eligible(draft, duty.section, duty.level, _words(kinds))
            if len(who) < duty.people and "kitchen" in draft.whole:
                asked = _asked(duty.section, duty.level, _words(kinds))
                what = f"{duty.people} people {asked}; the brigade has {len(who)}"
                found.append(draft.problem(duty, "people", what=what))
        for taken in duty.equipment:
            units = draft.units_of(taken.equipment)
            most = sum(unit.holds.get(taken.tray or "", unit.capacity or 1) for _, unit in units)
            if units and taken.amount > most:
                what = f"{taken.amount} places of {taken.equipment}, which has {most}"
                found.append(draft.problem(taken, "amount", what=what))
        for shelf in duty.stores:
            store = next((s for s in draft.kitchen.stores if s.id == shelf.store), None)
            if store is not None and shelf.shelves > store.shelves:
                what = f"{shelf.shelves} shelves of {store.id}, which has {store.shelves}"
                found.append(draft.problem(shelf, "shelves", what=what))
    return found


def _words(kinds: list[Equipment]) -> frozenset[str]:
    return frozenset(k.may_use for k in kinds if k.may_use is not None)


def _shifts(draft: Draft) -> list[Problem]:
    found = []
    for person in draft.kitchen.people:
        for shift in person.shifts:
            for i, rest in enumerate(shift.breaks):
                if not shift.hours.holds(rest):
                    what = f"the break {rest} lies outside the shift {shift.hours}"
                    found.append(draft.problem(shift, "breaks", i, what=what))
        found += _overlaps(draft, person)
    return found


def _overlaps(draft: Draft, person: Person) -> list[Problem]:
    if draft.clock is None:
        return []
    spans: list[tuple[int, int, Shift, str]] = []
    for day in draft.clock.days():
        if day in person.off:
            continue
        for shift in person.shifts:
            if any(day in days for days in shift.days):
                start, end = draft.clock.span(day, shift.hours)
                spans.append((start, end, shift, f"{day} {shift.hours}"))
    spans.sort(key=lambda s: s[:2])
    found: dict[int, Problem] = {}
    for (_, end, first, told), (start, _, second, also) in itertools.pairwise(spans):
        if start < end and id(second) not in found and id(first) not in found:
            length = write_duration(end - start)
            what = f"two shifts of {person.id} overlap by {length}: {told} and {also}"
            found[id(second)] = draft.problem(second, "hours", what=what)
    return list(found.values())
