"""What is on an event's plates: allergens of each dish beside its guests' counted needs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.allergens import in_words, list_of
from scheduler.domain.containing import Content, named, on_the_plate

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import Course, Event


def _written(scenario: Scenario) -> bool:
    """Does the week say anything of allergens?"""
    recipes: tuple[Component | Dish, ...] = (*scenario.components, *scenario.dishes)
    return any(r.allergens is not None or r.may_contain for r in recipes) or any(
        d.free_of for e in scenario.week.events for c in e.menu for d in c.diets
    )


def on_plates(scenario: Scenario) -> Iterator[str]:
    """Every event with its dishes; one line where nobody has written anything of allergens."""
    if not _written(scenario):
        yield "On the plates: no recipe says its `allergens`, so nobody knows what is in them."
        return
    yield "On the plates"
    for event in scenario.week.events:
        yield f"  {event.name or event.id}"
        yield from (f"    {line}" for line in of_event(scenario, event))
        for course in event.menu:
            yield f"    {scenario.dish[course.dish].name or course.dish}"
            yield from (f"      {line}" for line in of_course(scenario, course))


def of_event(scenario: Scenario, event: Event) -> Iterator[str]:
    """All that stands on an event's tables, and its guests' counted needs."""
    content = Content()
    needs: dict[str, int] = {}
    for course in event.menu:
        dish = scenario.dish[course.dish]
        content |= on_the_plate(scenario, dish)
        for diet in course.diets:
            content |= on_the_plate(scenario, dish, diet.swap)
            needs[diet.id] = max(needs.get(diet.id, 0), diet.count)
    yield f"in all {said(scenario, content.apart())}"
    if needs:
        yield f"guests: {', '.join(f'{count} {name}' for name, count in needs.items())}"


def of_course(scenario: Scenario, course: Course) -> Iterator[str]:
    """What a dish contains and may contain, and so for each diet with its count."""
    dish, by = scenario.dish[course.dish], list_of(scenario.kitchen)
    yield said(scenario, on_the_plate(scenario, dish))
    for diet in course.diets:
        need = f", free of {in_words(diet.free_of, by)}" if diet.free_of else ""
        content = on_the_plate(scenario, dish, diet.swap)
        yield f"{diet.count} {diet.id}{need}: {said(scenario, content)}"


def said(scenario: Scenario, content: Content) -> str:
    """In words; what nobody has written down is not known to be absent."""
    by = list_of(scenario.kitchen)
    contains = in_words(content.contains, by) if content.contains else "none written"
    may = f"; may contain {in_words(content.may, by)}" if content.may else ""
    lacks = f"; not known: {named(scenario, content.unwritten)}" if content.unwritten else ""
    return f"contains {contains}{may}{lacks}"
