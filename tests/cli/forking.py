"""The command in processes of its own without importing everything anew for each of them.

A process that has imported what commands need waits for requests and forks one process for each;
so a test of many commands takes the time of the commands. What starting is like, is tested with
processes from nothing (`begun`, `test_entry`).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import traceback
from pathlib import Path
from typing import Any

_PRELOADED = (
    "scheduler.cli", "scheduler.api", "scheduler.book.opening", "scheduler.book.exchange",
    "scheduler.book.wall", "scheduler.commands.plan", "scheduler.outputs.sheet",
    "scheduler.plan.audit", "scheduler.safety.check",
)  # fmt: skip


class Forking:
    """The process that forks, started when it is first asked."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._process: subprocess.Popen[str] | None = None

    def run(
        self, arguments: list[str], cwd: Path, env: dict[str, str], out: Path
    ) -> int:
        """Run the command; its exit code. What it says stands in `out` with .1 and .2 behind."""
        process = self._started()
        assert process.stdin is not None
        assert process.stdout is not None
        asked = {"arguments": arguments, "cwd": str(cwd), "env": env, "out": str(out)}
        process.stdin.write(json.dumps(asked) + "\n")
        process.stdin.flush()
        return int(process.stdout.readline())

    def _started(self) -> subprocess.Popen[str]:
        if self._process is None or self._process.poll() is not None:
            self._process = subprocess.Popen(
                [sys.executable, "-P", str(Path(__file__).resolve())],
                env=os.environ | {"PYTHONPATH": str(self.root)},
                stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8",
            )  # fmt: skip
        return self._process


def serve() -> None:
    """Fork a process for each line that comes in; say its exit code."""
    import importlib

    for name in _PRELOADED:
        importlib.import_module(name)
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            _child(json.loads(line))
        _, status = os.waitpid(child, 0)
        print(os.waitstatus_to_exitcode(status), flush=True)


def _child(asked: dict[str, Any]) -> None:
    """Be the command, as if it had just been started; never comes back."""
    code = 70
    try:
        os.environ.clear()
        os.environ.update(asked["env"])
        os.chdir(asked["cwd"])
        for number in (1, 2):
            to = os.open(f"{asked['out']}.{number}", os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600)
            os.dup2(to, number)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        sys.stdout = os.fdopen(1, "w", encoding="utf-8", closefd=False)
        sys.stderr = os.fdopen(2, "w", encoding="utf-8", closefd=False, buffering=1)
        sys.stdin = os.fdopen(0, encoding="utf-8", closefd=False)
        sys.argv = ["backtime", *asked["arguments"]]
        from scheduler.entry import main

        main()
        code = 0
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else int(end.code is not None)
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


if __name__ == "__main__":
    serve()
