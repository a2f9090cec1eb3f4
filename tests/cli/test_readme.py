"""What the README prints is what works."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from typer.main import get_command

from scheduler.cli import app
from scheduler.commands.codes import Exit
from scheduler.plan.file import read_plan
from tests.cli.running import ROOT, environment

README = (ROOT / "README.md").read_text(encoding="utf-8")


def block(name: str) -> str:
    """The block of code under a marker, by the script that CI uses."""
    return subprocess.run(
        [sys.executable, ROOT / ".ci" / "readme.py", name],
        capture_output=True,
        encoding="utf-8",
        check=True,
    ).stdout


def test_the_script_in_the_readme_runs_as_it_stands(tmp_path: Path) -> None:
    # At the top level of a module, without a main guard.
    (tmp_path / "script.py").write_text(block("api"), encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "script.py"],
        cwd=tmp_path,
        env=environment(),
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    assert "valid served" in ran.stdout
    assert read_plan(tmp_path / "supper.plan.json").report.valid


def test_the_script_is_about_a_dozen_lines() -> None:
    assert len([line for line in block("api").splitlines() if line.strip()]) <= 14


def test_each_first_command_is_one_line() -> None:
    assert len(block("plan").splitlines()) == 1
    assert len(block("test").splitlines()) == 1


def test_every_command_stands_in_the_readme() -> None:
    commands = set(get_command(app).commands)  # type: ignore[attr-defined]
    assert set(re.findall(r"^\| `backtime (\w+)", README, flags=re.MULTILINE)) == commands


def test_every_exit_code_stands_in_the_readme() -> None:
    codes = re.findall(r"^\| (\d+) \|", README, flags=re.MULTILINE)
    assert [int(code) for code in codes] == sorted(Exit)


def test_every_link_in_the_readme_leads_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / target).exists(), target


def test_the_readme_mentions_only_options_there_are() -> None:
    commands = get_command(app).commands  # type: ignore[attr-defined]
    options = {o for command in commands.values() for p in command.params for o in p.opts}
    assert set(re.findall(r"`(--[a-z-]+)", README)) <= options
