"""Uses: capacities taken between any two endpoints, by a choice among resources."""

from __future__ import annotations

from collections import defaultdict
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
    active = {u: _active(model, use) for u, use in enumerate(model.problem.uses)}
    followers: dict[int, list[int]] = defaultdict(list)
    for u, use in enumerate(model.problem.uses):
        if active[u] is not False:
            followers[use.choice].append(u)
    for c, uses in sorted(followers.items()):
        lits = [active[u] for u in uses]
        model.options[c] = _options(model, c, lits)
        for u, lit in zip(uses, lits, strict=True):
            _take(model, u, lit, len(set(map(_key, lits))) == 1)


def _active(model: Model, use: Use) -> Lit:
    """The literal of "this use counts": everything there, and longer than its grace."""
    there = model.every(
        model.present[use.batch], model.here(use.start), model.here(use.end)
    )
    if there is False:
        return False
    grace = max(use.grace, 0)
    start, end = model.at(use.start), model.at(use.end)
    apart = start.distance(end)
    if apart is not None:
        return there if apart > grace else False
    least, most = model.bounds.apart(use.start, use.end)
    if most <= grace:
        return False
    # An empty interval takes nothing of a cumulative; elsewhere emptiness needs a literal.
    if least > grace or (least == grace == 0 and not model.encoding.pairs and not _stateful(model, use)):
        return there
    model.units.add("grace")

    def counts(view: View) -> bool:
        return model.holds(there, view) and view.time(end) - view.time(start) > grace

    lit = model.literal(counts)
    if not isinstance(there, bool):
        model.cp.add_implication(lit, there)
    model.at_least(end, start, grace + 1, lit)
    model.at_least(start, end, -grace, there, ~lit)
    return lit


def _stateful(model: Model, use: Use) -> bool:
    options = model.problem.choices[use.choice].options
    return any(model.problem.resources[o.resource].setup is not None for o in options)


def _options(model: Model, c: int, active: list[Lit]) -> list[Lit]:
    """Literals of the options: one is taken where a use is active."""
    options = model.problem.choices[c].options
    decided = model.scope.decided(c)
    if decided is not None or len(options) == 1:
        return [o == (decided or 0) for o in range(len(options))]
    model.units.add("choices")
    first = active[0]
    x: list[Lit] = [
        model.literal(lambda view, o=o: view.solution.chosen.get(c, -1) == o and any(  # type: ignore[misc]
            model.holds(lit, view) for lit in active))
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


def _take(model: Model, u: int, active: Lit, alone: bool) -> None:
    """Put the load of a use on each resource that it may take."""
    use = model.problem.uses[u]
    x = model.options[use.choice]
    start, end = model.at(use.start), model.at(use.end)
    least, most = model.bounds.apart(use.start, use.end)
    apart = start.distance(end)
    if apart is not None:
        least = most = apart
    counted = max(least, use.grace + 1) if use.grace > 0 or least < 0 else least
    model.units.add("uses")
    for o, option in enumerate(model.problem.choices[use.choice].options):
        # An option is taken only where its one use is active: it says both.
        single = alone and not isinstance(x[o], bool)
        y = x[o] if single else model.every(active, x[o])
        if y is False:
            continue
        load = Load(start, end, counted, most, use.amount, y)
        model.of_resource[option.resource].append(load)
        if option.state is not None:
            model.stated[option.resource].append((load, option.state))


def _key(lit: Lit) -> object:
    return lit if isinstance(lit, bool) else lit.index
