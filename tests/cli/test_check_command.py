"""`backtime check`, and the gate before `backtime plan`."""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from scheduler.api import plan_week
from scheduler.domain.reading import scenario_of
from scheduler.plan.file import Made, write_plan
from scheduler.safety.gate import BrokenForGood
from tests.cli.running import backtime, written_week
from tests.plan import tiny

DECIDE = "Local codes and licensed practice decide"


def soup(core: str | None = None, **kitchen: Any) -> dict[str, Any]:
    """The tiny week; its soup is of raw poultry, and gets so hot."""
    document = deepcopy(tiny.DOCUMENT)
    document["kitchen"] |= kitchen
    document["kitchen"]["stores"][0]["warmest"] = "3 °C"
    document["components"][0] |= {"food_class": "raw-poultry", "allergens": []}
    document["dishes"][0]["allergens"] = []
    if core is not None:
        document["components"][0]["steps"][0]["core"] = core
    return document


def test_what_is_broken_comes_first_with_figure_limit_and_source(tmp_path: Path) -> None:
    week = written_week(tmp_path / "week", soup("60 °C", rule_profile="us"))
    ran = backtime("check", week, cwd=tmp_path)
    assert ran.returncode == 1, ran.stderr
    lines = ran.stdout.splitlines()
    assert lines[0].startswith("Limits: United States, FDA Food Code.") and DECIDE in lines[0]
    assert lines[1] == "broken (1)"
    assert "# Barley soup in Bowl of soup: 60 °C at the core, at least 74 °C for 15 s" in lines[2]
    assert "3-401.11(A)(3)" in " ".join(lines[2:4])
    assert any(line.startswith("In all: 1 broken") for line in lines)
    assert all(len(line) <= 100 for line in lines)
    assert not any("\x1b" in line for line in lines), "no colours"


def test_near_a_limit_and_not_known_end_with_0(tmp_path: Path) -> None:
    for core, word in (("74 °C", "near (1)"), (None, "not known (1)")):
        folder = tmp_path / (core or "none").replace(" ", "")
        week = written_week(folder, soup(core, rule_profile="us"))
        ran = backtime("check", week, cwd=tmp_path)
        assert (ran.returncode, word in ran.stdout) == (0, True), ran.stdout


def test_another_profile_is_tried_on_without_being_written_down(tmp_path: Path) -> None:
    week = written_week(tmp_path / "week", soup("60 °C"))
    ran = backtime("check", week, cwd=tmp_path)
    assert ran.returncode == 0
    assert "names no `rule_profile`, so no limit is checked" in ran.stdout
    assert "`--rules us`" in ran.stdout and "Nothing to check" not in ran.stdout
    assert backtime("check", week, "--rules", "us", cwd=tmp_path).returncode == 1
    ran = backtime("check", week, "--rules", "usa", cwd=tmp_path)
    assert ran.returncode == 2
    assert "unknown rule profile 'usa'; there are: us, anz, uk, eu, house. Maybe us" in ran.stderr


def test_a_plan_is_checked_with_its_week_and_with_no_other(tmp_path: Path) -> None:
    document = soup("80 °C", rule_profile="us")
    week = written_week(tmp_path / "week", document)
    path = tmp_path / "plan.json"
    write_plan(path, tiny.plan(), scenario_of(document), Made(versions={}))
    ran = backtime("check", week, path, cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    other = written_week(tmp_path / "other", soup("81 °C", rule_profile="us"))
    ran = backtime("check", other, path, cwd=tmp_path)
    assert ran.returncode == 2
    assert "it was made from another state of the week" in ran.stderr
    assert "Maybe plan it again" in ran.stderr


def test_a_week_that_no_time_can_mend_is_not_searched(tmp_path: Path) -> None:
    week = written_week(tmp_path / "week", soup("60 °C", rule_profile="us"))
    ran = backtime("plan", week, "--seconds", "60", cwd=tmp_path)
    assert ran.returncode == 2
    assert "Barley soup in Bowl of soup: 60 °C at the core, at least 74 °C for 15 s" in ran.stderr
    assert "FDA Food Code 2013 3-401.11(A)(3)" in ran.stderr
    assert f"`backtime check {week}` lists everything" in ran.stderr and DECIDE in ran.stderr
    assert ran.stdout == "" and not list(tmp_path.glob("*.json"))


def test_of_several_weeks_the_others_are_planned(tmp_path: Path) -> None:
    bad = written_week(tmp_path / "bad", soup("60 °C", rule_profile="us"))
    good = written_week(tmp_path / "good", soup("80 °C", rule_profile="us"))
    ran = backtime("plan", bad, good, "--seconds", "2", cwd=tmp_path)
    assert ran.returncode == 2
    assert [p.parent.name for p in (tmp_path / "plans").glob("*/*.plan.json")] == ["good"]


def test_a_script_gets_the_findings(tmp_path: Path) -> None:
    with pytest.raises(BrokenForGood, match="Nothing is planned") as refused:
        plan_week(scenario_of(soup("60 °C", rule_profile="us")), seconds=60)
    (found,) = refused.value.findings
    assert found.enforced and found.where == "Barley soup in Bowl of soup"
