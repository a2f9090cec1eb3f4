"""Terminals as they are: pipes that close, code pages without accents, no terminal at all."""

from __future__ import annotations

import io
import os
import subprocess
from pathlib import Path

import pytest

from scheduler.commands.terminal import Progress, speakable
from scheduler.plan.file import Made, write_plan
from tests.cli.running import COMMAND, backtime, environment, written_week
from tests.plan import tiny

ACCENTS = tiny.DOCUMENT | {
    "components": [tiny.DOCUMENT["components"][0] | {"name": "Crème brûlée, 3 × 24 – Łódź 粥"}]
}


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "supper.plan.json"
    write_plan(path, tiny.plan(), tiny.scenario(ACCENTS), Made(versions={}))
    return path


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252", "latin-1"])
@pytest.mark.parametrize("command", ["show", "audit", "schema"])
def test_a_terminal_without_utf8_gets_readable_text(
    plan: Path, encoding: str, command: str
) -> None:
    arguments = [command] if command == "schema" else [command, str(plan)]
    ran = subprocess.run(
        [*COMMAND, *arguments],
        cwd=plan.parent,
        env=environment(PYTHONIOENCODING=encoding),
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    said = ran.stdout.decode(encoding)
    if command == "show":
        assert "br" in said
        assert "3 x 24 - " in said or "3 × 24" in said


def test_bad_input_is_said_in_ascii_too(tmp_path: Path) -> None:
    ran = subprocess.run(
        [*COMMAND, "plan", "café"],
        cwd=tmp_path,
        env=environment(PYTHONIOENCODING="ascii"),
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert ran.returncode == 2
    assert ran.stderr.decode("ascii").startswith("cafe")


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("½ h … 85 °C – “rare”", '1/2 h ... 85 deg C - "rare"'),
        ("Crème brûlée", "Creme brulee"),
        ("cre\u0300me", "creme"),
        ("Straße", "Strasse"),
        ("粥", "?"),
        ("plain", "plain"),
    ],
)
def test_marks_and_accents_become_what_ascii_has(text: str, plain: str) -> None:
    assert speakable(text, "ascii") == plain


def test_what_an_encoding_has_is_left_alone() -> None:
    assert speakable("Crème … 粥", "latin-1") == "Crème ... ?"
    assert speakable("Crème … 粥", "utf-8") == "Crème … 粥"
    assert speakable("Crème", None) == "Creme"
    assert speakable("Crème", "no-such-code-page") == "Creme"


@pytest.mark.skipif(os.name == "nt", reason="pipes to `head` are a shell of POSIX")
@pytest.mark.parametrize("command", ["show", "audit", "schema", "scenarios", "work"])
def test_a_reader_that_leaves_early_is_no_error(plan: Path, tmp_path: Path, command: str) -> None:
    week = written_week(tmp_path / "week")
    argument = {"show": plan, "audit": plan, "work": week}.get(command)
    arguments = [command] if argument is None else [command, str(argument)]
    # A pipe nobody reads: every write fails.
    reading, writing = os.pipe()
    os.close(reading)
    ran = subprocess.run(
        [*COMMAND, *arguments],
        cwd=tmp_path,
        env=environment(),
        stdout=writing,
        stderr=subprocess.PIPE,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    os.close(writing)
    assert ran.stderr == ""
    assert ran.returncode == 0


def test_a_plan_is_written_even_if_nobody_reads_the_summary(tmp_path: Path) -> None:
    written_week(tmp_path / "week")
    reading, writing = os.pipe()
    os.close(reading)
    ran = subprocess.run(
        [*COMMAND, "plan", "week"],
        cwd=tmp_path,
        env=environment("first"),
        stdout=writing,
        stderr=writing,
        timeout=60,
        check=False,
    )
    os.close(writing)
    assert ran.returncode == 0
    assert (tmp_path / "hut-supper.plan.json").exists()


@pytest.mark.skipif(os.name == "nt", reason="closing a stream before the start is POSIX")
def test_a_closed_standard_output_is_no_error(plan: Path) -> None:
    ran = subprocess.run(
        ["/bin/sh", "-c", 'exec "$@" >&-', "sh", *COMMAND, "audit", str(plan)],
        cwd=plan.parent,
        env=environment(),
        stderr=subprocess.PIPE,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert ran.stderr == ""
    assert ran.returncode == 0


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device here that is always full")
@pytest.mark.parametrize("command", ["show", "audit", "schema", "scenarios", "--version", "-h"])
def test_an_answer_that_finds_no_room_is_said_and_no_fault(plan: Path, command: str) -> None:
    arguments = [command, str(plan)] if command in ("show", "audit") else [command]
    with open("/dev/full", "wb") as full:
        ran = subprocess.run(
            [*COMMAND, *arguments],
            cwd=plan.parent,
            env=environment(BACKTIME_DB=str(plan.parent / "book.sqlite")),
            stdout=full,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            timeout=60,
            check=False,
        )
    assert ran.stderr == (
        "What there is to say cannot be written where it should go (no space left on device).\n"
    )
    assert ran.returncode == 2


def test_a_plan_from_elsewhere_cannot_play_tricks_with_the_terminal(plan: Path) -> None:
    text = plan.read_text(encoding="utf-8")
    plan.write_text(text.replace('"soup.1"', r'"soup\u001b[2J\u202e\r.1"'), encoding="utf-8")
    for command in ("show", "audit"):
        ran = backtime(command, plan, cwd=plan.parent)
        assert command == "show" or "[2J" in ran.stdout
        for trick in "\x1b\u202e\r":
            assert trick not in ran.stdout + ran.stderr


def test_the_version_is_said(tmp_path: Path) -> None:
    ran = backtime("--version", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.startswith("backtime ")


class Screen(io.StringIO):
    """A terminal of 40 columns."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def test_progress_on_a_terminal_is_one_line_that_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    monkeypatch.setattr("shutil.get_terminal_size", lambda: os.terminal_size((40, 24)))
    progress = Progress()
    progress.now("Planning …", lasting=True)
    progress.now("Better " * 20)
    progress.now("short")
    progress.end()
    lines = screen.getvalue().split("\r")
    assert lines[1] == "Planning …\n"
    assert max(len(line) for line in lines[2:]) <= 39, "a line that wraps is left behind"
    assert lines[3].startswith("short  ")
    assert lines[-2].strip() == ""


def test_progress_in_a_log_is_whole_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    log = io.StringIO()
    monkeypatch.setattr("sys.stderr", log)
    progress = Progress()
    progress.now("First plan.", lasting=True)
    progress.now("Better.")
    progress.end()
    assert log.getvalue() == "First plan.\n"
