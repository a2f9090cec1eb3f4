"""What the chef wishes before planning, and which house rules somebody lets go, with a reason."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Slug, Word
from scheduler.domain.times import Day, Days, Duration, Moment

HOUSE: dict[str, tuple[str, ...]] = {
    "break": ("person", "day", "late"),
    "open-hours": ("day",),
    "section-level": ("person", "component"),
    "reserved": ("lot",),
}
"""House rules: the kitchen's own, so a named person may let one go where these fields say."""

SAFETY = frozenset(
    {
        "hold-limit", "within", "wait-limit", "at-once", "plated-hold", "not-before", "store-zone",
        "store-full", "in-machine", "oven-setting", "oven-shared", "oven-heat-up", "law",
        "it-decides", "tending", "day-parts", "adding", "may-use", "barred", "hands", "alone",
        "shift", "one-place", "diets-first",
    }
)  # fmt: skip
"""Rules that keep food, people or the recipe's own clocks safe: nobody may let one go."""


class Wish(Word):
    """How something should be made: who by, on which machine, on which days, by when.

    It speaks of a component, or of one step of it. Who, days: the hands that make it
    (all the way, loading, unloading); tending and adding only where somebody must not.
    """

    kind: Literal["must", "must not", "rather", "rather not"] = Field(
        description="How much it matters: musts are kept; the others cost quality where they "
        "are not."
    )
    component: Slug = Field(description="What it is about.")
    step: Slug | None = Field(default=None, description="One step of it; left out: all.")
    person: Slug | None = Field(default=None, description="Who is at it.")
    unit: Slug | None = Field(default=None, description="Or the unit of a machine it is on.")
    days: tuple[Days, ...] = Field(default=(), description="Or the days its hands work on it.")
    done_by: Moment | None = Field(default=None, description="Or done by this moment.")
    not_before: Moment | None = Field(default=None, description="Or not begun before it.")

    @model_validator(mode="after")
    def _one_thing(self) -> Wish:
        said = [
            name
            for name in ("person", "unit", "days", "done_by", "not_before")
            if getattr(self, name)
        ]
        if len(said) != 1:
            raise ValueError(
                "a wish says one thing: person, unit, days, done_by or not_before"
                + (f"; this says {', '.join(said)}" if said else "")
            )
        if self.kind.endswith("not") and said[0] in ("done_by", "not_before"):
            raise ValueError(f"'{self.kind}' and {said[0]}. Maybe '{self.kind[:-4]}'")
        return self


    @property
    def words(self) -> str:
        """What it says, after the name of what it is about: "must be done by …"."""
        if self.person is not None:
            return f"{self.kind} be {self.person}'s"
        if self.unit is not None:
            return f"{self.kind} be on {self.unit}"
        if self.days:
            return f"{self.kind} be made on {', '.join(map(str, self.days))}"
        if self.done_by is not None:
            return f"{self.kind} be done by {self.done_by:%Y-%m-%d %H:%M}"
        return f"{self.kind} not begin before {self.not_before:%Y-%m-%d %H:%M}"


class Acceptance(Word):
    """A named person lets a house rule go, in one place and for a reason.

    break: a person's break that moves, on a day, so much later. open-hours: on a day.
    section-level: for a person at a component. reserved: for a lot on hand. The plan may
    then break that and nothing else.
    """

    rule: Slug = Field(description="The house rule: break, open-hours, section-level or reserved.")
    by: Label = Field(description="Who lets it go.")
    reason: Label = Field(description="Why.")
    day: Day | None = Field(default=None, description="On this day (open-hours, break).")
    late: Duration | None = Field(
        default=None, gt=0, description="So much later than it may be, minutes (break)."
    )
    person: Slug | None = Field(
        default=None, description="For this person (break, section-level)."
    )
    component: Slug | None = Field(default=None, description="At this recipe (section-level).")
    lot: Slug | None = Field(default=None, description="For this lot on hand (reserved).")

    @model_validator(mode="after")
    def _where(self) -> Acceptance:
        if self.rule in SAFETY:
            raise ValueError(
                f"'{self.rule}' keeps food or people safe, nobody may accept that it is broken"
            )
        if self.rule not in HOUSE:
            raise ValueError(f"'{self.rule}' is no house rule; those are {', '.join(HOUSE)}")
        for name in ("day", "late", "person", "component", "lot"):
            wanted = name in HOUSE[self.rule]
            if wanted != (getattr(self, name) is not None):
                needs = " and ".join(HOUSE[self.rule])
                raise ValueError(f"'{self.rule}' is accepted for one {needs}, said in full")
        return self
