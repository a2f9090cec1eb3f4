"""From values of variables back to a solution of the primitives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.primitives import Placed, Solution

if TYPE_CHECKING:
    from collections.abc import Callable

    from ortools.sat.python import cp_model

    from scheduler.solve.cpsat.model import Lit, Model
    from scheduler.solve.cpsat.timeline import At

    Value = Callable[[cp_model.LinearExprT], int]


def solution_of(model: Model, value: Value) -> Solution:
    """The solution that the variables spell.

    Parameters
    ----------
    value
        The value of a linear expression: `CpSolver.value`, or a callback's.
    """
    return _Reader(model, value).solution()


class _Reader:
    def __init__(self, model: Model, value: Value) -> None:
        self.model = model
        self.problem = model.problem
        self.base = model.scope.base
        self.value = value
        self.placed = {b for b, lit in enumerate(model.present) if self.true(lit)}

    def true(self, lit: Lit) -> bool:
        return lit if isinstance(lit, bool) else bool(self.value(lit))

    def time(self, at: At) -> int:
        return at.offset if at.var is None else int(self.value(at.var)) + at.offset

    def here(self, task: int) -> bool:
        return self.problem.tasks[task].batch in self.placed

    def frozen(self, task: int) -> bool:
        return self.model.scope.frozen_task(task)

    def solution(self) -> Solution:
        times = {
            t: (self.time(start), self.time(end))
            for t in range(len(self.problem.tasks))
            if self.here(t)
            for start, end in [self.model.time.span(t)]
        }
        return Solution(
            times, self.chosen(), self.crews(), self.tends(), self.adds(), self.cleans()
        )

    def chosen(self) -> dict[int, int]:
        out: dict[int, int] = {}
        for c, choice in enumerate(self.problem.choices):
            decided = self.model.scope.decided(c)
            if decided is not None:
                out[c] = decided
                continue
            lits = self.model.options.get(c, [])
            taken = next((o for o, lit in enumerate(lits) if self.true(lit)), None)
            if taken is not None and choice.batch in self.placed:
                out[c] = taken
        return out

    def crews(self) -> dict[int, tuple[int, ...]]:
        out: dict[int, tuple[int, ...]] = {}
        for c, crew in enumerate(self.problem.crews):
            if self.frozen(crew.task):
                if c in self.base.crews:
                    out[c] = self.base.crews[c]
            elif self.here(crew.task):
                out[c] = self.people("crew", c, 0)
        return out

    def tends(self) -> dict[int, tuple[Placed, ...]]:
        out: dict[int, tuple[Placed, ...]] = {}
        for n, tend in enumerate(self.problem.tends):
            if self.frozen(tend.task):
                if n in self.base.tends:
                    out[n] = self.base.tends[n]
            elif self.here(tend.task):
                out[n] = (*tend.made, *self.visits("tend", n, tend.length))
        return out

    def adds(self) -> dict[int, Placed]:
        out: dict[int, Placed] = {}
        for n, add in enumerate(self.problem.adds):
            if self.frozen(add.task):
                if n in self.base.adds:
                    out[n] = self.base.adds[n]
            elif self.here(add.task):
                out[n] = self.visits("add", n, add.length)[0]
        return out

    def cleans(self) -> dict[int, Placed]:
        """Where nothing moves as it was; elsewhere as the model has it."""
        out = {n: self.base.cleans[n] for n in self.model.scope.kept}
        for number, one in enumerate(self.model.cleaned):
            rule = self.problem.resources[one.resource].clean
            if rule is not None and self.true(one.lit):
                start = self.time(one.at)
                people = self.people("clean", one.use, number)
                out[one.use] = Placed(start, start + rule.length, people)
        return out

    def visits(self, kind: str, n: int, length: int) -> list[Placed]:
        out: list[Placed] = []
        for k, (at, here) in enumerate(self.model.visits.get((kind, n), [])):
            if self.true(here):
                start = self.time(at)
                out.append(Placed(start, start + length, self.people(kind, n, k)))
        return out

    def people(self, kind: str, n: int, k: int) -> tuple[int, ...]:
        lines = self.model.hands[kind, n, k]
        return tuple(p for line in lines for p, lit in sorted(line.items()) if self.true(lit))
