"""The plan: every task with times, people, equipment and stores, and how good it is.

Times are whole minutes from the horizon's start; the plan file writes them
with their offset. Intervals are half-open.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from scheduler.domain.base import Label, Slug, Word
from scheduler.domain.quantity import Quantity


class Share(Word):
    """The part of a batch, or of a lot on hand, that goes to one consumer."""

    source: str = Field(description="Batch, or lot on hand.")
    consumer: str = Field(description="Batch that takes it.")
    step: Slug = Field(description="The consumer's step that takes it (`plating` for a dish).")
    quantity: Quantity = Field(description="How much.")
    by_product: Slug | None = Field(
        default=None, description="A by-product of the batch: the component that it is."
    )
    given: Slug | None = Field(
        default=None, description="And the step of the batch that gives it, when it ends."
    )


class Order(Word):
    """What is ordered instead of made."""

    order_by: int = Field(description="Last moment to order it. Minute.")
    packs: int = Field(description="How many packs.")
    price: int = Field(description="Of all of them, in the kitchen's money.")


class PlannedBatch(Word):
    """One weigh-up and one label, or one dish at one event (a diet and a wave apart)."""

    id: str = Field(description="Id; kept for good.")
    component: Slug | None = Field(default=None, description="Component, or none for a dish.")
    dish: Slug | None = Field(default=None, description="Dish, or none for a component.")
    event: Slug | None = Field(default=None, description="Event a dish is for.")
    course: int | None = Field(default=None, description="Place in the event's menu, from 0.")
    diet: Slug | None = Field(default=None, description="Diet, where apart.")
    wave: int | None = Field(default=None, description="Wave, from 0.")
    quantity: Quantity = Field(description="Weighed up: before losses. Portions for a dish.")
    good: Quantity = Field(description="After losses: what can be shared out.")
    in_progress: bool = Field(default=False, description="Begun before the week.")
    method: Slug | None = Field(
        default=None, description="By which method; none: the recipe's own steps."
    )
    bought: Order | None = Field(default=None, description="Bought in instead of made.")
    because: Label | None = Field(
        default=None, description="Why it is not made by the recipe's own steps."
    )


class Taken(Word):
    """Places on a unit or shelves in a store, from one moment to another."""

    need: int = Field(description="Place of the need in the step's (or visit's) list, from 0.")
    unit: Slug | None = Field(default=None, description="Unit (one Taken per unit).")
    store: Slug | None = Field(default=None, description="Or store.")
    amount: int = Field(description="Places or shelves.")
    start: int = Field(description="Minute.")
    end: int = Field(description="Minute.")
    mode: Slug | None = Field(default=None, description="Oven's mode.")
    celsius: int | None = Field(default=None, description="What the oven is set to.")


class PlannedVisit(Word):
    """A stretch of hands."""

    kind: Literal["load", "hands", "tend", "add", "unload"] = Field(description="Which.")
    index: int = Field(default=0, description="Which of the step's adds; which visit of a tend.")
    verb: str = Field(default="", description="What is done.")
    start: int = Field(description="Minute.")
    end: int = Field(description="Minute.")
    people: tuple[Slug, ...] = Field(description="Who, in the order of the hands lines.")
    taken: tuple[Taken, ...] = Field(default=(), description="Equipment meanwhile.")


class PlannedTask(Word):
    """One step of one batch, or one load of it."""

    id: str = Field(description="batch/step, or batch/step/load.")
    batch: str = Field(description="Batch.")
    step: Slug = Field(description="Step (`plating` for a dish's last).")
    load: int = Field(default=1, description="Which load, from 1.")
    loads: int = Field(default=1, description="Of how many.")
    quantity: Quantity = Field(description="What goes through it.")
    start: int = Field(description="Start of load. Minute.")
    law_start: int = Field(description="End of load. Minute.")
    law_end: int = Field(description="Start of unload. Minute.")
    end: int = Field(description="End of unload. Minute.")
    stopped: int | None = Field(default=None, description="Broken off then, if it was. Minute.")
    resumed: int | None = Field(default=None, description="And when it goes on. Minute.")
    visits: tuple[PlannedVisit, ...] = Field(default=(), description="Hands, in order of time.")
    taken: tuple[Taken, ...] = Field(default=(), description="Equipment and shelves.")


class PlannedHold(Word):
    """Something that waits: between two steps of a batch, or a share until it is used."""

    kind: Literal["wait", "share", "plated", "loads", "leftover", "spare", "delivered"] = Field(
        description="wait: before the next step (of one load). share: until its consumer starts. "
        "plated: a dish until service. loads: an early load of the last step until the last one. "
        "leftover: what nobody takes and is kept. spare: on hand or delivered, and nobody takes "
        "it. delivered: part of a delivery until the task that takes it starts."
    )
    source: str = Field(description="Batch, lot or delivery.")
    step: Slug | None = Field(
        default=None, description="Step it waits after (wait, loads, a share of a by-product)."
    )
    by_product: Slug | None = Field(
        default=None, description="A by-product of the batch: the component that it is."
    )
    load: int = Field(default=1, description="Which load, from 1.")
    consumer: str | None = Field(default=None, description="Task that ends the hold.")
    quantity: Quantity = Field(description="How much.")
    start: int = Field(description="Minute.")
    end: int = Field(description="Minute.")
    store: Slug | None = Field(default=None, description="Store, or none: at the bench.")
    unit: Slug | None = Field(default=None, description="Or the machine it waits in.")
    shelves: int = Field(default=0, description="Shelves.")


class PlannedDuty(Word):
    """One occurrence of a standing duty."""

    id: str = Field(description="duty/date, of its second part duty/date/2, and so on.")
    duty: Slug = Field(description="Duty.")
    start: int = Field(description="Minute.")
    end: int = Field(description="Minute.")
    people: tuple[Slug, ...] = Field(default=(), description="Who.")


def occurrence_of(duty: str) -> str:
    """duty/date of an occurrence of a standing duty, or of a part of one (duty/date/2)."""
    return "/".join(duty.split("/")[:2])


class PlannedCleanDown(Word):
    """Cleaning a machine between two tasks that follow one another on it."""

    id: str = Field(description="clean-down/unit/task.")
    unit: Slug = Field(description="The unit that is cleaned.")
    after: str = Field(description="The task that has just been on it.")
    before: str = Field(description="The task that is next on it.")
    verb: str = Field(default="", description="What is done.")
    start: int = Field(description="Minute.")
    end: int = Field(description="Minute.")
    people: tuple[Slug, ...] = Field(description="Who, in the order of the hands lines.")


class PlannedBreak(Word):
    """A break that moves, where the plan puts it."""

    id: str = Field(description="person/date/which of that day.")
    person: Slug = Field(description="Whose.")
    start: int = Field(description="Minute.")
    end: int = Field(description="Minute.")


class Kept(Word):
    """What of a task was to stay, whatever else is planned (as `How` says it)."""

    task: str = Field(description="Task.")
    start: int | None = Field(default=None, description="When it starts. Minute.")
    people: tuple[Slug, ...] = Field(default=(), description="Who does it.")
    equipment: tuple[Slug, ...] = Field(default=(), description="On which units.")


class BrokenOff(Word):
    """A step that was broken off and goes on later, elsewhere perhaps or in other hands."""

    task: str = Field(description="Task.")
    stopped: int = Field(description="When it was broken off. Minute.")
    done: int = Field(default=0, ge=0, description="So much of its time counts, minutes.")


class Lost(Word):
    """Part of a batch or lot that goes to nobody: spoilt, spilt, or gone into what is lost."""

    source: str = Field(description="Batch, or lot on hand.")
    quantity: Quantity = Field(description="How much.")


class Was(Word):
    """Where a task (or standing duty) stood in the plan before: changes are counted from there."""

    task: str = Field(description="Task, or duty/date.")
    start: int = Field(description="When it started. Minute.")
    people: tuple[Slug, ...] = Field(default=(), description="Who was at it, in order of id.")


class Absent(Word):
    """Somebody who is away, whatever their shifts say: nobody asks them to stay or to come in."""

    person: Slug = Field(description="Who.")
    end: int = Field(description="Until when. Minute.")


class Past(Word):
    """What had happened when a plan was made anew in the middle of a week.

    Whatever had begun by `now` stays as it was: tasks, and of holds, duties and breaks who,
    where and since when.
    """

    now: int = Field(description="What had not begun begins no sooner. Minute.")
    tasks: tuple[PlannedTask, ...] = Field(default=(), description="What had begun.")
    holds: tuple[PlannedHold, ...] = Field(default=(), description="What had begun to wait.")
    duties: tuple[PlannedDuty, ...] = Field(default=(), description="Duties that had begun.")
    breaks: tuple[PlannedBreak, ...] = Field(default=(), description="Breaks that had begun.")
    batches: tuple[PlannedBatch, ...] = Field(default=(), description="Batches that had begun.")
    shares: tuple[Share, ...] = Field(
        default=(), description="What these and lots on hand had given, or were to give."
    )
    broken_off: tuple[BrokenOff, ...] = Field(default=(), description="Steps broken off.")
    settled: tuple[str, ...] = Field(
        default=(), description="Tasks whose end is known, whatever their recipe says."
    )
    lost: tuple[Lost, ...] = Field(default=(), description="What goes to nobody.")
    gone: tuple[str, ...] = Field(
        default=(), description="Batches that were begun and are no more: their ids stay theirs."
    )
    was: tuple[Was, ...] = Field(default=(), description="Where all else stood before.")
    away: tuple[Absent, ...] = Field(default=(), description="Who is away, and for how long.")
    unmanned: tuple[str, ...] = Field(
        default=(),
        description="Standing duties that find too few people beside what runs, one entry for each "
        "who is lacking.",
    )


class Missing(Word):
    """A batch that found no place, and why as far as is known."""

    batch: str = Field(description="Batch.")
    why: Label = Field(description="In a chef's words.")
    certain: bool = Field(default=False, description="It cannot work, with a certificate.")


class Unserved(Word):
    """Portions of one dish at one event that lack a component."""

    batch: str = Field(description="The dish's batch.")
    event: Slug = Field(description="Event.")
    dish: Slug = Field(description="Dish.")
    portions: int = Field(description="How many lack something.")
    lacks: tuple[Slug, ...] = Field(description="Components they lack, or the dish itself.")


class Terms(Word):
    """The objective, in bands compared in order."""

    served: tuple[int, ...] = Field(
        description="Portions lacking something, for events of rank 1, 2, … in turn."
    )
    left_out: int = Field(default=0, description="Batches without a place.")
    money: int = Field(
        default=0, description="Overtime and buying in beyond the allowance, and rest eaten."
    )
    changes: int = Field(default=0, description="Changes against the plan before.")
    quality: int = Field(
        description="Weighted minutes: outside the best bands, and what lacks of time in hand, "
        "calm and wishes."
    )
    in_hand: int = Field(default=0, description="Of these for time in hand.")
    calm: int = Field(default=0, description="Of these for calm.")
    wishes: int = Field(default=0, description="Of these for wishes that are not kept.")

    @property
    def freshness(self) -> int:
        """What is left of quality: minutes outside the best bands."""
        return self.quality - self.in_hand - self.calm - self.wishes

    def key(self) -> tuple[tuple[int, ...], int, int, int, int]:
        """What two plans are compared by; less is better."""
        return self.served, self.left_out, self.money, self.changes, self.quality


class Plan(Word):
    """A run of events, planned."""

    batches: tuple[PlannedBatch, ...] = Field(description="Every batch, placed or not.")
    shares: tuple[Share, ...] = Field(description="Which batch feeds whom.")
    tasks: tuple[PlannedTask, ...] = Field(description="Tasks of the batches that found a place.")
    holds: tuple[PlannedHold, ...] = Field(default=(), description="Everything that waits.")
    duties: tuple[PlannedDuty, ...] = Field(default=(), description="Standing duties.")
    clean_downs: tuple[PlannedCleanDown, ...] = Field(
        default=(), description="Machines cleaned between two contents."
    )
    breaks: tuple[PlannedBreak, ...] = Field(default=(), description="Breaks that move.")
    missing: tuple[Missing, ...] = Field(default=(), description="Batches without a place.")
    unserved: tuple[Unserved, ...] = Field(default=(), description="Who goes short.")
    kept: tuple[Kept, ...] = Field(
        default=(), description="Tasks that were to stay where somebody wants them."
    )
    past: Past | None = Field(
        default=None, description="What had happened, where it was made in the middle of a week."
    )
    terms: Terms = Field(description="How good it is.")
    bound: int | None = Field(
        default=None,
        description="No plan for these batches and methods that serves as much has less quality; "
        "none: nothing is known.",
    )
