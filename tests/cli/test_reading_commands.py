"""work, show, audit, schema, scenarios and help: each answers, each with its code."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from scheduler.api import load
from scheduler.domain.finding import shipped
from scheduler.plan.file import Made, Verdicts, plan_text, write_plan
from scheduler.plan.model import Missing, Unserved
from tests.cli.running import ROOT, backtime, environment, written_week
from tests.plan import tiny


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "supper.plan.json"
    write_plan(path, tiny.plan(), tiny.scenario(), Made(versions={}))
    return path


def edited(path: Path, **changes: Any) -> Path:
    """The plan file with parts of the plan changed, whatever the second reader thinks of it."""
    plan = tiny.plan().model_copy(update=changes)
    verdicts = Verdicts(valid=True, served=True)
    path.write_text(plan_text(plan, tiny.scenario(), Made(versions={}), verdicts), "utf-8")
    return path


def short(path: Path) -> Path:
    """The soup is left out, and the plan says so."""
    return edited(
        path,
        tasks=tiny.plan().tasks[1:],
        holds=(),
        missing=(Missing(batch="soup.1", why="nobody at the stove"),),
        unserved=(
            Unserved(
                batch="supper.bowl", event="supper", dish="bowl", portions=36, lacks=("soup",)
            ),
        ),
        terms=tiny.plan().terms.model_copy(update={"served": (36,)}),
    )


def test_the_audit_of_a_good_plan_ends_with_0(plan: Path) -> None:
    ran = backtime("audit", plan, cwd=plan.parent)
    assert ran.returncode == 0, ran.stdout
    assert ran.stdout.splitlines()[:2] == [
        "VALID: what is there breaks no rule.",
        "SERVED: nothing is missing.",
    ]


def test_the_audit_of_a_plan_edited_by_hand_names_the_rule_and_ends_with_1(plan: Path) -> None:
    edited(plan, holds=(tiny.plan().holds[0].model_copy(update={"shelves": 1}),))
    ran = backtime("audit", plan, cwd=plan.parent)
    assert ran.returncode == 1
    assert ran.stdout.startswith("shelves: A hold counts the shelves that its quantity takes.")
    assert "not VALID: 1 finding." in ran.stdout


def test_the_audit_of_a_plan_that_leaves_guests_short_ends_with_4(plan: Path) -> None:
    ran = backtime("audit", short(plan), cwd=plan.parent)
    assert ran.returncode == 4, ran.stdout
    assert "Supper: 36 portions lack Barley soup" in ran.stdout
    assert "not planned: Barley soup: nobody at the stove" in ran.stdout
    assert "not SERVED: 36 portions lack something." in ran.stdout


@pytest.mark.parametrize("by", ["day", "section", "person", "equipment", "dish"])
def test_show_lays_the_plan_out_every_way(plan: Path, by: str) -> None:
    ran = backtime("show", plan, "--by", by, cwd=plan.parent)
    assert ran.returncode == 0, ran.stderr
    assert "Barley soup" in ran.stdout
    assert "14:00" in ran.stdout
    assert "kettle" in ran.stdout
    assert max(map(len, ran.stdout.splitlines())) <= 100


def test_show_by_person_tells_ada_what_she_does(plan: Path) -> None:
    ran = backtime("show", plan, "--by", "person", cwd=plan.parent)
    assert [" ".join(line.split()) for line in ran.stdout.splitlines() if line.strip()] == [
        "Ada (Stove, cook)",
        "Fri 4 Dec",
        "14:00-14:15 Barley soup, 9 l: fill kettle",
        "mind alone in the house: somebody knows and a phone is on you; what is hot, sharp or",
        "heavy waits for company if it can",
        "18:00-18:30 Bowl of soup (Supper), 36 portions: plating",
        "Local food and labour codes and licensed practice decide, not this plan.",
    ]


def test_show_warns_before_a_plan_nobody_should_cook_from(plan: Path) -> None:
    edited(plan, holds=())
    ran = backtime("show", plan, cwd=plan.parent)
    assert ran.returncode == 0
    assert ran.stdout.startswith("Do not cook from this plan: it breaks holds")


def test_show_says_what_is_not_planned(plan: Path) -> None:
    ran = backtime("show", short(plan), cwd=plan.parent)
    assert "Not planned\n  Barley soup, 9 l: nobody at the stove" in ran.stdout


@pytest.mark.parametrize("command", ["show", "audit"])
@pytest.mark.parametrize("raw", ["", "{", '{"backtime": "plan", "schema": 2}', "[]", "hello"])
def test_a_file_that_is_no_plan_gets_one_sentence(tmp_path: Path, command: str, raw: str) -> None:
    path = tmp_path / "x.json"
    path.write_text(raw)
    ran = backtime(command, path, cwd=tmp_path)
    assert ran.returncode == 2
    assert ran.stdout == ""
    assert len(ran.stderr.splitlines()) == 1
    assert "x.json" in ran.stderr


def test_a_plan_that_is_not_there_gets_one_sentence(tmp_path: Path) -> None:
    ran = backtime("audit", "none.json", cwd=tmp_path)
    assert (ran.returncode, ran.stderr) == (2, "none.json: there is no such file\n")


def test_work_shows_what_is_made_before_any_planning(tmp_path: Path) -> None:
    ran = backtime("work", written_week(tmp_path / "week"), cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    assert "Barley soup" in ran.stdout
    assert "9 l" in ran.stdout


def test_the_schema_is_a_json_schema_and_a_written_week_fits_it(tmp_path: Path) -> None:
    # Checked by the jsonschema package against the 2020-12 draft's own meta-schema.
    schema = json.loads(backtime("schema", cwd=tmp_path).stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    fits = jsonschema.Draft202012Validator(schema)
    fits.validate(tiny.DOCUMENT)
    for name in shipped():
        fits.validate(load(name).document())
    assert not fits.is_valid(tiny.DOCUMENT | {"week": {"id": "x"}})


def test_the_schema_describes_every_field(tmp_path: Path) -> None:
    schema = json.loads(backtime("schema", cwd=tmp_path).stdout)
    bare = [
        f"{name}.{field}"
        for name, kind in [("Scenario", schema), *schema["$defs"].items()]
        for field, about in kind.get("properties", {}).items()
        if "description" not in about
    ]
    assert bare == []


def test_the_shipped_weeks_are_listed(tmp_path: Path) -> None:
    ran = backtime("scenarios", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    assert [line.split()[0] for line in ran.stdout.splitlines()] == ["demo", "first-week"]


@pytest.mark.parametrize(
    "arguments",
    [
        ["--help"],
        ["plan", "--help"],
        ["show", "--help"],
        ["--version"],
        ["plan", "demo", "--seconds", "0"],
        ["audit", "none.json"],
    ],
)
def test_an_answer_is_quick_because_nothing_heavy_is_loaded(
    tmp_path: Path, arguments: list[str]
) -> None:
    script = (
        "import sys\n"
        "from scheduler.cli import main\n"
        "try: main(sys.argv[1:])\n"
        "except SystemExit: pass\n"
        "heavy = {'ortools', 'pandas', 'numpy', 'streamlit', 'plotly'} & set(sys.modules)\n"
        "raise SystemExit(repr(sorted(heavy)) if heavy else 0)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=tmp_path,
        env=environment(),
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr


@pytest.mark.parametrize("arguments", [[], ["pln"], ["plan"], ["plan", "demo", "--by", "x"]])
def test_a_command_typed_wrong_ends_with_2_and_shows_how(
    tmp_path: Path, arguments: list[str]
) -> None:
    ran = backtime(*arguments, cwd=tmp_path)
    assert ran.returncode == 2
    assert "Usage: backtime" in ran.stdout + ran.stderr
    assert list(tmp_path.iterdir()) == []


def test_another_package_in_our_place_is_said_in_plain_words(tmp_path: Path) -> None:
    script = (
        "import scheduler, scheduler.cli\ndel scheduler.PROJECT\nscheduler.cli.main(['--help'])\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script],
        cwd=ROOT,
        env=environment(),
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert ran.returncode == 2
    assert ran.stderr.startswith("Another package has overwritten Backtime's folder 'scheduler'")
