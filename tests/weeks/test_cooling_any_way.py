"""Random rows of cooling steps: no plan of any of them is refused by the second reader."""

from __future__ import annotations

from itertools import pairwise
from random import Random
from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from tests.weeks.checks import read_again
from tests.weeks.test_semantics_cooling import POT
from tests.weeks.tiny import Document, component, keep, span, step, take, week_of

STAIRS = ("90 °C", "57 °C", "40 °C", "21 °C", "12 °C", "5 °C", "3 °C")


def row(rng: Random, stairs: list[str], name: str) -> list[Document]:
    """Cooling steps from each temperature to the next, with waits, ranges, loads and visits."""
    made: list[Document] = []
    steps = list(pairwise(stairs))
    loads, waves = rng.random() < 0.4, rng.random() < 0.5
    for n, (warm, cold) in enumerate(steps):
        last = n == len(steps) - 1
        least = rng.choice((15, 30, 45, 60, 90))
        most = least + rng.choice((0, 0, 30, 120))
        best = rng.randint(least, most)
        time = span(f"{least} min", f"{most} min", f"{best} min")
        one: Document = {"id": f"{name}-{n}", "time": time,
                         "cooling": POT | {"from": warm, "to": cold}}  # fmt: skip
        if not last and rng.random() < 0.6:
            one["then"] = _wait(rng)
            if rng.random() < 0.3:
                time["decides"] = "it"
                del time["best"]
        if loads:
            one |= {"in_loads": True, "on": [{"equipment": "tub"}]}
            one |= {"waves": True} if waves and not last else {}
        if rng.random() < 0.3:
            one["unload"] = {"time": "10 min", "hands": [{"people": 1}]}
        made.append(one)
    return made


def _wait(rng: Random) -> Document:
    best = rng.choice((0, 60, 240))
    wait: dict[str, Any] = {"at_most": "10 h", "best_from": f"{best} min", "best_until": "8 h"}
    return wait | rng.choice(({}, {"zone": "chilled"}, {"zone": "dry"}))


def week(seed: int) -> Document:
    """A stock, perhaps not cold, and a soup in which it goes on cooling, perhaps on the plate."""
    rng = Random(seed)
    cut = sorted(rng.sample(range(1, len(STAIRS) - 1), 2))
    parts = [list(STAIRS[: cut[0] + 1]), list(STAIRS[cut[0] :])]
    boil = step("boil", "60 min", hands=1)
    best = rng.choice((0, 3, 8))
    keeps = keep("14 h", "chilled", best_from=f"{best} h", best_until="12 h")
    stock = component("stock", boil, *row(rng, parts[0], "bath"), keeps=keeps)
    mix = step("mix", "20 min", hands=1, takes=[take("stock")])
    soup = component("soup", mix, *row(rng, parts[1], "chill"), keeps=keep("20 h", "chilled"))
    for made in (stock, soup):
        made["food_class"] = "ready"
    loose = {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"}
    windows = [{"from": "57 °C", "to": "21 °C", "within": rng.choice(("2 h", "4 h", "7 h"))},
               {"from": rng.choice(("57 °C", "21 °C")), "to": "5 °C",
                "within": rng.choice(("4 h", "6 h", "9 h", "12 h"))}]  # fmt: skip
    grid = rng.choice(("5 min", "15 min", "30 min"))
    kitchen = {"rule_profile": "eu", "rest": loose, "grid": grid,
               "own_limits": {"cooling": {"windows": windows},
                              "exposure": {"value": rng.choice(("6 h", "20 h", "20 h"))},
                              "cold": {"value": "5 °C"}}}  # fmt: skip
    words: Document = {}
    if rng.random() < 0.3 and not stock["steps"][1].get("in_loads"):
        runs = stock["steps"][1]["id"]
        words["in_progress"] = [{"id": "stock-1", "component": "stock", "quantity": "10 portions",
                                 "step": runs, "started": "2027-05-05 23:30"}]  # fmt: skip
    return week_of(stock, soup, kitchen=kitchen, service=rng.choice(("12:00", "2027-05-06 13:00")),
                   equipment=[{"id": "tub", "fill": "5 portions"}], week=words)  # fmt: skip


@pytest.mark.parametrize("seed", range(25))
def test_no_plan_cools_for_too_long_however_it_is_cooled(seed: int) -> None:
    try:
        scenario = scenario_of(week(seed))
        read_again(scenario, 0.3)
    except BadInput as bad:
        assert all("cools for" in str(p) or "out of temp" in str(p) or "nothing is left" in str(p)
                   or "passed on" in str(p) for p in bad.problems), bad  # fmt: skip
