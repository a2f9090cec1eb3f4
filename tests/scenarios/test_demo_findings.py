"""What the rules of food say about the demo, under its own rules and under each shipped profile.

Each profile has a list in `findings`, one finding a line with its figures, fine ones left out. A
new finding fails here, as does one that has gone: look at it, then write the list anew with

    python -m tests.scenarios.test_demo_findings
"""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.domain.finding import find_scenario
from scheduler.domain.profiles import NAMES
from scheduler.domain.reading import read_scenario
from scheduler.safety.check import check
from scheduler.safety.finding import Standing

LISTS = Path(__file__).parent / "findings"
OWN = "own"


def findings(rules: str) -> list[str]:
    """Everything but what is fine, worst first."""
    scenario = read_scenario(find_scenario("demo"))
    found = check(scenario if rules == OWN else scenario.under(rules))
    order = list(Standing)
    told = [f for f in found if f.standing is not Standing.FINE]
    told.sort(key=lambda f: (order.index(f.standing), f.rule, f.where, f.said))
    return [f"{f.standing.value} / {f.rule}: {f}" for f in told]


@pytest.mark.parametrize("rules", [OWN, *NAMES])
def test_no_finding_on_the_demo_appears_or_goes_unseen(rules: str) -> None:
    known = (LISTS / f"{rules}.txt").read_text(encoding="utf-8").splitlines()
    assert findings(rules) == known


def test_the_demo_breaks_none_of_its_own_rules() -> None:
    assert not [line for line in findings(OWN) if line.startswith(("broken", "near"))]


if __name__ == "__main__":
    for name in (OWN, *NAMES):
        text = "".join(f"{line}\n" for line in findings(name))
        (LISTS / f"{name}.txt").write_text(text, encoding="utf-8")
