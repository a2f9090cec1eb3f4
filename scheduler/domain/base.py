"""What every word of the written week has in common."""

from __future__ import annotations

import unicodedata
from enum import StrEnum
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, StringConstraints

SCHEMA = 1
"""The version of the written week and of the plan file that this code reads and writes."""


class Word(BaseModel):
    """A frozen record that refuses fields it does not know."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)


Slug = Annotated[
    str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", min_length=1, max_length=60)
]
"""An id: small letters, digits and single hyphens."""


def _one_line(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    return unicodedata.normalize("NFC", " ".join(value.split()))


Label = Annotated[
    str, BeforeValidator(_one_line), StringConstraints(min_length=1, max_length=120)
]
"""A name for people to read: one line, in Unicode's composed form."""


class Level(StrEnum):
    """What a person is in a section, least first."""

    TRAINEE = "trainee"
    COOK = "cook"
    LEAD = "lead"

    @property
    def rank(self) -> int:
        """0 for a trainee, 2 for a lead."""
        return _RANK[self]


class Alone(StrEnum):
    """May it run with nobody at it? The stricter of step and equipment wins."""

    NEVER = "never"
    SOMEONE_ON_SHIFT = "someone_on_shift"
    YES = "yes"

    @property
    def rank(self) -> int:
        """0 is the strictest."""
        return _RANK[self]


_RANK: dict[str, int] = {word: n for words in (Level, Alone) for n, word in enumerate(words)}

