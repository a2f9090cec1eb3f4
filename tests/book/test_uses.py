"""Whatever a week or a recipe names is found before it is thrown out under it."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.book.revisions import Key
from scheduler.book.saving import parts_of
from scheduler.book.uses import names_of, reached, uses
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import read_scenario, scenario_of_parts
from tests.book.kitchens import document, parts
from tests.domain.texts import EVERYTHING

SCENARIOS = {
    "demo": parts(document("demo")),
    "first": parts(document("first-week")),
    "everything": parts(read_scenario(EVERYTHING).document()),
}
RECIPES = [
    (name, key)
    for name, documents in SCENARIOS.items()
    for key in documents
    if key[0] in ("component", "dish")
]


@pytest.mark.parametrize(("name", "key"), RECIPES, ids=lambda one: str(one))
def test_what_the_check_would_miss_is_in_use_and_nothing_else(name: str, key: Key) -> None:
    documents = dict(SCENARIOS[name])
    gone = documents.pop(key)
    names = names_of(gone)
    found = [k for k, body in documents.items() if uses(body, names)]
    missed = False
    try:
        scenario_of_parts(parts_of(documents))
    except BadInput as bad:
        missed = any(f"'{one}'" in str(bad) for one in names)
    assert bool(found) == missed


PLACES: list[tuple[dict[str, Any], str]] = [
    ({"steps": [{"id": "mix", "takes": [{"component": "stock", "amount": "1 l"}]}]},
     "step mix, takes stock"),
    ({"takes": [{"component": "stock", "state": "frozen", "amount": "1 l"}]}, "takes stock frozen"),
    ({"methods": [{"id": "quick", "steps": [{"id": "mix", "takes": [{"component": "stock"}]}]}]},
     "method quick, step mix, takes stock"),
    ({"states": [{"id": "cold", "steps": [{"id": "mix", "takes": [{"component": "stock"}]}]}]},
     "state cold, step mix, takes stock"),
    ({"steps": [{"id": "boil", "gives": [{"component": "stock", "amount": "1 l"}]}]},
     "step boil, gives stock"),
    ({"not_beside": ["stock"]}, "not beside"),
    ({"not_beside": ["stock-frozen"]}, "not beside"),
    ({"events": [{"id": "gala", "menu": [
        {"dish": "soup", "diets": [{"id": "vegan", "swap": {"stock-frozen": "broth"}}]}]}]},
     "event gala, menu soup, diet vegan, swap"),
    ({"events": [{"id": "gala", "menu": [
        {"dish": "soup", "diets": [{"id": "vegan", "swap": {"cream": "stock"}}]}]}]},
     "event gala, menu soup, diet vegan, swap"),
    ({"on_hand": [{"id": "lot", "component": "stock"}]}, "on hand lot"),
    ({"in_progress": [{"id": "pot", "component": "stock"}]}, "in progress pot"),
    ({"wishes": [{"kind": "must", "component": "stock", "person": "ada"}]}, "wishes stock"),
    ({"accepted": [{"rule": "section-level", "person": "bo", "component": "stock"}]},
     "accepted stock"),
]  # fmt: skip


@pytest.mark.parametrize(("body", "place"), PLACES)
def test_the_place_of_a_use_is_named(body: dict[str, Any], place: str) -> None:
    stock = {"id": "stock", "states": [{"id": "frozen"}]}
    assert uses({"id": "x", **body}, names_of(stock)) == (place,)


def test_only_what_a_week_needs_however_far_down_concerns_it() -> None:
    documents = dict(SCENARIOS["first"])
    lone: dict[str, Any] = {**documents["component", "pea-soup"], "id": "lone"}
    begin = [("week", "first-week"), ("kitchen", "corner-house")]
    assert reached({**documents, ("component", "lone"): lone}, begin) == set(documents)
