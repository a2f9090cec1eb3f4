"""Messages along arcs, against trying every moment."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from scheduler.solve.arrays import INF
from scheduler.solve.relax.kernel import message, pieces, sliding_minimum
from scheduler.solve.relax.network import cost_of
from scheduler.workload.primitives import Band

VALUES = st.lists(st.one_of(st.integers(0, 50), st.just(INF)), min_size=1, max_size=90)
BANDS = st.lists(
    st.builds(
        lambda low, wide, weight: Band(low, low + wide, weight),
        st.integers(0, 40),
        st.integers(0, 40),
        st.integers(0, 3),
    ),
    max_size=3,
)


@given(VALUES, st.integers(1, 100))
def test_the_least_of_every_window(values: list[int], width: int) -> None:
    width = min(width, len(values))
    found = sliding_minimum(np.array(values, dtype=np.int64), width).tolist()
    assert found == [min(values[i : i + width]) for i in range(len(values) - width + 1)]


@given(BANDS, st.integers(-60, 60), st.integers(1, 90))
def test_bands_fall_into_straight_pieces(bands: list[Band], first: int, count: int) -> None:
    cost = cost_of(bands, np.arange(first, first + count), 1)
    least = [INF] * count
    for part in pieces(first, cost):
        for d in range(part.first, part.last + 1):
            least[d - first] = min(least[d - first], part.slope * d + part.base)
    assert least == cost.tolist()


@given(
    VALUES,
    BANDS,
    st.integers(-30, 30),
    st.integers(-60, 60),
    st.integers(1, 60),
    st.integers(1, 40),
    st.data(),
)
def test_a_message_is_the_least_over_every_moment(
    values: list[int],
    bands: list[Band],
    child: int,
    parent: int,
    count: int,
    reach: int,
    data: st.DataObject,
) -> None:
    first = data.draw(st.integers(-40, 40))
    cost = cost_of(bands, np.arange(first, first + reach), 1)
    limits = None
    if data.draw(st.booleans()):
        moments = st.lists(st.integers(child - 5, child + 95), min_size=count, max_size=count)
        limits = (np.array(data.draw(moments)), np.array(data.draw(moments)))
    found = message(
        np.array(values, dtype=np.int64), child, parent, count, pieces(first, cost), limits
    )
    for i in range(count):
        t = parent + i
        least = INF
        for k, value in enumerate(values):
            u = child + k
            inside = limits is None or limits[0][i] <= u <= limits[1][i]
            if inside and 0 <= u - t - first < reach:
                least = min(least, value + int(cost[u - t - first]))
        assert int(found[i]) == least
