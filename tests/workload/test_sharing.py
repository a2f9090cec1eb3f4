"""Ways to man a job: who, how many, how long."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.workload.primitives import Way
from tests.weeks.tiny import component, cook, keep, step, week_of
from tests.workload.weeks import Week

ANA, BO = cook("ana"), cook("bo")
TIM, TOM = (cook(n, sections={"stove": "trainee"}) for n in ("tim", "tom"))


def one(made: dict[str, Any], *people: dict[str, Any], keeps: str = "24 h") -> Week:
    soup = component("soup", made, keeps=keep(keeps))
    return Week(week_of(soup, people=list(people), kitchen={"grid": "5 min"}))


def ways(time: Any, hands: list[dict[str, Any]], *people: dict[str, Any]) -> set[tuple[str, int]]:
    """For each way who could do it, and how many ticks of 5 min it takes at the least."""
    week = one(step("knead", time, hands=hands), *people)
    (crew,) = [c for c in week.problem.crews if c.task == week.index("soup.1/knead:run")]
    names = [name for name, _ in week.problem.people]

    def said(way: Way) -> str:
        return " + ".join(f"{x.count} of {' '.join(names[p] for p in x.people)}" for x in way.lines)

    task = week.problem.tasks[crew.task]
    assert task.least == min(way.least for way in crew.ways)
    assert task.most == max(way.most for way in crew.ways)
    return {(said(way), way.least) for way in crew.ways}


def test_work_that_is_not_shared_is_done_in_one_way() -> None:
    assert ways("1 h", [{}], ANA, BO) == {("1 of ana bo", 12)}
    assert ways("1 h", [{"people": 2}], ANA, BO, TIM) == {("2 of ana bo", 12)}


def test_shared_work_is_divided_among_as_many_as_there_are() -> None:
    assert ways("1 h", [{"up_to": 4}], ANA, BO) == {("1 of ana bo", 12), ("2 of ana bo", 6)}
    time = {"at_least": "70 min", "undivided": "10 min"}
    assert ways(time, [{"up_to": 2}], ANA, BO) == {("1 of ana bo", 14), ("2 of ana bo", 8)}


def test_more_hands_that_make_nothing_shorter_are_not_asked_for() -> None:
    assert ways("5 min", [{"up_to": 2}], ANA, BO) == {("1 of ana bo", 1)}


def test_a_trainee_alone_takes_longer_and_one_beside_a_cook_does_not() -> None:
    learner = {"level": "trainee"}
    assert ways("1 h", [learner], ANA, TIM) == {("1 of ana", 12), ("1 of tim", 18)}
    assert ways("1 h", [{"people": 2, **learner}], ANA, TIM, TOM) == {
        ("1 of ana + 1 of ana tim tom", 12), ("2 of tim tom", 18),
    }  # fmt: skip
    assert ways("1 h", [{}, learner], ANA, BO, TIM) == {("1 of ana bo + 1 of ana bo tim", 12)}


def test_trainees_are_not_alone_where_they_must_not_be() -> None:
    never = {"level": "trainee", "not_alone": True}
    assert ways("1 h", [{"up_to": 2, **never}], ANA, TIM) == {
        ("1 of ana", 12), ("1 of ana + 1 of tim", 8),
    }  # fmt: skip
    assert ways("1 h", [{"people": 2, **never}], ANA, TIM) == {("1 of ana + 1 of ana tim", 12)}


def test_where_the_food_decides_nobody_is_slower() -> None:
    time = {"at_least": "1 h", "at_most": "2 h", "decides": "it"}
    week = one(step("whisk", time, hands=[{"level": "trainee"}]), TIM, keeps="12 h")
    assert week.task("soup.1/whisk:run").least == week.task("soup.1/whisk:run").most == 24


def test_the_longest_stays_as_written_so_trainees_may_be_too_slow() -> None:
    time = {"at_least": "1 h", "at_most": "80 min"}
    assert ways(time, [{"level": "trainee"}], ANA, TIM) == {("1 of ana", 12)}
    with pytest.raises(BadInput, match="not as quick as that"):
        ways(time, [{"level": "trainee"}], TIM)


def test_named_people_alone_may_do_it() -> None:
    assert ways("1 h", [{"only": ["bo"]}], ANA, BO) == {("1 of bo", 12)}
