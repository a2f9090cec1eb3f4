"""Stepping away from a job, and breaks inside one: each rule kept and broken."""

from __future__ import annotations

from dataclasses import replace

from scheduler.workload.primitives import Crew, Leave, Line, Problem, Solution, Way
from tests.solve.small import ALL_DAY, EITHER, ONE, Case, at, staffed, tasks

ALONE = {0: (0,), 1: (0,)}


def portioning(*others: int, most: int = 8, rest: bool = False, **words: int) -> Problem:
    """Six ticks of portioning that may be left, and other work of the only cook."""
    leave = Leave(**{"times": 1, "longest": 2, "apart": 2} | words)
    job = staffed(tasks((6, most), *others), ALL_DAY)
    short = tuple(Crew(t, (Way(ONE),), rest=rest) for t in range(1, 1 + len(others)))
    return replace(job, crews=(Crew(0, (Way(ONE, 6),), leave), *short))


def _at(*times: tuple[int, int]) -> Solution:
    return at(*times, crews=dict.fromkeys(range(len(times)), (0,)))


def _leaving() -> list[Case]:
    often = portioning(1, 1, most=9, times=2)
    nested = portioning(2)
    nested = replace(nested, crews=(nested.crews[0], Crew(1, (Way(ONE, 2),), Leave(1, 1, 1))))
    pair = replace(portioning(1, 1), people=(("p0", ALL_DAY), ("p1", ALL_DAY)))
    pair = replace(
        pair,
        crews=(
            replace(pair.crews[0], ways=(Way((Line((0, 1), 2),), 6),)),
            Crew(1, (Way(ONE),)),
            Crew(2, (Way(EITHER),)),
        ),
    )  # fmt: skip

    lunch = portioning(2, 2, rest=True, times=0, longest=0, breaks=True)
    lunch = replace(
        lunch,
        people=(("p0", ALL_DAY), ("p1", ALL_DAY)),
        crews=(
            replace(lunch.crews[0], ways=(Way((Line((0, 1), 2),), 6),)),
            Crew(1, (Way(ONE),), rest=True),
            Crew(2, (Way((Line((1,)),)),), rest=True),
        ),
    )  # fmt: skip

    def at_lunch(*times: tuple[int, int]) -> Solution:
        return at(*times, crews={0: (0, 1), 1: (0,), 2: (1,)})

    def by_two(*times: tuple[int, int], last: int) -> Solution:
        return at(*times, crews={0: (0, 1), 1: (0,), 2: (last,)})

    return [
        Case(
            "trays are turned in the middle of portioning",
            portioning(2),
            _at((0, 8), (3, 5)),
            _at((0, 7), (3, 5)),
            "of work",
        ),
        Case(
            "nobody portions for a moment only",
            portioning(2),
            _at((0, 8), (4, 6)),
            _at((0, 8), (1, 3)),
            "between leavings",
        ),
        Case(
            "what goes on already may be left at once",
            portioning(2, begun=1),
            _at((0, 8), (1, 3)),
            _at((0, 8), (0, 2)),
            "between leavings",
        ),
        Case(
            "what goes on after the week may be left at its end",
            portioning(2, beyond=1),
            _at((0, 8), (5, 7)),
            _at((0, 8), (6, 8)),
            "between leavings",
        ),
        Case(
            "portioning is not left for long",
            portioning(3, most=10),
            _at((0, 6), (6, 9)),
            _at((0, 8), (2, 5)),
            "at once",
        ),
        Case(
            "portioning is not left too often",
            portioning(1, 1),
            _at((0, 8), (3, 4), (8, 9)),
            _at((0, 8), (2, 3), (5, 6)),
            "left 2 times",
        ),
        Case(
            "there is work between two ways out",
            often,
            _at((0, 9), (3, 4), (6, 7)),
            _at((0, 9), (3, 4), (5, 6)),
            "between leavings",
        ),
        Case(
            "work that may not pause is done before the break",
            portioning(2, rest=True),
            _at((0, 6), (6, 8)),
            _at((0, 8), (3, 5)),
            "at once",
        ),
        Case(
            "a break is no work",
            portioning(3, most=9, rest=True, times=0, longest=0, breaks=True),
            _at((0, 9), (3, 6)),
            _at((0, 8), (3, 6)),
            "of work",
        ),
        Case(
            "two who portion together go to lunch together",
            lunch,
            at_lunch((0, 8), (3, 5), (3, 5)),
            at_lunch((0, 8), (3, 5), (4, 6)),
            "of work",
        ),
        Case(
            "whoever is away is at nothing long",
            nested,
            _at((0, 6), (6, 8)),
            _at((0, 8), (3, 5)),
            "at once",
        ),
        Case(
            "two who portion together are away once, not once each",
            pair,
            by_two((0, 8), (3, 4), (8, 9), last=1),
            by_two((0, 8), (3, 4), (3, 4), last=1),
            "left 2 times",
        ),
    ]


LEAVING = _leaving()
