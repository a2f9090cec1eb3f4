"""Weeks with one soup that is boiled and cooled, and stirred pots with a curve of one's choice."""

from __future__ import annotations

from math import log
from typing import Any

from scheduler.domain.cooling import CoolDown, physics
from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.heat.shapes import volume_to_area
from scheduler.safety.check import check
from scheduler.safety.finding import Finding
from tests.weeks.tiny import Document, component, keep, step, week_of

SOUP: Document = {"from": "90 °C", "to": "5 °C", "by": "walk-in", "depth": "50 mm", "food": "soup"}
OUR_OWN: Document = {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"}


def cools(**words: Any) -> Document:
    """A soup 50 mm deep in the walk-in, from 90 to 5 °C, but for these words; None leaves out."""
    written = SOUP | {"from" if k == "start" else "to" if k == "end" else k: v
                      for k, v in words.items()}  # fmt: skip
    return {key: value for key, value in written.items() if value is not None}


def pot(tau: float, *, air: float, start: float = 57, end: float = 5) -> Document:
    """A stirred pot with this time constant in hours: its film follows from it."""
    words = cools(
        start=f"{start:g} °C", end=f"{end:g} °C", stirred=True, shape="cylinder", depth=None,
        diameter="300 mm", air=f"{air:.9f} °C", film="1",
    )  # fmt: skip
    soup = physics(CoolDown.model_validate(words))
    ratio = volume_to_area(soup.shape, soup.reach)
    food = soup.properties
    return words | {"film": f"{food.density * food.specific_heat * ratio / (3600 * tau):.4f}"}


def slowed(air: float, warm: float, cold: float) -> float:
    """So many time constants from one temperature to another in such air (Newton)."""
    return log((warm - air) / (cold - air))


def week(
    profile: str | None, *steps: Document, food_class: str | None = "ready", **rest: Any
) -> Scenario:
    """A soup made in these steps, then kept in the walk-in, in a kitchen with these rules."""
    kitchen: Document = {"rule_profile": profile} if profile else {}
    if profile in ("uk", "eu"):
        kitchen["rest"] = OUR_OWN
    words = {"food_class": food_class} if food_class else {}
    soup = component("soup", *steps, keeps=keep("24 h", "chilled"), **words)
    return scenario_of(week_of(soup, kitchen=kitchen, **rest))


def boiled(time: str | Document | None, cooling: Document, **rest: Any) -> tuple[Document, ...]:
    """Boil it, then cool it; without a time the estimate sets it."""
    cool = {"id": "cool", "cooling": cooling, **rest}
    cool |= {"time": time} if time is not None else {"cooling": cooling | {"sets_time": True}}
    return step("boil", "60 min", hands=1), cool


def found(scenario: Scenario) -> list[Finding]:
    """What the check says of cooling."""
    return [f for f in check(scenario) if f.rule == "cooling"]
