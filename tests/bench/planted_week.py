"""A planted week before it is planted: recipes and events in a kitchen that has too much.

What there is too much of is taken away once the hidden plan stands
(`planted_squeeze`).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from random import Random
from typing import Any

from tests.bench.planted_draw import Document, Draw
from tests.bench.planted_menu import FIRST, Menu

SECTIONS = ("sauce", "larder", "pastry", "bakery", "pass")
SHARE = {"sauce": 22, "larder": 30, "pastry": 26, "bakery": 12, "pass": 16}
"""Of a hundred visits, roughly."""

SMALL = 600
"""Visits: a house up to this size has cooks who know every section."""

Pattern = tuple[str, str]
PATTERNS: dict[str, tuple[Pattern, ...]] = {
    "sauce": (
        ("07:30-16:00", "11:30-12:00"), ("13:30-22:30", "17:00-17:30"),
        ("10:00-18:30", "14:30-15:00"),
    ),
    "larder": (
        ("07:00-15:30", "11:00-11:30"), ("13:00-22:00", "16:30-17:00"),
        ("09:00-17:30", "13:00-13:30"),
    ),
    "pastry": (
        ("06:30-15:00", "10:30-11:00"), ("13:00-22:30", "17:00-17:30"),
        ("09:30-18:00", "13:30-14:00"),
    ),
    "bakery": (("04:00-12:30", "08:00-08:30"), ("10:00-19:00", "14:30-15:00")),
    "pass": (("09:30-17:30", "14:00-14:30"), ("15:00-23:00", "16:30-17:00")),
}  # fmt: skip
"""Shifts and their breaks, by section; a person keeps one pattern through the run."""

ALSO = {
    "sauce": ("larder", "pass"), "larder": ("sauce", "pass"), "pastry": ("bakery", "pass"),
    "bakery": ("pastry",), "pass": (),
}  # fmt: skip
"""Where else a section's cooks help out."""

TRAINED = {
    "sauce": ["rounds", "slicer"], "larder": ["rounds", "slicer", "stone"],
    "pastry": ["rounds", "stone", "sheeter", "hot-sugar"], "bakery": ["rounds", "sheeter", "stone"],
    "pass": [],
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Size:
    """How long a run of events is, and what goes with its size."""

    visits: int

    @property
    def days(self) -> int:
        """Days of the run; events begin on the third, or the second of a short one."""
        steps = ((60, 4), (150, 6), (350, 8), (700, 10), (1500, 12))
        return next((d for most, d in steps if self.visits <= most), 14)

    @property
    def largest(self) -> int:
        """Guests of the largest event."""
        return 60 if self.visits <= 60 else 160

    @property
    def courses(self) -> int:
        """Courses of an event at most."""
        return 2 if self.visits <= 60 else 5

    @property
    def spread(self) -> int:
        """Components of a kind at most."""
        return 1 + self.visits // 500


def written(size: Size, events: int, seed: int) -> Document:
    """A written week of so many events, the same from the same seed.

    The first events of a longer list are those of a shorter one, so that the
    number can be changed until the visits come out right.
    """
    rng = Random(f"{size.visits} {seed}")
    menu = Menu(Draw(rng), size.spread)
    first = 2 if size.days > 4 else 1
    found: list[Document] = []
    tries = 0
    while len(found) < events and tries < 20 * events:
        tries += 1
        day = first + (len(found) * 7 + rng.randrange(3)) % (size.days - first)
        event = menu.event(len(found) + 1, day, size.largest, size.courses)
        if event is not None:
            found.append(event)
    return used(
        {
            "schema": 1,
            "kitchen": kitchen(size),
            "components": list(menu.components.values()),
            "dishes": list(menu.dishes.values()),
            "week": {
                "id": "planted",
                "starts": f"{FIRST} 00:00",
                "plan_from": f"{FIRST} 06:00",
                "ends": f"{FIRST + timedelta(days=size.days)} 00:00",
                "events": found,
            },
        }
    )


def used(document: Document) -> Document:
    """Without dishes that no event serves, and components that then nobody takes."""
    events = document["week"]["events"]
    served = {m["dish"] for e in events for m in e["menu"]}
    document["dishes"] = [d for d in document["dishes"] if d["id"] in served]
    swaps = {
        to for e in events for m in e["menu"] for x in m.get("diets", ()) for to in
        x["swap"].values()
    }  # fmt: skip
    known = {c["id"]: c for c in document["components"]}
    wanted = swaps | {t for d in document["dishes"] for t in _taken(d)}
    edge = set(wanted)
    while edge:
        edge = {t for c in edge for t in _taken(known[c])} - wanted
        wanted |= edge
    document["components"] = [c for c in document["components"] if c["id"] in wanted]
    document["week"] |= _begun(wanted) | _deliveries(document)
    return document


def _begun(components: set[str]) -> Document:
    """What stands in a store and what is already running when the week opens."""
    there: Document = {"on_hand": [], "in_progress": []}
    if "pickled-1" in components:
        there["on_hand"].append(
            {
                "id": "pickled-before", "component": "pickled-1", "quantity": "800 g",
                "made": f"{FIRST - timedelta(days=2)} 15:00", "store": "walk-in",
            }
        )
    if "soured-1" in components:
        there["in_progress"].append(
            {
                "id": "soured-before", "component": "soured-1", "quantity": "10 kg",
                "step": "ferment", "started": f"{FIRST - timedelta(days=1)} 17:00",
                "on": ["tub", "cellar"], "last_visit": f"{FIRST - timedelta(days=1)} 18:00",
            }
        )
    return there  # fmt: skip


def _deliveries(document: Document) -> Document:
    """Everything raw comes on the second morning."""
    steps = [s for c in document["components"] for s in c["steps"]]
    raw = sorted({t["ingredient"] for s in steps for t in s.get("takes", ()) if "ingredient" in t})
    at = f"{FIRST + timedelta(days=1)} 08:00"
    return {"deliveries": [{"id": f"{x}-tuesday", "ingredient": x, "at": at} for x in raw]}


def _taken(one: Document) -> set[str]:
    lists = [one.get("takes", ()), *(s.get("takes", ()) for s in one.get("steps", ()))]
    return {t["component"] for takes in lists for t in takes if "component" in t}


def kitchen(size: Size) -> Document:
    """More of everything than anybody could need."""
    v = size.visits
    big = 2 if v > 700 else 1
    hot: dict[str, Any] = {"up": 10, "down": 5, "goes_cold_after": "90 min"}
    return {
        "id": "planted",
        "zone": "Europe/Vienna",
        "grid": "5 min",
        "open": "04:00-23:30",
        "transfer": "10 min",
        "diets_ahead": "30 min",
        "sections": [{"id": s} for s in SECTIONS],
        "day_parts": [
            {"id": "morning", "hours": "06:30-10:00"},
            {"id": "midday", "hours": "12:30-15:30"},
            {"id": "evening", "hours": "16:00-19:00"},
        ],
        "people": [p for s in SECTIONS for p in people(s, 4 + v * SHARE[s] // 900, v <= SMALL)],
        "equipment": [
            {
                "id": "combi", "units": [{"id": f"combi-{n + 1}"} for n in range(3 + v // 125)],
                "capacity": 10 * big, "measure": "trays", "alone": "yes",
                "heat": hot | {"modes": ["dry", "steam"], "hottest": 250},
            },
            {
                "id": "deck", "units": [{"id": f"deck-{n + 1}"} for n in range(2 + v // 250)],
                "capacity": 8, "measure": "trays", "heat": hot | {"hottest": 280, "up": 6},
            },
            {
                "id": "dehydrator",
                "units": [{"id": f"dehydrator-{n + 1}"} for n in range(2 + v // 300)],
                "capacity": 8, "measure": "trays", "alone": "yes",
                "heat": {"hottest": 70, "up": 2, "down": 2, "goes_cold_after": "1 h"},
            },
            {
                "id": "stone", "units": 3 + v // 40, "fill": "5 kg", "alone": "yes",
                "may_use": "stone",
            },
            {"id": "kettle", "units": 3 + v // 60, "fill": "80 l"},
            {"id": "griddle", "units": 2 + v // 100, "alone": "never"},
            {"id": "slicer", "units": 2 + v // 150, "may_use": "slicer", "alone": "never"},
            {"id": "sheeter", "units": 2 + v // 150, "may_use": "sheeter", "alone": "never"},
            {"id": "spiral", "units": 2 + v // 150},
            {"id": "mixer", "units": 2 + v // 100},
            {"id": "blender", "units": 2 + v // 100, "alone": "never"},
            {
                "id": "choux-rack",
                "units": [{"id": f"choux-rack-{n + 1}"} for n in range(2 + v // 400)],
                "capacity": 8, "measure": "trays",
            },
            *(
                {"id": name, "capacity": least + v // by, "measure": "places", **rest}
                for name, least, by, rest in PLACES
            ),
        ],
        "stores": [
            {"id": store, "zone": zone, "shelves": 60 + v * 2}
            for store, zone in STORES.items()
        ],
        "duties": duties(size),
    }  # fmt: skip


PLACES: tuple[tuple[str, int, int, Document], ...] = (
    ("burner", 16, 12, {"alone": "someone_on_shift"}),
    ("blast-chiller", 12, 15, {}),
    ("prover", 24, 10, {}),
    ("drying-room", 28, 25, {}),
    ("tub", 12, 30, {"per_shelf": 1}),
    ("dome-sheet", 12, 25, {"per_shelf": 2}),
    ("parfait-sheet", 12, 25, {"per_shelf": 1}),
    ("terrine", 12, 25, {"per_shelf": 2}),
    ("press-tin", 12, 25, {"per_shelf": 1}),
    ("cup-tray", 12, 25, {"per_shelf": 1}),
)
"""Kinds of one unit with places, and containers: least, so many more visits for one more."""

STORES = {
    "walk-in": "chilled", "freezer": "frozen", "dry-rack": "dry", "cellar": "room",
    "hot-cupboard": "hot",
}  # fmt: skip


def people(section: str, count: int, small: bool) -> list[Document]:
    """A section's people: leads, cooks, every fifth a trainee; two days off in seven, in turn.

    In a small house every cook knows every section.
    """
    found = []
    trained = sorted({t for s in SECTIONS for t in TRAINED[s]}) if small else TRAINED[section]
    for n in range(count):
        hours, pause = PATTERNS[section][n % len(PATTERNS[section])]
        pauses = (pause, _later(pause))
        level = "lead" if n < 2 else "trainee" if n % 5 == 4 else "cook"
        sections = {section: level}
        if level != "trainee":
            also = [s for s in SECTIONS if s != section] if small else ALSO[section]
            sections |= {other: "cook" for other in also}
        off = [2 * n + 5 * (n % 2), 2 * n + 5 * (n % 2) + 1] if count > 4 else []
        days = [
            str(FIRST + timedelta(days=day))
            for day in range(14)
            if day % 7 not in {o % 7 for o in off}
        ]
        found.append(
            {
                "id": f"{section}-{n + 1}",
                "sections": sections,
                "may_use": ["rounds"] if level == "trainee" else trained,
                "shifts": [{"days": days, "hours": hours, "breaks": [pauses[n // 2 % 2]]}],
            }
        )
    return found


def _later(hours: str) -> str:
    """A break an hour later: not everybody sits down at once."""
    first, last = ((int(x[:2]) + 1, x[2:]) for x in hours.split("-"))
    return f"{first[0]:02}{first[1]}-{last[0]:02}{last[1]}"


def duties(size: Size) -> list[Document]:
    """What the house takes every day anyhow."""
    if size.visits <= 60:
        return []
    more = 1 + size.visits // 1200
    blocks: tuple[tuple[str, str, str, list[Document]], ...] = (
        ("breakfast-bake", "04:30-06:00", "bakery", [{"equipment": "deck-1", "amount": 4}]),
        ("deliveries", "07:30-08:15", "larder", []),
        ("staff-meal", "10:15-11:00", "sauce", [{"equipment": "burner", "amount": 2}]),
        ("lunch", "12:00-14:00", "sauce", [{"equipment": "burner", "amount": 2}]),
        ("dinner", "18:30-21:00", "larder", []),
        ("close-down", "21:30-22:00", "pastry", []),
    )
    found: list[Document] = [
        {
            "id": name, "days": ["daily"], "hours": hours, "section": section, "people": more,
            "level": "cook", "equipment": equipment,
        }
        for name, hours, section, equipment in blocks
    ]  # fmt: skip
    # Before `plan_from` on the first day there is nobody to be had.
    found[0]["days"] = [f"{FIRST + timedelta(days=1)}..{FIRST + timedelta(days=13)}"]
    return found
