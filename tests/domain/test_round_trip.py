"""A scenario written out and read again is the same one, whatever it holds."""

from __future__ import annotations

import json
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.problems import BadInput
from scheduler.domain.quantity import Quantity
from scheduler.domain.reading import read_scenario, scenario_of
from scheduler.domain.times import Hours, write_duration
from tests.domain.texts import EVERYTHING

WHOLE = read_scenario(EVERYTHING)
# The golden figure of version 1 of the format. When it changes, plan files made
# before no longer say from which scenario: raise the version instead.
GOLDEN = "fc839fb3ebb5607bbdce1cebba56217b56b3a956ff84b1002c40375ca55c2fb9"


def test_everything_survives_being_written() -> None:
    again = scenario_of(WHOLE.document())
    assert again == WHOLE
    assert again.document() == WHOLE.document()
    assert scenario_of(json.loads(WHOLE.canonical())).sha256() == WHOLE.sha256()


def test_version_1_is_read_as_it_always_was() -> None:
    assert WHOLE.sha256() == GOLDEN


def test_a_yield_keeps_its_name_and_defaults_are_left_out() -> None:
    step = WHOLE.document()["components"][0]["steps"][0]
    assert step["takes"] == [{"ingredient": "turnip", "amount": "12 kg", "yield": "80 %"}]
    assert "waves" not in step
    assert WHOLE.document()["schema"] == 1


_amounts = st.builds(
    lambda n, u: f"{n:f} {u}",
    st.decimals("0.001", 50, places=3, allow_nan=False),
    st.sampled_from(["kg", "g", "lb", "oz-weight"]),
)
_minutes = st.integers(1, 40).map(lambda n: n * 5)
_hours = st.tuples(st.integers(0, 12), st.integers(1, 10)).map(lambda p: Hours(p[0] * 60, (p[0] + p[1]) * 60))  # noqa: E501


@given(_amounts, _minutes, _minutes, _hours, st.integers(0, 500), st.booleans())
@settings(max_examples=25, deadline=None)
def test_whatever_is_written_comes_back(
    amount: str, least: int, more: int, hours: Hours, loss: int, mixing: bool
) -> None:
    document = WHOLE.document()
    beef = next(c for c in document["components"] if c["id"] == "beef")
    beef["loss"] = f"{loss / 10} %"
    beef["mixing"] = mixing
    beef["steps"][1]["time"] = {"at_least": write_duration(least), "at_most": f"{least + more} min"}
    document["dishes"][0]["steps"][0]["takes"][0]["amount"] = amount
    document["kitchen"]["people"][1]["shifts"] = [{"days": ["daily"], "hours": str(hours)}]
    try:
        scenario = scenario_of(document)
    except BadInput as bad:
        raise AssertionError(str(bad)) from None
    again = scenario_of(json.loads(scenario.canonical()))
    assert again == scenario
    assert again.canonical() == scenario.canonical()
    part = scenario.component["beef"]
    assert part.loss.part == Fraction(loss, 1000)
    assert part.steps[1].time.at_least == least
    assert scenario.dish["beef-plate"].inputs[0].amount == Quantity.parse(amount)
    assert scenario.person["bo"].shifts[0].hours == hours
