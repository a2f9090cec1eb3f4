"""`backtime work`: what is made, for whom, and pairs of hands."""

from __future__ import annotations

from typing import Any

from scheduler.workload.render import render_work
from scheduler.workload.report import Work, report
from tests.weeks.tiny import (
    DAY,
    EVE,
    component,
    cook,
    dish,
    event,
    keep,
    step,
    take,
    visit,
    week_of,
)
from tests.workload.weeks import Week


def work_of(document: dict[str, Any]) -> tuple[Week, Work]:
    week = Week(document)
    return week, report(week.scenario, week.work, week.compiled)


def test_it_says_how_much_in_how_many_loads_for_whom_and_what_is_left() -> None:
    rolls = component(
        "rolls",
        step("bake", "1 h", in_loads=True, on=[{"equipment": "deck"}]),
        keeps=keep("24 h", "dry"),
        batch={"least": "30 portions"},
    )
    document = week_of(
        rolls,
        dishes=[dish("plate", "rolls")],
        equipment=[{"id": "deck", "fill": "12 portions"}],
        events=[event("lunch", "16:00", "plate"), event("supper", "18:00", "plate", guests=15)],
    )
    _, work = work_of(document)
    (made,) = work.made
    (batch,) = made.batches
    assert batch.loads == (("bake", 3),)
    assert [(p.event, p.maker, str(p.quantity)) for p in batch.parts] == [
        ("lunch", "plate", "10 pieces"),
        ("supper", "plate", "15 pieces"),
    ]
    assert str(batch.leftover) == "5 pieces"


def test_it_says_what_of_a_lot_is_used_and_what_nobody_takes() -> None:
    lot = {"id": "jar", "component": "soup", "quantity": "14 portions", "made": f"{EVE} 00:00"}
    document = week_of(
        component("soup", step("cook", "1 h"), keeps=keep("3 d")), week={"on_hand": [lot]}
    )
    _, work = work_of(document)
    (found,) = work.lots
    assert (str(found.used), str(found.spare)) == ("10 pieces", "4 pieces")


def test_hands_are_counted_at_the_moment_at_which_most_are_lacking() -> None:
    """Two soups of one hour at their latest both end at 18:00: two hands, one cook."""
    soups = [component(n, step("cook", "1 h", hands=1), keeps=keep("0 min")) for n in ("a", "b")]
    _, work = work_of(week_of(*soups))
    stove = next(h for h in work.hands if h.section == "stove")
    assert (stove.needed, stove.there, stove.minutes) == (2, 1, 120)
    assert stove.at == (24 + 17) * 60
    assert stove.day.isoformat() == DAY


def test_a_standing_duty_takes_hands_off() -> None:
    soup = component("soup", step("cook", "1 h", hands=1), keeps=keep("0 min"))
    duty = {"id": "lunch", "days": [DAY], "hours": "16:00-18:00", "section": "stove", "people": 1}
    document = week_of(soup, kitchen={"duties": [duty]}, people=[cook("ana"), cook("bo")])
    _, work = work_of(document)
    stove = next(h for h in work.hands if h.section == "stove")
    assert (stove.needed, stove.there) == (1, 1)


def test_no_line_is_wider_than_80_columns_and_the_hands_are_labelled() -> None:
    long = "A component with a name that goes on for quite some time, as names on menus do"
    tend = visit("30 min", [{"section": "anyone"}], every="2 h", give_or_take="30 min")
    soup = component("soup", step("cook", "6 h", tend=[tend])) | {"name": long}
    week = Week(week_of(soup, dishes=[dish("plate", "soup") | {"name": f"{long} too"}], guests=77))
    lines = render_work(week.scenario, week.work, week.compiled)
    assert max(map(len, lines)) <= 80
    text = "\n".join(lines)
    assert "every job at its latest start by windows" in text
    assert "soup.1: 77 pieces" in text


def test_what_cannot_be_made_any_more_leaves_the_others_their_moment_to_begin() -> None:
    """45 h of drying for Friday 18:00 are 3 h late; a soup of an hour still begins by 17:00."""
    duck = component("duck", step("dry", "45 h"), keeps=keep("8 h"))
    week = Week(week_of(duck, component("soup", step("cook", "1 h", hands=1))))
    found = {
        m.component: m.batches[0].begin_by
        for m in report(week.scenario, week.work, week.compiled).made
    }
    assert found == {"duck": -3 * 60, "soup": (24 + 17) * 60}
    text = "\n".join(render_work(week.scenario, week.work, week.compiled))
    assert "should have been begun by Wed 5 May 21:00" in text
    assert "begin by Fri 7 May 17:00" in text


def test_what_cannot_be_made_asks_for_no_hands() -> None:
    duck = component("duck", step("bone", "1 h", hands=1), step("dry", "45 h"))
    _, work = work_of(week_of(duck, component("soup", step("cook", "1 h", hands=1))))
    stove = [h for h in work.hands if h.section == "stove"]
    assert [(h.day.isoformat(), h.minutes) for h in stove] == [(DAY, 60)]


def test_whey_and_crates_are_listed_with_who_takes_them_and_what_nobody_does() -> None:
    """Five portions of whey, four for the caramel; six kilos of fish, two for a dish."""
    drain = step("drain", "10 h", gives=[{"component": "whey", "amount": "5 portions"}])
    fish = {"ingredient": "fish", "amount": "200 g"}
    crates = {"id": "friday", "ingredient": "fish", "at": f"{DAY} 08:00", "quantity": "6 kg",
              "zone": "chilled", "shelves": 3, "at_most": "12 h"}  # fmt: skip
    document = week_of(
        component("yoghurt", drain, keeps=keep("24 h")),
        component("whey", keeps=keep("24 h")),
        component("caramel", step("cook", "1 h", takes=[take("whey", "4 portions")])),
        dishes=[dish("plate", "yoghurt", "caramel", fish)],
        week={"deliveries": [crates]},
    )
    week, _ = work_of(document)
    text = "\n".join(render_work(week.scenario, week.work, week.compiled))
    assert "gives whey 5 pieces: for caramel 4 pieces; 1 pieces poured away" in text
    assert "for supper plate 10 pieces" in text
    assert "friday (fish): for supper plate 2 kg; nobody takes 4 kg; use by Fri 7 May 20:00" in text


def test_who_washes_up_is_counted_among_the_hands() -> None:
    tub = {"id": "tub", "washed": {"time": "60 min", "hands": [{"section": "stove"}]}}
    soup = component(
        "soup", step("cook", "1 h", hands=1, on=[{"equipment": "tub"}]), keeps=keep("0 min")
    )
    _, work = work_of(week_of(soup, equipment=[tub]))
    assert next(h for h in work.hands if h.section == "stove").minutes == 120
