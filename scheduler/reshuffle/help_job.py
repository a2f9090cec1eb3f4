"""Looking for help in a process of its own: `python -P -m scheduler.reshuffle.help_job FOLDER`.

It is a solving job that starts from a proposal and, instead of better plans, tells what would
help: "help" for each as it is found, and "mended" with all of them at the end.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from scheduler.plan.file import plan_of
from scheduler.reshuffle.asking import kept_in
from scheduler.reshuffle.help import Help, Mending, mending
from scheduler.solve.job import main
from scheduler.solve.request import Request
from scheduler.solve.running import Job

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

PROGRAM = ("-P", "-m", "scheduler.reshuffle.help_job")
SECONDS = 10.0


def look_for_help(
    text: str,
    *,
    seconds: float = SECONDS,
    deterministic: bool = False,
    gently: bool = False,
    hear: Callable[[Help], None] = lambda help: None,
) -> Mending:
    """What would mend a proposal that leaves portions short; nothing is changed by it.

    Parameters
    ----------
    text : str
        The plan file of the proposal.
    seconds : float
        Time in all.
    gently : bool
        Let whoever looks at a screen of this machine go first.
    hear : callable
        Gets each as it is found.

    Raises
    ------
    BadInput
        If it is no plan.
    OSError
        If there is no temporary folder or no process to be had.
    """
    file = plan_of(text, "the proposal")
    plan, found = file.plan, list[Help]()
    if not plan.unserved or plan.past is None:
        return Mending(())
    with Job.start(PROGRAM, gently=gently) as job:
        kept = [k.model_dump(mode="json") for k in kept_in(plan, file.scenario.clock)]
        past = plan.past.model_dump(mode="json")
        job.ask(
            Request(
                file.scenario.document(), seconds, deterministic=deterministic, kept=kept,
                plan=text, past=past,
            )
        )  # fmt: skip
        for event in job.events():
            if event["kind"] == "help":
                found.append(Help(**event["help"]))
                hear(found[-1])
            elif event["kind"] == "mended":
                helps = tuple(Help(**one) for one in event["helps"])
                return Mending(helps, tuple(event["unlooked"]))
    return Mending(tuple(found), broken=True)


def _look(
    scenario: Scenario, *, start_from: Plan, tell: Callable[[dict[str, Any]], None], **rest: Any
) -> Plan:
    """What the job does instead of planning; the proposal stays as it is."""
    asked = ("seconds", "deterministic", "kept", "stop", "clock")
    found = mending(
        scenario, start_from, tell=lambda one: tell({"kind": "help", "help": one.plain()}),
        **{word: rest[word] for word in asked},
    )  # fmt: skip
    tell({"kind": "mended", "helps": [one.plain() for one in found.helps],
          "unlooked": list(found.unlooked)})  # fmt: skip
    return start_from


if __name__ == "__main__":
    os._exit(main(sys.argv[1:], _look, os._exit))
