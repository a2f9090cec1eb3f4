"""A written week comes into the book from a folder, and goes out into one again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

from sqlalchemy import Connection, select

from scheduler.book.differences import Difference, differences
from scheduler.book.documents import Change, Revision, save, scenario
from scheduler.book.errors import BookError
from scheduler.book.folder import Put, put
from scheduler.book.layout import Key, Page, Source, laid_out
from scheduler.book.names import portable
from scheduler.book.opening import Book
from scheduler.book.revisions import PLACES, Body, Kind, digest, documents_of, heads_of, held, known
from scheduler.book.roles import CHEF, LEADS, Who, may
from scheduler.book.sources import imported, keep
from scheduler.book.tables import revisions
from scheduler.book.telling import document
from scheduler.domain.base import SCHEMA
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import WrittenFile, read_scenario
from scheduler.domain.scenario import Scenario
from scheduler.domain.yaml_writing import write_yaml

_RECIPES = ("component", "dish")
_MOST = 3


class Ahead(BookError):
    """The book has something newer than what is to be imported; nothing was.

    Attributes
    ----------
    differences : tuple of Difference
        What would change in the book.
    """

    def __init__(self, theirs: Sequence[Revision], changes: Sequence[Difference]) -> None:
        self.differences = tuple(changes)
        told = [
            f"{document(r.kind, r.id)} ({'thrown out' if r.gone else 'saved'} by {r.who} "
            f"{r.at:%Y-%m-%d %H:%M} UTC, revision {r.number})"
            for r in theirs[:_MOST]
        ]
        more = f" and {len(theirs) - _MOST} more" if theirs[_MOST:] else ""
        super().__init__(
            f"Nothing was imported: the book is further on with {', '.join(told)}{more}. "
            "With --over what the folder says becomes the newest revision; nothing is lost."
        )


@dataclass(frozen=True, slots=True)
class Imported:
    """What came of an import.

    Attributes
    ----------
    new : tuple of Key
        Documents that the book did not have.
    changed : tuple of Difference
        In those that it had.
    kept : bool
        Are the files others than those of the import before?
    besides : tuple of Key
        Recipes that the book has and the folder has not; they stay.
    """

    new: tuple[Key, ...]
    changed: tuple[Difference, ...]
    kept: bool
    besides: tuple[Key, ...]


@dataclass(frozen=True, slots=True)
class Exported:
    """What came of an export.

    Attributes
    ----------
    put : Put
    as_imported, anew : tuple of str
        Files with the text that was imported, and those that were written from the book.
    """

    put: Put
    as_imported: tuple[str, ...]
    anew: tuple[str, ...]


@may(CHEF)
def import_week(
    book: Book, who: Who, week: Scenario, files: Sequence[WrittenFile], *, over: bool = False
) -> Imported:
    """Import a kitchen, its recipes and a week from a folder.

    What is equal makes no revision. What somebody has edited in the folder since its last
    import becomes a new one; where the book was edited as well, or the folder is older than
    the book, only if they say so. Recipes that are not in the folder stay.

    Parameters
    ----------
    week, files
        As from `read_written`.
    over : bool
        Over newer revisions, too.

    Raises
    ------
    Ahead
    BadInput
        What is wrong with it beside the other recipes of the book.
    """
    if week.kitchen.id != who.kitchen:
        raise BookError(f"This is kitchen {week.kitchen.id}, and you are in {who.kitchen}.")
    bodies = cast("dict[Key, Body]", documents_of(week))
    with book.reading() as connection:
        heads: dict[Key, Revision] = {r.key: r for r in heads_of(connection, who.kitchen).values()}
        last = {
            (kind, id): sha256
            for source in imported(connection, who.kitchen, week.week.id, of_another=False)
            for kind, id, sha256 in source.holds
        }
        other = {
            k: b for k, b in bodies.items()
            if k in heads and (heads[k].damaged or heads[k].sha256 != digest(b))
        }  # fmt: skip
        once = _once(connection, who.kitchen, other)
    changes = {k: differences(heads[k].kept, body, document(*k)) for k, body in other.items()}
    ahead = [
        k for k, body in other.items()
        if heads[k].sha256 != digest(body)  # else it is damaged, and here is what it was
        and (heads[k].sha256 != last.get(k) or k in once)
    ]  # fmt: skip
    if ahead and not over:
        raise Ahead([heads[k] for k in ahead], [d for k in ahead for d in changes[k]])
    new = tuple(key for key in bodies if key not in heads)
    wanted = [
        Change(cast("Kind", key[0]), key[1], bodies[key], heads[key].number if key in heads else 0)
        for key in (*new, *other)
    ]
    if wanted:
        save(book, who, wanted, week.week.id)
    names = portable([file.name for file in files])
    texts = [
        Source(name, file.text, tuple((*key, digest(bodies[key])) for key in file.holds))
        for name, file in zip(names, files, strict=True)
    ]
    with book.writing() as connection:
        known(connection, who.kitchen, book.clock())
        held(connection, who.kitchen)
        kept = keep(connection, who.kitchen, week.week.id, texts)
    besides = tuple(
        key for key, head in sorted(heads.items())
        if key not in bodies and not head.gone and key[0] in _RECIPES
    )  # fmt: skip
    changed = tuple(d for some in changes.values() for d in some)
    return Imported(new, changed, kept, besides)


@may(LEADS)
def export_week(
    book: Book, who: Who, week: str, folder: Path, *, over: bool = False
) -> Exported:
    """Export kitchen, recipes and a week into a folder.

    Files stand as they were imported, to the byte, where nothing in them has changed; others
    are written anew from what the book has, in the same file and order. Before anything gets
    its name, all of it is read again and compared.

    Parameters
    ----------
    over : bool
        Files that no export wrote, or that were edited since, go aside.

    Raises
    ------
    NotThere
        There is no such week.
    InTheWay
        What is in the folder would be written over.
    BookError
        It cannot be written.
    """
    meant = scenario(book, who, week)
    bodies = cast("dict[Key, Body]", documents_of(meant))
    with book.reading() as connection:
        pages = laid_out(imported(connection, who.kitchen, week), bodies)
    as_it_was = {p.file: p.source.text for p in pages if p.source and _untouched(p, bodies)}
    anew = {p.file: _text(p, bodies) for p in pages if p.file not in as_it_was}

    def check(there: Path) -> None:
        try:
            read = read_scenario(there)
        except BadInput as bad:
            raise BookError(
                f"Nothing was written: what is in the book could not be read from '{folder}' "
                f"again ({bad.problems[0].what})."
            ) from None
        if read.canonical() != meant.canonical():
            raise BookError(
                f"Nothing was written: what would be read from '{folder}' is not what is in the "
                "book. This is a fault of Backtime."
            )

    done = put(folder, as_it_was | anew, check, over=over)
    return Exported(done, tuple(as_it_was), tuple(anew))


def _once(connection: Connection, kitchen: str, other: dict[Key, Body]) -> set[Key]:
    """Documents that were in the book before as they are to be now."""
    digests = {key: digest(body) for key, body in other.items()}
    asked = select(revisions.c.kind, revisions.c.id, revisions.c.sha256).where(
        revisions.c.kitchen == kitchen, revisions.c.sha256.in_(list(digests.values()))
    )
    rows = connection.execute(asked) if digests else ()
    return {(r.kind, r.id) for r in rows if digests.get((r.kind, r.id)) == r.sha256}


def _untouched(page: Page, bodies: dict[Key, Body]) -> bool:
    """Does the text that was imported still say what the book says?"""
    return page.source is not None and page.source.holds == tuple(
        (*key, digest(bodies[key])) for key in page.keys
    )


def _text(page: Page, bodies: dict[Key, Body]) -> str:
    """A file of some documents."""
    data: dict[str, Any] = {"schema": SCHEMA}
    for kind, id in page.keys:
        if kind in _RECIPES:
            data.setdefault(PLACES[kind], []).append(bodies[kind, id])
        else:
            data[kind] = bodies[kind, id]
    return write_yaml(data)
