"""CP-SAT's solver behind one function: its quirks live here.

Facts of ortools 9.15 that this file respects: probing in presolve costs more
than it brings on models of optional intervals (google/or-tools #3407, #4166);
more workers than cores are worse; `stop_search` does nothing before the
search has begun, so it is repeated until the solve is over (#3621);
`repair_hint` may crash (#5025) or exit late (#4743); a duplicate hint makes a
model invalid.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, Literal

from ortools.sat.python import cp_model

from scheduler.solve.cpsat.extract import solution_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.solve.cpsat.model import Model, View
    from scheduler.workload.primitives import Solution

Status = Literal["optimal", "feasible", "infeasible", "unknown"]

STOP_EVERY = 0.1
"""Seconds between two looks at whether to stop."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How hard a solve may try.

    Attributes
    ----------
    seconds : float or None
        Wall-clock time; deterministic time where `deterministic`.
    deterministic : bool
        One worker and no wall clock: the same answer every time.
    workers : int
        No more than there are cores.
    seed : int
    presolve : bool
    """

    seconds: float | None = None
    deterministic: bool = False
    workers: int = 2
    seed: int = 1
    presolve: bool = True


@dataclass(frozen=True, slots=True)
class Run:
    """What one solve came to.

    Attributes
    ----------
    status : str
        "optimal", "feasible", "infeasible" or "unknown".
    solution : Solution or None
    value, bound : int or None
        Objective and its best bound.
    spent : float
        Deterministic time.
    """

    status: Status
    solution: Solution | None
    value: int | None
    bound: int | None
    spent: float


def run(
    model: Model,
    limits: Limits,
    view: View | None = None,
    stop: Callable[[], bool] | None = None,
    on_solution: Callable[[Solution], None] | None = None,
) -> Run:
    """Solve a built model once, hinted with a solution if there is one."""
    cp = model.cp
    cp.clear_hints()  # type: ignore[no-untyped-call]
    if view is not None:
        for var, hint in model.hints:
            cp.add_hint(var, int(hint(view)))
    solver = cp_model.CpSolver()
    set_parameters(solver, limits, model.plain)
    over = threading.Event()
    watcher = None
    if stop is not None:
        watcher = threading.Thread(target=_watch, args=(solver, stop, over), daemon=True)
        watcher.start()
    try:
        status = solver.solve(cp, _Tell(model, on_solution) if on_solution else None)
    finally:
        over.set()
        if watcher is not None:
            watcher.join()
    if status == cp_model.MODEL_INVALID:
        raise ValueError(f"CP-SAT refuses the model: {cp.validate()}")
    name: Status = _NAMES.get(status, "unknown")
    found = name in ("optimal", "feasible")
    return Run(
        name,
        solution_of(model, solver.value) if found else None,
        round(solver.objective_value) if found else None,
        ceil(solver.best_objective_bound - 1e-6) if found else None,
        solver.deterministic_time,
    )


def set_parameters(solver: cp_model.CpSolver, limits: Limits, plain: bool) -> None:
    """Tell the solver how hard to try.

    Parameters
    ----------
    plain
        Whether every interval is there and longer than nothing. Otherwise the
        linear relaxation is off.

    Notes
    -----
    9.15 says "infeasible" of

        b in {0, 1}, start = 9 - b, [start, start + 2) there if b,
        no overlap with [0, 10), minimise start

    (b = 0 works). Its relaxation of a no-overlap or cumulative takes an
    interval that is there, fills the capacity and ends last for "the
    makespan", and then asks that it begin after the earliest start of the
    others, though none of them need be there, or be longer than nothing.
    Probing in presolve hides it, and costs too much. Without the relaxation
    the demo week was proved as fast.
    """
    parameters = solver.parameters
    parameters.cp_model_probing_level = 0
    parameters.cp_model_presolve = limits.presolve
    parameters.random_seed = limits.seed
    workers = 1 if limits.deterministic else max(1, limits.workers)
    parameters.num_workers = workers
    if not plain:
        parameters.linearization_level = 0
        if workers > 1:
            # The named searches set their own level; these are the ones without a relaxation.
            parameters.subsolvers.extend(["no_lp", "quick_restart_no_lp"])
    if limits.seconds is not None:
        if limits.deterministic:
            parameters.max_deterministic_time = max(limits.seconds, 0.0)
        else:
            parameters.max_time_in_seconds = max(limits.seconds, 0.0)


def _watch(solver: cp_model.CpSolver, stop: Callable[[], bool], over: threading.Event) -> None:
    while not over.wait(STOP_EVERY):
        if stop():
            solver.stop_search()


class _Tell(cp_model.CpSolverSolutionCallback):
    """Passes every better solution on."""

    def __init__(self, model: Model, tell: Callable[[Solution], None]) -> None:
        super().__init__()
        self.model = model
        self.tell = tell

    def on_solution_callback(self) -> None:
        self.tell(solution_of(self.model, self.value))


_NAMES: dict[cp_model.CpSolverStatus, Status] = {
    cp_model.OPTIMAL: "optimal",
    cp_model.FEASIBLE: "feasible",
    cp_model.INFEASIBLE: "infeasible",
}
