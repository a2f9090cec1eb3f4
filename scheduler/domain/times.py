"""Time at the edge: durations and wall clocks as written, minutes inside.

Inside Backtime time is whole minutes from the start of the horizon in UTC.
Only this module knows about time zones. Durations are elapsed; shifts and
services are wall-clock, so the two nights when clocks change come out right.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from pydantic import (
    BeforeValidator,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    PlainSerializer,
    WithJsonSchema,
)
from pydantic_core import CoreSchema, core_schema

from scheduler.domain.problems import nearest

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_PART = re.compile(r"([0-9]+) ?(min|h|d)")
_WRITTEN = re.compile(r"[0-9]+ ?(?:min|h|d)(?: ?[0-9]+ ?(?:min|h|d))*")
_MEANT = {
    "m": "min", "min": "min", "mins": "min", "minute": "min", "minutes": "min",
    "h": "h", "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
    "d": "d", "day": "d", "days": "d",
}  # fmt: skip
_WORDS = re.compile(rf"([0-9]+) ?({'|'.join(sorted(_MEANT, key=len, reverse=True))})\b", re.I)
_LONGEST = 40
_MINUTES = {"min": 1, "h": 60, "d": 1440}
_MOST_MINUTES = 366 * 1440
_YEARS = range(2000, 2200)


def read_duration(value: Any) -> int:
    """Read "45 min", "1 h 30 min" or "5 d" as whole minutes."""
    if isinstance(value, (bool, dict, list, tuple)):
        raise ValueError("a duration is written like '45 min', '8 h' or '5 d'")
    text = " ".join(str(value).split())
    if text == "0":
        return 0
    if len(text) > _LONGEST:
        raise ValueError(f"'{text[:_LONGEST]} …' is not a duration")
    if re.fullmatch(r"[0-9]+", text):
        raise ValueError(f"'{text}' has no unit of time. Maybe '{text} min' or '{text} h'")
    if match := re.fullmatch(r"([0-9]+[.,][0-9]+) ?(min|h|d)", text):
        exact = Fraction(match[1].replace(",", ".")) * _MINUTES[match[2]]
        meant = write_duration(max(1, round(exact)))
        raise ValueError(f"'{text}' is not in whole minutes. Maybe '{meant}'")
    if match := re.fullmatch(r"([0-9]+) ?(?:s|secs?|seconds?)", text, re.I):
        meant = write_duration(max(1, -(-int(match[1]) // 60)))
        raise ValueError(f"'{text}' is in seconds, and times are whole minutes. Maybe '{meant}'")
    if not _WRITTEN.fullmatch(text):
        meant = " ".join(f"{n} {_MEANT[u.lower()]}" for n, u in _WORDS.findall(text))
        if not meant and (match := re.fullmatch(r"([0-9]+) ?([a-z]{3,})", text, re.I)):
            meant = f"{match[1]} {_MEANT.get(nearest(match[2], _MEANT), '')}"
        hint = f". Maybe '{meant}'" if meant and _WRITTEN.fullmatch(meant) else ""
        raise ValueError(
            f"'{text}' is not a duration. Write it like '45 min', '8 h' or '5 d'{hint}"
        )
    minutes = sum(int(n) * _MINUTES[u] for n, u in _PART.findall(text))
    if minutes > _MOST_MINUTES:
        raise ValueError(f"'{text}' is longer than a year")
    return minutes


def write_duration(minutes: int) -> str:
    """Write minutes as "2 d 4 h", "1 h 30 min" or "45 min"."""
    if minutes == 0:
        return "0 min"
    sign, minutes = ("-" if minutes < 0 else ""), abs(minutes)
    days, rest = divmod(minutes, 1440)
    hours, mins = divmod(rest, 60)
    parts = [f"{n} {u}" for n, u in ((days, "d"), (hours, "h"), (mins, "min")) if n]
    return sign + " ".join(parts)


Duration = Annotated[
    int,
    BeforeValidator(read_duration),
    PlainSerializer(write_duration, return_type=str),
    WithJsonSchema({"type": "string", "examples": ["45 min", "1 h 30 min", "5 d"]}),
]


def _read_clock(text: str) -> int:
    match = re.fullmatch(r"([0-9]{1,2}):([0-9]{2})", text.strip())
    if match is None:
        raise ValueError(f"'{text}' is not a time of day. Write it like '08:30'")
    hour, minute = int(match[1]), int(match[2])
    if not ((hour < 24 and minute < 60) or (hour, minute) == (24, 0)):
        raise ValueError(f"'{text}' is not a time of day")
    return hour * 60 + minute


def read_daytime(value: Any) -> int:
    """Read a time of day "12:00" as minutes after midnight."""
    return _read_clock(str(value))


def write_daytime(minutes: int) -> str:
    """Write minutes after midnight as a time of day."""
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


Daytime = Annotated[
    int,
    BeforeValidator(read_daytime),
    PlainSerializer(write_daytime, return_type=str),
    WithJsonSchema({"type": "string", "examples": ["12:00"]}),
]


@dataclass(frozen=True, slots=True)
class Hours:
    """A stretch of the wall clock, "08:00-16:30"; past midnight when it ends before it starts.

    Attributes
    ----------
    start, end : int
        Minutes after local midnight; `end` may exceed 1440.
    """

    start: int
    end: int

    @classmethod
    def parse(cls, value: Any) -> Hours:
        """Read "08:00-16:30" or "22:00-06:00"."""
        if isinstance(value, Hours):
            return value
        parts = str(value).replace("–", "-").split("-")
        if len(parts) != 2:
            raise ValueError(f"'{value}' is not a stretch of hours. Write it like '08:00-16:30'")
        start, end = _read_clock(parts[0]), _read_clock(parts[1])
        if start == end:
            raise ValueError(f"'{value}' starts and ends at the same moment")
        return cls(start, end if end > start else end + 1440)

    def holds(self, other: Hours) -> bool:
        """Whether another stretch lies inside this one, past midnight too."""
        later = 1440 if other.start < self.start else 0
        return self.start <= other.start + later and other.end + later <= self.end

    def __str__(self) -> str:
        end = self.end if self.end <= 1440 else self.end - 1440
        return f"{self.start // 60:02d}:{self.start % 60:02d}-{end // 60:02d}:{end % 60:02d}"

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.parse, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"type": "string", "examples": ["08:00-16:30"]}


def read_moment(value: Any) -> datetime:
    """Read a wall-clock moment "2026-12-12 19:30" (or with a T); no zone, no seconds."""
    if isinstance(value, datetime):
        if value.tzinfo is not None:
            raise ValueError("write the kitchen's own wall clock, without an offset")
        return value
    text = str(value).strip()
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[ T][0-9]{2}:[0-9]{2}", text):
        raise ValueError(f"'{text}' is not a moment. Write it like '2026-12-12 19:30'")
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise ValueError(f"'{text}' does not exist: {error}") from None
    if moment.year not in _YEARS:
        raise ValueError(f"'{text}' is not in {_YEARS.start} to {_YEARS.stop - 1}")
    return moment


def read_day(value: Any) -> date:
    """Read a date "2026-12-12"."""
    if isinstance(value, datetime):
        raise ValueError(f"'{value}' has a time; write the date alone")
    if isinstance(value, date):
        return value
    text = str(value).strip()
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise ValueError(f"'{text}' is not a date. Write it like '2026-12-12'")
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise ValueError(f"'{text}' does not exist: {error}") from None
    if not 1900 <= day.year < _YEARS.stop:
        raise ValueError(f"'{text}' is not in 1900 to {_YEARS.stop - 1}")
    return day


Moment = Annotated[
    datetime,
    BeforeValidator(read_moment),
    PlainSerializer(lambda m: m.strftime("%Y-%m-%d %H:%M"), return_type=str),
    WithJsonSchema({"type": "string", "examples": ["2026-12-12 19:30"]}),
]
Day = Annotated[
    date,
    BeforeValidator(read_day),
    PlainSerializer(lambda d: d.isoformat(), return_type=str),
    WithJsonSchema({"type": "string", "format": "date"}),
]


@dataclass(frozen=True, slots=True)
class Days:
    """Which days something repeats on: "daily", "mon", "2026-12-03" or "2026-12-03..2026-12-06"."""

    text: str

    @classmethod
    def parse(cls, value: Any) -> Days:
        """Check one entry of a `days` list."""
        if isinstance(value, Days):
            return value
        text = str(value).strip().lower()
        if text == "daily" or text in WEEKDAYS:
            return cls(text)
        first, dots, last = text.partition("..")
        try:
            if read_day(first) > read_day(last if dots else first):
                raise ValueError(f"'{text}' runs backwards")
        except ValueError as error:
            meant = f". Maybe '{text[:3]}'" if text[:3] in WEEKDAYS else ""
            raise ValueError(
                f"{error}. A day is 'daily', 'mon', a date, or '2026-12-03..2026-12-06'{meant}"
            ) from None
        return cls(text)

    def __contains__(self, day: date) -> bool:
        if self.text == "daily":
            return True
        if self.text in WEEKDAYS:
            return WEEKDAYS[day.weekday()] == self.text
        first, dots, last = self.text.partition("..")
        return date.fromisoformat(first) <= day <= date.fromisoformat(last if dots else first)

    def __str__(self) -> str:
        return self.text

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.parse, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"type": "string", "examples": ["daily", "mon", "2026-12-03..2026-12-06"]}


class Clock:
    """Turns the kitchen's wall clock into minutes from the horizon's start, and back.

    Parameters
    ----------
    zone : str
        IANA time zone of the kitchen.
    start, end : datetime
        The horizon as wall-clock moments of that zone.
    """

    def __init__(self, zone: str, start: datetime, end: datetime) -> None:
        self.zone = ZoneInfo(zone)
        self.origin = start.replace(tzinfo=self.zone).astimezone(UTC)
        self.horizon = self.minute(end)
        self.first_day = start.date()
        self.last_day = end.date()

    def minute(self, local: datetime) -> int:
        """Minutes from the horizon's start to a wall-clock moment (may be negative).

        A moment that occurs twice is the first of the two.
        """
        since = local.replace(tzinfo=self.zone).astimezone(UTC) - self.origin
        return since // timedelta(minutes=1)

    def since(self, moment: datetime) -> int:
        """Minutes from the horizon's start to an aware moment (may be negative)."""
        return (moment.astimezone(UTC) - self.origin) // timedelta(minutes=1)

    def exists(self, local: datetime) -> bool:
        """False for a wall-clock moment that the spring night leaves out."""
        back = local.replace(tzinfo=self.zone).astimezone(UTC).astimezone(self.zone)
        return back.replace(tzinfo=None, fold=0) == local.replace(fold=0)

    def local(self, minute: int) -> datetime:
        """The aware wall-clock moment of a minute."""
        return (self.origin + timedelta(minutes=minute)).astimezone(self.zone)

    def days(self, margin: int = 1) -> list[date]:
        """Every calendar day the horizon touches, with `margin` days before for nights."""
        first = self.first_day - timedelta(days=margin)
        return [first + timedelta(days=i) for i in range((self.last_day - first).days + 1)]

    def span(self, day: date, hours: Hours) -> tuple[int, int]:
        """A stretch of hours on one day, as minutes [start, end) from the horizon's start."""
        midnight = datetime(day.year, day.month, day.day)
        return (
            self.minute(midnight + timedelta(minutes=hours.start)),
            self.minute(midnight + timedelta(minutes=hours.end)),
        )
