"""Doors, families of trays, cleaning between two contents, and goods that keep apart."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.duties import HeldAt
from scheduler.domain.kitchen import Equipment
from scheduler.domain.problems import Problem, nearest
from scheduler.domain.recipes import Need, Step, Visit
from scheduler.domain.trays import sizes
from scheduler.domain.walks import needs, takes


def machines(draft: Draft) -> list[Problem]:
    """What is said of doors, trays, clean-down and neighbours can be kept."""
    found = [
        problem
        for kind in draft.kitchen.equipment
        for problem in (*_trays(draft, kind), *_clean(draft, kind))
    ]
    shut = {k.id for k in draft.kitchen.equipment if k.shut_while_running}
    for _, _, need in needs(draft):
        shut |= {k.id for k, _ in draft.units_of(need.equipment or "") if need.door_shut}
    for _, holder, need in needs(draft):
        found += _tray(draft, need)
        if need.door_shut:
            found += _door(draft, holder, need)
        if isinstance(holder, Visit) and holder.__class__ is not Visit:
            found += _passing(draft, need, shut)
    return [*found, *_duties(draft), *_neighbours(draft)]


def _trays(draft: Draft, kind: Equipment) -> list[Problem]:
    each = [unit.holds for unit in kind.each]
    if not any(each):
        return []
    if any(n < 1 for holds in each for n in holds.values()):
        return [draft.problem(kind, "holds", what="it holds less than one tray of a family")]
    if any(unit.fill is not None or (unit.capacity or 1) > 1 for unit in kind.each):
        what = "`holds` says how many trays it takes: no `capacity` and no `fill`"
        return [draft.problem(kind, "holds", what=what)]
    if kind.per_shelf is not None:
        return [draft.problem(kind, "holds", what="a container (per_shelf) that holds trays")]
    if len({frozenset(holds) for holds in each}) > 1:
        what = "some units hold families of trays that others do not"
        return [draft.problem(kind, "units", what=what, maybe="two kinds")]
    if sizes(each) is None:
        what = "its units differ too much in what they hold of each family of trays"
        return [draft.problem(kind, "units", what=what, maybe="two kinds")]
    return []


def _tray(draft: Draft, need: Need) -> list[Problem]:
    units = draft.units_of(need.equipment or "")
    families = sorted({family for _, unit in units for family in unit.holds})
    if not units or need.tray in families or (need.tray is None and not families):
        return []
    if need.tray is None:
        what = f"{need.equipment} holds trays of several families, and none is named"
        return [draft.problem(need, what=what, maybe=f"'tray: {families[0]}'")]
    what = f"{need.equipment} holds no '{need.tray}'"
    what += f": {', '.join(families)}" if families else ", it counts places"
    meant = nearest(need.tray, families)
    return [draft.problem(need, "tray", what=what, maybe=meant and f"'{meant}'")]


def _door(draft: Draft, holder: object, need: Need) -> list[Problem]:
    if need.zone is not None:
        return [draft.problem(need, "door_shut", what="a store is opened all the time")]
    if not isinstance(holder, Step):
        what = "`door_shut` belongs to what a step is on"
        return [draft.problem(need, "door_shut", what=what)]
    if need.until is not None:
        what = "its door cannot stay shut over several steps"
        return [draft.problem(need, "door_shut", what=what, maybe="without `until`")]
    return []


def _passing(draft: Draft, need: Need, shut: set[str]) -> list[Problem]:
    """Visits while a step runs take neither trays, nor a door, nor what is cleaned afterwards."""
    for kind, unit in draft.units_of(need.equipment or "")[:1]:
        why = {
            "a family of trays": bool(unit.holds),
            "a door that stays shut": kind.id in shut,
            "a clean-down": kind.clean_down is not None,
        }
        for word, there in why.items():
            if there:
                what = f"a visit while a step runs cannot take {kind.id}, which has {word}"
                return [draft.problem(need, what=what, maybe="a step of its own")]
    return []


def _clean(draft: Draft, kind: Equipment) -> list[Problem]:
    if kind.clean_down is None:
        return []
    several = any((unit.capacity or 1) > 1 or unit.holds for unit in kind.each)
    if not several and kind.per_shelf is None:
        return []
    what = "a clean-down is between two things that run one after the other, alone in the machine"
    return [draft.problem(kind, "clean_down", what=what, maybe="places as units of their own")]


def _duties(draft: Draft) -> list[Problem]:
    found = []
    for duty in draft.kitchen.duties:
        for taken in duty.equipment:
            for kind, unit in draft.units_of(taken.equipment)[:1]:
                if kind.clean_down is not None and not duty.out_of_use:
                    what = f"nobody knows what a duty leaves behind in {taken.equipment}"
                    found.append(draft.problem(taken, "equipment", what=what))
                families = sorted(unit.holds)
                if families and taken.tray not in families:
                    what = f"{taken.equipment} holds trays of several families: " + ", ".join(
                        families
                    )
                    found.append(draft.problem(taken, what=what, maybe=f"'tray: {families[0]}'"))
                elif not families and taken.tray is not None:
                    what = f"{taken.equipment} counts places, not trays of a family"
                    found.append(draft.problem(taken, "tray", what=what))
        for held in duty.held:
            for kind, _ in draft.units_of(held.equipment)[:1]:
                what = _held(kind, held)
                if what:
                    found.append(draft.problem(held, what=what))
    return found


def _held(kind: Equipment, held: HeldAt) -> str:
    """Why a machine cannot stay at a setting; empty where it can."""
    heat = kind.heat
    if heat is None:
        return f"{kind.id} does not heat, so it stays at no setting"
    if kind.clean_down is not None:
        return f"{kind.id} is cleaned between two contents, which no setting outlasts"
    if held.mode not in heat.modes or not heat.coldest <= held.celsius <= heat.hottest:
        there = f"{', '.join(heat.modes)}, {heat.coldest} to {heat.hottest} °C"
        return f"{kind.id} has no {held.mode} {held.celsius} °C: {there}"
    return ""


def _neighbours(draft: Draft) -> list[Problem]:
    known = draft.written("components") | {t.ingredient for _, _, t in takes(draft) if t.ingredient}
    known = known | {d.ingredient for d in draft.week.deliveries}
    found = []
    for component in draft.components:
        for i, word in enumerate(component.not_beside):
            if word == component.id:
                what = f"{word} cannot keep away from itself"
                found.append(draft.problem(component, "not_beside", i, what=what))
            elif word not in known:
                found.append(
                    draft.unknown(
                        component, "not_beside", i, kind="component", word=word, known=known
                    )
                )
    return found
