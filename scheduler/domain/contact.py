"""What one thing leaves on a machine, and which of it the next must not get.

Where a clean-down is due between the two by the kitchen's own rule (`residue.py`) nothing is
left. Here is the rest: what meets because nothing is cleaned.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from scheduler.domain.allergens import clash, wider
from scheduler.domain.containing import Content, on_the_plate, parts
from scheduler.domain.methods import variants
from scheduler.domain.profiles import food_classes
from scheduler.domain.recipes import Component, Dish
from scheduler.domain.residue import UNWRITTEN, left_behind, told

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.recipes import Need, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import Diet, Event

Kind = Literal["diet", "raw", "not known", "allergens"]


@dataclass(frozen=True)
class Maker:
    """A component, a dish, or a diet's plates of one, that is on a machine.

    Attributes
    ----------
    raw : bool
        Its own steps have not cooked it when it is there.
    """

    recipe: Component | Dish
    diet: Diet | None = None
    raw: bool = True

    @property
    def key(self) -> tuple[bool, str, str]:
        """The same recipe for the same guests."""
        diet = self.diet.id if self.diet is not None else ""
        return isinstance(self.recipe, Dish), self.recipe.id, diet

    @property
    def name(self) -> str:
        """For people."""
        name = self.recipe.name or self.recipe.id
        return f"{name}, {self.diet.id}" if self.diet is not None else name


@dataclass(frozen=True)
class Meeting:
    """What gets into something that must be free of it; for whom, where it is a diet."""

    kind: Kind
    what: str
    guests: str = ""


class Contact:
    """Who leaves what for whom, by the words of one week."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self._left: dict[tuple[object, ...], frozenset[str]] = {}
        self._raw = {one.id for one in food_classes().values() if one.raw}

    def meetings(self, one: Maker, two: Maker) -> Iterator[Meeting]:
        """What the first leaves that the second must be free of, if nobody cleans in between."""
        lost = self._leaves(one) - self._leaves(two)
        if one.key == two.key or not lost:
            return
        raw = lost & self._raw
        if raw and one.raw:
            yield Meeting("raw", told(raw & self._classes(one) or raw))
        unwritten = {word for word in lost if word.startswith(UNWRITTEN)}
        guests = self._guests[two.key]
        allergens = lost - self._raw - unwritten
        for diet, event in guests:
            found = {w for free in diet.free_of for w in clash(allergens, free)}
            who = f"{diet.count} {diet.id} guests ({event.name or event.id})"
            if found:
                yield Meeting("diet", told(found), who)
            if unwritten and diet.free_of:
                yield Meeting("not known", told(unwritten), who)
        may = self._content(two).may
        rest = {w for w in allergens if not wider(w) & may}
        if rest:
            yield Meeting("allergens", told(rest))

    def cleaned(self, kind: Equipment, one: Maker, two: Maker) -> bool:
        """Is a clean-down due between the two, by the kitchen's own rule?"""
        rule = kind.clean_down
        if rule is None:
            return False
        before = left_behind(self.scenario, rule.between, one.recipe, one.diet)
        return not before <= left_behind(self.scenario, rule.between, two.recipe, two.diet)

    def makers(self) -> Iterator[tuple[Maker, Need]]:
        """Everybody who takes something, in any method, with the need."""
        for component in self.scenario.components:
            for made in variants(component):
                yield from self._steps(component, made.steps, None)
        for dish in self.scenario.dishes:
            of = [d for d, _ in self._diets(dish.id)]
            for diet in (None, *of):
                for plated in variants(dish):
                    yield from self._steps(dish, plated.steps, diet)
                yield from ((Maker(dish, diet, raw=False), need) for need in dish.plating.on)

    def _steps(
        self, recipe: Component | Dish, steps: tuple[Step, ...], diet: Diet | None
    ) -> Iterator[tuple[Maker, Need]]:
        for step in steps:
            maker = Maker(recipe, diet, raw=not cooked(steps, step))
            for visit in (None, step.load, step.unload, *step.tend, *step.add):
                needs = step.on if visit is None else visit.on
                yield from ((maker, need) for need in needs if need.equipment is not None)

    def _content(self, maker: Maker) -> Content:
        if isinstance(maker.recipe, Component):
            return self.scenario.contents[maker.recipe.id]
        swap = maker.diet.swap if maker.diet is not None else None
        return on_the_plate(self.scenario, maker.recipe, swap)

    def _classes(self, maker: Maker) -> set[str]:
        """What is in it by class; what is cooked less hot may not follow either, and is not it."""
        swap = maker.diet.swap if maker.diet is not None else None
        of, recipe = self.scenario.component, maker.recipe
        names = [recipe.id] if isinstance(recipe, Component) else parts(recipe, swap)
        return {of[name].food_class or "" for name in names}

    def _leaves(self, maker: Maker) -> frozenset[str]:
        if maker.key not in self._left:
            found = left_behind(self.scenario, "allergens", maker.recipe, maker.diet)
            self._left[maker.key] = found
        return self._left[maker.key]

    def _diets(self, dish: str) -> Iterator[tuple[Diet, Event]]:
        for event in self.scenario.week.events:
            for course in event.menu:
                if course.dish == dish:
                    yield from ((diet, event) for diet in course.diets)

    @cached_property
    def _guests(self) -> dict[tuple[bool, str, str], list[tuple[Diet, Event]]]:
        """On whose plates everything goes, through all that it goes into."""
        found: dict[tuple[bool, str, str], list[tuple[Diet, Event]]] = {
            Maker(c).key: [] for c in self.scenario.components
        }
        into = self._into
        for dish in self.scenario.dishes:
            found[Maker(dish).key] = []
            for diet, event in self._diets(dish.id):
                found.setdefault(Maker(dish, diet).key, []).append((diet, event))
                todo, seen = parts(dish, diet.swap), set[str]()
                while todo:
                    name = todo.pop()
                    if name in seen or name not in self.scenario.component:
                        continue
                    seen.add(name)
                    todo += into.get(name, ())
                    mine = found[Maker(self.scenario.component[name]).key]
                    if (diet, event) not in mine:
                        mine.append((diet, event))
        return found

    @cached_property
    def _into(self) -> dict[str, set[str]]:
        """What goes into each component, in every method; what gives a by-product too."""
        found: dict[str, set[str]] = {}
        for component in self.scenario.components:
            for made in variants(component):
                for step in made.steps:
                    taken = {t.component for t in step.takes if t.component is not None}
                    found.setdefault(component.id, set()).update(taken)
                    for gives in step.gives:
                        found.setdefault(gives.component, set()).add(component.id)
        return found


def cooked(steps: tuple[Step, ...], step: Step) -> bool:
    """Has it been cooked by its own steps when this one is over?"""
    names = [s.id for s in steps]
    return any(s.core is not None for s in steps[: names.index(step.id) + 1])


def mend(kind: Equipment) -> str:
    """What would keep the two apart."""
    if kind.clean_down is not None:
        return "its `clean_down` goes by `leaves`, which are alike; `between: allergens` mends it"
    if any((unit.capacity or 1) > 1 or unit.holds for unit in kind.each):
        return "places as units of their own, with a `clean_down` (between: allergens), mend it"
    return "a `clean_down` (between: allergens) or a unit of its own mends it"
