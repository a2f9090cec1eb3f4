"""What is next for somebody before a sheet: the present job in order, nothing called late."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from typing import Any

import pytest

from scheduler.book.standing import Recorded, states_of
from scheduler.outputs.known import (
    Look,
    by_and_by,
    figures,
    look,
    reached,
    said_of,
    unconfirmed,
    visit_of,
)
from scheduler.outputs.measuring import Measure
from tests.outputs.hut import FRIDAY, at, line, sheets, stove

FILL, PLATE = "soup.1/simmer", "supper.bowl/plating"


def entry(place: int, kind: str = "done", task: str = FILL, **body: Any) -> Recorded:
    moment = datetime(2026, 12, 4, 13, tzinfo=UTC)
    batch = task.partition("/")[0]
    return Recorded(
        str(place), "hut", place, "hut-supper", batch, task, kind, body, "ada", moment, moment,
        1, None,
    )  # fmt: skip


def seen(now: int, *entries: Recorded, **changed: Any) -> Look:
    every = sheets(**changed)
    return look(
        every.names, every.of_section("stove", FRIDAY).lines, states_of(entries), now
    )


def does(lines: Any) -> list[str]:
    return [x.does for x in lines]


def test_the_present_job_and_the_next_stand_in_order() -> None:
    found = seen(at(10))
    assert found.present is not None
    assert (found.present.does, does(found.after), does(found.later)) == ("fill", ["plating"], [])
    assert found.unknown == ()


def test_what_is_ticked_makes_room_for_the_next() -> None:
    found = seen(at(14, 10), entry(1, visit="load:0"))
    assert found.present is not None
    assert found.present.does == "plating"
    assert [(x.does, e.id) for x, e in found.over] == [("fill", "1")]


def test_whoever_is_behind_goes_on_in_order_and_long_past_is_unknown() -> None:
    # Filled until 14:15.
    behind, past = seen(at(15, 14)), seen(at(15, 15))
    assert behind.present is not None
    assert (behind.present.does, behind.unknown) == ("fill", ())
    assert past.present is not None
    assert (past.present.does, does(past.unknown)) == ("plating", ["fill"])


def test_what_is_put_off_makes_room_and_is_not_forgotten() -> None:
    found = seen(at(14), entry(1, "skipped", visit="load:0", why="no barley"))
    assert found.present is not None
    assert (found.present.does, does(x for x, _ in found.put_off)) == ("plating", ["fill"])


def test_filling_the_kettle_is_not_the_end_of_its_simmering() -> None:
    every = sheets()
    sheet = stove()
    assert visit_of(every.names, line(sheet, "fill")) == "load:0"
    assert visit_of(every.names, line(sheet, "plating")) is None


def test_a_job_that_is_over_is_not_asked_for_visit_by_visit() -> None:
    every, fill = sheets(), line(stove(), "fill")
    said = said_of(every.names, states_of([entry(1)]), fill)
    assert said is not None
    assert said.id == "1"


@pytest.mark.parametrize(
    ("until", "confirmed", "asked"),
    [(at(14, 14), [], []), (at(14, 15), ["fill"], []), (at(19), ["fill"], ["plating"])],
)
def test_all_as_planned_leaves_out_what_must_be_measured(
    until: int, confirmed: list[str], asked: list[str]
) -> None:
    every = sheets()
    sour = Measure("pH", "pH at most 4.6", Fraction("4.6"))
    lines = [
        replace(x, measures=(sour,)) if x.does == "plating" else x for x in stove().lines
    ]
    yes, no = unconfirmed(every.names, lines, {}, until)
    assert (does(yes), does(no)) == (confirmed, asked)
    off = states_of([entry(1, "skipped", visit="load:0", why="x")])
    assert does(unconfirmed(every.names, lines, off, until)[0]) == []


def test_what_cools_is_asked_for_until_a_reading_shows_that_it_is_cold() -> None:
    cooling = Measure("cooling", "5 °C or colder by 16:15", Fraction(5), by=at(16, 15), task=FILL)
    warm = entry(1, "measured", what="food", value="21", unit="°C")
    cold = entry(2, "measured", what="food", value="41", unit="°F")
    core = entry(3, "measured", what="core", value="4", unit="°C")
    assert not reached(states_of([warm])[FILL], cooling)
    assert not reached(states_of([core])[FILL], cooling)
    assert reached(states_of([warm, cold])[FILL], cooling)

    every = sheets()
    lines = [replace(x, measures=(cooling,)) if x.does == "fill" else x for x in stove().lines]
    for now, entries, due in (
        (at(13), [], 0),  # not begun
        (at(13), [entry(4, visit="load:0")], 1),  # begun sooner than planned
        (at(14), [], 1),
        (at(20), [warm], 1),
        (at(20), [entry(5, "skipped", visit="load:0", why="no barley")], 0),
        (at(20), [warm, cold], 0),
    ):
        found = look(every.names, lines, states_of(entries), now).due
        assert len(found) == due, (now, entries)


def test_what_nobody_takes_out_is_measured_when_it_is_over_and_not_as_it_goes_in() -> None:
    every = sheets()
    core = Measure("core", "core 74 °C or hotter", Fraction(74), at_least=True, task=FILL)
    of_before = replace(core, task="other.1/boil")
    cooling = Measure("cooling", "5 °C or colder by 18:00", Fraction(5), by=1080, task=FILL)
    fill = replace(line(stove(), "fill"), measures=(cooling, core, of_before))
    assert figures(every.names, fill) == [(2, of_before)]
    # Filled until 14:15, it simmers until 16:15.
    assert by_and_by(every.names, fill) == [cooling, replace(core, by=at(16, 15))]
    plate = replace(line(stove(), "plating"), measures=(core,))
    assert figures(every.names, plate) == [(0, core)]
