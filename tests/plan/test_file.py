"""The plan file: nothing is lost on the way, and nothing foreign is taken for a plan."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from scheduler.domain.base import SCHEMA
from scheduler.domain.problems import BadInput
from scheduler.plan import opening
from scheduler.plan.file import Made, Verdicts, plan_text, read_plan, write_plan
from scheduler.plan.model import Plan
from tests.plan import tiny

GOLDEN = Path(__file__).parent / "golden"
MADE = Made(seed=7, seconds=20, versions={"backtime": "0.1.0"})


@pytest.fixture
def written(tmp_path: Path) -> Path:
    path = tmp_path / "supper.plan.json"
    write_plan(path, tiny.plan(), tiny.scenario(), MADE)
    return path


def changed(path: Path, change: Callable[[dict[str, Any]], Any]) -> Path:
    """The file after somebody has edited its JSON."""
    document = json.loads(path.read_text(encoding="utf-8"))
    change(document)
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def refused(path: Path) -> str:
    with pytest.raises(BadInput) as caught:
        read_plan(path)
    return str(caught.value)


def test_a_plan_comes_back_exactly_as_it_was_written(written: Path) -> None:
    read = read_plan(written)
    assert read.plan == tiny.plan()
    assert read.scenario == tiny.scenario()
    assert read.scenario.canonical() == tiny.scenario().canonical()
    assert read.made == MADE


def test_the_second_reader_has_passed_the_plan_of_these_tests(written: Path) -> None:
    report = read_plan(written).report
    assert [str(f) for f in report.findings] == []
    assert report.served


def test_both_verdicts_stand_in_the_file(written: Path) -> None:
    document = json.loads(written.read_text(encoding="utf-8"))
    assert document["verdicts"] == {
        "valid": True, "served": True, "findings": [], "let_go": [],
    }  # fmt: skip


def test_the_scenario_and_its_fingerprint_stand_in_the_file(written: Path) -> None:
    document = json.loads(written.read_text(encoding="utf-8"))
    exact = json.dumps(
        document["scenario"], sort_keys=True, separators=(",", ":"), ensure_ascii=False
    )
    assert document["scenario_sha256"] == hashlib.sha256(exact.encode()).hexdigest()
    assert document["scenario_sha256"] == tiny.scenario().sha256()


def test_every_start_and_end_carries_the_kitchens_offset(written: Path) -> None:
    document = json.loads(written.read_text(encoding="utf-8"))
    simmer = document["plan"]["tasks"][0]
    assert simmer["start"] == "2026-12-04T14:00+01:00"
    assert simmer["law_end"] == "2026-12-04T16:15+01:00"
    assert simmer["visits"][0]["end"] == "2026-12-04T14:15+01:00"
    assert simmer["taken"][0]["start"] == "2026-12-04T14:00+01:00"
    assert document["plan"]["holds"][0]["end"] == "2026-12-04T18:00+01:00"


def test_the_doubled_hour_in_autumn_is_told_apart(tmp_path: Path) -> None:
    # Europe/Vienna leaves summer time on 25 October 2026 at 03:00 (IANA time zone data).
    document = json.loads(json.dumps(tiny.DOCUMENT).replace("2026-12-03", "2026-10-24"))
    document = json.loads(json.dumps(document).replace("2026-12-04", "2026-10-25"))
    document = json.loads(json.dumps(document).replace("2026-12-05", "2026-10-26"))
    scenario = tiny.scenario(document)
    moved = [
        t.model_copy(update={"start": 1440 + 60 * h})
        for h, t in zip((2, 3), tiny.plan().tasks, strict=True)
    ]
    plan = tiny.plan().model_copy(update={"tasks": tuple(moved)})
    text = plan_text(plan, scenario, MADE, Verdicts(valid=False, served=False))
    starts = [t["start"] for t in json.loads(text)["plan"]["tasks"]]
    assert starts == ["2026-10-25T02:00+02:00", "2026-10-25T02:00+01:00"]
    path = tmp_path / "autumn.plan.json"
    path.write_text(text, encoding="utf-8")
    assert read_plan(path).plan == plan


def test_a_plan_holds_nothing_of_the_clock_on_the_wall(tmp_path: Path) -> None:
    once, again = tmp_path / "a", tmp_path / "b"
    write_plan(once, tiny.plan(), tiny.scenario())
    write_plan(again, tiny.plan(), tiny.scenario())
    assert once.read_bytes() == again.read_bytes()


def test_a_plan_of_this_schema_reads_as_it_did_when_the_schema_was_new() -> None:
    read = read_plan(GOLDEN / "plan-1.json")
    assert read.plan == tiny.plan()
    assert read.scenario == tiny.scenario()
    assert read.made == MADE
    assert read.report.valid
    assert read.report.served


def test_each_schema_has_its_golden_file_and_each_older_one_its_upgrade() -> None:
    assert sorted(p.name for p in GOLDEN.glob("plan-*.json")) == [
        f"plan-{n}.json" for n in range(1, SCHEMA + 1)
    ]
    assert sorted(opening.UPGRADES) == list(range(1, SCHEMA))


def test_an_older_plan_is_brought_up_step_by_step(
    written: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "SCHEMA", 2)

    def seed_was_called_start(document: dict[str, Any]) -> dict[str, Any]:
        return document | {"made": {"seed": document["made"]["start"], "versions": {}}}

    monkeypatch.setitem(opening.UPGRADES, 1, seed_was_called_start)
    changed(written, lambda d: d.update(made={"start": 99}))
    assert read_plan(written).made.seed == 99


def test_nothing_is_left_half_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plan"
    path.write_text("the old one", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    with pytest.raises(OSError, match="No space"):
        write_plan(path, tiny.plan(), tiny.scenario())
    assert [p.name for p in tmp_path.iterdir()] == ["plan"]
    assert path.read_text(encoding="utf-8") == "the old one"


def test_what_a_link_points_at_is_replaced_and_not_the_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_text("")
    link.symlink_to(real)
    write_plan(link, tiny.plan(), tiny.scenario())
    assert link.is_symlink()
    assert read_plan(real).plan == tiny.plan()


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "empty"),
        (b"   \n", "empty"),
        (b"hello", "is no plan"),
        (b"[1, 2]", "is not a plan of Backtime"),
        (b"{}", "is not a plan of Backtime"),
        (b'{"backtime": "order", "schema": 1}', "is not a plan of Backtime"),
        (b'{"backtime": "plan"}', "its schema is 'None'"),
        (b'{"backtime": "plan", "schema": true}', "its schema is 'True'"),
        (b'{"backtime": "plan", "schema": 0}', "its schema is '0'"),
        (b'{"backtime": "plan", "schema": 99}', "newer Backtime (schema 99"),
        (b'{"backtime": "plan", "schema": 1}', "it has no scenario"),
        (b'{"backtime": "plan", "schema": NaN}', "a number that is none"),
        (b'{"backtime": "plan", "schema": ' + b"9" * 5000 + b"}", "is no plan"),
        (b"[" * 100_000, "is no plan"),
        ("{}".encode("utf-16"), "UTF-8"),
        (b"\xff\xfe\x00\x80", "UTF-8"),
        (b"PK\x03\x04\x00\x00", "is no plan"),
    ],
)
def test_a_foreign_file_gets_one_clear_sentence(tmp_path: Path, raw: bytes, said: str) -> None:
    path = tmp_path / "x.json"
    path.write_bytes(raw)
    told = refused(path)
    assert said in told
    assert "\n" not in told
    assert "x.json" in told


def test_a_plan_with_a_byte_order_mark_is_read(written: Path) -> None:
    written.write_bytes(b"\xef\xbb\xbf" + written.read_bytes())
    assert read_plan(written).plan == tiny.plan()


def test_a_plan_cut_short_anywhere_is_refused(written: Path) -> None:
    raw = written.read_bytes()
    for length in range(len(raw) // 50, len(raw) - 2, len(raw) // 50):
        written.write_bytes(raw[:length])
        told = refused(written)
        assert "\n" not in told
        assert "cut short" in told or "no plan" in told


def test_no_file_and_a_folder_are_told_apart(tmp_path: Path) -> None:
    assert "no such file" in refused(tmp_path / "none.json")
    assert "folder" in refused(tmp_path)


def test_a_file_too_large_for_any_plan_is_left_unread(tmp_path: Path) -> None:
    path = tmp_path / "huge"
    with open(path, "wb") as file:
        file.truncate(opening.LARGEST + 1)
    assert "too large" in refused(path)


def test_a_scenario_edited_inside_a_plan_is_refused(written: Path) -> None:
    changed(written, lambda d: d["scenario"]["week"]["events"][0].update(guests=40))
    assert "not the one it was made from" in refused(written)


@pytest.mark.parametrize(
    ("start", "said"),
    [
        ("2026-12-04T14:00", "has no offset. Maybe '2026-12-04T14:00+01:00'"),
        ("yesterday", "is not a moment"),
        (840, "is not a moment"),
        (None, "is not a moment"),
        (["2026-12-04T14:00+01:00"], "is not a moment"),
        ("2026-12-04T14:00:30+01:00", "lies between two minutes"),
        ("9999-12-31T23:59+01:00", "years away"),
        ("0001-01-01T00:00+14:00", "is not a moment"),
    ],
)
def test_a_time_edited_into_nonsense_is_named(written: Path, start: Any, said: str) -> None:
    changed(written, lambda d: d["plan"]["tasks"][0].update(start=start))
    told = refused(written)
    assert said in told
    assert "plan, tasks 1 (soup.1/simmer), start" in told


def test_every_edit_that_makes_no_sense_is_named_at_once(written: Path) -> None:
    def edit(document: dict[str, Any]) -> None:
        document["plan"]["tasks"][0]["load"] = "two"
        del document["plan"]["tasks"][1]["quantity"]
        document["plan"]["holds"][0]["colour"] = "brown"

    told = refused(changed(written, edit)).splitlines()
    assert len(told) == 3
    assert any("tasks 1 (soup.1/simmer), load" in line and "'two'" in line for line in told)
    assert any("tasks 2 (supper.bowl/plating), quantity" in line for line in told)
    assert any("holds 1, colour" in line for line in told)


@pytest.mark.parametrize("where", ["plan", "made", "verdicts"])
@pytest.mark.parametrize("value", [None, [], "x", 3, {"no": "such"}])
def test_a_part_edited_away_is_named(written: Path, where: str, value: Any) -> None:
    assert where in refused(changed(written, lambda d: d.update({where: value})))


def test_a_time_written_in_another_zone_is_the_same_moment(written: Path) -> None:
    changed(written, lambda d: d["plan"]["tasks"][0].update(start="2026-12-04T13:00Z"))
    assert read_plan(written).plan == tiny.plan()


def test_a_plan_moved_by_hand_is_read_and_the_second_reader_finds_it(written: Path) -> None:
    def late(document: dict[str, Any]) -> None:
        document["plan"]["holds"][0]["store"] = "cellar"

    read = read_plan(changed(written, late))
    assert read.verdicts.valid
    assert not read.report.valid


def test_an_empty_plan_comes_back_too(tmp_path: Path) -> None:
    plan = Plan(batches=(), shares=(), tasks=(), terms=tiny.plan().terms)
    path = tmp_path / "empty"
    path.write_text(plan_text(plan, tiny.scenario(), MADE, Verdicts(valid=False, served=False)))
    assert read_plan(path).plan == plan
