"""A cooling that cannot be meant is refused where it stands, in a sentence."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.cooling import CoolDown, estimate
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from tests.weeks.tiny import Document, component, step, week_of

HERE = "recipe soup, step cool, cooling"
SOUP: Document = {
    "from": "90 °C", "to": "5 °C", "by": "blast-chiller", "depth": "50 mm", "food": "soup",
}  # fmt: skip
GONE: Any = None


def written(change: Document, **rest: Any) -> Document:
    """A week with one soup that is cooled like this."""
    cooling = {key: value for key, value in (SOUP | change).items() if value is not GONE}
    steps = {"id": "cool", "time": "3 h", "cooling": cooling} | rest
    cool = {key: value for key, value in steps.items() if value is not GONE}
    return week_of(component("soup", step("boil", "60 min", hands=1), cool))


def said(document: Document) -> list[str]:
    """Everything that is wrong with it, as it is shown."""
    with pytest.raises(BadInput) as caught:
        scenario_of(document)
    return [str(p).removeprefix("scenario  ") for p in caught.value.problems]


SAID: list[tuple[str, Document, str]] = [
    ("thickness zero", {"depth": "0 mm"}, ", depth: '0 mm' must be more than nothing"),
    ("less than nothing", {"depth": "-5 cm"}, ", depth: '-5 cm' must be more than nothing"),
    ("a bath tub", {"depth": "120 cm"},
     ", depth: '120 cm' is more than a metre. Maybe '120 mm'"),
    ("no unit", {"depth": "50"}, ", depth: '50' has no unit. Maybe '50 mm' or '50 cm'"),
    ("metres", {"depth": "0.05 m"}, ", depth: '0.05 m' is in metres. Maybe '50 mm'"),
    ("a weight for a length", {"depth": "5 kg"},
     ", depth: '5 kg' is no length. Write it like '50 mm', '5 cm' or '2 in'"),
    ("°F written as °C", {"from": "194 °C"},
     ": start 194 °C: food with water in it is never so hot; maybe °F was meant: 90 °C"),
    ("frozen", {"to": "-5 °C"},
     ": target -5 °C: below 0 °C food freezes, and this reckons no ice"),
    ("upside down", {"from": "5 °C", "to": "90 °C"},
     ": from 5 °C to 90 °C: nothing to cool; maybe it is the other way round"),
    ("a way to cool that there is not", {"by": "blast-chiler"},
     ": `by`: unknown 'blast-chiler', maybe 'blast-chiller'"),
    ("half a composition", {"food": GONE, "made_of": {"water": 0.5}},
     ": the shares of the composition sum to 0.5, not 1: water 0.5; 0.5 is missing"),
    ("a composition in per cent", {"food": GONE, "made_of": {"water": 90, "fat": 10}},
     ": the shares of the composition sum to 100: these are per cent, and shares of one were "
     "expected (0.9, not 90)"),
    ("made of nobody knows what", {"food": GONE}, ": either `food` or `made_of` says what it is"),
    ("as thick as two things", {"thickness": "4 cm"},
     ": both thickness and depth says how thick it is: one of thickness, depth, diameter, pan"),
    ("a ball that lies deep", {"shape": "sphere"},
     ": a sphere has no depth: diameter was expected"),
    ("a pan filled by weight", {"depth": GONE, "pan": "gn-1-1", "each": "5 kg"},
     ": `each`: '5 kg' is no volume: a pan is filled by the litre"),
    ("a pan and nothing in it", {"depth": GONE, "pan": "gn-1-1"},
     ": `pan` and `each` go together: pan: gn-1-1, each: 5 l"),
    ("no film at all", {"film": "0"},
     ": film coefficient 0 W/m²K: above 0 was expected (still air about 8, a fan 20, a blast 60)"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "what"), [s[1:] for s in SAID], ids=[s[0] for s in SAID])
def test_what_cannot_be_meant_is_said(change: Document, what: str) -> None:
    assert said(written(change)) == [HERE + what]


def test_air_warmer_than_the_target_sets_no_time() -> None:
    warm = written({"air": "8 °C", "sets_time": True}, time=GONE)
    (one,) = said(warm)
    assert one.startswith(f"{HERE}: it never gets to 5 °C in air at 8 °C")
    scenario_of(written({"air": "8 °C"}))  # as a time is written, the check says so


def test_a_step_without_a_time_is_refused_unless_the_estimate_sets_it() -> None:
    assert said(written({}, time=GONE)) == ["recipe soup, step cool: 'time' is missing"]
    assert said(written({"sets_time": True})) == [
        "recipe soup, step cool: `time` and `sets_time`: the estimate sets it, so leave `time` out"
    ]


def test_the_estimate_is_the_law_and_the_week_stays_as_it_was_written() -> None:
    document = written({"sets_time": True}, time=GONE)
    scenario = scenario_of(document)
    cool = scenario.component["soup"].steps[1]
    assert cool.cooling is not None
    assert cool.time.at_least == estimate(cool.cooling) > 60
    again = scenario.document()
    assert "time" not in again["components"][0]["steps"][1]
    assert scenario_of(again).sha256() == scenario.sha256()
    assert scenario_of(again).component["soup"].steps[1].time == cool.time


def test_a_step_of_no_length_is_written_again() -> None:
    """The default of a time that need not be written is like no time anybody writes."""
    again = scenario_of(written({}, time="0 min")).document()
    assert again["components"][0]["steps"][1]["time"] == {"at_least": "0 min"}


@pytest.mark.parametrize(("text", "mm"), [("50 mm", 50), ("5 cm", 50), ("2 in", 50.8)])
def test_a_length_is_read_in_the_units_of_a_kitchen(text: str, mm: float) -> None:
    """An inch is 25.4 mm (international yard and pound agreement, 1959)."""
    read = CoolDown.model_validate(SOUP | {"depth": text})
    assert float(read.across) == mm
    assert CoolDown.model_validate_json(read.model_dump_json(by_alias=True)) == read
