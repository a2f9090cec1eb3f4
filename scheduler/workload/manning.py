"""Whose hands: what is asked of people by tasks and by visits inside them.

Part of the primitives, which pass these names on.
"""

from __future__ import annotations

from dataclasses import dataclass

FOREVER = 1 << 30
"""Longer than any horizon, ticks."""


@dataclass(frozen=True, slots=True)
class Line:
    """`count` distinct people out of `people` (indices, ascending)."""

    people: tuple[int, ...]
    count: int = 1


@dataclass(frozen=True, slots=True)
class Way:
    """One way to man a task: these people, for a length from `least` to `most` ticks.

    `price`: what that way costs, in the units of a band.
    """

    lines: tuple[Line, ...]
    least: int = 0
    most: int = FOREVER
    price: int = 0


@dataclass(frozen=True, slots=True)
class Leave:
    """How far the people of a crew may step away from it.

    Inside the task each of them may be at *short* hands: visits, and crews
    that may not be left themselves, of at most `longest` ticks each, or at
    their break where `breaks` says so. Each such absence is one leaving. It
    lies at least `apart` ticks from the job's ends and from the same
    person's other leavings; there are at most `times` of them over all its
    people, breaks not counted, and

        end - start - (sum of all leavings) - (time of any break) >= the way's least

    so spare time inside is allowed (as far as the way's most), and what is
    taken out of a job never breaks it. The job had been going on for `begun`
    ticks when the task starts, and goes on for `beyond` after its end, where
    planning sees only a part of it.
    """

    times: int
    longest: int
    apart: int
    breaks: bool = False
    begun: int = 0
    beyond: int = 0

    @property
    def lead(self) -> int:
        """A leaving starts at least so many ticks after the task."""
        return max(0, self.apart - self.begun)

    @property
    def tail(self) -> int:
        """A leaving ends at least so many ticks before the task."""
        return max(0, self.apart - self.beyond)


@dataclass(frozen=True, slots=True)
class Crew:
    """Hands all through a task, the same from start to end, in exactly one of its ways.

    Distinct people over all lines of the way; the task's length lies in the
    way's range. Which way is taken is not written down: the cheapest that fits
    the people and the length (`way_taken`). `leave`: they may step away.
    `rest`: it is a break of theirs.
    """

    task: int
    ways: tuple[Way, ...]
    leave: Leave | None = None
    rest: bool = False


@dataclass(frozen=True, slots=True)
class VisitUse:
    """A resource that every visit takes while it lasts (no choice)."""

    resource: int
    amount: int


@dataclass(frozen=True, slots=True)
class Placed:
    """One visit as planned: ticks and people (indices, in the order of the lines)."""

    start: int
    end: int
    people: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Tend:
    """Visits inside a task.

    With `gap`: from the task's start (or `since` ticks before it) and from the
    end of each visit, the next visit starts gap[0]..gap[1] later; the last
    visit ends by the task's end and at most gap[1] before it; no visit is
    needed if the task ends within gap[1]. With `windows`: one visit lies in
    every window that lies wholly inside the task.

    `made`: visits that stand first and are past; `since` and `windows` say what is
    asked after them, and no other visit starts before `earliest`.
    """

    task: int
    length: int
    lines: tuple[Line, ...]
    gap: tuple[int, int] | None = None
    since: int = 0
    windows: tuple[tuple[int, int], ...] = ()
    uses: tuple[VisitUse, ...] = ()
    made: tuple[Placed, ...] = ()
    earliest: int = 0


@dataclass(frozen=True, slots=True)
class Add:
    """One visit that starts least..most ticks after its task does and ends inside it.

    It overlaps no other visit of the same task.
    """

    task: int
    length: int
    lines: tuple[Line, ...]
    least: int
    most: int
    uses: tuple[VisitUse, ...] = ()


def seats(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """A line for every person that is asked for, in the order in which people are written down."""
    return tuple(line for line in lines for _ in range(line.count))


def way_taken(crew: Crew, people: tuple[int, ...], length: int) -> Way | None:
    """The cheapest way of a crew that these people are, for that length; None where none is."""
    found: Way | None = None
    for way in crew.ways:
        wanted = seats(way.lines)
        if (
            way.least <= length <= way.most
            and len(wanted) == len(people)
            and all(p in line.people for p, line in zip(people, wanted, strict=True))
            and (found is None or way.price < found.price)
        ):
            found = way
    return found
