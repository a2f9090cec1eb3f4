"""Fish that is served raw is frozen first: FDA Food Code 3-402.11, Regulation (EC) 853/2004."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.safety.check import check
from scheduler.safety.finding import Finding, Standing
from scheduler.safety.parasites import RULE
from tests.safety.test_profiles import LOOSE
from tests.weeks.checks import served
from tests.weeks.tiny import Document, component, keep, step, store, take, week_of


def gravlax(*frozen: Document, keeps: Document | None = None, **words: Any) -> Document:
    """Filleted, perhaps frozen, thawed in the cold and sliced."""
    return component(
        "gravlax", step("fillet", "30 min", hands=1), *frozen,
        step("thaw", "8 h", on=[{"zone": "chilled"}]), step("slice", "30 min", hands=1),
        keeps=keeps or keep("24 h", "chilled"), **{"food_class": "fish-served-raw", **words},
    )  # fmt: skip


def freezer(name: str, zone: str, warmest: str) -> Document:
    return store(name, zone, 9) | {"warmest": warmest}


STORES = [freezer("walk-in", "chilled", "4 °C"), freezer("chest", "frozen", "-20 °C"),
          freezer("blast", "deep", "-35 °C")]  # fmt: skip


def week(profile: str, *components: Document, stores: list[Document] = STORES) -> Document:
    kitchen: Document = {"rule_profile": profile}
    if profile in ("uk", "eu"):
        kitchen["rest"] = LOOSE
    days = {"starts": "2027-04-26 00:00", "plan_from": "2027-04-26 00:00"}
    return week_of(*components, stores=stores, kitchen=kitchen, week=days)


def looked_at(profile: str, *components: Document, **rest: Any) -> list[Finding]:
    scenario = scenario_of(week(profile, *components, **rest))
    return [f for f in check(scenario) if f.rule == RULE and f.where != RULE]


def in_freezer(
    time: Any, zone: str = "frozen", name: str = "freeze", then: Document | None = None
) -> Document:
    return step(name, time, on=[{"zone": zone}], **({"then": then} if then else {}))


def stored(least: str) -> Document:
    return {"not_before": least, "at_most": "48 h", "zone": "frozen"}


@pytest.mark.parametrize(
    ("profile", "frozen", "fine"),
    [
        # 3-402.11(A)(1): -20 °C for 168 h.
        ("us", [in_freezer("168 h")], True),
        ("us", [in_freezer("167 h")], False),
        # Three days and four, thawed in between, are not seven.
        ("us", [in_freezer("3 d"), step("look", "2 h", hands=1), in_freezer("4 d", name="again")],
         False),
        # (A)(2): solid at -35 °C, and 15 h there; (A)(3): solid at -35 °C, 24 h at -20 °C.
        ("us", [in_freezer("6 h", "deep"), in_freezer("15 h", "deep", "hold")], True),
        ("us", [in_freezer("6 h", "deep"), in_freezer("14 h", "deep", "hold")], False),
        ("us", [in_freezer("6 h", "deep"), in_freezer("24 h", name="hold")], True),
        ("us", [in_freezer("6 h"), in_freezer("24 h", name="hold")], False),
        # What may be shorter in a plan is not enough.
        ("us", [in_freezer("6 h", "deep", then=stored("24 h"))], True),
        ("us", [in_freezer("6 h", "deep", then=stored("1 h"))], False),
        # In one step it is cold for 15 h once it is frozen through, at most a day later.
        ("us", [in_freezer("39 h", "deep")], True),
        ("us", [in_freezer("38 h", "deep")], False),
        # 853/2004, Annex III, section VIII, chapter III D 2: -20 °C for 24 h, -35 °C for 15 h in
        # all parts of the product, so not from the moment it goes into the freezer.
        ("eu", [in_freezer("12 h"), in_freezer("24 h", name="hold")], True),
        ("eu", [in_freezer("12 h"), in_freezer("23 h", name="hold")], False),
        ("eu", [in_freezer("12 h", then=stored("24 h"))], True),
        ("eu", [in_freezer("24 h")], False),
        ("eu", [in_freezer("48 h")], True),
        ("eu", [in_freezer("6 h", "deep"), in_freezer("15 h", "deep", "hold")], True),
        ("eu", [in_freezer("15 h", "deep")], False),
        ("us", [], False),
        ("eu", [], False),
    ],
)  # fmt: skip
def test_fish_served_raw_is_frozen_by_its_recipe(
    profile: str, frozen: list[Document], fine: bool
) -> None:
    (one,) = looked_at(profile, gravlax(*frozen))
    assert one.standing is (Standing.FINE if fine else Standing.BROKEN), one
    assert one.enforced is not fine
    assert one.where == "gravlax in plate"
    assert ("3-402.11" if profile == "us" else "853/2004") in one.source


def test_a_freezer_at_eighteen_is_not_cold_enough() -> None:
    """-20 °C in 3-402.11(A)(1) and in 853/2004; a household freezer has -18 °C."""
    stores = [STORES[0], freezer("chest", "frozen", "-18 °C")]
    (one,) = looked_at("eu", gravlax(in_freezer("30 d")), stores=stores)
    assert one.standing is Standing.BROKEN


def cured_from(**held: Any) -> tuple[Document, Document]:
    """Sides that keep frozen, and what is cured of them."""
    raw = {"food_class": "fish-served-raw"}
    sides = component("sides", step("fillet", "30 min", hands=1),
                      keeps=keep("30 d", "frozen", best_until="30 d", **held), **raw)  # fmt: skip
    cure = step("cure", "24 h", on=[{"zone": "chilled"}], takes=[take("sides")])
    return sides, component("cured", cure, **raw)


def test_it_may_be_frozen_in_another_state_before_it_is_cured() -> None:
    (one,) = looked_at("us", *cured_from(not_before="7 d", best_from="7 d"))
    assert (one.where, one.standing) == ("sides in plate", Standing.FINE)


@pytest.mark.parametrize(("stored_for", "fine"), [("2 d", True), ("36 h", False)])
def test_what_is_only_stored_in_the_freezer_has_to_freeze_through_first(
    stored_for: str, fine: bool
) -> None:
    """853/2004: 24 h in all parts of it."""
    (one,) = looked_at("eu", *cured_from(not_before=stored_for, best_from=stored_for))
    assert one.standing is (Standing.FINE if fine else Standing.BROKEN)


def test_what_is_cooked_or_let_off_need_not_be_frozen() -> None:
    """3-402.11(B) lets certain tuna, farmed fish and shellfish off; the kitchen says which."""
    cook = step("poach", "30 min", hands=1, core={"at": "63 °C", "for": "1 min"})
    assert looked_at("us", gravlax(cook)) == []
    (off,) = looked_at("us", gravlax(food_class="fish-let-off"))
    assert off.standing is Standing.NOTE and "records" in off.said


def test_a_figure_that_is_from_memory_or_missing_is_told_only() -> None:
    (uk,) = looked_at("uk", gravlax())
    assert uk.standing is Standing.BROKEN and not uk.enforced
    (anz,) = looked_at("anz", gravlax())
    assert anz.standing is Standing.UNKNOWN


def test_a_plan_that_takes_it_out_too_soon_is_refused() -> None:
    """3-402.11(A)(1): 168 h."""
    good = week("us", gravlax(in_freezer("7 d")))
    plan = served(good)
    freeze = next(t for t in plan.tasks if t.step == "freeze")
    sooner = freeze.model_copy(update={"law_end": freeze.law_end - 60, "end": freeze.end - 60})
    cut = plan.model_copy(
        update={"tasks": tuple(sooner if t is freeze else t for t in plan.tasks)}
    )
    assert "parasites" in audit(scenario_of(good), cut).rules()
    shorter = week("us", gravlax(in_freezer("6 d")))
    assert "parasites" in audit(scenario_of(shorter), served_anyhow(shorter)).rules()


def served_anyhow(document: Document) -> Any:
    """A plan of the same week where no rules of food are looked at."""
    kitchen = {k: v for k, v in document["kitchen"].items() if k != "rule_profile"}
    return served(document | {"kitchen": kitchen})


@pytest.mark.parametrize(("made", "fine"), [("04-24", True), ("05-02", False)])
def test_a_lot_counts_from_when_it_was_frozen(made: str, fine: bool) -> None:
    """3-402.11(A)(1): 168 h; it is cured on 6 May."""
    document = week("us", *cured_from())
    lot = {"id": "box", "component": "sides", "quantity": "10 portions",
           "made": f"2027-{made} 08:00", "store": "chest"}  # fmt: skip
    document["week"] |= {"on_hand": [lot], "starts": "2027-05-03 00:00",
                         "plan_from": "2027-05-03 00:00"}  # fmt: skip
    plan = served_anyhow(document)
    assert {s.source for s in plan.shares if s.consumer.startswith("cured")} == {"box"}
    assert ("parasites" in audit(scenario_of(document), plan).rules()) is not fine
