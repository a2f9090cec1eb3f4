"""Files as they were imported: what a folder is laid out by, and where comments survive."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, func, select

from scheduler.book.layout import Source
from scheduler.book.tables import sources


def imported(
    connection: Connection, kitchen: str, week: str, *, of_another: bool = True
) -> tuple[Source, ...]:
    """The files of a week's last import, in their order; none where there was none.

    Parameters
    ----------
    of_another : bool
        A week that was never imported is laid out as the kitchen's last import was.
    """
    last = select(func.max(sources.c.number)).where(sources.c.kitchen == kitchen)
    number = connection.execute(last.where(sources.c.week == week)).scalar()
    if number is None and of_another:
        number = connection.execute(last).scalar()
    if number is None:
        return ()
    asked = (
        select(sources.c.file, sources.c.text, sources.c.holds)
        .where(sources.c.kitchen == kitchen, sources.c.number == number)
        .order_by(sources.c.place)
    )
    return tuple(
        Source(row.file, row.text, tuple((kind, id, sha256) for kind, id, sha256 in row.holds))
        for row in connection.execute(asked)
    )


def keep(connection: Connection, kitchen: str, week: str, files: Sequence[Source]) -> bool:
    """Keep the files of an import, unless they are those of the one before; were they kept?"""
    if imported(connection, kitchen, week, of_another=False) == tuple(files):
        return False
    last = select(func.max(sources.c.number)).where(sources.c.kitchen == kitchen)
    number = (connection.execute(last).scalar() or 0) + 1
    rows = [
        {
            "kitchen": kitchen, "number": number, "file": file.file, "week": week, "place": place,
            "text": file.text, "holds": [list(one) for one in file.holds],
        }
        for place, file in enumerate(files)
    ]  # fmt: skip
    connection.execute(sources.insert(), rows)
    return True
