"""Foods, ways to cool them and pans to start from, each with its evidence: to be replaced."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from scheduler.heat.composition import Composition


@dataclass(frozen=True, slots=True)
class Food:
    """A food by what it is made of."""

    name: str
    composition: Composition
    evidence: str


@dataclass(frozen=True, slots=True)
class Method:
    """Where something cools: air or water at `air` °C, with a film of `film` W/m²K."""

    name: str
    air: float
    film: float
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class Pan:
    """A pan by the litres that two depths of it hold, 65 and 100 mm, and the deepest there is."""

    name: str
    at_65: float
    at_100: float
    deepest: int
    evidence: str

    @property
    def mm_holds(self) -> Fraction:
        """What a millimetre of depth holds, ml: by the difference, so without rim and corners."""
        more = Fraction(str(self.at_100)) - Fraction(str(self.at_65))
        return 1000 * more / 35


@cache
def foods() -> Mapping[str, Food]:
    """All of them by their id, as in `foods.json`."""
    found = {}
    for key, row in _read("foods.json").items():
        name, evidence = row.pop("name"), row.pop("evidence")
        found[key] = Food(name, Composition(**row), evidence)
    return MappingProxyType(found)


@cache
def methods() -> Mapping[str, Method]:
    """All of them by their id, as in `methods.json`."""
    return MappingProxyType({key: Method(**row) for key, row in _read("methods.json").items()})


@cache
def pans() -> Mapping[str, Pan]:
    """All of them by their id, as in `pans.json`."""
    return MappingProxyType({key: Pan(**row) for key, row in _read("pans.json").items()})


def _read(name: str) -> dict[str, dict[str, Any]]:
    text = files("scheduler.heat").joinpath(name).read_text(encoding="utf-8")
    read: dict[str, dict[str, Any]] = json.loads(text)
    return read
