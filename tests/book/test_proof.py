"""What lies in the book and is not what was saved is found out, named, and costs nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import text

from scheduler.book.backup import backup
from scheduler.book.documents import Change, heads, made_from, revision, save, scenario, weeks
from scheduler.book.drafts import drafts
from scheduler.book.errors import BookError
from scheduler.book.exchange import import_week
from scheduler.book.listing import kitchens
from scheduler.book.opening import Book, open_book, unmade
from scheduler.book.overview import overview
from scheduler.book.plans import plan, plans_of, text_of
from scheduler.book.proof import Damaged
from scheduler.book.restore import restore
from scheduler.book.roles import Role, Who
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_written
from tests.book.conftest import new_address
from tests.book.filled import AT, fill

WHO = Who("corner-house", "ada", Role.CHEF)
HOF = Who("hof", "ada", Role.CHEF)
SAYS = r"is damaged in the book: it is not what was saved"


def imported(book: Book) -> Book:
    week, files = read_written(find_scenario("first-week"))
    import_week(book, WHO, week, files)
    return book


def damage(book: Book, id: str, body: str = "replace(body, 'a', 'e')") -> None:
    """Somebody, or a disk, changes a document behind the book's back."""
    with book.writing() as connection:
        connection.execute(text(f"UPDATE revisions SET body = {body} WHERE id = :id"), {"id": id})


BODIES = ["replace(body, 'a', 'e')", "'{'", "NULL", "'[1]'", "''"]


@pytest.mark.parametrize("body", BODIES)
def test_a_damaged_recipe_is_named_and_never_cooked_from_while_the_others_can_be_read(
    book: Book, body: str
) -> None:
    damage(imported(book), "pea-soup", body)
    with pytest.raises(Damaged, match=rf"recipe pea-soup \(revision 1\) {SAYS}.*import FOLDER"):
        _ = revision(book, WHO, "component", "pea-soup").body
    with pytest.raises(Damaged, match="recipe pea-soup"):
        scenario(book, WHO, "first-week")
    others = [r for r in heads(book, WHO) if r.id != "pea-soup"]
    assert len(others) == 7
    assert all(r.body for r in others)
    assert [w.id for w in weeks(book, WHO)] == ["first-week"]
    ((one,),) = ([k.damaged for k in overview(book, WHO).kitchens],)
    assert [r.id for r in one] == ["pea-soup"]


def test_a_byte_that_is_no_text_any_more_costs_one_recipe_and_not_all(tmp_path: Path) -> None:
    with new_address("sqlite", tmp_path / "book", None) as address:
        book = imported(open_book(address))
        damage(book, "pea-soup", "CAST(X'7B22FF227D' AS TEXT)")
        with pytest.raises(Damaged, match="recipe pea-soup"):
            scenario(book, WHO, "first-week")
        assert backup(book, WHO, tmp_path / "a.zip").damaged == [
            "recipe pea-soup (revision 1) of corner-house"
        ]
        book.close()


def test_importing_the_folder_again_mends_a_damaged_recipe(book: Book) -> None:
    damage(imported(book), "pea-soup")
    imported(book)
    assert revision(book, WHO, "component", "pea-soup").number == 2
    assert scenario(book, WHO, "first-week").week.id == "first-week"


def test_a_damaged_recipe_can_be_saved_over_from_any_revision_and_thrown_out(book: Book) -> None:
    imported(book)
    body = revision(book, WHO, "component", "pea-soup").body
    damage(book, "pea-soup")
    assert save(book, WHO, [Change("component", "pea-soup", body, 0)])[0].number == 2
    damage(book, "pea-soup")
    with pytest.raises(BookError, match="it is in"):
        save(book, WHO, [Change("component", "pea-soup", None, 2)])


def test_a_damaged_week_or_kitchen_hides_no_other_and_is_still_called_by_its_name(
    book: Book,
) -> None:
    damage(imported(book), "first-week")
    damage(book, "corner-house")
    assert [k.name for k in kitchens(book, WHO)] == ["corner-house"]
    assert weeks(book, WHO) == ()
    with pytest.raises(Damaged, match="kitchen corner-house"):
        scenario(book, WHO, "first-week")
    assert made_from(book, WHO, "first-week")


def test_a_damaged_plan_is_named_and_the_others_can_be_read(book: Book) -> None:
    fill(book)
    with book.writing() as connection:
        connection.execute(text("UPDATE plans SET body = '{ }' WHERE number = 2"))
    for ask in (text_of, plan):
        with pytest.raises(Damaged, match=r"Plan 2 is damaged .* Plan the week anew"):
            ask(book, HOF, 2)
    assert text_of(book, HOF, 1)
    assert len(plans_of(book, HOF)) == 3


@pytest.mark.parametrize(
    ("kind", "body"), [*(("sqlite", body) for body in BODIES), ("postgres", BODIES[0])]
)
def test_a_backup_of_a_damaged_book_says_what_is_damaged_and_keeps_the_rest(
    book: Book, tmp_path: Path, kind: str, body: str
) -> None:
    fill(imported(book))
    damage(book, "pea-soup", body)
    with book.writing() as connection:
        connection.execute(text("UPDATE plans SET body = '{ }' WHERE number = 2"))
    names = ["plan 2 of hof", "recipe pea-soup (revision 1) of corner-house"]
    assert backup(book, WHO, tmp_path / "a.zip").damaged == names
    with new_address(kind, tmp_path / "new", None) as address:
        new = unmade(address, clock=lambda: AT)
        assert restore(new, WHO, tmp_path / "a.zip").damaged == names
        with pytest.raises(Damaged, match="recipe pea-soup"):
            _ = revision(new, WHO, "component", "pea-soup").body
        with pytest.raises(Damaged, match="Plan 2"):
            text_of(new, HOF, 2)
        assert revision(new, WHO, "week", "first-week").body
        imported(new)
        assert scenario(new, WHO, "first-week").week.id == "first-week"
        new.close()


def test_a_draft_that_is_no_data_any_more_is_said_in_a_sentence_by_reading_and_by_backing_up(
    book: Book, tmp_path: Path
) -> None:
    fill(book)
    with book.writing() as connection:
        connection.execute(text("UPDATE drafts SET body = '{'"))
    for ask in (lambda: drafts(book, HOF), lambda: backup(book, HOF, tmp_path / "a.zip")):
        with pytest.raises(BookError, match=r"'\{' lies where data should\. .* is damaged: rest"):
            ask()
    assert list(tmp_path.glob("*.zip")) == []
