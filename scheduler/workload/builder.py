"""The lists a problem is made of, while it is being made."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from scheduler.domain.base import Level
from scheduler.domain.exposed import Exposing
from scheduler.domain.methods import made_by
from scheduler.workload.buying import spent
from scheduler.workload.calendars import Calendar
from scheduler.workload.compiled import BreakRecord, DutyRecord, Holder, HoldRecord, TaskRecord
from scheduler.workload.complaints import Complaints
from scheduler.workload.kinds import Kinds
from scheduler.workload.model import Stage
from scheduler.workload.ovens import Ovens
from scheduler.workload.primitives import (
    Add,
    Band,
    Batch,
    Calm,
    Changes,
    Choice,
    Crew,
    Link,
    Money,
    Option,
    Plate,
    Point,
    Problem,
    Resource,
    Task,
    Tend,
    Use,
)
from scheduler.workload.residues import Residues
from scheduler.workload.sorts import ANY, Sort, Sorts

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import Delivery
    from scheduler.plan.model import BrokenOff, Kept
    from scheduler.workload.model import WorkBatch, Workload


@dataclass(slots=True)
class Built:
    """A batch on its way into the problem.

    Attributes
    ----------
    stages : list of (Stage, list of TaskRecord)
        Steps and their kitchen tasks, one a load.
    plating : TaskRecord or None
    washed : dict of (step, place) to list of TaskRecord
        For each need of a container that is washed its washings, one or one a load.
    """

    index: int
    batch: WorkBatch
    stages: list[tuple[Stage, list[TaskRecord]]] = field(default_factory=list)
    plating: TaskRecord | None = None
    washed: dict[tuple[str, int], list[TaskRecord]] = field(default_factory=dict)
    tied: set[str] = field(default_factory=set)

    def task(self, step: str) -> list[TaskRecord]:
        """The tasks of a step, load by load."""
        if self.plating is not None and step == self.plating.step:
            return [self.plating]
        return next(tasks for stage, tasks in self.stages if stage.step.id == step)


def first(task: TaskRecord) -> Point:
    """When a kitchen task begins."""
    return Point(next(iter(task.parts.values())))


def last(task: TaskRecord) -> Point:
    """When a kitchen task is over."""
    return Point(next(reversed(task.parts.values())), True)


Asked = tuple[str, Level, frozenset[str], tuple[str, ...], tuple[str, ...]]
"""What is asked of hands: section, level, training, whom it names and who is let in."""


class Builder:
    """Collects primitives; `problem()` freezes them. `named`: units that tasks are kept on."""

    def __init__(self, scenario: Scenario, work: Workload, named: Iterable[str] = ()) -> None:
        self.scenario = scenario
        self.work = work
        self.grid = scenario.kitchen.grid
        self.kinds = Kinds(scenario, named)
        self.person = {p.id: n for n, p in enumerate(scenario.kitchen.people)}
        self.calendar = Calendar(scenario)
        self.ovens = Ovens(scenario, self.kinds)
        self.residues = Residues(scenario)
        self.sorts = Sorts(scenario)
        self.exposing = Exposing(scenario)
        self.complaints = Complaints()
        self.batch_index: dict[str, int] = {}
        self.batches: list[tuple[str, list[int], bool]] = []
        self.inputs: dict[int, set[int]] = {}
        self.lanes: dict[int, list[tuple[tuple[int, ...], ...]]] = {}
        self.turns: dict[int, tuple[tuple[int, ...], ...]] = {}
        self.built: dict[str, Built] = {}
        self.tasks: list[Task] = []
        self.links: list[Link] = []
        self.resources: list[Resource] = []
        self.holders: list[Holder] = []
        self.unit: dict[str, int] = {}
        self.store: dict[str, int] = {}
        self.choices: list[Choice] = []
        self.uses: list[Use] = []
        self.crews: list[Crew] = []
        self.tends: list[Tend] = []
        self.adds: list[Add] = []
        self.plates: list[Plate] = []
        self.calm: Calm | None = None
        self.changes: Changes | None = None
        self.records: list[TaskRecord] = []
        self.holds: list[HoldRecord] = []
        self.duties: list[DutyRecord] = []
        self.breaks: list[BreakRecord] = []
        self.kept: tuple[Kept, ...] = ()
        self.broken_off: dict[str, BrokenOff] = {}
        self.been: dict[str, int] = {}
        """For each of these how long it had been going, ticks."""
        self.ordered: tuple[frozenset[str], int] = frozenset(), 0
        """Batches that have been ordered, and the minute before which no other can be."""
        self.variants: dict[tuple[str, str], Component] = {}
        self.eligible: dict[Asked, tuple[int, ...]] = {}
        self.learning: dict[tuple[tuple[int, ...], str], tuple[int, ...]] = {}
        self.gates: dict[tuple[str, str, int], tuple[int, int | None]] = {}
        self.drawn: list[tuple[Delivery, tuple[str, str, int], int]] = []
        self.spared: dict[str, int] = {}
        self.arrived: dict[str, Point] = {}
        self.early: dict[str, int | None] = {}
        self.windows: tuple[int, ...] | None = None
        """Earliest starts, where they have been worked out."""
        self.making = ""
        """The recipe of which something is being added."""
        self.short: dict[tuple[str, str, int], tuple[str, Fraction]] = {}

    # -- adding ------------------------------------------------------------------

    def add_batch(self, name: str, fixed: bool = False) -> int:
        """Reserve a place for a batch."""
        index = len(self.batches)
        self.batch_index[name] = index
        self.batches.append((name, [], fixed))
        return index

    def add_task(
        self,
        name: str,
        batch: int,
        least: int,
        most: int,
        earliest: int | None = None,
        latest: int | None = None,
        within: tuple[tuple[int, int], ...] | None = None,
        stretch: Band | None = None,
    ) -> int:
        """A primitive task, after the others of its batch."""
        index = len(self.tasks)
        self.tasks.append(
            Task(
                name, batch, least, most,
                self.calendar.now if earliest is None else earliest,
                self.calendar.horizon if latest is None else latest,
                within, stretch,
            )
        )
        self.batches[batch][1].append(index)
        return index

    def link(
        self,
        before: Point,
        after: Point,
        least: int | None = 0,
        most: int | None = None,
        band: Band | None = None,
    ) -> None:
        """least <= after - before <= most, ticks; a band that costs nothing is dropped."""
        self.links.append(
            Link(before, after, least, most, band if band is not None and band.weight else None)
        )

    def add_use(
        self,
        batch: int,
        options: Sequence[Option],
        amount: int,
        start: Point,
        end: Point,
        grace: int = 0,
        sort: Sort = ANY,
        shut: bool = False,
    ) -> int:
        """A use with a choice of its own; its place."""
        self.choices.append(Choice(batch, tuple(options)))
        self.uses.append(
            Use(batch, len(self.choices) - 1, amount, start, end, grace, shut, *sort)
        )
        return len(self.uses) - 1

    def made_in(self, batch: int) -> WorkBatch | None:
        """The batch of the workload that is being built; None for duties and what is fixed."""
        built = self.built.get(self.batches[batch][0])
        return None if built is None else built.batch

    def sort(self, batch: int) -> Sort:
        """What keeps a batch apart from others."""
        made = self.made_in(batch)
        return ANY if made is None else self.sorts.batch(made)

    def maker(self, batch: WorkBatch) -> Component | Dish:
        """The recipe of a batch."""
        component = self.component(batch)
        if component is not None:
            return component
        dish = self.scenario.dish[batch.dish or ""]
        return dish if batch.method is None else made_by(dish, batch.method)

    def component(self, batch: WorkBatch) -> Component | None:
        """The component of a batch, made as it is made, or None for a dish."""
        if batch.component is None:
            return None
        component = self.scenario.component[batch.component]
        if batch.method is None:
            return component
        key = component.id, batch.method
        if key not in self.variants:
            self.variants[key] = made_by(component, batch.method)
        return self.variants[key]

    # -- rounding ------------------------------------------------------------------

    def up(self, minutes: int) -> int:
        """Minutes to ticks, up."""
        return -(-minutes // self.grid)

    def down(self, minutes: int) -> int:
        """Minutes to ticks, down."""
        return minutes // self.grid

    def _money(self) -> Money:
        costs = self.scenario.kitchen.costs
        return Money(
            costs.overtime_allowance,
            costs.overtime_hour,
            costs.buying_allowance,
            costs.step,
            costs.rest_hour,
        )

    # -- done ------------------------------------------------------------------------

    def problem(self) -> Problem:
        """Everything that was collected."""
        ranks = max((e.rank for e in self.scenario.week.events), default=1)
        return Problem(
            grid=self.grid,
            horizon=self.calendar.horizon,
            now=self.calendar.now,
            batches=tuple(
                Batch(
                    name,
                    tuple(tasks),
                    tuple(sorted(self.inputs.get(i, ()))),
                    fixed,
                    tuple(self.lanes.get(i, ())),
                    self.turns.get(i, ()),
                )
                for i, (name, tasks, fixed) in enumerate(self.batches)
            ),
            tasks=tuple(self.tasks),
            links=tuple(self.links),
            resources=tuple(self.resources),
            choices=tuple(self.choices),
            uses=tuple(self.uses),
            people=tuple(
                (p.id, self.calendar.longer(n, self.calendar.people[n]))
                for n, p in enumerate(self.scenario.kitchen.people)
            ),
            extras=self.calendar.extras,
            money=self._money(),
            crews=tuple(self.crews),
            tends=tuple(self.tends),
            adds=tuple(self.adds),
            plates=tuple(self.plates),
            ranks=ranks,
            spent=spent(self.scenario, self.work),
            calm=self.calm,
            changes=self.changes,
        )
