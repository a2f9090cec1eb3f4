"""Ovens: settings, what shares one, and the time between two temperatures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.plan.audit.facts import lasting

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Equipment, Heat
    from scheduler.domain.recipes import Need
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask, Taken


@dataclass(frozen=True, slots=True)
class Firing:
    """One use of an oven at one setting."""

    start: int
    end: int
    mode: str
    celsius: int
    who: str
    before: bool


def check(facts: Facts) -> None:
    """Rules `oven-setting`, `oven-shared` and `oven-heat-up`."""
    firings: dict[str, list[Firing]] = defaultdict(list)
    for making, task, need, taken in _takings(facts):
        known = facts.scenario.unit.get(taken.unit or "")
        if known is None or taken.start >= taken.end:
            continue
        kind = known[0]
        if kind.heat is None or need.setting is None:
            continue
        firing = _firing(facts, making, task, need, taken, kind)
        if firing is not None:
            firings[known[1].id].append(firing)
    for name, firing in _held(facts):
        firings[name].append(firing)
    for name, uses in firings.items():
        heat = facts.scenario.unit[name][0].heat
        if heat is not None:
            _runs(facts, name, heat, sorted(uses, key=lambda f: (f.start, f.end, f.who)))


def _held(facts: Facts) -> Iterator[tuple[str, Firing]]:
    """Ovens that stay at one setting while a duty lasts: they are hot, however that came."""
    for duty, start, end, name in facts.occurrences:
        for held in duty.held:
            yield held.equipment, Firing(start, end, held.mode, held.celsius, name, True)


def _takings(facts: Facts) -> Iterator[tuple[Making, PlannedTask, Need, Taken]]:
    for making in facts.makings.values():
        for stage in making.to_come:
            for task in making.of(stage):
                yield from ((making, task, n, t) for n, t in _of(stage, task))


def _of(stage: Stage, task: PlannedTask) -> Iterator[tuple[Need, Taken]]:
    for taken in task.taken:
        if 0 <= taken.need < len(stage.needs):
            yield stage.needs[taken.need], taken


def _firing(
    facts: Facts, making: Making, task: PlannedTask, need: Need, taken: Taken, kind: Equipment
) -> Firing | None:
    setting, heat = need.setting, kind.heat
    if setting is None or heat is None:
        return None
    if taken.mode is None or taken.celsius is None:
        facts.broken("oven-setting", task.id, f"{taken.unit} is set to nothing")
        return None
    if taken.mode != setting.mode or not setting.coldest <= taken.celsius <= setting.hottest:
        facts.broken(
            "oven-setting",
            task.id,
            f"{taken.unit} is set to {taken.mode} {taken.celsius} °C; it asks for "
            f"{setting.mode} {setting.coldest} to {setting.hottest} °C",
        )
    if taken.mode not in heat.modes or not heat.coldest <= taken.celsius <= heat.hottest:
        facts.broken(
            "oven-setting",
            task.id,
            f"{taken.unit} has no {taken.mode} {taken.celsius} °C: {', '.join(heat.modes)}, "
            f"{heat.coldest} to {heat.hottest} °C",
        )
    begun = making.begun is not None and taken.start <= facts.now
    return Firing(taken.start, taken.end, taken.mode, taken.celsius, task.id, begun)


def change(heat: Heat, before: int, after: int) -> int:
    """Minutes from one temperature to another, rounded up."""
    rate = heat.up if after > before else heat.down
    return -(-abs(after - before) // rate)


def _runs(facts: Facts, name: str, heat: Heat, uses: list[Firing]) -> None:
    """A run is a chain of overlapping uses: one setting, one temperature all through."""
    last: Firing | None = None
    for use in uses:
        if last is None:
            if not use.before:
                ready = facts.now + change(heat, heat.ambient, use.celsius)
                _late(facts, name, use, ready, f"from cold to {use.celsius} °C")
            last = use
            continue
        same = (use.mode, use.celsius) == (last.mode, last.celsius)
        if use.start < last.end:
            if not same:
                facts.broken(
                    "oven-shared",
                    name,
                    f"{use.who} at {use.mode} {use.celsius} °C and {last.who} at {last.mode} "
                    f"{last.celsius} °C are in it together from {facts.at(use.start)}",
                )
        else:
            _changed(facts, name, heat, last, use)
        if use.end >= last.end:
            last = use


def _changed(facts: Facts, name: str, heat: Heat, last: Firing, use: Firing) -> None:
    """From one setting to the next; what is cleaned in between is cold after it."""
    cleaning = sum(
        c.end - c.start
        for c in facts.plan.clean_downs
        if c.unit == name and last.end <= c.start and c.end <= use.start
    )
    free, cold = last.end + cleaning, change(heat, heat.ambient, use.celsius)
    over = change(heat, last.celsius, use.celsius)
    if use.start - free > heat.goes_cold_after:
        _late(facts, name, use, free + cold, f"gone cold, to {use.celsius} °C")
    elif cleaning:
        words = f"cleaned, and then to {use.celsius} °C"
        _late(facts, name, use, free + max(cold, over), words)
    else:
        words = f"from {last.celsius} to {use.celsius} °C"
        _late(facts, name, use, free + over, words)


def _late(facts: Facts, name: str, use: Firing, ready: int, words: str) -> None:
    if use.start < ready:
        facts.broken(
            "oven-heat-up",
            name,
            f"{use.who} goes in {facts.at(use.start)}, {lasting(ready - use.start)} before it is "
            f"hot ({words})",
            ready - use.start,
        )
