"""Ids of what is new, made of its name."""

from __future__ import annotations

from collections.abc import Iterable

from scheduler.domain.wording import slug


def fresh(name: str, taken: Iterable[str], otherwise: str) -> str:
    """An id that nothing has yet: the name in small letters, with a number where it is taken."""
    begin = slug(name)[:50].strip("-") or otherwise
    there = set(taken)
    if begin not in there:
        return begin
    return next(f"{begin}-{n}" for n in range(2, len(there) + 3) if f"{begin}-{n}" not in there)
