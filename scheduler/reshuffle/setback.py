"""What breaks a plan: one model a kind, as a form or a command fills it in.

Moments are the kitchen's wall clock. Whether a setback makes sense for a plan is asked in
`sense`, before anything is changed.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import Field, TypeAdapter, ValidationError

from scheduler.domain.base import Slug, Word
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.quantity import Quantity
from scheduler.domain.times import Duration, Moment
from scheduler.domain.week import Event

Salvage = Literal["elsewhere", "again"]
"""What becomes of a step that was running: it goes on with the time that is left, or starts again;
where nothing is said, what its recipe says (`if_interrupted`). What is lost is said of its batch
(`LostBatch`)."""


class Down(Word):
    """A machine stands still, or takes less; a store cannot be used."""

    kind: Literal["down"] = "down"
    what: Slug = Field(description="Unit or store.")
    since: Moment | None = Field(default=None, description="Since when; left out: now.")
    until: Moment | None = Field(
        default=None, description="Until when; left out: to the end of that day, then ask again."
    )
    left: int = Field(default=0, ge=0, le=10000, description="Places or shelves still of use.")
    cold: Moment | None = Field(
        default=None,
        description="A store: when it was last read as cold as it should be; left out: unknown.",
    )
    salvage: dict[str, Salvage] = Field(
        default={}, description="Task that was running on it: what becomes of it."
    )
    good: tuple[str, ...] = Field(
        default=(), description="A store: batches and lots in it that are still good."
    )


class Stuck(Word):
    """An oven stays at one setting until it is mended: what that suits may go on in it."""

    kind: Literal["stuck"] = "stuck"
    what: Slug = Field(description="Unit.")
    celsius: int = Field(description="The setting it stays at, °C.")
    mode: Slug | None = Field(default=None, description="Its mode; left out: the kind's first.")
    since: Moment | None = Field(default=None, description="Since when; left out: now.")
    until: Moment | None = Field(
        default=None, description="Until when; left out: to the end of that day, then ask again."
    )
    salvage: dict[str, Salvage] = Field(
        default={}, description="Task that was running in it at another: what becomes of it."
    )


class Working(Word):
    """A machine or store is of use again, sooner than was planned."""

    kind: Literal["working"] = "working"
    what: Slug = Field(description="Unit or store.")


class Away(Word):
    """Somebody is not there: ill, late, or leaving early."""

    kind: Literal["away"] = "away"
    who: Slug = Field(description="Person.")
    since: Moment | None = Field(default=None, description="Since when; left out: now.")
    until: Moment | None = Field(
        default=None, description="Until when; left out: to the end of that day."
    )
    salvage: dict[str, Salvage] = Field(
        default={}, description="Task that they were at: what becomes of it."
    )


class LostBatch(Word):
    """A batch, or a lot on hand, is lost or short."""

    kind: Literal["lost"] = "lost"
    batch: str = Field(min_length=1, max_length=300, description="Batch or lot.")
    left: Quantity | None = Field(
        default=None, description="So much of it can still be used; left out: nothing."
    )


class Counts(Word):
    """Another number of guests."""

    kind: Literal["counts"] = "counts"
    event: Slug = Field(description="Event.")
    guests: int = Field(description="Guests by now.")


class Moved(Word):
    """An event begins at another moment."""

    kind: Literal["moved"] = "moved"
    event: Slug = Field(description="Event.")
    to: Moment = Field(description="First plate away.")


class Cancelled(Word):
    """An event is called off."""

    kind: Literal["cancelled"] = "cancelled"
    event: Slug = Field(description="Event.")


class Added(Word):
    """One more event, as the week would say it."""

    kind: Literal["added"] = "added"
    event: Event = Field(description="Event.")


class Delivered(Word):
    """A delivery comes late, short, or not at all."""

    kind: Literal["delivery"] = "delivery"
    delivery: Slug = Field(description="Delivery.")
    at: Moment | None = Field(default=None, description="When it comes; left out: as planned.")
    quantity: Quantity | None = Field(default=None, description="How much comes.")
    never: bool = Field(default=False, description="Nothing of it comes.")


class Ends(Word):
    """A task takes longer, or was over sooner."""

    kind: Literal["ends"] = "ends"
    task: str = Field(min_length=1, max_length=300, description="Task.")
    at: Moment = Field(description="When it is over.")


class NotThere(Word):
    """A test says that a step is not done yet: it goes on, and is tested again."""

    kind: Literal["not-there"] = "not-there"
    task: str = Field(min_length=1, max_length=300, description="Task.")
    longer: Duration | None = Field(
        default=None, gt=0, description="So much longer, minutes; left out: as its test says."
    )


class NotBegun(Word):
    """A task that should be running by now has not been begun."""

    kind: Literal["not-begun"] = "not-begun"
    task: str = Field(min_length=1, max_length=300, description="Task.")


Setback: TypeAlias = (
    Down | Stuck | Working | Away | LostBatch | Counts | Moved | Cancelled | Added | Delivered
    | Ends | NotThere | NotBegun
)
_READ: TypeAdapter[Any] = TypeAdapter(Annotated[Setback, Field(discriminator="kind")])


def setback_of(data: Any, where: str = "setback") -> Setback:
    """A setback from plain data (the fields of a form, a body from the book).

    Raises
    ------
    BadInput
        Naming every field that makes no sense.
    """
    try:
        found: Setback = _READ.validate_python(data)
    except ValidationError as error:
        raise BadInput(
            [
                Problem("setbacks", None, None, _where(where, e["loc"]),
                        e["msg"].removeprefix("Value error, "))
                for e in error.errors()
            ]
        ) from None  # fmt: skip
    return found


def _where(where: str, loc: tuple[int | str, ...]) -> str:
    """The field, without the kind that pydantic puts before it."""
    return ", ".join([where, *(str(x) for x in loc[1:])])
