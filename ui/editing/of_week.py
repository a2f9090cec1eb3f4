"""The fields of a week."""

from __future__ import annotations

from collections.abc import Sequence

from ui.editing.words import Field

WEEK = (
    Field(("name",), "Name"),
    Field(("starts",), "Starts"),
    Field(("plan_from",), "Planned from"),
    Field(("ends",), "Ends"),
)
EVENTS = (
    Field(("name",), "Event"),
    Field(("first_plate",), "First plate"),
    Field(("guests",), "Guests", "whole"),
    Field(("tables",), "Tables", "whole"),
    Field(("margin",), "Margin"),
    Field(("rank",), "Rank", "whole"),
    Field(("id",), "Id"),
)
DIETS = (
    Field(("id",), "Diet"),
    Field(("count",), "Plates", "whole"),
    Field(("free_of",), "Free of", "words"),
    Field(("swap",), "Instead (what: what instead)", "pairs"),
)
WAVES = (Field(("share",), "Share"), Field(("after",), "After the first"))
KINDS_OF_WISH = ("must", "must not", "rather", "rather not")


def menu(dishes: Sequence[str]) -> tuple[Field, ...]:
    """Columns of an event's menu."""
    return (
        Field(("dish",), "Dish", "choice", tuple(dishes)),
        Field(("after",), "After first plate"),
        Field(("count",), "Chosen by", "whole"),
        Field(("share",), "Or by a share"),
        Field(("each",), "For each", "choice", ("guest", "table", "event")),
        Field(("per",), "Portions for each", "whole"),
        Field(("crew",), "Crew", "whole"),
    )


def on_hand(
    components: Sequence[str], stores: Sequence[str], events: Sequence[str]
) -> tuple[Field, ...]:
    """Columns of what stands in a store when the week begins."""
    return (
        Field(("component",), "What", "choice", tuple(components)),
        Field(("quantity",), "How much"),
        Field(("made",), "Made"),
        Field(("store",), "Store", "choice", tuple(stores)),
        Field(("state",), "State"),
        Field(("reserved_for",), "Only for", "choice", tuple(events)),
        Field(("id",), "Id"),
    )


def in_progress(components: Sequence[str], events: Sequence[str]) -> tuple[Field, ...]:
    """Columns of what is running when the week begins."""
    return (
        Field(("component",), "What", "choice", tuple(components)),
        Field(("quantity",), "How much"),
        Field(("step",), "Step"),
        Field(("started",), "Began"),
        Field(("on",), "On", "words"),
        Field(("last_visit",), "Last visit"),
        Field(("state",), "State"),
        Field(("method",), "Method"),
        Field(("reserved_for",), "Only for", "choice", tuple(events)),
        Field(("id",), "Id"),
    )


DELIVERIES = (
    Field(("ingredient",), "Ingredient"),
    Field(("at",), "Comes"),
    Field(("quantity",), "How much"),
    Field(("in_house",), "Here before"),
    Field(("zone",), "Zone"),
    Field(("shelves",), "Shelves", "whole"),
    Field(("at_most",), "Used within"),
    Field(("id",), "Id"),
)


def wishes(components: Sequence[str], people: Sequence[str]) -> tuple[Field, ...]:
    """Columns of the chef's wishes."""
    return (
        Field(("kind",), "It", "choice", KINDS_OF_WISH),
        Field(("component",), "What", "choice", tuple(components)),
        Field(("step",), "Step"),
        Field(("person",), "Be made by", "choice", tuple(people)),
        Field(("unit",), "Be on"),
        Field(("days",), "On the days", "words"),
        Field(("done_by",), "Be done by"),
        Field(("not_before",), "Not begin before"),
    )
