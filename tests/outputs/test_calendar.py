"""Calendar files, read back by the library: right hours, stable ids, cancelled ones told."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from icalendar import Calendar

from scheduler.book.entries import Entry
from scheduler.outputs.calendar import Appointment, calendar, entered, planned
from scheduler.outputs.sheet import NoSuchSheet
from tests.outputs.hut import later, sheets

STAMP = datetime(2026, 12, 2, 10, 0, tzinfo=UTC)
VIENNA = "Europe/Vienna"


def read(*appointments: Appointment, zone: str = VIENNA) -> list[Any]:
    """The entries of the file, as the library reads them."""
    raw = calendar(appointments, zone, STAMP, "Ada")
    assert all(len(row) <= 75 for row in raw.split(b"\r\n"))
    assert raw.count(b"\n") == raw.count(b"\r\n")
    file = Calendar.from_ical(raw)
    assert file["version"] == "2.0"
    assert file["prodid"]
    return list(file.walk("VEVENT"))


def one(start: datetime, end: datetime, **more: Any) -> Appointment:
    words = {"uid": "a", "sequence": 0, "cancelled": False, "title": "Fill"} | more
    return Appointment(start=start, end=end, **words)


def test_every_job_of_a_cook_stands_in_their_calendar_with_hour_place_and_what_it_takes() -> None:
    fill, plate = read(*planned(sheets(), "ada").values())
    assert str(fill["summary"]) == "Barley soup, 9 l: fill (simmer)"
    assert str(fill["location"]) == "kettle"
    assert fill.decoded("dtstart").isoformat() == "2026-12-04T14:00:00+01:00"
    assert fill.decoded("dtend").isoformat() == "2026-12-04T14:15:00+01:00"
    assert fill["dtstart"].params["TZID"] == VIENNA
    assert fill.decoded("dtstamp") == STAMP
    text = str(fill["description"])
    assert "start by 14:00, ready by 14:15" in text
    assert "goes to Cold room, 2 shelves: 9 l for Bowl of soup (Supper), 18:00" in text
    assert "takes 9 l Barley soup (Cold room)" in str(plate["description"])
    assert (str(plate["status"]), plate["sequence"]) == ("CONFIRMED", 0)


def test_a_job_keeps_its_id_when_it_moves_and_it_is_the_one_that_the_book_has() -> None:
    before, after = planned(sheets(), "ada"), planned(sheets(later(soup=60)), "ada")
    assert {k: a.uid for k, a in before.items()} == {k: a.uid for k, a in after.items()}
    key = "soup.1/simmer:load:0"
    assert before[key].start + timedelta(hours=1) == after[key].start
    kept = Entry("hut", "hut-supper", "ada", key, 0, {}, False, 1, STAMP)
    assert before[key].uid == kept.uid
    assert len({a.uid for a in before.values()}) == len(before)


def test_what_is_not_to_be_done_any_more_is_told_as_cancelled() -> None:
    says = {"from": "2026-12-04T13:00Z", "to": "2026-12-04T13:15Z", "title": "Fill", "where": ""}
    (gone,) = read(entered("a-b", 4, True, says))
    assert (str(gone["uid"]), gone["sequence"], str(gone["status"])) == ("a-b", 4, "CANCELLED")
    assert gone.decoded("dtstart") == datetime(2026, 12, 4, 13, tzinfo=UTC)


@pytest.mark.parametrize(
    ("zone", "start", "minutes"),
    [
        (VIENNA, datetime(2026, 3, 28, 22, 0, tzinfo=UTC), 480),  # the night that lacks an hour
        (VIENNA, datetime(2026, 10, 24, 21, 0, tzinfo=UTC), 480),  # the one with an hour more
        (VIENNA, datetime(2026, 10, 25, 0, 30, tzinfo=UTC), 15),  # 02:30, the first time
        (VIENNA, datetime(2026, 10, 25, 1, 30, tzinfo=UTC), 15),  # and the second
        ("America/New_York", datetime(2026, 11, 1, 6, 30, tzinfo=UTC), 45),
        ("Australia/Lord_Howe", datetime(2026, 10, 3, 15, 15, tzinfo=UTC), 120),
    ],
)
def test_no_job_moves_by_an_hour_when_the_clocks_change(
    zone: str, start: datetime, minutes: int
) -> None:
    end = start + timedelta(minutes=minutes)
    (found,) = read(one(start, end), zone=zone)
    # The library reads a doubled hour as its first time, as the standard has it.
    assert found.decoded("dtstart").astimezone(UTC) == start
    assert found.decoded("dtend").astimezone(UTC) == end


def test_a_file_brings_the_rules_of_its_zone_along() -> None:
    start = datetime(2026, 10, 24, 21, 0, tzinfo=UTC)
    raw = calendar([one(start, start + timedelta(hours=8))], VIENNA, STAMP, "Ada")
    (zone,) = Calendar.from_ical(raw).walk("VTIMEZONE")
    assert str(zone["tzid"]) == VIENNA
    local = start.astimezone(zone.to_tz())
    assert (local.hour, local.utcoffset()) == (23, timedelta(hours=2))


def test_marks_in_a_name_neither_break_a_line_nor_an_entry() -> None:
    start = datetime(2026, 12, 4, 13, tzinfo=UTC)
    title = "Soup; hot, \\ thick\r\nATTENDEE:mailto:x \u202e" + "ж" * 80
    (found,) = read(one(start, start + timedelta(minutes=5), title=title, text="a\nb, c"))
    assert "ATTENDEE" not in found
    assert str(found["summary"]) == "Soup; hot, \\ thick  ATTENDEE:mailto:x " + "ж" * 80
    assert str(found["description"]) == "a\nb, c"


def test_the_same_plan_is_the_same_file_and_nobody_else_has_one() -> None:
    files = [calendar(planned(sheets(), "ada").values(), VIENNA, STAMP, "Ada") for _ in "12"]
    assert files[0] == files[1]
    with pytest.raises(NoSuchSheet, match="Nobody here is called 'zoe'"):
        planned(sheets(), "zoe")


def test_somebody_with_nothing_to_do_has_an_empty_calendar() -> None:
    assert read() == []
