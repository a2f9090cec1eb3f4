"""`backtime plan A B C`: each as it would be alone, here or on a cluster, whatever others do."""

from __future__ import annotations

import json
import os
import signal
from collections.abc import Iterator
from contextlib import nullcontext
from copy import deepcopy
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, ClassVar

import pytest

from scheduler.commands.codes import WORST_FIRST, Exit, Stop, worst
from scheduler.commands.kitchens import named, plan_all
from scheduler.commands.plan import Wish
from scheduler.plan.file import read_plan
from scheduler.solve.cluster import Lost
from scheduler.solve.request import Request
from tests.cli.running import FAKE, ROOT, Begin, backtime, hear, written_week
from tests.plan import tiny

if TYPE_CHECKING:
    from distributed import LocalCluster

PLAN = "hut-supper.plan.json"


@pytest.fixture
def here(tmp_path: Path) -> Path:
    """A folder with two kitchens, and one whose week is wrong."""
    for name in ("harbour", "hill"):
        written_week(tmp_path / name)
    wrong = deepcopy(tiny.DOCUMENT)
    del wrong["kitchen"]["equipment"]
    written_week(tmp_path / "island", wrong)
    return tmp_path


def plans(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*.json")}


def test_each_kitchen_has_its_plan_in_a_folder_with_its_name(here: Path) -> None:
    ran = backtime("plan", "harbour", "hill", cwd=here, fake="")
    assert ran.returncode == 0, ran.stderr
    assert plans(here) == {f"plans/harbour/{PLAN}", f"plans/hill/{PLAN}"}
    assert read_plan(here / "plans" / "hill" / PLAN).plan == tiny.plan()
    assert ran.stdout.count("Last calls") == 2, "each is summed up as it would be alone"
    assert "harbour\n=======\nOne event served" in ran.stdout
    assert ran.stdout.splitlines()[-2:] == [
        "harbour  every event served",
        "hill     every event served",
    ]


def test_one_bad_week_keeps_no_other_from_its_plan(here: Path) -> None:
    ran = backtime("plan", "island", "harbour", "nowhere", "--out", "x", cwd=here, fake="short")
    assert ran.returncode == 2
    assert plans(here) == {f"x/harbour/{PLAN}"}
    assert "week.yaml" in ran.stderr
    assert "there is no such folder" in ran.stderr
    assert [line.split("  ")[-1].strip() for line in ran.stdout.splitlines()[-3:]] == [
        "bad input or no place for the plan",
        "not everything is served",
        "bad input or no place for the plan",
    ]


def test_json_of_several_is_one_line_for_each(here: Path) -> None:
    ran = backtime("plan", "harbour", "hill", "--json", cwd=here, fake="first")
    said = [json.loads(line) for line in ran.stdout.splitlines()]
    assert [one["scenario"] for one in said] == ["harbour", "hill"]
    assert [one["plan"] for one in said] == [f"plans/harbour/{PLAN}", f"plans/hill/{PLAN}"]
    assert all(one["served"] for one in said)
    assert ran.stderr.splitlines()[-1] == "hill     every event served"


def test_ctrl_c_keeps_what_is_planned_and_begins_no_other(here: Path, begin: Begin) -> None:
    run = begin("plan", "harbour", "hill", cwd=here, fake="first wait")
    hear(run, "First plan")
    run.send_signal(signal.SIGINT)
    out, _ = run.communicate(timeout=30)
    assert run.returncode == 130
    assert plans(here) == {f"plans/harbour/{PLAN}"}
    assert out.splitlines()[-2:] == ["harbour  stopped", "hill     stopped"]


def test_out_for_several_is_a_folder(here: Path) -> None:
    (here / "x.json").touch()
    ran = backtime("plan", "harbour", "hill", "--out", "x.json", cwd=here, fake="hang")
    assert ran.returncode == 2
    assert "is a file, not a folder" in ran.stderr


def test_kitchens_of_one_name_are_told_apart_by_the_folders_above() -> None:
    assert named(["x/demo", "a/week", "b/week"]) == {
        "x-demo": "x/demo",
        "a-week": "a/week",
        "b-week": "b/week",
    }
    assert list(named(["demo", "x/y/first-week"])) == ["demo", "first-week"]


def test_a_kitchen_named_twice_is_not_planned_over_itself(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(Stop):
        named(["a", "b", "./a"])
    assert capsys.readouterr().err == "Nothing is planned: 'a' is named twice.\n"


def test_the_code_of_several_is_that_of_the_worst() -> None:
    assert sorted(WORST_FIRST) == sorted(Exit)
    assert worst([Exit.FINE, Exit.CANNOT_WORK, Exit.NOT_SERVED]) is Exit.CANNOT_WORK
    assert worst([Exit.BAD_INPUT, Exit.CANNOT_WORK, Exit.BROKEN]) is Exit.BAD_INPUT
    assert worst([]) is Exit.FINE


@pytest.mark.parametrize(
    ("weeks", "address", "said"),
    [
        (["harbour"], "tcp://10.0.0.5:8786", "plain tcp goes to this machine only"),
        (["harbour"], "tcp://127.0.0.1:1", "nobody answers there"),
        (["harbour", "hill"], "tcp://127.0.0.1:1", "nobody answers there"),
    ],
)
def test_a_cluster_that_is_none_is_said_in_a_sentence(
    here: Path, weeks: list[str], address: str, said: str
) -> None:
    pytest.importorskip("distributed")
    ran = backtime("plan", *weeks, "--cluster", address, cwd=here)
    assert ran.returncode == 2
    assert said in ran.stderr.splitlines()[-1]
    assert "Traceback" not in ran.stderr
    assert plans(here) == set()


def test_one_week_is_planned_here_with_the_cluster_beside(
    here: Path, two_workers: LocalCluster
) -> None:
    address = two_workers.scheduler_address
    ran = backtime("plan", "harbour", "--seconds", "3", "--cluster", address, cwd=here)
    assert ran.returncode == 0, ran.stderr
    assert plans(here) == {PLAN}, "where it would be without"
    ran = backtime("plan", "harbour", "--cluster", address, "--deterministic", cwd=here)
    assert ran.returncode == 2
    assert "no cluster can help" in ran.stderr


def test_many_weeks_go_to_the_cluster_and_each_plan_is_read_here(
    here: Path, two_workers: LocalCluster
) -> None:
    ran = backtime(
        "plan", "harbour", "island", "hill", "--json", "--seconds", "1",
        "--cluster", two_workers.scheduler_address, cwd=here,
    )  # fmt: skip
    assert ran.returncode == 2, ran.stderr
    assert plans(here) == {f"plans/harbour/{PLAN}", f"plans/hill/{PLAN}"}
    assert {json.loads(line)["scenario"] for line in ran.stdout.splitlines()} == {"harbour", "hill"}
    for name in ("harbour", "hill"):
        file = read_plan(here / "plans" / name / PLAN)
        assert file.report.valid
        assert file.made.seconds == 1
    assert "week.yaml" in ran.stderr
    assert f"Planning 2 kitchens on 2 threads of {two_workers.scheduler_address} …" in ran.stderr


def test_ctrl_c_fetches_the_best_plans_from_the_cluster(
    here: Path, two_workers: LocalCluster, begin: Begin
) -> None:
    run = begin(
        "plan", "demo", "first-week", "--seconds", "300",
        "--cluster", two_workers.scheduler_address, cwd=here, fake=None,
    )  # fmt: skip
    hear(run, "Written to")  # the small one is proved
    run.send_signal(signal.SIGINT)
    out, said = run.communicate(timeout=60)
    assert run.returncode == 130, said
    assert "Traceback" not in out + said
    assert plans(here) == {
        "plans/demo/december-run.plan.json",
        "plans/first-week/first-week.plan.json",
    }


def test_what_the_cluster_loses_is_planned_here_and_what_breaks_a_rule_is_found_here(
    here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = tiny.plan().model_copy(update={"holds": ()})

    class Unlucky:
        """Loses one week, and sends a plan that is none for the other."""

        pending: ClassVar[dict[Any, str]] = {}

        def __init__(self, *_: object, **__: object) -> None: ...

        def come(self, _: object = None) -> Iterator[tuple[str, Any]]:
            yield "harbour", Lost("its worker has died")
            yield "hill", broken

    there: Any = SimpleNamespace(threads=lambda: 2)
    monkeypatch.setattr("scheduler.solve.cluster.cluster", lambda address: nullcontext(there))
    monkeypatch.setattr("scheduler.solve.kitchens.Kitchens", Unlucky)
    monkeypatch.setenv("PYTHONPATH", f"{FAKE}{os.pathsep}{ROOT}")
    monkeypatch.setenv("FAKE_ENGINE", "")
    monkeypatch.chdir(here)
    wish = Wish(1, 1, False, False, "tcp://127.0.0.1:8786")
    assert plan_all(["harbour", "hill"], wish, None) is Exit.BROKEN
    said, complaints = capsys.readouterr()
    assert "harbour: the cluster has lost it (its worker has died)" in complaints
    assert read_plan(here / "plans" / "harbour" / PLAN).report.served
    assert "Do not cook from this plan: it breaks holds" in said
    assert said.splitlines()[-2:] == [
        "harbour  every event served",
        "hill     breaks a rule: do not cook from it",
    ]


def test_a_request_carries_the_cluster(tmp_path: Path) -> None:
    asked = Request({}, cluster="tcp://127.0.0.1:8786")
    (tmp_path / "request.json").write_text(asked.text(), encoding="utf-8")
    assert Request.read(tmp_path / "request.json") == asked
