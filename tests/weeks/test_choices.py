"""A second method and buying in: chosen where that serves more, and only then."""

from __future__ import annotations

from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.plan.model import Plan
from tests.weeks.checks import served
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    keep,
    kind,
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
