"""What each task and batch of a problem touches, and which steps are placed as one."""

from __future__ import annotations

from itertools import pairwise

from scheduler.workload.primitives import Add, Crew, Link, Problem, Tend, Use

NEARLY = 6
"""Ticks: steps with a wait of at most so long between them are placed as one block."""


class Touch:
    """What each task and batch of a problem touches."""

    def __init__(self, problem: Problem, nearly: int = NEARLY) -> None:
        n = len(problem.tasks)
        self.gaps: dict[tuple[int, int], tuple[int, int]] = {}
        self.links: list[list[Link]] = [[] for _ in range(n)]
        self.crews: list[list[tuple[int, Crew]]] = [[] for _ in range(n)]
        self.tends: list[list[tuple[int, Tend]]] = [[] for _ in range(n)]
        self.adds: list[list[tuple[int, Add]]] = [[] for _ in range(n)]
        self.uses: list[list[tuple[int, Use]]] = [[] for _ in range(n)]
        for link in problem.links:
            for t in {p.task for p in (link.before, link.after) if p.task >= 0}:
                self.links[t].append(link)
            if (
                link.before.end and not link.after.end and link.most is not None
                and 0 <= (link.least or 0) <= link.most <= nearly
            ):  # fmt: skip
                self.gaps[link.before.task, link.after.task] = (link.least or 0, link.most)
        for i, use in enumerate(problem.uses):
            for t in {p.task for p in (use.start, use.end) if p.task >= 0}:
                self.uses[t].append((i, use))
        for i, crew in enumerate(problem.crews):
            self.crews[crew.task].append((i, crew))
        for i, tend in enumerate(problem.tends):
            self.tends[tend.task].append((i, tend))
        for i, add in enumerate(problem.adds):
            self.adds[add.task].append((i, add))
        self.blocks: list[list[tuple[int, ...]]] = []
        for batch in problem.batches:
            blocks: list[list[int]] = [[t] for t in batch.tasks[:1]]
            for one, other in pairwise(batch.tasks):
                if (one, other) in self.gaps:
                    blocks[-1].append(other)
                else:
                    blocks.append([other])
            self.blocks.append([tuple(b) for b in blocks])

    def consumers(self, problem: Problem) -> list[set[int]]:
        """For each batch those that follow it."""
        found: list[set[int]] = [set() for _ in problem.batches]
        for link in problem.links:
            if link.before.task >= 0 and link.after.task >= 0 and (link.least or 0) >= 0:
                one, other = (problem.tasks[p.task].batch for p in (link.before, link.after))
                if one != other and link.least is not None:
                    found[one].add(other)
        return found
