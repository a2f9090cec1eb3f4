"""Stepping away and breaks that cannot be meant: each named at its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.domain.texts import problems, spoilt

PORTION = "id: portion\n"
SLICE = "id: slice\n"
BRAISE = "id: braise\n"
RIPEN = "id: ripen\n"


def _said(folder: Path, old: str, new: str) -> list[str]:
    return [str(p) for p in problems(spoilt(folder, old, new).parent)]


@pytest.mark.parametrize(
    ("at", "leave", "said"),
    [
        (PORTION, "{times: 2}", "`times` and `longest` go together"),
        (PORTION, "{longest: 10 min}", "`times` and `longest` go together"),
        (PORTION, "{}", "it says neither how often and how long"),
        (PORTION, "{times: 2, longest: 2 min}", "2 min is nothing on the grid of 5 min"),
        (PORTION, "often", "lines of 'key: value'"),
        (BRAISE, "{times: 2, longest: 10 min}", "`may_leave` is for hands all the way"),
        (SLICE, "{times: 2, longest: 10 min}", "slicer never runs alone"),
    ],
)
def test_what_cannot_be_left_is_said(tmp_path: Path, at: str, leave: str, said: str) -> None:
    found = _said(tmp_path, at, f"{at}        may_leave: {leave}\n")
    assert any(said in p for p in found), found


@pytest.mark.parametrize("leave", ["{times: 2, longest: 10 min}", "{breaks: true}"])
def test_what_can_be_left_is_fine(tmp_path: Path, leave: str) -> None:
    assert _said(tmp_path, PORTION, f"{PORTION}        may_leave: {leave}\n") == []


def test_nobody_is_away_from_a_duty_that_takes_nobody(tmp_path: Path) -> None:
    duty = "hours: 21:30-22:00\n      section: larder\n      people: 1\n"
    left = "hours: 21:30-22:00\n      may_leave: {times: 1, longest: 5 min}\n"
    assert any("takes nobody" in p for p in _said(tmp_path, duty, left))


def _shift(folder: Path, pause: str) -> list[str]:
    old = "hours: 22:00-06:00, "
    return _said(folder, old, f"{old}floating_breaks: [{pause}], ")


def test_a_break_that_moves_fits_its_shift_and_its_stretch(tmp_path: Path) -> None:
    assert _shift(tmp_path, "{between: 23:00-05:00, length: 30 min}") == []


@pytest.mark.parametrize(
    ("pause", "said"),
    [
        ("{between: 12:00-13:00, length: 30 min}", "leaves the shift"),
        ("{between: 23:00-00:00, length: 90 min}", "does not fit between"),
        ("{between: 23:01-23:14, length: 10 min}", "there are 5 min"),
        ("{between: 23:00-00:00, length: 0 min}", "length"),
    ],
)
def test_a_break_without_room_is_said(tmp_path: Path, pause: str, said: str) -> None:
    found = _shift(tmp_path, pause)
    assert any(said in p for p in found), found
