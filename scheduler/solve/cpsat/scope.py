"""Which batches a model decides, which stay where they are, which are not there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from scheduler.solve.cleaning import cleaned
from scheduler.solve.cpsat.ranges import Ranges, merged, without
from scheduler.solve.objective import terms
from scheduler.workload.primitives import Solution

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from scheduler.workload.primitives import Problem

    Spell = tuple[int, int, int | None]
    """Start, end and crew of somebody's time, or None at a visit."""


@dataclass(frozen=True)
class Scope:
    """What a model is about. Batches that are named nowhere here are left out.

    Attributes
    ----------
    problem : Problem
    frozen : frozenset of int
        Batches that stay as in `base`: times, people, choices.
    certain : frozenset of int
        Batches that move and must be there.
    maybe : frozenset of int
        Batches that move and may be left out.
    base : Solution
        Where the frozen ones are.
    needs : bool
        Whether a batch is left out with its inputs.
    there : tuple of stretches
        For each person when they are there and not at something frozen.
    spells : tuple of (start, end, crew or None)
        Where jobs may be left: for each person what they do that is frozen.
    """

    problem: Problem
    frozen: frozenset[int]
    certain: frozenset[int]
    maybe: frozenset[int]
    base: Solution
    needs: bool
    there: tuple[Ranges, ...]
    spells: tuple[tuple[Spell, ...], ...] = ()

    @property
    def leaving(self) -> bool:
        """May any job be left?"""
        return bool(self.spells)

    def hours(self, person: int, crew: int | None) -> Ranges:
        """When somebody could be at a crew, or at a visit, by what is frozen.

        For what may be left that is all but what it could not be left for, for the rest all but
        what is not left; pairs say the rest.
        """
        if not self.leaving:
            return self.there[person]
        crews = self.problem.crews
        leave = None if crew is None else crews[crew].leave
        closed = []
        for start, end, c in self.spells[person]:
            known = None if c is None else crews[c]
            if leave is None:
                over = known is not None and known.leave is not None
            elif known is not None and known.rest:
                over = leave.breaks
            else:
                short = end - start <= leave.longest
                over = short and (known is None or known.leave is None)
            if not over:
                closed.append((start, end))
        return without(merged(self.problem.people[person][1]), closed)

    def implied(self, batch: int) -> frozenset[int]:
        """The batches that are there whenever this one is."""
        found = {batch}
        if self.needs:
            stack = [batch]
            while stack:
                for i in self.problem.batches[stack.pop()].inputs:
                    if i not in found:
                        found.add(i)
                        stack.append(i)
        return self.frozen | self.certain | found

    def frozen_task(self, task: int) -> bool:
        """Whether a task stays where it is."""
        return self.problem.tasks[task].batch in self.frozen

    def decided(self, choice: int) -> int | None:
        """The option of a choice between frozen ends; None where the model chooses.

        A share from a frozen batch to one that moves may stand in another store.
        """
        if self.problem.choices[choice].batch in self.frozen and choice not in self.loosened:
            return self.base.chosen.get(choice)
        return None

    @cached_property
    def settled(self) -> frozenset[int]:
        """Resources with a clean-down on which nothing moves."""
        moving = self.certain | self.maybe
        return frozenset(cleaned(self.problem)) - {
            option.resource
            for use in self.problem.uses
            if use.batch in moving
            for option in self.problem.choices[use.choice].options
        }

    @cached_property
    def kept(self) -> tuple[int, ...]:
        """Uses after which their resource is cleaned as in `base`."""
        return tuple(_kept(self.problem, self.settled, self.base))

    @cached_property
    def loosened(self) -> frozenset[int]:
        """Choices of uses that a batch that moves has an end of."""
        moving = self.certain | self.maybe
        tasks = self.problem.tasks
        return frozenset(
            use.choice
            for use in self.problem.uses
            for point in (use.start, use.end)
            if point.task >= 0 and tasks[point.task].batch in moving
        )


def scope_of(
    problem: Problem, hint: Solution | None, free: frozenset[int] | None, may_omit: bool
) -> Scope:
    """The scope of one solve (see `everything_served` where the hint does).

    Raises
    ------
    ValueError
        `free` without a hint that says where the rest is.
    """
    everything = frozenset(range(len(problem.batches)))
    fixed = frozenset(b for b, batch in enumerate(problem.batches) if batch.fixed)
    moving = everything
    frozen: frozenset[int] = frozenset()
    placed = hint.placed(problem) if hint is not None else frozenset()
    if free is not None:
        if hint is None:
            raise ValueError("`free` needs a hint: where is the rest?")
        moving = everything & free
        frozen = placed - moving
        if fixed - frozen - moving:
            raise ValueError("`free` needs a hint in which every fixed batch has its place")
    certain = moving & fixed if may_omit else moving
    certain |= moving & _with_inputs(problem, frozen | certain)
    scope = _scope(problem, frozen, certain, moving - certain, hint or Solution(), True)
    if hint is not None and not any(terms(problem, hint).served):
        return everything_served(scope)
    return scope


def everything_served(scope: Scope) -> Scope:
    """The same scope where a solution that serves everything is known.

    What serves less is worse, so batches that any plate would miss are
    certain, with their inputs.
    """
    missed = {b for plate in scope.problem.plates for b, lacks in plate.lacks if lacks > 0}
    certain = scope.certain | (scope.maybe & _with_inputs(scope.problem, missed))
    return replace(scope, certain=certain, maybe=scope.maybe - certain)


def scope_for(problem: Problem, batches: Iterable[int]) -> Scope:
    """All of these batches and the fixed ones, nothing else, nothing left out.

    Inputs are not asked for: what has no place without them has none with them.
    """
    fixed = {b for b, batch in enumerate(problem.batches) if batch.fixed}
    certain = frozenset(fixed | set(batches))
    return _scope(problem, frozenset(), certain, frozenset(), Solution(), False)


def _scope(
    problem: Problem,
    frozen: frozenset[int],
    certain: frozenset[int],
    maybe: frozenset[int],
    base: Solution,
    needs: bool,
) -> Scope:
    leaving = any(crew.leave is not None for crew in problem.crews)
    scope = Scope(problem, frozen, certain, maybe, base, needs, ())
    spells = _spells(problem, frozen, base, scope.kept)
    there = tuple(
        without(merged(stretches), [s[:2] for s in spells[p]])
        for p, (_, stretches) in enumerate(problem.people)
    )
    held = tuple(tuple(sorted(some, key=lambda s: s[:2])) for some in spells) if leaving else ()
    return Scope(problem, frozen, certain, maybe, base, needs, there, held)


def _with_inputs(problem: Problem, batches: Iterable[int]) -> frozenset[int]:
    found = set(batches)
    stack = sorted(found)
    while stack:
        for i in problem.batches[stack.pop()].inputs:
            if i not in found:
                found.add(i)
                stack.append(i)
    return frozenset(found)


def _kept(problem: Problem, settled: frozenset[int], base: Solution) -> Iterator[int]:
    for n in base.cleans if settled else ():
        choice = problem.uses[n].choice
        if problem.choices[choice].options[base.chosen.get(choice, 0)].resource in settled:
            yield n


def _spells(
    problem: Problem, frozen: frozenset[int], base: Solution, kept: Iterable[int]
) -> list[list[Spell]]:
    """For each person what they do that is frozen."""
    busy: list[list[Spell]] = [[] for _ in problem.people]
    for c, crew in enumerate(problem.crews):
        if problem.tasks[crew.task].batch in frozen:
            for p in base.crews.get(c, ()):
                busy[p].append((*base.times[crew.task], c))
    for n, tend in enumerate(problem.tends):
        if problem.tasks[tend.task].batch in frozen:
            for visit in base.tends.get(n, ()):
                for p in visit.people:
                    busy[p].append((visit.start, visit.end, None))
    for n, add in enumerate(problem.adds):
        placed = base.adds.get(n)
        if placed is not None and problem.tasks[add.task].batch in frozen:
            for p in placed.people:
                busy[p].append((placed.start, placed.end, None))
    for n in kept:
        for p in base.cleans[n].people:
            busy[p].append((base.cleans[n].start, base.cleans[n].end, None))
    return busy
