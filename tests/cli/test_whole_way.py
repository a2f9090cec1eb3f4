"""The whole way with the real engine: plan, audit, show and work of the small week that ships."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.plan.file import read_plan
from scheduler.plan.words import width
from tests.cli.running import backtime

PLAN = "first-week.plan.json"


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a plan of the small week."""
    folder = tmp_path_factory.mktemp("planned")
    ran = backtime("plan", "first-week", "--deterministic", "--seconds", "1", cwd=folder)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.startswith("One event served")
    assert len(ran.stdout.splitlines()) <= 40
    assert max(map(len, ran.stdout.splitlines())) <= 80
    return folder


def test_a_deterministic_plan_is_the_same_file_every_time(planned: Path, tmp_path: Path) -> None:
    ran = backtime("plan", "first-week", "--deterministic", "--seconds", "1", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    assert (tmp_path / PLAN).read_bytes() == (planned / PLAN).read_bytes()


def test_the_second_reader_agrees_in_a_process_of_its_own(planned: Path) -> None:
    ran = backtime("audit", PLAN, cwd=planned)
    assert ran.returncode == 0, ran.stdout
    assert "VALID" in ran.stdout
    assert "SERVED" in ran.stdout


@pytest.mark.parametrize("by", ["day", "section", "person", "equipment", "dish"])
def test_everything_that_is_planned_is_shown(planned: Path, by: str) -> None:
    file = read_plan(planned / PLAN)
    ran = backtime("show", PLAN, "--by", by, cwd=planned)
    assert ran.returncode == 0, ran.stderr
    for component in file.scenario.components:
        assert (component.name or component.id) in ran.stdout
    assert "Not planned" not in ran.stdout


def test_the_production_list_names_every_component(tmp_path: Path) -> None:
    ran = backtime("work", "first-week", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    for name in ("pea-soup", "lamb-shoulder", "lemon-cream"):
        assert name in ran.stdout
    assert list(tmp_path.iterdir()) == []


def test_a_plan_edited_into_a_clash_is_refused_by_name(planned: Path, tmp_path: Path) -> None:
    # Lotte of the pastry gets what Ines of the stove was to do; the scenario stays as it is.
    text = (planned / PLAN).read_text(encoding="utf-8")
    plan, mark, scenario = text.partition('"scenario_sha256"')
    edited = plan.replace('"ines"', '"lotte"') + mark + scenario
    (tmp_path / PLAN).write_text(edited, encoding="utf-8")
    ran = backtime("audit", PLAN, cwd=tmp_path)
    assert ran.returncode == 1
    assert "section-level: " in ran.stdout


def test_the_demo_is_served_and_fits_a_page(tmp_path: Path) -> None:
    ran = backtime("plan", "demo", "--deterministic", "--seconds", "1", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr + ran.stdout
    lines = ran.stdout.splitlines()
    assert lines[0].startswith("Six events served; tightest: ")
    assert len(lines) <= 40
    assert max(map(width, lines)) <= 80
    assert sum(line.endswith("served") for line in lines) == 6
    calls = next(i for i, line in enumerate(lines) if line.startswith("Last calls"))
    assert all(line.startswith(" " * 12) for line in lines[calls + 1 : calls + 5])
    assert not any(line.startswith("Not checked yet: ") for line in lines)
