"""Tables as they come: cells apart by tabs, and workbooks."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

import pytest
from openpyxl import Workbook

from scheduler.domain.problems import BadInput
from scheduler.pasted.grid import Grid, pasted


def tabbed(*rows: Sequence[Any]) -> Grid:
    """A table that was pasted."""
    return pasted("\r\n".join("\t".join(map(str, row)) for row in rows) + "\r\n", "pasted")


def filled(*rows: Sequence[Any], merged: Sequence[str] = (), title: str = "Counts") -> bytes:
    """A workbook with one page."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = title
    for row in rows:
        page.append(list(row))
    for area in merged:
        page.merge_cells(area)
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def told(refused: pytest.ExceptionInfo[BadInput]) -> list[str]:
    """Every mistake, without the name of the file."""
    return [str(p).partition("  ")[2] or str(p).partition(": ")[2] for p in refused.value.problems]
