"""A standing duty whose people leave: who is there takes over, and what nobody is left for is said.

The grid is 30 minutes, plates go at 18:00, a sauce of one hour is best made last. The larder's
pass takes its people from 12:00 to 16:00. What happens to it is common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.plan.audit import audit
from scheduler.plan.file import plan_of
from scheduler.reshuffle.proposal import Proposal
from scheduler.solve.last_calls import last_calls
from tests.reshuffle.small import Anew, anew, text_of
from tests.weeks.tiny import DAY, Document, component, cook, keep, step, week_of

PASS = f"pass/{DAY}"
Parts = list[tuple[str, str, str, tuple[str, ...]]]


def at_the_pass(*names: str, people: int = 1, hours: str = "12:00-16:00", **rest: Any) -> str:
    """These cooks of the larder, one of the stove; so many of the larder's at the pass."""
    sauce = component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h"))
    duty: Document = {
        "id": "pass", "days": [DAY], "hours": hours, "section": "larder",
        "people": people, **rest,
    }  # fmt: skip
    larder = [cook(name, sections={"larder": "cook"}) for name in names]
    return text_of(
        week_of(sauce, people=[cook("ana"), *larder], kitchen={"duties": [duty]})
    )


def away(who: str, **rest: str) -> Document:
    return {"kind": "away", "who": who, **rest}


def parts(found: Anew) -> Parts:
    return [(d.id, found.clock(d.start), found.clock(d.end), d.people) for d in found.plan.duties]


def besides(found: Anew) -> list[str]:
    return list(Proposal(found.asked, found.text).besides())


def test_a_duty_for_which_nobody_is_left_is_said_and_the_rest_is_planned() -> None:
    found = anew(at_the_pass("bea"), "10:00", away("bea"))
    assert parts(found) == [(PASS, "12:00", "16:00", ())]
    assert found.plan.terms.served == (0,)
    assert besides(found) == [
        "Nobody is left for pass, Fri 7 May 12:00 to 16:00: find somebody."
    ]


def test_a_duty_of_two_goes_on_with_the_one_who_is_there() -> None:
    found = anew(at_the_pass("bea", "cem", people=2), "10:00", away("cem"))
    assert parts(found) == [(PASS, "12:00", "16:00", ("bea",))]
    assert besides(found) == [
        "Only one of 2 is left for pass, Fri 7 May 12:00 to 16:00: find somebody."
    ]


def test_whoever_is_there_takes_over_where_somebody_leaves_a_duty_that_runs() -> None:
    older = at_the_pass("bea", "cem")
    (first,) = plan_of(older).plan.duties[0].people
    other = "cem" if first == "bea" else "bea"
    at_once = anew(older, "13:00", away(first))
    assert parts(at_once) == [
        (PASS, "12:00", "13:00", (first,)), (f"{PASS}/2", "13:00", "16:00", (other,)),
    ]  # fmt: skip
    assert besides(at_once) == []
    told = {told.person for told in at_once.comparison.people}
    assert other in told
    later = anew(older, "13:00", away(first, since=f"{DAY} 14:00"))
    two = [(PASS, "12:00", "14:00", (first,)), (f"{PASS}/2", "14:00", "16:00", (other,))]
    assert parts(later) == two
    again = anew(later.text, "13:30", away("pia", since=f"{DAY} 21:00"))
    assert (parts(again), again.plan.terms.changes) == (two, 0)


def test_the_next_who_leaves_it_leaves_another_part_to_whoever_is_there_then() -> None:
    older = at_the_pass("bea", "cem", "dan")
    (first,) = plan_of(older).plan.duties[0].people
    once = anew(older, "13:00", away(first))
    (second,) = parts(once)[1][3]
    third = next(iter({"bea", "cem", "dan"} - {first, second}))
    twice = anew(once.text, "14:30", away(second))
    assert parts(twice)[:2] == [
        (PASS, "12:00", "13:00", (first,)), (f"{PASS}/2", "13:00", "14:30", (second,)),
    ]  # fmt: skip
    assert parts(twice)[2] == (f"{PASS}/3", "14:30", "16:00", (third,))
    back = anew(twice.text, "15:00", away(third))
    assert parts(back)[3] == (f"{PASS}/4", "15:00", "16:00", ())
    assert besides(back) == ["Nobody is left for pass, Fri 7 May 15:00 to 16:00: find somebody."]


def test_somebody_in_the_middle_of_a_job_is_not_taken_from_it_for_a_duty() -> None:
    """Cem is at his stock from 11:00 to 18:00; bea, who was to be at the pass, goes at 11:30."""
    stock = component("stock", step("boil", "7 h", hands=1), keeps=keep("30 h"), section="larder")
    duty = {"id": "pass", "days": [DAY], "hours": "12:00-16:00", "section": "larder", "people": 1}
    bea = cook("bea", "11:30-22:00", sections={"larder": "cook"})
    cem = cook("cem", sections={"larder": "cook"})
    older = text_of(week_of(stock, people=[bea, cem], kitchen={"duties": [duty]}))
    found = anew(older, "11:30", away("bea"))
    assert found.people("stock.1/boil") == [("cem",)]
    assert parts(found) == [(PASS, "12:00", "16:00", ())]
    assert found.plan.terms.served == (0,)


@pytest.mark.parametrize(
    ("edit", "rule", "words"),
    [
        (lambda d: {"people": ()}, "hands", "could do it"),
        (lambda d: {"start": d.start + 30}, "duty", "is in the plan until"),
        (lambda d: {"end": d.end - 30}, "duty", "by the kitchen"),
    ],
)
def test_the_audit_does_not_take_a_duty_that_somebody_could_do_or_that_has_a_gap(
    edit: Any, rule: str, words: str
) -> None:
    older = at_the_pass("bea", "cem")
    (first,) = plan_of(older).plan.duties[0].people
    plan = anew(older, "13:00", away(first))
    *before, rest = plan.plan.duties
    wrong = plan.plan.model_copy(update={"duties": (*before, rest.model_copy(update=edit(rest)))})
    found = audit(plan.file.scenario, wrong)
    assert any(f.rule == rule and words in f.what for f in found.findings)


def test_nobody_at_a_duty_is_a_fault_where_nothing_has_happened() -> None:
    found = anew(at_the_pass("bea"), "10:00", away("bea"))
    calm = found.plan.model_copy(update={"past": None})
    assert any(
        f.rule == "hands" and f.where == PASS for f in audit(found.file.scenario, calm).findings
    )


def test_last_calls_are_told_of_a_week_in_which_nobody_is_left_for_a_duty() -> None:
    """The sauce, an hour for 18:00, is begun at 17:00 at the latest; at 17:30 it has been."""
    found = anew(at_the_pass("bea"), "10:00", away("bea"))
    calls = last_calls(found.file.scenario, found.plan)
    assert {c.batch: found.clock(c.by) for c in calls}["sauce.1"] == "17:00"
    later = anew(at_the_pass("bea", hours="17:30-20:00"), "17:30", away("bea"))
    assert later.starts("sauce.1/stir") == "17:00"
    assert "sauce.1" not in {call.batch for call in last_calls(later.file.scenario, later.plan)}
