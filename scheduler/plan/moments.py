"""Minutes of a plan as wall-clock moments with their offset, and back."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from scheduler.domain.times import Clock

FIELDS = frozenset(
    {"start", "end", "law_start", "law_end", "order_by", "now", "stopped", "resumed"}
)
"""The fields of a plan that hold a moment."""

_FURTHEST = 4_000_000  # minutes, more than seven years: no plan is that long


class NoMoment(ValueError):
    """A moment that cannot be read; its message is for people."""


def with_offset(data: Any, clock: Clock) -> Any:
    """Plain data of a plan with every moment as "2026-12-12T19:30+01:00"."""
    known: dict[int, str] = {}

    def told(minute: int) -> str:
        if minute not in known:
            known[minute] = clock.local(minute).isoformat(timespec="minutes")
        return known[minute]

    def walk(value: Any) -> Any:
        if isinstance(value, dict):
            return {k: told(v) if k in FIELDS else walk(v) for k, v in value.items()}
        return [walk(v) for v in value] if isinstance(value, list) else value

    return walk(data)


def in_minutes(data: Any, clock: Clock) -> tuple[Any, list[tuple[tuple[str | int, ...], str]]]:
    """The way back.

    Returns
    -------
    tuple
        The data with minutes, and what could not be read: where, and a sentence.
    """
    wrong: list[tuple[tuple[str | int, ...], str]] = []
    known: dict[str, int] = {}

    def walk(value: Any, where: tuple[str | int, ...]) -> Any:
        if isinstance(value, dict):
            return {
                k: read(v, (*where, k)) if k in FIELDS else walk(v, (*where, k))
                for k, v in value.items()
            }
        if isinstance(value, list):
            return [walk(v, (*where, i)) for i, v in enumerate(value)]
        return value

    def read(value: Any, where: tuple[str | int, ...]) -> int:
        try:
            if not isinstance(value, str) or value not in known:
                known[value] = minute_of(value, clock)
            return known[value]
        except NoMoment as error:
            wrong.append((where, str(error)))
            return 0
        except TypeError:
            wrong.append((where, f"'{value}' is not a moment"))
            return 0

    return walk(data, ()), wrong


def minute_of(value: Any, clock: Clock) -> int:
    """The minute of one moment with an offset.

    Raises
    ------
    NoMoment
        If it is no moment, has no offset or lies between two minutes.
    """
    if not isinstance(value, str):
        raise NoMoment(f"'{value}' is not a moment like '2026-12-12T19:30+01:00'")
    try:
        moment = datetime.fromisoformat(value)
        if moment.tzinfo is None:
            meant = moment.replace(tzinfo=clock.zone, microsecond=0).isoformat(timespec="minutes")
            raise NoMoment(f"'{value}' has no offset. Maybe '{meant}'")
        seconds = (moment.astimezone(UTC) - clock.origin).total_seconds()
    except NoMoment:
        raise
    except (ValueError, OverflowError):
        raise NoMoment(f"'{value}' is not a moment like '2026-12-12T19:30+01:00'") from None
    if seconds % 60:
        raise NoMoment(f"'{value}' lies between two minutes")
    if abs(seconds) > 60 * _FURTHEST:
        raise NoMoment(f"'{value}' is years away from the week")
    return int(seconds) // 60
