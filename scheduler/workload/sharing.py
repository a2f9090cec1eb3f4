"""In which ways hands can do a job: how many, who of them is a trainee, and how long it takes.

A crew with somebody of cook's level or above in it takes as long as written;
trainees on their own take longer (`trainee_hour`). Work that is shared is
divided by what each of them brings: a cook 1, a trainee 60 / trainee_hour.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.base import Level
from scheduler.workload.hands import level_in, lines
from scheduler.workload.primitives import Line, Way

if TYPE_CHECKING:
    from scheduler.domain.recipes import Hands, Need
    from scheduler.workload.builder import Builder
    from scheduler.workload.laws import Law


@dataclass(frozen=True, slots=True)
class Able:
    """Who may stand in a line: all of them, and those of them who are trainees or more."""

    hands: Hands
    line: Line
    cooks: tuple[int, ...]
    trainees: tuple[int, ...]

    def accompanied(self) -> tuple[Line, ...]:
        """The line with somebody above a trainee in it."""
        rest = (Line(self.line.people, self.line.count - 1),) if self.line.count > 1 else ()
        return (Line(self.cooks, 1), *rest)


def able(
    b: Builder, hands: Sequence[Hands], section: str, needs: Sequence[Need]
) -> tuple[Able, ...]:
    """Each line with everybody who may stand in it."""
    found = []
    for one, line in zip(hands, lines(b, hands, section, needs), strict=True):
        asked = (line.people, one.section or section)
        if asked not in b.learning:
            b.learning[asked] = _learning(b, *asked)
        learning = b.learning[asked]
        cooks = tuple(p for p in line.people if p not in learning) if learning else line.people
        found.append(Able(one, line, cooks, learning))
    return tuple(found)


def _learning(b: Builder, people: tuple[int, ...], section: str) -> tuple[int, ...]:
    """Those of them who are trainees in a section."""
    brigade = b.scenario.kitchen.people
    return tuple(p for p in people if level_in(brigade[p], section) is Level.TRAINEE)


def ways(
    b: Builder, hands: Sequence[Hands], section: str, needs: Sequence[Need], span: Law
) -> tuple[Way, ...]:
    """Every way to man a job; none where whoever is left would take too long.

    Where fewer of the same people are as quick they do it, unless somebody is wished for.
    """
    crew = able(b, hands, section, needs)
    slow = Fraction(60, b.scenario.kitchen.trainee_hour)
    if len(crew) == 1 and crew[0].hands.up_to is not None:
        options = _shared(crew[0], slow)
    else:
        options = _together(crew, slow)
    found = []
    for some, pace in options:
        least, most = span.by(pace).ticks(b.grid)
        if least <= most:
            found.append(Way(some, least, most))
    if any(w.person is not None and not w.kind.endswith("not") for w in b.scenario.week.wishes):
        return tuple(found)
    return tuple(w for w in found if not any(_beaten(w, other) for other in found))


def as_written(
    b: Builder, hands: Sequence[Hands], section: str, needs: Sequence[Need]
) -> tuple[Line, ...]:
    """Lines for visits that keep their length whoever comes, with company where it is asked for."""
    crew = able(b, hands, section, needs)
    if any(not one.trainees for one in crew):
        return tuple(one.line for one in crew)
    at = None
    if any(one.hands.not_alone for one in crew):
        at = next((i for i, one in enumerate(crew) if one.cooks), None)
    return _with_company(crew, at)


def _with_company(crew: Sequence[Able], at: int | None) -> tuple[Line, ...]:
    """Everybody's lines; that one with somebody above a trainee in it."""
    return tuple(
        line
        for i, one in enumerate(crew)
        for line in (one.accompanied() if i == at else (one.line,))
    )


def _together(
    crew: Sequence[Able], slow: Fraction
) -> Iterator[tuple[tuple[Line, ...], Fraction]]:
    """All of them all the time: with a cook as written, trainees on their own more slowly."""
    never_alone = any(one.hands.not_alone for one in crew)
    if any(not one.trainees for one in crew) or (slow == 1 and not never_alone):
        yield tuple(one.line for one in crew), Fraction(1)
        return
    for i, one in enumerate(crew):
        if one.cooks:
            yield _with_company(crew, i), Fraction(1)
    if not never_alone and all(len(one.trainees) >= one.line.count for one in crew):
        yield tuple(Line(one.trainees, one.line.count) for one in crew), slow


def _shared(one: Able, slow: Fraction) -> Iterator[tuple[tuple[Line, ...], Fraction]]:
    """From `people` to `up_to` of them, each for what they bring."""
    for n in range(one.line.count, min(one.hands.up_to or 0, len(one.line.people)) + 1):
        if not one.trainees or (slow == 1 and not one.hands.not_alone):
            yield (Line(one.line.people, n),), Fraction(n)
            continue
        for k in range(min(n, len(one.trainees)) + 1):
            if n - k <= len(one.cooks) and not (k == n and one.hands.not_alone):
                counts = ((one.cooks, n - k), (one.trainees, k))
                yield tuple(Line(who, c) for who, c in counts if c), n - k + k * slow


def _beaten(way: Way, other: Way) -> bool:
    """Fewer of the same people are as quick."""
    if other is way or other.least > way.least:
        return False
    counts = {line.people: line.count for line in way.lines}
    fewer = all(line.count <= counts.get(line.people, 0) for line in other.lines)
    return fewer and sum(x.count for x in other.lines) < sum(counts.values())
