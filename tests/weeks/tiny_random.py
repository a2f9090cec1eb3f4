"""Random tiny weeks, small enough to try everything: one day, two to five tasks, tight."""

from __future__ import annotations

from random import Random
from typing import Any

from tests.weeks.tiny import (
    DAY,
    Document,
    component,
    cook,
    dish,
    in_oven,
    keep,
    kind,
    oven,
    span,
    step,
    store,
    take,
    visit,
    week_of,
)

KINDS = (
    "turned", "braised", "fermented", "baked", "moulded", "soaked", "rested", "waved", "ground",
    "cured",
)  # fmt: skip


def tiny_week(rng: Random, kinds: tuple[str, ...] = KINDS, most: int = 5) -> Document:
    """One tiny week with at most so many tasks (the plating is one)."""
    return _Tiny(rng, kinds, most).week()


def single_chain(rng: Random) -> Document:
    """One component, a chain without loads or adds, whose only user is the plating at its moment.

    Here insertion is exact: the dish's place is fixed, and the one batch that
    is put in has costs of its own only.
    """
    tiny = _Tiny(rng, ("turned", "braised", "fermented", "soaked"), 4)
    tiny.alone, tiny.whole = True, "20 portions"
    return tiny.week()


def shared_week(rng: Random) -> Document:
    """A tiny week in which hands may share, a trainee is not alone, or somebody is named."""
    tiny = _Tiny(rng, ("turned", "turned", "braised", "baked"), 4)
    tiny.both = tiny.shares = True
    return tiny.week()


class _Tiny:
    def __init__(self, rng: Random, kinds: tuple[str, ...], most: int) -> None:
        self.rng, self.kinds, self.most = rng, kinds, most
        self.grid = rng.choice((30, 60, 60))
        self.alone = self.shares = False
        self.food = True
        self.trays = rng.choice((1, 2, 4))
        if self.maybe(0.35):
            # A day of the oven, which has room for more than one thing.
            self.kinds, self.trays = ("braised", "braised", "baked"), rng.choice((4, 6))
        self.nested = self.maybe(0.35)
        self.both = self.maybe(0.5)
        self.fresh = self.maybe(0.15)
        self.whole = "20 portions" if self.nested else "6 portions"
        self.portions = rng.choice((4, 6, 10))

    def maybe(self, part: float) -> bool:
        return self.rng.random() < part

    def grids(self, low: int, high: int) -> str:
        """So many points of the grid, now and then not quite."""
        minutes = self.rng.randint(low, high) * self.grid
        return f"{minutes - self.rng.choice((0, 0, 10)) if minutes > 10 else minutes} min"

    def exactly(self, count: int) -> str:
        return f"{count * self.grid} min"

    def week(self) -> Document:
        rng = self.rng
        left = self.most - 1
        finish: dict[str, Any] = {}
        if not self.alone and left > 1 and self.maybe(0.35):
            finish = self._finished_before_plating()
            left -= 1
        names = ["one"] if self.alone else ["one", "two"][: rng.choice((1, 2, 2))]
        parts, top = [], []
        for i, name in enumerate(names):
            steps = self._steps(rng.choice(self.kinds), max(1, left // (len(names) - i)))
            left -= sum(2 if s.get("in_loads") else 1 for s in steps)
            parts.append(component(name, *steps, keeps=self._keep(), **self._more()))
            top.append(name)
        if self.nested and len(parts) == 2:
            parts[1]["steps"][0]["takes"] = [take("one", self._amount())]
            top = ["two"]
        within = {"within": self.exactly(2)} if self.fresh else {}
        takes = [take(n, "1 portion", **within) for n in top]
        stand = {"per_shelf": 2} if self.maybe(0.5) else {}
        if "steps" in finish:
            finish["steps"][0]["takes"] = [takes.pop(0)]
        plate = dish("plate", *takes, **finish)
        return week_of(
            *parts,
            dishes=[plate],
            guests=self.portions,
            service=f"{rng.choice((14, 16, 18))}:00",
            people=self._people(),
            equipment=[
                oven(
                    capacity=self.trays,
                    up=rng.choice((2, 5)),
                    down=rng.choice((1, 3)),
                    alone=rng.choice(("yes", "someone_on_shift")),
                ),
                kind("tub", units=rng.choice((1, 2, 3)), **stand),
                kind("pan"), kind("tray"),
                kind("grinder", units=[{"id": "small", "fill": "5 portions"},
                                       {"id": "large", "fill": self.whole}]),
                kind("mixer", units=rng.choice((1, 2))),
            ],
            stores=[
                store("walk-in", "chilled", rng.choice((1, 2, 4))), store("rack", "dry", 2),
                store("shelf", "dry", 1),
            ],
            kitchen={"day_parts": [{"id": "noon", "hours": "11:00-14:00"}],
                     "grid": f"{self.grid} min", "transfer": rng.choice(("0 min", "30 min"))},
            week={
                "starts": f"{DAY} 06:00",
                "plan_from": f"{DAY} {rng.choice(('06', '07'))}:{rng.choice(('00', '00', '20'))}",
                "ends": f"{DAY} 20:00",
            },
        )

    def _amount(self) -> str:
        return self.rng.choice(("5 portions", "10 portions", "15 portions"))

    def _more(self) -> dict[str, Any]:
        more: dict[str, Any] = {"weight": self.rng.choice((1, 1, 3))}
        if self.maybe(0.3):
            more["loss"] = "20 %"
        return more

    def _people(self) -> list[Document]:
        rng = self.rng
        hours = rng.choice((("06:00-14:00",), ("06:00-20:00",), ("08:00-18:00",)))
        people = [cook("ana", *hours)]
        if self.both:
            level = rng.choice(("lead", "trainee"))
            people.append(cook("ben", "11:00-20:00", sections={"stove": level}))
        if self.maybe(0.4):
            shift = {"days": ["daily"], "hours": hours[0], "breaks": ["12:00-13:00"]}
            people[0]["shifts"] = [shift]
        return people

    def _keep(self) -> Document:
        rng = self.rng
        zone = rng.choice((None, "chilled", "chilled", "dry"))
        rest: dict[str, Any] = {}
        if self.maybe(0.3):
            rest["not_before"] = self.exactly(1)
        if self.maybe(0.5):
            rest["best_until"] = self.exactly(rng.randint(1, 3))
        if zone and self.maybe(0.7):
            rest["per_shelf"] = rng.choice(("3 portions", "5 portions", "10 portions"))
        # Long enough for what the food decides, whose clock runs from the shortest.
        return keep(self.exactly(rng.randint(5, 8)), zone, **rest)

    def _wait(self) -> Document:
        rng = self.rng
        low = rng.choice((0, 0, 1, 2))
        rest: dict[str, Any] = {"not_before": self.exactly(low)} if low else {}
        if self.maybe(0.4):
            rest["best_from"] = rest["best_until"] = self.exactly(low + 1)
        if self.maybe(0.6):
            rest["zone"] = rng.choice(("chilled", "dry"))
            rest["per_shelf"] = rng.choice(("4 portions", "10 portions"))
        return {"at_most": self.exactly(low + rng.randint(1, 3)), **rest}

    def _crew(self) -> list[Document]:
        return [{"people": 1, "level": self.rng.choice(("cook", "cook", "trainee"))}]

    def _turn(self, name: str) -> Document:
        rest: dict[str, Any] = {}
        if self.maybe(0.4):
            rest["on"] = [{"equipment": "mixer"}]
        length: Any = self.grids(1, 2)
        if self.maybe(0.2):
            length = span("10 min", plus="8 min", per="1 portion")
        return step(name, length, hands=self._hands(), **rest)

    def _hands(self) -> list[Document]:
        """People there are: two only where the brigade has two."""
        lines = self._crew()
        lines[0]["people"] = 1
        if self.shares and self.maybe(0.6):
            lines[0]["up_to"] = self.rng.choice((1, 2, 2))
            if self.maybe(0.3) and lines[0]["up_to"] == 2 and lines[0]["level"] == "trainee":
                lines[0]["not_alone"] = True
            return lines
        if self.shares and self.maybe(0.3):
            lines[0]["only"] = ["ana"]
            return lines
        if self.both and self.maybe(0.3):
            lines.append({"people": 1, "level": "trainee"})
        return lines

    def _range(self, low: int) -> Document:
        rng = self.rng
        more = rng.choice((0, 1, 2, 3))
        most = self.exactly(low + more)
        if more and self.food and not self.fresh and self.maybe(0.4):
            return span(self.exactly(low), most, decides="it")
        if more and self.maybe(0.4):
            return span(self.exactly(low), most, best=self.exactly(low + rng.randint(0, more)))
        return span(self.exactly(low), most)

    def _steps(self, what: str, most: int) -> list[Document]:
        # What the food decides must be free to wait: only a last step here.
        self.food = True
        steps: list[Document] = getattr(self, f"_{what}")(most)
        if len(steps) > 1 and self.maybe(0.6):
            steps[0]["then"] = self._wait()
        return steps

    def _turned(self, most: int) -> list[Document]:
        return [self._turn("cut"), self._turn("mix")][: max(1, min(most, 2))]

    def _braised(self, most: int) -> list[Document]:
        low = self.rng.choice((100, 120, 170))
        run = step(
            "braise", self._range(2),
            on=[in_oven(low, low + self.rng.choice((0, 30, 30)), per=self.whole)],
        )
        if self.maybe(0.7):
            run["load"] = visit(self.exactly(1), self._hands())
        if self.maybe(0.4):
            run["unload"] = visit(self.exactly(1), self._hands())
        return [self._turn("season"), run] if most > 1 and self.maybe(0.6) else [run]

    def _fermented(self, most: int) -> list[Document]:
        run = step(
            "ferment", self._range(self.rng.choice((3, 4))),
            tend=[
                visit(
                    self.exactly(1), self._hands(), every=self.exactly(2),
                    **({"give_or_take": self.exactly(1)} if self.maybe(0.7) else {}),
                )
            ],
            on=[{"zone": "dry"}],
        )
        if not self.alone and self.maybe(0.3):
            del run["tend"]
            run["add"] = [
                visit(
                    self.exactly(1), self._hands(), after=self.exactly(1),
                    **({"give_or_take": self.exactly(1)} if self.maybe(0.5) else {}),
                )
            ]
        return [self._turn("mix"), run] if most > 1 and self.maybe(0.5) else [run]

    def _baked(self, most: int) -> list[Document]:
        loads = self.rng.choice((1, 2, 2, 3))
        tray = max(1, self.portions // (self.trays * loads))
        run = step(
            "bake", self.exactly(self.rng.choice((1, 2))), in_loads=True,
            load=visit(self.exactly(1), self._hands()),
            on=[in_oven(180, self.rng.choice((180, 220)), per=f"{tray} portions")],
        )
        if self.maybe(0.5):
            del run["load"]
        return [self._turn("shape"), run] if most > 2 and self.maybe(0.5) else [run]

    def _moulded(self, most: int) -> list[Document]:
        fill = self._turn("fill")
        fill["on"] = [{"equipment": "tub", "per": self.whole, "until": "unmould"}]
        fill["then"] = self._wait()
        return [fill, self._turn("unmould")]

    def _soaked(self, most: int) -> list[Document]:
        self.food = most < 2
        soak = step("soak", self._range(3), on=[{"equipment": "tub"}])
        return [soak, self._turn("drain")] if most > 1 and self.maybe(0.5) else [soak]

    def _rested(self, most: int) -> list[Document]:
        roast = step("roast", self.exactly(1), on=[in_oven(150, 180, per=self.whole)])
        roast["then"] = {"at_most": self.exactly(2), "in_machine": True}
        if self.maybe(0.5):
            roast["then"]["not_before"] = self.exactly(1)
        return [roast, self._turn("carve")]

    def _waved(self, most: int) -> list[Document]:
        """Load for load, or not: two loads each."""
        per = "5 portions" if self.portions == 10 and not self.nested else "20 portions"
        fry = step(
            "fry", self.exactly(1), in_loads=True, waves=self.maybe(0.6),
            on=[{"equipment": "pan", "per": per}], then=self._wait(),
        )
        if not self.food:
            del fry["waves"]
        return [fry, step("coat", self.exactly(1), in_loads=True,
                          on=[{"equipment": "tray", "per": per}])]  # fmt: skip

    def _ground(self, most: int) -> list[Document]:
        """The two grinders take five and ten portions; all of it at once, or in loads."""
        grind = step("grind", self.exactly(self.rng.choice((1, 2))), on=[{"equipment": "grinder"}])
        if self.maybe(0.5):
            grind["load"] = visit(self.exactly(1), self._hands())
        if self.maybe(0.4):
            grind["in_loads"] = True
        return [grind]

    def _cured(self, most: int) -> list[Document]:
        tend = visit(self.exactly(1), self._hands(), day_parts=["noon"])
        return [step("cure", self._range(self.rng.choice((4, 5))), tend=[tend])]

    def _finished_before_plating(self) -> dict[str, Any]:
        if self.maybe(0.5):
            steps = [step("warm", self.exactly(1), on=[in_oven(140, 160)])]
            return {"steps": steps}
        zone = {"zone": "dry"} if self.maybe(0.5) else {}
        return {"keeps": {"at_most": self.exactly(3), **zone}}
