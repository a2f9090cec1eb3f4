"""A ferment leaves the warm through a recorded pH of at most 4.6 (21 CFR 114.3).

Fermented vegetables are those whose own acid has brought them to 4.6 or below (Iowa State
University Extension, FS 0045).
"""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.judging import Test as Judged
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.by import By
from scheduler.plan.show import show
from scheduler.safety.check import check
from scheduler.safety.ferments import RULE
from scheduler.safety.finding import Finding, Standing
from tests.weeks.checks import served
from tests.weeks.tiny import Document, component, keep, step, take, visit, week_of

FERMENT = {"at_least": "10 h", "at_most": "10 h"}


def kraut(test: Document | None, *more: Document, **rest: Any) -> Document:
    """Packed, ten hours in the warm, then into the cold."""
    warm = {"test": test} if test else {}
    return component(
        "kraut", step("pack", "30 min", hands=1), step("ferment", FERMENT, **warm, **rest),
        *more, keeps=keep("24 h", "chilled"), food_class="ferment",
    )  # fmt: skip


def looked_at(*components: Document, profile: str = "us", **kitchen: Any) -> list[Finding]:
    document = week_of(*components, kitchen={"rule_profile": profile, **kitchen})
    return [f for f in check(scenario_of(document)) if f.rule == RULE]


def ph(target: str, measure: str = "pH") -> Document:
    return {"measure": measure, "target": target}


@pytest.mark.parametrize(
    ("test", "standing", "said"),
    [
        (None, "broken", "it ends with no test"),
        ({"measure": "rise", "target": "doubled"}, "broken", "a test of rise and none of its pH"),
        (ph("4.7"), "broken", "pH of at most 4.7, recorded; the most is 4.6"),
        (ph("at least 4"), "broken", "says no most; at most 4.6"),
        (ph("4.2 to 4.4"), "fine", "pH of at most 4.4, recorded; at most 4.6"),
        (ph("4.2-4.8"), "broken", "pH of at most 4.8, recorded; the most is 4.6"),
        (ph("pH <= 4.6"), "fine", "pH of at most 4.6, recorded; at most 4.6"),
        (ph("4.2 or lower", "ph of the brine"), "fine", "at most 4.2"),
    ],
)
def test_a_ferment_ends_with_its_ph(test: Document | None, standing: str, said: str) -> None:
    (found,) = looked_at(kraut(test, unload=visit("10 min")))
    assert found.standing.value == standing
    assert found.enforced == (standing == "broken")
    assert said in found.said
    assert found.source == "21 CFR 114.3"


def dough(test: Document | None, **mixing: Any) -> Document:
    """A dough of a starter that ferments once more."""
    takes = [take("kraut"), {"ingredient": "flour", "amount": "1 kg"}]
    rise = step("rise", FERMENT, **({"test": test} if test else {}))
    return component("dough", step("mix", "30 min", hands=1, takes=takes), rise,
                     step("shape", "30 min", hands=1), food_class="ferment", **mixing)  # fmt: skip


def test_what_is_a_ferment_in_another_state_needs_no_second_test() -> None:
    for mixing in (step("mix", "1 h", hands=1, takes=[take("kraut")]),
                   step("settle", "1 h", takes=[take("kraut", "10 portions")])):  # fmt: skip
        salad = component("salad", mixing, food_class="ferment")
        assert len(looked_at(kraut(ph("4.6")), salad)) == 1


def test_what_is_made_with_a_ferment_and_ferments_again_is_measured_again() -> None:
    """21 CFR 114.3: acid is what is at 4.6 or below, whatever the starter was at."""
    for test, standing in ((None, "broken"), (ph("4.7"), "broken"), (ph("4.4"), "fine")):
        _, found = looked_at(kraut(ph("4.6")), dough(test))
        assert (found.where, found.standing.value) == ("dough, rise", standing)


@pytest.mark.parametrize("profile", ["anz", "house"])
def test_where_the_law_has_no_figure_that_of_the_class_holds(profile: str) -> None:
    """Iowa State University Extension, FS 0045: acid-producing organisms take pH to 4.6."""
    out = visit("10 min")
    for test, standing in ((ph("5.5"), "broken"), (None, "broken"), (ph("4.6"), "fine")):
        (found,) = looked_at(kraut(test, unload=out), profile=profile)
        assert found.standing.value == standing and found.enforced == (standing == "broken")
        assert found.source == "Iowa State University Extension, FS 0045"


def test_a_plan_of_a_ferment_that_nobody_measures_is_refused() -> None:
    """21 CFR 114.3; without a rule profile nobody asks."""
    document = week_of(kraut(None))
    plan = served(document)
    document["kitchen"]["rule_profile"] = "us"
    (one,) = audit(scenario_of(document), plan).findings
    assert (one.rule, one.where) == ("ph", "kraut.1/ferment")
    document["components"][0] = kraut(ph("4.6"))
    assert audit(scenario_of(document), plan).valid


def test_it_is_the_last_step_in_the_warm_that_counts() -> None:
    ripen = step("ripen", "2 h", kept="cold")
    (found,) = looked_at(kraut(ph("4.6"), ripen))
    assert found.standing is Standing.NOTE and found.where == "kraut, ferment"
    (found,) = looked_at(kraut(ph("4.6"), step("warm", "2 h")))
    assert found.standing is Standing.BROKEN and found.where == "kraut, warm"


def test_where_nobody_takes_it_out_nobody_measures() -> None:
    (found,) = looked_at(kraut(ph("4.6")))
    assert found.standing is Standing.NOTE and "nobody takes it out" in found.said
    (found,) = looked_at(kraut(ph("4.6"), step("jar", "30 min", hands=1)))
    assert found.standing is Standing.FINE


def test_without_a_step_in_the_warm_nobody_can_say() -> None:
    (cold,) = looked_at(kraut(ph("4.6"), kept="cold"))
    assert cold.standing is Standing.UNKNOWN


def test_a_kitchen_may_ask_for_less() -> None:
    (found,) = looked_at(kraut(ph("4.6")), own_limits={"acid": {"value": "4.2"}})
    assert found.standing is Standing.BROKEN and "the most is 4.2" in found.said


@pytest.mark.parametrize(
    ("target", "sentence"),
    [("46", "pH 46 is not between 0 and 14. Maybe '4.6'"), ("sour", "'sour' is no pH")],
)
def test_a_ph_that_cannot_be_meant_is_refused(target: str, sentence: str) -> None:
    with pytest.raises(BadInput) as bad:
        scenario_of(week_of(kraut(ph(target))))
    (problem,) = bad.value.problems
    assert problem.where.startswith("recipe kraut, step ferment, test")
    assert sentence in str(problem)


def test_a_ph_is_read_as_a_cook_writes_it() -> None:
    for text in ("4.6", "pH 4.6", "at most 4.6", "≤ 4.6", "pH<=4,6", "4.6 or below", "below 4.6"):
        most = Judged.model_validate(ph(text)).ph
        assert most is not None and most * 10 == 46, text
    assert Judged.model_validate(ph("at least 4.6")).ph is None
    assert Judged.model_validate({"measure": "fineness", "target": "46"}).ph is None


GATE = "measure pH, at most 4.6, write it down; it does not leave the warm otherwise"


def sheet(document: Document) -> list[str]:
    scenario = scenario_of(document)
    lines = list(show(scenario, served(document), By.DAY))
    return [" ".join(line.split()) for line in lines]


def test_whoever_ends_it_reads_what_to_measure() -> None:
    """Who takes it out; otherwise whoever goes on with it; otherwise it stands where it ends."""
    pack = step("jar", "30 min", hands=1)
    cases = [
        (kraut(ph("4.6"), unload=visit("30 min", verb="lift out")), "lift out", GATE),
        (kraut(ph("4.6"), pack), "jar", f"of ferment: {GATE}"),
        (kraut(ph("4.6")), "ferment is over", GATE),
    ]
    for made, job, said in cases:
        lines = sheet(week_of(made, kitchen={"rule_profile": "us"}))
        at = next(i for i, line in enumerate(lines) if f": {job}" in line)
        assert " ".join(lines[at + 1 : at + 3]).startswith(said), lines[at : at + 3]


def test_other_tests_reach_the_sheet_as_they_are_written() -> None:
    grind = step("grind", "2 h", test={"measure": "fineness", "target": "20 µm"},
                 unload=visit("30 min"))  # fmt: skip
    assert "judge fineness: 20 µm" in sheet(week_of(component("paste", grind)))
