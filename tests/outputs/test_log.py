"""The log an inspector reads: nothing left out, nothing changed, what is unknown called so."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any

from scheduler.book.standing import Recorded
from scheduler.outputs.log import curves, rows, unknown
from scheduler.outputs.measured import Verdict
from scheduler.outputs.sheet import Sheets
from tests.outputs.hut import at, sheets

FILL, PLATE = "soup.1/simmer", "supper.bowl/plating"
ZERO = datetime(2026, 12, 2, 23, tzinfo=UTC)  # the week begins at midnight in Vienna


def entry(
    place: int, minute: int, kind: str = "done", task: str | None = FILL, later: int = 0,
    corrects: str | None = None, number: int | None = 1, **body: Any,
) -> Recorded:  # fmt: skip
    happened = ZERO + timedelta(minutes=minute)
    batch = (task or "soup.1/").partition("/")[0]
    return Recorded(
        f"e{place}", "hut", place, "hut-supper", batch, task, kind, body, "ada", happened,
        happened + timedelta(minutes=later), number, corrects,
    )  # fmt: skip


def core() -> Sheets:
    """Soup that must be 74 °C when it is over, at 16:15."""
    return sheets(components__0__steps__0__core={"at": "74 °C"})


def test_a_log_is_in_the_order_of_what_happened_with_both_times_where_they_differ() -> None:
    every = core()
    late = entry(1, at(18, 30), task=PLATE, later=90)
    first = entry(2, at(14, 15), visit="load:0")
    one, other = rows([late, first], {1: every}, every)
    assert (one.entry.id, f"{one.at:%H:%M}", one.arrived, one.step) == (
        "e2", "14:15", None, "simmer",
    )  # fmt: skip
    assert (one.batch, one.who, one.said, one.strange) == (
        "Barley soup", "Ada", "done (load:0)", False,
    )  # fmt: skip
    assert other.arrived is not None
    assert f"{other.arrived:%H:%M}" == "20:00"


def test_readings_stand_beside_what_they_had_to_be() -> None:
    every = core()
    record = [
        entry(n, minute, "measured", what="core", value=value, unit=unit)
        for n, (minute, value, unit) in enumerate(
            ((at(15), "60", "°C"), (at(16, 30), "70", "°C"), (at(16, 40), "170", "°F")), 1
        )
    ]
    found = rows(record, {1: every}, every)
    assert [r.verdict for r in found] == [Verdict.NOT_YET, Verdict.OUT, Verdict.FINE]
    assert {r.against for r in found} == {"core 74 °C or hotter"}
    side = entry(4, at(15), "measured", what="kettle", value="98", unit="°C")
    assert [(r.verdict, r.against) for r in rows([side], {1: every}, every)] == [(None, "")]


def test_what_was_corrected_is_still_there_and_says_by_what() -> None:
    every = core()
    record = [
        entry(1, at(15), "note", text="a"), entry(2, at(15), "note", text="b", corrects="e1"),
        entry(3, at(15), "note", text="c", corrects="e2"),
        entry(4, at(15), "note", task=None, text="on its own"),
    ]  # fmt: skip
    found = rows(record, {1: every}, every)
    assert [(r.said, r.instead_of, r.replaced_by) for r in found] == [
        ("a", None, 3), ("b", 1, 3), ("c", 2, None), ("on its own", None, None),
    ]  # fmt: skip


def test_work_that_no_plan_has_is_in_the_log_and_marked() -> None:
    every = core()
    made = entry(1, at(15), task="stew.1/boil", number=None)
    step = entry(2, at(15), task="soup.1/strain")
    assert [(r.step, r.strange) for r in rows([made, step], {}, every)] == [
        ("stew.1/boil", True), ("soup.1/strain", True),
    ]  # fmt: skip


def test_what_nobody_has_said_is_unknown_and_named() -> None:
    every = core()
    assert unknown("soup.1", every, []) == [
        "simmer: nothing entered", "simmer: no reading of core 74 °C or hotter",
    ]  # fmt: skip
    cold = entry(1, at(15), "measured", what="core", value="60", unit="°C")
    hot = entry(2, at(16, 15), "measured", what="core", value="80", unit="°C")
    done = entry(3, at(16, 15))
    assert unknown("soup.1", every, [cold, done]) == ["simmer: no reading of core 74 °C or hotter"]
    assert unknown("soup.1", every, [cold, hot, done]) == []


def test_several_temperatures_of_a_job_make_a_curve_without_those_corrected() -> None:
    every = core()
    record = [
        entry(1, at(15), "measured", what="core", value="600", unit="°C"),
        entry(2, at(15), "measured", what="core", value="60", unit="°C", corrects="e1"),
        entry(3, at(14, 30), "measured", what="core", value="50", unit="°F"),
        entry(4, at(15), "measured", what="pH", value="4", unit="pH"),
    ]
    (curve,) = curves(record, {1: every}, every)
    assert curve.points == ((at(14, 30), Fraction(10)), (at(15), Fraction(60)))
    assert (curve.title, curve.least, curve.limits) == ("Barley soup: simmer", Fraction(74), ())
    assert curves(record[:2], {1: every}, every) == []
