"""Rounding to the quarter of an hour, whatever the times."""

from __future__ import annotations

from datetime import datetime

from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.times import Clock
from scheduler.outputs.quarters import QUARTER, Quarters

# Nepal is 5 h 45 min ahead, Lord Howe changes its clocks by half an hour on 4 October 2026.
ZONES = ("Europe/Vienna", "Asia/Kathmandu", "Australia/Lord_Howe", "America/St_Johns")
MINUTES = st.integers(min_value=0, max_value=4 * 1440)


@given(st.sampled_from(ZONES), MINUTES, st.integers(1, 300), st.integers(0, 40), st.integers(0, 40))
def test_nothing_begins_too_late_nor_is_ready_too_late_by_rounding(
    zone: str, start: int, length: int, earlier: int, later: int
) -> None:
    clock = Clock(zone, datetime(2026, 10, 2), datetime(2026, 10, 8))
    quarters, end = Quarters(clock), start + length
    begun = quarters.start_by(start, earlier)
    ready = quarters.ready_by(begun, length, end, later)
    assert start - earlier <= begun <= start
    assert begun + length <= ready <= end + later
    for told, exact in ((begun, start), (ready, end)):
        assert told == exact or clock.local(told).minute % QUARTER == 0


@given(st.sampled_from(ZONES), MINUTES, st.integers(1, 300))
def test_with_a_quarter_of_an_hour_to_spare_every_time_is_a_quarter(
    zone: str, start: int, length: int
) -> None:
    clock = Clock(zone, datetime(2026, 10, 2), datetime(2026, 10, 8))
    quarters = Quarters(clock)
    begun = quarters.start_by(start, 14)
    ready = quarters.ready_by(begun, length, start + length, 14)
    assert {clock.local(m).minute % QUARTER for m in (begun, ready)} == {0}
    assert start - begun < QUARTER
    assert abs(ready - start - length) < QUARTER
