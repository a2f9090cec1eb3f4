"""What people under age are barred from: slicers and mincers, mixers and sheeters, cleaning too.

29 CFR 570.61 (hazardous order 10: power-driven meat machines, cleaning them included) and 570.62
(order 11: bakery machines) for everybody under 18; the profile has the words.
"""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.hazards import comes_of_age, hazards
from scheduler.domain.problems import BadInput
from scheduler.domain.profiles import NAMES, profile
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.safety.check import check
from scheduler.safety.finding import Standing
from tests.weeks.checks import finds_no_place, named, planned, served, task
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    dish,
    event,
    kind,
    step,
    visit,
    week_of,
)

SLICER = kind("slicer", hazards=["slicer"])
TODAY_18 = f"2009-{DAY[5:]}"
"""Eighteen on the Friday of the tiny week."""
YOUNG = "2010-01-01"
WHY = "lea is under 18 and barred from slicer (29 CFR 570.61 (hazardous order 10))"


def lea(born: str | None = YOUNG, *hours: str, **more: Any) -> Document:
    """A trainee of the stove, all day long if nothing else is said."""
    return cook("lea", *hours, sections={"stove": "trainee"}, **({"born": born} if born else {}),
                **more)  # fmt: skip


def sliced(people: list[Document], profile: str | None = "us", **rest: Any) -> Document:
    """Half an hour at the slicer, by anybody of the stove."""
    cut = step("slice", "30 min", hands=[{"level": "trainee"}], on=[{"equipment": "slicer"}])
    kitchen = {"trainee_hour": "60 min"} | ({"rule_profile": profile} if profile else {})
    keeps = {"keeps": {"at_most": "24 h"}}
    return week_of(
        component("ham", cut, **keeps), people=people, equipment=[SLICER], kitchen=kitchen, **rest
    )


def who(plan: Plan, name: str = "ham.1/slice") -> set[str]:
    return {p for v in task(plan, name).visits for p in v.people}


def test_somebody_of_seventeen_alone_could_slice_so_it_has_no_place() -> None:
    document = sliced([lea(), cook("max", "00:00-01:00", sections={"larder": "cook"})])
    plan = finds_no_place(document, "ham.1")
    why = "nobody may do slice: it asks for 1 of stove, of age for slicer"
    assert [(m.why, m.certain) for m in plan.missing if m.batch == "ham.1"] == [(why, True)]
    assert who(served(sliced([lea()], profile=None))) == {"lea"}


def test_the_cook_slices_where_there_is_one() -> None:
    document = sliced([lea(), cook("ana")])
    plan = served(document)
    assert who(plan) == {"ana"}
    scenario, wrong = scenario_of(document), named(plan, {"ana": "lea"})
    report = audit(scenario, wrong)
    assert WHY in [f.what for f in report.findings if f.rule == "barred"]
    assert [f.said for f in check(scenario, wrong) if f.rule == "barred"] == [WHY]
    assert [f for f in check(scenario, plan) if f.rule == "barred"] == []


@pytest.mark.parametrize(("born", "may"), [(TODAY_18, True), (f"2009-{DAY[5:-1]}8", False)])
def test_on_the_eighteenth_birthday_and_not_the_day_before(born: str, may: bool) -> None:
    people = [lea(born, days=DAY)]
    week = {"plan_from": f"{DAY} 00:00"}
    if may:
        assert who(served(sliced(people, week=week))) == {"lea"}
    else:
        finds_no_place(sliced(people, week=week), "ham.1")


def test_in_the_week_of_a_birthday_a_job_that_lies_after_it_is_theirs() -> None:
    """What keeps for two hours is sliced on the Friday; what keeps for a day might be on Thursday.

    Audited against the day itself: on Thursday lea is seventeen.
    """
    document = sliced([lea(TODAY_18)])
    document["components"][0]["keeps"] = [{"at_most": "2 h"}]
    plan = served(document)
    assert who(plan) == {"lea"}
    on_thursday = sliced([lea(TODAY_18)], service=f"{EVE} 18:00")
    finds_no_place(on_thursday, "ham.1")
    either = sliced([lea(TODAY_18), cook("ana", "06:00-23:00")])
    assert who(served(either)) == {"ana"}


def test_the_slicer_is_not_cleaned_by_them_either() -> None:
    """570.61(a)(1) takes in the cleaning; whoever slices second has somebody else clean before."""
    rule = {"time": "30 min", "hands": [{"section": "anyone", "level": "trainee"}]}
    slicer = kind("slicer", hazards=["slicer"], clean_down=rule)
    cut = step("slice", "30 min", hands=1, on=[{"equipment": "slicer"}])
    document = week_of(
        component("ham", cut), component("cheese", cut),
        people=[lea(), cook("ana")], equipment=[slicer],
        kitchen={"rule_profile": "us", "trainee_hour": "60 min"},
    )  # fmt: skip
    plan = served(document)
    (done,) = plan.clean_downs
    assert "lea" not in done.people
    wrong = plan.model_copy(
        update={"clean_downs": (done.model_copy(update={"people": ("lea",)}),)}
    )
    assert "barred" in audit(scenario_of(document), wrong).rules()


def test_a_hazard_of_the_step_counts_as_that_of_its_machine() -> None:
    loading = visit("30 min", [{"level": "trainee"}], on=[{"equipment": "mixer"}])
    for words in ({"hazards": ["mixer"]}, {"load": loading}):
        hands = {} if "load" in words else {"hands": [{"level": "trainee"}]}
        knead = step("knead", "30 min", **hands, **words)
        document = week_of(
            component("dough", knead), people=[lea(), cook("ana")],
            equipment=[kind("mixer", hazards=["mixer"])],
            kitchen={"rule_profile": "us", "trainee_hour": "60 min"},
        )  # fmt: skip
        assert who(served(document), "dough.1/knead") == {"ana"}


def test_a_duty_at_the_slicer_takes_somebody_of_age() -> None:
    duty = {"id": "counter", "days": [DAY], "hours": "08:00-10:00", "section": "stove",
            "people": 1, "equipment": [{"equipment": "slicer"}]}  # fmt: skip
    plain = component("soup", step("cook", "60 min", hands=1))
    kitchen = {"rule_profile": "us", "duties": [duty]}
    document = week_of(plain, people=[lea(), cook("ana")], equipment=[SLICER], kitchen=kitchen)
    plan = served(document)
    assert [d.people for d in plan.duties] == [("ana",)]
    alone = week_of(
        plain, people=[lea(), cook("ana", "12:00-23:00")], equipment=[SLICER], kitchen=kitchen
    )
    with pytest.raises(BadInput, match="of those who may do it 0 are there"):
        planned(alone)


def test_what_is_known_from_memory_bars_the_young_all_the_same() -> None:
    """94/33/EC is from memory; an hour of caution too many costs little."""
    people = [lea(YOUNG, "09:00-13:00", days=DAY), cook("ana", "08:00-14:00", days=DAY)]
    document = sliced(people, profile="eu", week={"plan_from": f"{DAY} 00:00"})
    document["week"]["events"] = [event("lunch", "13:00", "plate")]
    pia = {**document["kitchen"]["people"][0]}
    document["kitchen"]["people"][0] = pia | {"shifts": [{"days": [DAY], "hours": "12:00-16:00"}]}
    barred = profile("eu").barred
    assert not barred[0].hard
    assert who(served(document)) == {"ana"}


def test_a_trainee_whose_age_nobody_knows_is_told() -> None:
    (found,) = (f for f in check(scenario_of(sliced([lea(None)]))) if f.rule == "barred")
    assert found.standing is Standing.UNKNOWN and found.where == "lea"
    assert "without a birth date" in found.said and "570.61" in found.source


def test_every_word_that_bars_is_a_hazard_with_a_caution() -> None:
    for name in NAMES:
        for one in profile(name).barred:
            assert set(one.hazards) <= set(hazards()), name
    for hazard in hazards().values():
        assert len(hazard.caution) > 10 and hazard.evidence == "common practice"


def test_born_on_a_leap_day_they_come_of_age_on_the_first_of_march() -> None:
    document = sliced([lea("2008-02-29")])
    person = scenario_of(document).person["lea"]
    assert str(comes_of_age(person, 18)) == "2026-03-01"


def test_dish_hands_are_looked_at_too() -> None:
    plate = dish("plate", "ham", plating={
        "per_hour": 60, "hands": [{"section": "stove", "level": "trainee"}],
        "on": [{"equipment": "slicer"}]})  # fmt: skip
    document = sliced([lea(), cook("ana")], dishes=[plate])
    assert who(served(document), "supper.plate/plating") == {"ana"}
