"""The latest start of every task, also where not everything can be made."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.workload.certificates import certify
from scheduler.workload.starts import Starts
from scheduler.workload.windows import Net

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from scheduler.domain.scenario import Scenario
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.model import Workload
    from scheduler.workload.primitives import Problem


@dataclass(frozen=True, slots=True)
class Latest:
    """Latest starts.

    Attributes
    ----------
    start : tuple of int
        Of every task, ticks. By windows where its batch can be made; of a
        batch in `left_out` by walking back shortest lengths and waits from
        service, nobody's hours looked at: it may lie before planning begins.
    hopeless : frozenset of int
        Batches that certainly cannot be of use, and those that are for
        nothing else.
    left_out : frozenset of int
        These, and others that do not fit in with the rest.
    """

    start: tuple[int, ...]
    hopeless: frozenset[int]
    left_out: frozenset[int]


def latest_starts(scenario: Scenario, workload: Workload, compiled: Compiled) -> Latest:
    """Latest starts of all tasks."""
    problem = compiled.problem
    net = Net(problem, Starts(problem))
    consumers: dict[int, set[int]] = {}
    for s in workload.shares:
        if not s.lot:
            consumers.setdefault(compiled.batch[s.source], set()).add(compiled.batch[s.consumer])
    certain = {compiled.batch[m.batch] for m in certify(scenario, workload, compiled)}
    hopeless = _of_no_use(problem, consumers, certain)
    order = [b for batch in workload.batches if (b := compiled.batch[batch.id]) not in hopeless]
    left_out = _of_no_use(problem, consumers, hopeless | set(_misfits(net, order)))
    bounds = net.tighten([b for b in range(len(problem.batches)) if b not in left_out])
    start = [bounds.hi[2 * t] for t in range(len(problem.tasks))]
    for b in left_out:
        back = net.tighten(net.with_fixed(_onward(consumers, b)), people=False, backwards=True)
        for t in problem.batches[b].tasks:
            start[t] = back.hi[2 * t]
        if back.stuck is not None:
            _by_stages(workload, compiled, b, start)
    return Latest(tuple(start), frozenset(hopeless), frozenset(left_out))


def _of_no_use(problem: Problem, consumers: dict[int, set[int]], out: set[int]) -> set[int]:
    """With batches that are out: what cannot be made without one, or is for nothing else."""
    found = set(out)
    while True:
        more = {
            b
            for b, batch in enumerate(problem.batches)
            if b not in found
            and (found.intersection(batch.inputs) or (b in consumers and consumers[b] <= found))
        }
        if not more:
            return found
        found |= more


def _misfits(net: Net, order: Sequence[int]) -> Iterator[int]:
    """Batches that do not fit in with those before them, where links tie them together."""
    for group in _tied(net, order):
        if net.tighten(net.with_fixed(group)).stuck is None:
            continue
        kept: list[int] = []
        for b in group:
            if net.tighten(net.with_fixed([*kept, b])).stuck is None:
                kept.append(b)
            else:
                yield b


def _tied(net: Net, order: Sequence[int]) -> list[list[int]]:
    """Groups of batches that links tie together, each in the order given."""
    problem, todo = net.problem, set(order)
    groups: list[list[int]] = []
    for first in order:
        if first not in todo:
            continue
        todo.discard(first)
        group, ahead = {first}, [first]
        while ahead:
            for t in problem.batches[ahead.pop()].tasks:
                arcs = (net.out[2 * t], net.into[2 * t], net.out[2 * t + 1], net.into[2 * t + 1])
                for v in (v for some in arcs for v, _ in some if v < net.n):
                    b = problem.tasks[v // 2].batch
                    if b in todo:
                        todo.discard(b)
                        group.add(b)
                        ahead.append(b)
        groups.append([b for b in order if b in group])
    return groups


def _onward(consumers: dict[int, set[int]], b: int) -> set[int]:
    """A batch, what it is for, what that is for, and so on."""
    found, ahead = {b}, [b]
    while ahead:
        more = consumers.get(ahead.pop(), set()) - found
        found |= more
        ahead += more
    return found


def _by_stages(workload: Workload, compiled: Compiled, b: int, start: list[int]) -> None:
    """Where links contradict each other: what the recipe alone says, step by step."""
    grid = compiled.problem.grid
    for record in compiled.tasks:
        if compiled.batch[record.batch] == b:
            batch = workload.batch[record.batch]
            by = {s.step.id: s.latest for s in batch.stages}.get(record.step, batch.plating)
            if by is not None:
                for t in record.parts.values():
                    start[t] = by // grid
