"""A limit on a sum is dealt out so that no path can pass it, and nobody could have more."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from scheduler.workload.dealing import Arc, Net, Room


def test_two_waits_get_the_same_part_of_what_there_is() -> None:
    rooms = [Room(0, 10), Room(0, 30)]
    net = Net([None, None, 20], [Arc(0, 1, 0, 0), Arc(1, 2, 0, 1)], rooms)
    assert net.dealt() == [5, 15]


def test_where_one_way_is_tight_the_others_get_more() -> None:
    """The first wait is shared by two ways, of which one has work that leaves it little."""
    rooms = [Room(0, 12), Room(0, 12), Room(0, 12)]
    arcs = [Arc(0, 1, 0, 0), Arc(1, 2, 8, 1), Arc(1, 2, 0, 2)]
    assert Net([None, None, 16], arcs, rooms).dealt() == [4, 4, 12]


def test_what_is_rounded_off_is_given_to_somebody() -> None:
    rooms = [Room(0, 3), Room(0, 3)]
    net = Net([None, None, 3], [Arc(0, 1, 0, 0), Arc(1, 2, 0, 1)], rooms)
    assert sum(net.dealt()) == 3


def test_what_is_past_its_best_is_cut_first() -> None:
    """A wait that may be an hour and is best for half of one, before a hold of three hours."""
    arcs = [Arc(0, 1, 0, 0), Arc(1, 2, 0, 1)]
    rooms = [Room(0, 12, good=6, soon=True), Room(0, 36, good=27)]
    assert Net([None, None, 42], arcs, rooms).dealt() == [6, 36]
    assert Net([None, None, 33], arcs, rooms).dealt() == [6, 27]
    assert Net([None, None, 11], arcs, rooms).dealt() == [2, 9]


def test_what_cannot_pass_the_limit_is_left_alone() -> None:
    rooms = [Room(2, 8), Room(1, 7)]
    net = Net([None, None, 15], [Arc(0, 1, 0, 0), Arc(1, 2, 0, 1)], rooms)
    assert net.dealt() == [8, 7]


def drawn(rng: Random) -> Net:
    """A few points, arcs forwards, rooms that several arcs may share."""
    points = rng.randint(2, 6)
    rooms = []
    for _ in range(rng.randint(1, 5)):
        least = rng.randint(0, 4)
        good = rng.choice((None, rng.randint(0, 14)))
        rooms.append(Room(least, least + rng.randint(0, 9), good, rng.random() < 0.5))
    arcs = []
    for start, end in product(range(points), repeat=2):
        if start < end and rng.random() < 0.6:
            # A room belongs to one stretch of the way: no path meets it twice.
            room = rng.choice([None, *(r for r in range(len(rooms)) if r % points == start)])
            arcs.append(Arc(start, end, rng.randint(0, 4), room))
    limits = [rng.choice((None, rng.randint(4, 30))) for _ in range(points)]
    return Net(limits, arcs, rooms)


@pytest.mark.parametrize("first", range(0, 2000, 500))
def test_no_path_passes_its_limit_and_no_length_could_be_longer(first: int) -> None:
    """By looking at every path of random nets."""
    for seed in range(first, first + 500):
        net = drawn(Random(seed))
        least = net.most([r.least for r in net.rooms])
        if any(m is not None and got > m for got, m in zip(least, net.limits, strict=True)):
            continue
        dealt = net.dealt()
        assert all(r.least <= d <= r.most for r, d in zip(net.rooms, dealt, strict=True))
        assert kept(net, dealt), seed
        for n, room in enumerate(net.rooms):
            longer = [d + (i == n) for i, d in enumerate(dealt)]
            assert dealt[n] == room.most or not kept(net, longer), seed


def kept(net: Net, rooms: list[int]) -> bool:
    """Is every limit kept, by every path one by one?"""
    ahead = [(n, 0) for n in range(len(net.limits))]
    while ahead:
        at, come = ahead.pop()
        limit = net.limits[at]
        if limit is not None and come > limit:
            return False
        for arc in net.arcs:
            if arc.start == at:
                more = 0 if arc.room is None else rooms[arc.room]
                ahead.append((arc.end, come + arc.fixed + more))
    return True
