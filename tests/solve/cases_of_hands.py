"""People, visits and presence: each rule kept and broken."""

from __future__ import annotations

from dataclasses import replace

from scheduler.workload.primitives import (
    Add,
    Batch,
    Crew,
    Line,
    Placed,
    Resource,
    Solution,
    Tend,
    VisitUse,
    Way,
)
from tests.solve.small import (
    ALL_DAY,
    EITHER,
    ONE,
    Case,
    at,
    change,
    staffed,
    tasks,
)


def _people() -> list[Case]:
    split = staffed(replace(tasks(3), crews=(Crew(0, (Way(ONE),)),)), ((0, 4), (6, 20)))
    range_ = staffed(replace(tasks((3, 6)), crews=(Crew(0, (Way(ONE),)),)), ((0, 4), (6, 20)))
    two = staffed(
        replace(tasks(3, 3), crews=(Crew(0, (Way(ONE),)), Crew(1, (Way(EITHER),)))),
        ALL_DAY,
        ALL_DAY,
    )
    pair = staffed(
        replace(tasks(3), crews=(Crew(0, (Way((Line((0,)), Line((0, 1)))),)),)), ALL_DAY, ALL_DAY
    )
    both = staffed(
        replace(tasks(3), crews=(Crew(0, (Way((Line((0, 1, 2), 2),)),)),)), *([ALL_DAY] * 4)
    )
    ways = (Way(ONE, 6, 6), Way((Line((0, 1), 2),), 3, 3))
    shared = staffed(replace(tasks((3, 6)), crews=(Crew(0, ways),)), ALL_DAY, ALL_DAY)
    return [
        Case(
            "work is as short as two make it only where there are two",
            shared,
            at((2, 5), crews={0: (0, 1)}),
            at((2, 5), crews={0: (0,)}),
            "no length",
        ),
        Case(
            "two are not kept as long as one would need",
            shared,
            at((2, 8), crews={0: (0,)}),
            at((2, 8), crews={0: (0, 1)}),
            "no length",
        ),
        Case(
            "nobody works through their break",
            split,
            at((1, 4), crews={0: (0,)}),
            at((3, 6), crews={0: (0,)}),
            "not there",
        ),
        Case(
            "work of a range stays inside one shift",
            range_,
            at((6, 12), crews={0: (0,)}),
            at((3, 8), crews={0: (0,)}),
            "not there",
        ),
        Case(
            "nobody is at two things at once",
            two,
            at((0, 3), (2, 5), crews={0: (0,), 1: (1,)}),
            at((0, 3), (2, 5), crews={0: (0,), 1: (0,)}),
            "at once",
        ),
        Case(
            "two hands lines are two people",
            pair,
            at((0, 3), crews={0: (0, 1)}),
            at((0, 3), crews={0: (0, 0)}),
            "twice",
        ),
        Case(
            "only those who may do it do it",
            both,
            at((0, 3), crews={0: (0, 2)}),
            at((0, 3), crews={0: (0, 3)}),
            "none of",
        ),
    ]


def _tended(start: int, *visits: int, length: int = 10) -> Solution:
    placed = tuple(Placed(v, v + 1, (0,)) for v in visits)
    return at((start, start + length), tends={0: placed})


def _visits() -> list[Case]:
    ferment = staffed(tasks(10), ALL_DAY)
    gap = replace(ferment, tends=(Tend(0, 1, ONE, (3, 4)),))
    began = change(replace(ferment, tends=(Tend(0, 1, ONE, (3, 4), 2),)), 0, earliest=0, latest=10)
    night = staffed(gap, ((0, 4), (6, 20)))
    short = staffed(replace(tasks(3), tends=(Tend(0, 1, ONE, (3, 4)),)), ALL_DAY)
    parts = replace(ferment, tends=(Tend(0, 1, ONE, None, 0, ((2, 4), (9, 11))),))
    none = {0: ()}
    add = staffed(replace(tasks(6), adds=(Add(0, 1, ONE, 2, 3),)), ALL_DAY)
    late = staffed(replace(tasks(3), adds=(Add(0, 2, ONE, 0, 3),)), ALL_DAY)
    apart = staffed(
        replace(tasks(6), tends=(Tend(0, 1, ONE, (2, 3)),), adds=(Add(0, 1, (Line((1,)),), 2, 3),)),
        ALL_DAY,
        ALL_DAY,
    )
    tending = {0: (Placed(2, 3, (0,)), Placed(5, 6, (0,)))}
    bowl = staffed(
        replace(
            tasks(6, 6),
            resources=(Resource("bowl", 1),),
            adds=tuple(Add(t, 1, (Line((t,)),), 2, 2, (VisitUse(0, 1),)) for t in (0, 1)),
        ),
        ALL_DAY,
        ALL_DAY,
    )
    return [
        Case(
            "a starter is fed often enough",
            gap,
            _tended(2, 6, 10),
            _tended(2, 7, 11),
            "after the one before",
        ),
        Case(
            "a starter is not fed too soon",
            gap,
            _tended(2, 5, 9),
            _tended(2, 4, 8),
            "after the one before",
        ),
        Case(
            "the last feed is near enough to the end",
            gap,
            _tended(2, 5, 9),
            _tended(2, 5),
            "last visit",
        ),
        Case(
            "feeding goes on from before the week",
            began,
            _tended(0, 1, 5),
            _tended(0, 3, 7),
            "after the one before",
        ),
        Case(
            "nobody feeds while nobody is there",
            night,
            _tended(6, 9, 13),
            _tended(1, 4, 8),
            "not there",
        ),
        Case(
            "what ends soon needs no feeding",
            short,
            at((0, 3), tends=none),
            at((0, 3), tends={0: (Placed(3, 4, (0,)),)}),
            "not inside",
        ),
        Case(
            "each part of the day sees it once",
            parts,
            _tended(2, 3, 10, length=10),
            _tended(2, 3, length=10),
            "windows",
        ),
        Case(
            "a part of the day that it does not span sees nobody",
            parts,
            _tended(3, 9),
            _tended(3, 3, 9),
            "windows",
        ),
        Case(
            "butter goes in when it must",
            add,
            at((1, 7), adds={0: Placed(4, 5, (0,))}),
            at((1, 7), adds={0: Placed(5, 6, (0,))}),
            "add 0 after",
        ),
        Case(
            "butter goes in while it still mixes",
            late,
            at((1, 4), adds={0: Placed(2, 4, (0,))}),
            at((1, 4), adds={0: Placed(3, 5, (0,))}),
            "not inside",
        ),
        Case(
            "adding and turning are not the same visit",
            apart,
            at((0, 6), tends=tending, adds={0: Placed(3, 4, (1,))}),
            at((0, 6), tends=tending, adds={0: Placed(2, 3, (1,))}),
            "overlaps",
        ),
        Case(
            "one bowl serves one visit",
            bowl,
            at((0, 6), (1, 7), adds={0: Placed(2, 3, (0,)), 1: Placed(3, 4, (1,))}),
            at((0, 6), (0, 6), adds={0: Placed(2, 3, (0,)), 1: Placed(2, 3, (1,))}),
            "of 1",
        ),
    ]


def _presence() -> list[Case]:
    two = tasks(2, 2)
    needs = replace(two, batches=(Batch("stock", (0,)), Batch("sauce", (1,), (0,))))
    duty = replace(two, batches=(Batch("duty", (0,), fixed=True), Batch("sauce", (1,))))
    return [
        Case(
            "no sauce without its stock",
            needs,
            Solution({0: (0, 2)}),
            Solution({1: (4, 6)}),
            "without stock",
        ),
        Case(
            "a standing duty is never left out",
            duty,
            Solution({0: (0, 2)}),
            Solution({1: (4, 6)}),
            "is missing",
        ),
    ]


HANDS = [*_people(), *_visits(), *_presence()]
