"""Running the command as a user does: in a process of its own, from a folder of its own."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import psutil

from tests.cli.forking import Forking
from tests.plan import tiny

ROOT = Path(__file__).resolve().parents[2]
FAKE = Path(__file__).parent / "fake"
Begin = Callable[..., "subprocess.Popen[str]"]
FORKING = Forking(ROOT)
COMMAND = [sys.executable, "-P", "-m", "scheduler.cli"]


def environment(fake: str | None = None, **more: str) -> dict[str, str]:
    """An environment in which this checkout is found, and the fake engine if it is asked for."""
    paths = ([str(FAKE)] if fake is not None else []) + [str(ROOT)]
    known = {k: v for k, v in os.environ.items() if not k.startswith("PYTEST")}
    return known | {"PYTHONPATH": os.pathsep.join(paths), "FAKE_ENGINE": fake or ""} | more


def backtime(
    *arguments: str | Path, cwd: Path, fake: str | None = None, **more: str
) -> subprocess.CompletedProcess[str]:
    """Run the command to its end."""
    if fake is None and hasattr(os, "fork"):
        with tempfile.TemporaryDirectory() as folder:
            out, said = Path(folder) / "said", [str(a) for a in arguments]
            code = FORKING.run(said, cwd, environment(**more), out)
            texts = [Path(f"{out}.{n}").read_text(encoding="utf-8") for n in (1, 2)]
            return subprocess.CompletedProcess(said, code, *texts)
    return subprocess.run(
        [*COMMAND, *map(str, arguments)],
        cwd=cwd,
        env=environment(fake, **more),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


def as_at_a_terminal() -> None:
    """Undo what a shell does to what it starts in the background: there Ctrl-C is ignored."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
    for number in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, signal.SIG_DFL)


def begun(
    *arguments: str | Path, cwd: Path, fake: str | None, apart: bool = False, **more: str
) -> subprocess.Popen[str]:
    """Start the command and leave it running; `apart`: in a process group of its own."""
    return subprocess.Popen(
        [*COMMAND, *map(str, arguments)],
        cwd=cwd,
        env=environment(fake, **more),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
        preexec_fn=as_at_a_terminal,
        start_new_session=apart,
    )


def hear(process: subprocess.Popen[str], words: str) -> str:
    """Read standard error up to a line with these words in it."""
    assert process.stderr is not None
    heard = ""
    for line in process.stderr:
        heard += line
        if words in line:
            return heard
    raise AssertionError(f"never said '{words}', only:\n{heard}")


def written_week(folder: Path, document: dict[str, Any] = tiny.DOCUMENT) -> Path:
    """The tiny week as a folder of YAML (every JSON text is YAML)."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "week.yaml").write_text(json.dumps(document, indent=1), encoding="utf-8")
    return folder


def gone(pid: int, within: float = 10) -> bool:
    """Wait until a process has ended."""
    until = time.monotonic() + within
    while time.monotonic() < until:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        if Path(f"/proc/{pid}/stat").exists() and _ended(pid):
            return True
        time.sleep(0.05)
    return False


def the_job(command: subprocess.Popen[str], within: float = 20) -> psutil.Process:
    """The solving job of a running command."""
    until = time.monotonic() + within
    while time.monotonic() < until:
        for child in psutil.Process(command.pid).children():
            return child
        time.sleep(0.01)
    raise AssertionError("no job was started")


def a_helper(job: psutil.Process, within: float = 20) -> psutil.Process:
    """A helper of a solving job, once it is at work."""
    until = time.monotonic() + within
    while time.monotonic() < until:
        for child in job.children():
            with suppress(psutil.NoSuchProcess):  # also one that only waits to be taken note of
                if "spawn_main" in " ".join(child.cmdline()) and child.cpu_times().user > 0.1:
                    return child
        time.sleep(0.02)
    raise AssertionError("no helper was started")


def _ended(pid: int) -> bool:
    """It has ended and only waits for somebody to take note of it."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] in "ZX"
    except OSError:
        return True
