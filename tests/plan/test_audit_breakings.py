"""A good plan broken in every way the rules name is refused each time, with the rule named."""

from __future__ import annotations

import pytest

from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import RULES, audit
from scheduler.plan.model import Plan
from tests.plan.breakings import BREAKINGS, Breaking

ALL = [(rule, one) for rule, ways in BREAKINGS.items() for one in ways]


def test_the_good_plan_is_good(rich_week: Scenario, rich_plan: Plan) -> None:
    found = audit(rich_week, rich_plan)
    assert [str(f) for f in found.findings] == []
    assert found.served
    assert found.terms == rich_plan.terms


def test_every_rule_can_be_broken() -> None:
    assert set(BREAKINGS) == set(RULES)


def test_every_rule_is_one_sentence() -> None:
    for name, sentence in RULES.items():
        assert name == name.lower() and " " not in name
        assert sentence.endswith(".") and sentence.count(". ") == 0


@pytest.mark.parametrize(("rule", "way"), ALL, ids=[f"{r}{w.__name__}" for r, w in ALL])
def test_a_broken_plan_is_refused_with_the_rule_named(
    rich_week: Scenario, rich_plan: Plan, rule: str, way: Breaking
) -> None:
    bad = way(rich_week, rich_plan)
    assert bad is not None, "the rich plan offers no opportunity"
    found = audit(rich_week, bad)
    assert rule in found.rules(), "\n".join(map(str, found.findings))
    for finding in found.findings:
        assert finding.rule in RULES
        assert finding.where and finding.what
