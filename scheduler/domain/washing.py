"""Washing up, said as a step, so that every reader means the same.

A container of a kind that is washed stays taken until it is washed and dry.
The washing is a step of the batch that has emptied it: hands load it (they
wash), then it dries with nobody at it. It begins when the containers are
empty, at most `within` later, and nothing waits for it but the containers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.kitchen import Equipment
from scheduler.domain.recipes import ANYONE, Need, Step, Time, Visit

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.domain.scenario import Scenario

WASH = "wash"


@dataclass(frozen=True, slots=True)
class Wash:
    """One washing of a recipe.

    Attributes
    ----------
    after : str
        The step that empties the containers.
    needs : tuple of (str, int, Need)
        What it washes: the step that fills them, the need's place there, and the need.
    """

    step: Step
    kind: Equipment
    after: str
    needs: tuple[tuple[str, int, Need], ...]


def wash_name(kind: str) -> str:
    """What the step that washes a kind is called."""
    return f"{WASH}-{kind}"


def wash_step(scenario: Scenario, step: str) -> Step | None:
    """The washing that a step's id names; None if it names none."""
    for kind in scenario.kitchen.equipment:
        if kind.washed is not None and step.startswith(wash_name(kind.id)):
            mark = step.removeprefix(wash_name(kind.id))
            if not mark or mark.removeprefix("-").isdigit():
                return _step(kind, mark)
    return None


def washes(
    steps: tuple[Step, ...], kind_of: Callable[[str], Equipment], begun: str | None = None
) -> tuple[Wash, ...]:
    """The washings of a recipe, in order of the steps that empty what is washed.

    `begun`: the step that runs when the week opens; what was emptied before
    it is not washed any more. One washing for each kind and each step that
    empties it; a second of a kind is numbered.
    """
    order = [s.id for s in steps]
    first = order.index(begun) if begun in order else 0
    found: dict[tuple[str, str], list[tuple[str, int, Need]]] = {}
    kinds: dict[str, Equipment] = {}
    for step in steps:
        for place, need in enumerate(step.on):
            if need.equipment is None:
                continue
            kind = kind_of(need.equipment)
            emptied = need.until or step.id
            if kind.washed is not None and order.index(emptied) >= first:
                kinds[kind.id] = kind
                found.setdefault((kind.id, emptied), []).append((step.id, place, need))
    made: list[Wash] = []
    for (name, after), needs in sorted(found.items(), key=lambda f: order.index(f[0][1])):
        kind = kinds[name]
        number = 1 + sum(w.kind.id == name for w in made)
        mark = f"-{number}" if number > 1 else ""
        made.append(Wash(_step(kind, mark), kind, after, tuple(needs)))
    return tuple(made)


def _step(kind: Equipment, mark: str) -> Step:
    washed = kind.washed
    assert washed is not None
    wash = f"Wash {kind.name or kind.id}"[:110]
    return Step(
        id=wash_name(kind.id) + mark, name=f"{wash}, let dry", section=ANYONE,
        time=Time.model_construct(at_least=washed.dry), hazards=kind.hazards,
        load=Visit(verb=wash, time=washed.time, hands=washed.hands),
    )
