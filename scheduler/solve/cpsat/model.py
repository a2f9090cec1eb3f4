"""A CP-SAT model under construction: literals, their hints, and who takes what."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

from ortools.sat.python import cp_model

from scheduler.solve.cpsat.bounds import Bounds
from scheduler.solve.cpsat.ranges import Ranges, ends, meet, starts
from scheduler.solve.cpsat.timeline import At, Timeline
from scheduler.solve.rooms import with_doors, with_neighbours

if TYPE_CHECKING:
    from scheduler.solve.cpsat.cleaning import Cleaned
    from scheduler.solve.cpsat.encoding import Encoding
    from scheduler.solve.cpsat.scope import Scope
    from scheduler.workload.primitives import Leave, Point, Solution

Lit: TypeAlias = "cp_model.BoolVarT | bool"
"""A literal, or what it is known to be."""
Rule: TypeAlias = "cp_model.BoundedLinearExpression | bool"
"""A linear rule, or what it is known to be."""
Hint: TypeAlias = "Callable[[View], int]"
"""The value of a variable in a solution."""


@dataclass(frozen=True, slots=True)
class View:
    """A solution as the variables see it (what is left out sits at its lowest values)."""

    solution: Solution
    placed: frozenset[int]
    roots: list[int]

    def time(self, at: At) -> int:
        """The tick of a moment."""
        return at.offset if at.root is None else self.roots[at.root] + at.offset


@dataclass(frozen=True, slots=True)
class Load:
    """So much of something from one moment to another, if `lit`.

    `least` and `most` bound end - start; `least` < 1 means that it may be empty.
    """

    start: At
    end: At
    least: int
    most: int
    amount: int
    lit: Lit

    @property
    def still(self) -> bool:
        """Whether it is there for sure, at known times."""
        return self.lit is True and self.start.root is None and self.end.root is None


@dataclass(frozen=True, slots=True)
class Manning:
    """What hands are where some jobs may be left.

    Attributes
    ----------
    leave : Leave or None
        They may be left themselves.
    rest : bool
        A break.
    key : (int, int)
        Its crew, and which of its ways.
    work : int
        How long it takes with nobody away, ticks.
    """

    leave: Leave | None = None
    rest: bool = False
    key: tuple[int, int] = (-1, 0)
    work: int = 0


VISIT = Manning()


@dataclass(frozen=True, slots=True)
class Hands:
    """Somebody's time at something."""

    load: Load
    of: Manning


@dataclass(slots=True)
class Objective:
    """A linear expression under construction."""

    terms: list[cp_model.LinearExprT] = field(default_factory=list)
    constant: int = 0

    @property
    def expr(self) -> cp_model.LinearExprT:
        """The sum."""
        return cp_model.LinearExpr.sum(self.terms) + self.constant if self.terms else self.constant


class Model:
    """What the units (one constraint family each) add to."""

    def __init__(self, scope: Scope, encoding: Encoding) -> None:
        self.cp = cp_model.CpModel()
        self.scope = scope
        self.problem = scope.problem
        self.encoding = encoding
        self.bounds = Bounds(scope, encoding.tighten)
        self.time = Timeline(self.cp, scope, self.bounds, encoding.tighten)
        self.plain = True
        """Whether every interval is there and longer than nothing."""
        self.units: set[str] = set()
        """Names of the constraint families that added anything."""
        self.present: list[Lit] = []
        self.hints: list[tuple[cp_model.IntVar, Hint]] = []
        self.moments: list[Hint] = []
        self.values: dict[int, Hint] = {}
        self.options: dict[int, list[Lit]] = {}
        self.hands: dict[tuple[str, int, int], list[dict[int, Lit]]] = {}
        """("crew" | "tend" | "add" | "clean", which, which visit): for each line who."""
        self.visits: dict[tuple[str, int], list[tuple[At, Lit]]] = {}
        self.of_resource: dict[int, list[Load]] = defaultdict(list)
        self.stated: dict[int, list[tuple[int, int, Load]]] = defaultdict(list)
        """For each resource with states: use, state and load."""
        self.careful = with_doors(self.problem) | with_neighbours(self.problem)
        self.guarded: dict[int, list[tuple[int, Load]]] = defaultdict(list)
        """For each resource with doors or neighbours that matter: use and load."""
        self.cleaned: list[Cleaned] = []
        self.of_person: dict[int, list[Load]] = defaultdict(list)
        self.at_hands: dict[int, list[Hands]] = defaultdict(list)
        """Instead, where a job may be left."""
        self.served: list[Objective] = [Objective() for _ in range(self.problem.ranks + 1)]
        self.money = Objective()
        self.changes = Objective()
        self.cheapest = 0
        """What it costs with nothing but what stays."""
        self.overtime: cp_model.LinearExprT = 0
        self.eaten: cp_model.LinearExprT = 0
        """Minutes of it, and of rest that is eaten, where that is open."""
        self.quality = Objective()
        self._all: dict[tuple[int, ...], Lit] = {}
        self._lengths: dict[tuple[int | None, int, int | None, int, int, int], cp_model.IntVar] = {}
        for root, var in enumerate(self.time.roots):
            self.hints.append((var, lambda view, root=root: view.roots[root]))  # type: ignore[misc]

    @property
    def omitting(self) -> bool:
        """Whether batches may be left out."""
        return any(not isinstance(lit, bool) for lit in self.present)

    def view(self, solution: Solution) -> View:
        """A solution as this model's variables see it."""
        view = View(solution, solution.placed(self.problem), self.time.hinted(solution))
        for hint in self.moments:
            view.roots.append(hint(view))
        return view

    # -- variables ------------------------------------------------------------------

    def integer(self, low: int, high: int, hint: Hint) -> cp_model.IntVar:
        """An integer variable with the value it has in a solution."""
        var = self.cp.new_int_var(low, high, "")
        self.hints.append((var, hint))
        return var

    def moment(self, values: Ranges, hint: Hint) -> At:
        """A moment of its own (a visit's start) among some values; not empty."""
        domain = cp_model.Domain.from_intervals([[a, b] for a, b in values])
        root = len(self.time.roots)
        var = self.cp.new_int_var_from_domain(domain, "")
        self.time.roots.append(var)
        self.moments.append(hint)
        self.hints.append((var, lambda view: view.roots[root]))
        return At(root, var, 0, values[0][0], values[-1][1])

    def literal(self, hint: Callable[[View], bool]) -> cp_model.IntVar:
        """A literal with the value it has in a solution."""
        var = self.cp.new_bool_var("")
        self.hints.append((var, hint))
        self.values[var.index] = hint
        return var

    def holds(self, lit: Lit, view: View) -> bool:
        """What a literal is in a solution."""
        if isinstance(lit, bool):
            return lit
        if lit.index >= 0:
            return bool(self.values[lit.index](view))
        return not self.values[-lit.index - 1](view)

    def every(self, *lits: Lit) -> Lit:
        """The literal of "all of these" (made once): y <=> a and b and …"""
        if any(lit is False for lit in lits):
            return False
        real = {lit.index: lit for lit in lits if not isinstance(lit, bool)}
        if not real:
            return True
        if len(real) == 1:
            return next(iter(real.values()))
        key = tuple(sorted(real))
        if key not in self._all:
            parts = [real[k] for k in key]
            y = self.literal(lambda view: all(self.holds(p, view) for p in parts))
            self.cp.add_bool_and(parts).only_enforce_if(y)
            self.cp.add_bool_or([*(~p for p in parts), y])
            self._all[key] = y
        return self._all[key]

    def longer(self, start: At, end: At, ticks: int, there: Lit) -> Lit:
        """The literal of "there, and end - start > ticks"."""

        def counts(view: View) -> bool:
            return self.holds(there, view) and view.time(end) - view.time(start) > ticks

        lit = self.literal(counts)
        if not isinstance(there, bool):
            self.cp.add_implication(lit, there)
        self.at_least(end, start, ticks + 1, lit)
        self.at_least(start, end, -ticks, there, ~lit)
        return lit

    def rest(self, at: At, here: Lit) -> None:
        """A moment of its own takes its lowest value where it is not there."""
        if not isinstance(here, bool) and at.var is not None:
            self.cp.add(at.var == at.low - at.offset).only_enforce_if(~here)

    # -- constraints ----------------------------------------------------------------

    def when(self, rule: Rule, *lits: Lit) -> None:
        """A rule that holds where all the literals do (`rule` may already be known)."""
        if rule is True or any(lit is False for lit in lits):
            return
        # Each literal once: 9.15 has given wrong answers where one stood twice.
        real = list({lit.index: lit for lit in lits if not isinstance(lit, bool)}.values())
        if rule is False:
            self.cp.add_bool_or([~lit for lit in real])
        elif real:
            self.cp.add(rule).only_enforce_if(real)
        else:
            self.cp.add(rule)

    @staticmethod
    def gap(earlier: At, later: At) -> cp_model.LinearExpr:
        """later - earlier as an expression; not for two that are a fixed distance apart."""
        return cp_model.LinearExpr.sum([later.expr, -earlier.expr])

    def at_least(self, later: At, earlier: At, ticks: int, *lits: Lit) -> None:
        """later - earlier >= ticks, where the literals hold."""
        apart = earlier.distance(later)
        if apart is not None:
            self.when(apart >= ticks, *lits)
        elif later.low - earlier.high < ticks:
            self.when(self.gap(earlier, later) >= ticks, *lits)

    def inside(self, load: Load, stretches: Ranges) -> None:
        """[start, end) lies inside one of the stretches, where load.lit holds.

        Domains of start and end; a literal for each stretch where the length
        varies and there is more than one. Never a fixed interval for the time
        between them: see `run.set_parameters`.
        """
        apart = load.start.distance(load.end)
        # What is at a fixed distance may be longer than the least that its way asks for.
        least = max(load.least if apart is None else apart, 0)
        if load.lit is False:
            return
        self._among(load.start, starts(stretches, least), load.lit)
        if apart is not None:
            return
        self._among(load.end, ends(stretches, least), load.lit)
        reached = [
            (a, b)
            for a, b in stretches
            if b - a >= least and b >= load.start.low + least and a <= load.end.high - least
        ]
        if len(reached) > 1:
            self._one_of(load, reached)

    def _among(self, at: At, values: Ranges, lit: Lit) -> None:
        """The moment is one of these values, where `lit` holds."""
        kept = meet(values, ((at.low, at.high),))
        if kept == ((at.low, at.high),):
            return
        if at.var is None or not kept:
            self.when(bool(kept), lit)
            return
        domain = cp_model.Domain.from_intervals([[a - at.offset, b - at.offset] for a, b in kept])
        rule = self.cp.add_linear_expression_in_domain(at.var, domain)
        if not isinstance(lit, bool):
            rule.only_enforce_if(lit)

    def _one_of(self, load: Load, stretches: list[tuple[int, int]]) -> None:
        """A literal for each stretch; one holds the load."""
        inside: list[Lit] = [] if isinstance(load.lit, bool) else [~load.lit]
        for a, b in stretches:
            start, end = At(None, None, a, a, a), At(None, None, b, b, b)

            def holds(view: View, a: int = a, b: int = b) -> bool:
                return a <= view.time(load.start) and view.time(load.end) <= b

            here = self.literal(holds)
            self.at_least(load.start, start, 0, here)
            self.at_least(end, load.end, 0, here)
            inside.append(here)
        self.cp.add_bool_or(inside)

    def interval(self, load: Load) -> cp_model.IntervalVar:
        """The load as an (optional) interval."""
        size = load.start.distance(load.end)
        lit = load.lit
        self.plain &= isinstance(lit, bool) and load.least > 0
        if size is not None:
            if isinstance(lit, bool):
                return self.cp.new_fixed_size_interval_var(load.start.expr, size, "")
            return self.cp.new_optional_fixed_size_interval_var(load.start.expr, size, lit, "")
        start, end = load.start.expr, load.end.expr
        length = self._length(load)
        if isinstance(lit, bool):
            return self.cp.new_interval_var(start, length, end, "")
        return self.cp.new_optional_interval_var(start, length, end, lit, "")

    def _length(self, load: Load) -> cp_model.IntVar:
        """end - start, made once for all options of a use."""
        low, high = max(load.least, 0), max(load.most, load.least, 0)
        start, end = load.start, load.end
        key = (start.root, start.offset, end.root, end.offset, low, high)
        if key not in self._lengths:
            self._lengths[key] = self.integer(
                low, high, lambda view: min(max(view.time(end) - view.time(start), low), high)
            )
        return self._lengths[key]

    def at(self, point: Point) -> At:
        """The moment of an endpoint."""
        return self.time.at(point)

    def here(self, point: Point) -> Lit:
        """Whether an endpoint is there."""
        return True if point.task < 0 else self.present[self.problem.tasks[point.task].batch]
