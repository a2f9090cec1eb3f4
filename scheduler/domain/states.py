"""States of components as components of their own, so that every reader means the same.

A state is a component called COMPONENT-STATE: its first step takes the
component (or the state it is `of`), and from there on it has its own steps,
footprint and limit. `takes: {component: berries, state: thawed}` becomes
`takes: {component: berries-thawed}`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

from scheduler.domain.quantity import Quantity
from scheduler.domain.recipes import Component, Dish, State, Step, Take
from scheduler.domain.week import Course, Event, InProgress, OnHand, Week

States = Mapping[str, frozenset[str]]
"""Component: its states."""
Taken = Mapping[str, set[tuple[str | None, str | None]]]
"""Dish: the components that it takes, each with the state."""
R = TypeVar("R", Component, Dish)
L = TypeVar("L", OnHand, InProgress)


def called(component: str, state: str) -> str:
    """What a component in a state is called."""
    return f"{component}-{state}"


def states_of(components: Iterable[Component]) -> dict[str, frozenset[str]]:
    """The states every component has."""
    return {c.id: frozenset(s.id for s in c.states) for c in components if c.states}


def in_state(component: Component, state: State) -> Component:
    """A state as a component of its own.

    What it is made of is taken by its first step: `out_of` (or as much as is
    made) of the component, or of the state it is `of`. Section, weight,
    margin, allergens and measures are the component's.
    """
    before = next((s for s in component.states if s.id == state.of), None)
    source = component.id if before is None else called(component.id, before.id)
    makes = state.makes or _made(component, before)
    taken = Take(component=source, amount=state.out_of or makes)
    first = state.steps[0]
    steps = (first.model_copy(update={"takes": (*first.takes, taken)}), *state.steps[1:])
    name = f"{component.name or component.id}, {state.name or state.id}"
    return component.model_copy(
        update={
            "id": called(component.id, state.id), "name": name[:120].strip(), "makes": makes,
            "section": state.section or component.section, "batch": state.batch,
            "loss": state.loss, "steps": steps, "keeps": state.keeps, "states": (),
            "methods": (), "bought_in": None, "leaves": component.leaves or (component.id,),
            # What nobody has written of the component comes with it.
            "allergens": component.allergens or (),
        }
    )


def _made(component: Component, state: State | None) -> Quantity:
    """What is made at once of a component or of a state of it."""
    for _ in component.states:
        if state is None or state.makes is not None:
            break
        state = next((s for s in component.states if s.id == state.of), None)
    return component.makes if state is None or state.makes is None else state.makes


def spelled_out(components: Iterable[Component]) -> tuple[Component, ...]:
    """Every component, each followed by its states; what keeps apart from one does from all."""
    found: list[Component] = []
    for component in components:
        found += [component, *(in_state(component, s) for s in component.states)]
    states = states_of(found)
    return tuple(_apart(component, states) for component in found)


def _apart(component: Component, states: States) -> Component:
    more = [
        called(other, state)
        for other in component.not_beside
        for state in sorted(states.get(other, ()))
    ]
    apart = (*component.not_beside, *more)
    return component.model_copy(update={"not_beside": apart}) if more else component


def recipe_spelled_out(recipe: R, states: States) -> R:
    """A recipe that says what it takes by id alone."""
    ways: tuple[tuple[Step, ...], ...] = (recipe.steps, *(m.steps for m in recipe.methods))
    on_the_plate: tuple[Take, ...] = recipe.takes if isinstance(recipe, Dish) else ()
    if not any(t.state for t in (*on_the_plate, *(t for w in ways for s in w for t in s.takes))):
        return recipe
    change: dict[str, object] = {
        "steps": tuple(_step(s, states) for s in recipe.steps),
        "methods": tuple(
            m.model_copy(update={"steps": tuple(_step(s, states) for s in m.steps)})
            for m in recipe.methods
        ),
    }
    if isinstance(recipe, Dish):
        change["takes"] = tuple(_take(t, states) for t in recipe.takes)
    return recipe.model_copy(update=change)


def week_spelled_out(week: Week, dishes: Iterable[Dish], states: States) -> Week:
    """A week whose lots, running batches and swaps say what they mean by id alone.

    A diet that swaps a component swaps it in the state in which the dish takes it.
    """
    taken = {d.id: {(t.component, t.state) for t in d.inputs} for d in dishes}
    events = tuple(_event(e, taken, states) for e in week.events)
    lots = tuple(_lot(x, states) for x in week.on_hand)
    begun = tuple(_lot(x, states) for x in week.in_progress)
    if (events, lots, begun) == (week.events, week.on_hand, week.in_progress):
        return week
    return week.model_copy(update={"events": events, "on_hand": lots, "in_progress": begun})


def _event(event: Event, taken: Taken, states: States) -> Event:
    menu = tuple(_course(c, taken.get(c.dish, set()), states) for c in event.menu)
    return event if menu == event.menu else event.model_copy(update={"menu": menu})


def _course(course: Course, taken: set[tuple[str | None, str | None]], states: States) -> Course:
    diets = []
    for diet in course.diets:
        swap: dict[str, str] = {}
        for old, new in diet.swap.items():
            names = [
                called(old, s) for s in sorted(states.get(old, ())) if (old, s) in taken
            ]
            swap |= dict.fromkeys(names if names and (old, None) not in taken else [old], new)
        diets.append(diet if swap == diet.swap else diet.model_copy(update={"swap": swap}))
    same = tuple(diets) == course.diets
    return course if same else course.model_copy(update={"diets": tuple(diets)})


def _step(step: Step, states: States) -> Step:
    if not any(t.state for t in step.takes):
        return step
    return step.model_copy(update={"takes": tuple(_take(t, states) for t in step.takes)})


def _take(take: Take, states: States) -> Take:
    if take.state is None or take.state not in states.get(take.component or "", ()):
        return take
    name = called(take.component or "", take.state)
    return take.model_copy(update={"component": name, "state": None})


def _lot(lot: L, states: States) -> L:
    if lot.state is None or lot.state not in states.get(lot.component, ()):
        return lot
    return lot.model_copy(update={"component": called(lot.component, lot.state), "state": None})
