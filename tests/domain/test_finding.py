"""Shipped scenarios are found by name, folders by path, and what is neither says so."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.domain import finding
from scheduler.domain.finding import find_scenario, shipped
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import read_scenario


def test_a_shipped_scenario_is_found_by_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert "first-week" in shipped()
    assert (find_scenario("first-week") / "week.yaml").is_file()
    (tmp_path / "first-week").mkdir()
    assert find_scenario("first-week").is_absolute(), "an empty folder hides nothing"
    (tmp_path / "first-week" / "a.yaml").write_text("schema: 1\n")
    assert find_scenario("first-week") == Path("first-week"), "a folder with YAML goes first"
    assert find_scenario(str(tmp_path)) == tmp_path


def test_a_wheel_keeps_its_scenarios_inside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside = tmp_path / "scheduler" / "_scenarios"
    (inside / "tiny").mkdir(parents=True)
    (inside / "tiny" / "a.yaml").write_text("schema: 1\n")
    monkeypatch.setattr(finding, "_PLACES", (inside, tmp_path / "scenarios"))
    assert shipped() == ("tiny",)
    assert find_scenario("tiny") == inside / "tiny"
    monkeypatch.setattr(finding, "_PLACES", (tmp_path / "nowhere",))
    assert shipped() == ()


@pytest.mark.parametrize(
    ("name", "what", "maybe"),
    [
        ("frist-week", "no such folder and no such scenario", "'first-week'"),
        ("nothing-like-it", "shipped scenarios are: ", ""),
        ("stored:7", "a week of the book has no folder", "backtime export WEEK FOLDER"),
        ("a\x00b", "folder", ""),
        ("", "no name and no folder is given", ""),
        ("~nobody-has-this-name/x", "folder", ""),
    ],
)
def test_what_is_no_scenario_says_so(name: str, what: str, maybe: str) -> None:
    with pytest.raises(BadInput) as bad:
        find_scenario(name)
    assert what in str(bad.value)
    assert maybe in bad.value.problems[0].maybe


def test_the_first_week_is_short_and_in_order() -> None:
    folder = find_scenario("first-week")
    lines = sum(len(f.read_text("utf-8").splitlines()) for f in folder.glob("*.yaml"))
    assert lines <= 80
    week = read_scenario(folder)
    assert len(week.week.events) == 1
    assert len(week.dishes) == 3
