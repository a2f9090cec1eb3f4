"""Starting a solving job in its own process, following it, stopping it.

Nothing here needs more than the standard library, so a command is quick to
start one and reads the week while the job is importing what it needs.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Self

from scheduler.solve.listening import Lines, Pulse
from scheduler.solve.request import (
    EVENTS,
    HEARTBEAT,
    LOG,
    NO_MEMORY,
    NO_ROOM,
    PLAN,
    REQUEST,
    STOP,
    Request,
)

GRACE = 2.0
"""Seconds a job gets to end by itself once told to stop; one that can move takes less than one."""
LEAVE = 0.5
"""Seconds a job that has said its last word gets to leave by itself."""

_GENTLE = 5
"""How much later a job comes that is to let others go first (nice)."""
_POLL = 0.02


class Job:
    """A solving job in a folder and a process of its own; a context manager that cleans up.

    Attributes
    ----------
    folder : Path
    process : subprocess.Popen
    keep : bool
        Leave the folder where it is at the end.
    """

    def __init__(self, folder: Path, process: subprocess.Popen[bytes]) -> None:
        self.folder, self.process = folder, process
        self.keep = False

    @classmethod
    def start(
        cls, program: Sequence[str] = ("-P", "-m", "scheduler.solve.job"), *, gently: bool = False
    ) -> Job:
        """Start a job that waits for its request.

        Parameters
        ----------
        program : sequence of str
        gently : bool
            Let whoever looks at a screen of this machine go first.

        Raises
        ------
        OSError
            If there is no temporary folder or no process to be had.
        """
        folder = Path(tempfile.mkdtemp(prefix="backtime-"))
        # A session of its own: Ctrl-C at the terminal is for the command, not for the job.
        apart: dict[str, Any] = {"start_new_session": True}
        if sys.platform == "win32":
            below = subprocess.BELOW_NORMAL_PRIORITY_CLASS if gently else 0
            apart = {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP | below}
        try:
            with open(folder / LOG, "wb") as log:
                process = subprocess.Popen(
                    [sys.executable, *program, str(folder), "--with-parent"],
                    stdin=subprocess.PIPE,
                    stdout=log,
                    stderr=log,
                    env=_environment(),
                    **apart,
                )
        except BaseException:
            shutil.rmtree(folder, ignore_errors=True)
            raise
        if gently and sys.platform != "win32":
            with suppress(OSError):  # what it starts itself inherits it
                os.setpriority(os.PRIO_PROCESS, process.pid, _GENTLE)
        return cls(folder, process)

    def ask(self, request: Request) -> None:
        """Hand over what to plan."""
        beside = self.folder / f"{REQUEST}.part"
        beside.write_text(request.text(), encoding="utf-8")
        os.replace(beside, self.folder / REQUEST)

    @property
    def plan(self) -> Path | None:
        """The best plan so far, or none yet."""
        path = self.folder / PLAN
        return path if path.exists() else None

    def events(self, until: float | None = None) -> Iterator[dict[str, Any]]:
        """What the job says, as it says it, until its process has ended.

        Between that "silent" when its heart has not beaten for a while (a
        stopped process, a machine asleep), and "back" when it does again.

        Parameters
        ----------
        until : float, optional
            Listen no longer than this, on `time.monotonic`.
        """
        lines, pulse = Lines(self.folder / EVENTS), Pulse(self.folder / HEARTBEAT)
        while True:
            ended = self.process.poll() is not None
            yield from lines
            if ended or (until is not None and time.monotonic() > until):
                return
            if (felt := pulse.look()) is not None:
                yield felt
            time.sleep(_POLL)

    def stop(self) -> None:
        """Ask the job to come to an end; it writes its best plan first."""
        with suppress(OSError):
            (self.folder / STOP).touch()

    def kill(self) -> None:
        """End the process and its workers at once."""
        if self.process.poll() is None:
            if sys.platform == "win32":
                self.process.kill()
            else:
                with suppress(ProcessLookupError, PermissionError):
                    os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def log(self) -> str:
        """What the process wrote to its standard output and error."""
        with suppress(OSError):
            return (self.folder / LOG).read_text(encoding="utf-8", errors="replace")
        return ""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.kill()
        if self.process.stdin is not None:
            with suppress(OSError):
                self.process.stdin.close()
        if not self.keep:
            shutil.rmtree(self.folder, ignore_errors=True)


@dataclass(slots=True)
class Outcome:
    """How a job ended.

    Attributes
    ----------
    done : dict
        Its last event: verdicts, terms, last calls; empty if it did not come that far.
    problems : list of dict
        Fields of each mistake in the input.
    failed : str
        What went wrong on our side.
    broken : str
        Why it was cut short where that is nobody's fault in the code: killed, no memory, no room.
    interrupted : bool
        It was stopped with Ctrl-C.
    """

    done: dict[str, Any] = field(default_factory=dict)
    problems: list[dict[str, Any]] = field(default_factory=list)
    failed: str = ""
    broken: str = ""
    interrupted: bool = False


def follow(job: Job, hear: Callable[[dict[str, Any]], None]) -> Outcome:
    """Follow a job to its end; Ctrl-C once stops it politely, twice at once.

    Parameters
    ----------
    hear : callable
        Gets every event as it comes, and "stopping" after Ctrl-C.
    """
    outcome = Outcome()
    try:
        _listen(job, hear, outcome)
    except KeyboardInterrupt:
        outcome.interrupted = True
        with suppress(KeyboardInterrupt):
            job.stop()
            hear({"kind": "stopping"})
            _listen(job, lambda _: None, outcome, time.monotonic() + GRACE)
        return outcome
    if not outcome.done and not outcome.problems and not outcome.failed:
        code = job.process.wait()
        outcome.broken = _cut_short(code, job.log())
        outcome.failed = f"the solving job ended by itself with code {code}"
    return outcome


def _listen(
    job: Job, hear: Callable[[dict[str, Any]], None], outcome: Outcome, until: float | None = None
) -> None:
    for event in job.events(until):
        if event["kind"] == "done":
            outcome.done = event
        elif event["kind"] == "bad":
            outcome.problems = event["problems"]
        elif event["kind"] == "failed":
            outcome.broken = _NOT_OURS.get(event.get("cause", ""), "")
            outcome.failed = event["what"]
        hear(event)
        if event["kind"] in ("done", "bad", "failed"):
            with suppress(subprocess.TimeoutExpired):
                job.process.wait(LEAVE)
            return


def _cut_short(code: int, log: str) -> str:
    """Why a process that said nothing more has ended, if that was not its own doing."""
    if any(words in log for words in NO_MEMORY):
        return _NOT_OURS["memory"]
    if code == NO_ROOM:
        return _NOT_OURS["room"]
    if code < 0:
        with suppress(ValueError):
            name = signal.Signals(-code).name
            return _SIGNALS.get(name, "it was ended from outside by {}").format(name)
    return ""


_NOT_OURS = {"room": "its temporary folder is full, or gone", "memory": "memory ran out"}
_BROKE_OFF = "the solver broke off in the middle of its work ({})"
_SIGNALS = {
    "SIGKILL": "it was killed ({}), most often because memory ran out",
    **dict.fromkeys(("SIGABRT", "SIGSEGV", "SIGBUS", "SIGILL", "SIGFPE"), _BROKE_OFF),
}


def _environment() -> dict[str, str]:
    """The environment of a job: it finds the same `scheduler` that runs here.

    Installed, that is so anyway. In a checkout that is not installed, `-P`
    would hide it.
    """
    ours = Path(__file__).resolve().parents[2]
    known = os.environ.get("PYTHONPATH", "")
    if ours.name in ("site-packages", "dist-packages"):
        return dict(os.environ)
    paths = [str(ours), *([known] if known else [])]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(paths)}
