"""Two plans at once: neither takes the other's place, and each says where it lies."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.commands.keeping import Place, beside
from scheduler.plan.file import read_plan
from tests.cli.running import Begin, backtime


def test_a_plan_takes_the_place_of_an_older_one_and_of_its_own(tmp_path: Path) -> None:
    path = tmp_path / "week.plan.json"
    path.write_text("of last week")
    place = Place(path)
    for text in ("first", "better", "better"):
        place.put(text)
        assert path.read_text() == text
    path.unlink()
    place.put("best")
    assert [p.name for p in tmp_path.iterdir()] == ["week.plan.json"]
    assert path.read_text() == "best"


def test_somebody_elses_plan_stays_where_it_was_put(tmp_path: Path) -> None:
    path = tmp_path / "week.plan.json"
    ours, theirs = Place(path), Place(path)
    theirs.put("theirs")
    ours.put("ours")
    ours.put("ours, better")
    theirs.put("theirs, better")
    assert path.read_text() == "theirs, better"
    assert (tmp_path / "week-2.plan.json").read_text() == "ours, better"
    assert ours.path.name == "week-2.plan.json"
    assert ours.taken == path


@pytest.mark.parametrize(
    ("name", "other"),
    [("a.plan.json", "a-2.plan.json"), ("a.b.json", "a.b-2.json"), ("a", "a-2")],
)
def test_the_plan_beside_is_named_after_it(tmp_path: Path, name: str, other: str) -> None:
    assert beside(tmp_path / name).name == other
    (tmp_path / other).touch()
    assert "-3" in beside(tmp_path / name).name


def test_two_real_plans_at_once_into_one_file_are_both_there(tmp_path: Path, begin: Begin) -> None:
    how = ("--seconds", "3", "--out", "x.json")
    # Both take their three seconds; a week that is proved at once could be over too early.
    runs = [begin("plan", "demo", *how, "--seed", n, cwd=tmp_path, fake=None) for n in "12"]
    said = [run.communicate(timeout=120)[1] for run in runs]
    assert [run.returncode for run in runs] == [0, 0], said
    assert {p.name for p in tmp_path.iterdir()} == {"x.json", "x-2.json"}
    files = [read_plan(tmp_path / name) for name in ("x.json", "x-2.json")]
    assert {file.made.seed for file in files} == {1, 2}
    assert all(file.report.valid for file in files)
    first, second = sorted(said, key=lambda text: "x-2.json" in text)
    assert "Written to x.json." in first
    assert "Another plan has been put in x.json meanwhile and stays there" in second
    assert "Written to x-2.json." in second


def test_two_plans_at_once_in_one_folder_do_not_meet(tmp_path: Path, begin: Begin) -> None:
    other = begin("plan", "demo", "--seconds", "2", cwd=tmp_path, fake=None)
    ran = backtime("plan", "first-week", "--seconds", "2", cwd=tmp_path)
    other.communicate(timeout=120)
    assert (ran.returncode, other.returncode) == (0, 0)
    assert {p.name for p in tmp_path.iterdir()} == {
        "december-run.plan.json",
        "first-week.plan.json",
    }
