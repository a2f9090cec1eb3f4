"""What is there: batches that may be left out, and what goes with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.objective import takers

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Lit, Model, View


def add_presence(model: Model) -> None:
    """present_b: true for what is certain, free for what may be left out.

    present_b <= present_i for every input i of b, and present_b <= sum of
    present_c over those that take from it, if any could. A batch without a possible
    time is left out; one that must be there makes the model infeasible.
    """
    scope = model.scope
    for b in range(len(model.problem.batches)):
        present: Lit = b in scope.frozen or b in scope.certain
        if b in model.bounds.impossible:
            if present is True:
                model.cp.add_bool_or([])
        elif b in scope.maybe:
            model.units.add("presence")
            present = model.literal(lambda view, b=b: b in view.placed)  # type: ignore[misc]
        model.present.append(present)
    if not scope.needs:
        return
    for b, others in enumerate(takers(model.problem)):
        lits = [model.present[c] for c in sorted(others)]
        if lits and not any(lit is True for lit in lits):
            real = [lit for lit in lits if not isinstance(lit, bool)]
            if not isinstance(model.present[b], bool):
                model.cp.add_bool_or([*real, _negated(model.present[b])])
    for b, batch in enumerate(model.problem.batches):
        for i in batch.inputs:
            model.when(False, model.present[b], _negated(model.present[i]))


def add_served(model: Model) -> None:
    """lacking_p >= lacks_p[b] * (1 - present_b); served_r = sum of lacking_p of rank r.

    The last level counts what is left out: sum over b of (1 - present_b).
    """
    for b, batch in enumerate(model.problem.batches):
        lit = model.present[b]
        if not batch.fixed and lit is not True:
            model.served[-1].constant += 1
            if not isinstance(lit, bool):
                model.served[-1].terms.append(-lit)
    for plate in model.problem.plates:
        level = model.served[plate.rank - 1]
        sure = max((n for b, n in plate.lacks if model.present[b] is False), default=0)
        open_ = [
            (model.present[b], n)
            for b, n in plate.lacks
            if not isinstance(model.present[b], bool) and n > sure
        ]
        if not open_:
            level.constant += sure
            continue

        def lacking(view: View, lacks: tuple[tuple[int, int], ...] = plate.lacks) -> int:
            return max((n for b, n in lacks if b not in view.placed), default=0)

        var = model.integer(sure, max(n for _, n in open_), lacking)
        for present, n in open_:
            model.when(var >= n, _negated(present))
        level.terms.append(var)


def _negated(lit: Lit) -> Lit:
    return not lit if isinstance(lit, bool) else ~lit
