"""Where one batch is: what insertion finds and a board takes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain
    from scheduler.workload.primitives import Placed, Problem, Solution


@dataclass(slots=True)
class Placement:
    """Where one batch goes: what insertion finds and the board takes."""

    batch: int
    times: dict[int, tuple[int, int]] = field(default_factory=dict)
    chosen: dict[int, int] = field(default_factory=dict)
    crews: dict[int, tuple[int, ...]] = field(default_factory=dict)
    tends: dict[int, tuple[Placed, ...]] = field(default_factory=dict)
    adds: dict[int, Placed] = field(default_factory=dict)
    cleans: dict[int, Placed] = field(default_factory=dict)


@dataclass(slots=True)
class Stay:
    """One use as placed on its resource."""

    use: int
    resource: int
    start: int
    end: int
    amount: int
    state: int | None


def placement_in(problem: Problem, chain: Chain, source: Board | Solution) -> Placement:
    """How a batch lies on a board or in a solution."""
    uses = [s.use for s in chain.spans] + [h.index for h in chain.holds]
    choices = (problem.uses[n].choice for n in uses)
    return Placement(
        chain.batch,
        {t: source.times[t] for t in chain.tasks if t in source.times},
        {c: source.chosen[c] for c in choices if c in source.chosen},
        {n: source.crews[n] for ns in chain.crews.values() for n in ns if n in source.crews},
        {n: source.tends[n] for ns in chain.tends.values() for n in ns if n in source.tends},
        {n: source.adds[n] for ns in chain.adds.values() for n in ns if n in source.adds},
        {n: source.cleans[n] for n in uses if n in source.cleans} if source.cleans else {},
    )


def keeps_links(board: Board, b: int) -> bool:
    """Do all links between a placed batch and what is placed hold?"""
    for outer in board.index.chains[b].links:
        link = board.problem.links[outer.index]
        before, after = board.moment(link.before), board.moment(link.after)
        if before is not None and after is not None:
            x = after - before
            if (link.least is not None and x < link.least) or (
                link.most is not None and x > link.most
            ):
                return False
    return True
