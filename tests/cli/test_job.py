"""The solving job: what lies in its folder, whatever it is asked and however it ends."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from scheduler.api import SolverFailed, plan_week
from scheduler.domain.scenario import Scenario
from scheduler.plan import file
from scheduler.plan.file import read_plan
from scheduler.plan.model import Plan
from scheduler.solve import job
from scheduler.solve.request import Request
from scheduler.solve.running import Job, follow
from tests.cli.running import FAKE, ROOT, environment, gone
from tests.plan import tiny

Tell = Callable[[dict[str, Any]], None]


def request(**more: Any) -> Request:
    return Request(tiny.scenario().document(), **more)


def events(folder: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (folder / "events.jsonl").read_text().splitlines()]


def good(scenario: Scenario, **_: object) -> Plan:
    return tiny.plan()


def test_a_request_comes_back_as_it_was_asked(tmp_path: Path) -> None:
    asked = request(seconds=3, seed=9, deterministic=True, workers=1)
    (tmp_path / "request.json").write_text(asked.text(), encoding="utf-8")
    assert Request.read(tmp_path / "request.json") == asked


def test_the_engine_gets_what_was_asked(tmp_path: Path) -> None:
    got: dict[str, Any] = {}

    def engine(scenario: Scenario, **asked: object) -> Plan:
        got.update(asked, scenario=scenario)
        return tiny.plan()

    asked = request(seconds=3, seed=9, deterministic=True, workers=1)
    assert job.run(tmp_path, asked, engine, lambda: False) == 0
    assert got["scenario"] == tiny.scenario()
    assert (got["seconds"], got["seed"], got["deterministic"], got["workers"]) == (3, 9, True, 1)


def test_each_plan_that_is_told_is_on_file_before_it_is_said(tmp_path: Path) -> None:
    def engine(scenario: Scenario, *, tell: Tell, **_: object) -> Plan:
        plan = tiny.plan()
        tell({"kind": "first", "plan": plan, "seconds": 0.2})
        assert read_plan(tmp_path / "plan.json").plan == plan
        assert events(tmp_path)[0]["kind"] == "first"
        return plan

    assert job.run(tmp_path, request(), engine, lambda: False) == 0
    first, done = events(tmp_path)
    assert (first["valid"], first["served"]) == (True, True)
    assert 0 < first["seconds"] <= done["seconds"]  # counted once the second reader has agreed
    assert first["terms"] == {
        "served": [0],
        "left_out": 0,
        "money": 0,
        "changes": 0,
        "quality": 0,
        "in_hand": 0,
        "calm": 0,
        "wishes": 0,
    }
    assert done["kind"] == "done"
    assert done["last_calls"][0]["batch"] == "soup.1"


def test_plans_that_follow_fast_do_not_slow_the_search_down(tmp_path: Path) -> None:
    def engine(scenario: Scenario, *, tell: Tell, **_: object) -> Plan:
        for i in range(200):
            plan = tiny.plan().model_copy()
            tell({"kind": "better" if i else "first", "plan": plan, "seconds": 0.0})
        return plan

    begun = time.monotonic()
    job.run(tmp_path, request(), engine, lambda: False)
    assert time.monotonic() - begun < 10  # nearly all of it is one write; never a close call
    assert len(events(tmp_path)) < 20
    assert read_plan(tmp_path / "plan.json").plan == tiny.plan()


def test_what_has_no_plan_is_passed_on_as_it_is(tmp_path: Path) -> None:
    def engine(scenario: Scenario, *, tell: Tell, **_: object) -> Plan:
        tell({"kind": "bound", "seconds": 1.0, "bound": 12})
        return tiny.plan()

    job.run(tmp_path, request(), engine, lambda: False)
    assert events(tmp_path)[0] == {"kind": "bound", "seconds": 1.0, "bound": 12}


def test_a_better_plan_tells_its_terms_its_time_and_whatever_else_is_known(tmp_path: Path) -> None:
    def engine(scenario: Scenario, *, tell: Tell, **_: object) -> Plan:
        tell({"kind": "better", "plan": tiny.plan(), "seconds": 0.0, "bound": 7})
        return tiny.plan()

    job.run(tmp_path, request(), engine, lambda: False)
    better = events(tmp_path)[0]
    assert {"terms", "seconds", "bound", "valid", "served"} <= set(better)
    assert better["bound"] == 7


def test_a_disk_that_is_full_for_a_while_costs_only_the_plans_of_that_while(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, full = file.write_plan, [True]

    def write(*asked: Any) -> Any:
        if full[0]:
            raise OSError(28, "No space left on device")
        return real(*asked)

    def engine(scenario: Scenario, *, tell: Tell, **_: object) -> Plan:
        tell({"kind": "first", "plan": tiny.plan(), "seconds": 0.0})
        full[0] = False
        return tiny.plan()

    monkeypatch.setattr(file, "write_plan", write)
    assert job.run(tmp_path, request(), engine, lambda: False) == 0
    assert [e["kind"] for e in events(tmp_path)] == ["done"]
    assert read_plan(tmp_path / "plan.json").plan == tiny.plan()


def test_a_disk_that_stays_full_is_said_to_be_no_fault_of_the_week(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def write(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(file, "write_plan", write)
    assert job.run(tmp_path, request(), good, lambda: False) == 74
    (failed,) = events(tmp_path)
    assert (failed["kind"], failed["cause"]) == ("failed", "room")


def test_memory_that_runs_out_is_said_to_have(tmp_path: Path) -> None:
    def engine(scenario: Scenario, **_: object) -> Plan:
        raise MemoryError

    assert job.run(tmp_path, request(), engine, lambda: False) == 70
    (failed,) = events(tmp_path)
    assert (failed["what"], failed["cause"]) == ("MemoryError", "memory")


def test_a_script_gets_the_best_plan_of_a_search_that_broke_off(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("PYTHONPATH", f"{FAKE}{os.pathsep}{ROOT}")
    monkeypatch.setenv("FAKE_ENGINE", "first die")
    with pytest.raises(SolverFailed, match="code 9") as failed:
        plan_week(tiny.scenario())
    assert failed.value.plan == tiny.plan()


def test_a_request_that_is_none_fails_in_the_open(tmp_path: Path) -> None:
    (tmp_path / "request.json").write_text('{"scenario": ')
    assert job.main([str(tmp_path)], good) == 70
    assert events(tmp_path)[0]["kind"] == "failed"


def test_a_scenario_that_is_wrong_is_bad_input_with_every_mistake(tmp_path: Path) -> None:
    asked = Request({"schema": 1, "kitchen": {}, "week": 3})
    assert job.run(tmp_path, asked, good, lambda: False) == 2
    (bad,) = events(tmp_path)
    assert bad["kind"] == "bad"
    assert len(bad["problems"]) > 1
    assert not (tmp_path / "plan.json").exists()


@pytest.mark.parametrize("arguments", [[], ["no-such-folder"], ["a", "b"]])
def test_a_job_called_wrong_says_how(arguments: list[str]) -> None:
    assert job.main(arguments, good) == 2


def test_the_module_runs_by_hand_in_a_folder(tmp_path: Path) -> None:
    (tmp_path / "request.json").write_text(request().text(), encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-P", "-m", "scheduler.solve.job", str(tmp_path)],
        env=environment("first"),
        stdin=subprocess.DEVNULL,
        timeout=60,
        check=False,
    )
    assert ran.returncode == 0
    assert read_plan(tmp_path / "plan.json").plan == tiny.plan()
    assert (tmp_path / "heartbeat").exists()


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Job]:
    """Starts a job with the fake engine."""

    def start(fake: str) -> Job:
        monkeypatch.setenv("PYTHONPATH", f"{FAKE}{os.pathsep}{ROOT}")
        monkeypatch.setenv("FAKE_ENGINE", fake)
        return Job.start()

    return start


def test_a_job_leaves_nothing_behind(started: Callable[[str], Job]) -> None:
    with started("first") as running:
        running.ask(request())
        outcome = follow(running, lambda _: None)
        assert outcome.done["valid"]
        assert running.plan is not None
        assert read_plan(running.plan).plan == tiny.plan()
    assert not running.folder.exists()
    assert running.process.returncode == 0


def test_a_job_that_is_told_to_stop_ends_with_its_best_plan(
    started: Callable[[str], Job],
) -> None:
    with started("first wait") as running:
        running.ask(request())
        for event in running.events():
            if event["kind"] == "first":
                running.stop()
        assert running.process.wait(10) == 0
        assert running.plan is not None


def test_a_job_that_is_never_asked_leaves_when_stopped(started: Callable[[str], Job]) -> None:
    with started("") as running:
        running.stop()
        assert running.process.wait(20) == 0


def test_a_job_left_in_the_middle_is_ended(started: Callable[[str], Job]) -> None:
    with started("first hang") as running:
        running.ask(request())
        next(e for e in running.events() if e["kind"] == "first")
    assert gone(running.process.pid)


def test_a_heart_beats_while_the_engine_is_busy(started: Callable[[str], Job]) -> None:
    with started("first wait") as running:
        running.ask(request())
        next(e for e in running.events() if e["kind"] == "first")
        beat = running.folder / "heartbeat"
        before = beat.stat().st_mtime_ns
        until = time.monotonic() + 20
        while beat.stat().st_mtime_ns == before:
            assert time.monotonic() < until
            time.sleep(0.05)
