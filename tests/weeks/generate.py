"""Believable small weeks: two to four days, one to three events, three to twelve components.

`generate` draws one from a seeded `Random`; `weeks` is the Hypothesis
strategy around it.
"""

from __future__ import annotations

from random import Random
from typing import Any

from hypothesis import strategies as st

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from tests.weeks.kinds import KINDS, Prep
from tests.weeks.machines import with_machines
from tests.weeks.things import with_things
from tests.weeks.tiny import Document, cook, in_oven, kind, oven, step, store, take

DAYS = ("2027-05-05", "2027-05-06", "2027-05-07", "2027-05-08", "2027-05-09")
NAMES = (
    "amber", "barley", "cedar", "dill", "elder", "fennel", "ginger", "hazel", "iris", "juniper",
    "kale", "lovage",
)  # fmt: skip
LATE = ("fermented", "cured", "drained", "braised", "moulded", "simmered", "soaked")
"""Kinds that are made the day before or earlier."""


def generate(rng: Random) -> Document:
    """One written week."""
    return _Week(rng).document()


def weeks() -> st.SearchStrategy[Scenario]:
    """Checked scenarios."""
    return st.randoms(use_true_random=False).map(
        lambda rng: scenario_of(share_hands(generate(rng), rng))
    )


def share_hands(week: Document, rng: Random) -> Document:
    """The same week with some of its work shared, left to trainees in company, or to one of two."""
    people = week["kitchen"]["people"]
    for one in week["components"]:
        for step_ in one["steps"]:
            for holder in (step_, step_.get("load"), step_.get("unload")):
                lines = holder.get("hands", ()) if holder else ()
                if len(lines) != 1 or not isinstance(holder["time"], str) or rng.random() < 0.6:
                    continue
                line = lines[0]
                kind_ = rng.choice(("share", "share", "learn", "name"))
                if kind_ == "name":
                    section = line.get("section") or step_.get("section") or one["section"]
                    able = [p["id"] for p in people if _may(p, section, line)]
                    line["only"] = rng.sample(able, min(2, len(able))) if able else []
                else:
                    line["up_to"] = rng.choice((2, 3))
                    if kind_ == "learn":
                        line["level"] = "trainee"
                        line["not_alone"] = rng.random() < 0.5
    return week


def _may(person: Document, section: str, line: Document) -> bool:
    """Certainly: of the section, above a trainee, trained for everything."""
    at = person["sections"].get(section)
    return at in ("lead",) and set(line.get("may_use", ())) <= set(person.get("may_use", ()))


class _Week:
    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.prep = Prep(rng)
        self.components: list[Document] = []
        self.dishes: list[Document] = []
        self.off = self.maybe(0.3)

    def maybe(self, part: float) -> bool:
        return self.rng.random() < part

    def document(self) -> Document:
        self._components()
        events = self._events()
        week: Document = {
            "id": "week",
            "starts": f"{DAYS[0]} 06:00",
            "plan_from": f"{DAYS[0]} {self.rng.choice(('06:00', '07:20'))}",
            "ends": f"{DAYS[4]} 00:00",
            "events": events,
        }
        week |= self._there()
        kitchen = self._kitchen()
        if self.maybe(0.5):
            kitchen |= self._wanted()
            week["wishes"] = self._wishes()
        document = {
            "schema": 1,
            "kitchen": kitchen,
            "components": self.components,
            "dishes": self.dishes,
            "week": week,
        }
        return with_machines(with_things(document, self.rng), self.rng)

    def _kitchen(self) -> Document:
        rng = self.rng
        duties = []
        if self.maybe(0.5):
            duties.append(
                {
                    "id": "restaurant", "days": ["daily"], "hours": "18:00-21:00",
                    "section": "stove", "people": 1, "level": "cook",
                    "equipment": [{"equipment": "burner", "amount": 2}],
                    "stores": [{"store": "walk-in", "shelves": 2}],
                }
            )
        if self.maybe(0.3) and not self.off:
            duties.append(
                {"id": "unpack", "days": ["daily"], "hours": "07:00-07:30", "section": "larder",
                 "people": 1, "level": "trainee"}
            )  # fmt: skip
        return {
            "id": "kitchen",
            "zone": "Europe/Vienna",
            "grid": rng.choice(("15 min", "15 min", "10 min")),
            "transfer": rng.choice(("0 min", "15 min")),
            "sections": [{"id": s} for s in ("stove", "larder", "pastry", "pass")],
            "day_parts": [
                {"id": "morning", "hours": "07:00-11:00"}, {"id": "evening", "hours": "16:00-21:00"}
            ],
            "people": self._people(),
            "equipment": [
                oven(capacity=rng.choice((4, 6, 8)), up=8, down=4, goes_cold_after="1 h"),
                kind("burner", units=rng.choice((4, 6))),
                kind(
                    "grinder",
                    units=[{"id": "small", "fill": "5 kg"}, {"id": "large", "fill": "8 kg"}],
                    alone="someone_on_shift",
                ),
                kind("mixer", units=rng.choice((1, 2))),
                kind("mould", units=rng.choice((16, 20)), per_shelf=5),
                kind("tub", units=10, per_shelf=2),
                kind("bench", capacity=3),
            ],
            "stores": [
                store("walk-in", "chilled", rng.choice((20, 30))), store("cold-room", "chilled", 8),
                store("rack", "dry", rng.choice((10, 14))),
            ],
            "duties": duties,
        }  # fmt: skip

    def _people(self) -> list[Document]:
        rng = self.rng
        off = {"off": [rng.choice(DAYS[:2])]} if self.off else {}
        late = {"days": ["daily"], "hours": "13:00-22:30", "breaks": ["16:30-17:00"]}
        return [
            cook("ana", "08:00-17:00", sections={"stove": "lead", "larder": "cook"}),
            cook("ben", late, sections={"stove": "cook", "pass": "cook", "larder": "cook"}),
            cook("cleo", "07:00-15:30", sections={"larder": "lead", "pastry": "cook"}, **off),
            cook(
                "dario", "06:00-14:30", sections={"pastry": "lead"}, may_use=["hot-sugar"]
            ),
            cook(
                "edda", rng.choice(("12:00-22:00", "14:00-22:30")),
                sections={"pass": "lead", "pastry": "cook", "larder": "cook"},
                may_use=["hot-sugar"],
            ),
            cook("fritz", "09:00-18:00", sections={"larder": "trainee", "stove": "trainee"}),
        ][: rng.choice((6, 6, 5)) if not self.needs_trainee else 6]

    def _components(self) -> None:
        rng = self.rng
        kinds = [rng.choice(KINDS) for _ in range(rng.randint(3, 12))]
        self.needs_trainee = "cut" in kinds
        for name, what in zip(NAMES, kinds, strict=False):
            self.components.append(getattr(self.prep, what)(name))
        self.kinds = dict(zip(NAMES, kinds, strict=False))
        self.inside: set[str] = set()
        for component in self.components:
            rest = [c for c in self.components if c["id"] < component["id"]]
            early = [c for c in rest if self.kinds[c["id"]] in LATE]
            if early and len(self.inside) < 2 and len(self.components) > 3 and self.maybe(0.2):
                made = rng.choice(early)
                if made["id"] in self.inside:
                    continue
                self.inside.add(made["id"])
                component["steps"][0].setdefault("takes", []).append(
                    take(made["id"], "500 g" if "kg" in made["makes"] else "10 portions")
                )

    def _events(self) -> list[Document]:
        rng = self.rng
        parts = [c for c in self.components if c["id"] not in self.inside]
        rng.shuffle(parts)
        count = min(len(parts), rng.randint(1, 3))
        moments = (("05-07", "19:00"), ("05-08", "13:00"), ("05-08", "19:30"))
        held = sorted(rng.sample(moments, count))
        events: list[Document] = []
        for n, (day, at) in enumerate(held):
            mine = parts[n::count]
            shared = [p for p in parts if p not in mine and self.maybe(0.2)]
            events.append(self._event(n, f"2027-{day} {at}", mine + shared))
        return events

    def _event(self, number: int, at: str, parts: list[Document]) -> Document:
        rng = self.rng
        guests = rng.choice((20, 30, 50))
        dishes = min(3, max(1, len(parts) // rng.choice((1, 2, 3))))
        menu = []
        for n in range(dishes):
            mine = parts[n::dishes]
            name = f"plate-{number + 1}-{n + 1}"
            self.dishes.append(self._dish(name, mine))
            menu.append(self._course(name, n, mine, guests))
        event: Document = {
            "id": f"event-{number + 1}", "first_plate": at, "guests": guests, "menu": menu,
            "rank": rng.choice((1, 1, 2)),
        }  # fmt: skip
        if self.maybe(0.5):
            event["margin"] = rng.choice(("0 %", "8 %"))
        return event

    def _amount(self, part: Document) -> str:
        return f"{self.rng.choice((60, 90, 120))} g" if "kg" in part["makes"] else "1 portion"

    def _dish(self, name: str, parts: list[Document]) -> Document:
        rng = self.rng
        made: Document = {
            "id": name, "section": "pass",
            "takes": [take(p["id"], self._amount(p)) for p in parts],
            "plating": {"per_hour": rng.choice((60, 90, 120)),
                        "hands": [{"people": 1, "level": "cook"}]},
        }  # fmt: skip
        if self.maybe(0.3):
            made["steps"] = [
                step("warm", "25 min", load={"time": "5 min", "hands": [{"section": "anyone"}]},
                     on=[in_oven(140, 150, per="25 portions")], takes=[made["takes"].pop(0)])
            ]  # fmt: skip
        elif self.maybe(0.3):
            made["keeps"] = {"at_most": "3 h", "zone": "chilled", "per_shelf": "10 portions",
                             "best_until": "90 min"}  # fmt: skip
        return made

    def _course(self, name: str, place: int, parts: list[Document], guests: int) -> Document:
        course: dict[str, Any] = {"dish": name}
        if place:
            course["after"] = f"{45 * place} min"
        if self.maybe(0.15) and len(parts) > 1:
            plain = [p for p in self.components if p not in parts and p["id"] not in self.inside]
            alike = [p for p in plain if ("kg" in p["makes"]) == ("kg" in parts[0]["makes"])]
            if alike:
                swap = {parts[0]["id"]: self.rng.choice(alike)["id"]}
                course["diets"] = [{"id": "without", "count": 3, "swap": swap}]
        elif self.maybe(0.15) and "keeps" not in self.dishes[-1]:
            course["waves"] = [
                {"after": "0 min", "share": "60 %"}, {"after": "60 min", "share": "40 %"}
            ]
        elif self.maybe(0.15):
            course["crew"] = 6
        return course

    def _there(self) -> Document:
        """What stands in a store, what is running, what arrives."""
        rng = self.rng
        there: Document = {}
        for component in self.components:
            what = self.kinds[component["id"]]
            if what == "cured" and self.maybe(0.3):
                there.setdefault("on_hand", []).append(
                    {"id": f"lot-{component['id']}", "component": component["id"],
                     "quantity": rng.choice(("800 g", "3 kg")), "made": f"{DAYS[0]} 02:00",
                     "store": "walk-in"}
                )  # fmt: skip
            if what == "fermented" and self.maybe(0.3):
                there.setdefault("in_progress", []).append(
                    {"id": f"run-{component['id']}", "component": component["id"],
                     "quantity": "5 kg", "step": "ferment", "started": "2027-05-04 20:00",
                     "on": ["rack"],
                     **({"last_visit": f"{DAYS[0]} 04:00"} if self._hourly(component) else {})}
                )  # fmt: skip
        taken = any(
            t.get("ingredient") for c in self.components for s in c["steps"]
            for t in s.get("takes", ())
        )  # fmt: skip
        if taken and self.maybe(0.7):
            there["deliveries"] = [
                {"id": "greens", "ingredient": "leaves", "at": f"{DAYS[1]} 07:30"}
            ]
        return there

    def _wanted(self) -> Document:
        """Time in hand, calm, and what a wish is worth."""
        rng = self.rng
        return {
            "time_in_hand": {
                "long": "2 h", "out_ahead": rng.choice(("0 min", "3 h")),
                "quiet": rng.choice(("0 min", "2 h 10 min")),
                **({"day_full": "45 %", "price": 2} if self.maybe(0.5) else {}),
            },
            "calm": {
                "late_start": rng.choice((0, 40)), "section_change": rng.choice((0, 15)),
                "job_change": rng.choice((0, 5)), "free_changes": rng.choice((0, 3)),
                "hand_over": rng.choice((0, 20)), "oven_change": rng.choice((0, 25)),
            },
            "wish": {"job": rng.choice((30, 90)), "minute": rng.choice((1, 2))},
        }  # fmt: skip

    def _wishes(self) -> list[Document]:
        """Wishes of every kind, none of which makes a week impossible by itself."""
        rng = self.rng
        wishes: list[Document] = []
        for component in self.components:
            wish: Document = {"kind": "rather", "component": component["id"]}
            what = rng.choice(("who", "days", "done", "begun", "grinder", "nothing"))
            if what == "who":
                wish |= {"kind": "rather not", "person": rng.choice(("ana", "cleo", "edda"))}
            elif what == "days":
                kind = rng.choice(("rather", "rather not", "must not"))
                day = DAYS[2] if kind != "must not" else DAYS[3]
                wish |= {"kind": kind, "days": [day]}
            elif what == "done":
                wish |= {"done_by": f"{rng.choice(DAYS[1:4])} 12:00"}
            elif what == "begun":
                wish |= {"not_before": f"{rng.choice(DAYS[1:3])} 09:20"}
            elif what == "grinder" and "grinder" in str(component["steps"]):
                wish |= {"unit": rng.choice(("small", "large"))}
            if len(wish) > 2:
                wishes.append(wish)
        return wishes

    def _hourly(self, component: Document) -> bool:
        return "every" in component["steps"][1]["tend"][0]
