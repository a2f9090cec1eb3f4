"""`sheet`, text, paper, a calendar, a workbook; and `paste`, what comes from a spreadsheet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scheduler.commands.guard import run
from scheduler.outputs.paper.size import Paper
from scheduler.pasted.what import What

PlanPath = Annotated[Path, typer.Argument(metavar="PLAN", help="A plan file.")]


def sheet(
    plan: PlanPath,
    section: Annotated[str | None, typer.Option(help="Of this section, by id.")] = None,
    person: Annotated[str | None, typer.Option(help="Of this person, by id.")] = None,
    day: Annotated[
        str | None, typer.Option(help="Of this day, as 2026-12-04; left out: of every day.")
    ] = None,
    ics: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write all of a person's week for their calendar."),
    ] = None,
    pdf: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write them as PDF, to be printed.")
    ] = None,
    xlsx: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the whole plan, its sheets, quantities and record as a workbook.",
        ),
    ] = None,
    wall: Annotated[
        bool, typer.Option("--wall", help="With --pdf: the wall sheet, days across.")
    ] = False,
    paper: Annotated[
        Paper | None,
        typer.Option(
            help="With --pdf: which paper; left out: a4, for the wall a3.", case_sensitive=False
        ),
    ] = None,
    address: Annotated[
        str | None,
        typer.Option(
            metavar="URL",
            help="With --pdf: where phones find the screens, for the code on the paper; left out: "
            "BACKTIME_ADDRESS.",
        ),
    ] = None,
) -> None:
    """Print prep sheets: what a section or somebody does on a day, and all it takes."""
    from scheduler.commands.sheet import Wanted, calendar_of
    from scheduler.commands.sheet import sheet as command

    if section is not None and person is not None:
        raise typer.BadParameter("A sheet is of a section or of a person: one of the two.")
    if sum(file is not None for file in (ics, pdf, xlsx)) > 1:
        raise typer.BadParameter("One file at a time: --ics, --pdf or --xlsx.")
    if ics is not None:
        if person is None or day is not None:
            raise typer.BadParameter("A calendar is of one person and a whole week: --person ID.")
        run(lambda: calendar_of(plan, person, ics))
    wanted = Wanted(section, person, day)
    if pdf is None:
        for given, name in ((wall, "--wall"), (paper, "--paper"), (address, "--address")):
            if given:
                raise typer.BadParameter(f"{name} is for paper: it goes with --pdf FILE.")
        if xlsx is None:
            run(lambda: command(plan, wanted))
        if section is not None or person is not None or day is not None:
            raise typer.BadParameter("A workbook is of the whole plan.")
        from scheduler.commands.printing import write_workbook

        run(lambda: write_workbook(plan, xlsx))
    from scheduler.commands.printing import print_pdf, print_wall_sheet

    if wall:
        if section is not None or person is not None or day is not None:
            raise typer.BadParameter("The wall sheet has every section and day on it.")
        run(lambda: print_wall_sheet(plan, pdf, paper or Paper.A3, address))
    run(lambda: print_pdf(plan, wanted, pdf, paper or Paper.A4, address))


def paste(
    what: Annotated[What, typer.Argument(help="What the table is of.", case_sensitive=False)],
    file: Annotated[
        str,
        typer.Argument(
            metavar="FILE",
            help="A workbook (.xlsx), or text with tabs as it is copied out of one; -: what comes "
            "in by a pipe.",
        ),
    ],
    week: Annotated[str | None, typer.Option(help="Whose guests or counts they are.")] = None,
    page: Annotated[
        str | None, typer.Option(help="Of the workbook; left out: the one it opens with.")
    ] = None,
    look: Annotated[
        bool, typer.Option("--look", help="Only say what would change; save nothing.")
    ] = False,
    kitchen: Annotated[str | None, typer.Option(help="Which, where the book has several.")] = None,
) -> None:
    """Bring a table of a spreadsheet into the book; what is wrong is told by its cell."""
    from scheduler.commands.pasting import paste as command

    run(lambda: command(what, file, week, kitchen, page, look))
