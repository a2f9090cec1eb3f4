"""Documents in the book, as rows: what a revision is, and finding the one that is wanted."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal, cast, get_args

from sqlalchemy import Connection, Row, Select, func, select, tuple_
from sqlalchemy.exc import IntegrityError

from scheduler.book.columns import canonical
from scheduler.book.layout import laid_out
from scheduler.book.proof import as_it_lies, as_saved, digest_of, document_damaged
from scheduler.book.sources import imported
from scheduler.book.tables import kitchens, revisions
from scheduler.domain.scenario import Scenario

Kind = Literal["kitchen", "component", "dish", "week"]
KINDS: tuple[Kind, ...] = get_args(Kind)
PLACES: dict[str, Literal["kitchen", "components", "dishes", "week"]] = {
    "kitchen": "kitchen", "component": "components", "dish": "dishes", "week": "week",
}  # fmt: skip
"""Where a scenario has the documents of each kind."""
Body = dict[str, Any]
Key = tuple[Kind, str]
Numbers = tuple[tuple[Kind, str, int], ...]
"""Documents, each in one of its revisions, as the table of plans keeps what one was made from."""
_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Revision:
    """A document as somebody saved it.

    Attributes
    ----------
    kitchen : str
    kind : str
        kitchen, component, dish or week.
    id : str
        The document's own id.
    number : int
        From 1, without gaps.
    kept : dict or None
        `body`, as far as there is one; nothing, too, where it is damaged.
    sha256 : str
        Of its canonical JSON, in hex.
    who : str
    at : datetime
        In UTC. The order of revisions is that of their numbers, not of these.
    damaged : bool
        Is what lies in the book not what was saved?
    """

    kitchen: str
    kind: Kind
    id: str
    number: int
    kept: Body | None
    sha256: str
    who: str
    at: datetime
    damaged: bool = False

    @property
    def body(self) -> Body | None:
        """Plain data as in `Scenario.document`; None: thrown out.

        Raises
        ------
        Damaged
            If it is not what was saved.
        """
        if self.damaged:
            raise document_damaged(self.kind, self.id, self.number)
        return self.kept

    @property
    def known(self) -> Body:
        """Its body, as far as one is known: of what is damaged or thrown out, its id."""
        return self.kept or {"id": self.id}

    @property
    def gone(self) -> bool:
        """Was it thrown out?"""
        return self.kept is None and not self.damaged

    @property
    def key(self) -> Key:
        """Which document it is of."""
        return self.kind, self.id


@dataclass(frozen=True, slots=True)
class Change:
    """What somebody wants a document to be.

    Attributes
    ----------
    kind, id : str
    body : dict or None
        Plain data; None throws it out.
    base : int
        The revision it was begun from; 0 for a new document.
    """

    kind: Kind
    id: str
    body: Body | None
    base: int

    @property
    def key(self) -> Key:
        """Which document it is of."""
        return self.kind, self.id


def documents_of(week: Scenario) -> dict[Key, Body]:
    """The documents of a scenario, in its order."""
    written = week.document()
    found: dict[Key, Body] = {}
    for kind in KINDS:
        there = written.get(PLACES[kind], ())
        for body in [there] if isinstance(there, dict) else there:
            found[kind, body["id"]] = body
    return found


def digest(body: Body | None) -> str:
    """SHA-256 of a document's canonical JSON, in hex."""
    return digest_of(canonical(body))


def heads_of(
    connection: Connection, kitchen: str, kinds: Iterable[str] | None = None
) -> dict[Key, Revision]:
    """The newest revision of every document of a kitchen, also of those thrown out."""
    newest = _newest(kitchen, kinds).subquery()
    found = _asked(connection).join(
        newest,
        (revisions.c.kitchen == kitchen)
        & (revisions.c.kind == newest.c.kind)
        & (revisions.c.id == newest.c.id)
        & (revisions.c.number == newest.c.number),
    )
    return _by_key(connection.execute(found))


def numbers_of(connection: Connection, kitchen: str) -> dict[Key, int]:
    """The number of the newest revision of every document of a kitchen."""
    return {
        (cast("Kind", row.kind), row.id): row.number
        for row in connection.execute(_newest(kitchen, None))
    }


def revisions_of(connection: Connection, kitchen: str, kind: str, id: str) -> list[Revision]:
    """All revisions of a document, first to newest."""
    found = _asked(connection).where(
        revisions.c.kitchen == kitchen, revisions.c.kind == kind, revisions.c.id == id
    )
    return [_revision(row) for row in connection.execute(found.order_by(revisions.c.number))]


def chosen(
    connection: Connection, kitchen: str, wanted: Iterable[tuple[str, str, int]]
) -> dict[Key, Revision]:
    """Documents in the revisions that are wanted, as far as there are such."""
    keys = list(wanted)
    columns = tuple_(revisions.c.kind, revisions.c.id, revisions.c.number)
    found: dict[Key, Revision] = {}
    for i in range(0, len(keys), _AT_ONCE):
        some = _asked(connection).where(
            revisions.c.kitchen == kitchen, columns.in_(keys[i : i + _AT_ONCE])
        )
        found |= _by_key(connection.execute(some))
    return found


def in_order(
    connection: Connection, kitchen: str, week: str, documents: Mapping[Key, Revision]
) -> list[Revision]:
    """Documents as a scenario has them: recipes as in the folder that they would be exported to."""
    pages = laid_out(imported(connection, kitchen, week), documents.keys())
    keys = (key for page in pages for key in page.keys)
    places = {key: place for place, key in enumerate(keys)}
    return sorted(
        documents.values(), key=lambda r: (KINDS.index(r.kind), places[r.key])
    )


def known(connection: Connection, kitchen: str, moment: datetime) -> None:
    """Note a kitchen that the book has not heard of yet; everything else hangs on it."""
    there = select(kitchens.c.id).where(kitchens.c.id == kitchen)
    if connection.execute(there).first() is None:
        try:
            with connection.begin_nested():
                connection.execute(kitchens.insert(), {"id": kitchen, "since": moment})
        except IntegrityError:
            pass  # Somebody else has just done it.


def held(connection: Connection, kitchen: str) -> bool:
    """Keep everybody else from saving in a kitchen until the transaction ends; is there one?

    On SQLite whoever writes is alone anyway.
    """
    row = select(kitchens.c.id).where(kitchens.c.id == kitchen).with_for_update(key_share=True)
    return connection.execute(row).first() is not None


def _asked(connection: Connection) -> Select[Any]:
    columns = [c for c in revisions.c if c.name != "body"]
    return select(*columns, as_it_lies(connection, revisions.c.body))


def _newest(kitchen: str, kinds: Iterable[str] | None) -> Select[Any]:
    found = (
        select(revisions.c.kind, revisions.c.id, func.max(revisions.c.number).label("number"))
        .where(revisions.c.kitchen == kitchen)
        .group_by(revisions.c.kind, revisions.c.id)
    )
    return found if kinds is None else found.where(revisions.c.kind.in_(list(kinds)))


def _by_key(rows: Iterable[Row[Any]]) -> dict[Key, Revision]:
    found = (_revision(row) for row in rows)
    return {r.key: r for r in found}


def _revision(row: Row[Any]) -> Revision:
    sound = as_saved(row.body, row.sha256)
    body = json.loads(row.body) if sound and row.body is not None else None
    sound = sound and (body is None or isinstance(body, dict))
    return Revision(
        row.kitchen, row.kind, row.id, row.number, body if sound else None, row.sha256, row.who,
        row.at, not sound,
    )  # fmt: skip
