"""Whose hands something takes."""

from __future__ import annotations

from pydantic import Field

from scheduler.domain.base import Level, Slug, Word

ANYONE = "anyone"
"""Written for a section where anybody on duty who is trained will do."""


class Hands(Word):
    """So many people of a section, of at least a level, trained for something."""

    people: int = Field(default=1, ge=1, le=50, description="How many, all the time.")
    section: Slug | None = Field(
        default=None, description="Section, or `anyone`; left out: the step's."
    )
    level: Level = Field(default=Level.COOK, description="Least level: trainee, cook or lead.")
    may_use: tuple[Slug, ...] = Field(default=(), description="What they must be trained for.")
    up_to: int | None = Field(
        default=None,
        ge=1,
        le=12,
        description="Shared work: `time` is what one has to do, and from `people` up to so many "
        "people share it, together from start to end.",
    )
    only: tuple[Slug, ...] = Field(
        default=(), description="Named people, where the chef insists; nobody else does it."
    )
    not_alone: bool = Field(
        default=False,
        description="A trainee never does it without somebody of cook's level or above.",
    )
