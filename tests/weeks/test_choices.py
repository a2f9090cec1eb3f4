"""A second method and buying in: chosen where that serves more, and only then."""

from __future__ import annotations

from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.file import verdicts_of
from scheduler.plan.model import Plan
from scheduler.plan.summary import summarise
from scheduler.solve.engine import plan_week
from scheduler.solve.helpers import helpers
from scheduler.solve.last_calls import last_calls
from tests.weeks.checks import planned, served
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    dish,
    event,
    keep,
    kind,
    span,
    step,
    week_of,
)

ANA = cook("ana", "08:00-16:00", days=DAY)


def crisp(*, chiller: int = 1, people: list[Document] | None = None, **rest: Any) -> Document:
    """Cooked on the day, set over ten hours, or in two with the blast chiller."""
    mousse = component(
        "mousse",
        step("whip", "60 min", hands=1),
        step("set", "10 h"),
        keeps=keep("24 h", best_until="24 h"),
        methods=[
            {
                "id": "blast",
                "name": "Blast-chill",
                "steps": [
                    step("whip", "60 min", hands=1),
                    step("blast-chill", "2 h", on=[{"equipment": "chiller"}]),
                ],
            }
        ],
        **rest,
    )
    return week_of(mousse, people=people or [ANA], equipment=[kind("chiller", units=chiller)])


def bought(**rest: Any) -> Document:
    """Ten hours of rest, or from the baker by ten in the morning."""
    offer = {
        "lead_time": "12 h", "order_before": "12:00", "hours": "06:00-10:00", "pack": "4 portions",
        "price": 9, **rest,
    }
    sable = component(
        "sable", step("bake", "60 min", hands=1), step("rest", "10 h"),
        keeps=keep("24 h", "dry", best_until="24 h", per_shelf="5 portions"), bought_in=offer,
    )
    return week_of(sable, people=[ANA])


def methods(plan: Plan) -> dict[str, str | None]:
    return {b.id: b.method for b in plan.batches if b.component}


def test_a_week_that_only_the_second_method_serves() -> None:
    plan = served(crisp())
    assert methods(plan) == {"mousse.1": "blast"}
    assert [t.step for t in plan.tasks if t.batch == "mousse.1"] == ["whip", "blast-chill"]


def test_its_own_steps_where_they_do() -> None:
    plan = served(crisp(people=[cook("ana", "08:00-16:00")]))
    assert methods(plan) == {"mousse.1": None}


def test_a_week_that_only_buying_serves() -> None:
    plan = served(bought())
    (batch,) = [b for b in plan.batches if b.component]
    assert batch.bought is not None
    assert (batch.bought.packs, batch.bought.price) == (3, 27)
    assert str(batch.quantity) == "12 pieces"
    clock = scenario_of(bought()).clock
    assert f"{clock.local(batch.bought.order_by):%Y-%m-%d %H:%M}" == f"{EVE} 12:00"
    (task,) = [t for t in plan.tasks if t.batch == batch.id]
    assert f"{clock.local(task.end):%Y-%m-%d %H:%M}" == f"{DAY} 10:00"
    assert plan.terms.money == 27


def test_nothing_is_bought_that_could_be_made() -> None:
    """Ana comes the evening before: the sablé rests overnight."""
    document = bought()
    document["kitchen"]["people"][1] = cook("ana", "08:00-20:00")
    plan = served(document)
    assert all(b.bought is None for b in plan.batches)
    assert plan.terms.money == 0


def test_what_can_no_longer_be_ordered_is_missing_and_certainly() -> None:
    plan = planned(bought(lead_time="31 h"))
    assert {m.batch: m.certain for m in plan.missing} == {"sable.1": True}
    assert plan.terms.money == 0


def test_an_order_after_the_hour_is_the_next_days() -> None:
    """Ordered from noon on Thursday: 18 h before Friday 06:00 is noon, not one o'clock."""
    late = bought(lead_time="17 h", order_before="11:30")
    late["week"]["plan_from"] = f"{EVE} 12:00"
    assert planned(late).missing
    in_time = bought(lead_time="17 h", order_before="12:30")
    in_time["week"]["plan_from"] = f"{EVE} 12:00"
    assert served(in_time)


def test_what_comes_too_late_in_the_day_is_of_no_use() -> None:
    assert planned(bought(hours="15:00-18:30")).missing
    assert served(bought(hours="15:00-18:00"))


def test_what_is_bought_takes_its_shelves_from_the_first_hour_of_delivery() -> None:
    """Two shelves of packs, and one shelf too few while the rack holds something else."""
    plan = served(bought())
    (task,) = [t for t in plan.tasks if t.batch == "sable.1"]
    assert [(t.store, t.amount, t.end - t.start) for t in task.taken] == [("rack", 3, 240)]


def test_what_is_bought_keeps_its_own_time_from_the_first_hour_of_delivery() -> None:
    """Friday's comes 06:00 to 10:00, for 18:00: 12 h do, 11 h do not."""
    assert served(bought(at_most="12 h"))
    assert planned(bought(at_most="11 h")).missing


def test_impossible_by_every_method_is_certain_and_by_one_is_not() -> None:
    either = crisp(people=[cook("ana", "15:30-16:30", days=DAY)])
    (missing,) = planned(either).missing
    assert missing.certain
    told: list[Plan] = []
    plan_week(
        scenario_of(crisp()), seconds=2, deterministic=True,
        tell=lambda event: told.append(event["plan"]) if "plan" in event else None,
    )
    assert not any(m.certain for plan in told for m in plan.missing)


def test_the_method_that_keeps_fresher_is_taken() -> None:
    """By its own steps it waits from noon, when Ana leaves; by the other it is warm at six."""
    soup = component(
        "soup", step("cook", "60 min", hands=1), keeps=keep("12 h"),
        methods=[{"id": "slow", "steps": [
            step("start", "30 min", hands=1), step("simmer", span("3 h", "8 h", "6 h")),
        ]}],
    )
    plan = served(week_of(soup, people=[cook("ana", "08:00-12:00")]))
    assert methods(plan) == {"soup.1": "slow"}
    assert plan.terms.quality == 0
    assert plan.batches[-1].because == "keeps fresher"


def test_freshness_is_never_bought() -> None:
    document = bought(hours="16:00-18:00")
    document["kitchen"]["people"][1] = cook("ana", "08:00-12:00")
    document["components"][0]["keeps"] = [keep("24 h", "dry")]
    plan = served(document)
    assert plan.terms.quality > 0
    assert plan.terms.money == 0


def test_a_dish_is_crisped_in_the_oven_where_the_pan_is_taken() -> None:
    """Away at six and at half past, each an hour in the only pan just before plating."""
    pan, oven = [{"equipment": "pan"}], [{"equipment": "griddle"}]
    dishes = [
        dish(
            name, "base", steps=[step("crisp", "60 min", on=pan)],
            methods=[{"id": "oven", "steps": [step("crisp-in-the-oven", "90 min", on=oven)]}],
        )
        for name in ("duck", "hen")
    ]
    base = component("base", step("make", "60 min", hands=1))
    menu = ["duck", {"dish": "hen", "after": "30 min"}]
    document = week_of(
        base, dishes=dishes, events=[event("supper", "18:00", *menu)],
        equipment=[kind("pan"), kind("griddle")],
    )
    plan = served(document)
    made = {b.dish: b.method for b in plan.batches if b.dish}
    assert sorted(made.values(), key=str) == [None, "oven"]


def test_a_choice_frees_the_machine_that_something_else_needs() -> None:
    """Two mousses share the chiller; the cake has no other way and only the last two hours."""
    cake = component(
        "cake", step("glaze", "30 min", hands=1),
        step("chill", "8 h", on=[{"equipment": "chiller"}]),
    )
    mousse = component(
        "mousse", step("whip", "30 min", hands=1),
        step("blast", "4 h", on=[{"equipment": "chiller"}]), keeps=keep("2 h"),
        methods=[{"id": "fridge", "steps": [step("whip", "30 min", hands=1), step("set", "9 h")]}],
    )
    plan = served(
        week_of(cake, mousse, people=[cook("ana", "08:00-16:00", days=DAY)],
                equipment=[kind("chiller")])
    )
    assert methods(plan)["mousse.1"] == "fridge"
    assert [b.because for b in plan.batches if b.method]


def test_what_was_begun_by_a_method_goes_on_by_it() -> None:
    document = crisp()
    document["week"] |= {
        "plan_from": f"{DAY} 15:00",
        "in_progress": [
            {"id": "mousse-a", "component": "mousse", "quantity": "10 portions",
             "method": "blast", "step": "blast-chill", "started": f"{DAY} 14:30"},
        ],
    }
    plan = served(document)
    assert [t.step for t in plan.tasks if t.batch == "mousse-a"] == ["blast-chill"]
    assert methods(plan) == {"mousse-a": "blast"}


def test_batches_fit_every_method() -> None:
    """Blast-chilled in sixes at most: two batches, whichever way they are made."""
    document = crisp(people=[cook("ana", "08:00-16:00")])
    document["kitchen"]["equipment"] = [kind("chiller", fill="6 portions")]
    plan = served(document)
    assert methods(plan) == {"mousse.1": None, "mousse.2": None}


def test_the_same_choice_every_time() -> None:
    for document in (crisp(), bought()):
        assert planned(document) == planned(document)


def test_helpers_get_the_week_as_it_was_chosen() -> None:
    with helpers(2, False, None) as (executor, count):
        plan = plan_week(
            scenario_of(crisp()), seconds=3, workers=count, executor=executor
        )
    assert audit(scenario_of(crisp()), plan).served
    assert methods(plan) == {"mousse.1": "blast"}


def test_the_last_moment_to_order_what_could_be_bought_stands_among_the_last_calls() -> None:
    document = bought()
    document["kitchen"]["people"][1] = cook("ana", "08:00-20:00")
    (made,) = [c for c in last_calls(scenario_of(document)) if c.batch == "sable.1"]
    clock = scenario_of(document).clock
    assert f"{clock.local(made.order_in or 0):%H:%M}" == "12:00"
    assert f"{clock.local(made.by):%Y-%m-%d %H:%M}" == f"{EVE} 19:00"
    scenario = scenario_of(bought())
    plan = planned(bought())
    (to_order,) = [c for c in last_calls(scenario, plan) if c.batch == "sable.1"]
    assert f"{clock.local(to_order.by):%Y-%m-%d %H:%M}" == f"{EVE} 12:00"
    said = summarise(scenario, plan, verdicts_of(audit(scenario, plan)), last_calls=[to_order])
    told = "bought in: sable, 12 pieces, order by Thu 6 May 12:00 (nobody for bake"
    assert told in " ".join(said.split())
