"""Bad input through the command: every mistake a line, code 2, nothing written, no traceback."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import ROOT, backtime, environment, written_week
from tests.plan import tiny

WEEK = json.dumps(tiny.DOCUMENT, indent=1)
BOMB = "schema: 1\na: &a [1]\n" + "".join(
    f"{b}: &{b} [*{a},*{a},*{a},*{a},*{a},*{a},*{a},*{a},*{a}]\n"
    for a, b in zip("abcdefgh", "bcdefghi", strict=True)
)


def tried(folder: Path, command: str = "plan") -> list[str]:
    """Plan it, expect to be refused, and give what was said."""
    before = sorted(p.name for p in folder.parent.iterdir())
    ran = backtime(command, folder.name, cwd=folder.parent, fake="hang")
    assert ran.returncode == 2, ran.stderr
    assert ran.stdout == ""
    assert "Traceback" not in ran.stderr
    assert sorted(p.name for p in folder.parent.iterdir()) == before, "something was written"
    lines = ran.stderr.splitlines()
    assert lines
    return lines


@pytest.mark.parametrize(
    ("name", "raw"),
    [
        ("empty", b""),
        ("not-yaml", b"schema: 1\nkitchen: {id: hut\nweek: ]"),
        ("tabs", b"schema: 1\nkitchen:\n\tid: hut\n"),
        ("utf-16", WEEK.encode("utf-16")),
        ("two-documents", b"schema: 1\n---\nschema: 1\n"),
        ("tag", b"schema: 1\nkitchen: !!python/object:os.system {}\n"),
        ("twice", b"schema: 1\nschema: 1\n"),
        ("alias-bomb", BOMB.encode()),
        ("deep", b"schema: 1\nkitchen: " + b"[" * 3000 + b"]" * 3000),
        ("large", b"schema: 1\n" + b"# filling\n" * 300_000),
        ("not-a-number", WEEK.replace('"guests": 36', '"guests": .inf').encode()),
        ("control", WEEK.replace("Barley soup", "Barley\\u0007 soup").encode()),
        ("newer", WEEK.replace('"schema": 1', '"schema": 2').encode()),
        ("a-list", b"- 1\n- 2\n"),
    ],
)
def test_a_file_that_cannot_be_right_is_refused_in_words(
    tmp_path: Path, name: str, raw: bytes
) -> None:
    folder = tmp_path / name
    folder.mkdir()
    (folder / "week.yaml").write_bytes(raw)
    assert any("week.yaml" in line for line in tried(folder))


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (WEEK.encode("utf-8-sig"), None),
        (WEEK.replace("\n", "\r\n").encode(), None),
        (WEEK.replace('"250 ml"', '"250 oz"').encode(), "Maybe oz-weight or oz-volume"),
        (WEEK.replace('"250 ml"', '"0,25 l"').encode(), "Maybe '0.25 l'"),
        (WEEK.replace('"250 ml"', '"2 pieces"').encode(), "pieces"),
        (WEEK.replace('"equipment": "kettle"', '"equipment": "ketle"').encode(), "kettle"),
        (WEEK.replace("2026-12-04 18:00", "2026-12-24 18:00").encode(), "2026-12-24 18:00"),
        (WEEK.replace("Europe/Vienna", "Europe/Vienne").encode(), "Europe/Vienna"),
    ],
)
def test_a_value_that_cannot_be_right_is_told_with_what_was_meant(
    tmp_path: Path, raw: bytes, said: str | None
) -> None:
    folder = tmp_path / "week"
    folder.mkdir()
    (folder / "week.yaml").write_bytes(raw)
    if said is None:
        ran = backtime("plan", "week", cwd=tmp_path, fake="")
        assert ran.returncode == 0, ran.stderr
    else:
        # What only the sums show comes from the job; what the file shows, from the command.
        ran = backtime("work", "week", cwd=tmp_path)
        assert ran.returncode == 2, ran.stderr
        assert said in ran.stderr
        assert "Traceback" not in ran.stderr


def test_every_mistake_is_told_at_once_with_its_place(tmp_path: Path) -> None:
    wrong: dict[str, Any] = json.loads(
        WEEK.replace('"amount": "250 ml"', '"amount": "250 mL"')
        .replace('"2 h"', '"2 hours"')
        .replace("36", "-36")
    )
    lines = tried(written_week(tmp_path / "week", wrong))
    assert len(lines) >= 3
    for line in lines:
        assert re.match(r"week[/\\]week\.yaml:\d+:\d+  .+: .+", line), line


@pytest.mark.parametrize("name", ["no-such-week", "frist-week", "stored:7", "", "x" * 5000])
def test_a_scenario_that_is_not_there_is_said(tmp_path: Path, name: str) -> None:
    ran = backtime("plan", name, cwd=tmp_path, fake="hang")
    assert ran.returncode == 2
    assert "Traceback" not in ran.stderr
    assert len(ran.stderr.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []


def test_a_name_typed_nearly_right_gets_a_hint(tmp_path: Path) -> None:
    assert "first-week" in backtime("plan", "frist-week", cwd=tmp_path, fake="hang").stderr


@pytest.mark.skipif(os.name == "nt", reason="becoming nobody is POSIX")
def test_a_file_that_may_not_be_read_is_said(tmp_path: Path) -> None:
    folder = written_week(tmp_path / "week")
    (folder / "week.yaml").chmod(0)
    # Root reads everything, so become nobody, after a first run has imported everything;
    # nobody may not be allowed to look at where this checkout lies, so that is left out.
    script = (
        "import os, sys; import scheduler.cli as cli\n"
        "os.chdir(sys.argv[1])\n"
        "try: cli.main(['work', 'no-such-week'])\n"
        "except SystemExit: pass\n"
        "import scheduler.domain.finding; scheduler.domain.finding._PLACES = ()\n"
        "if os.getuid() == 0: os.setgid(65534); os.setuid(65534)\n"
        "cli.main(['work', '.'])\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, str(folder)],
        env=environment(),
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert ran.returncode == 2, ran.stderr
    assert "week.yaml" in ran.stderr
    assert "permission denied" in ran.stderr
    assert "Traceback" not in ran.stderr
