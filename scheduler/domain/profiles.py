"""Limits of working time by jurisdiction: data, each figure with its source beside it.

Local law and licensed practice decide, not this list: national law and
collective agreements may ask for more or allow less.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scheduler.domain.times import Hours

HOUR = 60
Evidence = Literal["seen", "second hand", "from memory"]


@dataclass(frozen=True, slots=True)
class Limit:
    """A figure and where it stands.

    Attributes
    ----------
    value : int
        Minutes (years for an age).
    evidence : str
        seen: in a copy of the text or of its official summary; second hand:
        quoted by others; from memory: not looked up.
    """

    value: int
    document: str
    section: str
    evidence: Evidence

    @property
    def source(self) -> str:
        """In brackets behind a figure."""
        return f"{self.document} {self.section}"


@dataclass(frozen=True, slots=True)
class Limits:
    """What holds for one group of people.

    Attributes
    ----------
    daily_rest : Limit
        In one piece in every 24 h.
    weekly_rest : Limit
        In one piece in every calendar week …
    beside_daily : Limit or None
        … and the daily rest is not part of it.
    fortnight : Limit or None
        Or so much in one piece, or the weekly rest twice, in two weeks.
    break_after, break_length : Limit
        A shift longer than the first has a break of at least the second (1: of any length).
    weekly_hours : Limit
        Over a week, breaks left out.
    on_average : bool
        Only on average over months: one week cannot show whether it is kept.
    daily_hours : Limit or None
        Over a day, breaks left out.
    nights : tuple of (Hours, Limit)
        Nobody of them works in one of these; which one is the kitchen's (first: default).
    """

    daily_rest: Limit
    weekly_rest: Limit
    beside_daily: Limit | None
    fortnight: Limit | None
    break_after: Limit
    break_length: Limit
    weekly_hours: Limit
    on_average: bool
    daily_hours: Limit | None = None
    nights: tuple[tuple[Hours, Limit], ...] = ()


@dataclass(frozen=True, slots=True)
class Profile:
    """One jurisdiction; people under `of_age` are young workers, under `least_age` none."""

    name: str
    adults: Limits
    young: Limits
    of_age: Limit
    least_age: Limit


_DIRECTIVE, _YOUNG = "2003/88/EC", "94/33/EC"
_UK = "Working Time Regulations 1998"

EU = Profile(
    "European Union",
    adults=Limits(
        daily_rest=Limit(11 * HOUR, _DIRECTIVE, "art. 3", "seen"),
        weekly_rest=Limit(24 * HOUR, _DIRECTIVE, "art. 5", "seen"),
        beside_daily=Limit(11 * HOUR, _DIRECTIVE, "art. 3 and 5, C-477/21", "seen"),
        fortnight=None,
        break_after=Limit(6 * HOUR, _DIRECTIVE, "art. 4", "seen"),
        break_length=Limit(1, _DIRECTIVE, "art. 4, its length is national law", "seen"),
        weekly_hours=Limit(48 * HOUR, _DIRECTIVE, "art. 6", "seen"),
        on_average=True,
    ),
    young=Limits(
        daily_rest=Limit(12 * HOUR, _YOUNG, "art. 10", "from memory"),
        weekly_rest=Limit(48 * HOUR, _YOUNG, "art. 10", "from memory"),
        beside_daily=None,
        fortnight=None,
        break_after=Limit(270, _YOUNG, "art. 12", "from memory"),
        break_length=Limit(30, _YOUNG, "art. 12", "from memory"),
        weekly_hours=Limit(40 * HOUR, _YOUNG, "art. 8", "from memory"),
        on_average=False,
        daily_hours=Limit(8 * HOUR, _YOUNG, "art. 8", "from memory"),
        nights=(
            (Hours(22 * HOUR, 30 * HOUR), Limit(8 * HOUR, _YOUNG, "art. 9", "from memory")),
            (Hours(23 * HOUR, 31 * HOUR), Limit(8 * HOUR, _YOUNG, "art. 9", "from memory")),
        ),
    ),
    of_age=Limit(18, _YOUNG, "art. 3", "from memory"),
    least_age=Limit(15, _YOUNG, "art. 1 and 4", "from memory"),
)

UK = Profile(
    "United Kingdom",
    adults=Limits(
        daily_rest=Limit(11 * HOUR, _UK, "reg. 10", "seen"),
        weekly_rest=Limit(24 * HOUR, _UK, "reg. 11", "seen"),
        beside_daily=None,
        fortnight=Limit(48 * HOUR, _UK, "reg. 11", "seen"),
        break_after=Limit(6 * HOUR, _UK, "reg. 12", "seen"),
        break_length=Limit(20, _UK, "reg. 12", "seen"),
        weekly_hours=Limit(48 * HOUR, _UK, "reg. 4, over 17 weeks, one may opt out", "seen"),
        on_average=True,
    ),
    young=Limits(
        daily_rest=Limit(12 * HOUR, _UK, "reg. 10", "seen"),
        weekly_rest=Limit(48 * HOUR, _UK, "reg. 11", "seen"),
        beside_daily=None,
        fortnight=None,
        break_after=Limit(270, _UK, "reg. 12", "seen"),
        break_length=Limit(30, _UK, "reg. 12", "seen"),
        weekly_hours=Limit(40 * HOUR, _UK, "reg. 5A", "seen"),
        on_average=False,
        daily_hours=Limit(8 * HOUR, _UK, "reg. 5A", "seen"),
        nights=(
            (Hours(22 * HOUR, 30 * HOUR), Limit(8 * HOUR, _UK, "reg. 6A", "from memory")),
            (Hours(23 * HOUR, 31 * HOUR), Limit(8 * HOUR, _UK, "reg. 6A", "from memory")),
        ),
    ),
    of_age=Limit(18, _UK, "reg. 2", "from memory"),
    least_age=Limit(16, _UK, "reg. 2: over compulsory school age", "from memory"),
)
# Exceptions that hotels and kitchens may have at night are left out on purpose.

PROFILES: dict[str, Profile | None] = {"eu": EU, "uk": UK, "house": None}
"""By the word in a kitchen's `rule_profile`; `house`: rules of its own, no law's hours."""
