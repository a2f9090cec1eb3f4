"""Every rule of the primitives in both encodings: the good assignment stands, the bad does not."""

from __future__ import annotations

import pytest
from ortools.sat.python import cp_model

from scheduler.solve.cpsat.build import build
from scheduler.solve.cpsat.encoding import FIRST, SECOND, Encoding
from scheduler.solve.cpsat.model import Lit, Model
from scheduler.solve.cpsat.scope import scope_of
from scheduler.solve.cpsat.timeline import At
from scheduler.workload.primitives import Placed, Problem, Solution
from tests.solve.cases import CASES
from tests.solve.small import Case

BOTH = pytest.mark.parametrize("encoding", [FIRST, SECOND], ids=["first", "second"])


class Fixed:
    """A model with one assignment written into it."""

    def __init__(self, problem: Problem, solution: Solution, encoding: Encoding) -> None:
        self.problem = problem
        self.model: Model = build(scope_of(problem, None, None, True), encoding)
        self.fix(solution)

    def stands(self) -> bool:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 0
        return solver.solve(self.model.cp) in (cp_model.OPTIMAL, cp_model.FEASIBLE)

    def fix(self, solution: Solution) -> None:
        placed = solution.placed(self.problem)
        for b, lit in enumerate(self.model.present):
            self.true(lit, b in placed)
        for t, times in solution.times.items():
            for moment, tick in zip(self.model.time.span(t), times, strict=True):
                self.equal(moment, tick)
        for c, lits in self.model.options.items():
            for o, lit in enumerate(lits):
                if c in solution.chosen and len(lits) > 1:
                    self.true(lit, solution.chosen[c] == o)
        for c, people in solution.crews.items():
            self.people(("crew", c, 0), people)
        for n, visits in solution.tends.items():
            self.visits("tend", n, visits)
        for n, visit in solution.adds.items():
            self.visits("add", n, (visit,))
        self.true(set(solution.cleans) <= {one.use for one in self.model.cleaned}, True)
        for number, one in enumerate(self.model.cleaned):
            placed = solution.cleans.get(one.use)
            self.true(one.lit, placed is not None)
            if placed is not None:
                self.equal(one.at, placed.start)
                self.people(("clean", one.use, number), placed.people)

    def visits(self, kind: str, n: int, placed: tuple[Placed, ...]) -> None:
        slots = self.model.visits.get((kind, n), [])
        self.true(len(placed) <= len(slots), True)
        rest = list(placed)
        windows = kind == "tend" and self.problem.tends[n].gap is None
        for k, (moment, here) in enumerate(slots):
            # Slots of a chain fill from the first; those of windows where they are spanned.
            mine = rest and (not windows or moment.low <= rest[0].start <= moment.high)
            self.true(here, bool(mine))
            if mine:
                visit = rest.pop(0)
                self.equal(moment, visit.start)
                self.people((kind, n, k), visit.people)
        self.true(not rest, True)

    def people(self, key: tuple[str, int, int], people: tuple[int, ...]) -> None:
        lines = self.model.hands[key]
        known = {p for line in lines for p in line}
        self.true(set(people) <= known, True)
        if key[0] == "crew" and len(self.problem.crews[key[1]].ways) > 1:
            # Which way is taken is the model's choice; who is at it is not.
            for p in known:
                of = [line[p] for line in lines if p in line]
                self.model.cp.add(sum(of) == int(p in people))
            return
        # In the order of the lines: the first line's people, then the next one's.
        rest = list(people)
        for line in lines:
            count = 1 if len(lines) > 1 else len(rest)
            mine, rest = rest[:count], rest[count:]
            for p, lit in line.items():
                self.true(lit, p in mine)

    def equal(self, moment: At, tick: int) -> None:
        self.model.when(moment.expr == tick)

    def true(self, lit: Lit, wanted: bool) -> None:
        self.model.when(lit is wanted if isinstance(lit, bool) else lit == int(wanted))


@BOTH
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_keeps_a_rule_is_allowed(case: Case, encoding: Encoding) -> None:
    assert Fixed(case.problem, case.good, encoding).stands()


@BOTH
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_breaks_a_rule_is_refused(case: Case, encoding: Encoding) -> None:
    assert not Fixed(case.problem, case.bad, encoding).stands()


def test_each_rule_is_a_unit_that_says_so() -> None:
    """The builder records which constraint families a problem needed."""
    units = set()
    for case in CASES:
        units |= build(scope_of(case.problem, None, None, True), FIRST).units
    assert units == {
        "adds",
        "capacity",
        "choices",
        "cleaning",
        "crews",
        "grace",
        "leavings",
        "lengths",
        "links",
        "people",
        "presence",
        "rooms",
        "states",
        "tends",
        "uses",
        "visit uses",
        "within",
    }
