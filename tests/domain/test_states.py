"""States are components of their own in everything that reads a week, and stay as written in it."""

from __future__ import annotations

from typing import Any

from scheduler.domain.quantity import Quantity
from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from tests.weeks.tiny import DAY, EVE, component, dish, event, keep, step, take, week_of

Document = dict[str, Any]
FROZEN = {"id": "frozen", "name": "frozen", "steps": [step("freeze", "2 h")],
          "keeps": [keep("20 d")]}  # fmt: skip
CUT = {
    "id": "cut", "of": "frozen", "section": "pass", "makes": "12 pieces", "out_of": "800 g",
    "steps": [step("slice", "30 min", hands=1, takes=[{"ingredient": "film", "amount": "1 g"}])],
    "keeps": [keep("2 h")],
}  # fmt: skip


def terrine(**rest: Any) -> Document:
    return component(
        "terrine", step("bake", "1 h"), keeps=keep("24 h"), makes="1 kg", weight=3,
        states=[FROZEN, CUT], **rest,
    ) | {"name": "Terrine"}  # fmt: skip


def with_terrine(*takes: Document, **rest: Any) -> Document:
    return week_of(
        terrine(), *rest.pop("components", ()),
        dishes=[dish("plate", *(takes or (take("terrine", "1 piece", state="cut"),)))], **rest,
    )


def read(document: Document) -> Scenario:
    return scenario_of(document)


def test_each_state_is_made_of_the_one_before_it() -> None:
    scenario = read(with_terrine())
    assert [c.id for c in scenario.components] == ["terrine", "terrine-frozen", "terrine-cut"]
    frozen, cut = scenario.component["terrine-frozen"], scenario.component["terrine-cut"]
    assert frozen.makes == Quantity.parse("1 kg")
    assert [(t.component, str(t.amount)) for t in frozen.steps[0].takes] == [("terrine", "1 kg")]
    assert [(t.component or t.ingredient, str(t.amount)) for t in cut.steps[0].takes] == [
        ("film", "1 g"), ("terrine-frozen", "800 g"),
    ]  # fmt: skip
    assert (frozen.section, cut.section) == ("stove", "pass")
    assert (frozen.weight, cut.name) == (3, "Terrine, cut")
    assert scenario.dish["plate"].takes[0].component == "terrine-cut"


def test_what_was_written_is_what_is_kept() -> None:
    document = with_terrine()
    scenario = read(document)
    assert scenario.document()["components"][0]["states"][1]["out_of"] == "800 g"
    assert scenario.document()["dishes"][0]["takes"][0]["state"] == "cut"
    again = read(scenario.document())
    assert again == scenario
    assert again.sha256() == scenario.sha256()


def test_lots_and_running_batches_may_be_in_a_state() -> None:
    scenario = read(
        with_terrine(
            week={
                "plan_from": f"{EVE} 08:00",
                "on_hand": [{"id": "old", "component": "terrine", "state": "frozen",
                             "quantity": "500 g", "made": f"{EVE} 06:00"}],
                "in_progress": [{"id": "going", "component": "terrine", "state": "frozen",
                                 "quantity": "1 kg", "step": "freeze",
                                 "started": f"{EVE} 07:00"}],
            }
        )
    )  # fmt: skip
    assert scenario.week.on_hand[0].component == "terrine-frozen"
    assert scenario.week.in_progress[0].component == "terrine-frozen"


def test_a_diet_swaps_a_component_in_the_state_in_which_the_dish_takes_it() -> None:
    other = component("pate", step("make", "1 h"), makes="12 pieces")
    diets = [{"id": "without", "count": 2, "swap": {"terrine": "pate"}}]
    scenario = read(
        with_terrine(
            components=(other,),
            events=[event("supper", f"{DAY} 18:00", {"dish": "plate", "diets": diets})],
        )
    )
    assert scenario.week.events[0].menu[0].diets[0].swap == {"terrine-cut": "pate"}
    assert scenario.document()["week"]["events"][0]["menu"][0]["diets"][0]["swap"] == {
        "terrine": "pate"
    }
