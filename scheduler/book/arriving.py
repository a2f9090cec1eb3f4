"""What comes from a client's outbox: its own id, its own clock, and perhaps twice."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from pydantic import ValidationError

from scheduler.book.columns import canonical
from scheduler.book.errors import BookError

APART = timedelta(minutes=2)
"""So far a client's clock may be from the book's and nothing is put right."""
AHEAD = timedelta(minutes=5)
"""So much a client's clock may be before the book's and nobody wonders."""
BEHIND = timedelta(days=31)
"""Nothing stays in an outbox for longer."""
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._:-]{0,63}")
_YEARS = range(1970, 2200)
_LARGEST = 64
"""KB."""
_DEEPEST = 60
"""So many lists and groups of fields inside each other; a form or a setback has less than ten."""


class Twice(BookError):
    """An id that a client made has been used for something else already."""


def made_id(id: str) -> str:
    """An id that a client made, if it is one.

    Raises
    ------
    BookError
    """
    if not _ID.fullmatch(id):
        raise BookError(
            f"'{id[:80]}' is no id for an entry: one to 64 letters, digits and hyphens, as in a "
            "UUID."
        )
    return id


def moment(happened: datetime) -> datetime:
    """When something happened as its client says, in UTC, whatever it is.

    Raises
    ------
    BookError
        Without a zone, or so that no clock could have said it.
    """
    if not isinstance(happened, datetime):
        raise BookError(f"'{str(happened)[:60]}' is no moment.")
    if happened.tzinfo is None:
        raise BookError(f"'{happened}' has no zone; send the moment with its offset.")
    if happened.year not in _YEARS:
        raise BookError(f"'{happened}' is not in {_YEARS.start} to {_YEARS.stop - 1}.")
    return happened.astimezone(UTC)


def behind(shows: datetime | None, now: datetime) -> timedelta:
    """How far a client's clock is behind the book's, as whole seconds; nothing where it is near.

    Parameters
    ----------
    shows : datetime or None
        What it showed when it sent; None: nobody knows.
    """
    apart = timedelta() if shows is None else now - moment(shows)
    return timedelta() if abs(apart) <= APART else timedelta(seconds=round(apart.total_seconds()))


def doubtful(happened: datetime, arrived: datetime) -> bool:
    """Cannot have happened then: after it arrived, or before anybody would have kept it back."""
    return not arrived - BEHIND <= happened <= arrived + AHEAD


def plain(body: Mapping[str, Any]) -> dict[str, Any]:
    """What was sent as the book will read it back: lists for tuples, names as text.

    Raises
    ------
    BookError
        If it is no plain data, too large or nested too deep.
    """
    if not isinstance(body, Mapping):
        raise BookError(f"What was sent is no fields and their values: {str(body)[:60]}.")
    shallow(body, "What was sent")
    read: dict[str, Any] = read_back(dict(body), _LARGEST, "What was sent")
    return read


def shallow(value: Any, what: str) -> None:
    """Refuse what is nested deeper than anybody means it.

    Raises
    ------
    BookError
    """
    level = [value]
    for _ in range(_DEEPEST + 1):
        inner = [v.values() if isinstance(v, Mapping) else v for v in level if _holds(v)]
        level = [one for some in inner for one in some]
        if not inner:
            return
    raise BookError(f"{what} is nested too deep: more than {_DEEPEST} lists or groups of fields.")


def _holds(value: Any) -> bool:
    return isinstance(value, (Mapping, list, tuple))


def read_back(value: Any, most: int, what: str) -> Any:
    """Plain data as the book will read them, once they are kept.

    Parameters
    ----------
    most : int
        KB that are kept.
    what : str
        What they are called.

    Raises
    ------
    BookError
        If they are no plain data, or more than that.
    """
    try:
        text = canonical(value)
        size = len(text.encode())
    except (TypeError, ValueError):
        raise BookError(f"{what} is no plain data: texts, numbers, lists, names.") from None
    if size > most * 1024:
        raise BookError(f"{what} is too large: {-(-size // 1024)} KB, at most {most}.")
    return json.loads(text)


def sentence(error: ValidationError, of: str) -> str:
    """The first thing that is wrong with what was sent, in one sentence."""
    first = error.errors()[0]
    where = " ".join(str(part) for part in first["loc"])
    known = {
        "missing": f"{of} needs '{where}'",
        "extra_forbidden": f"{of} has no '{where}'",
        "string_too_short": f"'{where}' is empty",
    }
    said = first["msg"].removeprefix("Value error, ")
    told = known.get(first["type"], f"{where}: {said}" if where else said)
    return f"{told[:1].upper()}{told[1:].rstrip('.')}."
