"""Random weeks with dates of use: no plan that is told on the way passes one, says the audit."""

from __future__ import annotations

from random import Random

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from tests.weeks.checks import read_again
from tests.weeks.crossed import crossed
from tests.weeks.test_semantics_dates import ICY, LONG, STORES, on, own
from tests.weeks.tiny import Document, component, cook, dish, event, keep, step, take, week_of

CLASSES = ("ready", "ready", "ready", "raw-meat", "dry", None)


def with_dates(document: Document, rng: Random) -> Document:
    """Any week in a kitchen of its own, with things of every class, some of them frozen."""
    kitchen = document["kitchen"]
    rule = own(rng.choice((1, 2, 2, 3)), rng.choice((None, "12 h", "24 h")))
    kitchen |= rule
    for word in ("rest", "night"):
        kitchen.pop(word, None)
    for store_ in kitchen["stores"]:
        if rng.random() < 0.3:
            store_["warmest"] = "-18 °C"
    for one in document["components"]:
        name = rng.choice(CLASSES)
        if name is not None:
            one["food_class"] = name
            if name == "raw-meat" and one.get("steps") and rng.random() < 0.5:
                one["steps"][0]["core"] = {"at": "70 °C", "for": "1 min"}
    return document


def cold_chain(rng: Random) -> Document:
    """A fortnight of things cooked, frozen, thawed, mixed and frozen again, some of it exempt."""

    def one(name: str, *takes: str) -> Document:
        made_of = [take(t) if "-" not in t else take(*_state(t)) for t in takes]
        long = rng.random() < 0.3
        cooking = step("cook", f"{rng.choice((1, 20))} h" if long else "60 min", takes=made_of)
        if not long:
            cooking["hands"] = [{"people": 1}]
        found = component(
            name, cooking, keeps=rng.choice((LONG, LONG, LONG | {"zone": "frozen"})),
        )
        name_of = rng.choice(CLASSES)
        if name_of is not None:
            found["food_class"] = name_of
        if rng.random() < 0.3:
            found["steps"].append(step("finish", "30 min", hands=1))
            found["steps"][0]["then"] = keep("3 d", rng.choice(("frozen", "chilled")))
            found["steps"][0]["then"]["best_until"] = "3 d"
        found["states"] = [
            {"id": "frozen", "keeps": [ICY],
             "steps": [step("freeze", "90 min", kept=rng.choice(("frozen", "out")))]},
            {"id": "thawed", "of": "frozen", "keeps": [LONG],
             "steps": [step("thaw", "12 h", kept=rng.choice(("frozen", "out", "cold")))]},
        ]  # fmt: skip
        return found

    def _state(name: str) -> tuple[str, str]:
        return name, "1 portion"

    kinds = ("", "-frozen", "-thawed")
    meat = one("meat")
    base = one("base", "meat" + rng.choice(kinds))
    pie = one("pie", "base" + rng.choice(kinds), *(["meat"] if rng.random() < 0.5 else []))
    plates = [dish("plate", "pie" + rng.choice(kinds)), dish("bowl", "base" + rng.choice(kinds))]
    days = [f"2027-04-{n:02d}" for n in range(1, 15)]
    whom = cook("ana", *(on(d, "06:00-22:00") for d in days if rng.random() < 0.7))
    events = [
        event(f"e{n}", f"{rng.choice(days[6:])} {rng.choice(('00:00', '12:00', '23:30'))}", d)
        for n, d in enumerate(rng.choices(("plate", "bowl"), k=rng.choice((1, 2, 3))))
    ]
    lots = [
        {"id": "lot", "component": rng.choice(("meat", "base")), "quantity": "10 portions",
         "made": f"2027-03-{rng.choice((20, 29, 31))} 12:00",
         "store": rng.choice(("walk-in", "freezer"))}
    ]  # fmt: skip
    for lot in lots:
        zone = "chilled" if lot["store"] == "walk-in" else "frozen"
        found = meat if lot["component"] == "meat" else base
        if zone != found["keeps"][0]["zone"]:
            lot["store"] = "walk-in" if lot["store"] == "freezer" else "freezer"
    return week_of(
        meat, base, pie, dishes=plates, events=events, people=[whom], stores=STORES,
        kitchen=own(rng.choice((1, 2, 3, 5)), rng.choice((None, "24 h"))),
        week={
            "starts": "2027-04-01 00:00", "plan_from": "2027-04-01 00:00",
            "ends": "2027-04-15 23:30", "on_hand": lots if rng.random() < 0.5 else [],
        },
    )


@settings(
    max_examples=60, deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
@given(rng=st.randoms(use_true_random=False))
def test_no_cold_chain_gets_a_plan_that_passes_a_date(rng: Random) -> None:
    read_again(scenario_of(cold_chain(rng)), 0.05)


@st.composite
def dated_weeks(draw: st.DrawFn) -> Scenario:
    rng = draw(st.randoms(use_true_random=False))
    return scenario_of(with_dates(crossed(rng, 0.3), rng))


@settings(
    max_examples=40, deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
@given(scenario=dated_weeks())
def test_no_week_gets_a_plan_that_passes_a_date(scenario: Scenario) -> None:
    """Everything told on the way is held against the rule by the audit."""
    read_again(scenario, 0.05)
