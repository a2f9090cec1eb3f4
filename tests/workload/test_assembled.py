"""From an answer back to a plan: times, units, visits, holds, who goes short."""

from __future__ import annotations

import random
from typing import Any

import pytest

from scheduler.plan.audit import audit
from scheduler.plan.model import Plan, Terms
from scheduler.solve.objective import terms
from scheduler.workload.assemble import assemble
from scheduler.workload.colouring import coloured
from scheduler.workload.primitives import Placed, Solution
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
    take,
    visit,
    week_of,
)
from tests.workload.weeks import Week


def planned(
    week: Week,
    times: dict[str, tuple[int, int]],
    crews: dict[str, tuple[str, ...]],
    **rest: Any,
) -> Plan:
    """The plan of a solution that is written down by names; services and duties are filled in."""
    problem = week.problem
    names = [p for p, _ in problem.people]
    at = {week.index(name): span for name, span in times.items()}
    for batch in problem.batches:
        if batch.fixed:
            at |= {t: (problem.tasks[t].earliest, problem.tasks[t].latest) for t in batch.tasks}
    solution = Solution(
        times=at,
        chosen={c: rest.get("chosen", {}).get(c, 0) for c in range(len(problem.choices))},
        crews={
            i: tuple(names.index(p) for p in crews[problem.tasks[crew.task].id])
            for i, crew in enumerate(problem.crews)
            if problem.tasks[crew.task].id in crews
        },
        tends=rest.get("tends", {}),
        adds=rest.get("adds", {}),
    )
    score = terms(problem, solution)
    return assemble(
        week.scenario,
        week.work,
        week.compiled,
        solution,
        rest.get("why", {}),
        rest.get("certain", ()),
        Terms(
            served=score.served[:-1],
            left_out=score.served[-1],
            money=score.money,
            quality=score.quality,
        ),
    )


def smoked() -> Week:
    """Smoked in one of two smokers, tended once, chilled, plated at 18:00."""
    smoke = step(
        "smoke",
        "4 h",
        load=visit("30 min", verb="hang"),
        unload=visit("30 min"),
        tend=[visit("30 min", every="2 h", give_or_take="30 min", verb="turn")],
        on=[{"equipment": "smoker"}],
    )
    return Week(
        week_of(
            component("trout", smoke, keeps=keep("24 h", "chilled", per_shelf="4 portions")),
            equipment=[kind("smoker", units=2)],
        )
    )


AT = {
    "trout.1/smoke:load": (60, 61),
    "trout.1/smoke:run": (61, 69),
    "trout.1/smoke:unload": (69, 70),
    "supper.plate/plating:run": (84, 86),
}
WHO = {
    "trout.1/smoke:load": ("ana",),
    "trout.1/smoke:unload": ("ana",),
    "supper.plate/plating:run": ("pia",),
}


def test_a_plan_reads_back_in_minutes_names_and_units_and_the_second_reader_agrees() -> None:
    week = smoked()
    ana = [p for p, _ in week.problem.people].index("ana")
    length = week.task("supper.plate/plating:run").least
    at = AT | {"supper.plate/plating:run": (84, 84 + length)}
    plan = planned(week, at, WHO, tends={0: (Placed(65, 66, (ana,)),)})
    task = next(t for t in plan.tasks if t.id == "trout.1/smoke")
    assert (task.start, task.law_start, task.law_end, task.end) == (1800, 1830, 2070, 2100)
    assert [(v.kind, v.verb, v.start, v.people) for v in task.visits] == [
        ("load", "hang", 1800, ("ana",)),
        ("tend", "turn", 1950, ("ana",)),
        ("unload", "unload", 2070, ("ana",)),
    ]
    (taken,) = task.taken
    assert (taken.unit, taken.amount, taken.start, taken.end) == ("smoker-1", 1, 1800, 2100)
    (hold,) = plan.holds
    assert (hold.kind, hold.store, hold.shelves, hold.start, hold.end) == (
        "share",
        "walk-in",
        3,
        2100,
        2520,
    )
    report = audit(week.scenario, plan)
    assert report.findings == ()
    assert report.valid and report.served


def test_what_has_no_place_is_missing_with_its_reason_and_who_goes_short_is_said() -> None:
    week = smoked()
    length = week.task("supper.plate/plating:run").least
    plan = planned(
        week,
        {"supper.plate/plating:run": (84, 84 + length)},
        WHO,
        why={"trout.1": "the smokers are full"},
        certain=("trout.1",),
    )
    (missing,) = plan.missing
    assert (missing.batch, missing.why, missing.certain) == (
        "trout.1",
        "the smokers are full",
        True,
    )
    (short,) = plan.unserved
    assert (short.batch, short.portions, short.lacks) == ("supper.plate", 10, ("trout",))
    assert plan.terms.served == (10,)
    assert audit(week.scenario, plan).valid


def test_what_is_missing_for_want_of_an_input_says_which() -> None:
    jus = component("jus", step("boil", "1 h", hands=1, takes=[take("stock")]))
    week = Week(week_of(component("stock", step("simmer", "2 h")), jus))
    plan = planned(week, {}, {})
    why = {m.batch: m.why for m in plan.missing}
    assert why["jus.1"] == "it cannot be made without stock.1"
    assert {u.lacks for u in plan.unserved} == {("plate", "jus")} or {
        frozenset(u.lacks) for u in plan.unserved
    } == {frozenset(("plate", "jus"))}


def test_an_oven_says_its_setting_and_a_wait_in_it_its_unit() -> None:
    braise = step(
        "braise", "2 h", on=[in_oven(90, 95)], then={"at_most": "5 h", "in_machine": True}
    )
    week = Week(
        week_of(
            component("beef", braise, step("lift", "30 min", hands=1)),
            equipment=[oven()],
        )
    )
    length = week.task("supper.plate/plating:run").least
    plan = planned(
        week,
        {
            "beef.1/braise:run": (60, 64),
            "beef.1/lift:run": (68, 69),
            "supper.plate/plating:run": (84, 84 + length),
        },
        {"beef.1/lift:run": ("ana",), "supper.plate/plating:run": ("pia",)},
    )
    task = next(t for t in plan.tasks if t.id == "beef.1/braise")
    (taken,) = task.taken
    assert (taken.unit, taken.mode, taken.celsius, taken.end) == ("oven", "dry", 90, 68 * 30)
    wait = next(h for h in plan.holds if h.kind == "wait")
    assert (wait.unit, wait.store, wait.shelves) == ("oven", None, 0)
    assert audit(week.scenario, plan).findings == ()


def test_a_batch_in_progress_keeps_the_moment_it_began() -> None:
    pumpkin = component("pumpkin", step("ferment", "20 h"), step("decant", "30 min", hands=1))
    entry = {
        "id": "tub",
        "component": "pumpkin",
        "quantity": "10 portions",
        "step": "ferment",
        "started": f"{EVE} 12:00",
    }
    week = Week(week_of(pumpkin, week={"plan_from": f"{EVE} 20:00", "in_progress": [entry]}))
    length = week.task("supper.plate/plating:run").least
    plan = planned(
        week,
        {
            "tub/ferment:run": (40, 64),
            "tub/decant:run": (64, 65),
            "supper.plate/plating:run": (84, 84 + length),
        },
        {"tub/decant:run": ("ana",), "supper.plate/plating:run": ("pia",)},
    )
    task = next(t for t in plan.tasks if t.id == "tub/ferment")
    assert (task.start, task.law_start, task.law_end) == (720, 720, 64 * 30)
    assert audit(week.scenario, plan).findings == ()


def test_a_duty_is_in_the_plan_with_its_people() -> None:
    duty = {
        "id": "breakfast",
        "days": [DAY],
        "hours": "06:00-08:00",
        "section": "stove",
        "people": 1,
    }
    week = Week(
        week_of(
            component("soup", step("cook", "1 h")), kitchen={"duties": [duty]}, people=[cook("ana")]
        )
    )
    plan = planned(week, {}, {"breakfast/2027-05-07": ("ana",)})
    (found,) = plan.duties
    assert (found.start, found.end, found.people) == (30 * 60, 32 * 60, ("ana",))


# -- colouring -------------------------------------------------------------------------------


def test_the_smallest_free_unit_is_taken_in_order_of_start() -> None:
    assert coloured([(0, 10, 1), (5, 8, 1), (8, 12, 1), (10, 11, 1)], 2) == [(0,), (1,), (1,), (0,)]


def test_several_units_at_once_are_told_apart() -> None:
    assert coloured([(0, 10, 2), (2, 4, 1), (4, 6, 1)], 3) == [(0, 1), (2,), (2,)]


@pytest.mark.parametrize("seed", range(20))
def test_units_enough_for_the_peak_are_enough_for_all(seed: int) -> None:
    rng = random.Random(seed)
    spans = []
    for _ in range(40):
        start = rng.randint(0, 50)
        spans.append((start, start + rng.randint(1, 12), rng.randint(1, 3)))
    peak = max(sum(n for a, z, n in spans if a <= t < z) for t in range(70))
    taken = coloured(spans, peak)
    for (a, z, n), units in zip(spans, taken, strict=True):
        assert len(set(units)) == n
        for (b, y, _), others in zip(spans, taken, strict=True):
            if (a, z, units) != (b, y, others) and a < y and b < z:
                assert not set(units) & set(others)
