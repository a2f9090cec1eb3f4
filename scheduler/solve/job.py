"""The solving job: `python -P -m scheduler.solve.job FOLDER`.

It reads `request.json` in the folder, plans in a process of its own and
writes there: `events.jsonl` (one JSON object a line), `plan.json` (the best
plan so far, audited, replaced in one go) and `heartbeat` (touched every
second). It ends early when a file `stop` appears, with what is on file if
nothing better is ready in time, and at once when whoever started it is gone.
Files are all it shares with them, so the command, the API and the app run it
alike on every system. Time asleep is no time to plan in and is given back.
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
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.solve.awake import TICK, Awake
from scheduler.solve.request import (
    BEAT,
    EVENTS,
    HEARTBEAT,
    NO_MEMORY,
    NO_ROOM,
    PLAN,
    REQUEST,
    STOP,
    Request,
)

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit import Report
    from scheduler.plan.file import Made
    from scheduler.plan.model import Plan

WITH_PARENT = "--with-parent"
"""Wait for the request, and leave when standard input ends: whoever started the job is gone."""

LAST_WORD = 0.75
"""Seconds from being told to stop until the plan on file is the answer, whatever is going on."""

Solve = Callable[..., "Plan"]
Clock = Callable[[], float]


class Teller:
    """Takes what the engine tells, has it audited and writes it down.

    Nothing that breaks a rule replaces a plan that breaks none. Between two
    plans it waits until writing costs little of the time that searching gets.

    Parameters
    ----------
    folder : Path
    scenario, made
        As they go into the plan file.
    clock : callable
        Seconds; what is told counts from now, when the request has been read.
    """

    def __init__(self, folder: Path, scenario: Scenario, made: Made, clock: Clock) -> None:
        self._folder, self._scenario, self._made = folder, scenario, made
        self.kept: Plan | None = None
        self._report: Report | None = None
        self._clock, self._since, self._not_before = clock, clock(), 0.0
        self.unwritten: OSError | None = None
        """Why the best plan is not on file."""

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
                self.say(said | self.figures() | self.took())
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
        try:
            write_plan(self._folder / PLAN, plan, self._scenario, self._made, report)
        except OSError as error:  # the next may find room again
            self.unwritten = error
            return False
        self.kept, self._report, self.unwritten = plan, report, None
        return True

    def took(self) -> dict[str, float]:
        """Seconds since the request had been read."""
        return {"seconds": round(self._clock() - self._since, 3)}

    def figures(self) -> dict[str, Any]:
        """How good the plan on file is."""
        if self.kept is None or self._report is None:
            return {}
        terms = self.kept.terms.model_dump(mode="json")
        return {"valid": self._report.valid, "served": self._report.served, "terms": terms}

    def say(self, event: dict[str, Any]) -> None:
        """Add a line to the events."""
        say(self._folder, event)


def run(
    folder: Path,
    request: Request,
    solve: Solve,
    stop: Callable[[], bool],
    clock: Clock = time.monotonic,
    leave: Callable[[int], None] | None = None,
) -> int:
    """Plan what a request asks for, and leave everything in the folder.

    Parameters
    ----------
    solve : callable
        `plan_week`, or something like it.
    stop : callable
        Asked now and then; true: enough.
    clock : callable
        Seconds, as far as they count.
    leave : callable, optional
        Ends the process; called when a stop finds the search busy for too long.

    Returns
    -------
    int
        0, 2 for bad input, 70 for a fault of ours, 74 where the best plan cannot be written.
        All stand in the events too.
    """
    from scheduler.domain.problems import BadInput
    from scheduler.domain.reading import scenario_of
    from scheduler.domain.staying import staying
    from scheduler.plan.file import Made
    from scheduler.plan.model import Past
    from scheduler.plan.older import older_plan

    over = threading.Event()
    try:
        scenario = scenario_of(request.scenario)
        kept = staying(request.kept)
        start_from, parent = older_plan(request.plan, scenario)
        made = Made(
            seed=request.seed, seconds=request.seconds, deterministic=request.deterministic,
            parent=parent,
        )  # fmt: skip
        teller = Teller(folder, scenario, made, clock)
        if leave is not None:
            watch = threading.Thread(target=cut_short, args=(teller, stop, over, leave))
            watch.daemon = True
            watch.start()
        plan = solve(
            scenario,
            seconds=request.seconds,
            seed=request.seed,
            deterministic=request.deterministic,
            workers=request.workers,
            cluster=request.cluster,
            kept=kept,
            start_from=start_from,
            past=None if request.past is None else Past.model_validate(request.past),
            tell=teller,
            stop=stop,
            clock=clock,
        )
        if teller.kept is not None or not stop():  # stopped before a first plan: nothing to show
            teller.keep(plan)
        if teller.unwritten is not None:
            raise teller.unwritten
        calls = {} if stop() else {"last_calls": _last_calls(scenario, teller.kept or plan)}
        over.set()
        teller.say({"kind": "done"} | teller.took() | teller.figures() | calls)
    except BadInput as bad:
        fields = [asdict(p) for p in bad.problems]
        say(folder, {"kind": "bad", "problems": fields})
        return 2
    except Exception as error:
        return _failed(folder, error)
    finally:
        over.set()
    return 0


def cut_short(
    teller: Teller, stop: Callable[[], bool], over: threading.Event, leave: Callable[[int], None]
) -> None:
    """Once stopped, give the search a moment to hand over what it has, then do without."""
    while not over.wait(0.05):
        if stop():
            if not over.wait(LAST_WORD):
                with suppress(OSError):
                    teller.say({"kind": "done", "cut": True} | teller.took() | teller.figures())
                leave(0)
            return


def _failed(folder: Path, error: Exception) -> int:
    """Say what went wrong, as far as there is room to say it, and give the code."""
    traceback.print_exc()
    what = f"{type(error).__name__}: {error}".removesuffix(": ")
    with suppress(OSError):
        say(folder, {"kind": "failed", "what": what, "cause": cause(error)})
    return NO_ROOM if isinstance(error, OSError) else 70


def cause(error: Exception) -> str:
    """Whose fault it is: "memory", "room" (nothing can be written), or else "fault": ours."""
    said = f"{type(error).__name__}: {error}"
    if any(words in said for words in NO_MEMORY):
        return "memory"
    return "room" if isinstance(error, OSError) else "fault"


def _last_calls(scenario: Scenario, plan: Plan) -> list[dict[str, Any]]:
    from scheduler.solve.last_calls import last_calls

    return [asdict(call) for call in last_calls(scenario, plan)]


_saying = threading.Lock()


def say(folder: Path, event: dict[str, Any]) -> None:
    """Add a line to a folder's events."""
    with _saying, open(folder / EVENTS, "a", encoding="utf-8", newline="\n") as file:
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


def beat(folder: Path, ended: threading.Event, clock: Awake) -> None:
    """Touch the heartbeat and keep the clock going until told that all has ended; say of sleep."""
    beaten, known = -BEAT, 0.0
    while True:
        now, slept = clock(), clock.slept - known
        with suppress(OSError):
            if slept:
                say(folder, {"kind": "woken", "slept": round(slept, 1)})
                known += slept
            if slept or now - beaten >= BEAT:
                (folder / HEARTBEAT).touch()
                beaten = now
        if ended.wait(TICK):
            return


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
    from scheduler.solve.helpers import helpers

    def solve(
        scenario: Scenario,
        *,
        workers: int | None,
        deterministic: bool,
        cluster: str | None,
        **rest: Any,
    ) -> Plan:
        with helpers(workers, deterministic, cluster) as (executor, count):
            return plan_week(
                scenario, workers=count, deterministic=deterministic, executor=executor, **rest
            )

    return solve


def wait_for(path: Path, stop: Callable[[], bool]) -> bool:
    """Wait until a file is there; False if told to stop before."""
    while not path.exists():
        if stop():
            return False
        time.sleep(0.005)
    return True


def main(
    arguments: list[str],
    solve: Solve | None = None,
    leave: Callable[[int], None] | None = None,
) -> int:
    """Run the job in a folder; the command line of the module. `leave`: see `run`."""
    with_parent = WITH_PARENT in arguments
    folders = [a for a in arguments if a != WITH_PARENT]
    if len(folders) != 1 or not Path(folders[0]).is_dir():
        print(f"usage: python -P -m scheduler.solve.job FOLDER [{WITH_PARENT}]", file=sys.stderr)
        return 2
    folder = Path(folders[0])
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for whoever started it
    ended, clock = threading.Event(), Awake()
    try:
        with suppress(OSError):
            (folder / HEARTBEAT).touch()  # at once: whoever listens may look before the thread runs
        threading.Thread(target=beat, args=(folder, ended, clock), daemon=True).start()
        if with_parent:
            threading.Thread(target=leave_with_parent, daemon=True).start()
        stop = stopper(folder)
        solve = solve or _engine()  # slow to import, so while the request is on its way
        if with_parent and not wait_for(folder / REQUEST, stop):
            return 0
        return run(folder, Request.read(folder / REQUEST), solve, stop, clock, leave)
    except Exception as error:
        return _failed(folder, error)
    finally:
        ended.set()


if __name__ == "__main__":
    # Nothing is left to tidy up, and a large week takes a while to be forgotten.
    os._exit(main(sys.argv[1:], leave=os._exit))
