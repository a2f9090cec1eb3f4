"""A page of an Office Open XML workbook as cells."""

from __future__ import annotations

import io
import zipfile
from typing import Any

from scheduler.domain.problems import BadInput, Problem, nearest, one_of
from scheduler.pasted.grid import MOST_ROWS, Grid, Mistakes, Value, checked

MOST_BYTES = 20 * 2**20
_MOST_UNPACKED = 200 * 2**20
"""A file of a few kilobytes can unpack to gigabytes."""
_ERRORS = frozenset(("#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!"))


def opened(raw: bytes, source: str, page: str | None = None) -> Grid:
    """A page of a workbook.

    A merged cell counts in each of its rows, in its first column. Of a formula the value counts
    that the program has saved.

    Parameters
    ----------
    page : str, optional
        Which; left out: the one that is looked at when the file is opened.

    Raises
    ------
    BadInput
        It is no workbook, too large, has no such page, or formulas without a value.
    """
    from openpyxl import load_workbook

    _small(raw, source)
    try:
        book = load_workbook(io.BytesIO(raw))
        values = load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
        names = [sheet.title for sheet in book.worksheets]
        wanted = page if page is not None else _looked_at(book)
        if wanted not in names:
            meant = nearest(wanted, names)
            maybe = f"Maybe '{meant}'" if meant else f"There are {one_of(names)}"
            raise _refused(source, f"there is no page '{wanted}'. {maybe}")
        sheet, rows = book[wanted], _written(values[wanted])
    except BadInput:
        raise
    except Exception as error:  # whatever is wrong inside a zip of XML
        raise _unread(source, error) from None
    grid = checked(Grid(source, rows))
    _valued(sheet, grid)
    for area in sheet.merged_cells.ranges:
        top, left = area.min_row - 1, area.min_col - 1
        for row in rows[top + 1 : area.max_row]:
            row.extend([None] * (left + 1 - len(row)))
            row[left] = grid.at(top, left)
    return grid


def pages(raw: bytes, source: str) -> tuple[str, ...]:
    """The pages of a workbook, that which is looked at when the file is opened first.

    Raises
    ------
    BadInput
        It is no workbook, or too large.
    """
    from openpyxl import load_workbook

    _small(raw, source)
    try:
        book = load_workbook(io.BytesIO(raw), read_only=True)
        names = [sheet.title for sheet in book.worksheets]
        first = _looked_at(book)
    except Exception as error:  # whatever is wrong inside a zip of XML
        raise _unread(source, error) from None
    return first, *(name for name in names if name != first)


def _small(raw: bytes, source: str) -> None:
    if len(raw) > MOST_BYTES:
        raise _refused(source, f"it has {len(raw) // 2**20} MB; 20 MB at most")
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            inside = sum(one.file_size for one in packed.infolist())
    except zipfile.BadZipFile:
        old = raw[:4] == b"\xd0\xcf\x11\xe0"
        said = "it is an old .xls; save it as .xlsx" if old else "it is no .xlsx"
        raise _refused(source, said) from None
    if inside > _MOST_UNPACKED:
        raise _refused(source, f"unpacked it has {inside // 2**20} MB; 200 MB at most")


def _looked_at(book: Any) -> str:
    active = book.active
    pages = book.worksheets
    return str(active.title if active in pages else pages[0].title)


def _written(sheet: Any) -> list[list[Value]]:
    """The rows up to the last in which anything stands; formats reach further."""
    sheet.reset_dimensions()
    rows: list[list[Value]] = []
    empty = 0
    for row in sheet.iter_rows(values_only=True):
        cells = [_cell(value) for value in row]
        while cells and cells[-1] is None:
            cells.pop()
        if not cells:
            empty += 1
            continue
        if len(rows) + empty > MOST_ROWS:
            empty = min(empty, MOST_ROWS)  # refused anyway, and soon
        rows += [[] for _ in range(empty)]
        rows.append(cells)
        empty = 0
        if len(rows) > MOST_ROWS:
            break
    return rows


def _valued(sheet: Any, grid: Grid) -> None:
    """Refuse formulas that nobody has worked out, and those that came to a mistake."""
    mistakes = Mistakes(grid)
    wide = max(map(len, grid.rows), default=1)
    for y, row in enumerate(sheet.iter_rows(max_row=max(1, len(grid.rows)), max_col=wide)):
        for x, cell in enumerate(row):
            there = grid.at(y, x)
            if cell.data_type == "f" and there is None:
                mistakes.at(y, x, (
                    "a formula of which the file has no value; open it in the spreadsheet "
                    "program and save it"
                ))  # fmt: skip
            elif isinstance(there, str) and there in _ERRORS:
                mistakes.at(y, x, f"'{there}' is what a formula could not work out")
    mistakes.end()


def _cell(value: Any) -> Value:
    if isinstance(value, str):
        return " ".join(value.split()) or None
    known: Value = value
    return known


def _unread(source: str, error: Exception) -> BadInput:
    return _refused(source, f"it is no workbook that can be read ({type(error).__name__})")


def _refused(source: str, what: str) -> BadInput:
    return BadInput([Problem(source, None, None, "", what)])
