"""What a planted week has too much of is taken away: as much is left as the hidden plan needs."""

from __future__ import annotations

import copy
from collections import defaultdict
from datetime import timedelta
from typing import Any

from scheduler.domain.quantity import Quantity
from scheduler.workload.primitives import Placed, Problem, Solution
from tests.bench.pencil import Pencil
from tests.bench.planted_brigade import Shift
from tests.bench.planted_draw import Document
from tests.bench.planted_menu import FIRST

TICK = 5
DAY = 1440 // TICK
SPARE = (4, 3)
"""A loose kitchen has so much more of every machine and container: a third."""
ROOM = (10, 7)
"""The walk-in of a loose week is 70 % full at its peak."""


def squeezed(document: Document, pencil: Pencil, shifts: list[Shift], tight: bool) -> Document:
    """The written week with a kitchen cut to the hidden plan."""
    out = copy.deepcopy(document)
    kitchen = out["kitchen"]
    peak = {r.id: int(pencil.used[n].max()) for n, r in enumerate(pencil.problem.resources)}
    least = _least(document)
    kitchen["equipment"] = [_kind(k, peak, least.get(k["id"], 1), tight)
                            for k in kitchen["equipment"]]  # fmt: skip
    for store in kitchen["stores"]:
        full = peak[store["id"]]
        store["shelves"] = max(1, full if tight else -(-full * ROOM[0] // ROOM[1]))
    kitchen["people"] = _people(kitchen["people"], pencil.problem, shifts)
    return out


def _kind(kind: Document, peak: dict[str, int], least: int, tight: bool) -> Document:
    """A kind with as many units or places as are ever taken at once."""
    if isinstance(kind.get("units"), list):
        used = [u for u in kind["units"] if peak.get(u["id"])]
        spare = 0 if tight or not used else max(1, len(used) * SPARE[0] // SPARE[1] - len(used))
        rest = [u for u in kind["units"] if u not in used]
        return kind | {"units": (used + rest[:spare]) or kind["units"][:1]}
    word = "units" if "units" in kind else "capacity"
    need = max(peak.get(kind["id"], 0), 1 if word == "units" else least)
    if not tight:
        need = min(kind[word], -(-need * SPARE[0] // SPARE[1]))
    return kind | {word: need}


def _least(document: Document) -> dict[str, int]:
    """Places a kind must have so that no batch becomes smaller: ceil(largest batch / per)."""
    found: dict[str, int] = {}
    for component in document["components"]:
        most = Quantity.parse(component["batch"]["most"])
        for step in component["steps"]:
            if step.get("in_loads"):
                continue
            for need in step.get("on", ()):
                if "equipment" in need and "per" in need:
                    places = -(-most.base // Quantity.parse(need["per"]).base)
                    found[need["equipment"]] = max(found.get(need["equipment"], 1), int(places))
    return found


def _people(people: list[Document], problem: Problem, shifts: list[Shift]) -> list[Document]:
    """Those who have a shift, with just these shifts; days with the same hours in one line."""
    names = [name for name, _ in problem.people]
    worked: dict[str, dict[tuple[str, tuple[str, ...]], list[str]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for shift in sorted(shifts, key=lambda s: (s.person, s.pieces)):
        day, first = divmod(shift.pieces[0][0], DAY)
        hours = f"{_clock(first)}-{_clock(shift.pieces[-1][1] - day * DAY)}"
        pauses = tuple(
            f"{_clock(a[1] - day * DAY)}-{_clock(b[0] - day * DAY)}"
            for a, b in zip(shift.pieces, shift.pieces[1:], strict=False)
        )
        worked[names[shift.person]][hours, pauses].append(str(FIRST + timedelta(days=day)))
    out = []
    for person in people:
        lines = worked.get(person["id"])
        if lines:
            written: list[dict[str, Any]] = [
                {"days": days, "hours": hours} | ({"breaks": list(pauses)} if pauses else {})
                for (hours, pauses), days in sorted(lines.items())
            ]
            out.append(person | {"shifts": written})
    return out


def _clock(tick: int) -> str:
    minutes = tick * TICK
    return f"{minutes // 60:02}:{minutes % 60:02}"


def carried_over(old: Problem, new: Problem, solution: Solution) -> Solution:
    """A solution of the kitchen that had too much, in the words of the squeezed one.

    Tasks, uses and hands are the same ones in the same order; people,
    resources and options are found by name, and a visit stays where a window
    for it is still there.
    """
    same = [t.id for t in old.tasks] == [t.id for t in new.tasks] and all(
        (a.start, a.end, a.amount) == (b.start, b.end, b.amount)
        for a, b in zip(old.uses, new.uses, strict=True)
    )
    if not same:
        raise ValueError("the squeezed kitchen makes something else")
    person = {name: n for n, (name, _) in enumerate(new.people)}
    people = [person.get(name, -1) for name, _ in old.people]
    chosen = {}
    for choice, option in solution.chosen.items():
        was = old.choices[choice].options[option]
        key = (old.resources[was.resource].id, _state(old, was.resource, was.state))
        names = [
            (new.resources[o.resource].id, _state(new, o.resource, o.state))
            for o in new.choices[choice].options
        ]
        chosen[choice] = names.index(key) if key in names else 0
    tends = {}
    for n, visits in solution.tends.items():
        tend = new.tends[n]
        kept = [
            v
            for v in visits
            if tend.gap is not None or any(a <= v.start and v.end <= b for a, b in tend.windows)
        ]
        tends[n] = tuple(Placed(v.start, v.end, tuple(people[p] for p in v.people)) for v in kept)
    return Solution(
        dict(solution.times),
        chosen,
        {n: tuple(people[p] for p in crew) for n, crew in solution.crews.items()},
        tends,
        {
            n: Placed(v.start, v.end, tuple(people[p] for p in v.people))
            for n, v in solution.adds.items()
        },
    )


def _state(problem: Problem, resource: int, state: int | None) -> object:
    return None if state is None else problem.resources[resource].states[state]
