"""sheet: the prep sheet as text, and what is said of a sheet that there is not."""

from __future__ import annotations

from pathlib import Path

import pytest
from icalendar import Calendar

from scheduler.plan.file import Made, write_plan
from tests.cli.running import backtime
from tests.plan import tiny


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "supper.plan.json"
    write_plan(path, tiny.plan(), tiny.scenario(), Made(versions={}))
    return path


def test_a_cook_reads_what_to_do_how_much_by_when_and_where_it_goes(plan: Path) -> None:
    ran = backtime("sheet", plan, "--section", "stove", "--day", "2026-12-04", cwd=plan.parent)
    assert ran.returncode == 0, ran.stderr
    said = " ".join(ran.stdout.split())
    assert said.startswith("Stove, Fri 4 Dec Ada 08:00-22:00 Jobs ")
    assert "by 14:00 rdy 14:15 Barley soup, 9 l: fill (simmer)" in said
    assert "goes to Cold room, 2 shelves: 9 l for Bowl of soup (Supper), 18:00" in said
    assert "at 18:00 rdy 18:30 Bowl of soup (Supper), 36 portions: plating" in said
    assert "takes 9 l Barley soup (Cold room)" in said
    assert "on kettle" in said
    assert max(map(len, ran.stdout.splitlines())) <= 80


def test_without_options_there_is_a_sheet_of_every_section_and_day(plan: Path) -> None:
    every = backtime("sheet", plan, cwd=plan.parent).stdout
    assert every == backtime("sheet", plan, "--section", "stove", cwd=plan.parent).stdout
    own = backtime("sheet", plan, "--person", "ada", cwd=plan.parent).stdout
    assert own.splitlines()[0] == "Ada, Fri 4 Dec"


def test_a_day_without_jobs_says_so(plan: Path) -> None:
    ran = backtime("sheet", plan, "--person", "ada", "--day", "2026-12-03", cwd=plan.parent)
    assert ran.returncode == 0
    assert "Jobs\n  Nothing." in ran.stdout


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--person", "adda"), "Nobody here is called 'adda'. Maybe 'ada'."),
        (("--section", "pastry"), "There is no section 'pastry'. There are stove."),
        (
            ("--day", "friday"),
            "'friday' is no day like '2026-12-04'. There is something to do on: 2026-12-04.",
        ),
        (
            ("--day", "2027-01-01"),
            "Fri 1 Jan 2027 is not in this week, which goes from Thu 3 Dec to Sat 5 Dec 2026.",
        ),
    ],
)
def test_a_sheet_there_is_not_gets_one_sentence_with_what_there_is(
    plan: Path, options: tuple[str, str], said: str
) -> None:
    ran = backtime("sheet", plan, *options, cwd=plan.parent)
    assert (ran.returncode, ran.stdout, ran.stderr) == (2, "", said + "\n")


def test_a_sheet_is_of_a_section_or_of_a_person(plan: Path) -> None:
    ran = backtime("sheet", plan, "--section", "stove", "--person", "ada", cwd=plan.parent)
    assert ran.returncode == 2
    assert "one of the two" in ran.stderr


def test_the_sheet_of_a_plan_nobody_should_cook_from_says_so_first(plan: Path) -> None:
    write_plan(
        plan, tiny.plan().model_copy(update={"holds": ()}), tiny.scenario(), Made(versions={})
    )
    ran = backtime("sheet", plan, cwd=plan.parent)
    assert ran.returncode == 0
    assert ran.stdout.startswith("Do not cook from this plan: it breaks holds")


def test_a_cook_takes_the_week_along_in_their_own_calendar(plan: Path) -> None:
    ran = backtime("sheet", plan, "--person", "ada", "--ics", "ada.ics", cwd=plan.parent)
    assert (ran.returncode, ran.stdout) == (0, "2 jobs of Ada in ada.ics.\n"), ran.stderr
    raw = (plan.parent / "ada.ics").read_bytes()
    file = Calendar.from_ical(raw)
    assert [str(e["summary"]) for e in file.walk("VEVENT")] == [
        "Barley soup, 9 l: fill (simmer)",
        "Bowl of soup (Supper), 36 portions: plating",
    ]
    assert str(file["x-wr-calname"]) == "Ada, Supper at the hut"


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--ics", "x.ics"), "--person ID"),
        (("--person", "ada", "--day", "2026-12-04", "--ics", "x.ics"), "a whole week"),
        (("--person", "zoe", "--ics", "x.ics"), "Nobody here is called 'zoe'. There are ada."),
        (("--person", "ada", "--ics", "no/x.ics"), "cannot be written"),
    ],
)
def test_a_calendar_that_cannot_be_written_is_refused_plainly(
    plan: Path, options: tuple[str, ...], said: str
) -> None:
    ran = backtime("sheet", plan, *options, cwd=plan.parent)
    assert ran.returncode == 2
    assert said in " ".join(ran.stderr.split())
    assert "Traceback" not in ran.stderr
    assert not list(plan.parent.glob("*.ics"))
