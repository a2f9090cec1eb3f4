"""Which paper there is."""

from __future__ import annotations

from enum import StrEnum


class Paper(StrEnum):
    """Sizes of paper: ISO 216, and the letter of North America."""

    A4 = "a4"
    A3 = "a3"
    LETTER = "letter"
