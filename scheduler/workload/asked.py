"""Whose hands a step asks for, by the recipe."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE
from scheduler.domain.washing import wash_step
from scheduler.workload.model import PLATING

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Dish, Hands, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.model import WorkBatch


def recipe_of(scenario: Scenario, batch: WorkBatch) -> Component | Dish:
    """The component or dish a batch is of."""
    if batch.component is not None:
        return scenario.component[batch.component]
    return scenario.dish[batch.dish or ""]


def step_of(batch: WorkBatch, step: str) -> Step | None:
    """A step of a batch; None for plating."""
    return next((s.step for s in batch.stages if s.step.id == step), None)


def hands_asked(
    scenario: Scenario, batch: WorkBatch, step: str, kind: str, index: int = 0
) -> tuple[tuple[Hands, ...], str]:
    """The hands lines of one kind of visit (load, hands, tend, add, unload), and its section."""
    recipe = recipe_of(scenario, batch)
    word = step_of(batch, step) or wash_step(scenario, step)
    if step == PLATING and batch.dish is not None:
        return scenario.dish[batch.dish].plating.hands, recipe.section
    if word is None:
        return (), recipe.section
    section = word.section or recipe.section
    visit = {
        "load": word.load,
        "unload": word.unload,
        "tend": word.tend[0] if word.tend else None,
        "add": word.add[index] if index < len(word.add) else None,
    }.get(kind)
    return (word.hands if visit is None else visit.hands), section


def said(hands: tuple[Hands, ...], section: str) -> str:
    """Hands lines in words: "2 of sauce (cook), 1 of larder"."""
    return ", ".join(_line(h, section) for h in hands)


def _line(hands: Hands, section: str) -> str:
    who = hands.section or section
    who = "anybody" if who == ANYONE else who
    level = "" if hands.level.value == "trainee" else f" ({hands.level.value})"
    many = f"{hands.people} to {hands.up_to}" if hands.up_to else f"{hands.people}"
    named = f" ({' or '.join(hands.only)})" if hands.only else ""
    return f"{many} of {who}{level}{named}"
