"""Kinds of prep, as a chef would write them: each a chain of steps with figures drawn at random."""

from __future__ import annotations

from random import Random
from typing import Any

from tests.weeks.tiny import Document, hands, in_oven, keep, span, step, visit


class Prep:
    """Draws components of every kind.

    All amounts are for what the recipe as written makes; `name` is the
    component's id.
    """

    def __init__(self, rng: Random) -> None:
        self.rng = rng

    def maybe(self, part: float) -> bool:
        """True so often."""
        return self.rng.random() < part

    def between(self, low: int, high: int, by: int = 5) -> str:
        """So many minutes."""
        return f"{self.rng.randrange(low, high + 1, by)} min"

    def hours(self, low: int, high: int) -> str:
        """So many hours."""
        return f"{self.rng.randint(low, high)} h"

    def weighed(self, name: str, section: str, steps: list[Document], **rest: Any) -> Document:
        """A component made by weight; more of it takes longer by hand."""
        grams = self.rng.choice((60, 90, 120))
        kg = self.rng.choice((4, 6, 10))
        return {
            "id": name, "section": section, "makes": f"{kg} kg", "piece_weight": f"{grams} g",
            "steps": steps, **rest,
        }  # fmt: skip

    def counted(self, name: str, section: str, steps: list[Document], **rest: Any) -> Document:
        """A component made by portions."""
        return {"id": name, "section": section, "makes": "40 portions", "steps": steps, **rest}

    def chilled(self, limit: tuple[int, int], per: str, best: int | None = None) -> Document:
        """It keeps in the walk-in."""
        rest: Document = {"per_shelf": per}
        if best is not None:
            rest["best_until"] = f"{best} h"
        return keep(self.hours(*limit), "chilled", **rest)

    def fermented(self, name: str) -> Document:
        """Mixed, fermented where the food decides and tended, pressed."""
        tend = (
            {"day_parts": self.rng.choice((["morning"], ["morning", "evening"]))}
            if self.maybe(0.6)
            else {"every": "12 h", "give_or_take": "4 h"}
        )
        line = [{"people": 1, "section": "anyone", "level": "trainee"}]
        run = step(
            "ferment",
            span("20 h", self.hours(22, 28), decides="it"),
            tend=[visit("15 min", line, verb="feed", **tend)],
            on=[{"zone": "dry", "per": "5 kg"}],
            then={"at_most": "24 h", "zone": "chilled", "per_shelf": "5 kg"},
        )
        return self.weighed(
            name, "larder",
            [
                step("mix", span(self.between(15, 30), plus="2 min", per="1 kg"), hands=1),
                run,
                step("press", self.between(20, 40), hands=1),
            ],
            keeps=[self.chilled((60, 96), "6 kg", 48)],
        )  # fmt: skip

    def cured(self, name: str) -> Document:
        """Salted, cured and turned once a day, rinsed."""
        cure = step(
            "cure", span("22 h", "30 h", best="24 h"),
            tend=[visit("15 min", 1, verb="turn", day_parts=["evening"])],
            on=[{"zone": "chilled", "per": "6 kg"}],
        )
        return self.weighed(
            name, "larder",
            [
                step("salt", span("15 min", plus="3 min", per="1 kg"), hands=1),
                cure,
                step("rinse", self.between(20, 30), hands=1),
            ],
            loss=self.rng.choice(("10 %", "15 %")),
            keeps=[self.chilled((48, 90), "6 kg", 24)],
        )  # fmt: skip

    def drained(self, name: str) -> Document:
        """Hung in tubs overnight, scraped out."""
        return self.weighed(
            name, "larder",
            [
                step(
                    "hang", self.between(20, 40), hands=1,
                    on=[{"equipment": "tub", "per": "3 kg", "until": "scrape"}],
                ),
                step("drain", span("8 h", "15 h", best="12 h"), on=[{"zone": "chilled"}]),
                step("scrape", self.between(15, 30), hands=1),
            ],
            loss="20 %",
            keeps=[self.chilled((24, 48), "5 kg", 18)],
        )  # fmt: skip

    def braised(self, name: str) -> Document:
        """Seasoned the day before, braised low while somebody is in the house, portioned."""
        low = self.rng.choice((95, 100))
        run = step(
            "braise", span("4 h", self.hours(5, 6), decides="it"),
            load=visit("15 min"), unload=visit("15 min"),
            on=[in_oven(low, low + 10, per="6 kg")],
            then={"at_most": "20 h", "zone": "chilled", "per_shelf": "6 kg"},
        )
        return self.weighed(
            name, "stove",
            [
                step(
                    "season", span("20 min", plus="3 min", per="1 kg"), hands=1,
                    then={
                        "not_before": "4 h", "at_most": "24 h", "best_from": "8 h",
                        "best_until": "16 h", "zone": "chilled", "per_shelf": "6 kg",
                    },
                ),
                run,
                step("portion", span("10 min", plus="4 min", per="1 kg"), hands=1),
            ],
            loss="25 %",
            keeps=[self.chilled((30, 60), "6 kg", 20)],
        )  # fmt: skip

    def baked(self, name: str) -> Document:
        """Mixed in a mixer, proved, baked in loads."""
        bake = step(
            "bake", span("40 min", "45 min"), in_loads=True, load=visit("10 min"),
            unload=visit("10 min"),
            on=[in_oven(190, self.rng.choice((200, 220)), per="2 kg")],
        )
        return self.weighed(
            name, "pastry",
            [
                step("mix", span("15 min", "25 min"), hands=1, on=[{"equipment": "mixer"}]),
                step(
                    "prove", span("60 min", "2 h"), on=[{"zone": "dry", "per": "5 kg"}],
                    then={"at_most": "60 min"},
                ),
                bake,
            ],
            keeps=[keep(self.hours(14, 24), "dry", per_shelf="4 kg", best_until="8 h")],
        )  # fmt: skip

    def moulded(self, name: str) -> Document:
        """Cooked, filled into moulds, set cold overnight, unmoulded."""
        return self.counted(
            name, "pastry",
            [
                step("cook", self.between(30, 45), hands=1, on=[{"equipment": "burner"}]),
                step(
                    "fill", span("10 min", plus="5 min", per="10 portions"), hands=1,
                    on=[{"equipment": "mould", "per": "10 portions", "until": "unmould"}],
                    then={"not_before": "4 h", "at_most": "20 h", "best_until": "14 h",
                          "zone": "chilled"},
                ),
                step("unmould", span("10 min", plus="5 min", per="10 portions"), hands=1),
            ],
            batch={"most": "80 portions"},
            keeps=[self.chilled((10, 24), "20 portions", 6)],
        )  # fmt: skip

    def sugared(self, name: str) -> Document:
        """Sugar boiled and shaped at once by somebody trained, never alone."""
        return self.counted(
            name, "pastry",
            [
                step(
                    "boil", self.between(20, 40),
                    hands=[{"people": 1, "may_use": ["hot-sugar"]}],
                    on=[{"equipment": "burner"}], alone="never",
                ),
                step(
                    "shape", span("15 min", plus="10 min", per="20 portions"),
                    hands=[{"people": 1, "may_use": ["hot-sugar"]}],
                ),
            ],
            keeps=[keep(self.hours(30, 48), "dry", per_shelf="40 portions", best_until="24 h")],
        )  # fmt: skip

    def piped(self, name: str) -> Document:
        """Whipped and piped on the day."""
        return self.counted(
            name, "pastry",
            [
                step("whip", self.between(15, 25), hands=1, on=[{"equipment": "mixer"}]),
                step("pipe", span("10 min", plus="10 min", per="20 portions"), hands=1),
            ],
            keeps=[self.chilled((5, 10), "20 portions", 3)],
        )  # fmt: skip

    def simmered(self, name: str) -> Document:
        """Put on a burner, something added on the way, strained, chilled."""
        run = step(
            "simmer", span("3 h", "4 h", best="3 h 30 min"),
            load=visit("20 min"), unload=visit("20 min"),
            add=[visit("10 min", 1, verb="add", after="60 min", give_or_take="30 min")],
            on=[{"equipment": "burner"}], alone="someone_on_shift",
        )
        return self.weighed(
            name, "stove", [run, step("chill", span("2 h", "4 h"), on=[{"zone": "chilled"}])],
            keeps=[self.chilled((48, 72), "10 kg", 30)],
        )  # fmt: skip

    def cut(self, name: str) -> Document:
        """Cut by two, washed and dried by one."""
        return self.counted(
            name, "larder",
            [
                step(
                    "cut", span("10 min", plus="6 min", per="20 portions"),
                    hands=hands([{"people": 1}, {"people": 1, "level": "trainee"}]),
                    on=[{"equipment": "bench"}],
                    **({"takes": [{"ingredient": "leaves", "amount": "2 kg"}]}
                       if self.maybe(0.4) else {}),
                    then={"at_most": "60 min"},
                ),
                step("dry", self.between(15, 20), hands=1),
            ],
            keeps=[self.chilled((8, 14), "40 portions", 6)],
        )  # fmt: skip

    def soaked(self, name: str) -> Document:
        """Soaked overnight in tubs, ground in fillings of the grinder."""
        return self.weighed(
            name, "larder",
            [
                step(
                    "soak", span("8 h", "16 h"), load=visit("10 min"),
                    on=[{"equipment": "tub", "per": "4 kg", "until": "grind"}],
                ),
                step(
                    "grind", span("20 min", plus="4 min", per="1 kg"), in_loads=True,
                    load=visit("5 min"), on=[{"equipment": "grinder"}],
                ),
            ],
            keeps=[self.chilled((12, 30), "5 kg", 10)],
        )  # fmt: skip


KINDS = (
    "fermented", "cured", "drained", "braised", "baked", "moulded", "sugared", "piped", "simmered",
    "cut", "soaked",
)  # fmt: skip
