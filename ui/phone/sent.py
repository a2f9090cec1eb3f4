"""A form as it was filled in on a sheet, and what may be wrong with it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from scheduler.book.arriving import behind
from scheduler.domain.times import read_daytime

_ID = re.compile(r"[A-Za-z0-9-]{1,48}")
_LONG_AGO = timedelta(hours=12)
"""A time of day further back than this is one that is still to come."""


class Refused(Exception):
    """It makes no sense as it was sent; its text is for whoever has sent it."""


class Asks(Exception):
    """It is not taken before somebody says more.

    Attributes
    ----------
    places : dict of str to str
        What is asked, by the field that it is asked of (`m0`).
    """

    def __init__(self, places: dict[str, str]) -> None:
        self.places = places
        super().__init__(" ".join(places.values()))


@dataclass(frozen=True)
class Sent:
    """A form as it was filled in.

    Attributes
    ----------
    fields : mapping of str to str
        By name, as it stands on the page.
    happened : datetime
        When it was pressed, by the phone's clock.
    shows : datetime or None
        What that clock showed when it was sent; None: the page has no script.
    arrived : datetime
        By the book's clock.
    """

    fields: Mapping[str, str]
    happened: datetime
    shows: datetime | None
    arrived: datetime

    def of(self, name: str) -> str:
        """A field, without spaces around it; empty: it is not there."""
        return self.fields.get(name, "").strip()

    @property
    def id(self) -> str:
        """The id that was made when the form was drawn.

        Raises
        ------
        Refused
        """
        id = self.of("id")
        if not _ID.fullmatch(id):
            raise Refused("This form has no id; open the sheet again and enter it there.")
        return id

    @property
    def truly(self) -> datetime:
        """When it was pressed by the book's clock."""
        return self.happened + behind(self.shows, self.arrived)

    def when(self, zone: ZoneInfo) -> tuple[datetime, datetime | None]:
        """When it happened, and what the clock shows by which that is said.

        A time of day that was typed is by the kitchen's clock, and the last time that it was so:
        at ten past midnight 23:50 was yesterday.

        Raises
        ------
        Refused
        """
        if not self.of("at"):
            return self.happened, self.shows
        typed, now = self.of("at"), self.truly.astimezone(zone)
        found = on(now.date(), typed, zone)
        if found > now:
            found = on(now.date() - timedelta(days=1), typed, zone)
            if now - found > _LONG_AGO:
                raise Refused(f"{typed} is still to come, by the kitchen's clock ({now:%H:%M}).")
        return found, None


def on(day: date, typed: str, zone: ZoneInfo) -> datetime:
    """A time of day that was typed, on a day.

    Raises
    ------
    Refused
    """
    try:
        minutes = read_daytime(typed)
    except ValueError:
        raise Refused(f"'{typed[:20]}' is not a time of day. Write it like 14:05.") from None
    midnight = datetime(day.year, day.month, day.day)
    return (midnight + timedelta(minutes=minutes)).replace(tzinfo=zone)
