"""What the rules of food say about the demo, under its own rules and under each shipped profile.

Each profile has a list in `findings`, one finding a line with its figures, fine ones left out. A
new finding fails here, as does one that has gone: look at it, then write the lists anew with

    python -m tests.scenarios.test_demo_findings

What is said of a plan is said of one that is kept there as well (`plan.json.gz`), so that a better
search changes nothing here. Where the demo or a rule has changed so that it is no plan of the demo
any more, that command makes another.
"""

from __future__ import annotations

import gzip
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest

from scheduler.domain.profiles import NAMES
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.safety.check import PLANS, check
from scheduler.safety.finding import Finding, Standing
from tests.scenarios.planned import demo, plan

LISTS = Path(__file__).parent / "findings"
KEPT = LISTS / "plan.json.gz"
OWN = "own"
RULES = (OWN, *NAMES)


@cache
def kept() -> Plan:
    """A plan of the demo that was made once."""
    return Plan.model_validate_json(gzip.decompress(KEPT.read_bytes()))


def under(rules: str) -> Scenario:
    """The demo under its own rules or under a profile's."""
    return demo() if rules == OWN else demo().under(rules)


def told(found: Iterable[Finding]) -> list[str]:
    """Everything but what is fine, worst first."""
    order = list(Standing)
    rest = [f for f in found if f.standing is not Standing.FINE]
    rest.sort(key=lambda f: (order.index(f.standing), f.rule, f.where, f.said))
    return [f"{f.standing.value} / {f.rule}: {f}" for f in rest]


def findings(rules: str) -> list[str]:
    """What is said of the written week."""
    return told(check(under(rules)))


def findings_in_plan(rules: str) -> list[str]:
    """What is said of the plan besides."""
    return told(f for look in PLANS for f in look(under(rules), kept()))


def known(name: str) -> list[str]:
    """A list as it was looked at last."""
    return (LISTS / f"{name}.txt").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("rules", RULES)
def test_no_finding_on_the_demo_appears_or_goes_unseen(rules: str) -> None:
    assert findings(rules) == known(rules)


@pytest.mark.parametrize("rules", RULES)
def test_no_finding_on_a_plan_of_the_demo_appears_or_goes_unseen(rules: str) -> None:
    assert findings_in_plan(rules) == known(f"plan-{rules}")


def test_the_plan_that_is_kept_is_one_of_the_demo() -> None:
    report = audit(demo(), kept())
    assert report.findings == () and report.served


def test_the_demo_breaks_none_of_its_own_rules() -> None:
    assert not [line for line in findings(OWN) if line.startswith(("broken", "near"))]


def test_a_plan_of_the_demo_breaks_none_of_them_either() -> None:
    """The one that is kept, and the one that is made today."""
    assert not [line for line in findings_in_plan(OWN) if line.startswith("broken")]
    today = [f for look in PLANS for f in look(demo(), plan())]
    assert len(today) > 30 and not [f for f in today if f.standing is Standing.BROKEN]


def _write(name: str, lines: list[str]) -> None:
    (LISTS / f"{name}.txt").write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")


def _keep() -> None:
    if KEPT.exists():
        report = audit(demo(), kept())
        if report.findings == () and report.served:
            return
        kept.cache_clear()
    KEPT.write_bytes(gzip.compress(plan().model_dump_json().encode(), 9, mtime=0))


if __name__ == "__main__":
    _keep()
    for each in RULES:
        _write(each, findings(each))
        _write(f"plan-{each}", findings_in_plan(each))
