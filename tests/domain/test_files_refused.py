"""Files that are not a written week: refused with their place, at once, never with a traceback."""
# ruff: noqa: E501 - one mistake a line reads best.

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest

from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.reading import read_scenario
from scheduler.domain.scenario import Scenario
from tests.domain.texts import EVERYTHING, FILES, place, problems, spoilt

# name, what the file holds, line, column, what is said, what is suggested
BAD_FILES: list[tuple[str, bytes, int, int, str, str]] = [
    ("empty", b"", 1, 1, "the file is empty", "`schema: 1`"),
    ("only a comment", b"# later\n", 1, 1, "the file is empty", "`schema: 1`"),
    ("not YAML", b"schema: 1\nkitchen: [1, 2\n", 3, 1, "'[' that is never closed", ""),
    ("a second colon", b"schema: 1\nid: a: b\n", 2, 6, "a second ': '", "quotes"),
    ("a lost indent", b"a:\n  - b\n - c\n", 3, 2, "too far left or right", ""),
    ("a tab", b"schema: 1\nkitchen:\n\tid: a\n", 3, 1, "a tab; indent with spaces", ""),
    ("open quotes", b"schema: 1\nid: 'x\n", 3, 1, "never closed", ""),
    ("UTF-16 with mark", "schema: 1\n".encode("utf-16"), 1, 1, "UTF-16", "save it again as UTF-8"),
    ("UTF-16 without", "schema: 1\n".encode("utf-16-le"), 1, 1, "UTF-16", "as UTF-8"),
    ("Latin-1", "a: 1\nname: Crème\n".encode("latin-1"), 2, 9, "byte 0xE8 is not UTF-8", "UTF-8"),
    ("two documents", b"schema: 1\n---\nschema: 1\n", 2, 1, "a second document", "two files"),
    ("a tag", b"schema: !!int 1\n", 1, 9, "tags like", ""),
    ("a python tag", b"schema: 1\nx: !!python/name:os.system\n", 2, 4, "tags like", ""),
    ("a tag directive", b"%TAG ! tag:x,2000:\n---\nschema: 1\n", 2, 1, "tags (%TAG)", "delete"),
    ("a key twice", b"schema: 1\nweek: 1\nweek: 2\n", 3, 1, "'week' stands here a second", ""),
    ("a key twice, NFC and NFD", "caf\u00e9: 1\ncafe\u0301: 2\n".encode(), 2, 1, "second time", ""),
    ("a list as key", b"? [a]\n: b\n", 1, 3, "a key is a single word", ""),
    ("an alias to nothing", b"schema: *one\n", 1, 9, "'*one' refers to nothing", "quotes"),
    ("an alias to itself", b"schema: 1\nx: &a [*a]\n", 2, 8, "inside what it refers to", ""),
    ("infinity", b"schema: 1\nx: .inf\n", 2, 4, "'.inf' is not a number", ""),
    ("not a number", b"schema: 1\nx: .NaN\n", 2, 4, "'.NaN' is not a number", ""),
    ("20 digits", b"schema: 12345678901234567890\n", 1, 9, "more digits", ""),
    ("a control character", b"schema: 1\nx: a\x07b\n", 2, 5, "a control character (U+0007)", "delete"),
    ("an escaped one", b'schema: 1\nx: "a\\x07b"\n', 2, 4, "a control character (U+0007)", ""),
    ("half a character", b'schema: 1\nx: "\\uD800"\n', 2, 4, "a control character (U+D800)", ""),
    ("text turned round", "schema: 1\nx: a\u202eb\n".encode(), 2, 4, "invisible character", ""),
    ("3,000 levels", b"x: " + b"[" * 3000 + b"]" * 3000, 1, 44, "more than 40 levels deep", ""),
    ("a list", b"- schema: 1\n", 1, 1, "lines of 'key: value'", "`schema: 1`"),
    ("no version", b"dishes: []\n", 1, 1, "'schema' is missing", "`schema: 1`"),
    ("a newer version", b"schema: 2\nrobots: 3\n", 1, 9, "written for version 2", "a newer Backtime"),
    ("a word as version", b"schema: one\n", 1, 9, "this is no version", "1"),
    ("an unknown part", b"schema: 1\nkitchn: {}\n", 2, 1, "no 'kitchn' here", "'kitchen'"),
    ("recipes that are no list", b"schema: 1\ndishes: {}\n", 2, 1, "a list is expected", "'- '"),
    ("a second kitchen", b"schema: 1\nkitchen: {}\n", 2, 1, "a second kitchen; the first", ""),
    ("a megabyte of letters", b"schema: 1\nx: " + b"a" * 900_000, 2, 4, "900,000 characters", ""),
]  # fmt: skip


@pytest.mark.parametrize("case", BAD_FILES, ids=[c[0] for c in BAD_FILES])
def test_a_bad_file_is_named_with_line_and_column(
    case: tuple[str, bytes, int, int, str, str], tmp_path: Path
) -> None:
    _, raw, line, column, what, maybe = case
    for name, text in FILES.items():
        (tmp_path / name).write_text(text, "utf-8")
    file = tmp_path / "zz.yaml"
    file.write_bytes(raw)
    found = [p for p in problems(tmp_path) if p.file == str(file)]
    assert [(p.line, p.column) for p in found] == [(line, column)], [str(p) for p in found]
    assert what in found[0].what
    assert maybe in found[0].maybe
    assert bool(maybe) == bool(found[0].maybe)


def test_a_line_reads_as_people_read_it() -> None:
    problem = Problem("week.yaml", 3, 7, "recipe rye-rolls, step bake, time", "it is odd.", "'1 h'")
    assert str(problem) == (
        "week.yaml:3:7  recipe rye-rolls, step bake, time: it is odd. Maybe '1 h'"
    )
    assert str(Problem("week.yaml", None, None, "", "gone")) == "week.yaml: gone"


def test_what_is_typed_in_cannot_drive_the_terminal() -> None:
    line = str(Problem("a\x1b[2J.yaml", 1, 1, "x\ny", "'\x1b]0;'" + "z" * 9000))
    assert "\x1b" not in line
    assert "\n" not in line
    assert len(line) < 600


@pytest.fixture
def whole() -> Scenario:
    return read_scenario(EVERYTHING)


def test_a_byte_order_mark_and_windows_lines_lose_nothing(tmp_path: Path, whole: Scenario) -> None:
    for name, text in FILES.items():
        raw = b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode()
        (tmp_path / name).write_bytes(raw)
    assert read_scenario(tmp_path) == whole


def test_recipes_may_stand_in_any_number_of_files(tmp_path: Path, whole: Scenario) -> None:
    joined = "schema: 1\n" + "".join(t.removeprefix("schema: 1\n") for t in FILES.values())
    (tmp_path / "all.yaml").write_text(joined, "utf-8")
    assert read_scenario(tmp_path) == whole
    (tmp_path / "all.yaml").unlink()
    for name, text in FILES.items():
        head, _, rest = text.partition("dishes:\n")
        (tmp_path / name).write_text(head, "utf-8")
        if rest:
            (tmp_path / f"more-{name}").write_text(f"schema: 1\ndishes:\n{rest}", "utf-8")
    (tmp_path / ".backup.yaml").write_text("not: read", "utf-8")
    assert read_scenario(tmp_path) == whole


def test_positions_survive_windows_lines(tmp_path: Path) -> None:
    file = spoilt(tmp_path, "guests: 80", "guests: eighty")
    text = file.read_text("utf-8")
    file.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    (found,) = problems(tmp_path)
    assert (found.line, found.column) == place(text, "eighty")


def test_aliases_are_written_out_and_capped(tmp_path: Path) -> None:
    spoilt(tmp_path, "shifts: [{days: [daily], hours: 13:00-22:00}]", "shifts: &late [{days: "
           "[daily], hours: 13:00-22:00}]")  # fmt: skip
    (tmp_path / "zz.yaml").write_text(
        "schema: 1\ncomponents:\n" + "  - *x\n" * 3, "utf-8"
    )
    assert "'*x' refers to nothing" in problems(tmp_path)[0].what
    many = "schema: 1\na: &a 1\nb: [" + "*a, " * 101 + "]\n"
    (tmp_path / "zz.yaml").write_text(many, "utf-8")
    assert "more than 100 aliases" in problems(tmp_path)[0].what
    (tmp_path / "zz.yaml").unlink()
    assert problems(tmp_path) == ()


def test_an_alias_bomb_is_stopped_while_reading(tmp_path: Path) -> None:
    lines = ["schema: 1", "a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 11)]
    (tmp_path / "bomb.yaml").write_text("\n".join(lines), "utf-8")
    assert "entries, aliases written out" in problems(tmp_path)[0].what
    lines = ["schema: 1", "a0: &a0 [x]"]
    lines += [f"a{i}: &a{i} [[[[[[*a{i - 1}]]]]]]" for i in range(1, 90)]
    (tmp_path / "bomb.yaml").write_text("\n".join(lines), "utf-8")
    assert "levels deep, aliases written out" in problems(tmp_path)[0].what


def test_fifty_megabytes_are_left_unread(tmp_path: Path) -> None:
    with (tmp_path / "huge.yaml").open("wb") as file:
        file.truncate(50_000_000)
    (found,) = problems(tmp_path)
    assert "50,000,000 bytes, left unread" in found.what
    (tmp_path / "huge.yaml").write_bytes(b"schema: 1\n" + b"#" * 1_200_000)
    (tmp_path / "more.yaml").write_bytes(b"schema: 1\n" + b"#" * 1_200_000)
    assert any("all files together" in p.what for p in problems(tmp_path))


def test_folders_that_are_none_say_so(tmp_path: Path) -> None:
    (tmp_path / "spring").mkdir()
    (found,) = problems(tmp_path / "sprong")
    assert "there is no such folder" in found.what
    assert found.maybe == str(tmp_path / "spring")
    (found,) = problems(tmp_path / "spring")
    assert "no *.yaml file" in found.what
    (tmp_path / "file").write_text("x")
    (found,) = problems(tmp_path / "file")
    assert "this is a file" in found.what
    (tmp_path / "spring" / "week.yml").write_text("schema: 1")
    assert any("week.yaml" in p.maybe for p in problems(tmp_path / "spring"))
    (tmp_path / "spring" / "dir.yaml").mkdir()
    assert any("this is not a file" in p.what for p in problems(tmp_path / "spring"))


def test_a_file_nobody_may_read_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = spoilt(tmp_path, "guests: 80", "guests: 80")
    opened = Path.open

    def refuse(self: Path, *args: object, **more: object) -> object:
        if self == file:
            raise PermissionError(13, "Permission denied")
        return opened(self, *args, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refuse)
    (found,) = problems(tmp_path)
    assert str(found) == f"{file}: it cannot be read: permission denied"


def test_a_missing_part_is_named(tmp_path: Path) -> None:
    (tmp_path / "kitchen.yaml").write_text(FILES["kitchen.yaml"], "utf-8")
    assert [p.what for p in problems(tmp_path)] == [
        "there is no 'week' anywhere",
        "there is no 'dishes' anywhere",
    ]


def test_everything_wrong_is_said_at_once_over_all_files(tmp_path: Path) -> None:
    spoilt(tmp_path, "per_hour: 200", "per_hour: 0")
    kitchen = (tmp_path / "kitchen.yaml").read_text("utf-8")
    (tmp_path / "kitchen.yaml").write_text(kitchen.replace("fill: 5 kg", "fill: 5 kgs"), "utf-8")
    week = (tmp_path / "week.yaml").read_text("utf-8")
    week = week.replace("guests: 80", "guests: -1").replace("component: seed-paste", "component: x")
    (tmp_path / "week.yaml").write_text(week, "utf-8")
    found = problems(tmp_path)
    assert [Path(p.file).name for p in found] == [
        "kitchen.yaml", "recipes.yaml", "week.yaml", "week.yaml",
    ]  # fmt: skip
    with pytest.raises(BadInput) as bad:
        read_scenario(tmp_path)
    assert str(bad.value).count("\n") == 3


def test_letters_composed_or_not_are_one_name(tmp_path: Path) -> None:
    spoilt(tmp_path, "name: Ida", f"name: {unicodedata.normalize('NFD', 'Zoé')}")
    assert read_scenario(tmp_path).person["ida"].name == unicodedata.normalize("NFC", "Zoé")
    spoilt(tmp_path, "name: Ida", f"name: {unicodedata.normalize('NFD', 'Zoé')}")
    kitchen = (tmp_path / "kitchen.yaml").read_text("utf-8")
    text = kitchen.replace("- id: bo\n", f"- id: bo\n      name: {unicodedata.normalize('NFC', 'Zoé')}\n")
    (tmp_path / "kitchen.yaml").write_text(text, "utf-8")
    (found,) = problems(tmp_path)
    assert "is also that of ida" in found.what
