"""Every rule of the primitives once kept and once broken, on a week too small to miss why.

The same cases serve the auditor of the primitives and both encodings of the
model: the good assignment stands, the bad one does not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from scheduler.workload.primitives import (
    HORIZON_END,
    HORIZON_START,
    Add,
    Batch,
    Choice,
    Crew,
    Line,
    Link,
    Option,
    Placed,
    Point,
    Problem,
    Resource,
    Solution,
    Task,
    Tend,
    Use,
    VisitUse,
)

START = Point(HORIZON_START)
END = Point(HORIZON_END)
SHELF = Resource("shelf", 1)
COLD_HOT = (("bake", 160), ("bake", 240))
OVEN = Resource("oven", 2, COLD_HOT, ((0, 3), (5, 0)), (1, 4))


@dataclass(frozen=True)
class Case:
    """One rule: kept by `good`, broken by `bad`, which the auditor calls `says`."""

    name: str
    problem: Problem
    good: Solution
    bad: Solution
    says: str


def tasks(*lengths: int | tuple[int, int], horizon: int = 20) -> Problem:
    """Tasks of these lengths (or ranges), each in a batch of its own."""
    ranges = [(n, n) if isinstance(n, int) else n for n in lengths]
    return Problem(
        5,
        horizon,
        0,
        tuple(Batch(f"b{t}", (t,)) for t in range(len(ranges))),
        tuple(Task(f"t{t}", t, a, b, 0, horizon) for t, (a, b) in enumerate(ranges)),
    )


def change(problem: Problem, t: int, **what: object) -> Problem:
    """One task otherwise."""
    some = list(problem.tasks)
    some[t] = replace(some[t], **what)  # type: ignore[arg-type]
    return replace(problem, tasks=tuple(some))


def hold(batch: int, choice: int, start: Point, end: Point, amount: int = 1, grace: int = 0) -> Use:
    return Use(batch, choice, amount, start, end, grace)


def whole(t: int, choice: int, amount: int = 1) -> Use:
    """A use all through a task of a batch of its own."""
    return Use(t, choice, amount, Point(t), Point(t, True))


def at(*times: tuple[int, int], **rest: object) -> Solution:
    return Solution(dict(enumerate(times)), **rest)  # type: ignore[arg-type]


def staffed(problem: Problem, *people: tuple[tuple[int, int], ...]) -> Problem:
    return replace(problem, people=tuple((f"p{i}", there) for i, there in enumerate(people)))


ALL_DAY = ((0, 20),)
ONE = (Line((0,)),)
EITHER = (Line((0, 1)),)


def _times() -> list[Case]:
    ferment = tasks((3, 5))
    window = change(tasks(3), 0, earliest=4, latest=10)
    shifts = change(tasks(3), 0, within=((2, 6), (8, 20)))
    begun = replace(tasks(3, 2), now=4, batches=(Batch("b0", (0,), fixed=True), Batch("b1", (1,))))
    return [
        Case("a ferment stays inside its range", ferment, at((2, 7)), at((2, 8)), "lasts"),
        Case("a ferment is not cut short", ferment, at((2, 5)), at((2, 4)), "lasts"),
        Case("nothing before it may start", window, at((4, 7)), at((3, 6)), "inside"),
        Case("nothing after it must end", window, at((7, 10)), at((8, 11)), "inside"),
        Case("somebody is on shift all through", shifts, at((3, 6)), at((5, 8)), "none of"),
        Case("what is new starts after now", begun, at((1, 4), (4, 6)), at((1, 4), (3, 5)), "now"),
    ]


def _links() -> list[Case]:
    two = tasks(2, 2)
    rest = replace(two, links=(Link(Point(0, True), Point(1), 3, 5),))
    lag = replace(two, links=(Link(Point(0), Point(1), -4, None),))
    stock = replace(tasks(2), links=(Link(START, Point(0), None, 6),))
    early = replace(tasks(2), links=(Link(Point(0, True), END, 5, None),))
    return [
        Case(
            "dough rests as long as it must", rest, at((0, 2), (5, 7)), at((0, 2), (4, 6)), "is not"
        ),
        Case(
            "a mousse is used within its limit",
            rest,
            at((0, 2), (7, 9)),
            at((0, 2), (8, 10)),
            "is not",
        ),
        Case(
            "one thing starts at most so long before another",
            lag,
            at((6, 8), (2, 4)),
            at((7, 9), (2, 4)),
            "is not",
        ),
        Case("what is on hand is used in time", stock, at((6, 8)), at((7, 9)), "is not"),
        Case(
            "something is done well before the week is over",
            early,
            at((13, 15)),
            at((14, 16)),
            "is not",
        ),
    ]


def _uses() -> list[Case]:
    two = tasks(3, 3)
    mixer = replace(
        two,
        resources=(SHELF,),
        choices=(Choice(0, (Option(0),)), Choice(1, (Option(0),))),
        uses=(whole(0, 0), whole(1, 1)),
    )
    on = {0: 0, 1: 0}
    # Task 0's share waits on the shelf for task 1; task 2 wants the shelf for a while.
    waiting = replace(
        tasks(2, 2, 4),
        resources=(SHELF,),
        choices=(Choice(0, (Option(0),)), Choice(2, (Option(0),))),
        uses=(hold(0, 0, Point(0, True), Point(1)), whole(2, 1)),
    )
    big = replace(waiting, uses=(hold(0, 0, Point(0, True), Point(1), 2), whole(2, 1)))
    passing = replace(waiting, uses=(hold(0, 0, Point(0, True), Point(1), 1, 1), whole(2, 1)))
    stored = replace(waiting, uses=(hold(0, 0, Point(0, True), END), whole(2, 1)))
    on_hand = replace(waiting, uses=(hold(1, 0, START, Point(1)), whole(2, 1)))
    stores = replace(
        two,
        resources=(SHELF, Resource("rack", 1)),
        choices=(Choice(0, (Option(0), Option(1))), Choice(1, (Option(0), Option(1)))),
        uses=(whole(0, 0), whole(1, 1)),
    )
    follow = replace(
        tasks(3, 3, 3),
        resources=stores.resources,
        choices=(stores.choices[0], Choice(2, stores.choices[1].options)),
        uses=(whole(0, 0), hold(0, 0, Point(0, True), Point(1)), whole(2, 1)),
    )
    return [
        Case(
            "a mixer holds one dough",
            mixer,
            at((0, 3), (3, 6), chosen=on),
            at((0, 3), (2, 5), chosen=on),
            "of 1",
        ),
        Case(
            "a share keeps its shelf until it is taken",
            waiting,
            at((0, 2), (6, 8), (6, 10), chosen=on),
            at((0, 2), (6, 8), (5, 9), chosen=on),
            "of 1",
        ),
        Case(
            "what is taken at once needs no shelf",
            big,
            at((0, 2), (2, 4), (0, 4), chosen=on),
            at((0, 2), (3, 5), (8, 12), chosen=on),
            "of 1",
        ),
        Case(
            "what is only carried over needs no shelf",
            passing,
            at((0, 2), (3, 5), (0, 4), chosen=on),
            at((0, 2), (4, 6), (0, 4), chosen=on),
            "of 1",
        ),
        Case(
            "what is kept stays to the end",
            stored,
            at((5, 7), (9, 11), (3, 7), chosen=on),
            at((5, 7), (9, 11), (16, 20), chosen=on),
            "of 1",
        ),
        Case(
            "what is on hand has its shelf from the first",
            on_hand,
            at((0, 2), (5, 7), (5, 9), chosen=on),
            at((0, 2), (5, 7), (4, 8), chosen=on),
            "of 1",
        ),
        Case(
            "two units hold two",
            stores,
            at((0, 3), (0, 3), chosen={0: 0, 1: 1}),
            at((0, 3), (0, 3), chosen={0: 1, 1: 1}),
            "of 1",
        ),
        Case(
            "what was put in one store stays there",
            follow,
            at((0, 3), (6, 9), (4, 7), chosen={0: 0, 1: 1}),
            at((0, 3), (6, 9), (4, 7), chosen={0: 0, 1: 0}),
            "of 1",
        ),
    ]


def _states() -> list[Case]:
    two = tasks(3, 3)
    bake = replace(
        two,
        resources=(OVEN,),
        choices=(Choice(0, (Option(0, 0),)), Choice(1, (Option(0, 1),))),
        uses=(whole(0, 0), whole(1, 1)),
    )
    same = replace(bake, choices=(Choice(0, (Option(0, 0),)), Choice(1, (Option(0, 0),))))
    either = replace(bake, choices=(bake.choices[0], Choice(1, (Option(0, 0), Option(0, 1)))))
    on = {0: 0, 1: 0}
    return [
        Case(
            "an oven heats up before the hotter bake",
            bake,
            at((2, 5), (8, 11), chosen=on),
            at((2, 5), (7, 10), chosen=on),
            "states",
        ),
        Case(
            "an oven cools down before the cooler bake",
            bake,
            at((12, 15), (4, 7), chosen=on),
            at((11, 14), (4, 7), chosen=on),
            "states",
        ),
        Case(
            "an oven is warm before its first bake",
            bake,
            at((15, 18), (4, 7), chosen=on),
            at((15, 18), (3, 6), chosen=on),
            "before 4",
        ),
        Case(
            "two trays at one setting share an oven",
            same,
            at((2, 5), (3, 6), chosen=on),
            at((0, 3), (3, 6), chosen=on),
            "before 1",
        ),
        Case(
            "what may bake at either setting joins the one it meets",
            either,
            at((2, 5), (4, 7), chosen=on),
            at((2, 5), (4, 7), chosen={0: 0, 1: 1}),
            "states",
        ),
    ]


def _people() -> list[Case]:
    split = staffed(replace(tasks(3), crews=(Crew(0, ONE),)), ((0, 4), (6, 20)))
    range_ = staffed(replace(tasks((3, 6)), crews=(Crew(0, ONE),)), ((0, 4), (6, 20)))
    two = staffed(replace(tasks(3, 3), crews=(Crew(0, ONE), Crew(1, EITHER))), ALL_DAY, ALL_DAY)
    pair = staffed(
        replace(tasks(3), crews=(Crew(0, (Line((0,)), Line((0, 1)))),)), ALL_DAY, ALL_DAY
    )
    both = staffed(replace(tasks(3), crews=(Crew(0, (Line((0, 1, 2), 2),)),)), *([ALL_DAY] * 4))
    return [
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


CASES = [
    case
    for family in (_times, _links, _uses, _states, _people, _visits, _presence)
    for case in family()
]
