"""Documents that somebody has begun to edit: kept in the book as drafts until they are saved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from scheduler.book.differences import ABSENT, Difference, Merged, applied, differences, merged
from scheduler.book.documents import revision, save
from scheduler.book.drafts import drafts, drop_draft, keep_draft
from scheduler.book.errors import BookError, NotThere
from scheduler.book.merging import Conflict
from scheduler.book.opening import Book
from scheduler.book.revisions import KINDS, Body, Change, Key, Kind, Revision
from scheduler.book.roles import Who
from scheduler.domain.problems import BadInput, Problem
from ui.editing.models import in_order


@dataclass(frozen=True, slots=True)
class Begun:
    """A document as one person has it before them.

    Attributes
    ----------
    kind, id : str
    body : plain data
        As typed; as saved, where nothing has been typed.
    base : int
        The revision it was begun from; 0 for a new document.
    head : Revision or None
        The newest in the book.
    kept : bool
        Is there a draft, so that something may be lost?
    """

    kind: Kind
    id: str
    body: Any
    base: int
    head: Revision | None
    kept: bool

    @property
    def key(self) -> Key:
        """Which document it is."""
        return self.kind, self.id

    @property
    def form(self) -> str:
        """What its draft is called."""
        return form_of(self.kind, self.id)

    @property
    def overtaken(self) -> bool:
        """Has somebody else saved it since it was begun?"""
        newest = 0 if self.head is None else self.head.number
        thrown_out = self.head is not None and self.head.body is None
        return self.kept and newest != self.base and not (thrown_out and self.base == 0)

    @property
    def change(self) -> Change:
        """What saving it would ask of the book."""
        return Change(self.kind, self.id, self.body, self.base)


@dataclass(frozen=True, slots=True)
class Versions:
    """Two versions of a document that began from the same one.

    Attributes
    ----------
    theirs : Revision
    differences : tuple of Difference
        From theirs to what is typed here.
    both : Merged
        Put together; at a conflict it has what is typed here.
    """

    theirs: Revision
    differences: tuple[Difference, ...]
    both: Merged

    def put_together(self, mine_first: bool) -> Any:
        """Both together; where both changed the same, mine or theirs."""
        if mine_first:
            return self.both.body
        told = [c for c in self.both.conflicts if c.path[-1:] != ("order",)]
        return applied(self.both.body, map(_theirs, told))


def form_of(kind: str, id: str) -> str:
    """What the draft of a document is called."""
    return f"{kind} {id}"


def begun(book: Book, who: Who, kind: Kind, id: str) -> Begun:
    """Read a document as somebody has it before them.

    Raises
    ------
    NotThere
        It is neither in the book nor begun.
    """
    left = next((d for d in drafts(book, who) if d.form == form_of(kind, id)), None)
    try:
        head = revision(book, who, kind, id)
    except NotThere:
        if left is None:
            raise
        head = None
    if left is not None:
        body = in_order(kind, left.body)
        return Begun(kind, id, body, left.base or 0, head, True)
    if head is None or head.body is None:
        raise NotThere(f"{form_of(kind, id)} has been thrown out.")
    return Begun(kind, id, in_order(kind, head.body), head.number, head, False)


def all_begun(book: Book, who: Who) -> tuple[Key, ...]:
    """Every document that somebody has begun and not saved."""
    found = (d.form.partition(" ") for d in drafts(book, who))
    return tuple((k, id) for k, _, id in found if k in KINDS and " " not in id)


def keep(book: Book, who: Who, one: Begun, body: Any) -> None:
    """Keep what is typed; where that is what is saved already, nothing is begun any more."""
    if one.head is not None and one.base == one.head.number and body == one.head.body:
        drop_draft(book, who, one.form)
    else:
        keep_draft(book, who, one.form, body, one.base)


def rebase(book: Book, who: Who, one: Begun, body: Any) -> None:
    """Keep a version as one that was begun from the newest."""
    keep_draft(book, who, one.form, body, 0 if one.head is None else one.head.number)


def forget(book: Book, who: Who, one: Begun) -> None:
    """Throw away what was typed."""
    drop_draft(book, who, one.form)
    drop_draft(book, who, text_form(one))


def text_form(one: Begun) -> str:
    """What a draft of its text is called, where that cannot be read."""
    return f"text {one.kind} {one.id}"


def save_all(
    book: Book, who: Who, documents: Sequence[Begun], week: str | None
) -> tuple[Revision, ...]:
    """Save documents together, and end their drafts.

    Raises
    ------
    BookError, BadInput
        As `save`; nothing is saved then, and drafts stay.
    """
    for one in documents:
        if not isinstance(one.body, dict):
            what = "lines of 'key: value' are expected here"
            raise BadInput([Problem(one.form, None, None, "", what)])
    saved = save(book, who, [one.change for one in documents], week)
    for one in documents:
        forget(book, who, one)
    return saved


def throw_out(book: Book, who: Who, one: Begun) -> None:
    """Throw a document out of the book, with what was typed in it.

    Raises
    ------
    BookError
        `InUse`, where others need it.
    """
    if one.head is not None and one.head.body is not None:
        save(book, who, [Change(one.kind, one.id, None, one.base)])
    forget(book, who, one)


def versions(book: Book, who: Who, one: Begun) -> Versions:
    """What somebody else has saved meanwhile, beside what is typed here."""
    if one.head is None:
        raise BookError(f"Nobody has saved {one.form} yet.")
    before: Body | None = None
    if one.base:
        before = revision(book, who, one.kind, one.id, one.base).body
    theirs = one.head.body
    return Versions(
        one.head, differences(theirs, one.body), merged(before, one.body, theirs)
    )


def _theirs(conflict: Conflict) -> Difference:
    new = ABSENT if conflict.theirs is None else conflict.theirs
    return Difference(conflict.path, conflict.mine, new, None, conflict.says)
