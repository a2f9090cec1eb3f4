"""A broken plan made anew, from the command and from a script: the old plan stays as it was."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from scheduler.api import reshuffle_plan
from scheduler.domain.problems import BadInput
from scheduler.plan.file import read_plan
from tests.cli.running import backtime
from tests.reshuffle.small import at, text_of
from tests.weeks.tiny import DAY, component, keep, kind, step, visit, week_of

NOW = ["--now", f"{DAY} 10:10"]
QUICK = ["--seconds", "0.2", "--deterministic"]


@pytest.fixture(scope="module")
def text() -> str:
    """Ten portions of cheeks, in one of two pots from 09:30 to 13:30."""
    braise = step(
        "braise", "4 h", on=[{"equipment": "pot"}], load=visit("30 min"), unload=visit("30 min")
    )
    cheeks = component("cheeks", braise, keeps=keep("30 h", best_from="4 h", best_until="6 h"))
    pots = kind("pot", units=[{"id": "left"}, {"id": "right"}])
    return text_of(week_of(cheeks, equipment=[pots]))


@pytest.fixture
def plan(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "old.plan.json"
    path.write_text(text, encoding="utf-8")
    return path


def test_it_says_first_what_moves_and_writes_a_new_plan_that_names_the_old(plan: Path) -> None:
    before = plan.read_bytes()
    ran = backtime("reshuffle", plan, *NOW, "--down", "left", *QUICK, cwd=plan.parent)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.splitlines()[0] == (
        "Nothing moves but cheeks, 10 pieces: unload 30 min later."
    )
    new = read_plan(plan.parent / "week.reshuffled.plan.json")
    assert new.report.valid and new.report.served
    assert new.made.parent == hashlib.sha256(before).hexdigest()
    assert plan.read_bytes() == before


def test_what_cannot_be_saved_is_said_and_is_code_4_or_3(plan: Path) -> None:
    down = ["--down", "left", "--down", "right", "--json"]
    ran = backtime("reshuffle", plan, *NOW, *down, *QUICK, cwd=plan.parent)
    assert ran.returncode in (3, 4), ran.stderr
    said = json.loads(ran.stdout)
    assert "10 portions of plate lack cheeks" in said["gives"][0]
    assert said["new"]["terms"]["served"] == [10]
    # 3 h 30 min are left, from 11:30 when another pot can be there; out by 15:30.
    borrowed = next(one for one in said["help"] if one["kind"] == "borrowed")
    assert borrowed["said"] == "A borrowed pot until Fri 7 May 15:30: everything is served."
    assert (borrowed["portions"], borrowed["of"]) == (10, 10)
    assert read_plan(plan.parent / "week.reshuffled.plan.json").plan.unserved


def test_what_would_help_is_said_below_what_gives(plan: Path) -> None:
    down = ["--down", "left", "--down", "right"]
    ran = backtime("reshuffle", plan, *NOW, *down, *QUICK, cwd=plan.parent)
    lines = ran.stdout.splitlines()
    at_ = lines.index("What would help:")
    assert lines.index("What cannot be saved:") < at_
    assert lines[at_ + 1].startswith("  A borrowed pot until")


def test_nonsense_is_code_2_one_sentence_each_and_writes_nothing(plan: Path) -> None:
    wrong = ["--down", "lift", "--count", "supper=0", "--away", "anna=12:00..11:00"]
    ran = backtime("reshuffle", plan, *NOW, *wrong, cwd=plan.parent)
    assert ran.returncode == 2
    assert len(ran.stderr.splitlines()) == 4
    assert "there is no machine or store 'lift'" in ran.stderr
    assert [p.name for p in plan.parent.iterdir()] == ["old.plan.json"]


def test_the_new_plan_never_takes_the_place_of_the_old(plan: Path) -> None:
    ran = backtime("reshuffle", plan, *NOW, "--down", "left", "--out", plan, cwd=plan.parent)
    assert ran.returncode == 2
    assert "would take the place of the old one" in ran.stderr


def test_a_kept_task_stays_and_one_that_is_not_there_is_refused(plan: Path) -> None:
    keep = ["--keep", "supper.plate/plating"]
    ran = backtime("reshuffle", plan, *NOW, "--down", "left", *keep, *QUICK, cwd=plan.parent)
    assert ran.returncode == 0, ran.stderr
    new = read_plan(plan.parent / "week.reshuffled.plan.json")
    assert [k.task for k in new.plan.kept] == ["supper.plate/plating"]
    wrong = ["--keep", "supper.plate/plate"]
    ran = backtime("reshuffle", plan, *NOW, "--down", "left", *wrong, cwd=plan.parent)
    assert ran.returncode == 2
    assert "no such task. Maybe supper.plate/plating" in ran.stderr


def test_a_script_gets_the_proposal_with_its_comparison(plan: Path) -> None:
    heard = []
    found = reshuffle_plan(
        plan, [{"kind": "down", "what": "left"}], at("10:10"), seconds=0.2, deterministic=True,
        hear=lambda event: heard.append(event["kind"]),
    )  # fmt: skip
    assert found.file.report.valid
    assert found.comparison.headline.startswith("Nothing moves but")
    assert list(found.gives()) == []
    assert found.parent == hashlib.sha256(plan.read_bytes()).hexdigest()
    assert heard[0] == "first" and heard[-1] == "done"


def test_a_plan_made_anew_can_be_made_anew_again(plan: Path) -> None:
    first = reshuffle_plan(plan, [{"kind": "down", "what": "left"}], at("10:10"), seconds=0.2,
                      deterministic=True)  # fmt: skip
    (plan.parent / "second.plan.json").write_text(first.text, encoding="utf-8")
    second = reshuffle_plan(
        plan.parent / "second.plan.json", [{"kind": "away", "who": "ana", "until": at("13:00")}],
        at("12:00"), seconds=0.2, deterministic=True,
    )  # fmt: skip
    (task,) = [t for t in second.file.plan.tasks if t.id == "cheeks.1/braise"]
    (was,) = [t for t in first.file.plan.tasks if t.id == "cheeks.1/braise"]
    assert (task.start, task.stopped, task.resumed) == (was.start, was.stopped, was.resumed)
    with pytest.raises(BadInput, match="when this plan was made"):
        reshuffle_plan(plan.parent / "second.plan.json", [{"kind": "working", "what": "left"}],
                  at("09:00"))  # fmt: skip
