"""Wishes and acceptances: they name what there is, can be kept, and let nobody young go short."""

from __future__ import annotations

from datetime import date

from scheduler.domain.checks_people import eligible
from scheduler.domain.choices import choices
from scheduler.domain.draft import Draft
from scheduler.domain.methods import variants
from scheduler.domain.problems import Problem, one_of
from scheduler.domain.recipes import Component
from scheduler.domain.walks import Crew, crews, needs, visits
from scheduler.domain.wishes import Acceptance, Wish


def wishes(draft: Draft) -> list[Problem]:
    """Every wish and every acceptance can be meant."""
    found = []
    for wish in draft.week.wishes:
        found += _wish(draft, wish)
    for accepted in draft.week.accepted:
        found += _accepted(draft, accepted)
    return found


def _wish(draft: Draft, wish: Wish) -> list[Problem]:
    known = draft.written("components")
    if wish.component not in known:
        word = wish.component
        return [draft.unknown(wish, "component", kind="component", word=word, known=known)]
    component = draft.component.get(wish.component)
    if component is None:
        return []
    steps = list(dict.fromkeys(s.id for made in variants(component) for s in made.steps))
    if wish.step is not None and wish.step not in steps:
        return [draft.unknown(wish, "step", kind="step", word=wish.step, known=steps)]
    if wish.person is not None:
        return _person(draft, wish, component)
    if wish.unit is not None:
        return _unit(draft, wish, component)
    moment = wish.done_by or wish.not_before
    if moment is not None and not draft.week.starts <= moment <= draft.week.ends:
        field = "done_by" if wish.done_by else "not_before"
        return [draft.problem(wish, field, what=f"{moment:%Y-%m-%d %H:%M} is outside the week")]
    return []


def _concerned(draft: Draft, wish: Wish, component: Component) -> list[Crew]:
    """The hands a wish speaks of: all the way, loading and unloading."""
    made = [s for way in variants(component) for s in way.steps]
    steps = [s for s in made if wish.step in (None, s.id)]
    holders = {id(s) for s in steps} | {
        id(v) for s in steps for kind, v in visits(s) if kind in ("load", "unload")
    }
    return [crew for crew in crews(draft) if id(crew.holder) in holders]


def _person(draft: Draft, wish: Wish, component: Component) -> list[Problem]:
    known = draft.written("kitchen", "people")
    if wish.person is None or wish.person not in known:
        word = wish.person or ""
        return [draft.unknown(wish, "person", kind="person", word=word, known=known)]
    if "kitchen" not in draft.whole:
        return []
    mine = _concerned(draft, wish, component)
    if not mine:
        what = f"{wish.component} takes no hands there"
        return [draft.problem(wish, "step" if wish.step else "component", what=what)]
    for crew in mine:
        touched = frozenset(
            kind.may_use
            for need in crew.needs
            for kind, _ in draft.units_of(need.equipment or "")
            if kind.may_use is not None
        )
        who = [
            eligible(
                draft, line.section or crew.section, line.level, touched | set(line.may_use),
                line.only, crew.recipe,
            )
            for line in crew.lines
        ]
        if wish.kind in ("must", "rather") and not any(wish.person in w for w in who):
            what = f"{wish.person} is not of the section, level and training that it asks for"
            if any(wish.person not in line.only for line in crew.lines if line.only):
                what = f"{wish.person} is none of those whom it names"
            return [draft.problem(wish, "person", what=what)]
        if wish.kind == "must not" and any(
            len(w - {wish.person}) < line.people for w, line in zip(who, crew.lines, strict=True)
        ):
            what = f"without {wish.person} there are too few who may do it"
            return [draft.problem(wish, "person", what=what)]
    return []


def _unit(draft: Draft, wish: Wish, component: Component) -> list[Problem]:
    if wish.unit is None or "equipment" not in draft.whole:
        return []
    if wish.unit in draft.kind and len(draft.kind[wish.unit].each) > 1:
        units = one_of([u.id for u in draft.kind[wish.unit].each])
        what = f"'{wish.unit}' is a kind; a wish names one unit of it: {units}"
        return [draft.problem(wish, "unit", what=what)]
    if wish.unit not in draft.unit:
        known = list(draft.unit)
        return [draft.unknown(wish, "unit", kind="unit", word=wish.unit, known=known)]
    made = [s for way in variants(component) for s in way.steps]
    steps = {id(s) for s in made if wish.step in (None, s.id)}
    names = [n.equipment for _, holder, n in needs(draft) if id(holder) in steps and n.equipment]
    mine = [{u.id for _, u in draft.units_of(name)} for name in names]
    mine = [units for units in mine if wish.unit in units]
    if not mine:
        what = f"{wish.component} is never on {wish.unit}"
        return [draft.problem(wish, "unit", what=what)]
    if wish.kind == "must not" and any(len(units) == 1 for units in mine):
        return [draft.problem(wish, "unit", what=f"{wish.component} has no other than {wish.unit}")]
    return []


def _accepted(draft: Draft, one: Acceptance) -> list[Problem]:
    found = []
    people = draft.written("kitchen", "people")
    if one.person is not None and one.person not in people:
        found.append(draft.unknown(one, "person", kind="person", word=one.person, known=people))
    made = draft.written("components") | draft.written("dishes")
    if one.component is not None and one.component not in made:
        found.append(
            draft.unknown(one, "component", kind="recipe", word=one.component, known=made)
        )
    lots = draft.written("week", "on_hand") | draft.written("week", "in_progress")
    if one.lot is not None and one.lot not in lots:
        found.append(draft.unknown(one, "lot", kind="lot", word=one.lot, known=lots))
    person = next((p for p in draft.kitchen.people if p.id == one.person), None)
    born = person.born if person is not None else None
    if born is not None and age(born, draft.week.starts.date()) < choices().adult.value:
        what = f"{one.person} is a young worker; nobody may ask more of them than the rules allow"
        found.append(draft.problem(one, "person", what=what))
    return found


def age(born: date, on: date) -> int:
    """Whole years on a day."""
    return on.year - born.year - ((on.month, on.day) < (born.month, born.day))
