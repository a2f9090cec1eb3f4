"""The fields of a kitchen: its brigade, and everything else."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ui.editing.paths import Path, at, put
from ui.editing.words import Field

PEOPLE = (
    Field(("id",), "Id"),
    Field(("name",), "Name"),
    Field(("sections",), "Sections (each: level)", "pairs"),
    Field(("may_use",), "May use", "words"),
    Field(("born",), "Born"),
    Field(("overtime", "at_end"), "May stay longer by"),
    Field(("overtime", "at_start"), "May come earlier by"),
)
SHIFTS = (
    Field(("days",), "Begins on", "words"),
    Field(("hours",), "Hours"),
    Field(("breaks",), "Breaks", "words"),
    Field(("floating_breaks",), "Breaks that move", "written"),
)
SECTIONS = (Field(("id",), "Id"), Field(("name",), "Name"))
DAY_PARTS = (Field(("id",), "Part of the day"), Field(("hours",), "Hours"))
KITCHEN = (
    Field(("name",), "Name"),
    Field(("zone",), "Time zone"),
    Field(("open",), "Open"),
    Field(("grid",), "Planned in steps of"),
    Field(("transfer",), "Needs no shelf up to"),
    Field(("diets_ahead",), "Diets plated ahead by"),
    Field(("trainee_hour",), "A cook's hour takes a trainee"),
    Field(("rule_profile",), "Rules of", "choice", ("us", "anz", "uk", "eu", "house")),
)
EQUIPMENT = (
    Field(("id",), "Id"),
    Field(("name",), "Name"),
    Field(("capacity",), "Places in each", "whole"),
    Field(("measure",), "A place is"),
    Field(("fill",), "Or one load of"),
    Field(("holds",), "Or trays (family: number)", "pairs"),
    Field(("alone",), "Runs alone", "choice", ("never", "someone_on_shift", "yes")),
    Field(("may_use",), "Only who may use"),
    Field(("hazards",), "Can hurt", "words"),
    Field(("per_shelf",), "On one shelf", "whole"),
    Field(("shut_while_running",), "Shut while it runs", "yes"),
)
MACHINE = (
    Field(("heat", "modes"), "Modes", "words"),
    Field(("heat", "coldest"), "Lowest °C", "whole"),
    Field(("heat", "hottest"), "Highest °C", "whole"),
    Field(("heat", "ambient"), "Cold °C", "whole"),
    Field(("heat", "up"), "Heats °C a minute", "whole"),
    Field(("heat", "down"), "Cools °C a minute", "whole"),
    Field(("heat", "goes_cold_after"), "Cold again after"),
    Field(("room",), "Stands in a cold room of"),
    Field(("one_room",), "Keeps goods apart", "either"),
    Field(("touched",), "Food touches it", "either"),
    Field(("clean_down",), "Cleaned between two", "written"),
    Field(("washed",), "Washed when empty", "written"),
)
COUNT = (Field(("units",), "How many of it", "whole"),)
UNITS = (
    Field(("id",), "Unit"),
    Field(("capacity",), "Places", "whole"),
    Field(("fill",), "Or one load of"),
    Field(("holds",), "Or trays (family: number)", "pairs"),
)
STORES = (
    Field(("id",), "Id"),
    Field(("name",), "Name"),
    Field(("zone",), "It is"),
    Field(("shelves",), "Shelves", "whole"),
    Field(("coldest",), "Coldest"),
    Field(("warmest",), "Warmest"),
)
MARGINS = (Field(("up_to",), "Up to guests", "whole"), Field(("margin",), "Planned on top"))
LIMITS = tuple(
    Field(("own_limits", name), label, "written")
    for name, label in (
        ("cold", "Kept cold, at most"), ("hot", "Kept hot, at least"), ("cooling", "Cooled"),
        ("exposure", "Neither cold nor hot"), ("reheat", "Reheated"), ("cook_whole", "Cooked"),
        ("cook_poultry", "Poultry cooked"), ("cook_minced", "Minced meat cooked"),
        ("date_mark", "Kept for days"), ("date_mark_beyond", "Counted from"), ("acid", "Acid"),
    )
)  # fmt: skip
REST = (
    Field(("rest",), "How strictly working time is kept", "written"),
    Field(("confirmed",), "Limits looked up here", "written"),
    Field(("costs", "overtime_allowance"), "Overtime free up to"),
    Field(("costs", "overtime_hour"), "An hour of overtime costs", "whole"),
    Field(("costs", "rest_hour"), "An hour of rest costs", "whole"),
    Field(("costs", "buying_allowance"), "Bought in free up to", "whole"),
    Field(("wish", "job"), "A wish that is not kept costs", "whole"),
    Field(("wish", "minute"), "And each minute", "whole"),
)


def duties(sections: Sequence[str]) -> tuple[Field, ...]:
    """Columns of standing duties."""
    return (
        Field(("id",), "Id"),
        Field(("name",), "Name"),
        Field(("days",), "Begins on", "words"),
        Field(("hours",), "Hours"),
        Field(("section",), "Section", "choice", tuple(sections)),
        Field(("people",), "People", "whole"),
        Field(("level",), "At least", "choice", ("trainee", "cook", "lead")),
        Field(("equipment",), "Takes equipment", "written"),
        Field(("stores",), "Takes shelves", "written"),
        Field(("may_leave",), "May be left", "written"),
    )


def named_units(body: Any, path: Path) -> Any:
    """The kitchen with the units of a kind by name, as the plan has called them all along."""
    kind = at(body, path)
    count = kind.get("units", 1) if isinstance(kind, dict) else 1
    count = count if isinstance(count, int) and 1 <= count <= 500 else 1
    name = str(kind.get("id", "unit"))
    ids = [name] if count == 1 else [f"{name}-{i + 1}" for i in range(count)]
    return put(body, (*path, "units"), [{"id": id} for id in ids])
