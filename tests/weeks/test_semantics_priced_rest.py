"""Daily rest at a price: eaten only where nothing else serves, counted, told, and never more.

Home at 23:00 and 11 h of rest (2003/88/EC art. 3): nobody works before 10:00
unless that is paid for. The cases are worked by hand from that.
"""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.by import By
from scheduler.plan.file import Verdicts
from scheduler.plan.model import Plan
from scheduler.plan.show import show
from scheduler.plan.summary import summarise
from scheduler.plan.words import Names
from scheduler.plan.working import eaten_line, overtime_line
from scheduler.solve.cpsat.solve import solve_model
from tests.weeks.checks import finds_no_place, named, planned, problem_of, served, task
from tests.weeks.test_semantics_rest import EARLY, LATE, kitchen_of, shift, told
from tests.weeks.tiny import DAY, EVE, Document, cook, keep

PRICED: Document = {"daily_rest": "priced"}
TEN = 34 * 60
"""10:00 on the second day, minutes."""


def with_price(
    *shifts: Document, costs: Document | None = None, rest: Document = PRICED, **more: Any
) -> Document:
    document = kitchen_of(*(shifts or (LATE, EARLY)), rest=rest, **more)
    document["kitchen"]["costs"] = costs or {}
    return document


def model_money(document: Document) -> int | None:
    """By the OR-Tools model alone."""
    result = solve_model(problem_of(scenario_of(document)), workers=1)
    assert result.status == "optimal" and result.refused == ()
    return result.money


def test_a_brunch_that_only_less_rest_can_serve_is_served_and_paid_for() -> None:
    """The sauce for 10:30 is made from 9:30: half an hour of rest at 60 an hour; hard: no place."""
    plan = served(with_price())
    assert task(plan, "sauce.1/make").start == TEN - 30
    assert plan.terms.money == 30 == model_money(with_price())
    finds_no_place(with_price(rest={"daily_rest": "hard"}), "sauce.1")
    assert served(with_price(rest={"daily_rest": "warned"})).terms.money == 0


def test_an_allowance_of_overtime_and_the_price_of_overtime_have_nothing_to_do_with_it() -> None:
    costs = {"overtime_allowance": "10 h", "overtime_hour": 1, "rest_hour": 90}
    document = with_price(costs=costs)
    assert served(document).terms.money == 45 == model_money(document)
    document["kitchen"]["costs"]["step"] = 40
    assert served(document).terms.money == 2


def test_nobody_eats_their_rest_where_somebody_else_is_there() -> None:
    document = with_price()
    document["kitchen"]["people"].append(cook("ben", "08:00-14:00", days=DAY))
    plan = served(document)
    assert task(plan, "sauce.1/make").visits[0].people == ("ben",)
    assert plan.terms.money == 0


def test_nobody_eats_their_rest_for_fresher_food() -> None:
    """For 13:00 it would be best three hours old, which is from before 9:00 on."""
    document = with_price(service=f"{DAY} 13:00")
    document["components"][0]["keeps"] = [keep("5 h", best_from="3 h")]
    plan = served(document)
    assert task(plan, "sauce.1/make").start >= TEN
    assert plan.terms.money == 0 == model_money(document)


def test_idle_time_after_the_first_work_is_eaten_too() -> None:
    """For 9:00 the sauce is made from 8:00 to 9:00, and the rest is over at 10:00."""
    document = with_price(service=f"{DAY} 09:00")
    assert served(document).terms.money == 120 == model_money(document)


def test_a_week_that_ends_or_is_planned_again_in_the_rest_counts_to_its_end() -> None:
    """The rest is over at 10:00 in both: the week ends at 9:30, or planning begins at 8:15."""
    ends = with_price(service=f"{DAY} 09:00", week={"ends": f"{DAY} 09:30"})
    assert served(ends).terms.money == 120 == model_money(ends)
    again = with_price(service=f"{DAY} 09:30", week={"plan_from": f"{DAY} 08:15"})
    assert served(again).terms.money == 90 == model_money(again)


def test_the_hours_of_a_night_of_the_clocks_are_elapsed_time() -> None:
    """From 22:00 on 11 h are over at 10:00 in the night that has an hour less."""
    document = with_price(
        shift("2027-03-27", "13:00-22:00", "18:00-18:30"),
        shift("2027-03-28", "08:00-15:00", "11:00-11:30"),
        service="2027-03-28 09:30",
        week={"starts": "2027-03-27 00:00", "plan_from": "2027-03-27 23:00",
              "ends": "2027-03-28 20:00"},
    )  # fmt: skip
    assert served(document).terms.money == 90 == model_money(document)


def test_a_shift_that_lies_wholly_in_the_rest_may_be_worked_at_a_price() -> None:
    """Refused where rest is hard; here an hour from 8:30 on, and the rest would end at 10:00."""
    short = shift(DAY, "07:00-09:30")
    document = with_price(LATE, short, service=f"{DAY} 09:30")
    with pytest.raises(BadInput, match="8 h of rest before work, at least 11 h"):
        scenario_of({**document, "kitchen": {**document["kitchen"], "rest": {}}})
    assert served(document).terms.money == 90 == model_money(document)


def test_a_split_day_counts_from_its_first_work_through_the_hole_to_the_end_of_the_rest() -> None:
    """8:00 to 9:00 in the first part; the second begins at 9:30, the rest is over at 10:00."""
    document = with_price(
        LATE, shift(DAY, "07:00-09:00"), shift(DAY, "09:30-13:00"), service=f"{DAY} 09:00"
    )
    assert served(document).terms.money == 120 == model_money(document)


# -- overtime beside it ------------------------------------------------------------------


def test_overtime_of_the_evening_before_eats_nothing_of_the_next_morning() -> None:
    """The shift ends at 21:00 and the next begins at 08:00: 11 h, and no minute to spare."""
    late, early = shift(EVE, "14:00-21:00", "18:00-18:30"), shift(DAY, "08:00-14:00")
    for hours, fits in (("08:00-14:00", False), ("09:00-15:00", True)):
        document = with_price(
            late, {**early, "hours": hours}, service=f"{EVE} 22:00", overtime={"at_end": "3 h"},
            week={"plan_from": f"{EVE} 21:00"},
        )  # fmt: skip
        document["kitchen"]["people"][0]["shifts"] = [shift(EVE, "20:00-23:30")]
        assert bool(planned(document).missing) is not fits


def test_coming_before_a_shift_is_overtime_and_never_in_the_rest() -> None:
    """The rest is over at 10:00 and the shift begins then."""
    document = with_price(LATE, shift(DAY, "10:00-15:00"), overtime={"at_start": "2 h"})
    finds_no_place(document, "sauce.1")
    hard = with_price(
        LATE, shift(DAY, "07:00-09:00"), shift(DAY, "12:00-15:00"), rest={},
        overtime={"at_start": "3 h", "at_end": "3 h"},
    )  # fmt: skip
    finds_no_place(hard, "sauce.1")


# -- the audit ---------------------------------------------------------------------------


def moved(plan: Plan, by: int) -> Plan:
    """The sauce earlier, and what waits for it longer."""
    found = task(plan, "sauce.1/make")
    visits = tuple(
        v.model_copy(update={"start": v.start - by, "end": v.end - by}) for v in found.visits
    )
    earlier = found.model_copy(
        update={"start": found.start - by, "end": found.end - by, "visits": visits,
                "law_start": found.law_start - by, "law_end": found.law_end - by}
    )  # fmt: skip
    tasks = tuple(earlier if t is found else t for t in plan.tasks)
    holds = tuple(
        h.model_copy(update={"start": h.start - by}) if h.start == found.end else h
        for h in plan.holds
    )
    return plan.model_copy(update={"tasks": tasks, "holds": holds})


def test_the_audit_reckons_the_price_again_and_names_what_no_price_buys() -> None:
    scenario = scenario_of(with_price())
    plan = served(with_price())
    sooner = audit(scenario, moved(plan, 30))
    assert sooner.terms.money == 60 and sooner.rules() == {"terms"}
    hard = audit(scenario_of(with_price(rest={"daily_rest": "hard"})), plan)
    assert {"rest", "shift", "terms"} == hard.rules()
    begins_later = with_price(
        LATE, shift(DAY, "10:00-15:00"), overtime={"at_start": "2 h"}
    )
    assert "rest" in audit(scenario_of(begins_later), plan).rules()


def test_overtime_before_a_short_night_is_named() -> None:
    """Ana stays until 23:30 and comes in at 9:30."""
    document = with_price(overtime={"at_end": "1 h"})
    plan = served(document)
    duty = {"id": "close", "section": "stove", "days": [EVE], "hours": "23:00-23:30",
            "people": 1}  # fmt: skip
    document["kitchen"]["duties"] = [duty]
    document["kitchen"]["people"].append(cook("ben", "22:00-24:00", days=EVE))
    plan = served(document)
    assert plan.duties[0].people == ("ben",)
    report = audit(scenario_of(document), named_only_duty(plan))
    assert "rest" in report.rules()


def named_only_duty(plan: Plan) -> Plan:
    """Ana on the duty."""
    return plan.model_copy(update={"duties": named(plan, {"ben": "ana"}).duties})


# -- breaks ------------------------------------------------------------------------------


def test_who_eats_their_rest_has_the_break_that_lies_in_it() -> None:
    """A fixed one is a hole as ever; of one that moves the last half hour stays free.

    The sauce for 9:30 is made from 8:00 on, before the one and before the other.
    """
    fixed = shift(DAY, "07:00-15:00", "09:00-09:30")
    assert served(with_price(LATE, fixed, service=f"{DAY} 10:30")).terms.money == 30
    assert served(with_price(LATE, fixed, service=f"{DAY} 09:30")).terms.money == 120
    floating = {**shift(DAY, "07:00-15:00"),
                "floating_breaks": [{"between": "08:00-09:30", "length": "30 min"}]}  # fmt: skip
    document = with_price(LATE, floating, service=f"{DAY} 09:30")
    plan = served(document)
    assert task(plan, "sauce.1/make").end == TEN - 60
    assert plan.terms.money == 120 == model_money(document)
    document["kitchen"]["people"][1]["shifts"][1]["floating_breaks"][0]["between"] = "08:00-09:00"
    assert audit(scenario_of(document), plan).rules() == {"break"}


def test_no_break_no_coming_in_sooner() -> None:
    """The only break lies across the end of the rest, where it has no room in either part."""
    across = {**shift(DAY, "07:00-15:00"),
              "floating_breaks": [{"between": "09:30-10:30", "length": "1 h"}]}  # fmt: skip
    finds_no_place(with_price(LATE, across), "sauce.1")


# -- who it is not for ---------------------------------------------------------------------


def test_nobody_under_age_eats_their_rest_at_any_price() -> None:
    """12 h of rest from 21:00 on (94/33/EC art. 10), so not before 09:00."""
    shifts = (shift(EVE, "14:00-21:00", "17:00-17:30"), shift(DAY, "08:00-14:00", "11:00-11:30"))
    for born, fits in (("2010-08-15", False), ("2000-08-15", True)):
        document = with_price(*shifts, service=f"{DAY} 09:30", born=born)
        assert bool(planned(document).missing) is not fits
        assert planned(document).terms.money == 0


@pytest.mark.parametrize(
    ("word", "why"),
    [
        ("weekly_rest", "a week has its rest between shifts as they are written or has not"),
        ("breaks", "a shift has the breaks that are written for it"),
    ],
)
def test_what_no_plan_can_give_back_has_no_price(word: str, why: str) -> None:
    with pytest.raises(BadInput) as bad:
        scenario_of(with_price(rest={word: "priced"}))
    (one,) = bad.value.problems
    assert one.where == f"kitchen, rest, {word}"
    assert why in one.what and one.maybe == "'hard' or 'warned'"


def test_a_day_too_long_for_any_rest_is_refused_at_any_price() -> None:
    split = [shift(DAY, "06:00-10:00"), shift(DAY, "16:00-21:00")]
    with pytest.raises(BadInput, match="leaves no 11 h of rest in 24 h"):
        scenario_of(with_price(*split))


# -- how it is told ------------------------------------------------------------------------


def test_the_summary_says_whose_rest_is_cut_by_how_much_and_what_for() -> None:
    document = with_price()
    scenario, plan = scenario_of(document), served(document)
    note = (
        "Fri 7 May from 09:30: 10 h 30 min of rest before work, 30 min less than 11 h "
        "(2003/88/EC art. 3); for sauce, make, as nothing else was found"
    )
    names = Names(scenario, plan)
    assert eaten_line(names) == f"Rest cut short: ana {note}."
    assert overtime_line(names) == ""
    summary = summarise(scenario, plan, Verdicts(valid=True, served=True))
    assert " ".join(eaten_line(names).split()) in " ".join(summary.split())
    assert f"  {note}" in list(show(scenario, plan, By.PERSON))


def test_a_plan_that_eats_no_rest_says_who_is_called_in_later() -> None:
    document = with_price(service=f"{DAY} 12:00")
    assert told(document) == [
        "ana daily_rest warned: Fri 7 May: 8 h of rest before work, at least 11 h "
        "(2003/88/EC art. 3)"
    ]
    scenario, plan = scenario_of(document), served(document)
    assert eaten_line(Names(scenario, plan)) == ""
    assert any(
        line.endswith("so called in sooner only where nothing else serves")
        for line in show(scenario, plan, By.PERSON)
    )
