"""A checked scenario: the kitchen, the recipes and the week, as one value."""

from __future__ import annotations

import hashlib
import json
from functools import cached_property
from typing import Any

from pydantic import ConfigDict, Field, PrivateAttr

from scheduler.domain.base import SCHEMA, Slug, Word
from scheduler.domain.containing import Content, contents
from scheduler.domain.kitchen import Equipment, Kitchen, Person, Store, Unit
from scheduler.domain.limits import FoodLimits
from scheduler.domain.recipes import Component, Dish
from scheduler.domain.states import (
    recipe_spelled_out,
    spelled_out,
    states_of,
    week_spelled_out,
)
from scheduler.domain.times import Clock
from scheduler.domain.week import Event, Week


class Scenario(Word):
    """Everything the chef has written. Look-ups by id; no behaviour.

    States stand among the components, each after the component it is of, and
    are named by id alone; `document` has them as they were written.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, ignored_types=(cached_property,))

    schema_: int = Field(default=SCHEMA, alias="schema", description="Version of the format.")
    kitchen: Kitchen = Field(description="The kitchen.")
    components: tuple[Component, ...] = Field(default=(), description="Components.")
    dishes: tuple[Dish, ...] = Field(min_length=1, description="Dishes.")
    week: Week = Field(description="The week.")
    _written: Scenario | None = PrivateAttr(default=None)

    @classmethod
    def of(
        cls,
        kitchen: Kitchen,
        components: tuple[Component, ...],
        dishes: tuple[Dish, ...],
        week: Week,
    ) -> Scenario:
        """A scenario from its parts as they are written."""
        written = cls(kitchen=kitchen, components=components, dishes=dishes, week=week)
        states = states_of(components)
        if not states:
            return written
        meant = cls(
            kitchen=kitchen,
            components=tuple(recipe_spelled_out(c, states) for c in spelled_out(components)),
            dishes=tuple(recipe_spelled_out(d, states) for d in dishes),
            week=week_spelled_out(week, dishes, states),
        )
        meant._written = written
        return meant

    @cached_property
    def clock(self) -> Clock:
        """Wall clock to minutes and back, for this week in this kitchen."""
        return Clock(self.kitchen.zone, self.week.starts, self.week.ends)

    @cached_property
    def component(self) -> dict[Slug, Component]:
        """Components by id."""
        return {c.id: c for c in self.components}

    @cached_property
    def contents(self) -> dict[Slug, Content]:
        """Allergens of every component, by id."""
        return contents(self.components)

    @cached_property
    def dish(self) -> dict[Slug, Dish]:
        """Dishes by id."""
        return {d.id: d for d in self.dishes}

    @cached_property
    def event(self) -> dict[Slug, Event]:
        """Events by id."""
        return {e.id: e for e in self.week.events}

    @cached_property
    def person(self) -> dict[Slug, Person]:
        """People by id."""
        return {p.id: p for p in self.kitchen.people}

    @cached_property
    def equipment(self) -> dict[Slug, Equipment]:
        """Kinds of equipment by id."""
        return {e.id: e for e in self.kitchen.equipment}

    @cached_property
    def unit(self) -> dict[Slug, tuple[Equipment, Unit]]:
        """Units by id, each with its kind."""
        return {u.id: (e, u) for e in self.kitchen.equipment for u in e.each}

    @cached_property
    def store(self) -> dict[Slug, Store]:
        """Stores by id."""
        return {s.id: s for s in self.kitchen.stores}

    def units_of(self, kind_or_unit: Slug) -> tuple[tuple[Equipment, Unit], ...]:
        """The units a need may use: all of a kind, or the one that is named."""
        if kind_or_unit in self.equipment:
            kind = self.equipment[kind_or_unit]
            return tuple((kind, u) for u in kind.each)
        return (self.unit[kind_or_unit],)

    def under(self, rule_profile: str) -> Scenario:
        """The same week under another rule profile, as that is published."""
        written = self._written or self
        kitchen = written.kitchen.model_copy(
            update={"rule_profile": rule_profile, "own_limits": FoodLimits(), "confirmed": {}}
        )
        return Scenario.of(kitchen, written.components, written.dishes, written.week)

    def document(self) -> dict[str, Any]:
        """The scenario as plain data, as written: ready for JSON or YAML."""
        written = self._written or self
        return written.model_dump(mode="json", by_alias=True, exclude_defaults=True) | {
            "schema": self.schema_
        }

    def canonical(self) -> str:
        """Canonical JSON: sorted keys, no spaces, UTF-8."""
        return json.dumps(
            self.document(), sort_keys=True, separators=(",", ":"), ensure_ascii=False
        )

    def sha256(self) -> str:
        """SHA-256 of the canonical JSON, in hex."""
        return hashlib.sha256(self.canonical().encode()).hexdigest()
