"""How good a plan is, in words: hours that could be saved at most, and no empty percentages."""

from __future__ import annotations

import pytest

from scheduler.plan.audit import audit
from scheduler.plan.freshness import freshness
from scheduler.plan.model import Plan
from tests.plan import tiny


def plan(quality: int, bound: int | None) -> Plan:
    one = tiny.plan()
    terms = one.terms.model_copy(update={"quality": quality})
    return one.model_copy(update={"terms": terms, "bound": bound})


@pytest.mark.parametrize(
    ("quality", "bound", "says"),
    [
        (0, None, "."),
        (635, None, "; how much of it could be avoided is not known."),
        (635, 635, "; nothing better exists for these batches and methods."),
        # 635 - 570 = 65 min; 65 of 570 is 11.4 %, told as 12: never less than it is.
        (
            635,
            570,
            "; at most 1 h 5 min of avoidable holding for these batches and methods (12 %).",
        ),
        # 120 of 480 is 25 %: no percentage.
        (600, 480, "; at most 2 h of avoidable holding for these batches and methods."),
        (50, 0, "; at most 50 min of avoidable holding for these batches and methods."),
        # 1,861 min are 31 h and a minute: 32 h at most.
        (
            21861,
            20000,
            "; at most 32 h of avoidable holding for these batches and methods (10 %).",
        ),
    ],
)
def test_a_chef_reads_how_much_holding_could_be_avoided(
    quality: int, bound: int | None, says: str
) -> None:
    said = freshness(plan(quality, bound))
    assert said == f"Freshness: {quality} weighted minutes outside the best band{says}"


def test_a_bound_above_the_plan_itself_is_found_out() -> None:
    one = tiny.plan()
    good = one.model_copy(update={"bound": one.terms.quality})
    assert audit(tiny.scenario(), good).valid
    bad = one.model_copy(update={"bound": one.terms.quality + 1})
    assert [f.rule for f in audit(tiny.scenario(), bad).findings] == ["terms"]
    assert "not known" in freshness(plan(30, 31))
