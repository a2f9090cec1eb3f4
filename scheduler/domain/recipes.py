"""Components and dishes: what is made, of what, in which steps, and how it keeps."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import (
    ConfigDict,
    Field,
    SerializerFunctionWrapHandler,
    model_serializer,
    model_validator,
)

from scheduler.domain.base import Alone, Label, Slug, Word
from scheduler.domain.buying import BoughtIn
from scheduler.domain.cooling import CoolDown, estimate
from scheduler.domain.hands import ANYONE as ANYONE
from scheduler.domain.hands import Hands as Hands
from scheduler.domain.judging import Cooked as Cooked
from scheduler.domain.judging import Test as Test
from scheduler.domain.keeping import Band as Band
from scheduler.domain.keeping import Keep as Keep
from scheduler.domain.keeping import Wait as Wait
from scheduler.domain.leaving import Leave
from scheduler.domain.lengths import Decides as Decides
from scheduler.domain.lengths import Time as Time
from scheduler.domain.limits import Kept
from scheduler.domain.needs import Need as Need
from scheduler.domain.needs import Setting as Setting
from scheduler.domain.quantity import Percent, Quantity
from scheduler.domain.times import Duration


class Visit(Word):
    """A stretch when hands are needed: load, unload."""

    verb: Label = Field(default="", description="What the cook does; printed on sheets.")
    time: Time = Field(description="How long.")
    hands: tuple[Hands, ...] = Field(default=(Hands(),), min_length=1, description="Whose hands.")
    on: tuple[Need, ...] = Field(default=(), description="Equipment it takes meanwhile.")


class Tend(Visit):
    """Visits again and again while the step runs.

    Either every so often within a tolerance (gaps run from the end of one
    visit, first the end of loading, to the start of the next; the last gap
    ends with the step), or once in each of some parts of the day that lie
    wholly inside the step.
    """

    every: Duration | None = Field(default=None, gt=0, description="Gap between visits, minutes.")
    give_or_take: Duration = Field(default=0, description="Tolerance of the gap, minutes.")
    day_parts: tuple[Slug, ...] = Field(default=(), description="Or once in each of these.")
    once_a_shift: bool = Field(
        default=False, description="Or once in each day part in which the section is on duty."
    )

    @model_validator(mode="after")
    def _one_way(self) -> Tend:
        if (self.every is not None) + bool(self.day_parts) + self.once_a_shift != 1:
            raise ValueError("tending says `every`, `day_parts` or `once_a_shift`, one of them")
        if self.every is not None and self.give_or_take >= self.every:
            raise ValueError(f"give or take {self.give_or_take} min is not less than the gap")
        return self


class Add(Visit):
    """One visit at a set time after the step has begun."""

    after: Duration = Field(description="From end of loading to the start of the visit, minutes.")
    give_or_take: Duration = Field(default=0, description="Tolerance, minutes.")


class Take(Word):
    """One input: a component or an ingredient, for what the recipe makes (or for one portion)."""

    component: Slug | None = Field(default=None, description="Component.")
    state: Slug | None = Field(
        default=None, description="In this state of it; left out: as it is made."
    )
    ingredient: Slug | None = Field(default=None, description="Or ingredient, as delivered.")
    amount: Quantity = Field(description="Edible amount needed.")
    yield_: Percent | None = Field(
        default=None, alias="yield", description="Edible part of what is taken; left out: all."
    )
    within: Duration | None = Field(
        default=None, description="May wait at most so long before this; 0: at once. Minutes."
    )

    @model_validator(mode="after")
    def _one_thing(self) -> Take:
        if (self.component is None) == (self.ingredient is None):
            raise ValueError("an input names either a component or an ingredient")
        if self.state is not None and self.component is None:
            raise ValueError("an ingredient has no states; they are a component's")
        if self.amount.base <= 0:
            raise ValueError(f"an amount of '{self.amount}' is nothing")
        if self.yield_ is not None and self.yield_.part == 0:
            raise ValueError("a yield of 0 % leaves nothing")
        return self


class Gives(Word):
    """What a step leaves beside what is being made: whey, liquor, trimmings."""

    component: Slug = Field(description="Component that it is.")
    amount: Quantity = Field(description="So much of it, for what the recipe makes.")

    @model_validator(mode="after")
    def _something(self) -> Gives:
        if self.amount.base <= 0:
            raise ValueError(f"an amount of '{self.amount}' is nothing")
        return self


def _unsaid() -> Time:
    """Unlike any time that is written, so that none is left out for being the default."""
    return Time.model_construct(at_least=-1)


class Step(Word):
    """One stage of making something.

    A step is either hands all the way (`hands`), or it runs by itself between
    an optional `load` and an optional `unload`, with `tend` and `add` visits
    inside. `time` is the law: from end of load to start of unload; where the
    estimate of `cooling` sets it, it is not written, and is that all the same
    for everybody who reads the step.
    """

    model_config = ConfigDict(
        json_schema_extra={"anyOf": [{"required": ["time"]}, {"required": ["cooling"]}]}
    )

    id: Slug = Field(description="Id within the component.")
    name: Label = Field(default="", description="What is done; the id if left out.")
    section: Slug | None = Field(default=None, description="Section; left out: the component's.")
    time: Time = Field(
        default_factory=_unsaid,
        description="The law; left out only where the estimate of `cooling` sets it.",
    )
    hands: tuple[Hands, ...] = Field(default=(), description="Hands all the way.")
    may_leave: Leave | None = Field(
        default=None, description="How far whoever is at it may step away; left out: not at all."
    )
    load: Visit | None = Field(default=None, description="Hands to begin it.")
    unload: Visit | None = Field(default=None, description="Hands to end it.")
    tend: tuple[Tend, ...] = Field(default=(), description="Visits again and again.")
    add: tuple[Add, ...] = Field(default=(), description="Visits at set times.")
    test: Test | None = Field(default=None, description="How it is judged when it is done.")
    on: tuple[Need, ...] = Field(default=(), description="Equipment and shelves while it runs.")
    takes: tuple[Take, ...] = Field(default=(), description="What goes in when it starts.")
    gives: tuple[Gives, ...] = Field(
        default=(), description="By-products, there when it ends; used before any is made."
    )
    in_loads: bool = Field(
        default=False, description="Made in equal loads; otherwise the machine caps the batch."
    )
    waves: bool = Field(
        default=False,
        description="Passes its loads on: load n of the next step follows load n of this one.",
    )
    alone: Alone = Field(default=Alone.YES, description="May it run with nobody at it?")
    kept: Kept | None = Field(
        default=None,
        description="How the food is kept while it runs: cold, frozen, hot, out (in the room). "
        "Left out: as the zone or the oven it is on has it, otherwise out.",
    )
    core: Cooked | None = Field(default=None, description="How hot it gets at the core.")
    cooling: CoolDown | None = Field(
        default=None, description="How it cools, for an estimate of how long that takes."
    )
    hazards: tuple[Slug, ...] = Field(
        default=(), description="What can hurt whoever does it: hot-sugar, hot-oil, lifting."
    )
    then: Wait | None = Field(default=None, description="The wait before the next step.")
    if_interrupted: Literal["resume", "start again", "lost"] | None = Field(
        default=None, description="What an interruption does to it."
    )

    @model_validator(mode="after")
    def _who(self) -> Step:
        if self.hands and (self.load or self.unload or self.tend or self.add):
            raise ValueError("hands all the way, or visits (load, tend, add, unload), not both")
        if self.may_leave and not self.hands:
            raise ValueError("`may_leave` is for hands all the way")
        if len(self.tend) > 1:
            raise ValueError("one way of tending a step")
        if self.alone is Alone.NEVER and not self.hands:
            raise ValueError("it is never alone, so somebody must be at it: add `hands`")
        if self.waves and not self.in_loads:
            raise ValueError("`waves` pass loads on: add `in_loads: true`")
        return self

    @model_validator(mode="after")
    def _how_long(self) -> Step:
        said = "time" in self.model_fields_set
        if self.cooling is None or not self.cooling.sets_time:
            if not said:
                raise ValueError("'time' is missing")
            return self
        if said:
            raise ValueError("`time` and `sets_time`: the estimate sets it, so leave `time` out")
        taken = estimate(self.cooling)
        # Nobody has seen the step yet. The field stays unset, so that it is written as it was.
        self.__dict__["time"] = Time.model_validate(f"{taken} min")
        return self

    @model_serializer(mode="wrap")
    def _as_written(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        written: dict[str, Any] = write(self)
        if self.cooling is not None and self.cooling.sets_time:
            written.pop("time", None)
        return written


class Method(Word):
    """Another way of making the same: its own steps instead of the recipe's."""

    id: Slug = Field(description="Id within the recipe.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    steps: tuple[Step, ...] = Field(
        min_length=1, max_length=200, description="Steps, one after the other."
    )


class BatchSize(Word):
    """The smallest and largest batch a recipe is made in."""

    least: Quantity | None = Field(default=None, description="Smallest.")
    most: Quantity | None = Field(default=None, description="Largest.")


def _batches(made: State | Component) -> None:
    """What is true of everything that is made in batches and kept."""
    if made.loss.part >= 1:
        raise ValueError("a loss of 100 % leaves nothing")
    least, most = made.batch.least, made.batch.most
    for size in (least, most):
        if size is not None and size.base <= 0:
            raise ValueError(f"a batch of '{size}' is nothing")
    if least and most and least.base > most.base:
        raise ValueError(f"the smallest batch {least} is above the largest {most}")


class State(Word):
    """A component in another state: frozen, thawed, sealed, opened, portioned.

    It is made of the component, or of another state of it, by its own steps, and keeps in its
    own way. What takes it says `state`. Elsewhere (in a swap) it is called COMPONENT-STATE.
    """

    id: Slug = Field(description="Id within the component.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    of: Slug | None = Field(
        default=None, description="The state before; left out: the component as it is made."
    )
    section: Slug | None = Field(default=None, description="Section; left out: the component's.")
    makes: Quantity | None = Field(
        default=None, description="What is made at once; left out: as much as of the one before."
    )
    out_of: Quantity | None = Field(
        default=None, description="And of how much of the one before; left out: what it makes."
    )
    batch: BatchSize = Field(default=BatchSize(), description="Smallest and largest batch.")
    loss: Percent = Field(default=Percent.parse("0 %"), description="Part that breaks or drips.")
    steps: tuple[Step, ...] = Field(
        min_length=1, max_length=200, description="Steps, one after the other."
    )
    keeps: tuple[Keep, ...] = Field(min_length=1, description="Where and how long; any of these.")

    @model_validator(mode="after")
    def _sizes(self) -> State:
        for amount in (self.makes, self.out_of):
            if amount is not None and amount.base <= 0:
                raise ValueError(f"'{amount}' is nothing")
        _batches(self)
        if self.steps[-1].then is not None:
            raise ValueError("the last step has a `then`; how the component waits is in `keeps`")
        if self.of == self.id:
            raise ValueError(f"'{self.id}' is made of itself")
        return self


class Component(Word):
    """Something made and kept."""

    id: Slug = Field(description="Id.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    section: Slug = Field(description="Section that makes it.")
    makes: Quantity = Field(description="What the recipe as written makes.")
    batch: BatchSize = Field(default=BatchSize(), description="Smallest and largest batch.")
    loss: Percent = Field(
        default=Percent.parse("0 %"), description="Part of a batch that breaks or is trimmed."
    )
    margin: Percent | None = Field(
        default=None, description="Replaces the event's margin for this component."
    )
    piece_weight: Quantity | None = Field(default=None, description="What one piece weighs.")
    density: Quantity | None = Field(default=None, description="What one litre weighs.")
    steps: tuple[Step, ...] = Field(
        default=(),
        max_length=200,
        description="Steps, one after the other; none: only what other recipes give of it.",
    )
    keeps: tuple[Keep, ...] = Field(min_length=1, description="Where and how long; any of these.")
    weight: int = Field(default=1, ge=0, le=1000, description="Weight in freshness.")
    leftover: Literal["goes", "kept"] = Field(
        default="goes", description="Leftover leaves with the last use, or is kept on a shelf."
    )
    mixing: bool = Field(default=True, description="One use may mix batches or lots.")
    food_class: Slug | None = Field(default=None, description="Class of food, for safety limits.")
    allergens: tuple[Slug, ...] | None = Field(
        default=None,
        description="Allergens its own ingredients bring in; other components' follow. []: none. "
        "Left out: nobody knows, and it counts as free of nothing.",
    )
    may_contain: tuple[Slug, ...] = Field(
        default=(), description="Allergens that may get into it though nobody puts them in."
    )
    methods: tuple[Method, ...] = Field(
        default=(), description="Other ways of making it, where that serves more or keeps fresher."
    )
    bought_in: BoughtIn | None = Field(default=None, description="It may be bought instead.")
    states: tuple[State, ...] = Field(
        default=(), description="Other states of it: frozen, thawed, sealed, opened, portioned."
    )
    leaves: tuple[Slug, ...] = Field(
        default=(),
        description="What it leaves behind in a machine (sesame, milk); left out: only itself.",
    )
    not_beside: tuple[Slug, ...] = Field(
        default=(),
        description="Components, or ingredients that are delivered, that are never in an oven or "
        "a store together with it.",
    )

    @property
    def residue(self) -> frozenset[Slug]:
        """`leaves` with its default filled in."""
        return frozenset(self.leaves or (self.id,))

    @model_validator(mode="after")
    def _sizes(self) -> Component:
        if self.makes.base <= 0:
            raise ValueError(f"it makes '{self.makes}', which is nothing")
        _batches(self)
        for steps in (self.steps, *(m.steps for m in self.methods)):
            if steps and steps[-1].then is not None:
                what = "the last step has a `then`; how the component waits is in `keeps`"
                raise ValueError(what)
        return self


class Plating(Word):
    """A dish's last hands-on step, from the first to the last plate."""

    per_hour: int = Field(gt=0, le=10000, description="Plates an hour, all people together.")
    hands: tuple[Hands, ...] = Field(default=(Hands(),), min_length=1, description="Whose hands.")
    on: tuple[Need, ...] = Field(default=(), description="Equipment it takes meanwhile.")


class Dish(Word):
    """Components on a plate."""

    id: Slug = Field(description="Id.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    section: Slug = Field(description="Section that plates it.")
    takes: tuple[Take, ...] = Field(default=(), description="Per portion, when plating starts.")
    steps: tuple[Step, ...] = Field(
        default=(), max_length=200, description="Steps before plating (crisp, reheat)."
    )
    methods: tuple[Method, ...] = Field(
        default=(), description="Other steps before plating: crisp in the oven, not in the pan."
    )
    plating: Plating = Field(description="How it is plated.")
    keeps: Keep | None = Field(
        default=None, description="It may wait plated so long; left out: it goes as it is plated."
    )
    allergens: tuple[Slug, ...] | None = Field(
        default=None,
        description="Allergens added at the pass, to every plate; components' follow. []: none. "
        "Left out: nobody knows.",
    )
    may_contain: tuple[Slug, ...] = Field(
        default=(), description="Allergens that may get into it though nobody puts them in."
    )

    @property
    def inputs(self) -> tuple[Take, ...]:
        """Everything that goes into one portion by its own steps and the plating."""
        return tuple(t for s in self.steps for t in s.takes) + self.takes

    @model_validator(mode="after")
    def _of_something(self) -> Dish:
        if not any(t.component for t in self.inputs):
            raise ValueError("a dish without components")
        return self
