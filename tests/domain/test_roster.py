"""Changing one day of somebody's shifts changes that day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.roster import cell, copied, days_between, patterns, shifts_on, with_cell

MON = date(2026, 11, 30)
WEEK = days_between(MON, MON + timedelta(days=13))
ADA: dict[str, Any] = {
    "id": "ada",
    "born": "1990-01-01",
    "off": ["2026-12-03"],
    "shifts": [
        {"days": ["daily"], "hours": "07:30-16:30", "breaks": ["11:00-11:30"]},
        {"days": ["2026-12-01..2026-12-04"], "hours": "18:00-22:00"},
    ],
}
PATTERNS = st.sampled_from(["daily", "mon", "sun", "2026-12-01..2026-12-04", "2026-12-06"])
SHIFTS = st.lists(
    st.fixed_dictionaries({
        "days": st.lists(PATTERNS, min_size=1, max_size=2, unique=True),
        "hours": st.sampled_from(["07:30-16:30", "18:00-22:00", "22:00-06:00"]),
    }),
    max_size=3,
    unique_by=lambda s: s["hours"],
)  # fmt: skip


@given(SHIFTS, st.sampled_from(WEEK), st.sampled_from(["off", "", "05:00-09:00", "07:30-16:30"]))
def test_every_other_day_stays_as_it_was(shifts: Any, day: date, text: str) -> None:
    person = {"id": "ada", "shifts": shifts}
    after = with_cell(person, day, text, WEEK)
    assert cell(after, day) == text
    for other in WEEK:
        if other != day:
            assert sorted(cell(after, other).split(", ")) == sorted(cell(person, other).split(", "))
    assert person == {"id": "ada", "shifts": shifts}


def test_a_sunday_off_is_one_more_day_off_and_the_shifts_stay() -> None:
    after = with_cell(ADA, date(2026, 12, 6), "off", WEEK)
    assert after == ADA | {"off": ["2026-12-03", "2026-12-06"]}
    assert with_cell(after, date(2026, 12, 6), "07:30-16:30", WEEK)["off"] == ["2026-12-03"]


def test_hours_bring_the_breaks_that_belong_to_them() -> None:
    after = with_cell(ADA, date(2026, 12, 3), "07:30-16:30", WEEK)
    assert shifts_on(after, date(2026, 12, 3))[0]["breaks"] == ["11:00-11:30"]
    assert "2026-12-03" not in after.get("off", [])


def test_a_pattern_is_said_before_a_day_of_it_is_changed() -> None:
    assert patterns(ADA) == ("daily",)
    assert patterns(with_cell(ADA, MON, "06:00-10:00", WEEK)) == ()


def test_a_copied_week_is_the_same_week_with_its_days_off_and_breaks() -> None:
    first = WEEK[:7]
    after = copied(ADA, first, 7, WEEK)
    for day in first:
        assert cell(after, day + timedelta(days=7)) == cell(ADA, day)
        assert cell(after, day) == cell(ADA, day)
    assert "2026-12-10" in after["off"]


def test_what_cannot_be_read_as_days_is_left_where_it_is() -> None:
    odd = {"id": "x", "shifts": [{"days": ["someday"], "hours": "07:00-08:00"}, "what"]}
    assert cell(odd, MON) == ""
    assert odd["shifts"][0] in with_cell(odd, MON, "off", WEEK)["shifts"]
