"""Tasks that somebody wants to stay where they are, whatever is planned anew."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pydantic import AwareDatetime, Field, ValidationError, model_validator

from scheduler.domain.base import Slug, Word
from scheduler.domain.problems import BadInput, Problem


class How(Word):
    """What of a task stays: at least one of these.

    People do the hands of the task: all the way, loading, unloading; where it has none of
    those, its visits. Where fewer hands are needed than people are named it is some of them,
    where more, all of them and others. Equipment likewise, kind by kind.
    """

    start: AwareDatetime | None = Field(default=None, description="When it starts.")
    people: tuple[Slug, ...] = Field(default=(), description="Who does it.")
    equipment: tuple[Slug, ...] = Field(default=(), description="On which units.")

    @model_validator(mode="after")
    def _something(self) -> How:
        if self.start is None and not self.people and not self.equipment:
            raise ValueError("say what of the task stays: its start, its people or its equipment")
        return self


class Staying(How):
    """A task that stays."""

    task: str = Field(min_length=1, max_length=300, description="batch/step, or batch/step/load.")


def staying(said: Sequence[Any]) -> tuple[Staying, ...]:
    """Tasks to keep, from plain data or as they are.

    Parameters
    ----------
    said : sequence of dict or Staying
        task, and at least one of start (a moment with its offset), people, equipment.

    Raises
    ------
    BadInput
        For whatever is no kept task, all at once, and for a task that is there twice.
    """
    found: dict[str, Staying] = {}
    problems: list[Problem] = []
    for n, one in enumerate(said, 1):
        name = one.get("task", "") if isinstance(one, dict) else getattr(one, "task", "")
        where = f"kept task {name or n}"
        try:
            keep = Staying.model_validate(one)
        except ValidationError as error:
            for e in error.errors():
                field = ", ".join(str(x) for x in e["loc"])
                what = e["msg"].removeprefix("Value error, ")
                problems.append(_problem(where, f"{field}: {what}" if field else what))
            continue
        if keep.task in found:
            problems.append(_problem(where, "is kept twice, in two ways perhaps"))
        found[keep.task] = keep
    if problems:
        raise BadInput(problems)
    return tuple(found.values())


def _problem(where: str, what: str) -> Problem:
    return Problem("kept tasks", None, None, where, what)
