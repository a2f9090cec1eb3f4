"""The options of `backtime reshuffle`: one for each thing that may happen, any number of times."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scheduler.commands.guard import run

Words = list[str]


def _option(name: str, what: str, metavar: str) -> typer.models.OptionInfo:
    found: typer.models.OptionInfo = typer.Option(f"--{name}", metavar=metavar, help=what)
    return found


def reshuffle(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan file that has broken.")],
    now: Annotated[
        str, typer.Option(metavar="MOMENT", help="Now, as 2026-12-10 15:20, the kitchen's clock.")
    ],
    down: Annotated[
        Words | None,
        _option("down", "A machine stands still, or a store is out of use: since when, until when.",
                "UNIT[=FROM..UNTIL]"),
    ] = None,
    reduced: Annotated[
        Words | None, _option("reduced", "Only so many places of it are of use.", "UNIT=PLACES")
    ] = None,
    stuck: Annotated[
        Words | None,
        _option("stuck", "An oven stays at one setting: 180, or steam 85.",
                "UNIT=SETTING[@FROM..UNTIL]"),
    ] = None,
    working: Annotated[
        Words | None, _option("working", "It works again, sooner than was planned.", "UNIT")
    ] = None,
    away: Annotated[
        Words | None,
        _option("away", "Somebody is ill, late, or leaves early.", "PERSON[=FROM..UNTIL]"),
    ] = None,
    lost: Annotated[
        Words | None,
        _option("lost", "A batch is lost, or so much is left of it.", "BATCH[=LEFT]"),
    ] = None,
    count: Annotated[
        Words | None, _option("count", "So many guests come.", "EVENT=GUESTS")
    ] = None,
    move: Annotated[
        Words | None, _option("move", "Its first plate goes away then.", "EVENT=MOMENT")
    ] = None,
    cancel: Annotated[Words | None, _option("cancel", "An event is called off.", "EVENT")] = None,
    add: Annotated[
        Words | None, _option("add", "One more event, as the week would say it.", "FILE")
    ] = None,
    delivery: Annotated[
        Words | None,
        _option("delivery", "A delivery comes then, or so much of it, or never.",
                "ID=MOMENT|QUANTITY|never"),
    ] = None,
    ends: Annotated[
        Words | None,
        _option("ends", "A task that was begun is over then: later, or sooner.", "TASK=MOMENT"),
    ] = None,
    not_begun: Annotated[
        Words | None, _option("not-begun", "A task should be running and is not.", "TASK")
    ] = None,
    not_there: Annotated[
        Words | None,
        _option("not-there", "A test says not there yet: it goes on as long as its recipe says, or "
                "so long.", "TASK[=LONGER]"),
    ] = None,
    again: Annotated[
        Words | None,
        _option("again", "Of what is broken off: it starts again, whatever its recipe says.",
                "TASK"),
    ] = None,
    resume: Annotated[
        Words | None,
        _option("resume", "Of what is broken off: it goes on, whatever its recipe says.", "TASK"),
    ] = None,
    good: Annotated[
        Words | None,
        _option("good", "Of what stands in a store that is down: it is still good.", "BATCH"),
    ] = None,
    last_cold: Annotated[
        Words | None,
        _option("last-cold", "When a store that is down was last read as cold.", "STORE=MOMENT"),
    ] = None,
    keep: Annotated[
        Words | None, _option("keep", "A task starts when it was to start.", "TASK")
    ] = None,
    seconds: Annotated[
        float,
        typer.Option(
            help="Time to search; where portions go short, as long again for what would help."
        ),
    ] = 10,
    seed: Annotated[int, typer.Option(min=0, max=2**31 - 1, help="Seed of the search.")] = 1,
    deterministic: Annotated[
        bool, typer.Option("--deterministic", help="The same plan every time; reads no clock.")
    ] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print the comparison and figures as JSON.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(help="New plan file; left out: <week>.reshuffled.plan.json beside the old."),
    ] = None,
) -> None:
    """Make a plan anew that has broken: write the new one, and say who must be told what."""
    from scheduler.commands.reshuffle import Asking
    from scheduler.commands.reshuffle import reshuffle as command

    said = {
        "down": down, "reduced": reduced, "stuck": stuck, "working": working, "away": away,
        "lost": lost, "count": count, "move": move, "cancel": cancel, "add": add,
        "delivery": delivery, "ends": ends, "not-begun": not_begun,
        "not-there": not_there,
    }  # fmt: skip
    asking = Asking(
        now, {option: words for option, words in said.items() if words}, again or (),
        resume or (), good or (), last_cold or (), keep or (), seconds, seed,
        deterministic, as_json,
    )  # fmt: skip
    run(lambda: command(plan, asking, out))
