"""`backtime plan`: what is written, what is said, and which code it ends with."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from scheduler.plan.file import read_plan
from tests.cli.running import ROOT, Begin, backtime, environment, gone, hear, written_week
from tests.plan import tiny

PLAN = "hut-supper.plan.json"


@pytest.fixture
def here(tmp_path: Path) -> Path:
    """A folder with a written week in `week` and nothing else in it."""
    written_week(tmp_path / "week")
    return tmp_path


def exists(path: Path) -> None:
    """Wait for a file that the engine writes when it begins."""
    until = time.monotonic() + 30
    while not path.exists():
        assert time.monotonic() < until
        time.sleep(0.01)


def files(folder: Path) -> set[str]:
    return {p.name for p in folder.iterdir()} - {"week"}


def test_a_good_plan_is_written_here_and_summed_up(here: Path) -> None:
    ran = backtime("plan", "week", cwd=here, fake="first")
    assert ran.returncode == 0, ran.stderr
    assert files(here) == {PLAN}
    assert read_plan(here / PLAN).plan == tiny.plan()
    assert read_plan(here / PLAN).report.valid
    assert ran.stdout.startswith("One event served; tightest: ")
    assert "Last calls" in ran.stdout
    assert len(ran.stdout.splitlines()) <= 40
    assert re.search(r"First plan after [\d.]+ s: every event served", ran.stderr)
    assert "\r" not in ran.stderr, "progress for a terminal in a log"


def test_out_says_where_and_an_older_plan_is_replaced(here: Path) -> None:
    for _ in range(2):
        ran = backtime("plan", "week", "--out", "a plan.json", cwd=here, fake="")
        assert ran.returncode == 0, ran.stderr
    assert files(here) == {"a plan.json"}


def test_json_prints_figures_and_nothing_else(here: Path) -> None:
    ran = backtime("plan", "week", "--json", "--seed", "5", cwd=here, fake="short certain")
    said = json.loads(ran.stdout)
    assert said["valid"] is True
    assert said["served"] is False
    assert said["terms"]["served"] == [36]
    assert said["missing"] == [{"batch": "soup.1", "why": "nobody at the stove", "certain": True}]
    assert said["made"]["seed"] == 5
    assert said["plan"] == PLAN
    # Windows: 18:00 less at least 2 h of simmering and 15 min of filling.
    by = {c["batch"]: c["by"] for c in said["last_calls"]}
    assert by["soup.1"] == "2026-12-04T15:45+01:00"
    assert set(said["events"]) == {"done"}  # nothing was told before the end


def test_json_tells_when_the_first_plan_was_there(here: Path) -> None:
    ran = backtime("plan", "week", "--json", cwd=here, fake="first")
    events = json.loads(ran.stdout)["events"]
    assert set(events) == {"first", "served", "done"}
    assert events["first"] == events["served"]
    assert events["first"]["seconds"] <= events["done"]["seconds"]


@pytest.mark.parametrize(
    ("fake", "code"),
    [("", 0), ("invalid", 1), ("short certain", 3), ("short", 4), ("first raise", 70)],
)
def test_the_code_tells_the_shell_what_came_of_it(here: Path, fake: str, code: int) -> None:
    ran = backtime("plan", "week", cwd=here, fake=fake)
    assert ran.returncode == code, ran.stderr
    assert files(here) == {PLAN}, "the rest of the week is planned and written all the same"


def test_a_plan_that_breaks_a_rule_never_takes_the_place_of_a_good_one(here: Path) -> None:
    ran = backtime("plan", "week", cwd=here, fake="first worse")
    assert ran.returncode == 0, ran.stderr
    assert "The second reader refused a plan (holds" in ran.stderr
    assert read_plan(here / PLAN).plan == tiny.plan()


def test_a_plan_that_breaks_a_rule_says_so_before_anything_else(here: Path) -> None:
    ran = backtime("plan", "week", cwd=here, fake="invalid")
    assert ran.stdout.startswith("Do not cook from this plan: it breaks holds")


def test_bad_input_found_while_working_out_is_said_and_nothing_is_written(here: Path) -> None:
    ran = backtime("plan", "week", cwd=here, fake="bad")
    assert ran.returncode == 2
    assert ran.stderr.splitlines()[-1] == "kitchen.yaml:3:7  the kettle: too small. Maybe 20 l"
    assert files(here) == set()


@pytest.mark.parametrize("fake", ["raise", "die"])
def test_a_fault_of_ours_is_owned_up_to_and_nothing_is_written(here: Path, fake: str) -> None:
    ran = backtime("plan", "week", cwd=here, fake=fake)
    assert ran.returncode == 70
    assert "This is a fault of Backtime, not of your week" in ran.stderr
    assert files(here) == set()


def test_a_job_that_is_killed_leaves_the_best_plan(here: Path, begin: Begin) -> None:
    pid_file = here / "week" / "pid"
    run = begin("plan", "week", cwd=here, fake="first hang", PID_FILE=str(pid_file))
    hear(run, "First plan")
    os.kill(int(pid_file.read_text()), signal.SIGKILL)
    _, said = run.communicate(timeout=30)
    assert run.returncode == 70
    assert "SIGKILL" in said
    assert read_plan(here / PLAN).plan == tiny.plan()


def test_ctrl_c_before_the_first_plan_leaves_nothing(here: Path, begin: Begin) -> None:
    pid_file = here / "week" / "pid"
    run = begin("plan", "week", cwd=here, fake="wait", PID_FILE=str(pid_file))
    hear(run, "Planning")
    exists(pid_file)
    run.send_signal(signal.SIGINT)
    out, said = run.communicate(timeout=30)
    assert run.returncode == 130
    assert "Stopped before there was a plan; nothing is written." in said
    assert files(here) == set()
    assert "Traceback" not in said + out
    assert gone(int(pid_file.read_text()))


def test_ctrl_c_while_nothing_answers_gives_up_on_it(here: Path, begin: Begin) -> None:
    pid_file = here / "week" / "pid"
    run = begin("plan", "week", cwd=here, fake="hang", PID_FILE=str(pid_file))
    hear(run, "Planning")
    exists(pid_file)
    run.send_signal(signal.SIGINT)
    hear(run, "Ctrl-C again")
    run.send_signal(signal.SIGINT)
    out, said = run.communicate(timeout=30)
    assert run.returncode == 130
    assert "nothing is written" in said
    assert "Traceback" not in said + out
    assert files(here) == set()


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_ctrl_c_after_the_first_plan_keeps_it(here: Path, begin: Begin, name: str) -> None:
    run = begin("plan", "week", cwd=here, fake="first wait")
    hear(run, "First plan")
    run.send_signal(signal.Signals[name])
    out, said = run.communicate(timeout=30)
    assert run.returncode == 130
    assert f"the best plan so far is in {PLAN}" in said
    assert out.startswith("One event served")
    assert "Traceback" not in said + out
    assert read_plan(here / PLAN).plan == tiny.plan()


def test_the_job_leaves_when_the_command_dies(here: Path, begin: Begin) -> None:
    pid_file = here / "week" / "pid"
    run = begin("plan", "week", cwd=here, fake="first hang", PID_FILE=str(pid_file))
    hear(run, "First plan")
    run.kill()
    run.communicate(timeout=30)
    assert gone(int(pid_file.read_text()))
    assert read_plan(here / PLAN).plan == tiny.plan(), "the first plan was in its place at once"


def test_ctrl_c_at_the_keyboard_reaches_the_command_and_not_the_job(
    here: Path, begin: Begin
) -> None:
    # A terminal sends it to every process of the group.
    run = begin("plan", "week", cwd=here, fake="first wait", apart=True)
    hear(run, "First plan")
    os.killpg(run.pid, signal.SIGINT)
    run.communicate(timeout=30)
    assert run.returncode == 130
    assert read_plan(here / PLAN).plan == tiny.plan()


@pytest.mark.parametrize(
    ("out", "said"),
    [
        ("no/such/folder/x.json", "does not exist"),
        ("week/week.yaml", "is no plan of Backtime"),
        ("week/week.yaml/x.json", "is a file, not a folder"),
        ("week", "is a folder"),
        ("/dev/null", "is no plan of Backtime"),
        ("x" * 300, "nothing is planned"),
    ],
)
def test_out_to_nowhere_is_refused_before_planning(here: Path, out: str, said: str) -> None:
    before = (here / "week" / "week.yaml").read_bytes()
    ran = backtime("plan", "week", "--out", out, cwd=here, fake="hang")
    assert ran.returncode == 2
    assert said.lower() in ran.stderr.lower()
    assert len(ran.stderr.splitlines()) == 1
    assert files(here) == set()
    assert (here / "week" / "week.yaml").read_bytes() == before


@pytest.mark.skipif(os.name == "nt", reason="becoming nobody is POSIX")
def test_a_folder_where_nothing_may_be_written_is_said_before_planning(tmp_path: Path) -> None:
    folder = tmp_path / "shut"
    folder.mkdir()
    folder.chmod(0o555)
    # Root may write anywhere, so become nobody, after a first run has imported everything.
    script = (
        "import os, sys; import scheduler.cli as cli\n"
        "try: cli.main(['plan', 'demo', '--seconds', '0'])\n"
        "except SystemExit: pass\n"
        "os.chdir(sys.argv[1])\n"
        "if os.getuid() == 0: os.setgid(65534); os.setuid(65534)\n"
        "cli.main(['plan', 'demo'])\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, str(folder)],
        env=environment("hang"),
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert ran.returncode == 2, ran.stderr
    _, said = ran.stderr.splitlines()
    assert said.startswith("Nothing is planned: nothing can be written in '.' (permission denied)")
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("seconds", ["0", "-3", "nan", "inf", "1e9", "soon"])
def test_no_time_to_plan_in_is_refused(here: Path, seconds: str) -> None:
    ran = backtime("plan", "week", f"--seconds={seconds}", cwd=here, fake="hang")
    assert ran.returncode == 2
    assert "Traceback" not in ran.stderr
    assert files(here) == set()
