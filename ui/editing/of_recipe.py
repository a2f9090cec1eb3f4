"""The fields of components and dishes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ui.editing.words import Field

LEVELS = ("trainee", "cook", "lead")
CLASSES = ("walk-in", "walk-in-fan", "blast-chiller", "ice-bath")

BATCHES = (
    Field(("batch", "least"), "Smallest batch"),
    Field(("batch", "most"), "Largest batch"),
    Field(("loss",), "Lost of a batch"),
    Field(("margin",), "Margin of its own"),
    Field(("piece_weight",), "A piece weighs"),
    Field(("density",), "A litre weighs"),
    Field(("weight",), "Weight in freshness", "whole"),
    Field(("leftover",), "Left over", "choice", ("goes", "kept")),
    Field(("mixing",), "A use may mix batches", "either"),
)
FOOD = (
    Field(("food_class",), "Class of food"),
    Field(("allergens",), "Allergens of its own (none: there are none)", "words"),
    Field(("may_contain",), "May get into it", "words"),
    Field(("leaves",), "Leaves in a machine", "words"),
    Field(("not_beside",), "Never beside", "words"),
)
FOOD_OF_DISH = FOOD[1:3]
WAITS = (
    Field(("not_before",), "Not before"),
    Field(("best_from",), "Best from"),
    Field(("best_until",), "Best until"),
    Field(("at_most",), "At most"),
    Field(("per_shelf",), "On one shelf"),
)
PLATING = (Field(("plating", "per_hour"), "Plates an hour", "whole"),)
STEPS = (
    Field(("id",), "Step"),
    Field(("name",), "What is done"),
    Field(("time", "at_least"), "Takes at least"),
    Field(("time", "at_most"), "At most"),
    Field(("time", "plus"), "And more"),
    Field(("time", "per"), "For every"),
    Field(("then", "not_before"), "Then waits at least"),
    Field(("then", "at_most"), "Waits at most"),
    Field(("then", "zone"), "Waits in"),
)
TIME = (
    Field(("time", "at_least"), "At least"),
    Field(("time", "best"), "Best"),
    Field(("time", "at_most"), "At most"),
    Field(("time", "decides"), "Who decides", "choice", ("we", "it")),
    Field(("time", "plus"), "And more"),
    Field(("time", "per"), "For every"),
    Field(("time", "undivided"), "Of it undivided"),
)
LEAVING = (
    Field(("may_leave", "times"), "May be left, times", "whole"),
    Field(("may_leave", "longest"), "Each time at most"),
    Field(("may_leave", "breaks"), "Also for a break", "yes"),
)
TENDING = (
    Field(("verb",), "What is done"),
    Field(("time", "at_least"), "Takes"),
    Field(("every",), "Every"),
    Field(("give_or_take",), "Give or take"),
    Field(("day_parts",), "Or in the parts of the day", "words"),
    Field(("once_a_shift",), "Or once a shift", "yes"),
    Field(("hands",), "Hands", "written"),
)
ADDING = (
    Field(("verb",), "What is done"),
    Field(("time", "at_least"), "Takes"),
    Field(("after",), "So long after it began"),
    Field(("give_or_take",), "Give or take"),
    Field(("hands",), "Hands", "written"),
)
SAFETY = (
    Field(("kept",), "The food is kept", "choice", ("cold", "frozen", "hot", "out")),
    Field(("core", "at"), "Hot at the core"),
    Field(("core", "for"), "Held there"),
    Field(("hazards",), "Can hurt", "words"),
    Field(("test", "measure"), "Judged by"),
    Field(("test", "target"), "Done when"),
    Field(("test", "longer"), "If not, longer by"),
    Field(("test", "last_call"), "In all at most"),
    Field(("alone",), "Runs alone", "choice", ("never", "someone_on_shift", "yes")),
    Field(("if_interrupted",), "If interrupted", "choice", ("resume", "start again", "lost")),
)
COOLING = (
    Field(("cooling", "from"), "Cools from"),
    Field(("cooling", "to"), "To"),
    Field(("cooling", "by"), "By", "choice", CLASSES),
    Field(("cooling", "food"), "What it is"),
    Field(("cooling", "depth"), "How deep"),
    Field(("cooling", "thickness"), "Or how thick"),
    Field(("cooling", "diameter"), "Or how far across"),
    Field(("cooling", "shape"), "Shape", "choice", ("slab", "cylinder", "sphere")),
    Field(("cooling", "pan"), "Or in the pan"),
    Field(("cooling", "each"), "With so much in each"),
    Field(("cooling", "stirred"), "Stirred all the time", "yes"),
    Field(("cooling", "sets_time"), "The estimate is its time", "yes"),
)
LOADS = (
    Field(("in_loads",), "Made in loads", "yes"),
    Field(("waves",), "Passes its loads on", "yes"),
)
VISITS = ("load", "unload")


def basics(sections: Sequence[str], dish: bool) -> tuple[Field, ...]:
    """Name, section, and what it makes."""
    both = (Field(("name",), "Name"), Field(("section",), "Section", "choice", tuple(sections)))
    return both if dish else (*both, Field(("makes",), "Makes"))


def keeps(zones: Sequence[str]) -> tuple[Field, ...]:
    """Columns of where and how long it keeps."""
    return (Field(("zone",), "In a store that is", "choice", tuple(zones)), *WAITS)


def then(zones: Sequence[str]) -> tuple[Field, ...]:
    """Fields of the wait behind a step."""
    inside = (*keeps(zones), Field(("in_machine",), "It waits in the machine", "yes"))
    return tuple(Field(("then", *f.path), f.label, f.sort, f.choices) for f in inside)


def plated(zones: Sequence[str]) -> tuple[Field, ...]:
    """Fields of how long a dish may wait plated."""
    return tuple(Field(("keeps", *f.path), f.label, f.sort, f.choices) for f in keeps(zones))


def hands(sections: Sequence[str]) -> tuple[Field, ...]:
    """Columns of whose hands something takes."""
    return (
        Field(("people",), "People", "whole"),
        Field(("section",), "Section", "choice", (*sections, "anyone")),
        Field(("level",), "At least", "choice", LEVELS),
        Field(("up_to",), "Shared by up to", "whole"),
        Field(("may_use",), "Trained for", "words"),
        Field(("only",), "Only", "words"),
        Field(("not_alone",), "No trainee alone", "yes"),
    )


def takes(components: Sequence[str]) -> tuple[Field, ...]:
    """Columns of what goes in."""
    return (
        Field(("component",), "Component", "choice", tuple(components)),
        Field(("ingredient",), "Or ingredient"),
        Field(("amount",), "How much"),
        Field(("yield",), "Of it edible"),
        Field(("within",), "Waits at most"),
        Field(("state",), "In its state"),
    )


def gives(components: Sequence[str]) -> tuple[Field, ...]:
    """Columns of what is left beside."""
    return (
        Field(("component",), "Component", "choice", tuple(components)),
        Field(("amount",), "How much"),
    )


def on(equipment: Sequence[str], zones: Sequence[str]) -> tuple[Field, ...]:
    """Columns of what it takes while it runs."""
    return (
        Field(("equipment",), "Equipment", "choice", tuple(equipment)),
        Field(("zone",), "Or shelves", "choice", tuple(zones)),
        Field(("amount",), "Places", "whole"),
        Field(("per",), "Or one for every"),
        Field(("tray",), "Trays"),
        Field(("setting", "mode"), "Mode"),
        Field(("setting", "coldest"), "At least °C", "whole"),
        Field(("setting", "hottest"), "At most °C", "whole"),
        Field(("door_shut",), "Door stays shut", "yes"),
        Field(("until",), "Taken until the step"),
    )


def visit(name: str) -> tuple[Field, ...]:
    """Fields of loading or unloading."""
    return (
        Field((name, "verb"), name.capitalize()),
        Field((name, "time", "at_least"), "Takes"),
        Field((name, "time", "plus"), "And more"),
        Field((name, "time", "per"), "For every"),
    )


def ways(body: Any) -> dict[str, tuple[str | int, ...]]:
    """Where steps stand: the recipe's own, and those of methods and states, by what to call them.

    Returns
    -------
    dict of str to path
        The path of what has `steps`; empty for the recipe itself.
    """
    found: dict[str, tuple[str | int, ...]] = {"its own steps": ()}
    for word, noun in (("methods", "method"), ("states", "state")):
        there = body.get(word) if isinstance(body, dict) else None
        for i, one in enumerate(there if isinstance(there, list) else []):
            name = one.get("id") if isinstance(one, dict) else None
            found[f"{noun} {name or i + 1}"] = (word, i)
    return found
