"""What can hurt somebody at work: known hazards, where they are met, who is barred from them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Slug
from scheduler.domain.limits import Source, unsourced
from scheduler.domain.profiles import profile_of
from scheduler.domain.shipped import shipped

if TYPE_CHECKING:
    from scheduler.domain.jurisdiction import Barred, Profile
    from scheduler.domain.kitchen import Kitchen, Person
    from scheduler.domain.recipes import Need, Step, Visit
    from scheduler.domain.scenario import Scenario

LONE = "lone-night"
"""Nobody writes this one: it follows from who is in the house."""


class Hazard(Source):
    """Something that can hurt whoever works with it."""

    id: Slug = Field(description="Id, named by steps and equipment.")
    name: Label = Field(description="What it is called on sheets.")
    caution: Label = Field(description="What to mind, in one line.")

    @model_validator(mode="after")
    def _sourced(self) -> Hazard:
        for lack in unsourced(self):
            raise ValueError(f"{self.id}: {lack}")
        return self


@lru_cache
def hazards() -> dict[str, Hazard]:
    """All hazards by id."""
    read = [Hazard.model_validate(one) for one in shipped("hazards")["hazards"]]
    return {one.id: one for one in read}


def met_on(scenario: Scenario, needs: Iterable[Need]) -> frozenset[Slug]:
    """Hazards of the equipment that some needs take."""
    return frozenset(
        hazard
        for need in needs
        if need.equipment is not None
        for hazard in scenario.units_of(need.equipment)[0][0].hazards
    )


def met_in(scenario: Scenario, step: Step, visit: Visit | None = None) -> frozenset[Slug]:
    """Hazards of a step and its equipment, and of what a visit to it takes besides."""
    more = visit.on if visit is not None else ()
    return frozenset(step.hazards) | met_on(scenario, (*step.on, *more))


def bars(kitchen: Kitchen) -> tuple[tuple[Barred, ...], int]:
    """What nobody under age may do or use, and from what age on they may.

    It holds also where the figure is from memory: an hour of caution too many
    costs little.
    """
    profile: Profile | None = profile_of(kitchen)
    if profile is None or profile.of_age is None:
        return (), 0
    return profile.barred, profile.of_age.value


def comes_of_age(person: Person, years: int) -> date | None:
    """The day from which on somebody is so old; None where no birth date is written.

    Whoever was born on 29 February: 1 March in other years.
    """
    born = person.born
    if born is None:
        return None
    try:
        return born.replace(year=born.year + years)
    except ValueError:
        return date(born.year + years, 3, 1)
