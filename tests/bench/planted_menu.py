"""Components, dishes and events of a planted week."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from tests.bench import planted_larder as larder
from tests.bench import planted_sauce as sauce
from tests.bench import planted_sweet as sweet
from tests.bench.planted_draw import (
    Document,
    Draw,
    by_hand,
    hand,
    hot,
    in_zone,
    more,
    on,
    runs,
    span,
    takes,
    visit,
    wait,
)

FIRST = date(2027, 5, 3)
"""A Monday; no clock changes before October."""

Kind = Callable[..., Document]

KINDS: dict[str, tuple[Kind, str | None, int]] = {
    "soured": (larder.soured, None, 110), "cured": (larder.cured, None, 80),
    "infused": (sauce.infused, None, 30), "domed": (larder.domed, "infused", 56),
    "pickled": (larder.pickled, None, 40), "leathered": (larder.leathered, None, 40),
    "dripped": (larder.dripped, None, 36), "terrined": (larder.terrined, None, 48),
    "crisped": (larder.crisped, None, 24), "pressed": (larder.pressed, None, 40),
    "soaked": (larder.soaked, None, 48), "drained": (larder.drained, None, 36),
    "cut": (larder.cut_fresh, None, 14), "braised": (sauce.braised, None, 60),
    "simmered": (sauce.simmered, None, 40), "reduced": (sauce.reduced, "simmered", 56),
    "glazed": (sauce.glazed, None, 24), "hung": (larder.hung, None, 90),
    "ground": (sweet.ground, None, 60), "frozen": (sweet.frozen, "ground", 96),
    "poached": (sweet.poached, None, 60), "steamed": (sweet.steamed, None, 54),
    "cupped": (sweet.cupped, None, 36), "dried": (sweet.dried_out, None, 36),
    "bent": (sweet.bent, None, 24), "pulled": (sweet.pulled, None, 24),
    "burnt": (sweet.burnt, None, 24), "choux": (sweet.choux, None, 30),
    "stamped": (sweet.stamped, None, 24), "crackers": (sweet.crackers, None, 24),
    "sponged": (sweet.sponged, None, 36), "rolls": (sweet.rolls, "sponged", 72),
    "folds": (sweet.folds, None, 60),
}  # fmt: skip
"""Kind: who writes it, what it is made of, hours from nothing to a first plate."""

WEIGHED = {
    "soured": "40 g", "cured": "60 g", "pickled": "6 g", "leathered": "4 g", "terrined": "50 g",
    "soaked": "90 g", "drained": "30 g", "cut": "70 g", "braised": "150 g", "glazed": "30 g",
    "poached": "35 g", "burnt": "10 g", "ground": "15 g", "dripped": "6 ml", "reduced": "35 ml",
    "infused": "110 ml",
}  # fmt: skip
"""What a plate takes of what is weighed; of everything else one piece."""

PLATES: dict[str, list[tuple[str, ...]]] = {
    "bread": [("rolls",), ("folds",)],
    "cold": [
        ("cured", "soured", "dripped"), ("domed", "dripped", "pickled", "crisped"),
        ("terrined", "crisped", "pickled"), ("cut", "drained", "crackers"),
        ("cured", "leathered", "drained", "crackers"), ("cut", "soured", "dripped"),
        ("terrined", "cut", "crackers"), ("domed", "cut"),
    ],
    "soup": [("infused",)],
    "hot": [
        ("braised", "glazed", "pressed"), ("hung", "reduced", "poached"), ("soaked", "drained"),
        ("braised", "reduced", "cut"), ("braised", "pickled", "glazed"),
    ],
    "sweet": [
        ("frozen", "bent", "pulled"), ("cupped", "poached", "dried"), ("steamed", "burnt"),
        ("poached", "drained", "burnt"), ("cupped", "bent"), ("frozen", "dried", "burnt"),
        ("stamped", "poached"),
    ],
    "bite": [
        ("crisped", "terrined"), ("choux",), ("crackers", "soured"), ("leathered", "drained"),
        ("crackers", "burnt"), ("crisped", "pickled", "drained"),
    ],
}  # fmt: skip

PLATED_BY = {"cold": "larder", "hot": "sauce", "soup": "sauce", "sweet": "pastry"}
"""The rest is the pass's."""

EVENTS = {
    "dinner": ((18, 19), ("bread", "cold", "soup", "hot", "sweet")),
    "lunch": ((12, 13), ("bread", "cold", "hot", "sweet")),
    "light-lunch": ((12, 13), ("cold", "sweet")),
    "reception": ((17, 19), ("bite", "bite", "bite", "bite")),
    "brunch": ((10, 11), ("bread", "cold", "sweet")),
    "tea": ((15, 16), ("sweet", "bite", "bread")),
}
"""First plate between these hours, and the courses."""


class Menu:
    """Draws recipes, dishes and events; adds components as dishes call for them.

    Parameters
    ----------
    d : Draw
    each : int
        So many events share a component, roughly.
    """

    def __init__(self, d: Draw, spread: int) -> None:
        self.d, self.spread = d, spread
        self.components: dict[str, Document] = {}
        self.dishes: dict[str, Document] = {}
        self.of_kind: dict[str, list[str]] = {}
        self.of_course: dict[str, list[tuple[str, int]]] = {}

    # -- what is made ----------------------------------------------------------------

    def component(self, kind: str) -> str:
        """One of a kind; a new one while there are few."""
        known = self.of_kind.setdefault(kind, [])
        if len(known) < self.spread and (not known or self.d.maybe(0.6)):
            write, made_of, _ = KINDS[kind]
            inner = () if made_of is None else (self.component(made_of),)
            name = f"{kind}-{len(known) + 1}"
            self.components[name] = write(self.d, name, *inner)
            known.append(name)
            return name
        return self.d.rng.choice(known)

    def dish(self, course: str, hours: int) -> str | None:
        """A dish for a course that can be made in so many hours; old or new."""
        known = [n for n, lead in self.of_course.setdefault(course, []) if lead <= hours]
        if len(known) >= 2 * self.spread or (known and self.d.maybe(0.35)):
            return self.d.rng.choice(known)
        ready = [p for p in PLATES[course] if max(KINDS[k][2] for k in p) <= hours]
        if not ready:
            return self.d.rng.choice(known) if known else None
        plate = self.d.rng.choice(ready)
        parts = [self.component(kind) for kind in plate]
        name = f"{course}-{len(self.of_course[course]) + 1}"
        self.dishes[name] = self._dish(name, course, plate, parts)
        self.of_course[course].append((name, max(KINDS[k][2] for k in plate)))
        return name

    def _dish(self, name: str, course: str, plate: tuple[str, ...], parts: list[str]) -> Document:
        small = course == "bite"
        inputs = []
        for kind, part in zip(plate, parts, strict=True):
            amount = WEIGHED.get(kind, "1 piece")
            if small and kind in WEIGHED:
                number, unit = amount.split()
                amount = f"{max(1, int(number) // 4)} {unit}"
            inputs.append(takes(part, amount))
        helper = hand("anyone", "trainee")
        out: Document = {"id": name, "section": PLATED_BY.get(course, "pass"), "takes": inputs}
        if course in ("cold", "sweet", "bread") or small:
            rate = {"cold": 200, "sweet": 260, "bread": 480, "bite": 420}[course]
            crew = [hand(), helper] if course in ("cold", "sweet") else [hand()]
            out["plating"] = {"per_hour": rate, "hands": crew}
            if not small:
                most, best = ("3 h 30 min", "2 h") if course == "cold" else ("90 min", "45 min")
                zone = {} if course == "bread" else {"zone": "chilled", "per_shelf": "24 portions"}
                out["keeps"] = {"at_most": most, "best_until": best, **zone}
        else:
            out["plating"] = {"per_hour": 300, "hands": [hand(), helper]}
        if course == "sweet" and plate[0] == "frozen":
            out["steps"] = [
                runs(
                    "temper", span("20 min", "50 min", "30 min"),
                    load=visit("Out of the freezer", "5 min"),
                    on=[in_zone("chilled", "48 portions")], takes=[inputs.pop(0)],
                    then=wait("10 min", "10 min"),
                )
            ]  # fmt: skip
        if course == "soup":
            out["steps"] = [
                runs(
                    "heat", span("40 min", "60 min", "50 min"), section="sauce",
                    load=visit("Fill and set on", "10 min"), on=[on("burner", amount=2)],
                    takes=[inputs.pop(0)], then=wait("10 min"),
                )
            ]  # fmt: skip
        if plate[0] == "braised":
            steps = [
                runs(
                    "warm", span("40 min", "75 min", "50 min"), section="sauce",
                    load=visit("Load", "5 min"),
                    on=[hot("combi", 82, 92, "steam", per="24 portions")],
                    takes=[inputs.pop(0)], then=wait("20 min", "10 min"),
                )
            ]  # fmt: skip
            if "pressed" in plate:
                steps.append(
                    by_hand(
                        "crisp", more("10 min", "4 min", "24 portions"), hand("anyone"),
                        on=[on("griddle")], takes=[inputs.pop()],
                    )
                )
            out["steps"] = steps
        return out

    # -- when ------------------------------------------------------------------------

    def event(self, n: int, day: int, largest: int, most: int) -> Document | None:
        """An event of `most` courses on a day of the run, counted from 0.

        None where nothing is ready by then.
        """
        d = self.d
        kind = d.rng.choice(list(EVENTS))
        (first, last), courses = EVENTS[kind]
        moment = f"{FIRST + timedelta(days=day)} {d.number(first, last)}:{d.number(0, 45, 15):02}"
        if moment[-5] == " ":
            moment = moment.replace(" ", " 0")
        hours = 24 * day + first - 6
        after = 0
        menu: list[Document] = []
        chosen = sorted(d.rng.sample(range(len(courses)), min(most, len(courses))))
        for course in (courses[c] for c in chosen):
            dish = self.dish(course, hours)
            if dish is None or any(m["dish"] == dish for m in menu):
                continue
            line: dict[str, Any] = {"dish": dish, "after": f"{after} min"}
            if course == "bite":
                line["waves"] = [
                    {"share": "50 %", "after": "0 min"}, {"share": "50 %", "after": "40 min"}
                ]  # fmt: skip
                after += 10
            else:
                after += 30
            menu.append(line)
        if not menu:
            return None
        guests = d.number(20, largest, 5)
        self._diet(menu, guests)
        return {
            "id": f"{kind}-{n}", "first_plate": moment, "guests": guests,
            "rank": d.number(1, 3), "menu": menu,
        }  # fmt: skip

    def _diet(self, menu: list[Document], guests: int) -> None:
        """Now and then a few guests get bread without what they cannot have."""
        line = menu[0]
        if not line["dish"].startswith("bread") or not self.d.maybe(0.4):
            return
        part = self.dishes[line["dish"]]["takes"][0]["component"]
        swap = {part: self.component("crackers")}
        line["diets"] = [{"id": "without", "count": max(2, guests // 20), "swap": swap}]
