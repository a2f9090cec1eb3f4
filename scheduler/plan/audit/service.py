"""Service: plated for the first plate away, diets before the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.making import PLATING

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making


def service(facts: Facts, making: Making) -> int:
    """First plate away of a batch of a dish: event, course and wave, down to the grid.

    Diets belong to the first wave.
    """
    event, course = making.event, making.course
    if event is None or course is None:
        return 0
    wave = 0
    if course.waves:
        wave = course.waves[0 if making.diet else making.batch.wave or 0].after
    return facts.down(facts.scenario.clock.minute(event.first_plate) + course.after + wave)


def check(facts: Facts) -> None:
    """Rules `first-plate` and `diets-first`."""
    normal = {
        (m.batch.event, m.batch.course): m
        for m in facts.makings.values()
        if m.dish is not None and m.diet is None and not m.batch.wave
    }
    for making in facts.makings.values():
        tasks = making.tasks.get(PLATING, [])
        if making.dish is None or not tasks:
            continue
        away, task = service(facts, making), tasks[0]
        if making.diet is not None:
            others = normal.get((making.batch.event, making.batch.course))
            begins = others.tasks.get(PLATING, []) if others else []
            _diet(facts, making, task.end, begins[0].start if begins else away)
        if making.dish.keeps is not None:
            if task.end > away:
                facts.broken(
                    "first-plate",
                    task.id,
                    f"is plated {facts.at(task.end)}, first plate away {facts.at(away)}",
                    task.end - away,
                )
        elif making.diet is None and task.start != away:
            facts.broken(
                "first-plate",
                task.id,
                f"plating starts {facts.at(task.start)}, first plate away {facts.at(away)}",
                abs(task.start - away),
            )


def _diet(facts: Facts, making: Making, done: int, begins: int) -> None:
    ahead = begins - done
    allowed = facts.scenario.kitchen.diets_ahead
    if ahead < 0:
        facts.broken(
            "diets-first",
            making.id,
            f"is plated {facts.at(done)}, {lasting(-ahead)} after the others begin",
            -ahead,
        )
    elif making.dish is not None and making.dish.keeps is None and ahead > allowed:
        facts.broken(
            "diets-first",
            making.id,
            f"is plated {lasting(ahead)} before the others, at most {lasting(allowed)}",
            ahead - allowed,
        )
