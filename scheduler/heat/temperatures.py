"""Temperatures as people write them: °C, with a hint where °F was probably meant."""

from __future__ import annotations

HOTTEST_FOOD = 110.0  # °C; above it food with water in it boils dry
WARMEST_AIR = 60.0
COLDEST = -60.0
WARMER_THAN_A_ROOM = 30.0  # nobody cools in it; in °F it is a fridge's figure
FREEZES = 0.0  # food freezes from about -1 °C on; cooling here ends before


def from_fahrenheit(fahrenheit: float) -> float:
    """°C."""
    return (fahrenheit - 32) / 1.8


def food_complaint(what: str, celsius: float) -> str | None:
    """What is wrong with a food's temperature, or None."""
    if not celsius <= HOTTEST_FOOD:
        return f"{what} {celsius:g} °C: food with water in it is never so hot{_hint(celsius)}"
    if celsius < COLDEST:
        return f"{what} {celsius:g} °C: no kitchen is so cold"
    if celsius < FREEZES:
        return f"{what} {celsius:g} °C: below {FREEZES:g} °C food freezes, and this reckons no ice"
    return None


def air_complaint(celsius: float) -> str | None:
    """What is wrong with the temperature of the air or water around, or None."""
    if not celsius <= WARMEST_AIR:
        return f"air {celsius:g} °C: nothing cools in air so warm{_hint(celsius)}"
    if celsius < COLDEST:
        return f"air {celsius:g} °C: no kitchen is so cold"
    return None


def _hint(celsius: float) -> str:
    meant = from_fahrenheit(celsius)
    return f"; maybe °F was meant: {meant:.0f} °C" if meant <= HOTTEST_FOOD else ""
