"""What cannot work whatever the search does, with the reason in a chef's words.

Sound and not complete: what is claimed is certain; much that cannot work is
not seen here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.plan.model import Missing
from scheduler.workload.diagnosis import Diagnosis
from scheduler.workload.starts import Starts
from scheduler.workload.windows import Net
from scheduler.workload.words import short

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.model import Workload
    from scheduler.workload.primitives import Use

MOST_PATHS = 40
"""A batch that feeds more dishes than this in more ways is not judged."""


def certify(
    scenario: Scenario, workload: Workload, compiled: Compiled
) -> tuple[Missing, ...]:
    """Every batch that certainly cannot be placed so that it is of use.

    A batch is certain when it has no place by itself, or with no single dish
    (and what lies between) that it is for; what cannot be made without one is
    certain with it. The claim rests on windows and on sizes, never on search.
    """
    return _Certificates(scenario, workload, compiled).run()


class _Certificates:
    def __init__(self, scenario: Scenario, workload: Workload, compiled: Compiled) -> None:
        self.scenario = scenario
        self.workload = workload
        self.compiled = compiled
        self.problem = compiled.problem
        self.net = Net(compiled.problem, Starts(compiled.problem))
        self.consumers: dict[int, list[int]] = {}
        for s in workload.shares:
            if not s.lot:
                at = compiled.batch[s.source]
                self.consumers.setdefault(at, []).append(compiled.batch[s.consumer])
        self.diagnosis = Diagnosis(scenario, workload, compiled, self.net)
        self.found: dict[int, str] = {}

    def run(self) -> tuple[Missing, ...]:
        for b, why in self._too_large():
            self._out(b, why)
        everything = [
            b for b in range(len(self.problem.batches)) if b not in self.found
        ]
        if self.net.tighten(everything).stuck is not None:
            for batch in self.workload.batches:
                b = self.compiled.batch[batch.id]
                if b not in self.found:
                    self._judge(b)
        names = [batch.id for batch in self.workload.batches]
        return tuple(
            Missing(batch=name, why=short(self.found[b]), certain=True)
            for name in names
            if (b := self.compiled.batch[name]) in self.found
        )

    def _insisted(self, b: int) -> str:
        """What the chef insists on, which may be why."""
        name = self.problem.batches[b].id
        of = next((w.component for w in self.workload.batches if w.id == name), None)
        musts = [
            w.words
            for w in self.scenario.week.wishes
            if w.component == of and w.kind.startswith("must")
        ]
        return f" (wished: {'; '.join(musts)})" if musts else ""

    def _out(self, b: int, why: str) -> None:
        """Note a batch, and everything that cannot be made without it."""
        self.found.setdefault(b, why + self._insisted(b))
        name = self.problem.batches[b].id
        for c, batch in enumerate(self.problem.batches):
            if b in batch.inputs and c not in self.found:
                self._out(c, f"it cannot be made without {name}")

    # -- windows -------------------------------------------------------------------------

    def _judge(self, b: int) -> None:
        """Is there room for a batch alone, and with one of the dishes it is for?"""
        alone = self.net.with_fixed({b})
        bounds = self.net.tighten(alone)
        if bounds.stuck is not None:
            # With a dish it is for, so that its times are counted from that service.
            together = self.net.with_fixed(next(self._paths(b), {b}))
            self._out(b, self.diagnosis.why(b, together, self.net.tighten(together)))
            return
        first = None
        for count, path in enumerate(self._paths(b)):
            if count >= MOST_PATHS:
                return
            together = self.net.with_fixed(path)
            bounds = self.net.tighten(together)
            if bounds.stuck is None:
                return
            first = first or (together, bounds)
        if first is not None:
            self._out(b, self.diagnosis.why(b, *first))

    def _paths(self, b: int) -> Iterator[set[int]]:
        """A batch with one consumer, its consumer, and so on up to a dish: every way."""
        after = [
            c for c in dict.fromkeys(self.consumers.get(b, ())) if c not in self.found and c != b
        ]
        for c in after:
            inner = list(self._paths(c))
            for path in inner or [{c}]:
                yield {b} | path

    # -- sizes -----------------------------------------------------------------------------

    def _too_large(self) -> Iterator[tuple[int, str]]:
        """Uses that no option has room for, whenever they are."""
        for record in self.compiled.tasks:
            lasts = sum(self.problem.tasks[t].least for t in record.parts.values())
            for one in (*record.taken, *(t for v in record.visits for t in v.taken)):
                use = self.problem.uses[one.use]
                if lasts > use.grace and not self._fits(use):
                    largest = max(
                        (o.resource for o in self.problem.choices[use.choice].options),
                        key=lambda r: self.problem.resources[r].capacity,
                    )
                    resource = self.problem.resources[largest]
                    yield (
                        self.compiled.batch[record.batch],
                        f"{record.step} takes {one.places} places of {resource.id}, which has "
                        f"{resource.capacity * one.places // use.amount}",
                    )

    def _fits(self, use: Use) -> bool:
        options = self.problem.choices[use.choice].options
        return any(self.problem.resources[o.resource].capacity >= use.amount for o in options)
