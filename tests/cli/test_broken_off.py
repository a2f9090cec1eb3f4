"""Whatever breaks off in the middle: the last plan lies on disk, and the chef is told in words."""

from __future__ import annotations

import os
import shutil
import signal
import time
from pathlib import Path

import pytest

from scheduler.plan.file import read_plan
from tests.cli.running import Begin, a_helper, backtime, gone, hear, the_job, written_week
from tests.plan import tiny

PLAN = "hut-supper.plan.json"
DEMO = "december-run.plan.json"
POSIX = pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")


@pytest.fixture
def here(tmp_path: Path) -> Path:
    """A folder with a written week in `week` and nothing else in it."""
    written_week(tmp_path / "week")
    return tmp_path


def good(path: Path) -> bool:
    """A whole plan that the second reader passes."""
    return read_plan(path).report.valid


@POSIX
@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("killed", "it was killed (SIGKILL), most often because memory ran out"),
        ("abort", "the solver broke off in the middle of its work (SIGABRT)"),
        ("memory", "memory ran out"),
        ("room", "its temporary folder is full, or gone"),
    ],
)
def test_a_search_that_breaks_off_leaves_the_plan_it_had(here: Path, how: str, words: str) -> None:
    ran = backtime("plan", "week", cwd=here, fake=f"first {how}", PLACE=str(here / PLAN))
    assert ran.returncode == 70
    assert f"The search was cut short: {words}." in ran.stderr
    assert f"The best plan it had by then is in {PLAN}" in ran.stderr
    assert ran.stdout.startswith("One event served")
    assert "Last calls" in ran.stdout, "nobody knows what has to be begun when"
    assert "Traceback" not in ran.stderr + ran.stdout
    assert "fault" not in ran.stderr
    assert read_plan(here / PLAN).plan == tiny.plan()


@POSIX
@pytest.mark.parametrize("how", ["killed", "abort", "memory"])
def test_a_search_that_breaks_off_before_its_first_plan_says_so(here: Path, how: str) -> None:
    ran = backtime("plan", "week", cwd=here, fake=how)
    assert ran.returncode == 70
    assert "The search was cut short" in ran.stderr
    assert "There was no plan yet; nothing is written." in ran.stderr
    assert "Traceback" not in ran.stderr
    assert not (here / PLAN).exists()


def test_a_fault_of_ours_shows_no_traceback_unless_it_is_asked_for(here: Path) -> None:
    ran = backtime("plan", "week", cwd=here, fake="first raise")
    assert "Traceback" not in ran.stderr
    assert "fault of Backtime, not of your week: RuntimeError: the pot boiled over" in ran.stderr
    asked = backtime("plan", "week", cwd=here, fake="first raise", BACKTIME_TRACEBACK="1")
    assert "Traceback" in asked.stderr


def test_a_lost_helper_is_told_and_harms_nothing(here: Path) -> None:
    ran = backtime("plan", "week", cwd=here, fake="first lonely")
    assert ran.returncode == 0, ran.stderr
    assert "A helper of the search is lost (it was killed" in ran.stderr
    assert "goes on without it" in ran.stderr


@POSIX
def test_the_real_search_goes_on_alone_when_its_helper_is_killed(
    tmp_path: Path, begin: Begin
) -> None:
    run = begin("plan", "demo", "--seconds", "600", cwd=tmp_path, fake=None)
    hear(run, "First plan")
    a_helper(the_job(run)).kill()
    hear(run, "A helper of the search is lost")
    run.send_signal(signal.SIGINT)
    _, said = run.communicate(timeout=60)
    assert run.returncode == 130, said
    assert "Stopped; the best plan so far is in" in said
    assert good(tmp_path / DEMO)


@POSIX
@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGABRT], ids=["killed", "aborted"])
def test_the_real_search_that_is_gone_leaves_its_plan_and_no_processes(
    tmp_path: Path, begin: Begin, number: signal.Signals
) -> None:
    run = begin("plan", "demo", "--seconds", "60", cwd=tmp_path, fake=None)
    hear(run, "First plan")
    job = the_job(run)
    helper = a_helper(job)
    job.send_signal(number)
    out, said = run.communicate(timeout=60)
    assert run.returncode == 70
    assert "The search was cut short" in said
    assert "Traceback" not in said
    assert out.startswith("Six events served")
    assert good(tmp_path / DEMO)
    assert gone(helper.pid)


@POSIX
def test_a_helper_that_is_stopped_does_not_keep_the_kitchen_waiting(
    tmp_path: Path, begin: Begin
) -> None:
    run = begin("plan", "demo", "--seconds", "12", cwd=tmp_path, fake=None)
    hear(run, "First plan")
    helper = a_helper(the_job(run))
    helper.suspend()
    _, said = run.communicate(timeout=60)
    assert run.returncode == 0, said
    assert gone(helper.pid)


@POSIX
def test_after_sleep_the_search_goes_on_with_the_time_it_had_left(
    tmp_path: Path, begin: Begin
) -> None:
    begun = time.monotonic()
    run = begin("plan", "demo", "--seconds", "3", cwd=tmp_path, fake=None)
    hear(run, "First plan")
    job = the_job(run)
    whole = [job, *job.children(recursive=True)]
    for process in whole:
        process.suspend()
    fell = time.monotonic()
    heard = hear(run, "The search stands still")  # and is not called dead
    assert "cut short" not in heard
    asleep = time.monotonic() - fell
    for process in whole:
        process.resume()
    heard = hear(run, "Done after")
    assert "it goes on with the time it had left" in heard
    searched = float(heard.rpartition("Done after ")[2].split()[0])
    awake = time.monotonic() - begun - asleep
    assert searched < awake + asleep / 2, "asleep counted as searching"
    run.communicate(timeout=60)
    assert run.returncode == 0
    assert good(tmp_path / DEMO)


@POSIX
def test_no_memory_for_the_search_is_said_in_a_word(tmp_path: Path, begin: Begin) -> None:
    resource = pytest.importorskip("resource")
    if not hasattr(resource, "prlimit"):
        pytest.skip("limits of another process are Linux")
    run = begin("plan", "demo", "--seconds", "30", cwd=tmp_path, fake=None)
    job = the_job(run)
    little = 100 << 20  # less than the week alone needs
    resource.prlimit(job.pid, resource.RLIMIT_AS, (little, little))
    _, said = run.communicate(timeout=60)
    assert run.returncode == 70
    assert "The search was cut short: memory ran out." in said
    assert "There was no plan yet; nothing is written." in said
    assert "Traceback" not in said


def test_a_place_that_is_gone_at_the_end_is_said_and_the_plan_is_kept(
    here: Path, begin: Begin
) -> None:
    (here / "out").mkdir()
    run = begin("plan", "week", "--out", "out/x.json", cwd=here, fake="first wait")
    hear(run, "First plan")
    shutil.rmtree(here / "out")
    run.send_signal(signal.SIGINT)
    _, said = run.communicate(timeout=30)
    assert run.returncode == 2
    assert "The plan cannot be written to out/x.json: No such file or directory." in said
    kept = Path(said.partition("It is in ")[2].splitlines()[0].rstrip("."))
    assert read_plan(kept).plan == tiny.plan()
    shutil.rmtree(kept.parent)


@POSIX
def test_a_disk_that_is_full_is_called_full(here: Path, begin: Begin) -> None:
    # A file may grow to nothing, as on a full disk; only the command is limited, not the job.
    run = begin("plan", "week", cwd=here, fake="first wait")
    hear(run, "First plan")
    (here / PLAN).unlink()
    resource = pytest.importorskip("resource")
    if not hasattr(resource, "prlimit"):
        pytest.skip("limits of another process are Linux")
    resource.prlimit(run.pid, resource.RLIMIT_FSIZE, (10, 10))
    run.send_signal(signal.SIGINT)
    _, said = run.communicate(timeout=30)
    assert run.returncode == 2
    assert f"The plan cannot be written to {PLAN}: File too large." in said
    kept = Path(said.partition("It is in ")[2].splitlines()[0].rstrip("."))
    assert read_plan(kept).plan == tiny.plan()
    assert {p.name for p in here.iterdir()} == {"week"}, "half a plan was left lying about"
    shutil.rmtree(kept.parent)
