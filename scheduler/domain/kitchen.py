"""The kitchen: people, sections, equipment, stores, hours and standing duties."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field, model_validator

from scheduler.domain.base import Alone, Label, Level, Slug, Word
from scheduler.domain.calm import Calm, TimeInHand, WishPrice
from scheduler.domain.celsius import Celsius, write_celsius
from scheduler.domain.duties import Duty as Duty
from scheduler.domain.employment import Costs, Rest
from scheduler.domain.leaving import FloatingBreak
from scheduler.domain.limits import FoodLimits
from scheduler.domain.quantity import Percent, Quantity
from scheduler.domain.recipes import ANYONE, Hands, Time
from scheduler.domain.times import Day, Days, Duration, Hours


class Section(Word):
    """A part of the brigade: sauce, larder, pastry, bakery, pass."""

    id: Slug = Field(description="Id, used by people, components and duties.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")


class Shift(Word):
    """Working hours on some days."""

    days: tuple[Days, ...] = Field(min_length=1, description="Days it starts on.")
    hours: Hours = Field(description="From and to, wall-clock; may run past midnight.")
    breaks: tuple[Hours, ...] = Field(default=(), description="Fixed breaks, wall-clock.")
    floating_breaks: tuple[FloatingBreak, ...] = Field(
        default=(), description="Breaks that may move: the plan says when."
    )


class Overtime(Word):
    """How much longer a shift may become."""

    at_end: Duration = Field(default=0, description="At most so long after a shift, in minutes.")
    at_start: Duration = Field(default=0, description="At most so long before it, in minutes.")


class Person(Word):
    """Somebody of the brigade."""

    id: Slug = Field(description="Id.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    sections: dict[Slug, Level] = Field(
        min_length=1, description="Sections they work in, each with their level there."
    )
    may_use: tuple[Slug, ...] = Field(
        default=(), description="What they are trained and allowed to use (slicer, hot sugar …)."
    )
    born: Day | None = Field(default=None, description="Birth date, for young workers' limits.")
    shifts: tuple[Shift, ...] = Field(default=(), description="When they work.")
    off: tuple[Day, ...] = Field(default=(), description="Days off: no shift starts on them.")
    overtime: Overtime | None = Field(default=None, description="How far shifts may stretch.")


class Heat(Word):
    """An oven's settings and how fast it changes between them."""

    modes: tuple[Slug, ...] = Field(default=("dry",), description="Modes, e.g. dry, steam.")
    coldest: int = Field(default=30, description="Lowest setting, °C.")
    hottest: int = Field(description="Highest setting, °C.")
    ambient: int = Field(default=20, description="Temperature when cold, °C.")
    up: int = Field(gt=0, description="Heats by so many °C a minute.")
    down: int = Field(gt=0, description="Cools by so many °C a minute.")
    goes_cold_after: Duration = Field(description="Idle so long, it starts from cold again, min.")


class CleanDown(Word):
    """Cleaning a machine between two things of which the first must not get into the second.

    It is needed where what the one leaves behind is not all part of what the
    other leaves behind (`between`). A length alone will do.
    """

    verb: Label = Field(default="clean down", description="What is done; printed on sheets.")
    time: Duration = Field(gt=0, description="How long, minutes.")
    hands: tuple[Hands, ...] = Field(
        default=(Hands(section=ANYONE),),
        min_length=1,
        description="Whose hands; a line that names no section: anyone on duty who is trained.",
    )
    when: Literal["at once", "before use"] = Field(
        default="at once",
        description="at once: as soon as the first is out. before use: any time before the next.",
    )
    between: Literal["contents", "allergens", "any change"] = Field(
        default="contents",
        description="What counts as left behind. contents: what recipes say (`leaves`). "
        "allergens: those in it, and raw food. any change: cleaned at every change of component.",
    )
    caution: Label = Field(
        default="disconnected first, guards back on before it runs again; local rules decide",
        description="What whoever does it must mind; printed on sheets.",
    )

    @model_validator(mode="before")
    @classmethod
    def _short_form(cls, data: Any) -> Any:
        return {"time": data} if isinstance(data, (str, int)) else data


class Unit(Word):
    """One machine of a kind, where machines of a kind differ or have names."""

    id: Slug = Field(description="Id.")
    capacity: int | None = Field(default=None, gt=0, description="Places, in the kind's measure.")
    fill: Quantity | None = Field(default=None, description="The largest load it takes.")
    holds: dict[Slug, int] = Field(
        default={}, description="Or how many trays of each family; one family at a time."
    )


class Washing(Word):
    """How a container is washed when it is empty, and when it is dry again.

    `time` may grow with the number of containers: plus: 1 min, per: 1 piece.
    """

    time: Time = Field(description="How long the hands are at it.")
    hands: tuple[Hands, ...] = Field(
        default=(Hands(section=ANYONE, level=Level.TRAINEE),),
        min_length=1,
        description="Whose hands; each line names a section.",
    )
    dry: Duration = Field(default=0, description="Dry so long after, minutes.")
    within: Duration = Field(
        default=720, gt=0, description="Washed at most so long after it is empty, minutes."
    )


class Equipment(Word):
    """A kind of equipment: what work runs on, and containers."""

    id: Slug = Field(description="Id of the kind.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    units: int | tuple[Unit, ...] = Field(
        default=1, description="How many there are, or each by its id and size."
    )
    capacity: int = Field(
        default=1, gt=0, description="Places in one unit, in `measure`; tasks share them."
    )
    measure: Label = Field(default="places", description="What a place is: trays, burners, places.")
    fill: Quantity | None = Field(
        default=None, description="Takes one load at a time, at most this much (5 kg, 20 l)."
    )
    per_shelf: int | None = Field(
        default=None, gt=0, description="A container: so many of them stand on one shelf."
    )
    heat: Heat | None = Field(default=None, description="Settings, for ovens and the like.")
    alone: Alone | None = Field(
        default=None,
        description="May it run with nobody at it: never, someone_on_shift, yes. "
        "Left out: someone_on_shift for what heats, yes for everything else.",
    )
    may_use: Slug | None = Field(
        default=None, description="Only people with this in their `may_use` touch it."
    )
    holds: dict[Slug, int] = Field(
        default={},
        description="Instead of `capacity`, how many trays of each family one unit takes "
        "({gn: 10, baking-sheet: 8}); one family at a time.",
    )
    washed: Washing | None = Field(
        default=None, description="A container: taken until it is washed and dry."
    )
    hazards: tuple[Slug, ...] = Field(
        default=(), description="What can hurt whoever uses or cleans it: slicer, mixer, steam."
    )
    shut_while_running: bool = Field(
        default=False,
        description="All in together: nothing goes in or out while it runs, so that what shares "
        "it goes in together and comes out together.",
    )
    one_room: bool | None = Field(
        default=None,
        description="Goods that may not be beside each other are never in one unit of it at the "
        "same time. Left out: true for what heats, false for everything else.",
    )
    clean_down: CleanDown | None = Field(
        default=None, description="How it is cleaned between different contents."
    )
    touched: bool | None = Field(
        default=None,
        description="Does food touch it, so that what one thing leaves may get into the next? Left "
        "out: true for what takes one thing at a time, false for containers and for what holds "
        "several (on trays, in pots).",
    )
    room: Celsius | None = Field(
        default=None,
        description="Where it stands in a cold room: that room at its warmest, °C.",
    )

    @model_validator(mode="after")
    def _sizes(self) -> Equipment:
        if isinstance(self.units, int) and not 1 <= self.units <= 500:
            raise ValueError(f"{self.units} units; there must be between 1 and 500")
        if not isinstance(self.units, int) and not self.units:
            raise ValueError("an empty list of units")
        return self

    @property
    def unattended(self) -> Alone:
        """The rule of `alone` with its default filled in."""
        return self.alone or (Alone.SOMEONE_ON_SHIFT if self.heat else Alone.YES)

    @property
    def shared_air(self) -> bool:
        """`one_room` with its default filled in."""
        return self.heat is not None if self.one_room is None else self.one_room

    @property
    def touches(self) -> bool:
        """`touched` with its default filled in."""
        if self.touched is not None:
            return self.touched
        several = any((unit.capacity or 1) > 1 or unit.holds for unit in self.each)
        return self.per_shelf is None and not several

    @property
    def each(self) -> tuple[Unit, ...]:
        """Every unit with its own size filled in; numbered where they have no names."""
        if isinstance(self.units, int):
            ids = [self.id] if self.units == 1 else [
                f"{self.id}-{i + 1}" for i in range(self.units)
            ]
            return tuple(
                Unit(id=i, capacity=self.capacity, fill=self.fill, holds=self.holds) for i in ids
            )
        return tuple(
            Unit(
                id=u.id,
                capacity=u.capacity or self.capacity,
                fill=u.fill or self.fill,
                holds=u.holds or self.holds,
            )
            for u in self.units
        )


class Store(Word):
    """A place where things wait."""

    id: Slug = Field(description="Id.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    zone: Slug = Field(description="What kind of place: chilled, frozen, dry, hot, room.")
    shelves: int = Field(gt=0, description="Usable shelves (a walk-in is full at 85 %).")
    coldest: Celsius | None = Field(default=None, description="The coldest it gets there, °C.")
    warmest: Celsius | None = Field(default=None, description="The warmest it gets there, °C.")

    @model_validator(mode="after")
    def _in_order(self) -> Store:
        low, high = self.coldest, self.warmest
        if low is not None and high is not None and low > high:
            said = f"{write_celsius(low)} and {write_celsius(high)}"
            raise ValueError(f"between {said} is upside down")
        return self


class DayPart(Word):
    """A named part of the day, for tending "morning and evening"."""

    id: Slug = Field(description="Id, e.g. morning.")
    hours: Hours = Field(description="From and to, wall-clock.")


class MarginBand(Word):
    """The margin for events up to a size."""

    up_to: int | None = Field(default=None, gt=0, description="Guests; left out: any number.")
    margin: Percent = Field(description="Planned on top of the guests.")


# Guarantee up to 100 guests: 10 % more; to 1,000: 5 %; above: 3 %. Slides of a
# catering textbook's chapter on production (second hand). In the text 100 and
# 1,000 belong to two bands; here they belong to the smaller one.
PUBLISHED_MARGINS = (
    MarginBand(up_to=100, margin=Percent.parse("10 %")),
    MarginBand(up_to=1000, margin=Percent.parse("5 %")),
    MarginBand(margin=Percent.parse("3 %")),
)


class Kitchen(Word):
    """Everything a week is cooked with."""

    id: Slug = Field(description="Id.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    zone: str = Field(description="IANA time zone, e.g. Europe/Vienna.")
    grid: Duration = Field(default=5, description="Everything is planned on this grid, minutes.")
    open: Hours | None = Field(
        default=None, description="Visits and services happen only then; left out: always."
    )
    transfer: Duration = Field(
        default=0, description="A wait up to this long needs no shelf, minutes."
    )
    diets_ahead: Duration = Field(
        default=30, description="Diet plates are plated before the others, by so much at most, min."
    )
    trainee_hour: Duration = Field(
        default=90, description="What takes a cook an hour takes a trainee so long, minutes."
    )
    rule_profile: Slug | None = Field(
        default=None,
        description="Whose limits of food and working time hold: us, anz, uk, eu, or house for "
        "no law's.",
    )
    own_limits: FoodLimits = Field(
        default=FoodLimits(), description="Limits of food safety that are this kitchen's own."
    )
    confirmed: dict[str, Label] = Field(
        default={},
        description="Limits of the profile that somebody here has looked up, each with who and "
        "when; what is known from memory only is not enforced before.",
    )
    rest: Rest | None = Field(
        default=None, description="How strictly they are kept; left out: all of them."
    )
    costs: Costs = Field(default=Costs(), description="What overtime and buying in cost.")
    margins: tuple[MarginBand, ...] = Field(
        default=PUBLISHED_MARGINS, description="Default margins by size of event."
    )
    day_parts: tuple[DayPart, ...] = Field(default=(), description="Parts of the day.")
    sections: tuple[Section, ...] = Field(min_length=1, description="Sections.")
    people: tuple[Person, ...] = Field(min_length=1, description="The brigade.")
    equipment: tuple[Equipment, ...] = Field(default=(), description="Equipment and containers.")
    stores: tuple[Store, ...] = Field(default=(), description="Where things wait.")
    duties: tuple[Duty, ...] = Field(default=(), description="Standing duties.")
    time_in_hand: TimeInHand = Field(
        default=TimeInHand(), description="Time in hand it wants, as part of quality."
    )
    calm: Calm = Field(default=Calm(), description="What hectic costs, as part of quality.")
    wish: WishPrice = Field(
        default=WishPrice(), description="What a wish costs that is not kept, as part of quality."
    )

    @model_validator(mode="after")
    def _grid_divides_an_hour(self) -> Kitchen:
        if not 1 <= self.grid <= 60 or 60 % self.grid:
            raise ValueError(f"a grid of {self.grid} min does not divide an hour. Maybe 5 min")
        if not 60 <= self.trainee_hour <= 240:
            raise ValueError(
                f"what takes a cook an hour takes a trainee {self.trainee_hour} min. Maybe 90 min"
            )
        return self
