"""Tasks, links, uses and states: each rule kept and broken."""

from __future__ import annotations

from dataclasses import replace

from scheduler.workload.primitives import (
    Batch,
    Choice,
    Clean,
    Line,
    Link,
    Option,
    Placed,
    Point,
    Problem,
    Resource,
)
from tests.solve.small import (
    END,
    OVEN,
    SHELF,
    START,
    Case,
    at,
    change,
    hold,
    tasks,
    whole,
)


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


def _rooms() -> list[Case]:
    two = replace(
        tasks((2, 4), (2, 8)),
        resources=(Resource("oven", 3),),
        choices=(Choice(0, (Option(0),)), Choice(1, (Option(0),))),
        uses=(whole(0, 0), whole(1, 1)),
    )
    on = {0: 0, 1: 0}
    choux = replace(two, uses=(replace(whole(0, 0), shut=True), two.uses[1]))
    together = replace(two, uses=tuple(replace(u, shut=True) for u in two.uses))
    fish = replace(
        two,
        uses=(replace(whole(0, 0), sort=1), replace(whole(1, 1), sort=2, not_beside=1)),
    )
    return [
        Case(
            "choux stay behind a shut door that was shut before",
            choux,
            at((5, 8), (3, 11), chosen=on),
            at((5, 8), (6, 11), chosen=on),
            "opened at 6",
        ),
        Case(
            "nothing is taken out while choux are in",
            choux,
            at((5, 8), (3, 8), chosen=on),
            at((5, 8), (3, 7), chosen=on),
            "opened at 7",
        ),
        Case(
            "what is chilled together goes in and comes out together",
            together,
            at((5, 9), (5, 9), chosen=on),
            at((5, 9), (5, 10), chosen=on),
            "opened at 9",
        ),
        Case(
            "fish goes in when the meringue is out",
            fish,
            at((5, 8), (8, 12), chosen=on),
            at((5, 8), (7, 12), chosen=on),
            "beside",
        ),
    ]


def _cleaning() -> list[Case]:
    """Sesame, then pumpkin seed, then both; one person who cleans for two ticks."""
    after = ((False, True, False), (True, False, False), (True, True, False))
    setup = tuple(tuple(2 * here for here in row) for row in after)
    one = (Line((0,)),)

    def stone(at_once: bool) -> Problem:
        return replace(
            tasks(3, 3, 3),
            resources=(Resource("stone", 1, (), setup, (), Clean(2, one, after, at_once)),),
            choices=tuple(Choice(t, (Option(0, t),)) for t in range(3)),
            uses=tuple(whole(t, t) for t in range(3)),
            people=(("p0", ((2, 9), (12, 20))),),
        )

    now, later = stone(True), stone(False)
    on = {0: 0, 1: 0, 2: 0}

    def cleaned(*done: tuple[int, int, int]) -> dict[int, Placed]:
        return {n: Placed(a, z, (0,)) for n, a, z in done}

    return [
        Case(
            "the stone is brushed before pumpkin seed goes in",
            now,
            at((0, 3), (5, 8), (8, 11), chosen=on, cleans=cleaned((0, 3, 5))),
            at((0, 3), (5, 8), (8, 11), chosen=on),
            "left out",
        ),
        Case(
            "sesame may stay where both go in",
            now,
            at((0, 3), (13, 16), (3, 6), chosen=on, cleans=cleaned((2, 6, 8))),
            at((0, 3), (13, 16), (3, 6), chosen=on, cleans=cleaned((0, 3, 5), (2, 6, 8))),
            "nothing calls for",
        ),
        Case(
            "paste does not dry on the stone before it is brushed",
            now,
            at((0, 3), (14, 17), (17, 20), chosen=on, cleans=cleaned((0, 3, 5))),
            at((0, 3), (14, 17), (17, 20), chosen=on, cleans=cleaned((0, 4, 6))),
            "not at once",
        ),
        Case(
            "what need not be cleaned at once is clean before the next thing",
            later,
            at((0, 3), (14, 17), (17, 20), chosen=on, cleans=cleaned((0, 12, 14))),
            at((0, 3), (14, 17), (17, 20), chosen=on, cleans=cleaned((0, 13, 15))),
            "14",
        ),
        Case(
            "nobody cleans who is not there",
            later,
            at((0, 3), (14, 17), (17, 20), chosen=on, cleans=cleaned((0, 7, 9))),
            at((0, 3), (14, 17), (17, 20), chosen=on, cleans=cleaned((0, 9, 11))),
            "not there",
        ),
    ]


THINGS = [*_times(), *_links(), *_uses(), *_states(), *_rooms(), *_cleaning()]
