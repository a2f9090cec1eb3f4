"""Wherever a limit is shown it stands who decides: local codes and licensed practice."""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.plan.by import By
from scheduler.plan.file import Made, Verdicts, plan_text
from scheduler.plan.show import show
from tests.cli.running import backtime
from tests.plan import tiny
from tests.safety.test_dates import chili
from tests.weeks.checks import served
from tests.weeks.test_semantics_cooling import POT
from tests.weeks.tiny import (
    STORES,
    Document,
    component,
    cook,
    keep,
    step,
    store,
    take,
    visit,
    week_of,
)

DECIDE = "Local codes and licensed practice decide, not this list."
"""The sentence that the brief of the rules of food asks for."""


def audited(folder: Path, shelves: int = 2, **kitchen: Any) -> list[str]:
    """What the second reader says of the tiny plan, its soup on so many shelves."""
    document = deepcopy(tiny.DOCUMENT)
    document["kitchen"] |= kitchen
    document["components"][0]["food_class"] = "ready"
    plan = tiny.plan()
    hold = plan.holds[0].model_copy(update={"shelves": shelves})
    plan = plan.model_copy(update={"holds": (hold,)})
    verdicts = Verdicts(valid=True, served=True)
    text = plan_text(plan, scenario_of(document), Made(versions={}), verdicts)
    (folder / "plan.json").write_text(text, "utf-8")
    return backtime("audit", "plan.json", cwd=folder).stdout.splitlines()


def test_an_audit_that_names_a_rule_of_food_says_who_decides(tmp_path: Path) -> None:
    short = {"rule_profile": "house", "own_limits": {"exposure": {"value": "1 h"}}}
    lines = audited(tmp_path, **short)
    assert any(line.startswith("exposure: ") for line in lines), lines
    assert lines[-1] == DECIDE


def test_an_audit_that_names_no_published_rule_does_not(tmp_path: Path) -> None:
    lines = audited(tmp_path, shelves=1)
    assert any(line.startswith("shelves: ") for line in lines), lines
    assert DECIDE not in lines


def unheeding(document: Document, folder: Path) -> list[str]:
    """What is read of a plan that was made before the kitchen named its profile."""
    kitchen = {k: v for k, v in document["kitchen"].items() if k != "rule_profile"}
    plan = served(document | {"kitchen": kitchen})
    verdicts = Verdicts(valid=True, served=True)
    text = plan_text(plan, scenario_of(document), Made(versions={}), verdicts)
    (folder / "plan.json").write_text(text, "utf-8")
    return backtime("audit", "plan.json", cwd=folder).stdout.splitlines()


def half_done(food: str) -> Document:
    """Cooked to 50 °C at the core, or not at all."""
    cook = step("cook", "60 min", hands=1, core={"at": "50 °C", "for": "10 min"})
    return week_of(component("it", cook, food_class=food), kitchen={"rule_profile": "us"})


def slow_again() -> Document:
    """A soup that stands in the cold, and takes three hours to be hot again for the cupboard."""
    soup = component("soup", step("mix", "30 min", hands=1), food_class="ready",
                     keeps=keep("24 h", "chilled"))  # fmt: skip
    heat = step("heat", "3 h", hands=1, kept="hot", core="75 °C", takes=[take("soup")])
    again = component("again", heat, keeps=keep("3 h", "hot"), food_class="ready")
    stores = [*STORES, store("cupboard", "hot", 9)]
    return week_of(soup, again, kitchen={"rule_profile": "us"}, stores=stores)


def by_taste() -> Document:
    """Fermented until it tastes sour."""
    made = component("kraut", step("ferment", "10 h"), food_class="ferment")
    return week_of(made, kitchen={"rule_profile": "us"})


@pytest.mark.parametrize(
    ("rule", "document"),
    [
        ("core", half_done("raw-poultry")), ("parasites", half_done("fish-served-raw")),
        ("reheat", slow_again()), ("ph", by_taste()),
    ],
)  # fmt: skip
def test_whatever_rule_of_food_an_audit_names_it_says_who_decides(
    rule: str, document: Document, tmp_path: Path
) -> None:
    lines = unheeding(document, tmp_path)
    assert any(line.startswith(f"{rule}: ") for line in lines), lines
    assert lines[-1] == DECIDE


def cooled() -> Document:
    """A pot that is cooled in ice water, and a supper of it."""
    cool = {"id": "cool", "time": "3 h", "load": visit("30 min"), "cooling": POT}
    soup = component(
        "soup", step("boil", "60 min", hands=1), cool, keeps=keep("30 h", "chilled"),
        food_class="ready",
    )  # fmt: skip
    return week_of(soup, kitchen={"rule_profile": "us"}, people=[cook("ana")])


def kraut() -> Document:
    """Fermented for ten hours, until somebody reads its pH."""
    test = {"measure": "pH", "target": "at most 4.6"}
    ferment = step("ferment", "10 h", test=test, unload=visit("30 min"))
    made = component("kraut", ferment, keeps=keep("24 h", "chilled"), food_class="ferment")
    return week_of(made, kitchen={"rule_profile": "us"})


def tables(document: Document, by: By) -> list[list[str]]:
    """The tables of a sheet, each with its lines."""
    lines = "\n".join(show(scenario_of(document), served(document), by))
    return [table.split("\n") for table in lines.split("\n\n")]


@pytest.mark.parametrize("by", [By.DAY, By.SECTION, By.PERSON])
def test_every_sheet_with_a_probe_or_a_ph_says_at_its_foot_who_decides(by: By) -> None:
    for document, words in ((cooled(), "probe: 21 °C by"), (kraut(), "measure pH, at most 4.6")):
        told = 0
        for table in tables(document, by):
            here = words in " ".join(" ".join(table).split())
            told += here
            assert (f"  {DECIDE}" in table) == (here or table[0] == "Labels"), table
        assert told


def test_a_store_in_which_something_has_a_date_says_at_its_foot_who_decides() -> None:
    for table in tables(chili("2027-06-05"), By.EQUIPMENT):
        dated = any("use by" in line for line in table)
        assert (f"  {DECIDE}" in table) == dated, table
