"""What a command does while its solving job talks: show how far it is, keep each better plan."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

from scheduler.commands.terminal import Progress
from scheduler.solve.running import Job


class Ear:
    """Hears the events of one job.

    Every plan that breaks no rule is put in its place at once, so that
    whatever happens to the machine the best one so far is there.

    Parameters
    ----------
    job : Job
    target : Path
        Where the plan is to be written.
    limit : float
        Seconds the job was given.

    Attributes
    ----------
    marks : dict
        First plan, first plan that serves everybody, and the end: each with seconds since the
        job had read its request, portions short and weighted minutes.
    """

    def __init__(self, job: Job, target: Path, limit: float) -> None:
        self.marks: dict[str, dict[str, Any]] = {}
        self._job, self._target, self._limit = job, target, limit
        self._progress = Progress()

    def begin(self, week: str) -> None:
        """Say what is being planned."""
        self._progress.now(f"Planning {week} …", lasting=True)

    def end(self) -> None:
        """No more is heard."""
        self._progress.end()

    def __call__(self, event: dict[str, Any]) -> None:
        """Hear one event."""
        kind, say = event["kind"], self._progress.now
        seconds = event.get("seconds", 0)
        after = f"{seconds:.2f} s" if seconds < 1 else f"{seconds:.1f} s"
        if kind in ("first", "better") and event["valid"]:
            self._keep()
            new = "first" not in self.marks
            self._mark("first", event)
            if event["served"]:
                self._mark("served", event)
            say(f"{'First plan' if new else 'Better'} after {after}: {_good(event)}.", lasting=new)
        elif kind == "bound" and event["bound"] > 0:
            say(f"After {after}: {event['bound']} weighted minutes outside cannot be helped.")
        elif kind == "done":
            if "terms" in event:
                self._mark("done", event)
            say(f"Done after {after} of {self._limit:g} s.", lasting=True)
        elif kind == "stopping":
            say("Stopping with the best plan so far; Ctrl-C again ends it now.", lasting=True)
        elif kind == "refused":
            rules = ", ".join(event["rules"])
            say(f"The second reader refused a plan ({rules}); looking on.", lasting=True)

    def _mark(self, name: str, event: dict[str, Any]) -> None:
        terms = event["terms"]
        mark = {"seconds": event["seconds"], "short": sum(terms["served"])}
        self.marks.setdefault(name, mark | {"quality": terms["quality"]})

    def _keep(self) -> None:
        from scheduler.plan.atomic import write_atomically

        if self._job.plan is not None:
            with suppress(OSError):  # said at the end, when it still cannot be written
                write_atomically(self._target, self._job.plan.read_text(encoding="utf-8"))


def _good(event: dict[str, Any]) -> str:
    short = sum(event["terms"]["served"])
    what = "every event served" if event["served"] else f"{short} portions short"
    return f"{what}, {event['terms']['quality']} weighted minutes outside the best band"
