"""States of a resource: an oven's setting, with the time it takes to change it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.ranges import Ranges, without

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from scheduler.solve.cpsat.model import Load, Model
    from scheduler.workload.primitives import Resource


def add_states(model: Model) -> None:
    """Uses of a resource in different states are setup apart, one way round or the other.

    For uses i, j and a literal b_ij ("i first", one for all resources):
    start_j >= end_i + setup[s_i][s_j] where b_ij and both options are taken,
    start_i >= end_j + setup[s_j][s_i] where not b_ij. start_i >= initial[s_i].
    """
    first: dict[tuple[int, int], cp_model.IntVar] = {}
    for r, loads in sorted(model.stated.items()):
        resource = model.problem.resources[r]
        if resource.setup is None:
            continue
        model.units.add("states")
        still = [(s, load) for _, s, load in loads if load.still]
        moving = [entry for entry in loads if not entry[2].still]
        if not _agree(resource, still):
            model.when(False)
        for _, state, load in moving:
            model.inside(load, _allowed(model, resource, state, still))
        for i, (u, state, load) in enumerate(moving):
            for v, state2, load2 in moving[i + 1 :]:
                if u == v or state == state2:
                    continue
                there, back = resource.setup[state][state2], resource.setup[state2][state]
                if _apart(load, load2, there) or _apart(load2, load, back):
                    continue
                if (u, v) not in first:
                    first[u, v] = _earlier(model, load, load2)
                before = first[u, v]
                model.at_least(load2.start, load.end, there, before, load.lit, load2.lit)
                model.at_least(load.start, load2.end, back, ~before, load.lit, load2.lit)


def _earlier(model: Model, one: Load, two: Load) -> cp_model.IntVar:
    return model.literal(lambda view: view.time(one.end) <= view.time(two.start))


def _apart(one: Load, two: Load, ticks: int) -> bool:
    return one.end.high + ticks <= two.start.low


def _agree(resource: Resource, still: list[tuple[int, Load]]) -> bool:
    """Whether what stays keeps the rule among itself."""
    setup, initial = resource.setup or (), resource.initial
    if initial and any(load.start.offset < initial[s] for s, load in still):
        return False
    return all(
        s == t or _apart(one, two, setup[s][t]) or _apart(two, one, setup[t][s])
        for i, (s, one) in enumerate(still)
        for t, two in still[i + 1 :]
    )


def _allowed(model: Model, resource: Resource, state: int, still: list[tuple[int, Load]]) -> Ranges:
    """Where a use in that state may lie: after its initial time, clear of what stays."""
    setup = resource.setup or ()
    initial = resource.initial[state] if resource.initial else 0
    blocked = [
        (load.start.offset - setup[state][s], load.end.offset + setup[s][state])
        for s, load in still
        if s != state
    ]
    return without([(initial, model.problem.horizon)], blocked)
