"""From a checked scenario to what must be made: batches, loads and shares."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from scheduler.domain.methods import made_by
from scheduler.domain.quantity import Dimension
from scheduler.workload.amounts import NoConversion
from scheduler.workload.complaints import Complaints
from scheduler.workload.demand import Need, Serving, merged, servings, taken_by_portions, takes_of
from scheduler.workload.kinds import Kinds
from scheduler.workload.loads import loads_of
from scheduler.workload.making import Making
from scheduler.workload.model import PLATING, LotUse, WorkBatch, Workload, WorkShare
from scheduler.workload.order import consumers_first
from scheduler.workload.walk import plating_length, staged, up

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario


def work_out(
    scenario: Scenario, apart: Collection[str] = (), chosen: Mapping[str, str] | None = None
) -> Workload:
    """What must be made for a week.

    Parameters
    ----------
    scenario : Scenario
    apart : collection of str
        Components whose uses share no batch (where a shared one found no place).
    chosen : mapping of str to str
        Batch: by which method it is made, where not by the recipe's own steps.

    Raises
    ------
    BadInput
        For amounts that cannot be converted, batches larger than any machine,
        and a component that needs itself with nothing to begin from.
    """
    return _Work(scenario, apart, chosen or {}).run()


class _Work:
    def __init__(
        self, scenario: Scenario, apart: Collection[str], chosen: Mapping[str, str]
    ) -> None:
        self.scenario = scenario
        self.chosen = chosen
        self.grid = scenario.kitchen.grid
        self.kinds = Kinds(scenario)
        self.complaints = Complaints()
        self.making = Making(scenario, self.kinds, self.complaints, apart, chosen)
        self.needs: dict[str, list[Need]] = {c.id: [] for c in scenario.components}
        self.batches: list[WorkBatch] = []
        self.shares: list[WorkShare] = []
        self.lots: list[LotUse] = []

    def run(self) -> Workload:
        scenario = self.scenario
        for serving in servings(scenario):
            self.dish(serving)
        for name in consumers_first(scenario, self.complaints):
            try:
                made = self.making.make(scenario.component[name], self.needs[name])
            except NoConversion as error:
                self.complaints.add(name, str(error))
                continue
            if made is not None:
                self.batches += made.batches
                self.shares += made.shares
                for need in made.takes:
                    self.needs[need.component].append(need)
        self.complaints.settle()
        used: dict[str, int] = {}
        for s in self.shares:
            if s.lot:
                used[s.source] = used.get(s.source, 0) + s.quantity
        for lot in scenario.week.on_hand:
            component = scenario.component[lot.component]
            have = self.making.there.have(lot.quantity, component)
            taken = used.get(lot.id, 0)
            self.lots.append(
                LotUse(lot.id, component.id, component.makes.dimension, taken, have - taken)
            )
        return Workload(tuple(self.batches), tuple(self.shares), tuple(self.lots))

    # -- dishes --------------------------------------------------------------------

    def dish(self, serving: Serving) -> None:
        """A dish batch, and what it takes."""
        scenario, method = self.scenario, self.chosen.get(serving.id)
        dish = made_by(serving.dish, method)
        diets = sum(d.count for d in serving.event.menu[serving.course].diets)
        if serving.diet is None and serving.plain < 0:
            self.complaints.add(
                f"{serving.event.id}, {dish.id}",
                f"diets for {diets} guests of {serving.plain + diets}",
            )
        by = serving.service
        length = plating_length(dish, serving.portions, self.grid)
        plating = by
        if dish.keeps is not None:
            plating -= max(length, up(dish.keeps.not_before, self.grid))
        if serving.diet is not None:
            plating = min(plating, by - length)
        try:
            steps = [
                (s, loads_of(s, serving.portions, Dimension.COUNT, None, self.kinds), False)
                for s in dish.steps
            ]
            stages = staged(steps, plating, Dimension.COUNT, None, self.grid)
        except NoConversion as error:
            self.complaints.add(f"{dish.id}", str(error))
            return
        self.batches.append(
            WorkBatch(
                serving.id, Dimension.COUNT, serving.portions, serving.portions, stages,
                dish=dish.id, event=serving.event.id, course=serving.course, diet=serving.diet,
                wave=serving.wave, rank=serving.event.rank, service=by, plating=plating,
                main=serving.main, method=method,
            )
        )
        latest = {s.step.id: s.latest for s in stages} | {PLATING: plating}
        taken: list[Need] = []
        for step, take in takes_of(dish):
            if take.component is None:
                continue
            component = scenario.component[serving.swap.get(take.component, take.component)]
            try:
                quantity, portion = taken_by_portions(serving, take, component)
            except NoConversion as error:
                self.complaints.add(f"{dish.id}, {component.id}", str(error))
                continue
            taken.append(
                Need(
                    serving.id, step, component.id, quantity, latest[step], take.within,
                    frozenset((serving.event.id,)), portion,
                )
            )
        for need in merged(taken):
            self.needs[need.component].append(need)
