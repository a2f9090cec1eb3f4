"""Words that were each right by themselves and met: tiny weeks, and believable ones with all."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest

from scheduler.domain.base import Word
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from tests.weeks.checks import planned, problem_of, read_again, served, task
from tests.weeks.crossed import crossed
from tests.weeks.crossed_words import words
from tests.weeks.tiny import DAY, EVE, Document, component, cook, keep, kind, step, visit, week_of


@pytest.mark.parametrize("much", ["rather", "must"])
def test_washing_up_is_no_part_of_what_is_wished_for_a_component(much: str) -> None:
    """Made on the eve as wished; the moulds are washed when somebody comes in who washes."""
    mousse = component(
        "mousse", step("fill", "60 min", hands=1, on=[{"equipment": "mould", "per": "5 portions"}]),
        keeps=keep("30 h"),
    )  # fmt: skip
    mould = kind("mould", units=4, washed={"time": "30 min", "hands": [{"section": "larder"}]})
    ben = cook("ben", "06:00-08:00", days="2027-05-07", sections={"larder": "cook"})
    plan = served(
        week_of(
            mousse, equipment=[mould], people=[cook("ana", "18:00-21:00"), ben],
            week={"wishes": [{"kind": much, "component": "mousse", "days": [EVE]}]},
        )
    )  # fmt: skip
    assert plan.terms.wishes == 0
    assert task(plan, "mousse.1/wash-mould").start == 30 * 60


def by(*lines: Document, people: list[Document], **wish: str) -> Document:
    """An hour of hands, and a wish for who it is."""
    mousse = component("mousse", step("fill", "60 min", hands=list(lines)), keeps=keep("30 h"))
    week = {"wishes": [{"component": "mousse", **wish}]}
    return week_of(mousse, people=people, week=week)


TWO = [cook("ana"), cook("ben")]
WITH_TIM = [cook("ana"), cook("tim", sections={"stove": "trainee"})]
NOT_ALONE = {"level": "trainee", "not_alone": True, "up_to": 2}


@pytest.mark.parametrize(
    ("document", "said"),
    [
        (by({"only": ["ana"]}, people=TWO, kind="must not", person="ana"), "too few"),
        (by({"only": ["ana"]}, people=TWO, kind="must", person="ben"), "whom it names"),
        (by(NOT_ALONE, people=WITH_TIM, kind="must not", person="ana"), "nobody whom"),
    ],
)
def test_a_wish_that_leaves_nobody_for_a_job_is_said_and_not_broken(
    document: Document, said: str
) -> None:
    with pytest.raises(BadInput, match=said):
        problem_of(scenario_of(document))


def test_a_wished_trainee_comes_along_where_it_is_no_quicker_for_it() -> None:
    plan = served(by(NOT_ALONE, people=WITH_TIM, kind="must", person="tim"))
    assert set(task(plan, "mousse.1/fill").visits[0].people) == {"ana", "tim"}



def test_a_method_that_a_wish_leaves_nobody_for_is_not_tried() -> None:
    """What its own steps cannot make is missing then; looking for another way breaks nothing."""
    quick = {"id": "quick", "steps": [step("rush", "60 min", hands=[NOT_ALONE])]}
    mousse = component("mousse", step("fill", "60 h", hands=1), keeps=keep("30 h"), methods=[quick])
    wish = {"component": "mousse", "step": "rush", "kind": "must not", "person": "ana"}
    week = week_of(mousse, people=WITH_TIM, week={"wishes": [wish]})
    assert [m.batch for m in planned(week, 0.5).missing] == ["mousse.1"]


def test_who_stays_longer_to_take_it_out_is_in_the_house() -> None:
    """It braises to the end of the shift; taking it out is overtime and leaves nothing alone."""
    braise = step("braise", "4 h", load=visit("30 min"), unload=visit("60 min"),
                  alone="someone_on_shift")  # fmt: skip
    week = week_of(
        component("ribs", braise, keeps=keep("8 h")), service="20:00",
        people=[cook("ana", "12:00-16:30", days=DAY, overtime={"at_end": "1 h"})],
    )  # fmt: skip
    week["kitchen"]["people"][0] = cook("pia", "19:00-21:00", sections={"pass": "lead"})
    assert task(served(week), "ribs.1/braise").end == (24 + 17) * 60 + 30


@pytest.mark.parametrize(
    ("line", "wishes"),
    [
        ({"only": ["zoe"]}, []),
        ({"people": 1}, [{"component": "mousse", "kind": "must", "person": "zoe"}]),
        ({"level": "lead"}, []),
    ],
)
def test_who_is_let_in_by_name_may_be_named_wished_for_and_the_only_one(
    line: Document, wishes: list[Document]
) -> None:
    """The sous lets the larder's trainee at the mousse."""
    week = week_of(
        component("mousse", step("fill", "60 min", hands=[line]), keeps=keep("30 h")),
        people=[cook("ana"), cook("zoe", sections={"larder": "trainee"})],
        week={"wishes": wishes, "accepted": [{"rule": "section-level", "by": "Salome", "reason":
              "a busy week", "person": "zoe", "component": "mousse"}]},
    )  # fmt: skip
    assert task(served(week), "mousse.1/fill").visits[0].people == ("zoe",)


pytestmark = pytest.mark.xdist_group("crossed")
WEEKS = 20
NEWER = """
    Hands.up_to Hands.not_alone Hands.only Time.undivided Kitchen.trainee_hour
    Step.may_leave Duty.may_leave Leave.times Leave.breaks Shift.floating_breaks
    Person.overtime Overtime.at_start Kitchen.rule_profile Kitchen.rest Person.born
    Costs.overtime_allowance Costs.step Costs.buying_allowance Costs.rest_hour
    Component.methods Component.bought_in
    Need.door_shut Need.tray Equipment.shut_while_running Equipment.holds Equipment.clean_down
    Component.not_beside Component.leaves
    Step.gives Component.states Delivery.shelves Delivery.at_most Equipment.washed Washing.dry
    Week.wishes Wish.person Wish.unit Wish.days Wish.done_by Wish.not_before Week.accepted
    Kitchen.time_in_hand TimeInHand.day_full Step.cooling Kitchen.calm Calm.hand_over Kitchen.open
"""


def crossed_week(seed: int) -> Scenario:
    """Few words, half of them, nearly all."""
    return scenario_of(crossed(Random(seed), (0.3, 0.5, 0.8)[seed % 3]))


@pytest.mark.parametrize("seed", range(WEEKS))
def test_every_plan_of_a_week_with_everything_passes_and_can_be_told(
    seed: int, tmp_path: Path
) -> None:
    scenario = crossed_week(seed)
    plan = read_again(scenario, 0.05)
    if seed % 3 == 0:
        assert words(scenario, plan, tmp_path)


def said(part: Any) -> Iterator[str]:
    """Every field that says something, as Model.field."""
    if isinstance(part, tuple):
        for one in part:
            yield from said(one)
    if isinstance(part, Word):
        for name, info in type(part).model_fields.items():
            value = getattr(part, name)
            if value is not None and (info.is_required() or value != info.default):
                yield f"{type(part).__name__}.{name}"
                yield from said(value)


def test_between_them_the_weeks_know_every_newer_word() -> None:
    used = {field for seed in range(WEEKS) for field in said(crossed_week(seed))}
    wanted = NEWER.split()
    assert [word for word in wanted if word not in used] == []
