"""Hazards that there are not."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.hazards import LONE
from scheduler.domain.hazards import hazards as known_hazards
from scheduler.domain.kitchen import Equipment
from scheduler.domain.problems import Problem
from scheduler.domain.recipes import Step
from scheduler.domain.walks import steps

_FOLLOWS = "it follows from who is in the house"


def hazards(draft: Draft) -> list[Problem]:
    """Every hazard that a step or a kind of equipment names is known."""
    parts: dict[int, Step | Equipment] = {id(kind): kind for kind in draft.kitchen.equipment}
    parts |= {id(step): step for _, step in steps(draft)}
    if not any(part.hazards for part in parts.values()):
        return []  # most weeks; the data need not be read
    known = set(known_hazards()) - {LONE}
    return [
        draft.problem(part, "hazards", i, what=f"'{LONE}' is written by nobody: {_FOLLOWS}")
        if word == LONE
        else draft.unknown(part, "hazards", i, kind="hazard", word=word, known=known)
        for part in parts.values()
        for i, word in enumerate(part.hazards)
        if word not in known
    ]
