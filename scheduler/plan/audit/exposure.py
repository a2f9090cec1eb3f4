"""Time out of temperature control, added up over steps, waits and visits to the last plate away."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.domain.exposed import OWN_READING, Exposing
from scheduler.domain.profiles import controlled
from scheduler.plan.audit.clocks import clock_of
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.service import service
from scheduler.plan.audit.steps import started

if TYPE_CHECKING:
    from scheduler.domain.limits import Kept
    from scheduler.domain.recipes import Component, Dish
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedHold, PlannedTask, Share


@dataclass(frozen=True, slots=True)
class Out:
    """So long out in all, and the longest stretch of it.

    Attributes
    ----------
    minutes, longest : int
    where : str
        What the longest was.
    fallen : int or None
        Minutes of it since it was hot; None where it was not, or has been cold since.
    times : int
        How often it was out, with the cold or the heat between.
    now : bool
        Is it out still?
    anew : bool
        Counted from a hot core.
    """

    minutes: int = 0
    longest: int = 0
    where: str = ""
    fallen: int | None = None
    times: int = 0
    now: bool = False
    anew: bool = False

    def and_then(self, minutes: int, where: str) -> Out:
        """And so long more."""
        if minutes <= 0:
            return self
        longest = (minutes, where) if minutes > self.longest else (self.longest, self.where)
        fallen = None if self.fallen is None else self.fallen + minutes
        times = self.times if self.now else self.times + 1
        return Out(self.minutes + minutes, *longest, fallen, times, True, self.anew)

    def kept(self, kept: Kept) -> Out:
        """And then in the cold or the heat; hot again it is not cooked again, and both add up."""
        if kept == "out":
            return self
        fallen = (self.fallen or 0) if kept == "hot" else None
        return replace(self, fallen=fallen, now=False)

    def __str__(self) -> str:
        most = f", {lasting(self.longest)} of it {self.where}" if self.where else ""
        anew = f", {OWN_READING}" if self.anew else ""
        return f"out of temperature control for {lasting(self.minutes)} in all{most}{anew}"


NONE = Out()
COOKED = Out(fallen=0, anew=True)


def _worst(*some: Out) -> Out:
    """The most of everything."""
    most = max(some, key=lambda out: out.minutes, default=NONE)
    fallen = max((out.fallen for out in some if out.fallen is not None), default=None)
    times = max((out.times for out in some), default=0)
    return replace(most, fallen=fallen, times=times, now=any(out.now for out in some))


class Exposure:
    """Reads a plan for how long the food of each batch is out.

    Attributes
    ----------
    back : dict of str to Out
        Batches that go into the cold after having been out: the longest that any was before.
    """

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.rules = Exposing(facts.scenario)
        self.back: dict[str, Out] = {}
        self._before: dict[str, Out] = {}
        self._walked: set[str] = set()
        self._comes_in: dict[str, int] = {}
        self._holds: dict[tuple[str, str, str | None], list[PlannedHold]] = defaultdict(list)
        for hold in facts.plan.holds:
            self._holds[hold.kind, hold.source, hold.step].append(hold)

    def counted(self, making: Making, stage: Stage) -> bool:
        """Is time out a matter of safety in a stage? Of a dish: once such food has come in."""
        if making.dish is None:
            return controlled(making.component)
        if making.id not in self._comes_in:
            taking = (
                found.index
                for share in self.facts.shares_to.get(making.id, ())
                if controlled(self.facts.of_share(share))
                and (found := making.stage(share.step)) is not None
            )
            self._comes_in[making.id] = min(taking, default=len(making.stages))
        return stage.index >= self._comes_in[making.id]

    def most(self, making: Making) -> Out:
        """The longest out of all food of a batch, to its last use or the last plate away."""
        self._walk(making)
        found = [NONE]
        for stage in making.stages:
            for task in making.of(stage):
                found.append(self.before(making, stage, task))
                if self.counted(making, stage):
                    found.append(self.after(making, stage, task))
        return _worst(*found)

    def _walk(self, making: Making) -> None:
        """Look at a batch step by step, so that nothing has to look back further than one."""
        for one in self.facts.towards(making, self._walked):
            for stage in one.stages:
                for task in one.of(stage):
                    self._before[task.id] = self._reckoned(one, stage, task)

    def before(self, making: Making, stage: Stage, task: PlannedTask) -> Out:
        """When a task begins: of what comes from the step before, and of all that it takes.

        (Of a batch that feeds itself, which is another rule's matter, nothing.)
        """
        self._walk(making)
        return self._before.get(task.id, NONE)

    def _reckoned(self, making: Making, stage: Stage, task: PlannedTask) -> Out:
        found = [NONE]
        one = making.stages[stage.index - 1]
        if stage.index > making.first and self.counted(making, one):
            found += self._from_the_step_before(making, stage, task)
        for share in self.facts.shares_to.get(making.id, ()):
            if share.step == stage.id and controlled(self.facts.of_share(share)):
                found += self._from(share, task)
        return _worst(*found)

    def after(self, making: Making, stage: Stage, task: PlannedTask) -> Out:
        """When a task is over; of plating, when the last plate is away."""
        before = self.before(making, stage, task)
        if stage.step is None:
            return self._plated(making, task, before)
        recipe = making.component or making.dish
        if recipe is None:
            return before
        if self.rules.anew(recipe, stage.step):
            return COOKED
        kept = self.rules.runs(recipe, stage.step)
        self._into(kept, making.id, before)
        before = before.kept(kept)
        left = self.rules.stays(recipe, stage.step)  # What has cooled is cold, whatever held it.
        if kept != "out" or not self.rules.works:
            return before.kept(left)
        # What runs already is out since it began; before that nobody knows.
        begins = started(self.facts, making) if making.running(stage) else task.law_start
        minutes = self.rules.out_of(recipe, stage.step, task.law_end - begins)
        minutes += max(0, begins - task.start) + task.end - task.law_end
        return before.and_then(minutes, f"in '{stage.step.name or stage.id}'").kept(left)

    def _from_the_step_before(
        self, making: Making, stage: Stage, task: PlannedTask
    ) -> list[Out]:
        one, found = making.stages[stage.index - 1], []
        before, after = making.of(one), making.of(stage)
        for earlier in before:
            if making.load_by_load(one, stage) and earlier.load != task.load:
                continue
            load = task.load if len(before) == 1 < len(after) else earlier.load
            holds = self._holds["wait", making.id, one.id]
            hold = next((h for h in holds if h.load == load), None)
            maker = making.component or making.dish
            kept = self._kept(hold, maker)
            if hold is not None and one.step is not None and maker is not None:
                if hold.unit is not None:
                    kept = self.rules.stays(maker, one.step)
                elif kept in ("cold", "frozen") and self.rules.still_hot(maker, one.step):
                    kept = "out"
            out = self.after(making, one, earlier)
            found.append(self._waits(making.id, out, kept, earlier.end, task.start, one))
        return found

    def _from(self, share: Share, task: PlannedTask) -> list[Out]:
        """Of a share, when a task takes it."""
        facts, source = self.facts, share.source
        user = f"{task.batch}/{task.step}"
        hold = next(
            (
                h
                for h in self._holds["share", source, share.given]
                if h.by_product == share.by_product and _same(facts, h, user)
            ),
            None,
        )
        kept = self._kept(hold, facts.of_share(share))
        if source in facts.lots:
            lot = facts.lots[source]
            if lot.store is None:
                component = facts.scenario.component[lot.component]
                kept = self.rules.zone(component.keeps[0].zone, component)
            # Where it stands out it has done so since it was made.
            made = facts.scenario.clock.minute(lot.made)
            return [self._waits(source, NONE, kept, min(made, facts.now), task.start, None)]
        making, clock = facts.makings.get(source), clock_of(facts, source, share.given)
        stage = making.stage(share.given) if making and share.given else None
        if making is None or clock is None:
            return []
        stage = stage or making.stages[-1]
        found = []
        for load in making.of(stage):
            counted = self.counted(making, stage)
            out = self.after(making, stage, load) if counted else NONE
            start = load.end
            if share.given is None and load.end < clock.ready:
                early = next(
                    (h for h in self._holds["loads", source, stage.id] if h.load == load.load), None
                )
                out = self._waits(
                    source, out, self._kept(early, making.component), load.end, clock.ready, stage
                )
                start = clock.ready
            found.append(self._waits(source, out, kept, start, task.start, stage))
        return found

    def _kept(self, hold: PlannedHold | None, of: Component | Dish | None) -> Kept:
        return self.rules.store(hold.store if hold is not None else None, of)

    def _waits(
        self, source: str, out: Out, kept: Kept, start: int, end: int, stage: Stage | None
    ) -> Out:
        if end <= start:
            return out
        if kept == "out":
            after = f" after '{stage.step.name or stage.id}'" if stage and stage.step else ""
            return out.and_then(end - start, f"waiting{after}")
        self._into(kept, source, out)
        return out.kept(kept)

    def _into(self, kept: Kept, batch: str, out: Out) -> None:
        if kept in ("cold", "frozen"):
            self.back[batch] = _worst(self.back.get(batch, NONE), out)

    def _plated(self, making: Making, task: PlannedTask, before: Out) -> Out:
        """Plating and what is plated, to the last plate away.

        Plates that keep in the cold or the heat are out only while they are plated.
        """
        keep = making.dish.keeps if making.dish is not None else None
        works, waits = task.end - task.start, max(0, service(self.facts, making) - task.end)
        if keep is not None and self.rules.zone(keep.zone, making.dish) != "out":
            waits = 0
            works = works if self.rules.works else 0
        elif keep is None and not self.rules.works:
            works = 0
        return before.and_then(works + waits, "from plating to the last plate away")


def _same(facts: Facts, hold: PlannedHold, user: str) -> bool:
    task = facts.tasks.get(hold.consumer or "")
    return task is not None and f"{task.batch}/{task.step}" == user


def check(facts: Facts) -> None:
    """Rule `exposure`: nothing is out too long, or goes back into the cold too late."""
    rules = Exposing(facts.scenario)
    limit, back, hot = rules.limit, rules.back, rules.limits.exposure_hot
    if limit is None:
        return
    exposure = Exposure(facts)
    found = {name: exposure.most(making) for name, making in facts.makings.items()}
    for name in _first_told(facts, {n for n, out in found.items() if out.minutes > limit.most}):
        facts.broken("exposure", name, f"{found[name]}, limit {limit} ({limit.source})")
    for name, out in exposure.back.items():
        if back is not None and out.minutes > back.most:
            facts.broken(
                "exposure",
                name,
                f"{out}, and goes back into the cold; {back.over} it may not ({back.source})",
            )
    if hot is None or not hot.hard:
        return
    for name in _first_told(facts, {n for n, out in found.items() if (out.fallen or 0) > hot.most}):
        facts.broken("exposure", name, f"{fell(found[name])}, limit {hot} ({hot.source})")


def fell(out: Out) -> str:
    """The sentence for what has been hot and is no longer."""
    return f"neither hot nor cold for {lasting(out.fallen or 0)} in all since it was hot"


def _first_told(facts: Facts, over: set[str]) -> list[str]:
    """What feeds something that is out too long as well is told with that."""
    return [n for n in over if not any(s.consumer in over for s in facts.shares_from.get(n, ()))]
