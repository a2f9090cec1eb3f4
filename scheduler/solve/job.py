"""The solving job: `python -P -m scheduler.solve.job FOLDER`.

It reads `request.json` in the folder, plans in a process of its own and
writes there: `events.jsonl` (one JSON object a line), `plan.json` (the best
plan so far, audited, replaced in one go) and `heartbeat` (touched every
second). It ends early when a file `stop` appears, and at once when whoever
started it is gone. Files are all it shares with them, so the command, the API
and the app run it alike on every system.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import threading
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.solve.request import BEAT, EVENTS, HEARTBEAT, PLAN, REQUEST, STOP, Request

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit import Report
    from scheduler.plan.file import Made
    from scheduler.plan.model import Plan

WITH_PARENT = "--with-parent"
"""Wait for the request, and leave when standard input ends: whoever started the job is gone."""

Solve = Callable[..., "Plan"]


class Teller:
    """Takes what the engine tells, has it audited and writes it down.

    Nothing that breaks a rule replaces a plan that breaks none. Between two
    plans it waits until writing costs little of the time that searching gets.

    Parameters
    ----------
    folder : Path
    scenario, made
        As they go into the plan file.
    since : float
        When the request had been read, on `time.monotonic`: what `seconds` count from.
    """

    def __init__(self, folder: Path, scenario: Scenario, made: Made, since: float) -> None:
        self._folder, self._scenario, self._made = folder, scenario, made
        self.kept: Plan | None = None
        self._report: Report | None = None
        self._since, self._not_before = since, 0.0

    def __call__(self, event: dict[str, Any]) -> None:
        """What the engine calls with each event."""
        plan = event.get("plan")
        said = {key: value for key, value in event.items() if key != "plan"}
        if event["kind"] == "done":
            return  # said by `done`, after the last audit
        if plan is None:
            self.say(said)
        elif time.monotonic() >= self._not_before:
            begun = time.monotonic()
            if self.keep(plan):
                now = time.monotonic()
                self.say(said | self.figures() | {"seconds": round(now - self._since, 3)})
            took = time.monotonic() - begun
            self._not_before = time.monotonic() + max(0.5, 20 * took)

    def keep(self, plan: Plan) -> bool:
        """Audit a plan and write it, unless a better judged one is there; say whether it was."""
        from scheduler.plan.audit import audit
        from scheduler.plan.file import write_plan

        if plan is self.kept:
            return True
        report = audit(self._scenario, plan)
        if not report.valid:
            rules = sorted({f.rule for f in report.findings})
            some = [str(f) for f in report.findings[:20]]
            self.say({"kind": "refused", "rules": rules, "findings": some})
            if self._report is not None and self._report.valid:
                return False
        write_plan(self._folder / PLAN, plan, self._scenario, self._made, report)
        self.kept, self._report = plan, report
        return True

    def figures(self) -> dict[str, Any]:
        """How good the plan on file is."""
        if self.kept is None or self._report is None:
            return {}
        terms = self.kept.terms.model_dump(mode="json")
        return {"valid": self._report.valid, "served": self._report.served, "terms": terms}

    def say(self, event: dict[str, Any]) -> None:
        """Add a line to the events."""
        say(self._folder, event)


def run(folder: Path, request: Request, solve: Solve, stop: Callable[[], bool]) -> int:
    """Plan what a request asks for, and leave everything in the folder.

    Parameters
    ----------
    solve : callable
        `plan_week`, or something like it.
    stop : callable
        Asked now and then; true: enough.

    Returns
    -------
    int
        0, 2 for bad input, 70 for a fault of ours. Both stand in the events too.
    """
    from scheduler.domain.problems import BadInput
    from scheduler.domain.reading import scenario_of
    from scheduler.plan.file import Made

    begun = time.monotonic()
    made = Made(seed=request.seed, seconds=request.seconds, deterministic=request.deterministic)
    teller: Teller | None = None
    try:
        scenario = scenario_of(request.scenario)
        teller = Teller(folder, scenario, made, begun)
        plan = solve(
            scenario,
            seconds=request.seconds,
            seed=request.seed,
            deterministic=request.deterministic,
            workers=request.workers,
            tell=teller,
            stop=stop,
        )
        if teller.kept is not None or not stop():  # stopped before a first plan: nothing to show
            teller.keep(plan)
        took = {"seconds": round(time.monotonic() - begun, 3)}
        calls = {"last_calls": _last_calls(scenario)}
        teller.say({"kind": "done"} | took | teller.figures() | calls)
    except BadInput as bad:
        fields = [{f: getattr(p, f) for f in p.__slots__} for p in bad.problems]
        say(folder, {"kind": "bad", "problems": fields})
        return 2
    except Exception as error:
        traceback.print_exc()
        say(folder, {"kind": "failed", "what": f"{type(error).__name__}: {error}"})
        return 70
    return 0


def _last_calls(scenario: Scenario) -> list[dict[str, Any]]:
    from scheduler.solve.last_calls import last_calls

    return [{"batch": c.batch, "step": c.step, "by": c.by} for c in last_calls(scenario)]


def say(folder: Path, event: dict[str, Any]) -> None:
    """Add a line to a folder's events."""
    with open(folder / EVENTS, "a", encoding="utf-8", newline="\n") as file:
        file.write(json.dumps(event, ensure_ascii=False) + "\n")


def stopper(folder: Path) -> Callable[[], bool]:
    """A function that says whether the stop file is there; it looks 20 times a second at most."""
    stopped, not_before = False, 0.0

    def stop() -> bool:
        nonlocal stopped, not_before
        if not stopped and time.monotonic() >= not_before:
            stopped = (folder / STOP).exists() or not folder.exists()
            not_before = time.monotonic() + 0.05
        return stopped

    return stop


def beat(folder: Path, ended: threading.Event) -> None:
    """Touch the heartbeat until told that all has ended."""
    while not ended.is_set():
        with suppress(OSError):
            (folder / HEARTBEAT).touch()
        ended.wait(BEAT)


def leave_with_parent() -> None:
    """Wait for standard input to end, then leave at once, and take the workers along."""
    with suppress(OSError):
        while os.read(0, 4096):
            pass
    if sys.platform != "win32" and os.getpgid(0) == os.getpid():
        os.killpg(os.getpid(), signal.SIGKILL)
    os._exit(70)


def _engine() -> Solve:
    """Import what planning needs, and nothing that a first plan can do without."""
    import scheduler.domain.reading
    import scheduler.plan.audit
    import scheduler.plan.file  # noqa: F401
    from scheduler.solve.engine import plan_week
    from scheduler.solve.helpers import processes

    def solve(scenario: Scenario, *, workers: int, deterministic: bool, **rest: Any) -> Plan:
        with processes(0 if deterministic else workers - 1) as executor:
            return plan_week(
                scenario, workers=workers, deterministic=deterministic, executor=executor, **rest
            )

    return solve


def wait_for(path: Path, stop: Callable[[], bool]) -> bool:
    """Wait until a file is there; False if told to stop before."""
    while not path.exists():
        if stop():
            return False
        time.sleep(0.005)
    return True


def main(arguments: list[str], solve: Solve | None = None) -> int:
    """Run the job in a folder; the command line of the module."""
    with_parent = WITH_PARENT in arguments
    folders = [a for a in arguments if a != WITH_PARENT]
    if len(folders) != 1 or not Path(folders[0]).is_dir():
        print(f"usage: python -P -m scheduler.solve.job FOLDER [{WITH_PARENT}]", file=sys.stderr)
        return 2
    folder = Path(folders[0])
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for whoever started it
    ended = threading.Event()
    threading.Thread(target=beat, args=(folder, ended), daemon=True).start()
    if with_parent:
        threading.Thread(target=leave_with_parent, daemon=True).start()
    try:
        stop = stopper(folder)
        solve = solve or _engine()  # slow to import, so while the request is on its way
        if with_parent and not wait_for(folder / REQUEST, stop):
            return 0
        return run(folder, Request.read(folder / REQUEST), solve, stop)
    except Exception as error:
        traceback.print_exc()
        say(folder, {"kind": "failed", "what": f"{type(error).__name__}: {error}"})
        return 70
    finally:
        ended.set()


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
