"""Work and rest by a rule profile: daily, weekly, breaks, the young, both ends, both clock nights.

Figures stand with their sources in `scheduler/domain/profiles.py`; the cases
here are worked by hand from them.
"""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.rest import shortfalls
from scheduler.plan.audit import audit
from tests.weeks.checks import finds_no_place, planned, served, task
from tests.weeks.tiny import DAY, EVE, Document, cook, keep, made, week_of


def shift(day: str, hours: str, *breaks: str) -> Document:
    return {"days": [day], "hours": hours, "breaks": list(breaks)}


def kitchen_of(
    *shifts: Document, service: str = f"{DAY} 10:30", profile: str | None = "eu",
    rest: Document | None = None, week: Document | None = None, **person: Any,
) -> Document:
    """Ana makes a sauce that keeps for two hours; Pia plates it."""
    ana = {**cook("ana", **person), "shifts": list(shifts)}
    event = {"id": "brunch", "first_plate": service, "guests": 10, "margin": "0 %",
             "menu": [{"dish": "plate"}]}  # fmt: skip
    document = week_of(
        made("sauce", keep("2 h")), people=[ana], events=[event], week=week,
        kitchen={"rule_profile": profile} if profile else None,
    )  # fmt: skip
    if rest:
        document["kitchen"]["rest"] = rest
    day = service.split(" ")[0]
    pia = {**document["kitchen"]["people"][0], "shifts": [shift(day, "08:00-14:00")]}
    document["kitchen"]["people"][0] = pia
    return document


def told(document: Document) -> list[str]:
    """Every shortfall, with who and how."""
    scenario = scenario_of(document)
    return [
        f"{s.person.id} {s.rule}{' kept' if s.kept else ''}{'' if s.hard else ' warned'}: {s.told}"
        for s in shortfalls(scenario.kitchen, scenario.clock)
    ]


def refused(document: Document) -> str:
    with pytest.raises(BadInput) as bad:
        scenario_of(document)
    return "\n".join(str(p) for p in bad.value.problems)


LATE = shift(EVE, "14:00-23:00", "18:00-18:30")
EARLY = shift(DAY, "07:00-15:00", "11:00-11:30")


def test_nobody_is_called_in_before_their_rest_is_over() -> None:
    """Home at 23:00, so not before 10:00 (11 h); the sauce for 10:30 needs an hour before."""
    finds_no_place(kitchen_of(LATE, EARLY), "sauce.1")
    assert served(kitchen_of(LATE, EARLY, profile=None))
    assert served(kitchen_of(LATE, EARLY, rest={"daily_rest": "warned"}))
    assert told(kitchen_of(LATE, EARLY)) == [
        "ana daily_rest kept: Fri 7 May: 8 h of rest before work, at least 11 h "
        "(2003/88/EC art. 3)"
    ]


def test_the_audit_sees_somebody_called_in_too_early() -> None:
    plan = served(kitchen_of(LATE, EARLY, profile=None))
    report = audit(scenario_of(kitchen_of(LATE, EARLY)), plan)
    assert {"rest", "shift"} <= report.rules()
    assert audit(scenario_of(kitchen_of(LATE, EARLY, rest={"daily_rest": "warned"})), plan).valid


def test_work_begins_when_the_rest_is_over() -> None:
    plan = served(kitchen_of(LATE, EARLY, service=f"{DAY} 12:00"))
    assert task(plan, "sauce.1/make").start == 34 * 60


def test_overtime_never_eats_into_the_rest_before_the_next_day() -> None:
    """The shift ends at 21:00 and the next begins at 08:30: half an hour may be added, no more."""
    late = shift(EVE, "14:00-21:00", "18:00-18:30")
    next_day = shift(DAY, "08:30-15:00", "11:00-11:30")
    week = {"plan_from": f"{EVE} 21:00"}
    long = {"overtime": {"at_end": "3 h"}}
    for hours, at, fits in (("08:30", "22:00", False), ("10:00", "22:00", True)):
        document = kitchen_of(
            late, {**next_day, "hours": f"{hours}-16:00"}, service=f"{EVE} {at}", week=week, **long
        )
        document["kitchen"]["people"][0]["shifts"] = [shift(EVE, "20:00-23:30")]
        plan = planned(document)
        assert bool(plan.missing) is not fits


def test_a_night_shift_from_before_the_week_needs_its_rest_in_the_week() -> None:
    """The shift of the evening before the horizon ends in it at 06:00."""
    night = {"days": ["wed"], "hours": "22:00-06:00", "breaks": ["02:00-02:30"]}
    morning = shift(EVE, "08:00-20:00", "12:00-12:30")
    finds_no_place(kitchen_of(night, morning, service=f"{EVE} 12:00"), "sauce.1")
    assert served(kitchen_of(night, morning, service=f"{EVE} 12:00", profile=None))


def test_overtime_on_the_last_day_keeps_the_rest_before_the_day_after_the_week() -> None:
    """The week ends on Friday at 23:00, the next shift begins on Saturday at 07:00."""
    friday = shift(DAY, "13:00-20:00", "16:00-16:30")
    saturday = {"days": ["sat"], "hours": "07:00-14:00", "breaks": ["11:00-11:30"]}
    week = {"plan_from": f"{DAY} 19:30"}
    for people, fits in (([friday, saturday], False), ([friday], True)):
        document = kitchen_of(
            *people, service=f"{DAY} 21:00", week=week, overtime={"at_end": "2 h"}
        )
        document["kitchen"]["people"][0]["shifts"] = [shift(DAY, "19:00-22:00")]
        assert bool(planned(document).missing) is not fits


@pytest.mark.parametrize(
    ("saturday", "sunday", "rest"),
    [("2026-10-24", "2026-10-25", "11 h"), ("2027-03-27", "2027-03-28", "9 h")],
)
def test_rest_in_the_nights_of_the_clocks_is_elapsed_time(
    saturday: str, sunday: str, rest: str
) -> None:
    """22:00 to 08:00 by the wall: 11 h in October, 9 h in March."""
    document = kitchen_of(
        shift(saturday, "13:00-22:00", "18:00-18:30"), shift(sunday, "08:00-15:00", "11:00-11:30"),
        service=f"{sunday} 09:30",
        week={"starts": f"{saturday} 00:00", "plan_from": f"{saturday} 23:00",
              "ends": f"{sunday} 20:00"},
    )  # fmt: skip
    plan = planned(document)
    if rest == "11 h":
        assert not plan.missing and told(document) == []
    else:
        assert plan.missing
        assert "9 h of rest before work, at least 11 h" in told(document)[0]


def test_a_day_from_early_to_late_leaves_no_rest_in_24_hours() -> None:
    split = [shift(DAY, "06:00-10:00"), shift(DAY, "16:00-21:00")]
    assert "leaves no 11 h of rest in 24 h (2003/88/EC art. 3)" in refused(kitchen_of(*split))
    assert told(kitchen_of(*split, rest={"daily_rest": "warned"}))


# -- breaks -----------------------------------------------------------------------


def test_a_long_shift_without_a_break_is_refused_or_warned_about() -> None:
    bare = shift(DAY, "08:00-14:30")
    said = refused(kitchen_of(bare))
    assert "person ana, shifts: Fri 7 May: a shift of 6 h 30 min without a break" in said
    assert "2003/88/EC art. 4" in said
    assert "warned" in told(kitchen_of(bare, rest={"breaks": "warned"}))[0]
    assert told(kitchen_of(shift(DAY, "08:00-14:00"))) == []


def test_a_quarter_of_an_hour_is_a_break_in_europe_and_none_in_britain() -> None:
    document = kitchen_of(shift(DAY, "08:00-15:00", "11:00-11:15"))
    document["kitchen"]["grid"] = "5 min"
    assert told(document) == []
    document["kitchen"]["rule_profile"] = "uk"
    assert "without a break of 20 min" in refused(document)


def test_overtime_never_makes_a_shift_so_long_that_it_needs_a_break() -> None:
    """Five hours without a break: one hour may be added, not three."""
    for at, fits in (("13:30", True), ("15:00", False)):
        document = kitchen_of(
            shift(DAY, "07:30-12:30"), service=f"{DAY} {at}", overtime={"at_end": "3 h"},
            week={"plan_from": f"{DAY} 12:30"},
        )  # fmt: skip
        document["components"][0]["keeps"] = [keep("30 min")]
        document["kitchen"]["people"][0]["shifts"] = [shift(DAY, "10:00-16:00")]
        assert bool(planned(document).missing) is not fits


# -- weeks ------------------------------------------------------------------------

WHOLE_WEEK = {"starts": "2027-05-03 00:00", "plan_from": "2027-05-06 00:00",
              "ends": "2027-05-10 00:00"}  # fmt: skip


def every_day(hours: str, days: str = "2027-05-03..2027-05-09") -> Document:
    return {"days": [days], "hours": hours, "breaks": ["11:00-11:30"]}


def test_seven_days_in_a_row_are_no_weekly_rest() -> None:
    said = refused(kitchen_of(every_day("08:00-15:00"), week=WHOLE_WEEK))
    assert "no 24 h of rest in one piece in this week, 11 h of daily rest beside it" in said
    assert "2003/88/EC art. 5" in said
    six = every_day("08:00-15:00", "2027-05-03..2027-05-08")
    assert told(kitchen_of(six, week=WHOLE_WEEK)) == []


def test_a_day_off_between_two_late_and_early_shifts_is_too_short_a_rest() -> None:
    """Wednesday 23:00 to Friday 08:00 are 33 h, less than 24 h and 11 h."""
    shifts = [
        every_day("14:00-23:00", "2027-05-03..2027-05-05"),
        every_day("08:00-15:00", "2027-05-07..2027-05-09"),
    ]
    shifts[0]["breaks"] = ["18:00-18:30"]
    assert "no 24 h of rest" in refused(kitchen_of(*shifts, week=WHOLE_WEEK))
    shifts[1]["hours"] = "10:00-15:00"
    assert told(kitchen_of(*shifts, week=WHOLE_WEEK, service=f"{DAY} 12:00")) == []


def test_in_britain_two_days_together_in_a_fortnight_will_do() -> None:
    days = every_day("08:00-15:00")
    assert told(kitchen_of(days, week=WHOLE_WEEK, profile="uk")) == []
    more = every_day("08:00-15:00", "2027-04-26..2027-05-16")
    said = refused(kitchen_of(more, week=WHOLE_WEEK, profile="uk"))
    assert "Working Time Regulations 1998 reg. 11" in said


def test_more_than_48_hours_are_only_warned_about() -> None:
    """One week cannot show an average over months."""
    six = every_day("08:00-17:00", "2027-05-03..2027-05-08")
    found = told(kitchen_of(six, week=WHOLE_WEEK))
    assert found == [
        "ana weekly_hours warned: Mon 3 May: works 51 h in this week, on average at most 48 h "
        "(2003/88/EC art. 6)"
    ]


# -- the young --------------------------------------------------------------------


def test_the_young_have_hours_of_their_own_and_nobody_can_loosen_them() -> None:
    loose = {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"}
    nine = shift(DAY, "08:00-17:30", "12:00-12:30")
    said = refused(kitchen_of(nine, born="2010-08-15", rest=loose))
    assert "works 9 h, at most 8 h under age (94/33/EC art. 8; from memory, not confirmed)" in said
    no_break = shift(DAY, "08:00-13:00")
    due = "a break of 30 min, due beyond 4 h 30 min (94/33/EC art. 12; from memory, not confirmed)"
    assert due in refused(kitchen_of(no_break, born="2010-08-15", rest=loose))
    assert told(kitchen_of(nine, born="2000-08-15", rest=loose)) == []


def test_the_young_do_not_work_at_night() -> None:
    """From 22:00 on; a kitchen may name the other night, from 23:00 on, and no third one."""
    evening = shift(EVE, "16:00-23:30", "19:00-19:30")
    week = {"plan_from": f"{EVE} 21:30"}
    at = f"{EVE} 23:00"
    for rest, fits in ((None, False), ({"young_night": "23:00-07:00"}, True)):
        document = kitchen_of(evening, service=at, week=week, born="2010-08-15", rest=rest)
        document["kitchen"]["people"][0]["shifts"] = [shift(EVE, "20:00-23:30")]
        plan = planned(document)
        assert bool(plan.missing) is not fits
    assert "no night of the rule profile" in refused(
        kitchen_of(evening, service=at, born="2010-08-15", rest={"young_night": "21:00-05:00"})
    )


def test_somebody_who_comes_of_age_in_the_week_is_grown_up_from_that_day_on() -> None:
    nine = [shift(d, "08:00-17:30", "12:00-12:30") for d in (EVE, DAY)]
    said = refused(kitchen_of(*nine, born=f"2009-{DAY[5:]}"))
    assert "Thu 6 May: works 9 h" in said
    assert "Fri 7 May" not in said


def test_nobody_under_age_stays_longer() -> None:
    day = shift(DAY, "07:30-12:00")
    at = f"{DAY} 13:30"
    for born, fits in (("2010-08-15", False), ("2000-08-15", True)):
        document = kitchen_of(
            day, service=at, born=born, overtime={"at_end": "1 h"},
            week={"plan_from": f"{DAY} 12:00"},
        )  # fmt: skip
        document["components"][0]["keeps"] = [keep("30 min")]
        assert bool(planned(document).missing) is not fits


def test_children_are_no_brigade() -> None:
    said = refused(kitchen_of(shift(DAY, "09:00-12:00"), born="2014-01-01"))
    least = "nobody under 15 works (94/33/EC art. 1 and 4; from memory, not confirmed)"
    assert f"is 13; {least}" in said
