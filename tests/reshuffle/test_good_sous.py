"""What a good sous does by hand when something breaks, in weeks small enough to work it out.

The grid is 30 minutes and plates go at 18:00.
"""

from __future__ import annotations

from scheduler.domain.staying import Staying
from tests.reshuffle.small import Anew, anew, text_of
from tests.reshuffle.test_setbacks import braise
from tests.weeks.tiny import (
    DAY,
    EVE,
    component,
    cook,
    in_oven,
    keep,
    kind,
    oven,
    step,
    visit,
    week_of,
)

NOTHING = {"kind": "away", "who": "pia", "since": f"{DAY} 22:00"}
TWO_COOKS = [cook("ana"), cook("ben")]


def told(found: Anew) -> set[str]:
    return {p.person for p in found.comparison.people}


def test_a_stone_dies_mid_grind_and_its_load_goes_on_in_the_other_when_that_is_free() -> None:
    """Two loads of paste, 16 hours each, on two stones; both are out by 06:00 for the evening.

    At 22:30 one stone dies. The other is not stopped: its load is lifted out as planned, and what
    is left of the broken one follows it at once, in time for service.
    """
    grind = step("grind", "16 h", on=[{"equipment": "stone"}], load=visit("30 min"),
                 unload=visit("30 min"))  # fmt: skip
    paste = component("paste", grind, batch={"most": "10 portions"},
                      keeps=keep("30 h", best_from="12 h", best_until="12 h"))  # fmt: skip
    stones = kind("stone", units=[{"id": "stone-1"}, {"id": "stone-2"}])
    text = text_of(week_of(paste, equipment=[stones], guests=20, people=TWO_COOKS))
    now = f"{EVE} 22:40"
    was = anew(text, now, NOTHING)
    assert {was.ends("paste.1/grind"), was.ends("paste.2/grind")} == {"06:00"}
    (unit,) = was.units("paste.1/grind")
    found = anew(text, now, {"kind": "down", "what": unit, "until": f"{DAY} 23:00"})
    # In the stone from 13:30, so by 22:30 nine hours are done and seven left: 06:00 to 13:00.
    assert found.ends("paste.2/grind") == "06:00"
    task = found.task("paste.1/grind")
    assert (found.clock(task.resumed), found.ends("paste.1/grind")) == ("06:00", "13:30")
    assert found.plan.terms.served == (0,)
    assert "pia" not in told(found)


def test_an_oven_dies_and_its_trays_go_in_beside_others_at_a_heat_that_suits_both() -> None:
    """Cheeks at 82 to 86 °C, quince at 86 to 90: 86 suits both, and there is room for both."""
    def slow(name: str, coldest: int, trays: int) -> dict[str, object]:
        return component(
            name,
            step("braise", "8 h", on=[in_oven(coldest, coldest + 4, amount=trays)],
                 load=visit("30 min"), unload=visit("30 min")),
            keeps=keep("30 h", best_from="4 h", best_until="4 h"),
        )  # fmt: skip

    ovens = oven(units=[{"id": "upper"}, {"id": "lower"}])
    week = week_of(slow("cheeks", 82, 4), slow("quince", 86, 2), equipment=[ovens],
                   people=TWO_COOKS)  # fmt: skip
    kept = [Staying(task=f"{name}.1/braise", equipment=(unit,))
            for name, unit in (("cheeks", "upper"), ("quince", "lower"))]  # fmt: skip
    text = text_of(week, kept=kept)
    found = anew(text, "09:40", {"kind": "down", "what": "upper"})
    # In from 05:30: four hours are done by 09:30, four left from 10:00, out half an hour later.
    assert found.units("cheeks.1/braise") == ["upper", "lower"]
    assert found.task("cheeks.1/braise").taken[-1].celsius == 86
    assert found.ends("cheeks.1/braise") == "14:30"
    assert found.ends("quince.1/braise") == "14:00"
    assert found.plan.terms.served == (0,)


def test_somebody_is_ill_and_no_long_thing_moves_only_its_hands() -> None:
    """One cook of two falls ill early; the other loads and stirs when it was to be done anyway."""
    sauce = component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h"))
    text = text_of(
        week_of(braise("6 h"), sauce, equipment=[kind("pot", units=[{"id": "left"}])],
                people=[*TWO_COOKS, cook("cem", days=EVE)])
    )  # fmt: skip
    was = anew(text, "06:50", NOTHING)
    ill = was.people("cheeks.1/braise")[0][0]
    found = anew(text, "06:50", {"kind": "away", "who": ill})
    for task in ("cheeks.1/braise", "sauce.1/stir"):
        assert found.starts(task) == was.starts(task)
    assert found.plan.terms.served == (0,)
    assert told(found) <= {"ana", "ben"}


def test_some_of_a_tray_tear_and_only_so_many_are_cast_again_by_one_cook() -> None:
    """120 domes, 31 tear at ten: cast again at once, six hours to set, out half an hour later."""
    domes = component(
        "domes", step("cast", "30 min", hands=1), step("set", "6 h", unload=visit("30 min")),
        keeps=keep("30 h", best_from="8 h", best_until="8 h"),
    )  # fmt: skip
    text = text_of(week_of(domes, guests=120, people=TWO_COOKS))
    now = "10:10"
    found = anew(text, now, {"kind": "lost", "batch": "domes.1", "left": "89 portions"})
    amounts = {b.id: int(b.good.base) for b in found.plan.batches if b.component}
    assert amounts == {"domes.1": 120, "domes.2": 31}
    assert (found.starts("domes.2/cast"), found.ends("domes.2/set")) == ("10:30", "17:30")
    assert found.plan.terms.served == (0,)
    assert len(told(found)) == 1


def test_service_slides_and_only_what_must_be_fresh_slides_with_it() -> None:
    """Half an hour later: the duck, which keeps for half an hour, and the plates. All else stays.
    """
    duck = component("duck", step("sear", "60 min", hands=1), keeps=keep("30 min"))
    sauce = component("sauce", step("stir", "60 min", hands=1),
                      keeps=keep("6 h", best_from="2 h", best_until="4 h"))  # fmt: skip
    people = [cook("ana"), cook("tim", "06:00-16:30")]
    pots = kind("pot", units=[{"id": "left"}])
    text = text_of(week_of(braise(), duck, sauce, equipment=[pots], people=people))
    was = anew(text, "12:40", NOTHING)
    assert was.starts("duck.1/sear") == "17:00"
    found = anew(text, "12:40", {"kind": "moved", "event": "supper", "to": f"{DAY} 18:30"})
    assert found.starts("duck.1/sear") in ("17:00", "17:30")
    assert found.ends("duck.1/sear") >= "18:00"
    assert found.starts("supper.plate/plating") == "18:30"
    for task in ("cheeks.1/braise", "sauce.1/stir"):
        assert found.starts(task) == was.starts(task)
    assert "tim" not in told(found)
    assert found.plan.terms.served == (0,)
