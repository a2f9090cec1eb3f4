"""An export is whole or not there, and takes nothing away that somebody wrote."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from scheduler.book import folder as writing
from scheduler.book.errors import BookError
from scheduler.book.folder import CUT_OFF, MARK, InTheWay, put
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import read_scenario

OLD = {"a.yaml": "a\n", "b.yaml": "b\n", "c.yaml": "c\n"}
NEW = {"a.yaml": "a\n", "b.yaml": "other\r\n", "d.yaml": "d\n"}


def fine(folder: Path) -> None:
    """Nothing to be said against it."""


def texts(folder: Path) -> dict[str, str]:
    """What a reader of the folder would find."""
    return {p.name: p.read_bytes().decode() for p in sorted(folder.glob("*.yaml"))}


def everything(folder: Path) -> list[str]:
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*"))


def test_an_export_makes_its_folder_and_a_later_one_replaces_just_its_own(tmp_path: Path) -> None:
    folder = tmp_path / "week"
    assert put(folder, OLD, fine).new
    assert texts(folder) == OLD
    (folder / "menu.docx").write_text("for the printer")
    assert not put(folder, OLD, fine).new
    assert put(folder, NEW, fine).new
    assert texts(folder) == NEW
    assert everything(folder) == [MARK, "a.yaml", "b.yaml", "d.yaml", "menu.docx"]
    assert os.listdir(tmp_path) == ["week"], "nothing lies about"


@pytest.mark.parametrize(
    "spoil",
    [
        lambda f: (f / "b.yaml").write_text("edited"),
        lambda f: (f / "c.yaml").write_text("edited, and not in the new export"),
        lambda f: (f / "mine.yml").write_text("schema: 1"),
        lambda f: (f / "d.yaml").mkdir(),
        lambda f: (f / MARK).unlink(),
        lambda f: (f / MARK).write_text("[1]"),
        lambda f: ((f / "b.yaml").unlink(), (f / "b.yaml").symlink_to(f / "a.yaml")),
    ],
)
def test_what_somebody_else_wrote_or_edited_stays_until_they_say_so(
    tmp_path: Path, spoil: Callable[[Path], object]
) -> None:
    folder = tmp_path / "week"
    put(folder, OLD, fine)
    spoil(folder)
    before = everything(folder)
    with pytest.raises(InTheWay, match=r"no export wrote (b|c|d|mine)\.y.*--over"):
        put(folder, NEW, fine)
    assert everything(folder) == before
    kept = put(folder, NEW, fine, over=True).aside
    assert kept == folder / "before-1"
    assert texts(folder) == NEW
    assert os.listdir(kept)
    assert not put(folder, NEW, fine).new


def test_an_export_that_fails_half_way_leaves_everything_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "week"
    put(folder, OLD, fine)
    (folder / "b.yaml").write_text("edited")
    before = {n: (folder / n).read_bytes() for n in os.listdir(folder)}
    replace, left = os.replace, 0

    def failing(source: Path, target: Path) -> None:
        nonlocal left
        left -= 1
        if left == 0:
            raise PermissionError(13, "Permission denied")
        replace(source, target)

    monkeypatch.setattr(writing.os, "replace", failing)
    for left in range(1, 7):
        so_many = left
        with pytest.raises(BookError, match=r"Nothing was written.*permission denied"):
            put(folder, NEW, fine, over=True)
        assert {n: (folder / n).read_bytes() for n in os.listdir(folder)} == before, so_many
    left = 0
    assert put(folder, NEW, fine, over=True).new


@pytest.mark.skipif(os.name == "nt", reason="os._exit while files are moved")
@pytest.mark.parametrize("after", range(1, 7))
def test_an_export_that_was_killed_is_seen_by_whoever_reads_and_mended_by_the_next(
    tmp_path: Path, after: int
) -> None:
    folder = tmp_path / "week"
    put(folder, OLD, fine)
    (folder / "b.yaml").write_text("edited")
    script = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from scheduler.book.folder import put\n"
        "from tests.book.test_folder import NEW, fine\n"
        "replace, left = os.replace, int(sys.argv[2])\n"
        "def dying(source, target):\n"
        "    global left\n"
        "    left -= 1\n"
        "    if left == 0: os._exit(9)\n"
        "    replace(source, target)\n"
        "os.replace = dying\n"
        "put(Path(sys.argv[1]), NEW, fine, over=True)\n"
    )
    ran = subprocess.run([sys.executable, "-c", script, folder, str(after)], check=False)
    assert ran.returncode == 9
    assert CUT_OFF in os.listdir(folder)
    with pytest.raises(BadInput, match=CUT_OFF):
        read_scenario(folder)
    with pytest.raises(InTheWay):
        put(folder, NEW, fine)
    assert texts(folder) == OLD | {"b.yaml": "edited"}, "as it was before the one that was killed"
    put(folder, NEW, fine, over=True)
    assert texts(folder) == NEW
    assert (folder / "before-1" / "b.yaml").read_text() == "edited"


def test_files_that_are_not_what_they_should_be_never_get_their_names(tmp_path: Path) -> None:
    def refuse(folder: Path) -> None:
        assert texts(folder) == NEW
        raise BookError("not the same")

    with pytest.raises(BookError, match="not the same"):
        put(tmp_path / "week", NEW, refuse)
    assert os.listdir(tmp_path) == []
    put(tmp_path / "week", OLD, fine)
    with pytest.raises(BookError, match="not the same"):
        put(tmp_path / "week", NEW, refuse)
    assert texts(tmp_path / "week") == OLD


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("no/such/week", "there is no folder"),
        ("file", "is a file, not a folder"),
        ("a\0b", "null"),
        ("x" * 300, "too long"),
    ],
)
def test_a_place_that_cannot_be_written_says_so(tmp_path: Path, name: str, says: str) -> None:
    (tmp_path / "file").write_text("mine")
    with pytest.raises(BookError, match=says):
        put(tmp_path / name, NEW, fine)
    assert os.listdir(tmp_path) == ["file"]


@pytest.mark.skipif(not shutil.which("setpriv"), reason="root writes everywhere; needs setpriv")
def test_a_folder_that_may_only_be_read_is_left_alone(tmp_path: Path) -> None:
    put(tmp_path / "week", OLD, fine)
    (tmp_path / "week").chmod(0o555)
    for parent in (tmp_path, *tmp_path.parents[:-2]):
        parent.chmod(parent.stat().st_mode | 0o055) if os.getuid() == 0 else None
    script = (
        "import sys; from pathlib import Path\n"
        "from scheduler.book.folder import put\n"
        "from tests.book.test_folder import NEW, fine\n"
        "import os\n"
        "if os.getuid() == 0: os.setgid(65534); os.setuid(65534)\n"
        "try: put(Path(sys.argv[1]), NEW, fine)\n"
        "except Exception as error: print(type(error).__name__, error)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, tmp_path / "week"],
        capture_output=True, encoding="utf-8", check=True,
    )  # fmt: skip
    assert ran.stdout.startswith("BookError Nothing was written"), ran.stderr
    assert "permission denied" in ran.stdout
    assert texts(tmp_path / "week") == OLD


def test_of_two_exports_at_once_into_one_folder_one_is_refused_and_nothing_is_mixed(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "week"
    put(folder, OLD, fine)

    def meanwhile(_: Path) -> None:
        with pytest.raises(BookError, match="somebody else is just exporting into"):
            put(folder, {"a.yaml": "of the second"}, fine)

    assert put(folder, NEW, meanwhile).new
    assert texts(folder) == NEW
    assert put(folder, OLD, fine).new, "the folder is free again"


def test_of_two_exports_at_once_into_a_new_folder_the_second_goes_by_what_the_first_wrote(
    tmp_path: Path,
) -> None:
    folder, first = tmp_path / "week", []

    def meanwhile(_: Path) -> None:
        if not first:
            first.append(put(folder, OLD, fine))

    assert put(folder, NEW, meanwhile).new
    assert first[0].new
    assert texts(folder) == NEW
    assert everything(folder) == [MARK, "a.yaml", "b.yaml", "d.yaml"]
    assert os.listdir(tmp_path) == ["week"], "nothing lies about"


def test_an_export_that_was_killed_keeps_nobody_from_the_next(tmp_path: Path) -> None:
    put(tmp_path / "week", OLD, fine)
    script = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from scheduler.book.folder import put\n"
        "put(Path(sys.argv[1]), {'a.yaml': 'x'}, lambda _: os.kill(os.getpid(), 9))\n"
    )
    subprocess.run([sys.executable, "-c", script, str(tmp_path / "week")], check=False)
    assert put(tmp_path / "week", NEW, fine).new
    assert texts(tmp_path / "week") == NEW
