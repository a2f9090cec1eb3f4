"""Is what comes raw cooked before it is served? Core temperatures against the profile."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.celsius import write_celsius
from scheduler.domain.cooked import asked, enough, goes_on
from scheduler.domain.limits import Roasts
from scheduler.domain.methods import variants
from scheduler.domain.profiles import class_of, profile_of
from scheduler.domain.recipes import Dish
from scheduler.domain.times import write_duration
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.food_class import FoodClass
    from scheduler.domain.judging import Cooked
    from scheduler.domain.jurisdiction import Profile
    from scheduler.domain.limits import Core
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario

RULE = "cooking"
_ORDER = (Standing.FINE, Standing.NEAR, Standing.BROKEN)


@dataclass(frozen=True, slots=True)
class Reached:
    """How the hottest core on the way to a plate stands against a limit."""

    standing: Standing
    said: str
    source: str


def cooking(scenario: Scenario) -> Iterator[Finding]:
    """Every component of a raw class: by its own steps, or by those of what takes it.

    Every way from it to a plate must pass a step whose core gets hot enough
    for long enough; nothing is said of what no dish takes.
    """
    profile = profile_of(scenario.kitchen)
    if profile is None:
        return
    for component in scenario.components:
        of = class_of(component)
        if of is None or not of.raw or of.served_raw or goes_on(scenario.component, component):
            continue
        name, ways = component.name or component.id, list(_ways(scenario, component, of, profile))
        if ways and not profile.food.cook(of.cook):
            yield Finding(Standing.UNKNOWN, RULE, name, _nobody_says(of, profile))
            continue
        for way in ways:
            yield _finding(name, way, of, profile)


def _nobody_says(of: FoodClass, profile: Profile) -> str:
    why = profile.absent.get(f"cook_{of.cook}", "")
    return f"{of.name}: how hot at the core? {why}"


def _finding(name: str, way: Way, of: FoodClass, profile: Profile) -> Finding:
    limit, frozen = profile.food.cook(of.cook), profile.food.parasites
    assert limit is not None
    where = f"{name} in {way.on}" if way.on else name
    if way.reached is not None:
        broken = way.reached.standing is Standing.BROKEN
        return Finding(
            way.reached.standing, RULE, where, way.reached.said, way.reached.source,
            broken and limit.hard,
        )  # fmt: skip
    if of.parasites and frozen is not None:
        said = (
            "no step says a core temperature; served raw or cured it is frozen first against "
            f"parasites, {frozen}, but for kinds and farms that the code lets off: `food_class` "
            "fish-served-raw or fish-let-off says which it is"
        )
        return Finding(Standing.NOTE, RULE, where, said, frozen.source)
    said = f"no step says a core temperature (`core`), at least {limit}"
    return Finding(Standing.UNKNOWN, RULE, where, said, limit.source)


@dataclass(frozen=True, slots=True)
class Way:
    """From a raw component to a plate: by which dish (none: cooked before), and how hot."""

    on: str
    reached: Reached | None


def _ways(
    scenario: Scenario, component: Component, of: FoodClass, profile: Profile
) -> Iterator[Way]:
    """Its own steps where they do in every method; otherwise every dish it gets to."""
    limit, roasts = profile.food.cook(of.cook), profile.food.roasts if of.roast else None
    own = [_best(made.steps, limit, roasts) for made in variants(component)]
    if all(one is not None and one.standing is not Standing.BROKEN for one in own):
        yield Way("", _worst(own))
        return
    before = _worst(own)
    told: dict[str, Reached | None] = {}
    open_: list[tuple[str, Reached | None]] = [(component.id, before)]
    seen: set[str] = set()
    while open_:
        name, so_far = open_.pop()
        if name in seen:
            continue
        seen.add(name)
        for recipe, steps in taking(scenario, name):
            reached = _better(so_far, _best(steps, limit, roasts))
            enough = reached is not None and reached.standing is not Standing.BROKEN
            if isinstance(recipe, Dish) or enough:
                on = recipe.name or recipe.id
                told[on] = _worst([told[on], reached]) if on in told else reached
            else:
                open_.append((recipe.id, reached))
    for on, reached in told.items():
        yield Way(on, reached)


def taking(scenario: Scenario, name: str) -> Iterator[tuple[Component | Dish, tuple[Step, ...]]]:
    """Every recipe that takes a component, in each way it is made, from the step that takes it.

    Also the dishes in which a diet swaps it in.
    """
    for component in scenario.components:
        for made in variants(component):
            yield from _from_step(made, {name})
    for dish in scenario.dishes:
        names = {name} | {
            old
            for event in scenario.week.events
            for course in event.menu
            if course.dish == dish.id
            for diet in course.diets
            for old, new in diet.swap.items()
            if new == name
        }
        for variant in variants(dish):
            found = list(_from_step(variant, names))
            if not found and any(t.component in names for t in dish.takes):
                found = [(variant, ())]
            yield from found


def _from_step(
    recipe: Component | Dish, names: set[str]
) -> Iterator[tuple[Component | Dish, tuple[Step, ...]]]:
    for n, step in enumerate(recipe.steps):
        if any(t.component in names for t in step.takes):
            yield recipe, recipe.steps[n:]
            return


def _best(steps: Iterable[Step], limit: Core | None, roasts: Roasts | None) -> Reached | None:
    """The step that does most; None where none says a core temperature."""
    best: Reached | None = None
    for step in steps:
        if step.core is not None and limit is not None:
            best = _better(best, against(step.core, limit, roasts))
    return best


def _better(one: Reached | None, other: Reached | None) -> Reached | None:
    found = [x for x in (one, other) if x is not None]
    return min(found, key=lambda x: _ORDER.index(x.standing), default=None)


def _worst(some: Iterable[Reached | None]) -> Reached | None:
    """Nothing said is worse than anything that is enough, and better known than what is not."""
    found = list(some)
    broken = [x for x in found if x is not None and x.standing is Standing.BROKEN]
    if broken or None in found:
        return broken[0] if broken else None
    return max((x for x in found if x), key=lambda x: _ORDER.index(x.standing), default=None)


def against(core: Cooked, limit: Core, roasts: Roasts | None = None) -> Reached:
    """A core temperature and how long it is held, against a limit and the table of whole roasts.

    Where no time is written, less than a minute is not taken for broken, but told.
    """
    held, said = core.for_ * 60, f"{write_celsius(core.at)} at the core"
    said += f" for {write_duration(core.for_)}" if core.for_ else ""
    found = asked(core.at, limit, roasts)
    if found is None:
        least = f"{limit}"
        if limit.also:
            first = limit.also[0]
            least += f", or {write_celsius(first.core)} for {_long(first.seconds)} and up"
        if roasts is not None:
            first = roasts.rows[0]
            least += f", or {write_celsius(first.core)} for {_long(first.seconds)} and up"
        return Reached(Standing.BROKEN, f"{said}, at least {least}", limit.source)
    seconds, source = found[0], found[1].source
    if held >= seconds:
        least = f"; at least {_long(seconds)} at that" if seconds else ""
        return Reached(Standing.FINE, f"{said}{least}", source)
    if enough(core, limit, roasts):
        said += f", which must last {_long(seconds)}; no step says for how long (`for`)"
        return Reached(Standing.NEAR, said, source)
    return Reached(Standing.BROKEN, f"{said}, at least {_long(seconds)} at that", source)


def _long(seconds: int) -> str:
    """Seconds below two minutes and a half, minutes rounded up from there on."""
    return f"{seconds} s" if seconds < 150 else write_duration(-(-seconds // 60))

