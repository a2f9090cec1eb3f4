"""What may meet on a machine that nobody cleans in between: allergens, and raw food.

Told, not enforced: nobody knows how a kitchen cleans what it writes no `clean_down` for.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from scheduler.domain.contact import Contact, Kind, Maker, cooked, mend
from scheduler.domain.profiles import food_limits
from scheduler.plan.audit.facts import Facts
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import Plan

RULE = "contact"
COULD: dict[Kind, Standing] = {
    "diet": Standing.NEAR, "raw": Standing.NEAR, "not known": Standing.UNKNOWN,
    "allergens": Standing.NOTE,
}  # fmt: skip
DOES: dict[Kind, Standing] = COULD | {
    "diet": Standing.BROKEN, "raw": Standing.BROKEN, "allergens": Standing.NEAR,
}
_SHOWN = 3
Told = dict[tuple[Kind, str, str], dict[str, None]]
"""What meets, for whom, from what: into what."""


def could_meet(scenario: Scenario) -> Iterator[Finding]:
    """Machines that food touches and nobody cleans between two things, whatever their order."""
    contact = Contact(scenario)
    users: dict[str, dict[tuple[object, ...], Maker]] = defaultdict(dict)
    for maker, need in contact.makers():
        for kind, unit in scenario.units_of(need.equipment or ""):
            old = users[unit.id].get(maker.key)
            if kind.touches and (old is None or maker.raw):
                users[unit.id][maker.key] = maker
    for kind in scenario.kitchen.equipment:
        told: Told = {}
        for unit in kind.each:
            makers = list(users.get(unit.id, {}).values())
            for one in makers:
                for two in makers:
                    if not contact.cleaned(kind, one, two):
                        for met in contact.meetings(one, two):
                            who = f"{met.what} from {one.name}"
                            told.setdefault((met.kind, met.guests, who), {})[two.name] = None
        yield from _could(scenario, kind, told)


def _could(scenario: Scenario, kind: Equipment, told: Told) -> Iterator[Finding]:
    for (what, guests, who), into in told.items():
        said = f"{who} can get into {_some(into)}"
        if guests:
            said += f", for {guests}"
        elif what == "allergens":
            said += ", where nobody has named that"
        said += f": {mend(kind)}"
        yield Finding(COULD[what], RULE, kind.name or kind.id, said, _source(scenario, what))


def do_meet(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """What follows on what in a plan, on each unit, and is not cleaned in between."""
    contact, facts = Contact(scenario), Facts(scenario, plan)
    for unit, uses in sorted(_uses(facts).items()):
        kind = scenario.unit[unit][0]
        cleaned = [(c.start, c.end) for c in plan.clean_downs if c.unit == unit]
        told: dict[tuple[Kind, str, str], list[str]] = {}
        for n, (start, end, two) in enumerate(uses):
            for m, (since, until, one) in enumerate(uses):
                before = since < end if until > start else since <= start
                if m == n or not before or any(until <= a and b <= start for a, b in cleaned):
                    continue
                for met in contact.meetings(one, two):
                    said = f"{met.what} from {one.name} ({facts.at(since)})"
                    said += f" gets into {two.name} ({facts.at(start)})"
                    said += f", for {met.guests}" if met.guests else ""
                    key = met.kind, met.guests, two.name if met.kind != "allergens" else ""
                    told.setdefault(key, []).append(said)
        for (what, _, _), lines in told.items():
            more = f", and {len(lines) - 1} more such meetings" if len(lines) > 1 else ""
            said = f"{lines[-1]}{more}; nobody cleans it in between: {mend(kind)}"
            yield Finding(DOES[what], RULE, unit, said, _source(scenario, what))


def _uses(facts: Facts) -> dict[str, list[tuple[int, int, Maker]]]:
    """Who is on each unit that food touches, in order of time."""
    found: dict[str, list[tuple[int, int, Maker]]] = defaultdict(list)
    for making in facts.makings.values():
        for stage in making.to_come:
            maker = _maker(making, stage)
            for task in making.of(stage) if maker is not None else ():
                for taken in (*task.taken, *(t for v in task.visits for t in v.taken)):
                    kind = facts.scenario.unit[taken.unit][0] if taken.unit else None
                    if taken.unit and maker and kind and kind.touches and taken.start < taken.end:
                        found[taken.unit].append((taken.start, taken.end, maker))
    return {unit: sorted(uses, key=lambda u: u[:2]) for unit, uses in found.items()}


def _maker(making: Making, stage: Stage) -> Maker | None:
    recipe = making.component or making.dish
    if recipe is None:
        return None
    steps = tuple(s.step for s in making.stages if s.step is not None)
    done = stage.step is None or cooked(steps, stage.step)
    return Maker(recipe, making.diet, raw=not done)


def _source(scenario: Scenario, what: Kind) -> str:
    """Where it stands that raw food is cleaned away; allergens are nobody's figure."""
    limit = food_limits(scenario.kitchen).clean_between
    if what != "raw":
        return ""
    return limit.source if limit is not None else "common practice, no source"


def _some(names: Iterable[str]) -> str:
    every = list(names)
    more = f" and {len(every) - _SHOWN} more" if len(every) > _SHOWN else ""
    return ", ".join(every[:_SHOWN]) + more
