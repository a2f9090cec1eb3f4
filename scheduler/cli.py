"""The commands of `backtime` and their options; what they do stands in `scheduler.commands`."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

import scheduler
from scheduler.book.role import Role
from scheduler.cli_reshuffle import reshuffle
from scheduler.cli_sheets import PlanPath, paste, sheet
from scheduler.commands.codes import Exit, Stop
from scheduler.commands.guard import run
from scheduler.commands.terminal import say, unsaid
from scheduler.plan.by import By

app = typer.Typer(
    name="backtime",
    help="Plans a kitchen's event week backwards from service, and checks the plan a second time.",
    epilog="Exit codes: 0 fine; 1 a plan breaks a rule; 2 bad input or usage; 3 something cannot "
    "work; 4 valid, but not everything is served; 70 a fault of ours; 130 interrupted. "
    "Local food and labour codes and licensed practice decide.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

ScenarioNames = Annotated[
    list[str],
    typer.Argument(
        metavar="SCENARIO",
        help="Folders with a written week, shipped names, or stored:WEEK of the book.",
    ),
]
ScenarioName = Annotated[
    str,
    typer.Argument(
        metavar="SCENARIO",
        help="A folder with a written week, a shipped name, or stored:WEEK of the book.",
    ),
]


@app.command()
def plan(
    scenarios: ScenarioNames,
    seconds: Annotated[float, typer.Option(help="Time to search.")] = 20,
    seed: Annotated[int, typer.Option(min=0, max=2**31 - 1, help="Seed of the search.")] = 1,
    deterministic: Annotated[
        bool, typer.Option("--deterministic", help="The same plan every time; reads no clock.")
    ] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print figures as JSON instead of the summary.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            help="Plan file; left out: <week>.plan.json here. For several weeks a folder; left "
            "out: plans/<scenario>/<week>.plan.json."
        ),
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS",
            help="A Dask cluster that helps: tcp:// on this machine, tls:// anywhere. Whoever "
            "reaches it can run code on it.",
        ),
    ] = None,
    older: Annotated[
        Path | None,
        typer.Option(
            "--from",
            metavar="PLAN",
            help="Plan file of the same week to start from: what still may stand there stays where "
            "it is, what it was to keep stays kept.",
        ),
    ] = None,
) -> None:
    """Plan a week, or several, and write the plan files."""
    from scheduler.commands.plan import Wish
    from scheduler.commands.plan import plan as command

    wish = Wish(seconds, seed, deterministic, as_json, cluster, older)
    run(lambda: command(scenarios, wish, out))


app.command()(reshuffle)


@app.command()
def work(scenario: ScenarioName) -> None:
    """Show what must be made, and by how many hands, before any planning."""
    from scheduler.commands.reading import work as command

    run(lambda: command(scenario))


@app.command()
def show(
    plan: PlanPath,
    by: Annotated[By, typer.Option(help="How it is laid out.")] = By.DAY,
) -> None:
    """Print a plan as tables."""
    from scheduler.commands.reading import show as command

    run(lambda: command(plan, by))


app.command()(sheet)


@app.command()
def audit(plan: PlanPath) -> None:
    """Check a plan: does it break a rule, and is everything served?"""
    from scheduler.commands.reading import audit as command

    run(lambda: command(plan))


@app.command()
def check(
    scenario: ScenarioName,
    plan: Annotated[
        Path | None, typer.Argument(metavar="[PLAN]", help="A plan file of that week.")
    ] = None,
    rules: Annotated[
        str | None,
        typer.Option(help="Another rule profile than the kitchen's: us, anz, uk, eu, house."),
    ] = None,
) -> None:
    """Check a week, and a plan of it, against the published rules of food."""
    from scheduler.commands.check import check as command

    run(lambda: command(scenario, plan, rules))


@app.command()
def schema() -> None:
    """Print the JSON schema of a written week."""
    from scheduler.commands.reading import schema as command

    run(command)


@app.command()
def scenarios() -> None:
    """List the weeks that come with Backtime."""
    from scheduler.commands.reading import scenarios as command

    run(command)


@app.command(name="open")
def open_(
    port: Annotated[
        int | None,
        typer.Option(
            min=0, max=65535, help="Port; left out: 8470, or the next free one. 0: any free one."
        ),
    ] = None,
    host: Annotated[
        str,
        typer.Option(
            metavar="ADDRESS", help="Where it listens; elsewhere than here once people sign in."
        ),
    ] = "127.0.0.1",
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Open no browser; only say the address.")
    ] = False,
) -> None:
    """Open the screens in the browser; Ctrl-C ends them."""
    from scheduler.commands.open import open_app as command

    run(lambda: command(host, port, not no_browser))


@app.command()
def code(
    person: Annotated[
        str | None, typer.Argument(metavar="[PERSON]", help="Somebody of the kitchen, by id.")
    ] = None,
    role: Annotated[
        Role | None, typer.Option(help="What they may do; left out: cook.", case_sensitive=False)
    ] = None,
    withdraw: Annotated[
        bool, typer.Option("--withdraw", help="They have none any more.")
    ] = False,
    calendar: Annotated[
        bool, typer.Option("--calendar", help="Say the address of their calendar; no new code.")
    ] = False,
    kitchen: Annotated[str | None, typer.Option(help="Which, where the book has several.")] = None,
) -> None:
    """Make somebody's personal code for signing in; without PERSON: who has one."""
    given = {"--withdraw": withdraw, "--role": role is not None, "--calendar": calendar}
    if person is None and any(given.values()):
        option = next(name for name, there in given.items() if there)
        raise typer.BadParameter(f"{option} needs PERSON: whose code it is.")
    if calendar and (withdraw or role is not None):
        raise typer.BadParameter("--calendar only says an address; it makes and ends no code.")
    if withdraw and role is not None:
        raise typer.BadParameter("A code is made with --role or taken away with --withdraw.")
    from scheduler.commands.personal_codes import calendar_address
    from scheduler.commands.personal_codes import code as command

    if calendar and person is not None:
        run(lambda: calendar_address(person, kitchen))
    run(lambda: command(person, role, withdraw, kitchen))


@app.command(name="import")
def import_(
    folder: Annotated[
        str,
        typer.Argument(metavar="FOLDER", help="A folder with a written week, or a shipped name."),
    ],
    over: Annotated[
        bool, typer.Option("--over", help="Also where the book has newer revisions.")
    ] = False,
) -> None:
    """Save a written week in the book: kitchen, recipes, week, and the text of its files."""
    from scheduler.commands.exchange import bring_in

    run(lambda: bring_in(folder, over))


app.command()(paste)


@app.command()
def export(
    week: Annotated[str, typer.Argument(metavar="WEEK", help="A week of the book.")],
    folder: Annotated[
        str, typer.Argument(metavar="FOLDER", help="A new folder, or one exported before.")
    ],
    kitchen: Annotated[str | None, typer.Option(help="Which, where the book has several.")] = None,
    over: Annotated[
        bool,
        typer.Option("--over", help="Files that no export wrote go aside, into a folder there."),
    ] = False,
) -> None:
    """Write a week of the book into a folder; files that nobody has changed as they were."""
    from scheduler.commands.exchange import take_out

    if not folder.strip():
        raise typer.BadParameter("FOLDER has no name; this folder is '.'.")
    run(lambda: take_out(week, Path(folder), kitchen, over))


@app.command()
def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE.zip", help="A new file.")],
    with_secrets: Annotated[
        bool, typer.Option("--with-secrets", help="With codes and sign-ins.")
    ] = False,
) -> None:
    """Write the whole book into one file, from which it can be restored."""
    from scheduler.commands.backup import backup as command

    run(lambda: command(file, with_secrets))


@app.command()
def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE.zip", help="A backup.")],
) -> None:
    """Restore a backup into a book in which there is nothing yet."""
    from scheduler.commands.backup import restore as command

    run(lambda: command(file))


@app.command()
def book() -> None:
    """Show where the book is, and what is in it."""
    from scheduler.commands.backup import page as command

    run(command)


@app.command()
def wall(
    plan: Annotated[
        Path | None, typer.Argument(metavar="[PLAN]", help="A plan file to put up.")
    ] = None,
    at: Annotated[
        str | None,
        typer.Option(help="What hung there then, by the kitchen's clock: '2026-05-05 10:00'."),
    ] = None,
    down: Annotated[bool, typer.Option("--down", help="Take down what hangs there.")] = False,
    week: Annotated[str | None, typer.Option(help="Of which week.")] = None,
    kitchen: Annotated[str | None, typer.Option(help="Which, where the book has several.")] = None,
) -> None:
    """See what hangs on the wall, put a plan up, or take one down."""
    from scheduler.commands.wall import put_on_wall, show_wall, take_from_wall

    if plan is not None:
        if at is not None or down or week is not None or kitchen is not None:
            raise typer.BadParameter("PLAN is put up for its own week; it goes with no option.")
        run(lambda: put_on_wall(plan))
    if down:
        if at is not None:
            raise typer.BadParameter("What hung there at a moment cannot be taken down: --at.")
        run(lambda: take_from_wall(week, kitchen))
    run(lambda: show_wall(at, week, kitchen))


@app.command()
def record(
    week: Annotated[str, typer.Argument(metavar="WEEK", help="A week of the book, by id.")],
    kitchen: Annotated[str | None, typer.Option(help="Which, where the book has several.")] = None,
) -> None:
    """Print what was entered for a week, as a log."""
    from scheduler.commands.wall import record as command

    run(lambda: command(week, kitchen))


def _version(wanted: bool) -> None:
    if wanted:
        from scheduler.plan.versions import version_of

        say(f"backtime {version_of('backtime')}")
        raise typer.Exit


@app.callback()
def _backtime(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    pass


def main(arguments: Sequence[str] | None = None) -> None:
    """The entry point."""
    if getattr(scheduler, "PROJECT", None) != "backtime":
        sys.stderr.write(
            "Another package has overwritten Backtime's folder 'scheduler' "
            f"({getattr(scheduler, '__file__', None)}).\n"
            "Install Backtime into an environment of its own: python -m venv .venv\n"
        )
        raise SystemExit(int(Exit.BAD_INPUT))
    try:
        app(args=arguments, prog_name="backtime")
    except Stop as stop:  # the version, which finds no room
        raise SystemExit(int(stop.code)) from None
    except OSError as error:  # help that finds no room
        raise SystemExit(int(unsaid(error).code)) from None


if __name__ == "__main__":
    main()
