"""Whatever is in a file, the answer is a scenario or a list of mistakes, never a traceback."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import example, given, settings
from hypothesis import strategies as st

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import read_scenario, scenario_of
from scheduler.domain.yaml_text import read_file
from tests.domain.texts import EVERYTHING, FILES

WORDS = sorted({w for text in FILES.values() for w in text.replace(",", " ").split()})
PIECES = ["", " ", "\t", "\n", "- ", ": ", "{", "}", "[", "]", "&a ", "*a", "!!x ", "'", '"',
          "#", "? ", "<<: ", "~", "\x00", "\ud7ff", "é", "\u2028", "\x85", "%", "@", "0", "-1",
          "|\n", "1e9", "---\n", "9" * 20, ".inf", "null", "true", *WORDS]  # fmt: skip


def _read(files: dict[str, bytes]) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        for file, raw in files.items():
            (folder / file).write_bytes(raw)
        try:
            read_scenario(folder)
        except BadInput as bad:
            assert bad.problems
            assert str(bad).isprintable() or "\n" in str(bad)
            for problem in bad.problems:
                assert (problem.line or 1) >= 1 and (problem.column or 1) >= 1


@given(st.binary(max_size=300))
@example(b"[" * 2000)
@example(b"a: " * 500)
@example(b"'" + b"\n" * 500)
@example(b"- " * 500 + b"x")
@example("\u2028\x85a".encode())
@settings(max_examples=150, deadline=None)
def test_any_bytes_at_all(raw: bytes) -> None:
    tree, problem = read_file(raw, "x")
    assert (tree is None) != (problem is None)
    _read({"x.yaml": raw})


@given(st.lists(st.sampled_from(PIECES), max_size=40))
@settings(max_examples=150, deadline=None)
def test_any_words_of_the_format_in_any_order(words: list[str]) -> None:
    tree, problem = read_file("".join(words).encode(), "x")
    assert (tree is None) != (problem is None)


@given(st.sampled_from(sorted(FILES)), st.floats(0, 1), st.integers(0, 30), st.sampled_from(PIECES))
@settings(max_examples=40, deadline=None)
def test_a_good_week_with_something_typed_over(
    file: str, where: float, gone: int, new: str
) -> None:
    files = {name: text.encode() for name, text in FILES.items()}
    text = FILES[file]
    at = int(where * len(text))
    files[file] = (text[:at] + new + text[at + gone :]).encode()
    _read(files)


_anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12)
    | st.sampled_from(WORDS),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)  # fmt: skip
DOCUMENT = read_scenario(EVERYTHING).document()


def _places(part: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inside = part.items() if isinstance(part, dict) else enumerate(part)
    found = []
    for key, value in inside:
        found.append((*path, key))
        if isinstance(value, (dict, list)):
            found += _places(value, (*path, key))
    return found


PLACES = _places(DOCUMENT)


@given(st.lists(st.tuples(st.sampled_from(PLACES), _anything), min_size=1, max_size=3))
@settings(max_examples=60, deadline=None)
def test_plain_data_with_anything_anywhere(changes: list[tuple[tuple[Any, ...], Any]]) -> None:
    document = read_copy(DOCUMENT)
    for path, value in changes:
        here: Any = document
        try:
            for key in path[:-1]:
                here = here[key]
            here[path[-1]] = value
        except (KeyError, IndexError, TypeError):
            continue
    try:
        scenario_of(document)
    except BadInput as bad:
        assert bad.problems
        assert str(bad)


def read_copy(part: Any) -> Any:
    """A copy of plain data that shares nothing."""
    if isinstance(part, dict):
        return {k: read_copy(v) for k, v in part.items()}
    if isinstance(part, list):
        return [read_copy(v) for v in part]
    return part
