"""What a result says about what was published, and the other way round."""

from __future__ import annotations

from dataclasses import dataclass

from scheduler.solve.check import violations
from scheduler.solve.cpsat.solve import ModelResult
from scheduler.workload.primitives import Problem
from tests.published.instances import Instance


@dataclass(frozen=True)
class Verdict:
    """One instance, one result.

    Attributes
    ----------
    proved : bool
        The optimum, or that there is no solution, was proved.
    equal, better : bool
        As good as what was published; better, and replayed.
    value : int or None
    contradiction : str
        Why both cannot be true; empty where they can.
    """

    proved: bool
    equal: bool
    better: bool
    value: int | None
    contradiction: str = ""


def judge(instance: Instance, problem: Problem, result: ModelResult) -> Verdict:
    """Compare a result with what is known.

    A value below the best known is an improvement to list, not a
    contradiction. Below the lower bound, a proved optimum above the best
    known, feasible against infeasible: one of the two is wrong.
    """
    value, best, least = result.quality, instance.best, instance.least
    wrong: list[str] = list(result.refused)
    if result.solution is not None:
        wrong += violations(problem, result.solution, partial=False)
        end = max(end for _, end in result.solution.times.values())
        if end != value:
            wrong.append(f"says {value}, ends at {end}")
    if value is not None and best is None:
        wrong.append(f"{value} of what is published as infeasible")
    if value is not None and least is not None and value < least:
        wrong.append(f"{value} is below the lower bound {least}")
    if result.status == "infeasible" and best is not None:
        wrong.append(f"infeasible, and {best} is published")
    if result.bound is not None and best is not None and result.bound > best:
        wrong.append(f"proved to be at least {result.bound}, and {best} is published")
    known = value is not None and best is not None
    return Verdict(
        proved=result.status in ("optimal", "infeasible"),
        equal=(known and value == best) or (result.status == "infeasible" and best is None),
        better=known and not wrong and (value or 0) < (best or 0),
        value=value,
        contradiction="; ".join(wrong),
    )
