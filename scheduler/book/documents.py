"""Documents of the book: kitchen, recipes and weeks, each save of one a revision of its own."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from sqlalchemy import Connection

from scheduler.book.differences import Difference, differences
from scheduler.book.errors import BookError, NotThere
from scheduler.book.listing import KeptKitchen as KeptKitchen
from scheduler.book.listing import KeptWeek as KeptWeek
from scheduler.book.listing import kitchens as kitchens
from scheduler.book.listing import weeks as weeks
from scheduler.book.opening import Book
from scheduler.book.revisions import Body as Body
from scheduler.book.revisions import Change as Change
from scheduler.book.revisions import Kind as Kind
from scheduler.book.revisions import Numbers as Numbers
from scheduler.book.revisions import Revision as Revision
from scheduler.book.revisions import (
    chosen,
    digest,
    heads_of,
    held,
    in_order,
    known,
    numbers_of,
    revisions_of,
)
from scheduler.book.roles import CHEF, LEADS, Who, may
from scheduler.book.saving import Clash as Clash
from scheduler.book.saving import Newer as Newer
from scheduler.book.saving import Seen, parts_of, ready
from scheduler.book.tables import revisions
from scheduler.book.telling import document, no_such
from scheduler.book.there import hanging_now
from scheduler.book.uses import belonging, reached
from scheduler.domain.reading import scenario_of_parts
from scheduler.domain.scenario import Scenario


@may(CHEF)
def save(
    book: Book, who: Who, changes: Iterable[Change], week: str | None = None
) -> tuple[Revision, ...]:
    """Save changes to the kitchen, recipes and weeks.

    All of it or nothing. What is equal to the newest revision makes no new
    one. Everything is checked together as it would be then: kitchen and
    recipes always, with each week that is saved and the one of `week`.

    Returns
    -------
    tuple of Revision
        The newest of each document now, in the order of the changes.

    Raises
    ------
    Newer
        Somebody else has saved one of them since; it carries both, and them put together.
    InUse
        What is to be thrown out is needed by another document, or on the wall.
    BadInput
        Every mistake that was found, each in its document.
    NotThere
        There is no such week, kitchen or revision.
    """
    wanted = tuple(changes)
    with book.reading() as connection:
        seen = _seen(connection, who.kitchen, wanted)
    new = ready(seen, who.kitchen, wanted, week)
    if not new:
        return tuple(seen.heads[c.key] for c in wanted)
    with book.writing() as connection:
        known(connection, who.kitchen, book.clock())
        held(connection, who.kitchen)
        # Checking takes a while, in which others may write; so it was done before, and is done
        # again only where somebody has saved meanwhile.
        if numbers_of(connection, who.kitchen) != seen.numbers() or (
            _walls(connection, who.kitchen) != seen.walls
        ):
            seen = _seen(connection, who.kitchen, wanted)
            new = ready(seen, who.kitchen, wanted, week)
        at, heads = book.clock(), dict(seen.heads)
        for (kind, id), body in new.items():
            number = heads[kind, id].number + 1 if (kind, id) in heads else 1
            heads[kind, id] = Revision(
                who.kitchen, kind, id, number, body, digest(body), who.person, at
            )
        if new:
            rows = [_row(heads[key]) for key in new]
            connection.execute(revisions.insert(), rows)
    return tuple(heads[c.key] for c in wanted)


@may(CHEF)
def would_change(
    book: Book, who: Who, changes: Iterable[Change], week: str | None = None
) -> tuple[Difference, ...]:
    """Read what a save would make different; nothing is saved.

    Raises
    ------
    Newer, InUse, BadInput, NotThere
        As `save` would.
    """
    with book.reading() as connection:
        seen = _seen(connection, who.kitchen, wanted := tuple(changes))
    new = ready(seen, who.kitchen, wanted, week)
    before = {key: head.body for key, head in seen.heads.items()}
    return tuple(
        one for key, body in new.items()
        for one in differences(before.get(key), body, document(*key))
    )  # fmt: skip


@may(LEADS)
def heads(
    book: Book, who: Who, kinds: Collection[Kind] | None = None, thrown_out: bool = False
) -> tuple[Revision, ...]:
    """Read the newest revision of every document.

    Parameters
    ----------
    kinds : collection of str, optional
        Only of these kinds.
    thrown_out : bool
        Also of what has been thrown out.
    """
    with book.reading() as connection:
        found = heads_of(connection, who.kitchen, kinds)
    some = (r for r in found.values() if thrown_out or not r.gone)
    return tuple(sorted(some, key=lambda r: (r.kind, r.id)))


@may(LEADS)
def revision(book: Book, who: Who, kind: Kind, id: str, number: int | None = None) -> Revision:
    """Read a document as it is or once was.

    Parameters
    ----------
    number : int, optional
        Left out: the newest, also where that says that it was thrown out.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        last = numbers_of(connection, who.kitchen)
        if (kind, id) not in last:
            raise NotThere(no_such(kind, id, [i for k, i in last if k == kind]))
        wanted = last[kind, id] if number is None else number
        found = chosen(connection, who.kitchen, [(kind, id, wanted)])
    if not found:
        raise NotThere(
            f"There is no revision {number} of {document(kind, id)}; the newest is "
            f"{last[kind, id]}."
        )
    return found[kind, id]


@may(LEADS)
def history(book: Book, who: Who, kind: Kind, id: str) -> tuple[Revision, ...]:
    """Read every revision of a document, from its first to its newest.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        found = tuple(revisions_of(connection, who.kitchen, kind, id))
        if not found:
            there = [i for k, i in numbers_of(connection, who.kitchen) if k == kind]
            raise NotThere(no_such(kind, id, there))
    return found


@may(LEADS)
def scenario(
    book: Book, who: Who, week: str, made_from: Iterable[Sequence[object]] | None = None
) -> Scenario:
    """Read kitchen, recipes and a week as one checked scenario.

    Components that neither a dish nor this week needs are left out.

    Parameters
    ----------
    made_from : iterable of (kind, id, number), optional
        As it was then, recipes in that order; left out: as it is now. To be
        sure which revisions were read, ask `made_from` first and read those.

    Raises
    ------
    NotThere
    BadInput
        Where recipes have become such that this week cannot be read with them.
    """
    with book.reading() as connection:
        if made_from is None:
            found = _newest(connection, who.kitchen, week)
        else:
            found = list(_as_of(connection, who.kitchen, _numbers(made_from)))
    bodies = {r.key: r.body or {} for r in found if not r.gone}
    if ("week", week) not in bodies:
        raise NotThere(f"week {week} is not among these revisions.")
    return scenario_of_parts(parts_of(bodies), document("week", week))


@may(LEADS)
def made_from(book: Book, who: Who, week: str) -> Numbers:
    """Read in which revisions kitchen, recipes and a week are now.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        return tuple((r.kind, r.id, r.number) for r in _newest(connection, who.kitchen, week))


@may(LEADS)
def changed_since(
    book: Book, who: Who, made_from: Iterable[Sequence[object]]
) -> tuple[Difference, ...]:
    """Read what has changed since a plan was made, as far as its week has to do with it.

    Parameters
    ----------
    made_from : iterable of (kind, id, number)
        What the plan was made from.

    Raises
    ------
    NotThere
        The book has no such revision.
    BookError
        It is something else.

    Returns
    -------
    tuple of Difference
        Of the kitchen, the week, and recipes that the week needs or needed; none: it is all as
        it was.
    """
    numbers = _numbers(made_from)
    lacking = {"kitchen", "week"} - {kind for kind, _, _ in numbers}
    if lacking:
        lacks = min(lacking)
        raise BookError(f"Every plan was made from a kitchen and a week; here is no {lacks}.")
    with book.reading() as connection:
        then = {r.key: r for r in _as_of(connection, who.kitchen, numbers)}
        now = heads_of(connection, who.kitchen)
    before = {key: r.known for key, r in then.items() if not r.gone}
    after = {key: r.known for key, r in now.items() if not r.gone}
    begin = [key for key in then if key[0] in ("kitchen", "week")]
    concerned = reached(before, begin) | reached(after, begin)
    found: list[Difference] = []
    for key in [*before, *sorted(after.keys() - before.keys())]:
        if key in concerned:
            old, new = (r[key].body if key in r else None for r in (then, now))
            found += differences(old, new, document(*key))
    return tuple(found)


def _seen(connection: Connection, kitchen: str, changes: Sequence[Change]) -> Seen:
    heads = heads_of(connection, kitchen)
    begun = chosen(connection, kitchen, [(*c.key, c.base) for c in changes if c.base > 0])
    return Seen(heads, begun, _walls(connection, kitchen))


def _walls(connection: Connection, kitchen: str) -> dict[str, int]:
    return {week: row.number for week, row in hanging_now(connection, kitchen).items()}


def _row(one: Revision) -> dict[str, object]:
    return {c.name: getattr(one, c.name) for c in revisions.c}


def _newest(connection: Connection, kitchen: str, week: str) -> list[Revision]:
    """The documents of a week's scenario, in its order."""
    found = {key: r for key, r in heads_of(connection, kitchen).items() if not r.gone}
    if ("week", week) not in found:
        there = [id for kind, id in found if kind == "week"]
        raise NotThere(no_such("week", week, there))
    mine = belonging({key: r.known for key, r in found.items()}, week)
    return in_order(connection, kitchen, week, {key: found[key] for key in mine})


def _as_of(connection: Connection, kitchen: str, numbers: Numbers) -> Iterable[Revision]:
    """Documents in given revisions, in their order."""
    found = chosen(connection, kitchen, numbers)
    for kind, id, number in numbers:
        if (kind, id) not in found:
            raise NotThere(f"The book has no revision {number} of {document(kind, id)}.")
    return [found[kind, id] for kind, id, _ in numbers]


def _numbers(made_from: Iterable[Sequence[object]]) -> Numbers:
    """As they come out of a plan's row: lists of a list."""
    try:
        return tuple((str(kind), str(id), int(str(n))) for kind, id, n in made_from)  # type: ignore[misc]
    except (TypeError, ValueError):
        raise BookError(
            "What a plan was made from is a list of kinds, ids and revisions, as [week, gala, 3]; "
            f"{str(made_from)[:80]} is not."
        ) from None
