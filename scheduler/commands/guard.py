"""Around every command: mistakes, faults and Ctrl-C become a sentence and an exit code."""

from __future__ import annotations

import os
import signal
import traceback
from collections.abc import Callable
from contextlib import suppress
from typing import NoReturn

from scheduler.commands.codes import Exit, Stop
from scheduler.commands.terminal import tell

SHOW_TRACEBACK = "BACKTIME_TRACEBACK"


def run(command: Callable[[], Exit]) -> NoReturn:
    """Run a command and leave with its exit code."""
    raise SystemExit(int(guarded(command)))


def guarded(command: Callable[[], Exit]) -> Exit:
    """Run a command and give its exit code, whatever happens."""
    _ctrl_c_for_all()
    try:
        return explained(command)
    except KeyboardInterrupt:
        tell("Stopped.")
        return Exit.INTERRUPTED


def explained(command: Callable[[], Exit]) -> Exit:
    """Run a command and give its exit code, unless it is interrupted."""
    try:
        return command()
    except Stop as stop:
        return stop.code
    except Exception as error:
        return _explained(error)


def _explained(error: Exception) -> Exit:
    from scheduler.domain.problems import BadInput

    if isinstance(error, BadInput):
        tell(str(error))
        return Exit.BAD_INPUT
    if any(kind.__name__ == "BookError" for kind in type(error).__mro__):
        # Looked at by name: the book is loaded only by what opens it.
        tell(str(error))
        return Exit.BAD_INPUT
    if type(error).__name__ == "SchemaError" and "KeyboardInterrupt" in str(error):
        # Ctrl-C while pydantic builds its classes comes out as an error of theirs.
        tell("Stopped.")
        return Exit.INTERRUPTED
    if os.environ.get(SHOW_TRACEBACK):
        tell(traceback.format_exc())
    tell(f"This is a fault of Backtime, not of your week: {type(error).__name__}: {error}")
    if not os.environ.get(SHOW_TRACEBACK):
        tell(f"Set {SHOW_TRACEBACK}=1 to see where it happened.")
    return Exit.OUR_FAULT


def _ctrl_c_for_all() -> None:
    """Being told to end, or losing the terminal, is treated like Ctrl-C."""

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):
        with suppress(AttributeError, ValueError, OSError):
            number = getattr(signal, name)
            if signal.getsignal(number) is signal.SIG_DFL:
                signal.signal(number, interrupt)
