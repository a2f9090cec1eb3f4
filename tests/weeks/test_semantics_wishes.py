"""Wishes, house rules, time in hand and calm (51, 57, 59): a tiny week for each."""

from __future__ import annotations

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from tests.weeks.checks import finds_no_place, keeps_the_rule, planned, served, task
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    dish,
    event,
    in_oven,
    keep,
    kind,
    made,
    oven,
    step,
    visit,
    week_of,
)


def wished(kind: str, **what: object) -> Document:
    return {"kind": kind, "component": "sauce", **what}


def sauce(*wishes: Document, kitchen: Document | None = None, **keeps: str) -> Document:
    """A sauce by Ana or Ben, best the moment it is made, good for a day."""
    return week_of(
        made("sauce", keep("24 h", **keeps)),
        people=[cook("ana", days="daily"), cook("ben", days="daily")],
        kitchen=kitchen,
        week={"wishes": list(wishes)},
    )


def by(plan: Plan, name: str = "sauce.1/make") -> tuple[str, ...]:
    return task(plan, name).visits[0].people


# -- musts (57) ----------------------------------------------------------------------


def test_the_sauce_is_made_by_whom_the_chef_insists_on() -> None:
    plan = keeps_the_rule(
        sauce(wished("must", person="ben")), sauce(), "wish", {"ana": "ben", "ben": "ana"}
    )
    assert by(plan) == ("ben",)
    assert by(planned(sauce(wished("must not", person="ana")))) == ("ben",)


def test_a_sauce_whose_cook_is_off_is_missing() -> None:
    week = sauce(wished("must", person="ben"))
    week["kitchen"]["people"][2]["off"] = [DAY, EVE]
    finds_no_place(week, "sauce.1")


def test_what_is_wanted_by_noon_is_done_by_noon() -> None:
    plan = keeps_the_rule(sauce(wished("must", done_by=f"{DAY} 12:00")), sauce(), "wish")
    assert task(plan, "sauce.1/make").end == (24 + 12) * 60
    assert plan.terms.quality == 6 * 60


def test_what_is_wanted_before_it_keeps_that_long_is_missing() -> None:
    finds_no_place(sauce(wished("must", done_by=f"{EVE} 12:00")), "sauce.1")


def test_what_the_client_tastes_at_three_is_not_begun_before() -> None:
    early = sauce(best_until="24 h", best_from="10 h")
    late = sauce(
        wished("must", not_before=f"{DAY} 15:00"), best_until="24 h", best_from="10 h"
    )
    plan = keeps_the_rule(late, early, "wish")
    assert task(plan, "sauce.1/make").start >= (24 + 15) * 60


def test_not_on_friday_is_not_on_friday() -> None:
    plan = keeps_the_rule(sauce(wished("must not", days=[DAY])), sauce(), "wish")
    assert task(plan, "sauce.1/make").end <= 24 * 60
    assert planned(sauce(wished("must", days=[EVE]))).terms == plan.terms


def ground(*wishes: Document) -> Document:
    """Sesame and seeds, two grinders alike; whatever the first one is."""
    return week_of(
        component(
            "sauce", step("grind", "2 h", load=visit("30 min"), on=[{"equipment": "grinder"}])
        ),
        component(
            "seeds", step("grind", "2 h", load=visit("30 min"), on=[{"equipment": "grinder"}])
        ),
        people=[cook("ana"), cook("ben")],
        equipment=[
            kind("grinder", units=[{"id": "one", "fill": "9 portions"}, {"id": "two"}])
            | {"fill": "20 portions"}
        ],
        week={"wishes": list(wishes)},
    )  # fmt: skip


def units(plan: Plan, name: str) -> set[str | None]:
    return {t.unit for x in plan.tasks if x.id.startswith(name) for t in x.taken}


def test_grinder_two_never_sees_sesame() -> None:
    with_two = ground(wished("must", unit="two"))
    assert units(planned(with_two), "sauce") == {"two"}
    bad = ground(wished("must not", unit="two"))
    bad["kitchen"]["equipment"][0]["units"][0]["fill"] = "20 portions"
    assert units(planned(bad), "sauce") == {"one"}


# -- rather, rather not (57) -----------------------------------------------------------


def test_rather_is_kept_where_it_costs_nothing() -> None:
    for kind_, who in (("rather", "ben"), ("rather not", "ana")):
        plan = served(sauce(wished(kind_, person=who)))
        assert by(plan) == ("ben",)
        assert plan.terms.wishes == 0


def test_rather_gives_way_to_freshness_at_the_kitchens_price() -> None:
    """A sauce begun on the eve is stale by hours; the wish is worth one of them, or many."""
    cheap = planned(sauce(wished("rather not", days=[DAY]), kitchen={"wish": {"job": 60}}))
    assert task(cheap, "sauce.1/make").start == (24 + 17) * 60
    assert (cheap.terms.wishes, cheap.terms.freshness) == (60, 0)
    dear = planned(sauce(wished("rather not", days=[DAY]), kitchen={"wish": {"job": 9999}}))
    assert task(dear, "sauce.1/make").start == 24 * 60 - 30
    assert (dear.terms.wishes, dear.terms.freshness) == (0, 17 * 60 + 30)


def test_minutes_past_what_was_rather_wanted_count() -> None:
    week = sauce(
        wished("rather", done_by=f"{DAY} 17:00"),
        kitchen={"wish": {"minute": 3}}, best_until="30 min",
    )  # fmt: skip
    plan = planned(week)
    assert task(plan, "sauce.1/make").end == (24 + 17) * 60
    assert plan.terms.quality == 30


def test_rather_on_the_other_machine() -> None:
    both = ground(wished("rather", unit="two"))
    both["kitchen"]["equipment"][0]["units"][0]["fill"] = "20 portions"
    assert planned(both).terms.wishes == 0
    not_two = ground(wished("rather not", unit="two"))
    assert planned(not_two).terms.wishes == 60, "it does not fit the other"


# -- house rules (59) -------------------------------------------------------------------


def late_plating(**accepted: str) -> Document:
    """The kitchen shuts at 21:00 and so late a sauce is only made after that."""
    let_go = {"rule": "open-hours", "by": "Ida", "reason": "a wedding", **accepted}
    return week_of(
        made("sauce", keep("30 min")),
        service="20:30",
        people=[cook("ana", "20:00-23:30")],
        kitchen={"open": "08:00-20:00"},
        week={"accepted": [let_go]},
    )


def test_a_house_rule_is_broken_only_where_somebody_accepts_it() -> None:
    week = week_of(
        made("sauce", keep("24 h")),
        people=[cook("ana", "04:00-08:00")],
        kitchen={"open": "08:00-22:00"},
        week={"accepted": [
            {"rule": "open-hours", "by": "Ida", "reason": "a wedding", "day": DAY}
        ]},
    )  # fmt: skip
    plan = served(week)
    report = audit(scenario_of(week), plan)
    assert report.valid
    assert {(x.rule, x.by, x.reason) for x in report.let_go} == {
        ("open-hours", "Ida", "a wedding")
    }
    week["week"]["accepted"][0]["day"] = EVE
    broken = audit(scenario_of(week), plan)
    assert broken.rules() == {"open-hours"}
    assert not broken.let_go
    del week["week"]["accepted"]
    finds_no_place(week, "sauce.1")


def test_a_cook_of_another_section_helps_where_somebody_accepts_it() -> None:
    def with_help(*accepted: Document) -> Document:
        return week_of(
            made("sauce", keep("24 h")),
            people=[
                cook("ana", "22:00-23:00"),
                cook("lea", "08:00-18:00", sections={"larder": "cook"}),
            ],
            week={"accepted": list(accepted)},
        )

    let_go = {"rule": "section-level", "by": "Ida", "reason": "Ana is late", "person": "lea",
              "component": "sauce"}  # fmt: skip
    plan = served(with_help(let_go))
    assert by(plan) == ("lea",)
    (shown,) = audit(scenario_of(with_help(let_go)), plan).let_go
    assert "lea" in str(shown) and "accepted by Ida: Ana is late" in str(shown)
    assert "section-level" in audit(scenario_of(with_help()), plan).rules()
    elsewhere = with_help(let_go | {"person": "ana"})
    assert "section-level" in audit(scenario_of(elsewhere), plan).rules()


@pytest.mark.parametrize(
    ("accepted", "said"),
    [
        ({"rule": "hold-limit", "day": DAY}, "keeps food or people safe"),
        ({"rule": "may-use", "person": "ana", "component": "sauce"}, "keeps food or people safe"),
        ({"rule": "terms"}, "no house rule"),
        ({"rule": "open-hours"}, "accepted for one day"),
        ({"rule": "open-hours", "day": DAY, "person": "ana"}, "accepted for one day"),
        ({"rule": "section-level", "person": "kim", "component": "sauce"}, "young worker"),
        ({"rule": "section-level", "person": "ann", "component": "sauce"}, "unknown person"),
        ({"rule": "reserved", "lot": "x"}, "unknown lot"),
    ],
)  # fmt: skip
def test_nobody_lets_go_of_what_keeps_food_or_people_safe(accepted: Document, said: str) -> None:
    week = week_of(
        made("sauce", keep("24 h")),
        people=[cook("ana"), cook("kim", born="2010-01-01")],
        week={"accepted": [{"by": "Ida", "reason": "a wedding", **accepted}]},
    )
    with pytest.raises(BadInput) as bad:
        scenario_of(week)
    assert any(said in str(p) for p in bad.value.problems), [str(p) for p in bad.value.problems]


# -- time in hand (51) -------------------------------------------------------------------


def braised(hand: Document) -> Document:
    """Three hours by itself, best for half a day."""
    return week_of(
        component(
            "beef", step("braise", "3 h", load=visit("30 min"), alone="yes"),
            keeps=keep("24 h", best_until="12 h"),
        ),
        kitchen={"time_in_hand": hand},
    )  # fmt: skip


def test_a_braise_is_out_four_hours_before_it_is_plated() -> None:
    assert task(planned(braised({})), "beef.1/braise").end == (24 + 18) * 60
    early = planned(braised({"long": "3 h", "out_ahead": "4 h"}))
    assert task(early, "beef.1/braise").end <= (24 + 14) * 60
    assert early.terms.quality == 0


def test_what_is_not_long_needs_no_time_in_hand() -> None:
    plan = planned(braised({"long": "3 h 30 min", "out_ahead": "4 h"}))
    assert task(plan, "beef.1/braise").end == (24 + 18) * 60


def test_time_in_hand_that_lacks_is_told_by_itself() -> None:
    week = braised({"long": "3 h", "out_ahead": "4 h"})
    week["week"]["wishes"] = [
        {"kind": "must", "component": "beef", "not_before": f"{DAY} 12:00"}
    ]
    plan = planned(week)
    assert (plan.terms.in_hand, plan.terms.freshness) == (90, 0)


def test_nothing_that_keeps_is_done_in_the_last_hours_before_service() -> None:
    def week(quiet: str, most: str) -> Document:
        return week_of(
            made("sauce", keep(most, best_until=most)),
            kitchen={"time_in_hand": {"quiet": quiet, "price": 2}},
        )

    assert task(planned(week("0 min", "5 h")), "sauce.1/make").end == (24 + 18) * 60
    assert task(planned(week("3 h", "5 h")), "sauce.1/make").start < (24 + 15) * 60
    must_be_then = planned(week("3 h", "2 h"))
    assert must_be_then.terms.in_hand == 0
    assert task(must_be_then, "sauce.1/make").start >= (24 + 15) * 60


def test_an_events_day_is_not_full_where_the_eve_has_room() -> None:
    def week(**hand: str) -> Document:
        return week_of(
            made("sauce", keep("40 h", best_until="40 h")),
            made("cream", keep("40 h", best_until="40 h")),
            people=[cook("ana", "08:00-16:00")],
            kitchen={"time_in_hand": hand},
        )

    plan = planned(week(day_full="20 %"))
    assert plan.terms.quality == 0
    assert sum(t.start < 24 * 60 for t in plan.tasks) == 1
    full = planned(week(day_full="5 %") | {})
    assert sum(t.start < 24 * 60 for t in full.tasks) == 2


# -- calm --------------------------------------------------------------------------------


def two_sections(calm: Document) -> Document:
    """Four sauces and creams; Ana and Ben do both, best as late as can be."""
    both_of = {"stove": "cook", "larder": "cook"}
    return week_of(
        *(made(f"sauce-{n}", keep("24 h", best_until="24 h")) for n in (1, 2)),
        *(
            made(f"cream-{n}", keep("24 h", best_until="24 h"), section="larder")
            for n in (1, 2)
        ),
        people=[cook("ana", "14:00-16:00", sections=both_of, days=DAY),
                cook("ben", "14:00-16:00", sections=both_of, days=DAY)],
        kitchen={"calm": calm},
    )  # fmt: skip


def test_a_cook_stays_in_a_section() -> None:
    plan = planned(two_sections({"section_change": 10}))
    assert plan.terms.calm == 0
    for name in ("ana", "ben"):
        kinds = {t.batch[:5] for t in plan.tasks for v in t.visits if name in v.people}
        assert len(kinds) == 1


def test_an_hour_of_piping_does_not_begin_as_the_shift_ends() -> None:
    def week(calm: Document) -> Document:
        return week_of(
            made("sauce", keep("24 h", best_until="90 min")),
            people=[cook("ana", "10:00-18:00")],
            kitchen={"calm": calm},
        )

    assert task(planned(week({})), "sauce.1/make").start == (24 + 17) * 60
    calm = planned(week({"late_start": 50, "last_part": "90 min"}))
    assert task(calm, "sauce.1/make").start <= (24 + 16) * 60 + 30
    assert calm.terms.quality == 0


def test_who_loads_the_oven_empties_it() -> None:
    week = week_of(
        component(
            "bread",
            step("bake", "60 min", load=visit("30 min"), unload=visit("30 min"),
                 on=[in_oven(200)]),
            keeps=keep("24 h", best_until="24 h"),
        ),
        people=[cook("ana", "08:00-12:00"), cook("ben", "10:00-18:00")],
        equipment=[oven()],
        kitchen={"calm": {"hand_over": 30}},
    )  # fmt: skip
    plan = planned(week)
    load, unload = task(plan, "bread.1/bake").visits
    assert load.people == unload.people
    assert plan.terms.calm == 0


def test_an_oven_is_not_turned_up_and_down_all_day() -> None:
    def baked(name: str, celsius: int) -> Document:
        return component(
            name, step("bake", "30 min", load=visit("30 min"), on=[in_oven(celsius)]),
            keeps=keep("24 h", best_until="24 h"),
        )  # fmt: skip

    week = week_of(
        baked("rolls", 240), baked("meringue", 100), baked("loaves", 240), baked("shards", 100),
        equipment=[oven(capacity=1)],
        kitchen={"calm": {"oven_change": 20}},
    )  # fmt: skip
    plan = planned(week)
    assert plan.terms.calm == 20


def test_changes_of_job_beyond_the_free_ones_cost() -> None:
    week = two_sections({"job_change": 7, "free_changes": 0})
    plan = planned(week)
    assert plan.terms.calm == 14
    assert planned(two_sections({"job_change": 7, "free_changes": 1})).terms.calm == 0


def test_the_kitchens_events_all_have_their_quiet_hours() -> None:
    """Work for the supper would lie just before lunch: it is done before, or after."""
    week = week_of(
        made("sauce", keep("12 h", best_until="12 h")),
        made("cream", keep("60 min", best_until="60 min")),
        dishes=[dish("hot", "sauce"), dish("cold", "cream")],
        events=[event("lunch", "12:00", "cold"), event("supper", "18:00", "hot")],
        people=[cook("ana", "10:00-12:00", "13:00-14:00", days=DAY),
                cook("ben", "11:00-12:00", days=DAY)],
        kitchen={"time_in_hand": {"quiet": "90 min"}},
    )  # fmt: skip
    plan = planned(week)
    assert plan.terms.in_hand == 0
    assert task(plan, "sauce.1/make").start == (24 + 13) * 60


@pytest.mark.parametrize(
    ("wish", "why"),
    [
        ({"kind": "must", "done_by": f"{EVE} 12:00"}, f"must be done by {EVE}"),
        ({"kind": "must", "days": ["2027-05-09"]}, "no day on which make may be done"),
    ],
)
def test_a_chef_reads_that_a_wish_may_be_why(wish: Document, why: str) -> None:
    (missing,) = planned(sauce(wished(**wish))).missing
    assert why in missing.why
    assert "wished: must be" in missing.why


def late_break(*accepted: Document, **between: str) -> Document:
    """Five hours of carving until six that cannot pause; the break would lie in them."""
    pause = {"between": between.get("between", "14:30-16:00"), "length": "30 min"}
    shift: Document = {"days": [DAY], "hours": "12:30-19:00", "floating_breaks": [pause]}
    return week_of(
        component("pig", step("carve", "5 h", hands=1), keeps=keep("0 min")),
        people=[cook("ana", shift)],
        service="17:30",
        week={"accepted": list(accepted)},
    )


def test_a_break_is_late_only_where_somebody_accepts_it_and_no_later() -> None:
    finds_no_place(late_break(), "pig.1")
    let_go = {"rule": "break", "by": "Ida", "reason": "the pig cannot wait", "person": "ana",
              "day": DAY, "late": "2 h"}  # fmt: skip
    plan = served(late_break(let_go))
    (rest,) = plan.breaks
    assert rest.start == (24 + 17) * 60 + 30
    (shown,) = audit(scenario_of(late_break(let_go)), plan).let_go
    assert shown.rule == "break" and "the pig cannot wait" in str(shown)
    assert "break" in audit(scenario_of(late_break()), plan).rules()
    finds_no_place(late_break(let_go | {"late": "90 min"}), "pig.1")
    elsewhere = late_break(let_go | {"day": EVE})
    assert "break" in audit(scenario_of(elsewhere), plan).rules()


def test_what_two_share_in_quiet_hours_costs_as_one_would_do_it() -> None:
    week = week_of(
        component(
            "pig", step("carve", "2 h", hands=[{"people": 1, "up_to": 2}]),
            keeps=keep("4 h", best_until="4 h"),
        ),
        people=[cook("ana", "15:00-19:00", days=DAY), cook("ben", "15:00-19:00", days=DAY)],
        kitchen={"time_in_hand": {"quiet": "3 h"}},
    )  # fmt: skip
    assert planned(week).terms.in_hand == 120
