"""Planning from an older plan, and around what is kept: from a script and from the command."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import pytest

from scheduler.api import plan_week
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, plan_text, read_plan, verdicts_of, write_plan
from scheduler.plan.model import Kept, Plan
from scheduler.solve import job
from scheduler.solve.request import Request
from tests.cli.running import backtime
from tests.plan import tiny

TASK = "soup.1/simmer"
AT_TWO = "2026-12-04T14:00+01:00"


def text(plan: Plan) -> str:
    made = Made(versions={})
    return plan_text(plan, tiny.scenario(), made, verdicts_of(audit(tiny.scenario(), plan)))


def test_a_request_with_what_is_kept_and_an_older_plan_comes_back_as_asked(tmp_path: Path) -> None:
    asked = Request(tiny.scenario().document(), kept=[{"task": TASK, "people": ["ada"]}], plan="x")
    (tmp_path / "request.json").write_text(asked.text(), encoding="utf-8")
    assert Request.read(tmp_path / "request.json") == asked


def test_the_engine_gets_what_is_kept_and_the_file_names_the_plan_before(tmp_path: Path) -> None:
    got: dict[str, Any] = {}

    def engine(*_: object, **asked: object) -> Plan:
        got.update(asked)
        return tiny.plan()

    older = text(tiny.plan())
    asked = Request(
        tiny.scenario().document(), kept=[{"task": TASK, "start": AT_TWO}], plan=older
    )
    assert job.run(tmp_path, asked, engine, lambda: False) == 0
    assert got["start_from"] == tiny.plan()
    assert [(k.task, k.start.isoformat()) for k in got["kept"]] == [
        (TASK, "2026-12-04T14:00:00+01:00")
    ]
    parent = read_plan(tmp_path / "plan.json").made.parent
    assert parent == hashlib.sha256(older.encode()).hexdigest()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"kept": [{"task": TASK}]}, "say what of the task stays"),
        ({"kept": ["soup"]}, "kept task 1"),
        ({"plan": "{"}, "the plan to start from"),
    ],
)
def test_what_is_no_kept_task_and_no_plan_is_said_and_nothing_is_planned(
    more: dict[str, Any], said: str, tmp_path: Path
) -> None:
    asked = Request(tiny.scenario().document(), **more)
    assert job.run(tmp_path, asked, lambda *_, **__: tiny.plan(), lambda: False) == 2
    (event,) = [json.loads(line) for line in (tmp_path / "events.jsonl").read_text().splitlines()]
    assert event["kind"] == "bad"
    assert said in str(event["problems"])


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"id": "other"}, "is of the week 'hut-supper', not of 'other'"),
        ({"starts": "2026-12-03 07:00"}, "is of a week that starts"),
    ],
)
def test_a_plan_of_another_week_is_nothing_to_start_from(
    change: dict[str, Any], said: str, tmp_path: Path
) -> None:
    document = tiny.scenario().document()
    document["week"] = document["week"] | change
    scenario_of(document)  # it is a sound week
    asked = Request(document, plan=text(tiny.plan()))
    assert job.run(tmp_path, asked, lambda *_, **__: tiny.plan(), lambda: False) == 2
    assert said in (tmp_path / "events.jsonl").read_text()


def test_a_script_moves_a_task_and_nothing_else(tmp_path: Path) -> None:
    """The soup begins an hour earlier than it would, and the whole way keeps it there."""
    path = tmp_path / "supper.plan.json"
    write_plan(path, tiny.plan(), tiny.scenario())
    kept = {"task": TASK, "start": "2026-12-04T13:00+01:00", "people": ["ada"]}
    plan = plan_week(tiny.scenario(), seconds=1, deterministic=True, kept=[kept], start_from=path)
    start = {t.id: t.start for t in tiny.plan().tasks}
    assert {t.id: t.start - start[t.id] for t in plan.tasks if t.start != start[t.id]} == {
        TASK: -60
    }
    assert audit(tiny.scenario(), plan).served
    with pytest.raises(BadInput, match=r"nobody called 'adda'\. Maybe ada"):
        plan_week(tiny.scenario(), seconds=1, kept=[{"task": TASK, "people": ["adda"]}])


def test_the_command_starts_from_a_plan_and_keeps_what_that_kept(tmp_path: Path) -> None:
    minute = next(t.start for t in tiny.plan().tasks if t.id == TASK)
    kept = (Kept(task=TASK, start=minute),)
    write_plan(
        tmp_path / "old.json", tiny.plan().model_copy(update={"kept": kept}), tiny.scenario()
    )
    assert read_plan(tmp_path / "old.json").plan.kept == kept
    document = json.loads((tmp_path / "old.json").read_text(encoding="utf-8"))
    assert document["plan"]["kept"] == [{"task": TASK, "start": AT_TWO}]
    (tmp_path / "week").mkdir()
    (tmp_path / "week" / "all.yaml").write_text(json.dumps(tiny.DOCUMENT), encoding="utf-8")
    ran = backtime(
        "plan", "week", "--from", "old.json", "--out", "new.json", "--deterministic",
        "--seconds", "0.1", cwd=tmp_path,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    new = read_plan(tmp_path / "new.json")
    assert new.plan.kept == kept
    starts = {t.id: t.start for t in tiny.plan().tasks}
    assert {t.id: t.start for t in new.plan.tasks} == starts
    for arguments, said in (
        (("week", "--from", "none.json"), "there is no such file"),
        (("week", "week", "--from", "old.json"), "--from names the older plan of one week"),
    ):
        ran = backtime("plan", *arguments, cwd=tmp_path)
        assert ran.returncode == 2
        assert said in ran.stderr
