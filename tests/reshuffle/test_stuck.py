"""An oven that stays at one setting until it is mended: what suits that may go on in it.

The grid is 30 minutes and plates go at 18:00; ovens heat and cool by 10 °C a minute.
"""

from __future__ import annotations

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.reshuffle.setback import Stuck
from scheduler.reshuffle.words import setbacks_of
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.objective import terms
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out
from tests.reshuffle.small import Anew, anew, at, text_of
from tests.reshuffle.test_nonsense import refused
from tests.weeks.tiny import (
    DAY,
    Document,
    component,
    cook,
    in_oven,
    keep,
    oven,
    step,
    visit,
    week_of,
)

OVENS = oven(units=[{"id": "upper"}, {"id": "lower"}])


def roast(name: str, celsius: int, best: str, time: str = "2 h") -> Document:
    """So long in an oven, half an hour to load and to unload, best so long before the plate."""
    return component(
        name,
        step("roast", time, on=[in_oven(celsius)], load=visit("30 min"), unload=visit("30 min")),
        keeps=keep("30 h", best_from=best, best_until=best),
    )


def week(*roasts: Document, ovens: Document = OVENS) -> str:
    return text_of(week_of(*roasts, equipment=[ovens], people=[cook("ana"), cook("ben")]))


def stuck(found: str, now: str, celsius: int, what: str = "upper", **more: object) -> Anew:
    return anew(found, now, {"kind": "stuck", "what": what, "celsius": celsius, **more})


def test_what_was_in_it_at_another_setting_goes_on_elsewhere_with_the_time_that_is_left() -> None:
    text = week(roast("ham", 120, "4 h"))
    was = anew(text, "11:10", {"kind": "away", "who": "pia", "since": f"{DAY} 21:00"})
    # Loaded from 11:00, in from 11:30 to 13:30, out by 14:00.
    (unit,) = was.units("ham.1/roast")
    found = stuck(text, "12:40", 180, what=str(unit))
    # Stopped at 12:30 by the grid, an hour is done; at 13:00 the other has heated up: to 14:00.
    other = {"upper": "lower", "lower": "upper"}[str(unit)]
    assert found.units("ham.1/roast") == [unit, other]
    assert found.ends("ham.1/roast") == "14:30"
    assert found.plan.terms.served == (0,)


def test_what_suits_its_setting_stays_in_it_and_nobody_is_told() -> None:
    text = week(roast("ham", 180, "4 h"))
    found = stuck(text, "12:40", 180)
    assert found.plan.past is not None and found.plan.past.broken_off == ()
    assert found.ends("ham.1/roast") == "14:00"
    assert found.plan.terms.changes == 0


def test_of_two_roasts_the_one_that_suits_it_may_still_use_it() -> None:
    """One oven, one at 180 and one at 120; it stays at 180 for the day, so the other is short."""
    text = week(roast("ham", 180, "2 h"), roast("duck", 120, "6 h"), ovens=oven())
    found = stuck(text, "08:00", 180, what="oven")
    assert found.plan.terms.served == (10,)
    assert "lack duck" in found.gives[0]
    (taken,) = found.task("ham.1/roast").taken
    assert (taken.unit, taken.celsius) == ("oven", 180)


def test_mended_by_noon_it_is_set_to_anything_again() -> None:
    text = week(roast("duck", 120, "4 h"), ovens=oven())
    found = stuck(text, "08:00", 180, what="oven", until=f"{DAY} 12:00")
    # From 180 to 120 takes six minutes, half an hour by the grid: in from 12:30, loaded from 12:00.
    assert found.starts("duck.1/roast") == "12:00" or found.starts("duck.1/roast") == "12:30"
    assert found.plan.terms.served == (0,)
    again = anew(stuck(text, "08:00", 180, what="oven").text, "08:30",
                 {"kind": "working", "what": "oven"})  # fmt: skip
    assert again.ends("duck.1/roast") == "14:00"


def test_a_plan_that_sets_a_stuck_oven_otherwise_is_refused() -> None:
    text = week(roast("ham", 180, "4 h"), ovens=oven())
    found = stuck(text, "08:00", 180, what="oven")
    document = found.file.scenario.document()
    for duty in document["kitchen"]["duties"]:
        duty["held"][0]["celsius"] = 200
    rules = {f.rule for f in audit(scenario_of(document), found.plan).findings}
    assert "oven-shared" in rules


def test_a_setting_it_has_not_and_a_machine_that_does_not_heat_are_refused() -> None:
    (line,) = refused({"kind": "stuck", "what": "left", "celsius": 180})
    assert "left does not heat" in line
    text = week(roast("ham", 180, "4 h"))
    with pytest.raises(BadInput, match="400 °C: upper goes from 30 to 250 °C"):
        stuck(text, "08:00", 400)
    with pytest.raises(BadInput, match="upper has no mode 'steem'"):
        stuck(text, "08:00", 180, mode="steem")


def test_it_is_said_in_one_word_of_the_command() -> None:
    said = ["upper=180", "upper=steam 85 °C@12:00..14:00"]
    one, two = setbacks_of({"stuck": said}, at("10:00"))
    assert isinstance(one, Stuck) and isinstance(two, Stuck)
    assert (one.what, one.mode, one.celsius, one.since) == ("upper", None, 180, None)
    assert (two.mode, two.celsius, two.since, two.until) == ("steam", 85, at("12:00"), at("14:00"))
    with pytest.raises(BadInput, match="'hot' is no setting like '180' or 'steam 85'"):
        setbacks_of({"stuck": ["upper=hot"]}, at("10:00"))


def test_the_model_knows_a_stuck_oven_as_the_search_does() -> None:
    short = stuck(week(roast("ham", 180, "2 h"), roast("duck", 120, "6 h"), ovens=oven()),
                  "08:00", 180, what="oven")  # fmt: skip
    served = stuck(week(roast("duck", 120, "4 h"), ovens=oven()), "08:00", 180, what="oven",
                   until=f"{DAY} 12:00")  # fmt: skip
    for found in (short, served):
        scenario, past = found.file.scenario, found.past
        problem = compile_week(scenario, work_out(scenario, past=past), (), past).problem
        model = solve_model(problem, workers=1, seconds=10)
        assert model.status == "optimal" and model.solution is not None
        best, ours = terms(problem, model.solution), found.plan.terms
        assert (best.served[:-1], best.changes) == (ours.served, ours.changes)
