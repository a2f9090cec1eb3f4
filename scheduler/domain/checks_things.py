"""By-products, states, containers that are washed: what is named is there and can be meant."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.kitchen import Equipment
from scheduler.domain.problems import Problem, nearest, one_of
from scheduler.domain.recipes import Dish, Step, Take
from scheduler.domain.states import called
from scheduler.domain.times import write_duration
from scheduler.domain.walks import in_measure, needs, recipes, steps, takes
from scheduler.domain.washing import wash_name
from scheduler.domain.week import InProgress, OnHand

LONGEST_ID = 60
ROOM = 3
"""Letters that a second washing of a kind adds to its id."""


def things(draft: Draft) -> list[Problem]:
    """By-products, states and washed containers make sense."""
    return [*_states(draft), *_given(draft), *_stepless(draft), *_washed(draft)]


def _states(draft: Draft) -> list[Problem]:
    """States that are named exist; what a state is made of is another state of it."""
    found = []
    named: list[Take | OnHand | InProgress] = [t for _, _, t in takes(draft)]
    named += [*draft.week.on_hand, *draft.week.in_progress]
    written = {c.id: c for c in draft.as_written[0]}
    for part in named:
        if part.state is None or part.component not in written:
            continue
        there = [s.id for s in written[part.component].states]
        what = f"{part.component} has no state '{part.state}'"
        meant = nearest(part.state, there)
        what += "" if meant or not there else f"; its states are: {one_of(there)}"
        found.append(draft.problem(part, "state", what=what, maybe=meant and f"'{meant}'"))
    for component in written.values():
        there = [s.id for s in component.states]
        for state in component.states:
            if state.of is not None and state.of not in there:
                what = f"{component.id} has no state '{state.of}'"
                meant = nearest(state.of, there)
                found.append(draft.problem(state, "of", what=what, maybe=meant and f"'{meant}'"))
            name = called(component.id, state.id)
            if len(name) > LONGEST_ID:
                what = f"'{name}' is longer than {LONGEST_ID} letters"
                found.append(draft.problem(state, "id", what=what, maybe="a shorter id"))
    return found


def _given(draft: Draft) -> list[Problem]:
    """What a step gives is another component, in a measure that it is made in."""
    known = draft.written("components")
    found = []
    for recipe, step in steps(draft):
        for gives in step.gives:
            if isinstance(recipe, Dish):
                what = "a dish goes out as it is; by-products belong to a component's steps"
                found.append(draft.problem(gives, what=what))
                continue
            if gives.component not in known:
                word = gives.component
                found.append(
                    draft.unknown(gives, "component", kind="component", word=word, known=known)
                )
            given = draft.component.get(gives.component)
            if given is None:
                continue
            if given.id == recipe.id:
                found.append(draft.problem(gives, "component", what=f"{recipe.id} gives itself"))
            elif in_measure(gives.amount, given.makes.dimension, given) is None:
                what = f"'{gives.amount}' of {given.id}, which is made as '{given.makes}'"
                found.append(draft.problem(gives, "amount", what=what))
        names = [g.component for g in step.gives]
        for twice in sorted({n for n in names if names.count(n) > 1}):
            found.append(draft.problem(step, "gives", what=f"'{twice}' stands here twice"))
    return found


def _stepless(draft: Draft) -> list[Problem]:
    """What no recipe makes is given by another, or on hand."""
    if "components" not in draft.whole or "week" not in draft.whole:
        return []
    given = {g.component for _, s in steps(draft) for g in s.gives}
    given |= {lot.component for lot in draft.week.on_hand}
    return [
        draft.problem(
            c, "steps", what="it has no steps, and no other recipe gives it", maybe="`gives`"
        )
        for c in draft.components
        if not c.steps and c.id not in given
    ]


def _washed(draft: Draft) -> list[Problem]:
    found = []
    washed = {k.id: k for k in draft.kitchen.equipment if k.washed is not None}
    for kind in washed.values():
        found += _washing(draft, kind)
    kind_of = {name: kind for kind, name in _names(washed)}
    for _, holder, need in needs(draft):
        touched = kind_of.get(need.equipment or "")
        if touched is None:
            continue
        if not isinstance(holder, Step):
            what = f"{touched.id} is washed when a step has emptied it; a visit cannot take it"
            found.append(draft.problem(need, what=what, maybe="`on` of the step"))
        elif (
            need.until is None
            and touched.heat is None
            and holder.then is not None
            and holder.then.in_machine
        ):
            what = f"{touched.id} is washed when it is empty: say which step empties it"
            found.append(draft.problem(need, what=what, maybe="`until`"))
    for recipe in recipes(draft):
        taken = {k.id for s in recipe.steps for n in s.on if (k := kind_of.get(n.equipment or ""))}
        for step in recipe.steps:
            if step.id in {wash_name(k) for k in taken}:
                what = f"'{step.id}' is what washing is called; this step has another id"
                found.append(draft.problem(step, "id", what=what))
    return found


def _names(washed: dict[str, Equipment]) -> list[tuple[Equipment, str]]:
    return [(k, n) for k in washed.values() for n in (k.id, *(u.id for u in k.each))]


def _washing(draft: Draft, kind: Equipment) -> list[Problem]:
    washed = kind.washed
    assert washed is not None
    found = []
    if kind.heat is not None:
        found.append(draft.problem(kind, "washed", what=f"{kind.id} heats; it is no container"))
    if len(wash_name(kind.id)) > LONGEST_ID - ROOM:
        found.append(draft.problem(kind, "id", what="too long an id", maybe="a shorter one"))
    time = washed.time
    if time.at_least == 0 and not time.plus:
        found.append(draft.problem(washed, "time", what="washing takes no time at all"))
    if time.at_most is not None or time.best is not None or time.decides.value == "it":
        what = "washing has one length: no `best`, no `at_most`, no `decides`"
        found.append(draft.problem(washed, "time", what=what))
    if time.per is not None and time.per.dimension.value != "count":
        what = f"'{time.per}'; containers are counted"
        found.append(draft.problem(washed, "time", what=what, maybe="per: 1 piece"))
    grid = draft.kitchen.grid
    if washed.within < grid:
        what = f"{write_duration(washed.within)} is nothing on the grid of {grid} min"
        found.append(draft.problem(washed, "within", what=what))
    return found


