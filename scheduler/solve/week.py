"""One week, compiled for one choice of methods, and what certainly cannot be made of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from scheduler.domain.methods import made_by, methods_of, variants
from scheduler.domain.problems import BadInput
from scheduler.plan.model import Terms
from scheduler.solve.objective import parts
from scheduler.workload.assemble import assemble
from scheduler.workload.certificates import certify
from scheduler.workload.compile import compile_week
from scheduler.workload.energy import cannot_all
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.staying import Staying
    from scheduler.plan.model import Past, Plan
    from scheduler.solve.objective import Score
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.model import WorkBatch, Workload
    from scheduler.workload.primitives import Solution

CHOICES = 16
"""What cannot work in more choices than these is not called impossible."""

Ways = dict[str, tuple[str | None, ...]]
"""Batch: every way of getting it, the recipe's own steps first."""


@dataclass
class Week:
    """One week being planned, with one method for every batch.

    Attributes
    ----------
    chosen : dict of str to str
        Batch: its method, where not the recipe's own steps.
    kept : tuple of Staying
        Tasks that stay where somebody wants them.
    past : Past or None
        What had happened, where it is planned anew in the middle.
    because : dict of str to str
        Batch: why that was chosen.
    """

    scenario: Scenario
    workload: Workload
    compiled: Compiled
    chosen: dict[str, str]
    kept: tuple[Staying, ...] = ()
    past: Past | None = None
    because: dict[str, str] = field(default_factory=dict)

    @cached_property
    def choices(self) -> Ways:
        """Batches that could be made in another way."""
        found: Ways = {}
        begun = set() if self.past is None else {b.id for b in self.past.batches}
        for batch in self.workload.batches:
            ways = methods_of(recipe_of(self.scenario, batch))
            if len(ways) > 1 and not batch.in_progress and batch.id not in begun:
                found[batch.id] = ways
        return found

    @cached_property
    def reasons(self) -> dict[str, str]:
        """Batches that cannot have a place with this choice, and why.

        Worked out when something is missing: a first plan of everything waits for no reasons.
        """
        found = certify(self.scenario, self.workload, self.compiled)
        return {m.batch: m.why for m in found}

    @cached_property
    def certain(self) -> dict[str, str]:
        """Those of `reasons` that hold whatever is chosen, as far as is known."""
        return {b: why for b, why in self.reasons.items() if not self.may_change((b,))}

    def look_for_reasons(self, solution: Solution) -> None:
        """For batches without a place: are they of a set for which the hours do not reach?

        And what cannot work with this choice: can it with another?
        """
        problem = self.compiled.problem
        placed = solution.placed(problem)
        missing = {batch.id for b, batch in enumerate(problem.batches) if b not in placed}
        for batch, (why, _) in self.all_reasons().items():
            if batch in missing and batch not in self.certain and self._confirmed(batch):
                self.certain[batch] = why

    def plan(
        self, solution: Solution, score: Score, bound: int | None = None, why: bool = True
    ) -> Plan:
        """The solution in the kitchen's words; `why`: with reasons for what is missing."""
        short = why and any(score.served)
        certain = self.certain if short else {}
        # In the middle of a week nobody waits until every other choice has been looked at.
        reasons = self.reasons | certain if short and self.past is not None else certain
        told = parts(self.compiled.problem, solution)
        plan = assemble(
            self.scenario,
            self.workload,
            self.compiled,
            solution,
            reasons,
            frozenset(certain),
            Terms(
                served=score.served[:-1],
                left_out=score.served[-1],
                money=score.money,
                changes=score.changes,
                quality=score.quality,
                in_hand=told.in_hand,
                calm=told.calm,
                wishes=told.wishes,
            ),
            self.because,
        )
        return plan if bound is None else plan.model_copy(update={"bound": bound})

    # -- whatever is chosen -----------------------------------------------------------------

    def all_reasons(self) -> dict[str, tuple[str, tuple[str, ...]]]:
        """Reasons, and sets of batches for which the hours do not reach; of whom they speak."""
        found: dict[str, tuple[str, tuple[str, ...]]] = {
            batch: (why, (batch,)) for batch, why in self.reasons.items()
        }
        for short in cannot_all(self.scenario, self.compiled, tuple(self.reasons)):
            for batch in short.batches:
                found.setdefault(batch, (short.why, short.batches))
        return found

    def may_change(self, batches: Collection[str]) -> Ways:
        """Choices that may have to do with whether some batches have a place.

        Their own, those of what they are made of and of all that these are
        for; all of them where something that is delivered is shared out.
        """
        if not self.choices:
            return {}
        feeds: dict[str, set[str]] = {}
        takes: dict[str, set[str]] = {}
        of = {b.id: b.component or b.dish or "" for b in self.workload.batches}
        for s in self.workload.shares:
            feeds.setdefault(s.component, set()).add(of[s.consumer])
            takes.setdefault(of[s.consumer], set()).add(s.component)
            if s.given:  # whatever else gives it is among those, too
                givers = {
                    c.id
                    for c in self.scenario.components
                    for made in variants(c)
                    for step in made.steps
                    if any(g.component == s.component for g in step.gives)
                }
                takes[of[s.consumer]] |= givers
                for giver in givers:
                    feeds.setdefault(giver, set()).add(of[s.consumer])
        near = _reach(_reach({of[b] for b in batches}, takes), feeds)
        if self.scenario.week.deliveries and self._delivered(near):
            return self.choices
        return {name: ways for name, ways in self.choices.items() if of[name] in near}

    def _delivered(self, near: set[str]) -> bool:
        """Does any of some recipes, made in any way, take what is delivered?"""
        late = {d.ingredient for d in self.scenario.week.deliveries}
        recipes: tuple[Component | Dish, ...] = (*self.scenario.components, *self.scenario.dishes)
        steps = [
            s for r in recipes if r.id in near for made in variants(r) for s in made.steps
        ]
        taken = [t for s in steps for t in s.takes]
        taken += [t for dish in self.scenario.dishes if dish.id in near for t in dish.takes]
        return any(t.ingredient in late for t in taken)

    def _confirmed(self, batch: str) -> bool:
        """Is there a reason against it with every choice that may have to do with it?

        From one choice to the next by one batch at a time, of those of which
        the reason speaks: what differs elsewhere has no part in it.
        """
        seen: set[frozenset[tuple[str, str]]] = set()
        ahead = [self]
        while ahead:
            week = ahead.pop()
            reason = week.all_reasons().get(batch)
            if reason is None:
                return False
            seen.add(frozenset(week.chosen.items()))
            for name, ways in week.may_change(reason[1]).items():
                for method in ways:
                    chosen = with_method(week.chosen, {name: method})
                    if frozenset(chosen.items()) not in seen:
                        seen.add(frozenset(chosen.items()))
                        if len(seen) > CHOICES:
                            return False
                        other = week_if_any(self.scenario, chosen, self.kept, self.past)
                        ahead += [] if other is None else [other]
        return True


def week_of(
    scenario: Scenario,
    chosen: Mapping[str, str],
    kept: Sequence[Staying] = (),
    past: Past | None = None,
) -> Week:
    """Work out and compile a week for one choice, with tasks that stay and what is past.

    Raises
    ------
    BadInput
        As `work_out` and `compile_week` do.
    """
    workload = work_out(scenario, chosen=chosen, past=past)
    compiled = compile_week(scenario, workload, kept, past)
    return Week(scenario, workload, compiled, dict(chosen), tuple(kept), past)


def week_if_any(
    scenario: Scenario,
    chosen: Mapping[str, str],
    kept: Sequence[Staying] = (),
    past: Past | None = None,
) -> Week | None:
    """As `week_of`; None where it cannot be made that way, whatever the day looks like."""
    try:
        return week_of(scenario, chosen, kept, past)
    except BadInput:
        return None


def as_kept(
    scenario: Scenario,
    chosen: Mapping[str, str],
    kept: Sequence[Staying],
    past: Past | None = None,
) -> dict[str, str]:
    """A choice in which every kept task is there, as far as some method has its step."""
    found = dict(chosen)
    work = work_out(scenario, chosen=found, past=past).batch if kept else {}
    for keep in kept:
        name, _, step = keep.task.partition("/")
        batch, step = work.get(name), step.partition("/")[0]
        if batch is None or batch.in_progress:
            continue
        recipe = recipe_of(scenario, batch)
        ways = {m: [s.id for s in made_by(recipe, m).steps] for m in methods_of(recipe)}
        if step not in ways.get(found.get(name), ()):
            method = next((m for m, steps in ways.items() if step in steps), found.get(name))
            found = with_method(found, {name: method})
    return found


def with_method(chosen: Mapping[str, str], change: Mapping[str, str | None]) -> dict[str, str]:
    """A choice with some batches made in another way; None: by the recipe's own steps."""
    both: dict[str, str | None] = {**chosen, **change}
    return {name: method for name, method in sorted(both.items()) if method is not None}


def recipe_of(scenario: Scenario, batch: WorkBatch) -> Component | Dish:
    """The recipe a batch is made by."""
    if batch.component is not None:
        return scenario.component[batch.component]
    return scenario.dish[batch.dish or ""]


def _reach(start: set[str], along: Mapping[str, set[str]]) -> set[str]:
    """Everything that can be reached."""
    found, ahead = set(start), list(start)
    while ahead:
        for name in along.get(ahead.pop(), ()):
            if name not in found:
                found.add(name)
                ahead.append(name)
    return found
