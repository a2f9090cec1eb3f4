"""Sheets on paper: all of it is there, nothing is clipped, and it says which plan it is."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import segno

from scheduler.outputs.paper import letters as letters_module
from scheduler.outputs.paper.frame import code_of
from scheduler.outputs.paper.letters import MARK, Letters
from scheduler.outputs.paper.printing import print_sheets, print_wall
from scheduler.outputs.paper.size import Paper
from scheduler.outputs.paper.stamp import Stamp, stamp_of
from scheduler.outputs.sheet import Sheet
from tests.outputs.hut import FRIDAY, later, sheets, stove
from tests.outputs.paper_text import PRINTED, STAMP, pages, sizes, squeezed
from tests.outputs.test_demo_sheets import every, of_sections

LONG = "Barley soup with everything that was left in the larder, " * 6
TRICKY = "<b>Soup</b> & <para>broth</para> &amp; <img src='x'/>"


def text_of(*wanted: Sheet, **stamp: object) -> list[str]:
    return pages(print_sheets(sheets(), wanted, replace(STAMP, **stamp)))  # type: ignore[arg-type]


def with_line(**changed: object) -> Sheet:
    sheet = stove()
    line = replace(sheet.lines[0], **changed)  # type: ignore[arg-type]
    return replace(sheet, lines=(line, *sheet.lines[1:]))


def test_a_cook_reads_on_paper_all_that_the_sheet_says() -> None:
    (page,) = text_of(stove())
    for said in (
        "Stove", "Fri 4 Dec", "Ada 08:00-22:00", "by 14:00", "14:15",
        "Barley soup, 9 l: fill (simmer)", "goes to Cold room, 2 shelves: 9 l", "on kettle",
        "at 18:00", "takes 9 l Barley soup (Cold room)", "label: Barley soup, 9 l",
        "Local food and labour codes", "page 1 of 1",
    ):  # fmt: skip
        assert said in page


def test_the_page_says_large_which_plan_it_is_when_it_was_printed_and_which_one_to_bin() -> None:
    (page,) = text_of(stove())
    assert "No. 7" in page
    assert "Thu 3 Dec 15:40" in page
    assert "Bin No. 6." in page


@pytest.mark.parametrize(
    ("stamp", "said"),
    [
        (stamp_of(PRINTED, "not kept", None, None, None), "No number"),
        (stamp_of(PRINTED, "not kept", None, None, None), "Not kept in the book"),
        (stamp_of(PRINTED, "came down", 7, 8, None), "No. 8 is on the wall: go by that, bin this."),
        (stamp_of(PRINTED, "came down", 7, None, None), "It has come off the wall: bin this."),
        (stamp_of(PRINTED, "not yet", 7, 6, None), "Not on the wall yet: when it goes up"),
        (stamp_of(PRINTED, "not yet", 7, None, None), "Not on the wall yet: for reading only."),
        (stamp_of(PRINTED, "hangs", 7, 7, 6, ("holds",)), "DO NOT COOK FROM THIS: it breaks"),
        (stamp_of(PRINTED, "hangs", 7, 7, 6), "Bin No. 6."),
    ],
)
def test_nobody_cooks_by_a_sheet_that_does_not_hold(stamp: Stamp, said: str) -> None:
    (page,) = pages(print_sheets(sheets(), [stove()], stamp))
    assert said in page
    assert ("Bin No." in page) == (stamp.warning == "" or "breaks" in stamp.warning)


@pytest.mark.parametrize(
    ("paper", "size"),
    [(Paper.A4, (210, 297)), (Paper.LETTER, (216, 279)), (Paper.A3, (297, 420))],
)
def test_it_fits_the_paper_that_the_kitchen_has(paper: Paper, size: tuple[int, int]) -> None:
    assert sizes(print_sheets(sheets(), [stove()], STAMP, paper)) == {size}
    assert sizes(print_wall(sheets(), STAMP, paper)) == {size[::-1]}


def test_diets_stand_boxed_before_everything_else() -> None:
    page = text_of(with_line(diets=("gluten-free",)))[0]
    assert page.index("FIRST AND APART: gluten-free") < page.index("Jobs")


@pytest.mark.parametrize("text", [LONG, TRICKY, "x" * 300])
def test_a_long_or_tricky_name_stands_on_the_sheet_in_full(text: str) -> None:
    sheet = replace(with_line(what=text, label=text, where=text), title=text)
    found = squeezed("".join(text_of(sheet)))
    assert found.count(squeezed(text)) >= 3


def test_a_job_longer_than_a_page_goes_on_where_the_next_page_begins() -> None:
    ways = tuple(f"way{n}of400 and {LONG[:60]}" for n in range(400))
    found = text_of(with_line(now_at=ways))
    assert len(found) > 3
    assert all(f"way{n}of400" in " ".join(found) for n in range(400))
    assert all("goes on" in page for page in found[1:3])
    assert [f"page {n + 1} of {len(found)}" in page for n, page in enumerate(found)] == (
        [True] * len(found)
    )


def test_a_busy_day_flows_to_a_second_page_and_no_job_is_lost() -> None:
    line = stove().lines[0]
    many = tuple(replace(line, what=f"Soup number {n},") for n in range(60))
    found = text_of(replace(stove(), lines=many))
    assert len(found) > 4
    assert all(f"Soup number {n}," in " ".join(found) for n in range(60))
    assert all("No. 7" in page for page in found)


def test_sixty_people_find_themselves_on_a_sheet() -> None:
    names = [f"cook-number-{n}" for n in range(60)]
    there = tuple((p, *stove().people[0][1:]) for p in names)
    found = text_of(replace(with_line(people=tuple(names)), people=there))
    assert all("".join(found).count(p) >= 2 for p in names)


def test_a_day_without_jobs_is_a_page_that_says_so() -> None:
    (page,) = text_of(replace(stove(), lines=(), tonight=(), tomorrow=(), deliveries=()))
    assert "Jobs Nothing." in page


def test_pages_of_two_sheets_are_numbered_each_for_itself() -> None:
    first, second = text_of(stove(), replace(stove(), title="Pastry"))
    assert "page 1 of 1" in first
    assert "Pastry" in second
    assert "page 1 of 1" in second


def test_greek_and_cyrillic_print_and_anything_else_is_a_mark_that_is_told() -> None:
    one = print_sheets(
        sheets(), [with_line(what="Φασολάδα, борщ, crème brûlée, 寿司, شوربة, 🍲")], STAMP
    )
    page = pages(one)[0]
    assert f"Φασολάδα, борщ, crème brûlée, {MARK * 2}, {MARK * 5}, {MARK}" in page
    (warning,) = one.warnings
    assert "寿 司" in warning
    assert "they stand as" in warning


def test_letters_written_apart_are_put_together_and_marks_that_only_choose_a_look_vanish() -> None:
    letters = Letters()
    assert letters.text("cre\u0300me\ufe0f\u200d") == "crème"
    assert letters.warnings == ()


def test_of_many_texts_with_strange_letters_some_are_told_and_the_others_counted() -> None:
    letters = Letters()
    for n in range(8):
        letters.text(f"寿司 {n}")
    assert len(letters.warnings) == 6
    assert letters.warnings[-1] == "So do letters in 3 more texts."


def test_the_fonts_come_with_their_licence() -> None:
    folder = Path(letters_module.__file__).parent / "fonts"
    assert "Bitstream Vera" in (folder / "LICENSE").read_text(encoding="utf-8")
    assert {p.name for p in folder.glob("*.ttf")} == {
        "DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf"
    }  # fmt: skip


def test_the_same_sheet_is_the_same_file() -> None:
    one, other = (print_sheets(sheets(), [stove()], STAMP).pdf for _ in range(2))
    assert one == other
    assert PRINTED.strftime("%Y%m%d").encode() not in one  # the time of printing is on the page


def test_the_code_on_the_sheet_is_that_of_its_link() -> None:
    link = "http://kitchen.example:8470/s/abc"
    assert code_of(link) == tuple(
        tuple(map(bool, row)) for row in segno.make(link, error="m", micro=False).matrix
    )
    asked: list[object] = []

    def found(sheet: object) -> str:
        asked.append(sheet)
        return link

    stamp = replace(STAMP, link=found)
    assert len(print_sheets(sheets(), [stove()], stamp).pdf) > len(
        print_sheets(sheets(), [stove()], STAMP).pdf
    )
    print_wall(sheets(), stamp)
    assert asked == [stove(), FRIDAY]


def test_the_wall_sheet_has_days_across_with_events_deliveries_jobs_and_nights() -> None:
    found = pages(print_wall(every(), STAMP))
    text = " ".join(found)
    assert "19:30 Gala, five courses, 180 guests" in text
    assert "Deliveries 08:00 trout, 15 kg" in text
    assert text.count("Overnight, by itself") == 2
    assert "FIRST AND APART: gluten-free" in text
    assert all("No. 7" in page and "Bin No. 6." in page for page in found)


def test_every_job_of_the_demo_stands_on_the_wall_sheet() -> None:
    whole = squeezed("".join(pages(print_wall(every(), STAMP))))
    lines = [line for sheet in of_sections() for line in sheet.lines]
    wanted = {line.does if line.quantity else line.what for line in lines}
    assert len(wanted) > 100
    assert {w for w in wanted if squeezed(w) not in whole} == set()


def test_every_job_of_the_demo_stands_on_the_sheets_of_its_section() -> None:
    some = [s for s in of_sections() if s.lines][:12]
    whole = squeezed("".join(pages(print_sheets(every(), some, STAMP))))
    assert {x.what for s in some for x in s.lines if squeezed(x.what) not in whole} == set()


def test_a_wall_sheet_with_names_as_long_as_they_may_be_clips_nothing() -> None:
    name = ("Nightshift " * 12)[:120].strip()
    changed = {
        "kitchen__sections__0__name": name, "kitchen__people__0__name": name,
        "components__0__name": name, "week__events__0__name": name,
    }  # fmt: skip
    for paper in Paper:
        one = print_wall(sheets(later(), **changed), STAMP, paper)
        assert squeezed("".join(pages(one))).count(squeezed(name)) >= 4
