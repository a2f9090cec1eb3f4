"""What a command does while its solving job talks: show how far it is, keep each better plan."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from scheduler.commands.terminal import Progress

if TYPE_CHECKING:
    from scheduler.commands.keeping import Place
    from scheduler.solve.running import Job


class Ear:
    """Hears the events of one job.

    Every plan that breaks no rule is put in its place at once, so that
    whatever happens to the machine the best one so far is there.

    Parameters
    ----------
    job : Job
    place : Place
        Where the plans go.
    limit : float
        Seconds the job was given.

    Attributes
    ----------
    marks : dict
        First plan, first plan that serves everybody, and the end: each with seconds since the
        job had read its request, portions short and weighted minutes.
    """

    def __init__(self, job: Job, place: Place, limit: float) -> None:
        self.marks: dict[str, dict[str, Any]] = {}
        self._job, self._place, self._limit = job, place, limit
        self._progress = Progress()

    def begin(self, week: str, doing: str = "Planning") -> None:
        """Say what is being planned."""
        self._progress.now(f"{doing} {week} …", lasting=True)

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
        elif (words := _WORDS.get(kind)) is not None:
            say(words(event), lasting=True)

    def _mark(self, name: str, event: dict[str, Any]) -> None:
        terms = event["terms"]
        mark = {"seconds": event["seconds"], "short": sum(terms["served"])}
        self.marks.setdefault(name, mark | {"quality": terms["quality"]})

    def _keep(self) -> None:
        before = self._place.path
        with suppress(OSError):  # said at the end, when it still cannot be written
            if self._job.plan is not None:
                self._place.put(self._job.plan.read_text(encoding="utf-8"))
        if self._place.path != before:
            self._progress.now(
                f"Another plan has been put in {before} meanwhile and stays there; "
                f"this one goes into {self._place.path}.",
                lasting=True,
            )


def _good(event: dict[str, Any]) -> str:
    short = sum(event["terms"]["served"])
    what = "every event served" if event["served"] else f"{short} portions short"
    return f"{what}, {event['terms']['quality']} weighted minutes outside the best band"


def _refused(event: dict[str, Any]) -> str:
    return f"The second reader refused a plan ({', '.join(event['rules'])}); looking on."


def _lost(event: dict[str, Any]) -> str:
    """What became of a helper, in a word; the name of the error stands first in `what`."""
    error = str(event.get("what", "")).partition(":")[0]
    why = {
        "MemoryError": "its memory ran out",
        "Lost": "the cluster is gone, or does not do what it is asked",
        "OSError": "it could not be started",
        "BrokenProcessPool": "it was killed or broke off, most often because memory ran out",
    }.get(error, f"a fault of Backtime: {error}")
    return f"A helper of the search is lost ({why}); the search goes on without it."


_WORDS: dict[str, Callable[[dict[str, Any]], str]] = {
    "stopping": lambda _: "Stopping with the best plan so far; Ctrl-C again ends it now.",
    "refused": _refused,
    "helper lost": _lost,
    "silent": lambda _: "The search stands still; what it has found so far is kept.",
    "back": lambda _: "The search moves again.",
    "woken": lambda event: (
        f"The search slept for {event['slept']:.0f} s; it goes on with the time it had left."
    ),
}
"""What is said of events that need no more than saying."""
