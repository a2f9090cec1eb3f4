"""Cooling: what a step is reckoned to take, against the limits and against what is written.

An estimate is never a certificate, so a limit broken by it is reported and not
enforced. Enforced is the recipe's own word: a written time (or an estimate
that the recipe has made its time) longer than the limit allows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor
from typing import TYPE_CHECKING

from scheduler.domain.celsius import fahrenheit_meant, write_celsius
from scheduler.domain.cooled import Longest, cooked, limit_at, limit_of, longest
from scheduler.domain.cooling import CoolDown, between, estimate, physics, whole
from scheduler.domain.kept import step_kept, zone_kept
from scheduler.domain.limits import Fall, FoodLimits
from scheduler.domain.methods import variants
from scheduler.domain.profiles import controlled, food_limits, profile_of
from scheduler.domain.times import write_duration
from scheduler.heat.cooling import Never
from scheduler.plan.audit.amounts import length, shortest
from scheduler.plan.audit.cooling import cooled, lasts, too_long
from scheduler.plan.audit.facts import Facts
from scheduler.safety.finding import Finding, Standing, against
from scheduler.safety.remedies import remedies

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

RULE = "cooling"
RECORD = "the probe's record decides"
UNMEASURED = "a film coefficient that nobody has measured here"
HALF = 2
"""What is written at less than half of the estimate is broken, otherwise near. Our own choice:
film coefficients differ by as much as that."""


@dataclass(frozen=True, slots=True)
class _Chain:
    """Cooling steps that take over from each other: ice bath, then walk-in.

    `apart` is what lies between each and the next as written, at its shortest, minutes.
    """

    steps: tuple[Step, ...]
    first: int
    apart: tuple[int, ...]

    @property
    def cools(self) -> tuple[CoolDown, ...]:
        return tuple(s.cooling for s in self.steps if s.cooling is not None)

    @property
    def freezes(self) -> bool:
        """Does something freeze outside before it is cold inside?"""
        return any(len(physics(c).cautions()) > 1 for c in self.cools)

    def time(self, fall: Fall, *, no_ice: bool = False) -> float | Never:
        """Minutes in a window as estimated; as far as the last step goes."""
        total = 0.0
        for n, cool in enumerate(self.cools):
            taken = between(cool, fall.start, fall.end, no_ice=no_ice)
            if isinstance(taken, Never):
                return taken
            total += taken
            if n < len(self.apart) and fall.end < cool.end <= fall.start:
                total += self.apart[n]
        return total


def cooling(scenario: Scenario) -> Iterator[Finding]:
    """Every cooling step against its limit and its written time; what is cooked and not cooled."""
    limits = food_limits(scenario.kitchen)
    for component in scenario.components:
        if not controlled(component):
            continue
        found = [f for made in variants(component) for f in _recipe(scenario, made, limits)]
        yield from dict.fromkeys(found)  # methods may have steps in common


def _recipe(scenario: Scenario, made: Component, limits: FoodLimits) -> Iterator[Finding]:
    """What is found in one way of making a component."""
    name = made.name or made.id
    for chain in _chains(made.steps):
        yield from _limit(scenario, name, made, chain, limits)
        for step in chain.steps:
            yield from _written(scenario, name, made, step)
    yield from _not_said(scenario, name, made, limits)


def cooling_planned(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """What a plan gives a cooling step, against its limit and against what is reckoned."""
    facts = Facts(scenario, plan)
    for making, stage, task in cooled(facts):
        component, step = making.component, stage.step
        if component is None or step is None or not controlled(component):
            continue
        where = f"{component.name or component.id}, {step.name or step.id} ({task.id})"
        takes = lasts(facts, making, stage, task)
        most = _longest(scenario, component, step)
        if most is not None:
            standing = against(takes, most.minutes)
            said = too_long(takes, most).partition(": ")[0] + f", for {most.fall}"
            yield Finding(standing, RULE, where, said, most.limit.source, most.limit.hard)
        yield from _shorter(where, step, takes, "planned")


def _chains(steps: Sequence[Step]) -> Iterator[_Chain]:
    """Cooling steps in order; what starts warmer than the one before has ended begins anew."""
    found: list[list[int]] = []
    for n, step in enumerate(steps):
        if step.cooling is None:
            continue
        before = steps[found[-1][-1]].cooling if found else None
        if before is not None and step.cooling.start <= before.end:
            found[-1].append(n)
        else:
            found.append([n])
    for chain in found:
        gaps = tuple(_apart(steps, a, b) for a, b in pairwise(chain))
        yield _Chain(tuple(steps[n] for n in chain), chain[0], gaps)


def _apart(steps: Sequence[Step], first: int, then: int) -> int:
    waits = sum(s.then.not_before for s in steps[first:then] if s.then is not None)
    return waits + sum(s.time.at_least for s in steps[first + 1 : then])


def _longest(scenario: Scenario, made: Component, step: Step) -> Longest | None:
    """As `longest_of`, also where the limit is only told."""
    limit = limit_at(scenario, made, made.steps, step.id)
    if limit is None or step.cooling is None:
        return None
    return longest(step.cooling, limit)


def _where(name: str, steps: Sequence[Step]) -> str:
    return f"{name}, {' and '.join(s.name or s.id for s in steps)}"


def _how(cool: CoolDown) -> str:
    return f"{cool.how_thick}, {cool.place}"


def _limit(
    scenario: Scenario, name: str, made: Component, chain: _Chain, limits: FoodLimits
) -> Iterator[Finding]:
    """The estimate against every window of the limit."""
    where, cools = _where(name, chain.steps), chain.cools
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


def _time(chain: _Chain) -> Callable[[Fall], float | Never]:
    return lambda fall: chain.time(fall, no_ice=True)


def _window(chain: _Chain, fall: Fall) -> tuple[Standing, str]:
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
    scenario: Scenario, where: str, made: Component, chain: _Chain, how: str, limits: FoodLimits
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


def _over(scenario: Scenario, made: Component, step: Step) -> Longest | None:
    """The limit that a step's own shortest time (its longest, if the food decides) is over."""
    most = _longest(scenario, made, step)
    own = shortest(step.time, made.makes, made)
    return most if most is not None and own > most.minutes else None


def _written(
    scenario: Scenario, name: str, made: Component, step: Step
) -> Iterator[Finding]:
    """The written time: over the limit by itself, or shorter than can be."""
    cool = step.cooling
    if cool is None or cool.sets_time:
        return
    where = _where(name, (step,))
    most = _over(scenario, made, step)
    if most is not None:
        there = f"{write_celsius(cool.start)} to {write_celsius(cool.end)}"
        said = (
            f"{write_duration(shortest(step.time, made.makes, made))} written for {there}, at most "
            f"{write_duration(most.minutes)} for {most.fall}"
        )
        yield Finding(
            Standing.BROKEN, RULE, where, said, most.limit.source, most.limit.hard
        )
    law = length(step.time, made.makes, made)
    yield from _shorter(where, step, law.most or law.least, "written")


def _shorter(where: str, step: Step, minutes: int, word: str) -> Iterator[Finding]:
    """A time that is shorter than what is reckoned."""
    cool = step.cooling
    taken = estimate(cool) if cool is not None else 0
    if cool is None or cool.sets_time or isinstance(taken, Never) or minutes >= taken:
        return
    standing = Standing.BROKEN if minutes * HALF < taken else Standing.NEAR
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
