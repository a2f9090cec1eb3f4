"""Every word of the format is described, belongs to one class, and is in the JSON Schema."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

import pytest
from pydantic.fields import FieldInfo

from scheduler.domain import classes
from scheduler.domain.base import Word
from scheduler.domain.quantity import Percent, Quantity
from scheduler.domain.reading import read_scenario
from scheduler.domain.recipes import Component, Time
from scheduler.domain.scenario import Scenario
from scheduler.domain.schema import json_schema
from tests.domain.texts import EVERYTHING


def _models(annotation: Any) -> Iterator[type[Word]]:
    if isinstance(annotation, type) and issubclass(annotation, Word):
        yield annotation
    for inside in get_args(annotation):
        yield from _models(inside)


def _walk() -> list[tuple[type[Word], str, FieldInfo]]:
    """Every field of every model that a scenario can hold."""
    found: list[tuple[type[Word], str, FieldInfo]] = []
    seen: set[type[Word]] = set()
    queue: list[type[Word]] = [Scenario]
    while queue:
        model = queue.pop()
        if model in seen:
            continue
        seen.add(model)
        for name, info in model.model_fields.items():
            found.append((model, info.alias or name, info))
            queue += list(_models(info.annotation))
    return found


FIELDS = _walk()
NAMES = [f"{m.__name__}.{n}" for m, n, _ in FIELDS]


def test_the_walk_sees_the_whole_format() -> None:
    assert len(FIELDS) > 150
    assert {"Take.yield", "Scenario.schema", "Heat.goes_cold_after"} <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_every_word_is_honoured_carried_or_refused(name: str) -> None:
    homes = [c for c in (classes.HONOURED, classes.CARRIED, classes.REFUSED) if name in c]
    assert len(homes) == 1, f"{name} stands in {len(homes)} of the three classes"


def test_no_class_knows_a_word_that_is_gone() -> None:
    known = {*classes.HONOURED, *classes.CARRIED, *classes.REFUSED}
    assert known == set(NAMES)


@pytest.mark.parametrize(("model", "name", "info"), FIELDS, ids=NAMES)
def test_every_word_has_a_description_and_figures_their_unit(
    model: type[Word], name: str, info: FieldInfo
) -> None:
    said = info.description or ""
    assert len(said) > 2
    if _holds(info.annotation, int) and not _holds(info.annotation, bool):
        # The measures in use: time, heat, and what is counted.
        units = (
            r"min\b|[Mm]inutes|°C|[Hh]ow many|[Ss]o many|[Pp]laces|[Ss]helves|[Gg]uests|[Tt]ables|"
            r"[Pp]ortions|[Pp]lates|people|[Ww]eight|matters|[Vv]ersion|count|meals|[Mm]oney"
        )
        assert re.search(units, said), f"{model.__name__}.{name}: {said}"


def _holds(annotation: Any, wanted: type) -> bool:
    if annotation is wanted:
        return True
    if get_origin(annotation) in (Union, UnionType, Annotated):
        return any(_holds(a, wanted) for a in get_args(annotation))
    return False


def test_what_is_carried_is_said_in_every_summary() -> None:
    assert classes.not_checked_yet(read_scenario(EVERYTHING)) == (
        "young workers' limits (no rule profile with hours)",
    )


def test_nothing_that_can_be_written_is_refused() -> None:
    assert classes.REFUSED == {}


def test_the_json_schema_is_one_and_knows_every_word() -> None:
    schema = json.loads(json.dumps(json_schema()))
    assert schema["$schema"].endswith("2020-12/schema")
    described = 0
    for name, model in {**schema["$defs"], "Scenario": schema}.items():
        for shape in (model, *model.get("anyOf", ())):
            for field, said in shape.get("properties", {}).items():
                assert "description" in said or "$ref" in said, f"{name}.{field}"
                described += 1
    assert described == len(FIELDS)
    assert schema["$defs"]["Kitchen"]["properties"]["grid"]["default"] == "5 min"
    refs = set(re.findall(r'"#/\$defs/(\w+)"', json.dumps(schema)))
    assert refs <= set(schema["$defs"])


def test_short_and_long_forms_are_the_same_time() -> None:
    assert Time.model_validate("45 min") == Time.model_validate({"at_least": "45 min"})
    assert Quantity.parse("1.5 kg") == Quantity.parse("1500 g")
    assert Percent.parse("12.5 %").part * 8 == 1
    assert Component.model_fields["keeps"].is_required()
