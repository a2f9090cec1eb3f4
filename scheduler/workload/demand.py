"""From menus to portions, and from portions to what they take.

portions = max(ceil(n (1 + m)), and for every smaller size of event u:
ceil(n u / guests × (1 + m_u))), so that a larger event never gets fewer.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.workload.amounts import ceil_of, convert
from scheduler.workload.model import PLATING

if TYPE_CHECKING:
    from scheduler.domain.kitchen import MarginBand
    from scheduler.domain.recipes import Component, Dish, Take
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import Course, Event


@dataclass(frozen=True, slots=True)
class Serving:
    """One dish batch: portions that go out at one moment.

    Attributes
    ----------
    plain, crew : int
        Portions without any margin, of all waves together: guests', and crew meals.
    begin, end : Fraction
        Which part of the dish this wave is.
    service : int
        First plate away, minutes from the horizon's start.
    """

    id: str
    event: Event
    course: int
    dish: Dish
    portions: int
    plain: int
    crew: int
    begin: Fraction
    end: Fraction
    service: int
    swap: dict[str, str]
    diet: str | None = None
    wave: int | None = None
    main: str | None = None

    def portions_at(self, margin: Fraction) -> int:
        """Portions where a component brings a margin of its own."""
        if self.diet is not None:
            return self.portions
        total = ceil_of(self.plain * (1 + margin)) + self.crew
        return _part(total, self.begin, self.end)


@dataclass(frozen=True, slots=True)
class Need:
    """What one step of one batch takes of a component, base units of the component.

    Attributes
    ----------
    latest : int
        Latest start of that step, minutes.
    events : frozenset of str
        Events it serves in the end.
    gives : str or None
        It is not the component itself that is needed, but this by-product of it.
    fresh_from : int or None
        Whatever of it has a date of use was begun no earlier, minutes.
    """

    consumer: str
    step: str
    component: str
    quantity: int
    latest: int
    within: int | None
    events: frozenset[str]
    portion: Fraction | None = None
    gives: str | None = None
    fresh_from: int | None = None


def _part(total: int, begin: Fraction, end: Fraction) -> int:
    """A wave's part: cumulative, rounded up, differences."""
    return ceil_of(total * end) - ceil_of(total * begin)


def margin_for(guests: int, bands: tuple[MarginBand, ...]) -> Fraction:
    """The margin of the smallest band that holds so many guests."""
    fitting = [b for b in bands if b.up_to is None or guests <= b.up_to]
    best = min(fitting, key=lambda b: (b.up_to is None, b.up_to or 0), default=None)
    return best.margin.part if best else Fraction(0)


def count_of(event: Event, course: Course) -> int:
    """Portions asked for, before any margin."""
    if course.count is not None:
        return course.count
    if course.share is not None:
        return ceil_of(course.share.part * event.guests)
    if course.each == "guest":
        return course.per * event.guests
    return course.per * ((event.tables or 0) if course.each == "table" else 1)


def portions_for(count: int, event: Event, bands: tuple[MarginBand, ...]) -> int:
    """Portions to make for `count` asked for, crew aside."""
    if event.margin is not None:
        return ceil_of(count * (1 + event.margin.part))
    most = ceil_of(count * (1 + margin_for(event.guests, bands)))
    for band in bands:
        if band.up_to is not None and band.up_to < event.guests:
            edge = Fraction(count * band.up_to, event.guests)
            most = max(most, ceil_of(edge * (1 + margin_for(band.up_to, bands))))
    return most


def servings(scenario: Scenario) -> list[Serving]:
    """Every dish batch of the week, in the order of events and menus; diets before the rest."""
    grid, clock = scenario.kitchen.grid, scenario.clock
    made: list[Serving] = []
    for event in scenario.week.events:
        first = clock.minute(event.first_plate)
        for place, course in enumerate(event.menu):
            dish = scenario.dish[course.dish]
            count = count_of(event, course)
            diets = sum(d.count for d in course.diets)
            normal = portions_for(count, event, scenario.kitchen.margins) - diets + course.crew
            waves = [(w.after, w.share.part) for w in course.waves] or [(0, Fraction(1))]
            base = f"{event.id}.{dish.id}"
            at = [(first + course.after + after) // grid * grid for after, _ in waves]
            mains: list[Serving] = []
            done = Fraction(0)
            for number, (_, part) in enumerate(waves):
                portions = _part(normal, done, done + part)
                if portions > 0:
                    name, wave = (f"{base}.w{number + 1}", number) if course.waves else (base, None)
                    mains.append(
                        Serving(
                            name, event, place, dish, portions, count - diets, course.crew,
                            done, done + part, at[number], {}, wave=wave,
                        )
                    )
                done += part
            for diet in course.diets:
                made.append(
                    Serving(
                        f"{base}.{diet.id}", event, place, dish, diet.count, diet.count, 0,
                        Fraction(0), Fraction(1), at[0], diet.swap, diet=diet.id,
                        main=mains[0].id if mains else None,
                    )
                )
            made += mains
    return made


def taken_by_portions(serving: Serving, take: Take, component: Component) -> tuple[int, Fraction]:
    """What a dish batch takes of a component, and what one portion takes.

    ceil(amount × portions / yield), in the component's own measure; a
    component with a margin of its own is counted on that instead of the
    event's.
    """
    portion = _edible(take, component)
    portions = (
        serving.portions
        if component.margin is None
        else serving.portions_at(component.margin.part)
    )
    return ceil_of(portion * portions), portion


def taken_by_batch(quantity: int, maker: Component, take: Take, component: Component) -> int:
    """What a batch of `quantity` takes: ceil(amount × quantity / makes / yield)."""
    return ceil_of(_edible(take, component) * quantity / maker.makes.base)


def _edible(take: Take, component: Component) -> Fraction:
    amount = convert(
        take.amount.base, take.amount.dimension, component.makes.dimension, component
    )
    return amount / (take.yield_.part if take.yield_ is not None else 1)


def takes_of(dish: Dish) -> list[tuple[str, Take]]:
    """Every input of a dish with the step that takes it."""
    return [(s.id, t) for s in dish.steps for t in s.takes] + [(PLATING, t) for t in dish.takes]


def merged(needs: list[Need]) -> list[Need]:
    """One need for each step and component: amounts added, the strictest `within`."""
    merged: dict[tuple[str, str], Need] = {}
    for need in needs:
        key = (need.step, need.component)
        old = merged.get(key)
        if old is None:
            merged[key] = need
            continue
        limits = [w for w in (old.within, need.within) if w is not None]
        portion = (old.portion or 0) + (need.portion or 0)
        fresh = [f for f in (old.fresh_from, need.fresh_from) if f is not None]
        merged[key] = Need(
            old.consumer, old.step, old.component, old.quantity + need.quantity, old.latest,
            min(limits, default=None), old.events | need.events, portion or None,  # type: ignore[arg-type]
            fresh_from=max(fresh, default=None),
        )
    return list(merged.values())
