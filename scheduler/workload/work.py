"""From a checked scenario to what must be made: batches, loads and shares."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.domain.methods import made_by
from scheduler.domain.quantity import Dimension
from scheduler.workload.amounts import NoConversion, written
from scheduler.workload.complaints import Complaints
from scheduler.workload.dated import Dated
from scheduler.workload.demand import Need, Serving, merged, servings, taken_by_portions, takes_of
from scheduler.workload.given import by_products, called_for
from scheduler.workload.kinds import Kinds
from scheduler.workload.loads import loads_of
from scheduler.workload.making import Making
from scheduler.workload.model import PLATING, ByProduct, LotUse, WorkBatch, Workload, WorkShare
from scheduler.workload.order import consumers_first
from scheduler.workload.walk import plating_length, staged, up

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Past

TURNS = 10
"""So often the week is worked out again until by-products that only others give are enough."""


def work_out(
    scenario: Scenario,
    apart: Collection[str] = (),
    chosen: Mapping[str, str] | None = None,
    past: Past | None = None,
) -> Workload:
    """What must be made for a week.

    Parameters
    ----------
    scenario : Scenario
    apart : collection of str
        Components whose uses share no batch (where a shared one found no place).
    chosen : mapping of str to str
        Batch: by which method it is made, where not by the recipe's own steps.
    past : Past, optional
        Batches that were begun are as they were, and feed whom they fed as far as that
        is asked for.

    Raises
    ------
    BadInput
        For amounts that cannot be converted, batches larger than any machine,
        and a component that needs itself with nothing to begin from.
    """
    called: list[tuple[str, Need]] = []
    for _ in range(TURNS):
        work = _Work(scenario, apart, chosen or {}, called, past)
        found = work.run()
        more = work.to_call_for()
        if not more:
            return found
        called += more
    work.complaints.add(
        ", ".join(dict.fromkeys(c.id for c, _ in work.lacking)),
        "however much is made of what gives it, there is not enough of it in time",
        "steps of its own",
    )
    work.complaints.settle()
    return found


class _Work:
    """One turn; `called` is what must be made so that it gives something by the way."""

    def __init__(
        self,
        scenario: Scenario,
        apart: Collection[str],
        chosen: Mapping[str, str],
        called: list[tuple[str, Need]],
        past: Past | None,
    ) -> None:
        self.scenario = scenario
        self.chosen = chosen
        self.grid = scenario.kitchen.grid
        self.kinds = Kinds(scenario)
        self.dated = Dated(scenario)
        self.complaints = Complaints()
        self.making = Making(scenario, self.kinds, self.complaints, apart, chosen, past)
        self.needs: dict[str, list[Need]] = {c.id: [] for c in scenario.components}
        self.batches: list[WorkBatch] = []
        self.shares: list[WorkShare] = []
        self.lots: list[LotUse] = []
        self.lacking: list[tuple[Component, Need]] = []
        for name, need in called:
            self.needs[name].append(need)

    def run(self) -> Workload:
        scenario = self.scenario
        for serving in servings(scenario):
            self.dish(serving)
        for name in consumers_first(scenario, self.complaints):
            try:
                component = scenario.component[name]
                made = self.making.make(component, self.needs[name], self.batches)
            except NoConversion as error:
                self.complaints.add(name, str(error))
                continue
            if made is not None:
                self.batches += made.batches
                self.shares += made.shares
                self.lacking += [(component, n) for n in made.lacking]
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
        return Workload(
            tuple(self.batches), tuple(self.shares), tuple(self.lots), tuple(self.given())
        )

    def given(self) -> Iterator[ByProduct]:
        """What every batch gives by the way, and how much of it is taken."""
        taken: dict[tuple[str, str | None, str], int] = {}
        for s in self.shares:
            key = s.source, s.given, s.component
            taken[key] = taken.get(key, 0) + s.quantity
        for batch in self.batches:
            for one in by_products(self.scenario, batch):
                used = taken.get((one.batch, one.step, one.component), 0)
                yield replace(one, used=used)

    def to_call_for(self) -> list[tuple[str, Need]]:
        """What must be made, of which recipe, for what nothing gives yet."""
        found: list[tuple[str, Need]] = []
        for component, need in self.lacking:
            more = called_for(
                self.scenario, self.making.kinds, component, need, self.making.most
            )
            if more is None:
                self.complaints.add(
                    component.id,
                    f"{need.consumer} takes {written(need.quantity, component.makes.dimension)} "
                    "more of it than there is, and nobody makes it",
                    "steps of its own",
                )
            else:
                found.append(more)
        self.complaints.settle()
        return found

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
        away = by if dish.keeps or serving.diet else by + length - 1
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
                    fresh_from=self.dated.fresh_from(component, away),
                )
            )
        for need in merged(taken):
            self.needs[need.component].append(need)
