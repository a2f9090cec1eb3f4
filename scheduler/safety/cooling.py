"""Cooling: what a step is reckoned to take, against the limits and against what is written.

An estimate is never a certificate, so a limit broken by it is reported and not
enforced. Enforced is the recipe's own word: a written time (or an estimate
that the recipe has made its time) longer than the limit allows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import floor
from typing import TYPE_CHECKING

from scheduler.domain.celsius import fahrenheit_meant, write_celsius
from scheduler.domain.choices import choices
from scheduler.domain.cooled import (
    Longest,
    cooked,
    limit_at,
    limit_of,
    longest,
    matters,
)
from scheduler.domain.cooling import NOISE, CoolDown, between, estimate, physics, whole
from scheduler.domain.kept import step_kept, zone_kept
from scheduler.domain.limits import Fall, FoodLimits
from scheduler.domain.methods import variants
from scheduler.domain.profiles import controlled, food_limits, profile_of
from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import Component
from scheduler.domain.times import write_duration
from scheduler.heat.cooling import Never
from scheduler.plan.audit.amounts import length
from scheduler.plan.audit.cooling import Clocks, cooled, lasts, too_long
from scheduler.plan.audit.facts import Facts
from scheduler.safety.cooling_rows import Chain, chains, own_length, planned
from scheduler.safety.cooling_starts import RULE, starts
from scheduler.safety.finding import Finding, Standing, against
from scheduler.safety.remedies import remedies

if TYPE_CHECKING:
    from scheduler.domain.recipes import Dish, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

RECORD = "the probe's record decides"
UNMEASURED = "a film coefficient that nobody has measured here"


def cooling(scenario: Scenario) -> Iterator[Finding]:
    """Every cooling step against its limit and its written time; what is cooked and not cooled."""
    limits = food_limits(scenario.kitchen)
    for component in scenario.components:
        if controlled(component):
            found = [f for made in variants(component) for f in _recipe(scenario, made, limits)]
            yield from dict.fromkeys(found)  # methods may have steps in common
    for dish in scenario.dishes:
        found = [f for made in variants(dish) for f in _recipe(scenario, made, limits)]
        yield from dict.fromkeys(found)


def _recipe(
    scenario: Scenario, made: Component | Dish, limits: FoodLimits
) -> Iterator[Finding]:
    """What is found in one way of making something."""
    name = made.name or made.id
    told: set[int] = set()
    for chain in chains(scenario, made, limits):
        if not matters(scenario, made, chain.first):
            continue
        yield from _limit(scenario, name, made, chain, limits)
        yield from _in_a_row(scenario, name, made, chain, limits)
        for step in chain.steps[chain.own :] if chain.first not in told else ():
            yield from _written(scenario, name, made, step)
        told.add(chain.first)
    yield from starts(scenario, name, made, limits)
    if isinstance(made, Component):
        yield from _not_said(scenario, name, made, limits)


def cooling_planned(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """What a plan gives a cooling step, against its limit and against what is reckoned."""
    facts = Facts(scenario, plan)
    clocks = Clocks(facts)
    for making, stage, task in cooled(facts):
        maker, step = making.component or making.dish, stage.step
        if maker is None or step is None or not matters(scenario, maker, stage.index):
            continue
        where = f"{maker.name or maker.id}, {step.name or step.id} ({task.id})"
        takes = lasts(facts, making, stage, task)
        most = _longest(scenario, maker, step)
        if most is not None:
            standing = against(takes, most.minutes)
            said = too_long(takes, most).partition(": ")[0] + f", for {most.fall}"
            yield Finding(standing, RULE, where, said, most.limit.source, most.limit.hard)
        over = most is not None and takes > most.minutes
        for row in clocks.rows(making, task) if not over else ():
            standing = Standing.BROKEN if row.over else against(row.minutes, row.fall.within)
            yield Finding(standing, RULE, where, str(row), row.limit.source, row.limit.hard)
        yield from _shorter(where, step, takes, "planned")


def _longest(scenario: Scenario, made: Component | Dish, step: Step) -> Longest | None:
    """As `longest_of`, also where the limit is only told."""
    limit = limit_at(scenario, made, step.id)
    if limit is None or step.cooling is None:
        return None
    return longest(step.cooling, limit)


def _where(name: str, step: Step) -> str:
    return f"{name}, {step.name or step.id}"


def _named(name: str, chain: Chain) -> str:
    return f"{name}, {' and '.join(chain.names)}"


def _how(cool: CoolDown) -> str:
    return f"{cool.how_thick}, {cool.place}"


def _limit(
    scenario: Scenario, name: str, made: Component | Dish, chain: Chain, limits: FoodLimits
) -> Iterator[Finding]:
    """The estimate against every window of the limit."""
    where, cools = _named(name, chain), chain.cools
    limit = limit_of(scenario, made.steps, chain.first, limits)
    how = "; then ".join(_how(c) for c in cools)
    if limit is None:
        yield _no_limit(scenario, where, made, chain, how, limits)
        return
    parts: list[str] = []
    worst = Standing.FINE
    for fall in limit.windows:
        standing, said = _window(chain, fall)
        worst = min(worst, standing, key=list(Standing).index)
        parts.append(said)
    said = f"{how}: {'; '.join(parts)}"
    if cools[0].start < max(f.start for f in limit.windows):
        said += f"; counted from {write_celsius(cools[0].start)}, where it starts"
    meant = fahrenheit_meant(cools[-1].end, 0, floor(min(f.end for f in limit.windows)))
    if meant is not None:
        said += f". It ends at {write_celsius(cools[-1].end)}: maybe °F was meant, "
        said += write_celsius(meant)
    if worst in (Standing.BROKEN, Standing.NEAR):
        said += f". {remedies(cools, limit.windows, _time(chain))}"
    said += f". {_caution(cools)}"
    enforced = worst is Standing.BROKEN and limit.hard and any(
        s.cooling is not None and s.cooling.sets_time and _over(scenario, made, s)
        for s in chain.steps
    )
    yield Finding(worst, RULE, where, said, limit.source, enforced)


def _time(chain: Chain) -> Callable[[Fall], float | Never]:
    return lambda fall: chain.time(fall, no_ice=True)


def _window(chain: Chain, fall: Fall) -> tuple[Standing, str]:
    there = f"{write_celsius(fall.start)} to {write_celsius(fall.end)}"
    allowed = f"{write_duration(fall.within)} allowed"
    taken = chain.time(fall)
    if isinstance(taken, Never):
        return Standing.BROKEN, f"it {taken} ({allowed} for {there})"
    minutes, ends = whole(taken), chain.cools[-1].end
    said = f"{there} in about {write_duration(minutes)}, {allowed}"
    if ends > fall.end:
        reached = f"about {write_duration(minutes)} to {write_celsius(ends)}"
        if minutes > fall.within:
            return Standing.BROKEN, f"{there}: {reached} already, {allowed}"
        rest = f"nobody says how it gets from there to {write_celsius(fall.end)}"
        return Standing.UNKNOWN, f"{there}: {reached}, {allowed}; {rest}"
    standing = against(minutes, fall.within)
    if standing is Standing.FINE and chain.freezes:
        most = chain.time(fall, no_ice=True)
        if isinstance(most, Never) or whole(most) > fall.within:
            return Standing.NEAR, said
    return standing, said


def _no_limit(
    scenario: Scenario,
    where: str,
    made: Component | Dish,
    chain: Chain,
    how: str,
    limits: FoodLimits,
) -> Finding:
    """Told all the same: how long it is reckoned to take, and why there is no limit."""
    profile = profile_of(scenario.kitchen)
    absent = profile.absent if profile is not None else {}
    was_cooked = cooked(scenario, made.steps, chain.first, limits)
    why = absent.get("cooling" if was_cooked else "cooling_mixed", "the profile has none")
    said = []
    for cool in chain.cools:
        taken = estimate(cool)
        there = f"{write_celsius(cool.start)} to {write_celsius(cool.end)}"
        if isinstance(taken, Never):
            return Finding(Standing.BROKEN, RULE, where, f"{how}: it {taken}")
        said.append(f"{there} in about {write_duration(taken)}")
    told = f"{how}: {', '.join(said)}; no limit here: {why}. {_caution(chain.cools)}"
    return Finding(Standing.NOTE, RULE, where, told)


def _caution(cools: Sequence[CoolDown]) -> str:
    """What to know before relying on it."""
    frozen = [c for cool in cools for c in physics(cool).cautions()[1:]]
    guessed = f" with {UNMEASURED}" if any(c.film is None for c in cools) else ""
    return "; ".join([f"An estimate{guessed}: {RECORD}", *dict.fromkeys(frozen)])


def _over(scenario: Scenario, made: Component | Dish, step: Step) -> Longest | None:
    """The limit that the shortest time a step can be planned for is over."""
    most = _longest(scenario, made, step)
    so_long = planned(scenario, made, step)
    return most if most is not None and so_long > most.minutes else None


def _in_a_row(
    scenario: Scenario, name: str, made: Component | Dish, chain: Chain, limits: FoodLimits
) -> Iterator[Finding]:
    """Written times of several steps on one clock, over the limit together."""
    limit = limit_of(scenario, made.steps, chain.first, limits)
    for fall in limit.windows if limit is not None and len(chain.steps) > 1 else ():
        minutes = chain.written(fall)
        if limit is not None and minutes > fall.within + NOISE:
            said = (
                f"{' and '.join(write_duration(m) for m in chain.lasts)} in a row as written: "
                f"{write_duration(whole(minutes))} at least for {fall}"
            )
            where = _named(name, chain)
            yield Finding(Standing.BROKEN, RULE, where, said, limit.source, limit.hard)


def _written(
    scenario: Scenario, name: str, made: Component | Dish, step: Step
) -> Iterator[Finding]:
    """The written time: over the limit by itself, or shorter than can be."""
    cool = step.cooling
    if cool is None:
        return
    where = _where(name, step)
    most = _over(scenario, made, step)
    if most is not None:
        there = f"{write_celsius(cool.start)} to {write_celsius(cool.end)}"
        own, so_long = own_length(made, step), planned(scenario, made, step)
        fits = own <= most.minutes
        if cool.sets_time and not fits and any(
            whole(taken) > fall.within
            for fall in most.limit.windows
            if not isinstance(taken := between(cool, fall.start, fall.end), Never)
        ):
            return  # Said with the estimate.
        word = f"written, {write_duration(so_long)} as planned" if fits else "written"
        said = (
            f"{write_duration(own)} {word} for {there}, at most "
            f"{write_duration(most.minutes)} for {most.fall}"
        )
        said += f"; {most.grid_adds(scenario.kitchen.grid)}" if fits else ""
        yield Finding(
            Standing.BROKEN, RULE, where, said, most.limit.source, most.limit.hard
        )
    law = (
        length(step.time, made.makes, made) if isinstance(made, Component)
        else length(step.time, Quantity.of(1, Dimension.COUNT), None)
    )  # fmt: skip
    yield from _shorter(where, step, law.most or law.least, "written")


def _shorter(where: str, step: Step, minutes: int, word: str) -> Iterator[Finding]:
    """A time that is shorter than what is reckoned."""
    cool = step.cooling
    taken = estimate(cool) if cool is not None else 0
    if cool is None or cool.sets_time or isinstance(taken, Never) or minutes >= taken:
        return
    standing = Standing.BROKEN if minutes * choices().sooner.value < taken else Standing.NEAR
    said = (
        f"{write_duration(minutes)} {word}, about {write_duration(taken)} reckoned ({_how(cool)}): "
        f"{RECORD}"
    )
    yield Finding(standing, RULE, where, said)


def _not_said(
    scenario: Scenario, name: str, made: Component, limits: FoodLimits
) -> Iterator[Finding]:
    """Cooked, then kept cold, and no step says how it gets there."""
    limit = limits.cooling
    if limit is None:
        return
    hot = [
        n for n, s in enumerate(made.steps)
        if s.core is not None or step_kept(scenario, s, limits) == "hot"
    ]  # fmt: skip
    if not hot or any(s.cooling is not None for s in made.steps[hot[-1] :]):
        return
    last = made.steps[hot[-1]]
    after = [step_kept(scenario, s, limits) for s in made.steps[hot[-1] + 1 :]]
    zones = [s.then.zone for s in made.steps[hot[-1] :] if s.then is not None]
    zones += [keep.zone for keep in made.keeps]
    after += [zone_kept(scenario, zone, limits) for zone in zones if zone is not None]
    if "cold" in after or "frozen" in after:
        said = f"cooked ({last.name or last.id}) and then kept cold: nobody says how it is cooled"
        yield Finding(Standing.UNKNOWN, RULE, name, f"{said}; {limit}", limit.source)
