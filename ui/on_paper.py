"""What a plan can be taken along as: sheets and the wall sheet on paper, a workbook."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any

import streamlit as st

from scheduler.book.address import ADDRESS, address
from scheduler.book.errors import BookError
from scheduler.book.links import sheet_link
from scheduler.book.numbered import numbered
from scheduler.book.record import record_of
from scheduler.book.recording import in_words
from scheduler.outputs.paper.letters import Letters
from scheduler.outputs.paper.printing import print_sheets, print_wall
from scheduler.outputs.paper.size import Paper
from scheduler.outputs.paper.stamp import Stamp, linking, stamp_of
from scheduler.outputs.sheet import Sheet, Sheets
from scheduler.outputs.workbook.pages import workbook_of
from scheduler.plan.file import PlanFile
from scheduler.plan.words import day_words
from ui.here import Here
from ui.wording import plain

PDF = "application/pdf"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_EVERY = "every day"


def take_along(at: Here) -> None:
    """Draw it: what is asked for is made when somebody presses."""
    file = at.file
    if file is None or at.week is None:
        return
    st.markdown("##### To print, to take along")
    try:
        where = address()
    except BookError as wrong:
        where = None
        st.error(plain(str(wrong), 400), icon=None)
    days = file.scenario.clock.days(0)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        chosen = st.selectbox(
            "Sheets of", [None, *days], key="paper-day", width=200,
            format_func=lambda d: _EVERY if d is None else day_words(d),
        )  # fmt: skip
        by = st.selectbox("For each", ["section", "person"], key="paper-by", width=140)
        paper = st.selectbox("Paper", [Paper.A4, Paper.LETTER, Paper.A3], key="paper-size",
                             width=110)  # fmt: skip
        name = f"{at.week.id}-{at.number}"
        _button(
            "Sheets (PDF)", f"{name}-sheets.pdf", PDF,
            partial(sheets_pdf, at, file, where, by, chosen, paper),
        )  # fmt: skip
        _button("Wall sheet (PDF)", f"{name}-wall.pdf", PDF, partial(wall_pdf, at, file, where))
        _button("Workbook (xlsx)", f"{name}.xlsx", XLSX, partial(workbook, at, file))
    for warning in _unprintable(at.book.where, at.who.kitchen, at.number, file):
        st.warning(plain(warning, 400), icon=None)
    if where is None:
        st.caption(f"Without a code for phones: {ADDRESS} says where they find these screens.")


@st.cache_resource(show_spinner=False, max_entries=24)
def _unprintable(
    where: str, kitchen: str, number: int | None, _file: PlanFile
) -> tuple[str, ...]:
    return unprintable(_file)


def unprintable(file: PlanFile) -> tuple[str, ...]:
    """What somebody has written that the font of the paper lacks letters for, in sentences."""
    letters = Letters()
    for text in _texts(file.scenario.document()):
        letters.text(text)
    return letters.warnings


def _texts(data: Any) -> Iterator[str]:
    """Everything in it that is written, names of fields apart."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for inner in data.values():
            yield from _texts(inner)
    elif isinstance(data, list | tuple):
        for inner in data:
            yield from _texts(inner)


def sheets_pdf(
    at: Here, file: PlanFile, where: str | None, by: str, day: date | None, paper: Paper
) -> bytes:
    """Every sheet of a day, or of all, on which there is something; an empty one for none."""
    sheets = Sheets(file.scenario, file.plan)
    of: Callable[[str, date], Sheet] = sheets.of_section if by == "section" else sheets.of_person
    ids = sheets.sections if by == "section" else sheets.persons
    days = (day,) if day is not None else sheets.days or (file.scenario.clock.first_day,)
    every = [of(id, one) for one in days for id in ids]
    wanted = [one for one in every if one.lines] or every[:1]
    return print_sheets(sheets, wanted, _stamp(at, file, where), paper).pdf


def wall_pdf(at: Here, file: PlanFile, where: str | None) -> bytes:
    """The wall sheet, on A3; printers make it smaller."""
    return print_wall(Sheets(file.scenario, file.plan), _stamp(at, file, where)).pdf


def workbook(at: Here, file: PlanFile) -> bytes:
    """The plan as a workbook, with the record of its week."""
    entries = record_of(at.book, at.who, file.scenario.week.id)
    noted = [(one, in_words(one.kind, one.body)) for one in entries]
    return workbook_of(Sheets(file.scenario, file.plan), noted)


def _stamp(at: Here, file: PlanFile, where: str | None) -> Stamp:
    known, clock = numbered(at.book, at.who, file), file.scenario.clock
    breaks = sorted({f.rule for f in file.report.findings})
    stamp = stamp_of(
        at.book.clock().astimezone(clock.zone), known.standing, known.number, known.hangs,
        known.before, breaks,
    )  # fmt: skip
    if where is None or known.number is None:
        return stamp
    signed = partial(sheet_link, at.book, at.who, known.number)
    return replace(stamp, link=linking(where, signed, clock.last_day))


def _button(label: str, name: str, mime: str, made: Callable[[], bytes]) -> None:
    st.download_button(label, made, name, mime, key=f"take {label}", on_click="ignore")
