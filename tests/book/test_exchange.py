"""A folder goes into the book and comes out again as it was, and nobody's edits are lost by it."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from scheduler.book.documents import Change, heads, history, revision, save, scenario
from scheduler.book.errors import BookError, NotAllowed, NotThere
from scheduler.book.exchange import Ahead, Exported, Imported, export_week, import_week
from scheduler.book.folder import MARK, InTheWay
from scheduler.book.opening import Book
from scheduler.book.roles import Role, Who
from scheduler.domain.finding import find_scenario, shipped
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import read_scenario, read_written
from tests.book.kitchens import document, new

FIRST = document("first-week")
WHO = Who("corner-house", "ada", Role.CHEF)


def imported(book: Book, folder: Path, *, over: bool = False) -> Imported:
    week, files = read_written(folder)
    return import_week(book, Who(week.kitchen.id, "ada", Role.CHEF), week, files, over=over)


def exported(book: Book, folder: Path, *, over: bool = False) -> Exported:
    return export_week(book, WHO, "first-week", folder, over=over)


def texts(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in sorted(folder.iterdir()) if p.is_file()}


def edited(folder: Path, old: str, new: str) -> None:
    """Somebody types something else into a file of a folder."""
    for file in folder.glob("*.yaml"):
        text = file.read_text("utf-8")
        file.write_text(text.replace(old, new), "utf-8")


def in_the_book(book: Book, kind: str, id: str, **fields: object) -> None:
    """Somebody saves a recipe in the app."""
    head = revision(book, WHO, kind, id)  # type: ignore[arg-type]
    body = (head.body or {}) | fields
    save(book, WHO, [Change(head.kind, id, body, head.number)], "first-week")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of the user's own."""
    return shutil.copytree(find_scenario("first-week"), tmp_path / "mine")


@pytest.fixture
def kept(book: Book, folder: Path) -> Book:
    """A book into which it was imported."""
    imported(book, folder)
    return book


@pytest.mark.parametrize("name", shipped())
def test_a_week_comes_out_as_it_went_in_to_the_byte(book: Book, name: str, tmp_path: Path) -> None:
    source = find_scenario(name)
    week, files = read_written(source)
    who = Who(week.kitchen.id, "ada", Role.CHEF)
    done = import_week(book, who, week, files)
    assert (len(done.new), done.changed) == (2 + len(week.dishes) + len(
        week.document()["components"]), ())  # fmt: skip
    assert scenario(book, who, week.week.id).canonical() == week.canonical()
    out = export_week(book, who, week.week.id, tmp_path / "out")
    assert out.anew == ()
    assert read_scenario(tmp_path / "out") == week
    written = {n: t for n, t in texts(source).items() if n.endswith(".yaml")}
    assert {n: t for n, t in texts(tmp_path / "out").items() if n != MARK} == written
    export_week(book, who, week.week.id, tmp_path / "again")
    assert texts(tmp_path / "again") == texts(tmp_path / "out")


def test_importing_twice_changes_nothing_and_says_so(kept: Book, folder: Path) -> None:
    before = heads(kept, WHO)
    assert imported(kept, folder) == Imported((), (), False, ())
    assert heads(kept, WHO) == before


def test_what_changed_in_the_book_is_written_anew_and_every_other_file_keeps_its_comments(
    kept: Book, folder: Path, tmp_path: Path
) -> None:
    in_the_book(kept, "component", "pea-soup", name="Pea soup with mint: cold")
    out = exported(kept, tmp_path / "out")
    assert (out.as_imported, out.anew) == (("kitchen.yaml", "week.yaml"), ("recipes.yaml",))
    assert texts(tmp_path / "out")["kitchen.yaml"] == texts(folder)["kitchen.yaml"]
    read = read_scenario(tmp_path / "out")
    assert read.canonical() == scenario(kept, WHO, "first-week").canonical()
    assert [c.id for c in read.components] == [c["id"] for c in FIRST["components"]]
    assert read.component["pea-soup"].name == "Pea soup with mint: cold"
    # Into another book and out of it again: the same files.
    assert imported(kept, tmp_path / "out").changed == ()
    exported(kept, tmp_path / "again")
    assert texts(tmp_path / "again") == texts(tmp_path / "out")


def test_new_recipes_get_files_of_their_own_with_names_that_every_system_writes(
    kept: Book, tmp_path: Path
) -> None:
    soup = next(d for d in FIRST["dishes"] if d["id"] == "cold-soup")
    more = [Change("dish", id, soup | {"id": id}, 0) for id in ("con", "lpt1", "x" * 60)]
    save(kept, WHO, more, "first-week")
    exported(kept, tmp_path / "out")
    names = {n for n in texts(tmp_path / "out") if n.startswith("dish-")}
    assert names == {"dish-con.yaml", "dish-lpt1.yaml", f"dish-{'x' * 60}.yaml"}
    # What is planned from the book and what is read from the folder is one and the same.
    stored = scenario(kept, WHO, "first-week")
    assert read_scenario(tmp_path / "out").sha256() == stored.sha256()


def test_an_import_that_was_cut_off_after_its_documents_is_mended_by_the_next(
    book: Book, folder: Path, tmp_path: Path
) -> None:
    save(book, WHO, new(FIRST))
    before = heads(book, WHO)
    assert imported(book, folder) == Imported((), (), True, ())
    assert heads(book, WHO) == before
    assert exported(book, tmp_path / "out").anew == ()


def test_what_is_edited_in_the_folder_becomes_a_new_revision(kept: Book, folder: Path) -> None:
    edited(folder, "makes: 6 l", "makes: 8 l  # for the garden")
    done = imported(kept, folder)
    assert [d.says for d in done.changed] == ["recipe pea-soup, makes: 6 l -> 8 l"]
    assert [r.number for r in history(kept, WHO, "component", "pea-soup")] == [1, 2]
    assert revision(kept, WHO, "kitchen", "corner-house").number == 1
    assert not imported(kept, folder).kept


def test_a_comment_alone_is_kept_without_a_revision(
    kept: Book, folder: Path, tmp_path: Path
) -> None:
    edited(folder, "makes: 6 l", "makes: 6 l  # for the garden")
    assert imported(kept, folder) == Imported((), (), True, ())
    exported(kept, tmp_path / "out")
    assert b"# for the garden" in texts(tmp_path / "out")["recipes.yaml"]


def test_an_edit_in_the_app_is_not_lost_under_an_import(kept: Book, folder: Path) -> None:
    in_the_book(kept, "component", "pea-soup", makes="7 l")
    before = heads(kept, WHO)
    for makes in ("6 l", "9 l"):
        edited(folder, "makes: 6 l", f"makes: {makes}")
        with pytest.raises(Ahead, match=r"recipe pea-soup \(saved by ada .*--over") as ahead:
            imported(kept, folder)
        says = [d.says for d in ahead.value.differences]
        assert says == [f"recipe pea-soup, makes: 7 l -> {makes}"]
        assert heads(kept, WHO) == before
    assert imported(kept, folder, over=True).changed
    found = [r.body["makes"] for r in history(kept, WHO, "component", "pea-soup") if r.body]
    assert found == ["6 l", "7 l", "9 l"]


def test_an_old_copy_of_the_folder_does_not_go_over_a_newer_one(kept: Book, folder: Path) -> None:
    old = shutil.copytree(folder, folder.with_name("old"))
    edited(folder, "makes: 6 l", "makes: 8 l")
    imported(kept, folder)
    with pytest.raises(Ahead):
        imported(kept, old)
    assert imported(kept, old, over=True).changed


def test_another_week_of_the_kitchen_does_not_take_its_kitchen_back(
    kept: Book, folder: Path, tmp_path: Path
) -> None:
    edited(folder, "id: first-week", "id: second-week")
    edited(folder, "units: 4", "units: 3")
    with pytest.raises(Ahead, match="kitchen corner-house"):
        imported(kept, folder)
    edited(folder, "units: 3", "units: 4")
    assert imported(kept, folder).new == (("week", "second-week"),)
    exported(kept, tmp_path / "out")
    assert read_scenario(tmp_path / "out").document() == FIRST


def test_a_week_that_was_never_in_a_folder_is_laid_out_as_the_others(
    kept: Book, folder: Path, tmp_path: Path
) -> None:
    week = FIRST["week"] | {"id": "third-week", "name": "Third"}
    save(kept, WHO, [Change("week", "third-week", week, 0)], "third-week")
    out = export_week(kept, WHO, "third-week", tmp_path / "out")
    assert (out.as_imported, out.anew) == (("kitchen.yaml", "recipes.yaml"), ("week.yaml",))
    assert read_scenario(tmp_path / "out").week.name == "Third"


def test_files_with_names_that_some_systems_cannot_write_come_out_under_others(
    book: Book, folder: Path, tmp_path: Path
) -> None:
    (folder / "kitchen.yaml").rename(folder / "a: kitchen?.yaml")
    (folder / "recipes.yaml").rename(folder / "CON.yaml")
    imported(book, folder)
    exported(book, tmp_path / "out")
    assert sorted(texts(tmp_path / "out")) == [
        MARK, "1-file-con.yaml", "2-a-kitchen.yaml", "3-week.yaml",
    ]
    assert read_scenario(tmp_path / "out") == read_scenario(folder)


def test_a_byte_order_mark_and_lines_of_windows_come_out_as_they_went_in(
    book: Book, folder: Path, tmp_path: Path
) -> None:
    raw = (folder / "week.yaml").read_text("utf-8").replace("\n", "\r\n").encode("utf-8-sig")
    (folder / "week.yaml").write_bytes(raw)
    imported(book, folder)
    exported(book, tmp_path / "out")
    assert texts(tmp_path / "out")["week.yaml"] == raw


def test_exporting_over_what_was_edited_since_asks_first(kept: Book, tmp_path: Path) -> None:
    exported(kept, tmp_path / "out")
    edited(tmp_path / "out", "makes: 6 l", "makes: 8 l")
    mine = texts(tmp_path / "out")
    with pytest.raises(InTheWay, match=r"recipes\.yaml"):
        exported(kept, tmp_path / "out")
    assert texts(tmp_path / "out") == mine
    aside = exported(kept, tmp_path / "out", over=True).put.aside
    assert aside is not None
    assert texts(aside)["recipes.yaml"] == mine["recipes.yaml"]


def test_a_recipe_that_clashes_with_the_book_is_not_imported(kept: Book, folder: Path) -> None:
    before = heads(kept, WHO)
    edited(folder, "oven", "bread-oven")
    edited(folder, "id: first-week", "id: second-week")
    (folder / "dish.yaml").write_text("schema: 1\ndishes:\n  - {id: pea-soup, section: larder}\n")
    with pytest.raises((BadInput, BookError)):
        imported(kept, folder, over=True)
    assert heads(kept, WHO) == before


def test_cooks_neither_import_nor_export_and_a_sous_does_not_import(
    kept: Book, folder: Path, tmp_path: Path
) -> None:
    week, files = read_written(folder)
    with pytest.raises(NotAllowed, match="takes a chef"):
        import_week(kept, Who("corner-house", "sou", Role.SOUS), week, files)
    with pytest.raises(NotAllowed):
        export_week(kept, Who("corner-house", "co", Role.COOK), "first-week", tmp_path / "out")
    with pytest.raises(BookError, match="This is kitchen corner-house"):
        import_week(kept, Who("hof", "ada", Role.CHEF), week, files)


def test_a_week_that_is_not_there_is_not_exported(kept: Book, tmp_path: Path) -> None:
    with pytest.raises(NotThere, match="Maybe 'first-week'"):
        export_week(kept, WHO, "frist-week", tmp_path / "out")
    assert not os.path.exists(tmp_path / "out")
