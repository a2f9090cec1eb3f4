"""Doors and neighbours: two uses of one resource of which one is in the other's way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.ranges import without

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Lit, Load, Model
    from scheduler.workload.primitives import Use

    Relation = dict[str, Lit]


def add_rooms(model: Model) -> None:
    """Neighbours never overlap; nothing starts or ends strictly inside what is shut.

    For uses i, j: "i first" (end_i <= start_j), "j first", and, where i is
    shut and they may be beside each other, "j around i" (start_j <= start_i
    and end_i <= end_j); where both are shut both ways round at once. One of
    these holds where both take the resource.
    """
    known: dict[tuple[int, int], Relation] = {}
    for _, loads in sorted(model.guarded.items()):
        model.units.add("rooms")
        uses = model.problem.uses
        still = [(u, load) for u, load in loads if load.still]
        moving = [(u, load) for u, load in loads if not load.still]
        for u, load in moving:
            blocked = [
                (other.start.offset, other.end.offset)
                for v, other in still
                if uses[u].apart(uses[v])
            ]
            if blocked:
                model.inside(load, without([(0, model.problem.horizon)], blocked))
        for i, (u, load) in enumerate(moving):
            for v, other in [*moving[i + 1 :], *still]:
                one, two = uses[u], uses[v]
                apart = one.apart(two)
                if u == v or not (apart or one.shut or two.shut) or (apart and other.still):
                    continue
                if load.end.high <= other.start.low or other.end.high <= load.start.low:
                    continue
                relation = known.get((u, v))
                if relation is None:
                    relation = known[u, v] = _relation(model, one, load, two, other)
                _one_of(model, relation, load, other)


def _relation(model: Model, one: Use, load: Load, two: Use, other: Load) -> Relation:
    """Literals of how two may lie, each with what follows from it."""
    before = model.literal(lambda view: view.time(load.end) <= view.time(other.start))
    after = model.literal(lambda view: view.time(other.end) <= view.time(load.start))
    model.at_least(other.start, load.end, 0, before)
    model.at_least(load.start, other.end, 0, after)
    ways: Relation = {"before": before, "after": after}
    if one.apart(two):
        return ways
    ways["together"] = model.literal(
        lambda view: (
            view.time(load.end) > view.time(other.start)
            and view.time(other.end) > view.time(load.start)
        )
    )
    for inner, outer in ((load, other),) * one.shut + ((other, load),) * two.shut:
        model.at_least(inner.start, outer.start, 0, ways["together"])
        model.at_least(outer.end, inner.end, 0, ways["together"])
    return ways


def _one_of(model: Model, relation: Relation, load: Load, other: Load) -> None:
    lits: list[Lit] = list(relation.values())
    for there in (load.lit, other.lit):
        if there is False:
            return
        if there is not True and not isinstance(there, bool):
            lits.append(~there)
    model.cp.add_bool_or(lits)
