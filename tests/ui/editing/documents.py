"""Every document of the demo, as the book has it, and the fields that forms have for each."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from scheduler.book.revisions import Change, Key
from scheduler.book.saving import as_written
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_scenario
from ui.editing import of_kitchen, of_recipe, of_week
from ui.editing.models import in_order
from ui.editing.paths import Path, at
from ui.editing.words import Field

NONE: tuple[str, ...] = ()


@cache
def documents() -> dict[Key, Any]:
    """Kitchen, recipes and week of the demo."""
    whole = read_scenario(find_scenario("demo")).document()
    found: dict[Key, Any] = {("kitchen", whole["kitchen"]["id"]): whole["kitchen"]}
    found |= {("component", c["id"]): c for c in whole["components"]}
    found |= {("dish", d["id"]): d for d in whole["dishes"]}
    found[("week", whole["week"]["id"])] = whole["week"]
    return {k: in_order(k[0], as_written(Change(*k, b, 0))) for k, b in found.items()}


def fields_of(kind: str, body: Any) -> Iterator[tuple[Path, Field]]:
    """Every field of every form of a document, with the path that it stands under."""

    def each(path: Path, columns: tuple[Field, ...]) -> Iterator[tuple[Path, Field]]:
        entries = at(body, path)
        for i in range(len(entries) if isinstance(entries, list) else 0):
            yield from (((*path, i), c) for c in columns)

    if kind == "week":
        yield from (((), f) for f in of_week.WEEK)
        yield from each(("events",), of_week.EVENTS)
        for i, event in enumerate(body["events"]):
            yield from each(("events", i, "menu"), of_week.menu(NONE))
            for j in range(len(event["menu"])):
                yield from each(("events", i, "menu", j, "diets"), of_week.DIETS)
                yield from each(("events", i, "menu", j, "waves"), of_week.WAVES)
        yield from each(("on_hand",), of_week.on_hand(NONE, NONE, NONE))
        yield from each(("in_progress",), of_week.in_progress(NONE, NONE))
        yield from each(("deliveries",), of_week.DELIVERIES)
        yield from each(("wishes",), of_week.wishes(NONE, NONE))
    elif kind == "kitchen":
        alone = (*of_kitchen.KITCHEN, *of_kitchen.LIMITS, *of_kitchen.REST)
        yield from (((), f) for f in alone)
        yield from each(("people",), of_kitchen.PEOPLE)
        for i in range(len(body["people"])):
            yield from each(("people", i, "shifts"), of_kitchen.SHIFTS)
        for i in range(len(body["equipment"])):
            yield from each(("equipment", i, "units"), of_kitchen.UNITS)
        kinds = (*of_kitchen.EQUIPMENT, *of_kitchen.MACHINE)
        for name, columns in (
            ("sections", of_kitchen.SECTIONS), ("equipment", kinds),
            ("stores", of_kitchen.STORES), ("day_parts", of_kitchen.DAY_PARTS),
            ("margins", of_kitchen.MARGINS), ("duties", of_kitchen.duties(NONE)),
        ):  # fmt: skip
            yield from each((name,), columns)
    else:
        both = (*of_recipe.basics(NONE, kind == "dish"), *of_recipe.FOOD_OF_DISH)
        yield from (((), f) for f in both)
        step = (*of_recipe.STEPS, *of_recipe.TIME, *of_recipe.LEAVING, *of_recipe.SAFETY,
                *of_recipe.COOLING, *of_recipe.LOADS, *of_recipe.then(NONE),
                *of_recipe.visit("load"), *of_recipe.visit("unload"))  # fmt: skip
        yield from each(("steps",), step)
        for i in range(len(body.get("steps", []))):
            for name, columns in (
                ("hands", of_recipe.hands(NONE)), ("takes", of_recipe.takes(NONE)),
                ("gives", of_recipe.gives(NONE)), ("on", of_recipe.on(NONE, NONE)),
                ("tend", of_recipe.TENDING), ("add", of_recipe.ADDING),
            ):  # fmt: skip
                yield from each(("steps", i, name), columns)
        if kind == "component":
            yield from (((), f) for f in (*of_recipe.BATCHES, *of_recipe.FOOD))
            yield from each(("keeps",), of_recipe.keeps(NONE))
        else:
            yield from (((), f) for f in (*of_recipe.PLATING, *of_recipe.plated(NONE)))
            yield from each(("takes",), of_recipe.takes(NONE))
            yield from each(("plating", "hands"), of_recipe.hands(NONE))
