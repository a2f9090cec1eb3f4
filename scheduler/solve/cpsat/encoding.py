"""Which of the two ways a problem is written down for CP-SAT."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Encoding:
    """How the same rules become variables and constraints.

    Attributes
    ----------
    tighten : bool
        Propagate windows before building, share one variable among endpoints
        that are a fixed distance apart, leave out people who cannot come.
    pairs : bool
        Write capacities and people as orderings of pairs and as loads at
        each start, instead of cumulative and no-overlap constraints.
    presolve : bool
        Let CP-SAT simplify the model first.
    """

    tighten: bool = True
    pairs: bool = False
    presolve: bool = True


FIRST = Encoding()
"""What plans."""

SECOND = Encoding(tighten=False, pairs=True, presolve=False)
"""What has to agree before anybody hears that something cannot work.

It shares with the first neither the windows, nor the constraints that hold
capacities, nor CP-SAT's presolve, because wrong "infeasible" answers have
come from each of these.
"""
