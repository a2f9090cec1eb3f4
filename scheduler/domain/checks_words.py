"""Words that name nothing: unknown sections, equipment, zones, components, day parts, dishes."""

from __future__ import annotations

from scheduler.domain.base import Word
from scheduler.domain.draft import Draft, Known
from scheduler.domain.problems import Problem, nearest, one_of
from scheduler.domain.recipes import ANYONE, Dish
from scheduler.domain.walks import crews, needs, recipes, steps, takes
from scheduler.domain.week import InProgress, OnHand


def words(draft: Draft) -> list[Problem]:
    """Every id that something refers to is there."""
    return [
        *_sections(draft),
        *_equipment(draft),
        *_zones(draft),
        *_recipes(draft),
        *_week(draft),
    ]


def _sections(draft: Draft) -> list[Problem]:
    known = draft.written("kitchen", "sections")
    found = []
    for person in draft.kitchen.people:
        for section in person.sections:
            if section not in known:
                meant = nearest(section, known)
                there = "" if meant else f"; there are: {one_of(known)}"
                what = f"unknown section '{section}'{there}"
                hint = meant and f"'{meant}'"
                found.append(draft.key_problem(person, "sections", section, what, hint))
    for recipe in recipes(draft):
        if recipe.section not in known:
            found.append(
                draft.unknown(recipe, "section", kind="section", word=recipe.section, known=known)
            )
    known = known | {ANYONE}
    for _, step in steps(draft):
        if step.section is not None and step.section not in known:
            found.append(
                draft.unknown(step, "section", kind="section", word=step.section, known=known)
            )
    for crew in crews(draft):
        for line in crew.lines:
            if line.section is not None and line.section not in known:
                word, owner = line.section, (line, crew.holder)
                found.append(
                    draft.unknown(owner, "section", kind="section", word=word, known=known)
                )
            people = draft.written("kitchen", "people")
            for i, word in enumerate(line.only):
                if word not in people:
                    owner = (line, crew.holder)
                    found.append(
                        draft.unknown(owner, "only", i, kind="person", word=word, known=people)
                    )
    for duty in draft.kitchen.duties:
        if duty.section is not None and duty.section not in known:
            found.append(
                draft.unknown(duty, "section", kind="section", word=duty.section, known=known)
            )
    return found


def _equipment(draft: Draft) -> list[Problem]:
    known = draft.written("kitchen", "equipment") | set(draft.unit)
    if "equipment" not in draft.whole:
        known = Known(known.words, sure=False)
    found = []
    for _, _, need in needs(draft):
        if need.equipment is not None and need.equipment not in known:
            word = need.equipment
            found.append(
                draft.unknown(need, "equipment", kind="equipment", word=word, known=known)
            )
    stores = draft.written("kitchen", "stores")
    for duty in draft.kitchen.duties:
        for taken in duty.equipment:
            if taken.equipment not in known:
                word = taken.equipment
                found.append(
                    draft.unknown(taken, "equipment", kind="equipment", word=word, known=known)
                )
        for held in duty.held:
            if held.equipment not in draft.unit and held.equipment in known:
                what = f"{held.equipment} is a kind; one unit stays at a setting"
                found.append(draft.problem(held, "equipment", what=what))
            elif held.equipment not in known:
                word = held.equipment
                found.append(
                    draft.unknown(held, "equipment", kind="equipment", word=word, known=known)
                )
        for shelf in duty.stores:
            if shelf.store not in stores:
                word = shelf.store
                found.append(draft.unknown(shelf, "store", kind="store", word=word, known=stores))
    return found


def _zones(draft: Draft) -> list[Problem]:
    known = draft.zones
    found = []

    def zone(part: Word, word: str | None) -> None:
        if word is not None and word not in known:
            meant = nearest(word, known)
            there = "" if meant else f"; zones there are: {one_of(known)}"
            what = f"no store has the zone '{word}'{there}"
            found.append(draft.problem(part, "zone", what=what, maybe=meant and f"'{meant}'"))

    node = draft.root.at(("kitchen", "stores"))
    if node is not None and len(list(node.items())) != len(draft.kitchen.stores):
        return []
    for _, _, need in needs(draft):
        zone(need, need.zone)
    for _, step in steps(draft):
        if step.then is not None:
            zone(step.then, step.then.zone)
    for recipe in recipes(draft):
        keeps = (recipe.keeps,) if isinstance(recipe, Dish) else recipe.keeps
        for keep in keeps:
            if keep is not None:
                zone(keep, keep.zone)
    for delivery in draft.week.deliveries:
        zone(delivery, delivery.zone)
    return found


def _recipes(draft: Draft) -> list[Problem]:
    components = draft.written("components")
    parts = draft.written("kitchen", "day_parts")
    found = []
    for _, _, take in takes(draft):
        if take.component is not None and take.component not in components:
            word = take.component
            found.append(
                draft.unknown(take, "component", kind="component", word=word, known=components)
            )
    for _, step in steps(draft):
        for tend in step.tend:
            for i, word in enumerate(tend.day_parts):
                if word not in parts:
                    found.append(
                        draft.unknown(tend, "day_parts", i, kind="day part", word=word, known=parts)
                    )
            if tend.once_a_shift and parts.sure and not parts.words:
                what = "once a shift is once in each part of the day, and the kitchen has none"
                found.append(
                    draft.problem(tend, "once_a_shift", what=what, maybe="kitchen: day_parts")
                )
    return found


def _week(draft: Draft) -> list[Problem]:
    week = draft.week
    dishes, components = draft.written("dishes"), draft.written("components")
    events = draft.written("week", "events")
    found = []
    for event in week.events:
        for course in event.menu:
            if course.dish not in dishes:
                found.append(
                    draft.unknown(course, "dish", kind="dish", word=course.dish, known=dishes)
                )
            for diet in course.diets:
                for old, new in diet.swap.items():
                    if new not in components:
                        found.append(
                            draft.unknown(
                                diet, "swap", old, kind="component", word=new, known=components
                            )
                        )
    lots: tuple[OnHand | InProgress, ...] = (*week.on_hand, *week.in_progress)
    for lot in lots:
        if lot.component not in components:
            word = lot.component
            found.append(
                draft.unknown(lot, "component", kind="component", word=word, known=components)
            )
        if lot.reserved_for is not None and lot.reserved_for not in events:
            word = lot.reserved_for
            found.append(draft.unknown(lot, "reserved_for", kind="event", word=word, known=events))
    stores = draft.written("kitchen", "stores")
    for stock in week.on_hand:
        if stock.store is not None and stock.store not in stores:
            found.append(
                draft.unknown(stock, "store", kind="store", word=stock.store, known=stores)
            )
    return found
