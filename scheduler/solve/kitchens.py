"""Many kitchens at once: each whole week is one task on a worker of a cluster.

What comes back is a plan that nobody has read yet; whoever asked has it
audited.
"""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, Future, wait
from contextlib import suppress
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, TypeVar

from scheduler.domain.problems import BadInput, Problem
from scheduler.solve.cluster import ANSWER, Cluster, Lost, within

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

    Answer = Plan | BadInput | Lost

T = TypeVar("T")

LOOK = 5.0
"""Seconds between two looks whether any worker is there …"""
GONE = 30.0
"""… and how long there may be none."""

_STOPPED: set[str] = set()
"""On a worker: whose weeks are to come to an end."""


class Kitchens:
    """Weeks that are being planned on a cluster.

    Parameters
    ----------
    cluster : Cluster
    weeks : mapping of str to Scenario
    seconds, seed, deterministic
        For each of them, as in `plan_week`.

    Attributes
    ----------
    pending : dict
        Names of those that have not come yet, by their future.
    """

    def __init__(
        self,
        cluster: Cluster,
        weeks: Mapping[str, Scenario],
        *,
        seconds: float,
        seed: int,
        deterministic: bool,
    ) -> None:
        self._cluster, self._whose = cluster, uuid.uuid4().hex
        asked = (seconds, seed, deterministic, self._whose)
        self.pending: dict[Future[dict[str, Any]], str] = {}
        for name, week in weeks.items():
            self.pending[self._submitted(week, asked)] = name

    def _submitted(self, week: Scenario, asked: tuple[Any, ...]) -> Future[dict[str, Any]]:
        try:
            return self._cluster.executor.submit(plan_there, week.document(), *asked)
        except Lost as lost:
            future: Future[dict[str, Any]] = Future()
            future.set_exception(lost)
            return future

    def come(self, until: float | None = None) -> Iterator[tuple[str, Answer]]:
        """Each week as it comes; what is interrupted while it is looked at comes again.

        Parameters
        ----------
        until : float, optional
            Wait no longer than this, on `time.monotonic`.
        """
        seen = time.monotonic()
        while self.pending:
            done = _done(list(self.pending), _left(until))
            for future in done:
                yield self.pending[future], _answer(future)
                del self.pending[future]
            now = time.monotonic()
            if until is not None and now >= until:
                return
            if done or self._cluster.threads():
                seen = now
            elif now - seen > GONE:
                for future, name in list(self.pending.items()):
                    yield name, Lost(f"no worker has been there for {GONE:g} s")
                    del self.pending[future]

    def stop(self) -> None:
        """Have every week come to an end with its best plan so far."""
        with suppress(Exception):
            client, whose = self._cluster.client, self._whose
            within(ANSWER, lambda: client.run(_stop_here, whose, on_error="ignore"))


def _done(pending: list[Future[T]], seconds: float) -> set[Future[T]]:
    """Those that have come, once one has or so many seconds have passed.

    Another thread waits: Ctrl-C in the midst of `wait` could leave the lock of
    a future taken, and whoever brings its answer would stand before it for ever.
    """
    return within(seconds + ANSWER, lambda: wait(pending, seconds, FIRST_COMPLETED)).done


def _left(until: float | None) -> float:
    return LOOK if until is None else min(LOOK, max(0.0, until - time.monotonic()))


def _answer(future: Future[dict[str, Any]]) -> Answer:
    """What a worker has sent, as far as it is what was asked for."""
    from scheduler.plan.model import Plan

    try:
        sent = future.result()
        if "problems" in sent:
            return BadInput([Problem(**fields) for fields in sent["problems"]])
        return Plan.model_validate(sent["plan"])
    except Lost as lost:
        return lost
    except Exception as error:  # whatever it is, it is no plan
        return Lost(f"{type(error).__name__}: {error}")


def plan_there(
    document: dict[str, Any], seconds: float, seed: int, deterministic: bool, whose: str
) -> dict[str, Any]:
    """On a worker: plan a week alone, in turns.

    Returns
    -------
    dict
        `plan` as plain data, or `problems` for bad input.
    """
    from scheduler.domain.reading import scenario_of
    from scheduler.solve.engine import plan_week

    try:
        plan = plan_week(
            scenario_of(document),
            seconds=seconds,
            seed=seed,
            deterministic=deterministic,
            workers=1,
            stop=_stopper(whose),
        )
    except BadInput as bad:
        return {"problems": [asdict(p) for p in bad.problems]}
    return {"plan": plan.model_dump(mode="json")}


def _stop_here(whose: str) -> None:
    _STOPPED.add(whose)


def _stopper(whose: str) -> Callable[[], bool]:
    """Stop when told to, and when nobody waits for the plan any more."""
    from distributed import get_worker

    worker = get_worker()
    key = worker.get_current_task()

    def stop() -> bool:
        task = worker.state.tasks.get(key)
        return whose in _STOPPED or task is None or task.state == "cancelled"

    return stop
