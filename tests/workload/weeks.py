"""Written weeks to primitives, and looking things up in them by name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.workload.compile import compile_week
from scheduler.workload.primitives import Point
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from scheduler.workload.compiled import Compiled, HoldRecord
    from scheduler.workload.model import WorkBatch, Workload
    from scheduler.workload.primitives import Link, Option, Problem, Task, Use


class Week:
    """One written week, worked out and compiled.

    `unread`: without the reader's checks, for words that it still refuses.
    """

    def __init__(
        self, document: dict[str, Any], apart: tuple[str, ...] = (), unread: bool = False
    ) -> None:
        self.scenario = Scenario.model_validate(document) if unread else scenario_of(document)
        self.work: Workload = work_out(self.scenario, apart)
        self.compiled: Compiled = compile_week(self.scenario, self.work)

    @property
    def problem(self) -> Problem:
        return self.compiled.problem

    def batch(self, name: str) -> WorkBatch:
        return self.work.batch[name]

    def batches_of(self, component: str) -> list[WorkBatch]:
        return [b for b in self.work.batches if b.component == component]

    def share(self, source: str, consumer: str) -> int:
        """Base units that go from one to the other."""
        return sum(
            s.quantity for s in self.work.shares if (s.source, s.consumer) == (source, consumer)
        )

    def index(self, name: str) -> int:
        return next(i for i, t in enumerate(self.problem.tasks) if t.id == name)

    def task(self, name: str) -> Task:
        return self.problem.tasks[self.index(name)]

    def point(self, name: str) -> Point:
        """ "soup.1/cook:run.end" as a point."""
        task, _, side = name.rpartition(".")
        return Point(self.index(task), side == "end")

    def links(self, before: str, after: str) -> list[Link]:
        one, other = self.point(before), self.point(after)
        return [x for x in self.problem.links if (x.before, x.after) == (one, other)]

    def bounds(self, before: str, after: str) -> tuple[int | None, int | None]:
        """The strictest least and most of all links from one point to another."""
        found = self.links(before, after)
        assert found, f"no link {before} -> {after}"
        least = [x.least for x in found if x.least is not None]
        most = [x.most for x in found if x.most is not None]
        return max(least, default=None), min(most, default=None)

    def uses(self, task: str) -> list[Use]:
        """Uses that begin with a primitive task."""
        at = self.index(task)
        return [u for u in self.problem.uses if u.start.task == at]

    def options(self, use: Use) -> list[Option]:
        return list(self.problem.choices[use.choice].options)

    def resource(self, use: Use) -> str:
        """The one resource a use may take."""
        (option,) = self.options(use)
        return self.problem.resources[option.resource].id

    def holds(self, kind: str) -> list[HoldRecord]:
        return [h for h in self.compiled.holds if h.kind == kind]

    def order(self, batch: str) -> list[str]:
        """The tasks of a batch, in the order in which they could be done."""
        of = self.problem.batches[self.compiled.batch[batch]]
        return [self.problem.tasks[t].id.removeprefix(f"{batch}/") for t in of.tasks]
