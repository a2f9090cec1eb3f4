"""A folder that was exported can be copied to every system, and is read in the same order there."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.book.layout import Source, laid_out
from scheduler.book.names import is_portable, portable


@pytest.mark.parametrize(
    ("names", "become"),
    [
        (["dishes.yaml", "kitchen.yaml"], ["dishes.yaml", "kitchen.yaml"]),
        (["Küche 2.yaml"], ["Küche 2.yaml"]),
        (["con.yaml"], ["file-con.yaml"]),
        (["COM1.old.yaml"], ["com1-old.yaml"]),
        (["lpt¹.yaml"], ["file-lpt1.yaml"]),
        (["a:b.yaml", "c?.yaml"], ["a-b.yaml", "c.yaml"]),
        (["a .yaml", "b..yaml"], ["a.yaml", "b.yaml"]),
        (["\udcff.yaml"], ["file.yaml"]),
        (["x" * 240 + ".yaml"], ["x" * 60 + ".yaml"]),
        (["A.yaml", "a.yaml"], ["A.yaml", "a-2.yaml"]),  # one name where case does not count
        # Where the others would be read in another order, all get numbers.
        (["?z.yaml", "a.yaml"], ["1-z.yaml", "2-a.yaml"]),
    ],
)
def test_a_name_that_some_system_cannot_write_becomes_another(
    names: list[str], become: list[str]
) -> None:
    assert portable(names) == become
    assert all(map(is_portable, become))


# What Windows refuses: learn.microsoft.com/windows/win32/fileio/naming-a-file (from memory).
REFUSED = re.compile(r'[<>:"/\\|?*\x00-\x1f]|[ .]$|^(con|prn|aux|nul|com\d|lpt\d)(\.|$)', re.I)


@given(st.lists(st.text(min_size=1, max_size=250).map(lambda t: f"{t}.yaml"), unique=True))
def test_whatever_files_were_called_they_can_be_written_and_are_read_in_their_order(
    names: list[str],
) -> None:
    found = portable(sorted(names))
    assert found == sorted(found)
    assert len({name.casefold() for name in found}) == len(names)
    for name in found:
        assert not REFUSED.search(name)
        assert len(name.encode()) <= 255
        assert name.endswith(".yaml")


def held(*keys: tuple[str, str]) -> tuple[tuple[str, str, str], ...]:
    return tuple((kind, id, "") for kind, id in keys)


KITCHEN, WEEK = ("kitchen", "hof"), ("week", "may")
SOUP, STOCK, CON = ("dish", "soup"), ("component", "stock"), ("component", "con")


def test_documents_stay_in_their_files_and_new_ones_get_files_of_their_own() -> None:
    sources = [
        Source("component-con.yaml", "", held(STOCK, ("dish", "gone"))),
        Source("empty.yaml", "schema: 1", ()),
        Source("gone.yaml", "", held(("dish", "lost"))),
        Source("kitchen.yaml", "", held(KITCHEN, ("week", "april"))),
    ]
    pages = laid_out(sources, [WEEK, CON, SOUP, STOCK, KITCHEN])
    assert [(page.file, page.keys) for page in pages] == [
        ("component-con-2.yaml", (CON,)),
        ("component-con.yaml", (STOCK,)),
        ("dish-soup.yaml", (SOUP,)),
        ("empty.yaml", ()),
        ("kitchen.yaml", (KITCHEN,)),
        ("week.yaml", (WEEK,)),
    ]


def test_a_kitchen_of_many_recipes_still_fits_into_a_folder_that_is_read() -> None:
    many = [("component", f"c{n}") for n in range(400)] + [SOUP, KITCHEN, WEEK]
    assert [page.file for page in laid_out([], many)] == [
        "components.yaml", "dishes.yaml", "kitchen.yaml", "week.yaml",
    ]
