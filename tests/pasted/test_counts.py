"""Counts from a spreadsheet: what is in the stores is in the week, or every cell that is wrong."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from scheduler.domain.problems import BadInput
from scheduler.pasted.counts import Counted, Known, counts, with_counts
from scheduler.pasted.spreadsheet import opened
from tests.pasted.tables import filled, tabbed, told

KNOWN = Known(
    {"soup": "Barley soup", "stock": "Bone stock", "butter": "Butter"},
    {"cold-room": "Cold room", "dry-store": "Dry store"},
    {"supper": "Supper"},
)
HEAD = ("Component", "Quantity", "Made", "Store")


def read(*rows: tuple[object, ...]) -> Counted:
    return counts(tabbed(*rows), KNOWN)


def test_a_count_becomes_lots_on_hand_by_the_names_that_people_use() -> None:
    found = read(
        ("What", "Amount (kg)", "Ready", "Where", "Reserved for"),
        ("Barley soup", "3", "2026-05-01 14:30", "Cold room", "supper"),
        ("butter", "0,5", "2026-04-30", "", ""),
    )
    assert found.lots == (
        {"id": "soup-1", "component": "soup", "quantity": "3 kg", "made": "2026-05-01 14:30",
         "store": "cold-room", "reserved_for": "supper"},
        {"id": "butter-1", "component": "butter", "quantity": "0.5 kg", "made": "2026-04-30 00:00"},
    )  # fmt: skip
    assert found.unused == ()


def test_amounts_may_stand_below_their_units_as_in_our_own_workbook() -> None:
    found = read(
        ("what", "kg", "l", "pieces", "made", "Colour"),
        ("stock", "", "12", "", "2026-05-01", "brown"),
        ("butter", "2", "", "", "2026-05-01", ""),
    )
    assert [lot["quantity"] for lot in found.lots] == ["12 l", "2 kg"]
    assert found.unused == ("F1 'Colour'",)


def test_every_mistake_is_told_at_once_by_its_cell_and_nothing_is_taken() -> None:
    with pytest.raises(BadInput) as refused:
        read(
            HEAD,
            ("soop", "3 kg", "2026-05-01", ""),
            ("soup", "3", "1.5.2026", "the moon"),
            ("soup", "", "2026-05-01", ""),
            ("", "2 kg", "", ""),
        )
    assert told(refused) == [
        "A2: there is no component 'soop'. Maybe 'soup'",
        "B3: '3' has no unit; write '3 kg', or the unit in the heading: quantity (kg)",
        "C3: '1.5.2026' is not a date; write 2026-05-01",
        "D3: there is no store 'the moon'. There are cold-room, dry-store",
        "B4: there is no quantity here",
        "A5: there is no component here",
        "C5: there is no made here",
    ]


def test_of_what_has_run_out_there_is_no_lot() -> None:
    assert read(HEAD, ("soup", "0 kg", "2026-05-01", "")).lots == ()


def test_two_amounts_in_one_row_are_not_added_up_by_guessing() -> None:
    with pytest.raises(BadInput) as refused:
        read(("what", "kg", "l", "made"), ("soup", "2", "2", "2026-05-01"))
    assert told(refused) == ["row 2: there are several amounts: kg, l"]


def test_lots_keep_the_ids_of_their_labels_and_no_two_get_one() -> None:
    found = read(
        ("Lot", *HEAD),
        ("", "soup", "1 l", "2026-05-01", ""),
        ("soup-1", "soup", "2 l", "2026-05-02", ""),
        ("", "soup", "3 l", "2026-05-03", ""),
    )
    assert [lot["id"] for lot in found.lots] == ["soup-2", "soup-1", "soup-3"]
    with pytest.raises(BadInput) as refused:
        read(
            ("Lot", *HEAD),
            ("Lot No 7", "soup", "1 l", "2026-05-01", ""),
            ("a", "soup", "1 l", "2026-05-01", ""),
            ("a", "soup", "1 l", "2026-05-01", ""),
        )
    assert told(refused) == [
        "A2: 'Lot No 7' is no id: small letters, digits and hyphens. Maybe 'lot-no-7'",
        "A4: 'a' is there already, in row 3",
    ]


def test_a_title_above_and_empty_rows_between_do_not_matter() -> None:
    found = read(("Counted on Friday",), (), HEAD, (), ("soup", "1 l", "2026-05-01", ""), ())
    assert len(found.lots) == 1


def test_without_the_headings_it_is_said_which_are_needed() -> None:
    with pytest.raises(BadInput) as refused:
        read(("a", "b"), ("soup", "1 l"))
    (said,) = map(str, refused.value.problems)
    assert "no row has the headings component and" in said
    assert "made; the first cells are a, b, soup, 1 l" in said


def test_a_heading_that_is_there_twice_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        read(("what", "item", "quantity", "made"), ("soup", "soup", "1 l", "2026-05-01"))
    assert told(refused) == ["B1: 'item' is there already, in A1"]


def test_text_without_tabs_says_what_to_copy() -> None:
    with pytest.raises(BadInput, match="nothing in it is apart by tabs"):
        tabbed(("component,quantity,made",))


def test_five_thousand_rows_are_read_and_five_thousand_mistakes_are_told_as_some() -> None:
    rows = [("soup", "1 l", "2026-05-01", "")] * 5000
    assert len(read(HEAD, *rows).lots) == 5000
    with pytest.raises(BadInput) as refused:
        read(HEAD, *[("soup", "1 l", "1.5.2026", "")] * 5000)
    assert len(refused.value.problems) == 5000
    assert len(str(refused.value).splitlines()) < 300


def test_too_many_rows_are_refused_at_once() -> None:
    with pytest.raises(BadInput, match="more than a kitchen has; 20000 at most"):
        read(HEAD, *[("soup", "1 l", "2026-05-01", "")] * 20001)


def test_a_workbook_is_read_with_its_dates_and_numbers() -> None:
    raw = filled(
        ("Component", "Quantity (l)", "Made", "Store"),
        ("Barley soup", 3.5, datetime(2026, 5, 1, 14, 30), "Cold room"),
        ("Bone stock", 12, date(2026, 4, 30), None),
    )
    found = counts(opened(raw, "counts.xlsx"), KNOWN)
    assert [(x["quantity"], x["made"]) for x in found.lots] == [
        ("3.5 l", "2026-05-01 14:30"), ("12 l", "2026-04-30 00:00")
    ]  # fmt: skip


def test_a_merged_cell_counts_in_each_of_its_rows() -> None:
    raw = filled(
        ("Stores on Friday", None, None, None),
        HEAD,
        ("soup", "3 l", "2026-05-01", "Cold room"),
        ("stock", "2 l", "2026-05-01", None),
        ("butter", "1 kg", "2026-05-01", None),
        merged=("A1:D1", "D3:D5"),
    )
    found = counts(opened(raw, "counts.xlsx"), KNOWN)
    assert [x["store"] for x in found.lots] == ["cold-room"] * 3


def test_a_formula_that_nobody_has_worked_out_is_no_amount() -> None:
    raw = filled(HEAD, ("soup", "=1+2", "2026-05-01", None))
    with pytest.raises(BadInput) as refused:
        opened(raw, "counts.xlsx")
    assert told(refused) == [
        "B2: a formula of which the file has no value; open it in the spreadsheet program and "
        "save it"
    ]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"component\tquantity", "it is no .xlsx"),
        (b"\xd0\xcf\x11\xe0" + b"x" * 600, "it is an old .xls; save it as .xlsx"),
        (b"PK\x05\x06" + b"\0" * 18, "it is no workbook that can be read"),
    ],
)
def test_what_is_no_workbook_is_refused_in_a_sentence(raw: bytes, said: str) -> None:
    with pytest.raises(BadInput) as refused:
        opened(raw, "counts.xlsx")
    assert said in str(refused.value)


def test_a_page_that_is_not_there_is_refused_with_those_that_are() -> None:
    raw = filled(HEAD, title="Counts")
    with pytest.raises(BadInput, match=r"there is no page 'Count'\. Maybe 'Counts'"):
        opened(raw, "counts.xlsx", "Count")


def test_formats_far_below_the_last_row_are_no_rows() -> None:
    from io import BytesIO

    from openpyxl import load_workbook
    from openpyxl.styles import Font

    book = load_workbook(BytesIO(filled(HEAD, ("soup", "1 l", "2026-05-01", None))))
    book["Counts"]["A900000"].font = Font(bold=True)
    out = BytesIO()
    book.save(out)
    assert len(counts(opened(out.getvalue(), "c.xlsx"), KNOWN).lots) == 1


def test_a_week_with_counts_keeps_everything_else() -> None:
    week = {"id": "w", "on_hand": [{"id": "old"}], "events": [1]}
    assert with_counts(week, [{"id": "new"}]) == {
        "id": "w", "on_hand": [{"id": "new"}], "events": [1]
    }  # fmt: skip
    assert week["on_hand"] == [{"id": "old"}]
