"""Semantics 9 and 53 the whole way: shared work, trainees, company, named people."""

from __future__ import annotations

from typing import Any

from tests.weeks.checks import finds_no_place, keeps_the_rule, planned, served, task
from tests.weeks.tiny import DAY, Document, component, cook, keep, step, visit, week_of


def portioned(
    *people: Document, time: Any = "2 h", kitchen: Document | None = None, **line: Any
) -> Document:
    """One job at the stove, needed at 18:00."""
    return week_of(
        component("terrine", step("portion", time, hands=[line])),
        people=list(people),
        kitchen=kitchen or {},
    )


def at_work(name: str, *hours: str, level: str = "cook") -> Document:
    return cook(name, *hours, sections={"stove": level}, days=DAY)


# -- semantics 9 ----------------------------------------------------------------------

MORNING_AND_LAST_HOUR = ("08:00-10:00", "17:00-18:00")


def test_two_share_in_an_hour_what_one_does_not_get_done_before_service() -> None:
    two = [at_work(n, *MORNING_AND_LAST_HOUR) for n in ("ana", "ben")]
    plan = keeps_the_rule(portioned(*two), portioned(*two, up_to=2), "hands")
    assert plan.terms.quality == 8 * 60
    together = served(portioned(*two, up_to=2))
    (visit,) = task(together, "terrine.1/portion").visits
    assert set(visit.people) == {"ana", "ben"}
    assert visit.end - visit.start == 60


def test_a_large_job_that_only_fits_shared_is_shared() -> None:
    three = [at_work(n, "15:00-18:00") for n in ("ana", "ben", "cem")]
    plan = served(portioned(*three, time="8 h", up_to=3))
    assert len(task(plan, "terrine.1/portion").visits[0].people) == 3
    finds_no_place(portioned(*three, time="8 h"), "terrine.1")


def test_a_job_that_two_do_not_get_done_is_missing() -> None:
    two = [at_work(n, "15:00-18:00") for n in ("ana", "ben")]
    finds_no_place(portioned(*two, time="8 h", up_to=3), "terrine.1")


def test_who_shares_is_there_from_start_to_end() -> None:
    """Ben comes for the second half of it: that is no help."""
    people = [at_work("ana", "15:00-18:00"), at_work("ben", "16:30-18:00")]
    finds_no_place(portioned(*people, time="4 h", up_to=2), "terrine.1")


def test_setting_up_takes_as_long_with_two() -> None:
    two = [at_work(n, *MORNING_AND_LAST_HOUR) for n in ("ana", "ben")]
    time = {"at_least": "2 h", "undivided": "10 min"}
    keeps_the_rule(portioned(*two, time=time, up_to=2), portioned(*two, up_to=2), "law")


def test_a_load_is_shared_where_the_oven_has_to_be_full_in_time() -> None:
    def salted(**line: Any) -> Document:
        return week_of(
            component("duck", step("cure", "3 h", load=visit("60 min", [line]))),
            people=[at_work(n, "08:00-10:00", "14:30-15:00") for n in ("ana", "ben")],
        )

    plan = keeps_the_rule(salted(), salted(up_to=2), "hands")
    assert plan.terms.quality == 5 * 60
    together = served(salted(up_to=2))
    assert together.terms.quality == 0
    assert len(task(together, "duck.1/cure").visits[0].people) == 2


# -- semantics 53 ---------------------------------------------------------------------


def two_sauces(hour: str, *people: Document) -> Document:
    stir = step("stir", "60 min", hands=[{"level": "trainee"}])
    return week_of(
        component("red", stir), component("white", stir), people=list(people),
        kitchen={"trainee_hour": hour},
    )  # fmt: skip


def test_a_trainee_on_their_own_begins_earlier() -> None:
    tim = at_work("tim", "08:00-18:00", level="trainee")
    plan = keeps_the_rule(two_sauces("90 min", tim), two_sauces("60 min", tim), "law")
    assert plan.terms.quality == 90


def test_a_cook_does_it_where_a_trainee_would_be_too_slow() -> None:
    people = [at_work("tim", "17:00-18:00", level="trainee"), at_work("ana", "17:00-18:00")]
    plan = served(portioned(*people, time="1 h", level="trainee"))
    assert task(plan, "terrine.1/portion").visits[0].people == ("ana",)
    finds_no_place(portioned(people[0], time="1 h", level="trainee"), "terrine.1")


def test_a_cook_beside_a_trainee_keeps_the_pace() -> None:
    two = [at_work("tim", "16:00-18:00", level="trainee"), at_work("ana", "16:00-18:00")]
    plan = served(portioned(*two, people=2, level="trainee"))
    (visit,) = task(plan, "terrine.1/portion").visits
    assert visit.end - visit.start == 120
    trainees = [at_work(n, "16:00-18:00", level="trainee") for n in ("tim", "tom")]
    finds_no_place(portioned(*trainees, people=2, level="trainee"), "terrine.1")


def test_a_trainee_who_shares_brings_two_thirds_of_a_cook() -> None:
    two = [at_work("tim", "12:00-18:00", level="trainee"), at_work("ana", "12:00-18:00")]
    plan = planned(portioned(*two, time="10 h", level="trainee", up_to=2))
    assert not plan.missing
    (visit,) = task(plan, "terrine.1/portion").visits
    assert visit.end - visit.start == 6 * 60
    finds_no_place(portioned(*two, time="10 h 5 min", level="trainee", up_to=2), "terrine.1")


def test_a_trainee_is_not_left_alone_at_the_hot_sugar() -> None:
    people = [at_work("ana", "08:00-14:00"), at_work("tim", "08:00-18:00", level="trainee")]
    line = {"level": "trainee", "up_to": 2}
    plan = keeps_the_rule(
        portioned(*people, not_alone=True, **line), portioned(*people, **line), "not-alone"
    )
    assert "ana" in task(plan, "terrine.1/portion").visits[0].people
    finds_no_place(
        week_of(
            component(
                "terrine", step("portion", "2 h", hands=[{**line, "not_alone": True}]),
                keeps=keep("3 h"),
            ),
            people=people,
        ),
        "terrine.1",
    )


def test_where_the_chef_insists_nobody_else_does_it() -> None:
    people = [at_work("ana", "08:00-14:00"), at_work("ben", "08:00-18:00")]
    plan = keeps_the_rule(portioned(*people, only=["ana"]), portioned(*people), "named")
    assert task(plan, "terrine.1/portion").visits[0].people == ("ana",)


def test_what_only_one_may_do_is_missing_on_their_day_off() -> None:
    people = [
        cook("ana", "08:00-18:00", sections={"stove": "lead"}, off=[DAY]),
        at_work("ben", "08:00-18:00"),
    ]
    week = week_of(
        component("terrine", step("portion", "2 h", hands=[{"only": ["ana"]}]), keeps=keep("6 h")),
        people=people,
    )
    finds_no_place(week, "terrine.1")
