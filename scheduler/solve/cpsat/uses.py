"""Uses: capacities taken between any two endpoints, by a choice among resources."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.solve.cpsat.model import Load

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Lit, Model, View
    from scheduler.workload.primitives import Use


def add_uses(model: Model) -> None:
    """Every use takes its amount of the option that its choice takes.

    A use u is active where its batch and both its ends are there and
    time(end) - time(start) > grace. One option x_{c,o} of a choice c is taken
    where a use of c is active; the load on o's resource counts where both
    hold: y_{u,o} <=> active_u and x_{c,o}.
    """
    followers: dict[int, list[tuple[int, Load]]] = defaultdict(list)
    for u, use in enumerate(model.problem.uses):
        load = _load(model, use)
        if load is not None:
            followers[use.choice].append((u, load))
    for c, loads in sorted(followers.items()):
        model.units.add("uses")
        active = [load.lit for _, load in loads]
        model.options[c] = _options(model, c, active)
        for u, load in loads:
            _take(model, u, load, len(set(map(_key, active))) == 1)


def _load(model: Model, use: Use) -> Load | None:
    """The use with the literal of "it counts": everything there, longer than its grace."""
    there = model.every(model.present[use.batch], model.here(use.start), model.here(use.end))
    if there is False:
        return None
    start, end = model.at(use.start), model.at(use.end)
    grace = max(use.grace, 0)
    apart = start.distance(end)
    least, most = (apart, apart) if apart is not None else model.bounds.apart(use.start, use.end)
    if most <= grace:
        return None
    # An empty interval takes nothing of a cumulative; elsewhere emptiness needs a literal.
    empty = least == grace == 0 and not model.encoding.pairs and not _stateful(model, use)
    if least > grace or empty:
        return Load(start, end, least, most, use.amount, there)
    model.units.add("grace")
    lit = model.longer(start, end, grace, there)
    return Load(start, end, grace + 1, most, use.amount, lit)


def _stateful(model: Model, use: Use) -> bool:
    options = model.problem.choices[use.choice].options
    return any(
        model.problem.resources[o.resource].setup is not None or o.resource in model.careful
        for o in options
    )


def _options(model: Model, c: int, active: list[Lit]) -> list[Lit]:
    """Literals of the options: one is taken where a use is active."""
    options = model.problem.choices[c].options
    decided = model.scope.decided(c)
    if decided is not None or len(options) == 1:
        return [o == (decided or 0) for o in range(len(options))]
    model.units.add("choices")
    first = active[0]

    def taken(view: View) -> int:
        some = any(model.holds(lit, view) for lit in active)
        return view.solution.chosen.get(c, -1) if some else -1

    x: list[Lit] = [
        model.literal(lambda view, o=o: taken(view) == o)  # type: ignore[misc]
        for o in range(len(options))
    ]
    if any(lit is True for lit in active):
        model.cp.add_exactly_one(x)
    elif all(_key(lit) == _key(first) for lit in active) and not isinstance(first, bool):
        model.cp.add_exactly_one([*x, ~first])
    else:
        model.cp.add_at_most_one(x)
        for lit in active:
            if not isinstance(lit, bool):
                model.cp.add_bool_or([*x, ~lit])
    return x


def _take(model: Model, u: int, load: Load, alone: bool) -> None:
    """Put the load of a use on each resource that it may take."""
    use = model.problem.uses[u]
    x = model.options[use.choice]
    for o, option in enumerate(model.problem.choices[use.choice].options):
        # Where all uses of a choice are active together, a taken option says so itself.
        single = alone and not isinstance(x[o], bool)
        taken = replace(load, lit=x[o] if single else model.every(load.lit, x[o]))
        if taken.lit is False:
            continue
        model.of_resource[option.resource].append(taken)
        if option.resource in model.careful:
            model.guarded[option.resource].append((u, taken))
        if option.state is not None:
            model.stated[option.resource].append((u, option.state, taken))


def _key(lit: Lit) -> object:
    return lit if isinstance(lit, bool) else lit.index
