"""A scenario while it is being checked: what could be read, and where it was written."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Annotated, Any, TypeVar
from zoneinfo import ZoneInfo

from pydantic import BaseModel, TypeAdapter, ValidationError

from scheduler.domain.base import Word
from scheduler.domain.kitchen import (
    DayPart,
    Duty,
    Equipment,
    Kitchen,
    MarginBand,
    Person,
    Section,
    Store,
    Unit,
)
from scheduler.domain.problems import MOST_SHOWN, Problem, nearest, one_of
from scheduler.domain.recipes import Component, Dish
from scheduler.domain.states import in_state, recipe_spelled_out, states_of, week_spelled_out
from scheduler.domain.times import Clock
from scheduler.domain.tree import Node, Path
from scheduler.domain.week import Delivery, Event, InProgress, OnHand, Week
from scheduler.domain.wishes import Acceptance, Wish
from scheduler.domain.wording import find, problems_of, slug, where

W = TypeVar("W", bound=BaseModel)

_NOWHEN = datetime(2000, 1, 1)
_LISTS: dict[str, dict[str, type[BaseModel]]] = {
    "kitchen": {
        "sections": Section,
        "people": Person,
        "equipment": Equipment,
        "stores": Store,
        "duties": Duty,
        "day_parts": DayPart,
        "margins": MarginBand,
    },
    "week": {
        "events": Event,
        "on_hand": OnHand,
        "in_progress": InProgress,
        "deliveries": Delivery,
        "wishes": Wish,
        "accepted": Acceptance,
    },
}


@dataclass(frozen=True)
class Known:
    """Ids that may be referred to; where one of them is spoilt, every word could be meant."""

    words: frozenset[str]
    sure: bool

    def __contains__(self, word: str) -> bool:
        return not self.sure or word in self.words

    def __iter__(self) -> Iterator[str]:
        return iter(sorted(self.words))

    def __or__(self, more: Iterable[str]) -> Known:
        return Known(self.words | frozenset(more), self.sure)


@dataclass(eq=False)
class Draft:
    """Everything that could be read, even where other parts are wrong.

    Attributes
    ----------
    root : Node
        The whole document.
    kitchen, week : Kitchen, Week
        With the entries that are in order.
    components, dishes, week
        States are components of their own, and named by id alone.
    as_written : tuple
        Components, dishes and week with states as they are written.
    whole : set of str
        Which parts could be read without a mistake: kitchen, equipment, components, dishes, week.
    paths : dict of int to Path
        Where each part was written, by the part's identity.
    """

    root: Node
    kitchen: Kitchen
    week: Week
    components: tuple[Component, ...]
    dishes: tuple[Dish, ...]
    as_written: tuple[tuple[Component, ...], tuple[Dish, ...], Week]
    whole: set[str] = field(default_factory=set)
    paths: dict[int, Path] = field(default_factory=dict)
    asked: int = 0
    """So many unknown words were met; only those that are shown are compared with others."""
    listed: dict[Path, Known] = field(default_factory=dict)
    """Ids that are written in lists; filled in by `written`."""
    named: frozenset[str] | None = None
    """Units that something names; filled in by `walks.named_units`."""

    def note(self, part: Any, path: Path) -> None:
        """Remember where a part, and everything in it, was written."""
        if isinstance(part, Word):
            node = find(self.root, path)[0]
            self.paths[id(part)] = path
            for name, info in type(part).model_fields.items():
                key = info.alias or name
                if node.child(key) is not None:
                    self.note(getattr(part, name), (*path, key))
        elif isinstance(part, tuple):
            for i, one in enumerate(part):
                if isinstance(one, Word):
                    self.note(one, (*path, i))

    def path(self, *owners: Word) -> Path:
        """Where the first of some parts that was written down stands."""
        return next((self.paths[id(o)] for o in owners if id(o) in self.paths), ())

    def problem(
        self, owner: Word | tuple[Word, ...], *inside: str | int, what: str, maybe: str = ""
    ) -> Problem:
        """A mistake in a part, or in a field of it."""
        owners = owner if isinstance(owner, tuple) else (owner,)
        node, path, _ = find(self.root, (*self.path(*owners), *inside))
        return node.problem(where(self.root, path), what, maybe)

    def key_problem(
        self, owner: Word, name: str, key: str, what: str, maybe: str = ""
    ) -> Problem:
        """A mistake in a key of a mapping."""
        node, path, _ = find(self.root, (*self.path(owner), name))
        line, column = node.keys.get(key, (node.line, node.column))
        return Problem(node.file, line, column, where(self.root, path), what, maybe)

    def unknown(
        self, owner: Word | tuple[Word, ...], *inside: str | int, kind: str, word: str,
        known: Iterable[str],
    ) -> Problem:
        """A word that names nothing."""
        self.asked += 1
        what, meant = f"unknown {kind} '{word}'", ""
        if self.asked <= MOST_SHOWN:
            there = list(known)
            meant = nearest(word, there)
            what += "" if meant else f"; there are: {one_of(there)}"
        return self.problem(owner, *inside, what=what, maybe=meant and f"'{meant}'")

    def written(self, *path: str) -> Known:
        """Ids written in a list, whether or not the rest of the entry is in order."""
        if path not in self.listed:
            self.listed[path] = self._written(path)
        known = self.listed[path]
        return known | {c.id for c in self.components} if path == ("components",) else known

    def _written(self, path: Path) -> Known:
        node = self.root.at(path)
        if node is None:
            return Known(frozenset(), sure=True)
        named = [entry.child("id") for _, entry in node.items()]
        words = frozenset(str(n.value) for n in named if n is not None and n.value is not None)
        sure = isinstance(node.value, list) and all(
            n is not None and isinstance(n.value, str) and slug(n.value) == n.value for n in named
        )
        return Known(words, sure)

    @cached_property
    def component(self) -> dict[str, Component]:
        """Components by id."""
        return {c.id: c for c in self.components}

    @cached_property
    def dish(self) -> dict[str, Dish]:
        """Dishes by id."""
        return {d.id: d for d in self.dishes}

    @cached_property
    def kind(self) -> dict[str, Equipment]:
        """Kinds of equipment by id."""
        return {e.id: e for e in self.kitchen.equipment}

    @cached_property
    def unit(self) -> dict[str, tuple[Equipment, Unit]]:
        """Units by id, each with its kind."""
        return {u.id: (e, u) for e in self.kitchen.equipment for u in e.each}

    @cached_property
    def zones(self) -> dict[str, list[Store]]:
        """Stores by zone."""
        found = defaultdict(list)
        for store in self.kitchen.stores:
            found[store.zone].append(store)
        return dict(found)

    def units_of(self, name: str) -> list[tuple[Equipment, Unit]]:
        """The units of a kind, or the one unit of that name; none if unknown."""
        return self._units.get(name, [])

    @cached_property
    def _units(self) -> dict[str, list[tuple[Equipment, Unit]]]:
        found = {name: [unit] for name, unit in self.unit.items()}
        return found | {e.id: [(e, u) for u in e.each] for e in self.kitchen.equipment}

    @cached_property
    def clock(self) -> Clock | None:
        """The week's clock, where zone and moments are in order."""
        try:
            ZoneInfo(self.kitchen.zone)
        except (ValueError, OSError, KeyError):
            return None
        if self.week.starts == _NOWHEN:
            return None
        return Clock(self.kitchen.zone, self.week.starts, self.week.ends)


def draft_of(root: Node) -> tuple[Draft, list[Problem]]:
    """Read what can be read; return it with the mistakes in the rest."""
    problems: list[Problem] = []
    noted: list[tuple[Any, Path]] = []

    def read(model: type[W], path: Path) -> W | None:
        node = root.at(path)
        if node is None:
            return None
        try:
            part = model.model_validate(node.plain())
        except ValidationError as error:
            problems.extend(problems_of(error, model, node, root, path))
            return None
        noted.append((part, path))
        return part

    def entries(model: type[W], *path: str) -> tuple[W, ...]:
        node = root.at(path)
        places = [i for i, _ in node.items()] if node is not None else []
        return tuple(e for i in places if (e := read(model, (*path, i))) is not None)

    whole: set[str] = set()
    kitchen = read(Kitchen, ("kitchen",))
    week = read(Week, ("week",))
    whole |= {n for n, p in (("kitchen", kitchen), ("week", week)) if p is not None}
    found = list(problems)
    salvaged = _salvage(root, entries, kitchen, week)
    problems[:] = found
    as_written = entries(Component, "components"), entries(Dish, "dishes"), salvaged[1]
    draft = Draft(root, *salvaged, *as_written[:2], as_written, whole)
    lists: tuple[tuple[int, Path], ...] = (
        (len(draft.kitchen.equipment), ("kitchen", "equipment")),
        (len(draft.components), ("components",)),
        (len(draft.dishes), ("dishes",)),
    )
    for read_so_many, there in lists:
        node = root.at(there)
        if node is None or (isinstance(node.value, list) and len(node.value) == read_so_many):
            whole.add(str(there[-1]))
    for part, path in noted:
        draft.note(part, path)
    # What was salvaged stands there as well; its entries have been noted one by one.
    draft.paths |= {id(draft.kitchen): ("kitchen",), id(draft.week): ("week",)}
    _spell_out(draft)
    return draft, problems


def _spell_out(draft: Draft) -> None:
    """States become components of their own; where everything is written stays known."""
    components, dishes, week = draft.as_written
    states = states_of(components)
    if not states:
        return
    draft.components = ()
    for component in components:
        path = draft.paths[id(component)]
        for one, there in (
            (component, path),
            *((in_state(component, s), (*path, "states", i))
              for i, s in enumerate(component.states)),
        ):  # fmt: skip
            meant = recipe_spelled_out(one, states)
            draft.components += (meant,)
            draft.note(meant, there)
            for take in meant.steps[0].takes if there != path else ():
                draft.paths.setdefault(id(take), there)
    draft.dishes = tuple(recipe_spelled_out(d, states) for d in dishes)
    draft.week = week_spelled_out(week, dishes, states)
    for new, old in zip((*draft.dishes, draft.week), (*dishes, week), strict=True):
        if new is not old:
            draft.note(new, draft.paths.get(id(old), ("week",)))


def _salvage(
    root: Node, entries: Any, kitchen: Kitchen | None, week: Week | None
) -> tuple[Kitchen, Week]:
    """The kitchen and the week with those of their parts that are in order."""
    if kitchen is None:
        raw = root.at(("kitchen", "zone"))
        zone = {"zone": str(raw.value) if raw is not None else ""}
        kitchen = Kitchen.model_construct(**_parts(root, "kitchen", Kitchen, entries) | zone)
    if week is None:
        parts = _parts(root, "week", Week, entries)
        when = [parts.get(n, _NOWHEN) for n in ("starts", "plan_from", "ends")]
        if not when[0] <= when[1] < when[2] or _NOWHEN in when or (when[2] - when[0]).days > 62:
            when = [_NOWHEN] * 3
        parts |= dict(zip(("starts", "plan_from", "ends"), when, strict=True))
        week = Week.model_construct(**parts)
    return kitchen, week


def _parts(root: Node, name: str, model: type[BaseModel], entries: Any) -> dict[str, Any]:
    parts: dict[str, Any] = {"id": name}
    for key, info in model.model_fields.items():
        node = root.at((name, key))
        if key in _LISTS[name]:
            if node is not None or info.is_required():
                parts[key] = entries(_LISTS[name][key], name, key)
        elif node is not None:
            with suppress(ValidationError):
                written: Any = Annotated[info.annotation, info]
                parts[key] = TypeAdapter(written).validate_python(node.plain())
    if 60 % max(1, parts.get("grid", 5)):
        del parts["grid"]
    return parts
