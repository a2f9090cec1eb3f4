"""Cooling that goes on in another step, another batch or on a plate is on one clock."""

from __future__ import annotations

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.safety.check import check
from scheduler.safety.cooling import RULE
from scheduler.safety.finding import Finding
from tests.weeks.checks import finds_no_place, keeps_the_rule, planned, served, task
from tests.weeks.test_semantics_cooling import POT
from tests.weeks.tiny import Document, component, cook, dish, keep, span, step, store, take, week_of

COLD = keep("30 h", "chilled", best_until="1 h")
BOIL = step("boil", "60 min", hands=1, core="90 °C")


def cools(name: str, time: str | Document, warm: str, cold: str, **rest: object) -> Document:
    """A step that cools a stirred pot."""
    return {"id": name, "time": time, "cooling": POT | {"from": warm, "to": cold}, **rest}


def bath(time: str | Document = "2 h", warm: str = "57 °C", **rest: object) -> Document:
    """57 to 21 °C: all of it in the first window of the Food Code."""
    return cools("bath", time, warm, "21 °C", **rest)


def chill(time: str | Document, **rest: object) -> Document:
    """21 to 5 °C."""
    return cools("chill", time, "21 °C", "5 °C", **rest)


def under(profile: str, *components: Document, food_class: str | None = "ready",
          **rest: object) -> Document:
    """A week of food that must be kept cold, under a rule profile, on a grid of 30 min."""
    for made in components:
        if food_class is not None:
            made["food_class"] = food_class
    kitchen = {"rule_profile": profile}
    return week_of(*components, kitchen=kitchen, **rest)  # type: ignore[arg-type]


def soup(*steps: Document, keeps: Document = COLD, **rest: object) -> Document:
    return component("soup", *steps, keeps=keeps, **rest)


def enforced(document: Document) -> list[Finding]:
    return [f for f in check(scenario_of(document)) if f.rule == RULE and f.enforced]


@pytest.mark.parametrize(
    ("first", "second", "us", "anz"),
    [
        ("2 h", "4 h", True, True),
        ("2 h", "6 h", False, False),
        ("1 h", "5 h", True, False),
        ("30 min", "5 h 30 min", True, False),
        ("2 h", "4 h 30 min", False, False),
    ],
)
def test_two_steps_each_within_the_limit_are_not_when_together_they_are_too_long(
    first: str, second: str, us: bool, anz: bool
) -> None:
    """FDA Food Code 3-501.14(A): 57 to 5 °C in 6 h in all. FSANZ 3.2.2 cl. 7(3): 2 h and 4 h."""
    for profile, fine, warm in (("us", us, "57 °C"), ("anz", anz, "60 °C")):
        document = under(profile, soup(BOIL, bath(first, warm), chill(second)))
        broken = enforced(document)
        assert not broken if fine else broken, profile
        if fine:
            assert not [f for f in audit(scenario_of(document), served(document)).findings]
        else:
            with pytest.raises(BadInput, match="cools for"):
                planned(document)


def test_what_is_said_of_two_hours_and_then_six() -> None:
    (one,) = enforced(under("us", soup(BOIL, bath("2 h"), chill("6 h"))))
    assert one.where == "soup, bath and chill"
    assert one.said == (
        "2 h and 6 h in a row as written: 8 h at least for 57 °C to 5 °C within 6 h"
    )


def waiting(food_class: str | None, hours: str = "12 h") -> Document:
    """Two hours, a wait that is best at eight hours, and two hours more."""
    wait = {"at_most": hours, "best_from": "8 h", "best_until": "8 h", "zone": "chilled"}
    return under("us", soup(BOIL, bath("2 h", then=wait), chill("2 h")), food_class=food_class)


def test_the_wait_between_two_cooling_steps_is_on_the_clock() -> None:
    """FDA Food Code 3-501.14(A): 6 h in all leave 2 h between 2 h and 2 h."""
    plan = keeps_the_rule(waiting("ready"), waiting(None), "cooling")
    gone = task(plan, "soup.1/chill").law_start - task(plan, "soup.1/bath").law_end
    assert gone == 120


def test_ranges_of_two_steps_are_not_both_used_up() -> None:
    """1 to 2 h, then 2 to 6 h, best at six: five hours for the second, or four after two."""
    slow = span("2 h", "6 h", best="6 h"), span("1 h", "2 h", best="1 h")

    def week(food_class: str | None) -> Document:
        hours = ("04:00-08:00", "15:00-24:00")
        fill = step("fill", "30 min", hands=1)
        made = soup(BOIL, bath(slow[1]), chill(slow[0]), fill)
        return under("us", made, food_class=food_class, people=[cook("ana", *hours)])

    plan = served(week("ready"))
    end = task(plan, "soup.1/chill").law_end
    assert end - task(plan, "soup.1/bath").law_start <= 360


def test_a_wait_that_is_too_long_by_itself_is_said_and_not_searched_for() -> None:
    wait = {"not_before": "3 h", "at_most": "12 h", "zone": "chilled"}
    document = under("us", soup(BOIL, bath("2 h", then=wait), chill("2 h")))
    assert enforced(document)[0].said.startswith("2 h and 2 h in a row as written: 7 h at least")
    with pytest.raises(BadInput, match=r"cools for 7 h at least, with soup\.1/bath"):
        planned(document)


def on_the_bench(food_class: str | None, least: str = "0 min", warm: str = "21 °C") -> Document:
    """Boiled, left on the bench for as long as it takes (best at four hours), and then cooled."""
    wait = {"not_before": least, "at_most": "12 h", "best_from": "4 h", "best_until": "4 h"}
    last = cools("chill", "1 h", warm, "5 °C")
    made = soup(BOIL | {"then": wait}, last)
    return under("us", made, food_class=food_class)


def test_a_pot_that_gets_lukewarm_on_the_bench_has_two_hours_for_it() -> None:
    """FDA Food Code 3-501.14(A): 57 to 21 °C in 2 h, though no step says how it gets there."""
    plan = keeps_the_rule(on_the_bench("ready"), on_the_bench(None), "cooling")
    left = task(plan, "soup.1/chill").law_start - task(plan, "soup.1/boil").law_end
    assert left <= 120


def test_three_hours_on_the_bench_are_refused_before_anything_is_searched_for() -> None:
    (one,) = enforced(on_the_bench("ready", "3 h"))
    assert one.said.startswith("cools from 21 °C, and nobody says when it got there: from the end")
    assert "3 h at least, for 57 °C to 21 °C within 2 h" in one.said
    with pytest.raises(BadInput, match=r"cools for 3 h at least, with soup\.1/boil"):
        planned(on_the_bench("ready", "3 h"))


@pytest.mark.parametrize("zone", ["hot", "chilled"])
def test_what_is_kept_hot_or_cold_until_then_is_not_on_the_bench(zone: str) -> None:
    document = on_the_bench("ready", "3 h", "50 °C")
    rest = step("rest", "30 min", hands=1) | {"then": document["components"][0]["steps"][0]["then"]}
    rest["then"] = rest["then"] | {"zone": zone}
    document["components"][0]["steps"][0]["then"] = {"at_most": "30 min"}
    document["components"][0]["steps"].insert(1, rest)
    document["kitchen"]["stores"].append(store("cupboard", "hot", 9) | {"coldest": "65 °C"})
    assert not enforced(document)


def test_what_starts_above_the_window_may_wait_until_then() -> None:
    """Above 57 °C no clock runs; the time out counts against 3-501.19(B)."""
    assert not enforced(on_the_bench("ready", "3 h", "57 °C"))


def stocked(food_class: str | None, keeps: Document, last: str = "2 h") -> Document:
    """A stock that leaves the bath at 21 °C, and a soup in which it goes on cooling."""
    stock = component("stock", BOIL, bath("2 h"), keeps=keeps)
    made = soup(step("mix", "30 min", hands=1, takes=[take("stock")]), chill(last))
    return under("us", stock, made, food_class=food_class)


def test_what_goes_in_and_is_not_cold_yet_goes_on_on_its_own_clock() -> None:
    """FDA Food Code 3-501.14(A): 2 h, 30 min of mixing and 2 h leave 1 h 30 min to wait."""
    eight = keep("12 h", "chilled", best_from="8 h", best_until="8 h")
    plan = keeps_the_rule(stocked("ready", eight), stocked(None, eight), "cooling")
    mixed = task(plan, "soup.1/mix").law_start
    assert mixed - task(plan, "stock.1/bath").law_end == 90


def test_a_stock_and_a_soup_that_take_too_long_together_are_refused() -> None:
    two = keep("12 h", "chilled", not_before="2 h")
    document = stocked("ready", two)
    (one,) = enforced(document)
    assert one.where == "soup, stock: bath and chill"
    assert "6 h 30 min at least for 57 °C to 5 °C within 6 h" in one.said
    with pytest.raises(BadInput, match=r"with stock\.1/bath and what lies between"):
        planned(document)
    # A stock that is cold before it goes in is another matter: a clock of its own.
    cold = component("stock", BOIL, cools("bath", "2 h", "57 °C", "5 °C"), keeps=two)
    made = soup(step("mix", "30 min", hands=1, takes=[take("stock")]), chill("3 h 30 min"))
    assert not [f for f in enforced(under("us", cold, made))]


def in_two_loads(last: str) -> Document:
    """Two loads, one after the other in the one tub, and then both together."""
    tub = {"id": "tub", "fill": "5 portions"}
    wait = {"at_most": "12 h", "zone": "chilled"}
    both = bath("90 min", in_loads=True, on=[{"equipment": "tub"}], then=wait)
    return under("us", soup(BOIL | {"then": wait}, both, chill(last)), equipment=[tub])


def test_loads_that_cool_one_after_the_other_wait_on_the_clock() -> None:
    """FDA Food Code 3-501.14(A): 90 min, 90 min for the second load, 2.5 h are 5.5 h; 4 h no."""
    plan = served(in_two_loads("2 h 30 min"))
    gone = task(plan, "soup.1/chill").law_end - task(plan, "soup.1/bath/1").law_start
    assert gone == 330
    assert not enforced(in_two_loads("4 h"))
    finds_no_place(in_two_loads("4 h"), "soup.1")


def plated(time: str, food_class: str | None = "ready") -> Document:
    """A dish that is cooled before it is plated."""
    base = component("base", BOIL, keeps=keep("2 h"))
    plate = dish("plate", steps=[cools("set", time, "57 °C", "5 °C", takes=[take("base")])])
    return under("us", base, food_class=food_class, dishes=[plate])


def test_what_cools_in_a_dish_has_a_limit_too() -> None:
    """FDA Food Code 3-501.14(A): 57 to 5 °C in 6 h, on a plate as in a pot."""
    (nine,) = enforced(plated("9 h"))
    assert nine.where == "plate, set" and nine.said.startswith("9 h written for 57 °C to 5 °C")
    with pytest.raises(BadInput, match=r"supper\.plate, set: cools for 9 h, at most 6 h"):
        planned(plated("9 h"))
    assert "cooling" in audit(scenario_of(plated("9 h")), served(plated("9 h", None))).rules()
    assert not enforced(plated("6 h"))
    served(plated("6 h"))
    assert not enforced(plated("9 h", "acid")), "acid food need not be cooled"


@pytest.mark.parametrize(
    ("boil", "start", "wait", "said"),
    [
        (BOIL, "40 °C", None, True),
        (BOIL, "57 °C", None, False),  # What lies above 57 °C is in no window.
        (BOIL, "40 °C", {"at_most": "1 h"}, False),  # It may get there while it waits.
        (step("warm", "60 min", hands=1, core="40 °C"), "40 °C", None, False),
    ],
)
def test_what_cools_from_colder_than_it_is_has_time_that_nobody_counts(
    boil: Document, start: str, wait: Document | None, said: bool
) -> None:
    """90 °C at the core, and at once it cools from 40 °C: 57 to 40 °C is on no clock."""
    first = boil | ({"then": wait} if wait else {})
    found = enforced(under("us", soup(first, cools("bath", "1 h", start, "5 °C"))))
    assert bool(found) is said
    if said:
        assert found[0].said == (
            "cools from 40 °C at once after 'boil', which ends at 90 °C: nobody counts the time "
            "in between; write `from: 90 °C`, or the wait in which it gets there"
        )
