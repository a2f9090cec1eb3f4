"""Earliest and latest of every task, and possible starts by people alone."""

from __future__ import annotations

import random

import pytest

from scheduler.workload.primitives import (
    HORIZON_START,
    Add,
    Batch,
    Crew,
    Line,
    Link,
    Point,
    Problem,
    Task,
    Tend,
    Way,
)
from scheduler.workload.starts import Starts, common, joined, outside
from scheduler.workload.windows import windows


def problem(*tasks: tuple[int, int], links: tuple[Link, ...] = (), **rest: object) -> Problem:
    """Tasks of (least, most), all in one batch, on a horizon of 100."""
    made = tuple(Task(f"t{i}", 0, a, z, 0, 100) for i, (a, z) in enumerate(tasks))
    batch = Batch("b", tuple(range(len(tasks))))
    return Problem(5, 100, 0, (batch,), made, links, **rest)  # type: ignore[arg-type]


def after(one: int, other: int, least: int | None = 0, most: int | None = None) -> Link:
    return Link(Point(one, True), Point(other), least, most)


def test_a_chain_is_walked_from_both_ends() -> None:
    """10, then 5 to 8 later 20: the second ends by 100, so the first starts by 65."""
    found = windows(problem((10, 10), (20, 20), links=(after(0, 1, 5, 8),)))
    assert (found.earliest, found.latest) == ((0, 15), (65, 80))
    assert found.stuck is None


def test_a_wait_at_most_keeps_the_first_from_being_too_early() -> None:
    p = problem((10, 10), (20, 20), links=(after(0, 1, 0, 8),))
    tasks = (p.tasks[0], Task("t1", 0, 20, 20, 50, 100))
    found = windows(Problem(5, 100, 0, p.batches, tasks, p.links))
    assert found.earliest == (32, 50)


def test_a_range_stretches_only_as_far_as_it_may() -> None:
    """Both begin together and end together: 10 to 30 beside 25 to 40."""
    links = (
        Link(Point(0), Point(1), 0, 0),
        Link(Point(0, True), Point(1, True), 0, 0),
    )
    found = windows(problem((10, 30), (25, 40), links=links))
    assert found.earliest_end == (25, 25)
    assert found.latest == (75, 75)


def test_links_that_contradict_each_other_are_found_and_named() -> None:
    """The second at least 10 after the first, the first at most 5 before the second."""
    links = (after(0, 1, 10), Link(Point(0, True), Point(1), None, 5))
    found = windows(problem((10, 10), (20, 20), links=links))
    assert found.stuck is not None
    assert set(found.cycle) == {0, 1}


def test_a_window_too_small_is_found() -> None:
    links = (Link(Point(HORIZON_START), Point(1), None, 8), after(0, 1))
    assert windows(problem((10, 10), (20, 20), links=links)).stuck is not None


def test_what_is_left_out_binds_nobody() -> None:
    tasks = (Task("a", 0, 10, 10, 0, 100), Task("b", 1, 10, 10, 0, 12))
    p = Problem(5, 100, 0, (Batch("x", (0,)), Batch("y", (1,))), tasks, (after(0, 1),))
    assert windows(p).latest[0] == -8 or windows(p).stuck is not None
    assert windows(p, without=(1,)).latest[0] == 90


def test_starts_snap_to_when_somebody_is_there() -> None:
    people = (("ana", ((10, 20), (40, 60))),)
    crew = (Crew(0, (Way((Line((0,)),)),)),)
    found = windows(problem((12, 12), people=people, crews=crew))
    assert (found.earliest, found.latest) == ((40,), (48,))


@pytest.mark.parametrize("seed", range(40))
def test_no_placement_lies_outside_the_windows(seed: int) -> None:
    """All placements of two small tasks, tried one by one."""
    rng = random.Random(seed)
    tasks = []
    for name in "ab":
        least = rng.randint(1, 4)
        tasks.append(Task(name, 0, least, least + rng.randint(0, 2), rng.randint(0, 4), 16))
    people = (("ana", ((rng.randint(0, 5), rng.randint(9, 16)),)),)
    link = Link(
        Point(0, rng.random() < 0.5),
        Point(1, rng.random() < 0.5),
        rng.choice([None, -2, 0, 3]),
        rng.choice([None, 4, 6]),
    )
    crews = (Crew(0, (Way((Line((0,)),)),)),)
    p = Problem(5, 16, 0, (Batch("b", (0, 1)),), tuple(tasks), (link,), people=people, crews=crews)
    placements = []
    for s0 in range(17):
        for e0 in range(s0 + tasks[0].least, s0 + tasks[0].most + 1):
            for s1 in range(17):
                for e1 in range(s1 + tasks[1].least, s1 + tasks[1].most + 1):
                    gap = (s1, e1)[link.after.end] - (s0, e0)[link.before.end]
                    (a, z) = people[0][1][0]
                    if (
                        s0 >= tasks[0].earliest
                        and s1 >= tasks[1].earliest
                        and max(e0, e1) <= 16
                        and a <= s0
                        and e0 <= z
                        and (link.least is None or gap >= link.least)
                        and (link.most is None or gap <= link.most)
                    ):
                        placements.append((s0, s1))
    found = windows(p)
    if found.stuck is not None:
        assert not placements
    for starts in placements:
        assert all(found.earliest[i] <= s <= found.latest[i] for i, s in enumerate(starts))


# -- possible starts ------------------------------------------------------------------------


def test_stretches_join_meet_and_leave_out() -> None:
    assert joined([(5, 9), (0, 4), (12, 14)]) == ((0, 9), (12, 14))
    assert common(((0, 9),), ((4, 6), (8, 20))) == ((4, 6), (8, 9))
    assert outside(((3, 4), (8, 30)), 0, 20) == ((0, 2), (5, 7))


def test_two_cooks_at_once_are_needed_at_once() -> None:
    people = (("ana", ((0, 20),)), ("bo", ((12, 40),)))
    crew = Crew(0, (Way((Line((0, 1), 2),)),))
    assert Starts(problem((6, 6), people=people, crews=(crew,))).task(0)[0] == ((12, 14),)


def test_one_cook_cannot_stand_in_for_two_lines() -> None:
    people = (("ana", ((0, 40),)),)
    crew = Crew(0, (Way((Line((0,)), Line((0,)))),))
    found, why = Starts(problem((6, 6), people=people, crews=(crew,))).task(0)
    assert found == () and why is not None and why.kind == "hands"


def test_tending_bars_starts_that_would_have_to_bridge_a_night() -> None:
    """Somebody at 0-20 and 50-70; visits of 2 at most 12 apart; 30 long.

    A visit may start at 18 at the latest and end at 20: until 32 all is well.
    From 50 on, the first is there 12 after 38. So no start in 3 .. 37; after
    the last visit (68 to 70) it lasts to 82: no start after 52.
    """
    people = (("ana", ((0, 20), (50, 70))),)
    tend = Tend(0, 2, (Line((0,)),), (8, 12))
    found, _ = Starts(problem((30, 30), people=people, tends=(tend,))).task(0)
    assert found == ((0, 2), (38, 52))


def test_tending_closer_than_the_night_leaves_no_start_at_all() -> None:
    people = (("ana", ((0, 20), (50, 70))),)
    tend = Tend(0, 2, (Line((0,)),), (8, 12))
    found, why = Starts(problem((60, 60), people=people, tends=(tend,))).task(0)
    assert found == () and why is not None and why.kind == "tending"


def test_a_day_part_nobody_can_visit_bars_what_would_contain_it() -> None:
    people = (("ana", ((0, 20),)),)
    tend = Tend(0, 2, (Line((0,)),), windows=((5, 15), (40, 50)))
    found, _ = Starts(problem((30, 30), people=people, tends=(tend,))).task(0)
    assert found == ((0, 19), (41, 70))


def test_what_is_added_needs_somebody_at_that_time() -> None:
    people = (("ana", ((30, 40),)),)
    add = Add(0, 2, (Line((0,)),), 5, 8)
    found, _ = Starts(problem((20, 20), people=people, adds=(add,))).task(0)
    assert found == ((22, 33),)
