"""What cools under no limit of its own is time out; what was out before planning began counts."""

from __future__ import annotations

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.safety.check import check
from scheduler.safety.cooling import RULE
from tests.weeks.checks import planned, served, task
from tests.weeks.test_semantics_cooling import POT
from tests.weeks.test_semantics_exposure import food, hands, refused, under, waited
from tests.weeks.tiny import Document, component, keep, step, take

ROOM = {"from": "20 °C", "to": "5 °C"}


def salad(chill: str, keeps: Document, first: str = "60 min") -> Document:
    """Made of things at room temperature, then cooled; plating takes half an hour on the grid."""
    cool = {"id": "chill", "time": chill, "cooling": POT | ROOM}
    return food("salad", hands("mix", first), cool, keeps=keeps)


def test_a_salad_that_cools_under_no_limit_is_out_while_it_does() -> None:
    """FSANZ 2-hour/4-hour guidance: time above 5 °C adds up; 3.2.2 cl. 7(3) is for cooked food.

    1 h of work, 2 h from 20 to 5 °C, half an hour of plating: half an hour at the bench would make
    4 h, which is within a kitchen's own 4 h and not less than 4 h, as Australia has it.
    FDA Food Code 3-501.14(B) has 4 h of its own for it: there it is no time out.
    """
    bench = keep("24 h", best_from="5 h", best_until="5 h")
    assert waited(served(under("anz", salad("2 h", bench))), "salad.1") == 0
    assert waited(served(under("us", salad("2 h", bench))), "salad.1") == 150
    own = {"own_limits": {"exposure": {"value": "4 h"}}}
    loose = {"rest": {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"}}
    eu = under("eu", salad("2 h", bench), kitchen=own | loose)
    assert waited(served(eu), "salad.1") == 30


def test_a_salad_that_cools_all_day_under_no_limit_is_refused() -> None:
    document = under("anz", salad("4 h", keep("24 h", "chilled")))
    said = refused(document)
    assert "supper.plate: out of temperature control for 5 h 30 min at least" in said
    plan = served(under(None, salad("4 h", keep("24 h", "chilled"))))
    assert "exposure" in audit(scenario_of(document), plan).rules()


def test_what_lies_below_the_cold_limit_is_not_out() -> None:
    """FSANZ: 5 °C is cold. A pot from 20 to 3 °C in air at 2 °C: ln 18/3 of ln 18 is above 5 °C.

    1.792 / 2.890 = 0.62 of 2 h are 75 min; with an hour before it and half an hour of plating
    of less than 4 h that leaves 74 min at the bench; on the grid 75 min are an hour and a half, so
    half an hour is what a plan may be sure of.
    """
    bench = keep("24 h", best_from="5 h", best_until="5 h")
    made = salad("2 h", bench)
    made["steps"][1]["cooling"] = POT | {"from": "20 °C", "to": "3 °C", "air": "2 °C"}
    assert waited(served(under("anz", made)), "salad.1") == 30


def test_a_stock_of_a_component_is_cooked_food_where_it_cools() -> None:
    """FDA Food Code 3-501.14(A), and not (B): it is warm when it goes in, whatever `from` says."""
    stock = component("stock", step("boil", "60 min", hands=1, core="90 °C"), keeps=keep("2 h"))
    cold = component("stock", step("boil", "60 min", hands=1, core="90 °C"),
                     {"id": "bath", "time": "2 h", "cooling": POT | {"from": "90 °C"}},
                     keeps=keep("30 h", "chilled"))  # fmt: skip
    for one in (stock, cold):
        one["food_class"] = "ready"
    soup = food("soup", hands("mix", "30 min", takes=[take("stock")]),
                {"id": "chill", "time": "2 h", "cooling": POT | ROOM},
                keeps=keep("24 h", "chilled"))  # fmt: skip

    def source(made: Document) -> str:
        scenario = scenario_of(under("us", made, soup))
        return next(f.source for f in check(scenario) if f.rule == RULE and "soup" in f.where)

    assert "3-501.14(A)" in source(stock)
    assert "3-501.14(B)" in source(cold), "cooled to the end, and mixed at room temperature"


def morning(profile: str | None, week: Document, *steps: Document) -> Document:
    """Planned from two in the morning, on the table at five, at the bench until then."""
    made = food("base", *(steps or (hands("mix", "4 h"),)), keeps=keep("24 h"))
    times = {"starts": "2027-05-07 00:00", "plan_from": "2027-05-07 02:00"}
    return under(profile, made, service="05:00", week=times | week)


def begun(profile: str | None, started: str, **words: object) -> Document:
    """Three hours at the bench that began before planning does."""
    there = {"id": "base-1", "component": "base", "quantity": "10 portions", "step": "rest",
             "started": f"2027-05-07 {started}"}  # fmt: skip
    return morning(profile, {"in_progress": [there]}, step("rest", "3 h", **words))


def test_what_was_out_before_planning_began_counts() -> None:
    """FDA Food Code 3-501.19(B): 4 h. From 1:30 to the last plate at 5:30 are 4 h."""
    served(begun("us", "01:30"))
    assert "out of temperature control for 4 h" in _told(begun("us", "01:30"))
    loose = served(begun(None, "01:00"))
    assert "exposure" in audit(scenario_of(begun("us", "01:00")), loose).rules()
    assert not audit(scenario_of(begun("us", "01:00", kept="cold")), loose).rules()
    _not_used(begun("us", "01:00"))


def _told(document: Document) -> str:
    scenario = scenario_of(document)
    return " ".join(f.said for f in check(scenario, served(document)) if f.rule == "exposure")


def _not_used(document: Document) -> None:
    """Either it is said at once, or the plan does without."""
    try:
        assert planned(document).unserved
    except BadInput as bad:
        assert all("out of temperature control" in str(p) for p in bad.problems)


@pytest.mark.parametrize(("made", "store", "fine"), [
    ("01:30", "rack", True), ("01:00", "rack", False), ("01:00", "walk-in", True),
])  # fmt: skip
def test_what_stands_at_the_bench_has_stood_there_since_it_was_made(
    made: str, store: str, fine: bool
) -> None:
    """FDA Food Code 3-501.19(B): made at 1:30 it is gone by 5:30, made at 1:00 it is too late."""
    lot = {"id": "lot", "component": "base", "quantity": "10 portions", "store": store,
           "made": f"2027-05-07 {made}"}  # fmt: skip

    def document(profile: str | None) -> Document:
        one = morning(profile, {"on_hand": [lot]})
        one["components"][0]["keeps"] = [keep("24 h", "dry"), keep("24 h", "chilled")]
        return one

    plan = served(document(None))
    assert ("exposure" in audit(scenario_of(document("us")), plan).rules()) is not fine
    if fine:
        served(document("us"))
    else:
        _not_used(document("us"))


def test_hot_food_is_not_cold_while_it_waits_to_be_cooled() -> None:
    """90 °C at the core, an hour in the walk-in at least, then from 40 °C: that hour is out.

    What starts the sum anew is no document's word, and that is said where it is shown.
    """
    wait = {"not_before": "1 h", "at_most": "1 h", "zone": "chilled"}
    boil = step("boil", "60 min", hands=1, core="90 °C", then=wait)
    bath = {"id": "bath", "time": "2 h", "cooling": POT | {"from": "40 °C", "to": "5 °C"}}
    document = under("us", food("soup", boil, bath, keeps=keep("24 h", "chilled")))
    (one,) = [f for f in check(scenario_of(document), served(document))
              if f.rule == "exposure" and f.where == "supper.plate"]  # fmt: skip
    assert "for 1 h 30 min in all, 1 h of it waiting after 'boil'" in one.said
    assert "counted from its last hot core, which is our own reading" in one.said
    assert task(served(document), "soup.1/bath")


def test_what_has_cooled_is_hot_no_longer_whatever_held_it() -> None:
    """SI 2005/2059 Schedule 4 para. 7: less than 2 h since it was hot; para. 5: 4 h from cold.

    The UK's limit on cooling is guidance (Department of Health 1989) and no plan is held to it.
    """
    loose = {"rest": {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"}}
    bench = keep("24 h", best_from="3 h", best_until="3 h")
    boil = step("boil", "60 min", hands=1, kept="hot")
    bath = {"id": "bath", "time": "2 h", "cooling": POT | {"from": "90 °C"}}
    cold = under("uk", food("soup", boil, bath, keeps=bench), kitchen=loose)
    plan = served(cold)
    assert waited(plan, "soup.1") == 180
    assert not [f for f in check(scenario_of(cold), plan) if f.rule == "exposure_hot"]
    hot = under("uk", food("soup", boil, keeps=bench), kitchen=loose)
    assert "exposure" in audit(scenario_of(hot), served(under(None, *hot["components"]))).rules()
    assert waited(served(hot), "soup.1") < 120
