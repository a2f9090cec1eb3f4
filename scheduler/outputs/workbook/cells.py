"""Tables as pages of a workbook (Office Open XML): text stays text, times are times."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from io import BytesIO

from openpyxl import Workbook
from openpyxl.cell import Cell, MergedCell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from scheduler.plan.words import clean, fit, width

Value = str | int | Fraction | datetime | date | None
_NARROWEST, _WIDEST = 7, 60
"""Columns of letters."""
_LONGEST = 32767
"""Letters of a cell; a program opens no file with more of them in one."""
_DAY, _MOMENT = "yyyy-mm-dd", "yyyy-mm-dd hh:mm"


@dataclass(frozen=True, slots=True)
class Page:
    """A page of a workbook.

    Attributes
    ----------
    title : str
    headings : tuple of str
        With the unit, where numbers stand below.
    rows : tuple of tuple
        Moments by the kitchen's clock, without a zone.
    """

    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]


def workbook(pages: Iterable[Page]) -> bytes:
    """The file."""
    book = Workbook()
    for page in pages:
        _fill(book.create_sheet(page.title), page)
    book.remove(book.worksheets[0])
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _fill(sheet: Worksheet, page: Page) -> None:
    for n, heading in enumerate(page.headings, start=1):
        cell = sheet.cell(1, n)
        _text(cell, heading)
        cell.font = Font(bold=True)
    for y, row in enumerate(page.rows, start=2):
        for x, value in enumerate(row, start=1):
            if value is not None and value != "":
                _put(sheet.cell(y, x), value)
    for n, wide in enumerate(_widths(page), start=1):
        sheet.column_dimensions[get_column_letter(n)].width = wide
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = sheet.dimensions
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)


def _put(cell: Cell | MergedCell, value: Value) -> None:
    if isinstance(value, str):
        _text(cell, value)
    elif isinstance(value, datetime):
        cell.value, cell.number_format = value.replace(tzinfo=None), _MOMENT
    elif isinstance(value, date):
        cell.value, cell.number_format = value, _DAY
    elif isinstance(value, Fraction):
        cell.value = int(value) if value.denominator == 1 else float(value)
    else:
        cell.value = value
    cell.alignment = Alignment(vertical="top", wrap_text=isinstance(value, str))


def _text(cell: Cell | MergedCell, text: str) -> None:
    """Text, also where it begins as a formula does."""
    cell.value = clean(text)[:_LONGEST]
    cell.data_type = "s"


def _widths(page: Page) -> Sequence[int]:
    found = []
    for n, heading in enumerate(page.headings):
        longest = max((width(_shown(row[n])) for row in page.rows), default=0)
        # A heading has the button of the filter beside it.
        found.append(min(_WIDEST, max(_NARROWEST, width(heading) + 3, longest + 1)))
    return found


def _shown(value: Value) -> str:
    if isinstance(value, datetime):
        return _MOMENT
    if isinstance(value, date):
        return _DAY
    if isinstance(value, Fraction):
        return f"{float(value):g}"
    return "" if value is None else fit(str(value), _WIDEST)
