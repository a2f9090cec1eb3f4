"""The workbook, read back: numbers to reckon with, times that are times, text that runs nothing."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from io import BytesIO
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

from scheduler.book.standing import Recorded
from scheduler.outputs.workbook.cells import Page, workbook
from scheduler.outputs.workbook.pages import workbook_of
from tests.outputs.hut import sheets
from tests.outputs.test_demo_sheets import every

HAPPENED = datetime(2026, 12, 4, 13, 20, tzinfo=UTC)


def read(raw: bytes) -> Workbook:
    return load_workbook(BytesIO(raw))


def rows(raw: bytes, page: str) -> list[dict[str, Any]]:
    """The rows of a page by their headings."""
    head, *others = read(raw)[page].iter_rows(values_only=True)
    return [dict(zip(map(str, head), row, strict=True)) for row in others]


def test_the_steps_of_a_plan_stand_with_times_and_numbers_to_reckon_with() -> None:
    raw = workbook_of(sheets())
    assert read(raw).sheetnames == ["Plan", "Sheets", "Quantities"]
    soup, bowl = rows(raw, "Plan")
    assert soup["start"] == datetime(2026, 12, 4, 14, 0)  # the kitchen's clock, not UTC
    assert (soup["what"], soup["l"], soup["kg"], soup["portions"]) == ("Barley soup", 9, None, None)
    assert (bowl["portions"], bowl["pieces"], bowl["who"]) == (36, None, "Ada")


def test_the_sheets_stand_job_by_job_with_what_goes_in_and_where_it_goes() -> None:
    fill, plate = rows(workbook_of(sheets()), "Sheets")
    assert fill["start by"] == datetime(2026, 12, 4, 14, 0)
    assert (fill["may not wait"], plate["may not wait"]) == (None, "yes")
    assert (fill["section"], fill["does"], fill["on"]) == ("Stove", "fill", "kettle")
    assert fill["goes to"] == "Cold room, 2 shelves: 9 l for Bowl of soup (Supper), 18:00"
    assert plate["takes"] == "9 l Barley soup (Cold room)"


def test_quantities_are_those_of_batches_dishes_and_of_what_is_ordered() -> None:
    changed = {"components__0__steps__0__takes": [{"ingredient": "barley", "amount": "1200 g"}]}
    found = {(r["kind"], r["what"]): r for r in rows(workbook_of(sheets(**changed)), "Quantities")}
    assert found["batch", "Barley soup"]["l"] == 9
    assert found["dish", "Bowl of soup (Supper)"]["portions"] == 36
    assert found["ingredient", "barley"]["kg"] == pytest.approx(1.08)


def test_the_record_has_a_page_where_there_is_one_also_with_a_name_that_begins_like_a_formula() -> (
    None
):
    def entry(place: int, **more: Any) -> Recorded:
        known = {
            "id": f"e{place}", "kitchen": "hut", "place": place, "week": "hut-supper",
            "batch": "soup.1", "task": "soup.1/simmer", "kind": "note", "body": {}, "who": "ada",
            "happened": HAPPENED, "arrived": HAPPENED, "number": 1, "corrects": None,
        }  # fmt: skip
        return Recorded(**(known | more))

    late = entry(2, corrects="e1", happened=HAPPENED + timedelta(days=1))
    raw = workbook_of(sheets(), [(entry(1), "=2+2"), (late, "-1 °C")])
    one, other = rows(raw, "Record")
    assert (one["happened"], one["who"], one["what"]) == (
        datetime(2026, 12, 4, 14, 20), "Ada", "Barley soup"
    )  # fmt: skip
    assert (one["says"], other["says"]) == ("=2+2", "-1 °C")
    assert (other["corrects no."], other["clock is wrong"], one["clock is wrong"]) == (
        1, "yes", None
    )  # fmt: skip


@pytest.mark.parametrize("text", ["=1+1", "=HYPERLINK(A1)", "+1", "-1", "@SUM(A1)", "\t=1", "007"])
def test_what_looks_like_a_formula_stays_text(text: str) -> None:
    cell = read(workbook([Page("P", ("a",), ((text,),))]))["P"]["A2"]
    assert cell.data_type == "s"
    assert cell.value == text.replace("\t", " ")


def test_headings_stay_in_sight_and_columns_are_as_wide_as_what_is_in_them() -> None:
    rows = (("x" * 500, Fraction(3, 2), date(2026, 12, 4)), ("", None, None))
    page = read(workbook([Page("P", ("what", "kg", "day"), rows)]))["P"]
    assert page.freeze_panes == "A2"
    assert page["A1"].font.bold
    widths = [page.column_dimensions[c].width for c in "ABC"]
    assert widths == [60, 7, 11]
    assert page["B2"].value == 1.5
    assert page["C2"].is_date
    assert page["A3"].value is None


def test_a_text_longer_than_a_cell_may_be_and_marks_that_no_file_may_hold_break_nothing() -> None:
    page = read(workbook([Page("P", ("a",), (("x" * 40000,), ("a\x00b\x1bc",)))]))["P"]
    assert len(page["A2"].value) == 32767
    assert page["A3"].value == "a b c"


def test_every_job_and_every_batch_of_the_demo_is_in_its_workbook() -> None:
    raw = workbook_of(every())
    names = every().names
    assert {r["id"] for r in rows(raw, "Plan")} == set(names.tasks)
    assert {r["id"] for r in rows(raw, "Quantities")} >= set(names.batches)
    lines = [line for day in every().days for line in every().on(day)]
    assert len(rows(raw, "Sheets")) == len(lines)
