"""Vectors that every search for a place is made of, against the plainest way to say them."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from scheduler.solve.arrays import INF, LEVEL, cheapest, next_blocked, range_minimum
from scheduler.workload.primitives import Band

COSTS = st.lists(st.one_of(st.integers(-50, 50), st.just(INF)), min_size=1, max_size=40)
RANGES = st.lists(st.tuples(st.integers(-5, 45), st.integers(-5, 45)), max_size=12)


def _vectors(ranges: list[tuple[int, int]]) -> tuple[np.ndarray, np.ndarray]:
    pairs = np.array(ranges, dtype=np.int64).reshape(-1, 2)
    return pairs[:, 0], pairs[:, 1]


@given(COSTS, RANGES)
def test_the_least_of_a_range_is_what_looking_at_each_entry_finds(
    costs: list[int], ranges: list[tuple[int, int]]
) -> None:
    first, last = _vectors(ranges)
    found = range_minimum(np.array(costs, dtype=np.int64), first, last)
    assert list(found) == [min(costs[max(0, a) : max(0, b + 1)], default=INF) for a, b in ranges]


def test_the_least_of_a_range_longer_than_any_that_was_worked_out_before() -> None:
    n = 2 * len(LEVEL) + 3
    costs = np.arange(n, dtype=np.int64)[::-1].copy()
    first, last = _vectors([(0, n - 1), (5, n - 4), (7, 7)])
    assert list(range_minimum(costs, first, last)) == [0, 3, n - 8]


@given(COSTS, RANGES, st.integers(0, 60), st.integers(0, 60), st.integers(0, 3))
def test_the_cheapest_end_is_what_trying_each_end_finds(
    costs: list[int], ranges: list[tuple[int, int]], low: int, more: int, weight: int
) -> None:
    band, grid = Band(low, low + more, weight), 5
    ranges = [(max(a, t), b) for t, (a, b) in enumerate(ranges)]  # nothing ends before it starts
    first, last = _vectors(ranges)
    t = np.arange(len(ranges), dtype=np.int64)
    found = cheapest(np.array(costs, dtype=np.int64), t, first, last, band, grid)
    for i, (a, b) in enumerate(ranges):
        ends = [u for u in range(max(0, a), min(b, len(costs) - 1) + 1) if costs[u] < INF]
        least = min((costs[u] + band.cost((u - i) * grid) for u in ends), default=INF)
        assert found[i] == least


@given(st.lists(st.booleans(), max_size=40))
def test_the_next_blocked_tick_is_the_first_one_at_or_after(blocked: list[bool]) -> None:
    n = len(blocked)
    found = next_blocked(np.array(blocked, dtype=bool))
    assert list(found) == [next((u for u in range(t, n) if blocked[u]), n) for t in range(n + 1)]
