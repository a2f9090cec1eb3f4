"""Semantics 8, 9 and 53, for the second reader: shared work, trainees, company, named people."""

from __future__ import annotations

from typing import Any

import pytest

from tests.plan.byhand import broken, component, person, step, supper, task, visit, week

PEOPLE = [
    person("ana", "lead"), person("ben"), person("cat", "trainee"), person("dan", "trainee"),
]  # fmt: skip


def portioned(
    minutes: int, *who: str, time: Any = "60 min", kitchen: dict[str, Any] | None = None,
    **line: Any,
) -> set[str]:
    """An hour's work, done by some in so many minutes."""
    made = week(
        component("soup", step(time=time, hands=[line])), **({"people": PEOPLE} | (kitchen or {}))
    )
    done = task("soup.1/cook", "Tue 12:00", minutes, hands=list(who))
    return broken(made, supper(made, done))


# 9 Shared work


@pytest.mark.parametrize(
    ("minutes", "who", "rules"),
    [
        (60, ["ana"], set()),
        (30, ["ana", "ben"], set()),
        (30, ["ana"], {"law"}),
        (60, ["ana", "ben"], {"law"}),
        (35, ["ana", "ben"], {"law"}),
    ],
)
def test_9_minutes_are_divided_among_those_who_share_them(
    minutes: int, who: list[str], rules: set[str]
) -> None:
    assert portioned(minutes, *who, up_to=3) == rules


def test_9_no_more_share_than_there_is_room_for_and_no_fewer_than_it_takes() -> None:
    assert portioned(20, "ana", "ben", "cat", up_to=2, level="trainee") >= {"hands"}
    assert portioned(60, "ana", up_to=3, people=2) == {"hands"}


def test_9_what_is_not_written_as_shared_takes_as_long_with_two() -> None:
    assert portioned(30, "ana", "ben", people=2) == {"law"}
    assert portioned(60, "ana", "ben", people=2) == set()


def test_9_setting_up_is_not_divided() -> None:
    time = {"at_least": "70 min", "undivided": "10 min"}
    assert portioned(70, "ana", time=time, up_to=2) == set()
    assert portioned(40, "ana", "ben", time=time, up_to=2) == set()
    assert portioned(35, "ana", "ben", time=time, up_to=2) == {"law"}


def test_9_what_does_not_come_out_even_goes_up_to_the_grid() -> None:
    # 50 minutes by three are 16 min 40 s.
    people = {"people": [person("ana", "lead"), person("ben"), person("eva")]}
    for minutes, rules in ((20, set()), (15, {"law"}), (25, {"law"})):
        who = ("ana", "ben", "eva")
        assert portioned(minutes, *who, time="50 min", kitchen=people, up_to=3) == rules


def test_9_loading_is_shared_as_well() -> None:
    load = {"time": "20 min", "hands": [{"up_to": 2}]}
    made = week(component("soup", step(load=load)), people=PEOPLE)

    def loaded(minutes: int, *who: str) -> set[str]:
        cooked = task("soup.1/cook", "Tue 12:00", load=minutes)
        first = cooked.visits[0].model_copy(update={"people": who})
        return broken(made, supper(made, cooked.model_copy(update={"visits": (first,)})))

    assert loaded(10, "ana", "ben") == set()
    assert loaded(20, "ana") == set()
    assert loaded(20, "ana", "ben") == {"visit-length"}
    assert loaded(10, "ana") == {"visit-length"}


# 53 Levels


@pytest.mark.parametrize(
    ("minutes", "who", "rules"),
    [
        (60, ["ben"], set()),
        (60, ["cat"], {"law"}),
        (90, ["cat"], set()),
        (90, ["ben"], {"law"}),
    ],
)
def test_53_a_trainee_takes_half_as_long_again(
    minutes: int, who: list[str], rules: set[str]
) -> None:
    assert portioned(minutes, *who, level="trainee") == rules


def test_53_so_much_longer_as_the_kitchen_says() -> None:
    slow = {"trainee_hour": "120 min"}
    assert portioned(120, "cat", level="trainee", kitchen=slow) == set()
    assert portioned(90, "cat", level="trainee", kitchen=slow) == {"law"}
    assert portioned(60, "cat", level="trainee", kitchen={"trainee_hour": "60 min"}) == set()


def test_53_with_somebody_who_knows_it_takes_as_long_as_written() -> None:
    assert portioned(60, "ben", "cat", people=2, level="trainee") == set()
    assert portioned(60, "cat", "dan", people=2, level="trainee") == {"law"}
    assert portioned(90, "cat", "dan", people=2, level="trainee") == set()


def test_53_in_shared_work_each_counts_for_what_they_bring() -> None:
    # A cook and a trainee do 5/3 of a cook's work: 60 min in 36, up to the grid 40.
    assert portioned(40, "ben", "cat", level="trainee", up_to=2) == set()
    assert portioned(30, "ben", "cat", level="trainee", up_to=2) == {"law"}
    # Two trainees 4/3: 45 min.
    assert portioned(45, "cat", "dan", level="trainee", up_to=2) == set()
    assert portioned(40, "cat", "dan", level="trainee", up_to=2) == {"law"}


def test_53_the_longest_a_step_may_take_is_the_same_whoever_does_it() -> None:
    time = {"at_least": "60 min", "at_most": "100 min", "best": "100 min"}
    assert portioned(60, "ben", time=time, level="trainee") == set()
    assert portioned(90, "cat", time=time, level="trainee") == set()
    assert portioned(85, "cat", time=time, level="trainee") == {"law"}
    assert portioned(105, "cat", time=time, level="trainee") == {"law"}


def test_53_a_look_is_as_long_whoever_comes() -> None:
    tend = {
        "every": "30 min", "give_or_take": "5 min", "time": "10 min",
        "hands": [{"level": "trainee"}],
    }  # fmt: skip
    made = week(component("soup", step(tend=[tend])), people=PEOPLE)

    def looked(who: str, minutes: int) -> set[str]:
        seen = [visit("tend", "Tue 12:25", minutes, who)]
        return broken(made, supper(made, task("soup.1/cook", "Tue 12:00", visits=seen)))

    assert looked("ben", 10) == looked("cat", 10) == set()
    assert looked("cat", 15) == {"visit-length"}


@pytest.mark.parametrize(
    ("who", "minutes", "rules"),
    [
        (["ben"], 60, set()),
        (["ben", "cat"], 40, set()),
        (["cat"], 90, {"not-alone"}),
        (["cat", "dan"], 45, {"not-alone"}),
    ],
)
def test_53_a_trainee_is_not_alone_at_what_they_must_not_do_alone(
    who: list[str], minutes: int, rules: set[str]
) -> None:
    assert portioned(minutes, *who, level="trainee", up_to=2, not_alone=True) == rules


@pytest.mark.parametrize(("who", "rules"), [("ana", set()), ("ben", {"named"})])
def test_53_where_the_chef_insists_it_is_who_is_named(who: str, rules: set[str]) -> None:
    assert portioned(60, who, only=["ana"]) == rules
