"""Cleaning between two contents: who follows whom on a machine, and who cleans in between."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.solve.cpsat.hands import staff
from scheduler.solve.cpsat.model import Load
from scheduler.workload.primitives import Placed

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from scheduler.solve.cpsat.model import Lit, Model, View
    from scheduler.solve.cpsat.timeline import At
    from scheduler.workload.primitives import Clean

    Followers = dict[int, list[tuple[int, cp_model.IntVar]]]


@dataclass(frozen=True, slots=True)
class Cleaned:
    """A cleaning as the model has it: after which use, on which resource, when, whether."""

    use: int
    resource: int
    at: At
    lit: Lit


def add_cleaning(model: Model) -> None:
    """One visit between two uses in a row on a resource where the one calls for it.

    A circuit through the uses of each resource (in the second encoding an
    order of every pair), with a literal for "j is the next one after i":
    start_j >= end_i, and, where after[s_i][s_j], a visit in between, at the
    end of i or (before use) anywhere. Where nothing moves on a resource
    everything stays as it is.
    """
    for r, resource in enumerate(model.problem.resources):
        if resource.clean is None or r in model.scope.settled:
            continue
        loads = [(u, s, load) for u, s, load in model.stated[r] if load.lit is not False]
        states = {s for _, s, _ in loads}
        if any(resource.clean.after[s][t] for s in states for t in states):
            model.units.add("cleaning")
            _Row(model, r, resource.clean, loads).add()


class _Row:
    """What may stand on one resource, one after the other."""

    def __init__(
        self, model: Model, resource: int, rule: Clean, loads: list[tuple[int, int, Load]]
    ) -> None:
        self.model = model
        self.resource = resource
        self.rule = rule
        self.loads = loads
        self.still = sorted(
            (i for i, (_, _, load) in enumerate(loads) if load.still),
            key=lambda i: loads[i][2].start.offset,
        )

    def add(self) -> None:
        followers = self._pairs() if self.model.encoding.pairs else self._circuit()
        for i, found in followers.items():
            self._visit(i, found)

    def _circuit(self) -> Followers:
        """For each use those that call for cleaning after it, each with "it is the next one"."""
        model, loads = self.model, self.loads
        arcs: list[tuple[int, int, Lit]] = []
        calls: Followers = {}
        for i, (_, s, load) in enumerate(loads):
            if not isinstance(load.lit, bool):
                arcs.append((i + 1, i + 1, ~load.lit))
            for end in (True, False):
                lit = self._end(i, end)
                arcs.append((i + 1, 0, lit) if end else (0, i + 1, lit))
            for j, (_, t, other) in enumerate(loads):
                if i == j or not self._may_follow(i, j):
                    continue
                lit = model.literal(lambda view, i=i, j=j: self._next(view, i) == j)  # type: ignore[misc]
                model.at_least(other.start, load.end, 0, lit)
                arcs.append((i + 1, j + 1, lit))
                if self.rule.after[s][t]:
                    calls.setdefault(i, []).append((j, lit))
        if all(not isinstance(load.lit, bool) for _, _, load in loads):
            arcs.append((0, 0, model.literal(lambda view: not self._present(view))))
        model.cp.add_circuit(arcs)
        return calls

    def _pairs(self) -> Followers:
        """The same without a circuit: j is next after i iff it is later and none is between."""
        model, loads = self.model, self.loads
        before: dict[tuple[int, int], Lit] = {}
        for j, (_, _, two) in enumerate(loads):
            for i, (_, _, one) in enumerate(loads[:j]):
                lit = model.literal(
                    lambda view, one=one, two=two: view.time(one.end) <= view.time(two.start)  # type: ignore[misc]
                )
                model.at_least(two.start, one.end, 0, lit, one.lit, two.lit)
                model.at_least(one.start, two.end, 0, ~lit, one.lit, two.lit)
                before[i, j], before[j, i] = lit, ~lit
        calls: Followers = {}
        for i, (_, s, one) in enumerate(loads):
            for j, (_, t, two) in enumerate(loads):
                if i == j or not self.rule.after[s][t]:
                    continue
                between = [
                    model.every(loads[k][2].lit, before[i, k], before[k, j])
                    for k in range(len(loads))
                    if k not in (i, j)
                ]
                lit = model.literal(lambda view, i=i, j=j: self._next(view, i) == j)  # type: ignore[misc]
                apart = [one.lit, two.lit, before[i, j], *(_not(k) for k in between)]
                for part in apart:
                    model.when(False, lit, _not(part))
                model.when(False, ~lit, *apart)
                calls.setdefault(i, []).append((j, lit))
        return calls

    def _end(self, i: int, last: bool) -> Lit:
        """Whether a use is the last one, or the first."""

        def there(view: View) -> bool:
            row = self._present(view)
            return bool(row) and row[-1 if last else 0] == i

        return self.model.literal(there)

    def _may_follow(self, i: int, j: int) -> bool:
        """Whether j could be the next one after i."""
        one, two = self.loads[i][2], self.loads[j][2]
        if self.loads[i][0] == self.loads[j][0] or two.start.high < one.end.low:
            return False
        if one.still and two.still:
            return self.still.index(j) == self.still.index(i) + 1
        return True

    def _present(self, view: View) -> list[int]:
        """The uses that are there in a solution, in order."""
        here = [i for i, (_, _, load) in enumerate(self.loads) if self.model.holds(load.lit, view)]
        return sorted(here, key=lambda i: view.time(self.loads[i][2].start))

    def _next(self, view: View, i: int) -> int | None:
        row = self._present(view)
        if i not in row:
            return None
        at = row.index(i) + 1
        return row[at] if at < len(row) else None

    def _visit(self, i: int, found: list[tuple[int, cp_model.IntVar]]) -> None:
        """Somebody cleans after a use: where one of these follows, and only there."""
        model, rule = self.model, self.rule
        use, _, load = self.loads[i]
        lits = [lit for _, lit in found]
        here = model.literal(lambda view: self._next(view, i) in [j for j, _ in found])
        model.cp.add_bool_or([*lits, ~here])
        for lit in lits:
            model.cp.add_implication(lit, here)

        def find(view: View) -> Placed | None:
            return view.solution.cleans.get(use)

        start = load.end
        if not rule.at_once:
            first, last = load.end.low, model.problem.horizon - rule.length

            def when(view: View) -> int:
                placed = find(view)
                return first if placed is None else placed.start

            start = model.moment(((first, max(first, last)),), when)
            model.rest(start, here)
            model.at_least(start, load.end, 0, here)
        for j, follows in found:
            model.at_least(self.loads[j][2].start, start, rule.length, follows)

        def who(view: View) -> tuple[int, ...]:
            placed = find(view)
            return () if placed is None else placed.people

        visit = Load(start, start.plus(rule.length), rule.length, rule.length, 1, here)
        # By number: a use that may have one of several settings may be cleaned after in each.
        model.hands["clean", use, len(model.cleaned)] = staff(model, rule.lines, visit, who)
        model.cleaned.append(Cleaned(use, self.resource, start, here))


def _not(lit: Lit) -> Lit:
    return not lit if isinstance(lit, bool) else ~lit
