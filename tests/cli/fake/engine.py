"""An engine that does what a test asks for, by the words in FAKE_ENGINE."""

from __future__ import annotations

import os
import shutil
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Missing, Plan, Terms, Unserved
from tests.plan import tiny


def plan_week(
    scenario: Scenario,
    *,
    tell: Callable[[dict[str, Any]], None],
    stop: Callable[[], bool],
    **_: object,
) -> Plan:
    """Plan the hut's supper."""
    does = os.environ.get("FAKE_ENGINE", "").split()
    if "PID_FILE" in os.environ:
        Path(os.environ["PID_FILE"]).write_text(str(os.getpid()))
    good = tiny.plan()
    plan = _short(good, certain="certain" in does) if "short" in does else good
    if "invalid" in does:
        plan = plan.model_copy(update={"holds": ()})
    if "bad" in does:
        raise BadInput([Problem("kitchen.yaml", 3, 7, "the kettle", "too small", "20 l")])
    if "first" in does:
        tell({"kind": "first", "plan": plan, "seconds": 0.1})
    if "worse" in does:
        plan = plan.model_copy(update={"holds": ()})
    if "raise" in does:
        raise RuntimeError("the pot boiled over")
    if "die" in does:
        os._exit(9)
    if "memory" in does:
        raise MemoryError
    if "abort" in does:
        os.abort()
    if "killed" in does:
        signal.raise_signal(signal.SIGKILL)
    if "lonely" in does:
        tell({"kind": "helper lost", "what": "BrokenProcessPool: killed", "seconds": 0.2})
    if "room" in does:  # somebody tidies up, once the plan has been put in its place
        while not Path(os.environ["PLACE"]).exists():
            time.sleep(0.01)
        folder = next(p for p in map(Path, sys.argv[1:]) if p.is_dir())
        while folder.exists():  # the job may just be writing into it
            shutil.rmtree(folder, ignore_errors=True)
    while "wait" in does and not stop():
        time.sleep(0.01)
    while "hang" in does:
        time.sleep(0.01)
    return plan


def _short(plan: Plan, certain: bool) -> Plan:
    """The soup is left out."""
    return plan.model_copy(
        update={
            "tasks": plan.tasks[1:],
            "holds": (),
            "missing": (Missing(batch="soup.1", why="nobody at the stove", certain=certain),),
            "unserved": (
                Unserved(
                    batch="supper.bowl", event="supper", dish="bowl", portions=36, lacks=("soup",)
                ),
            ),
            "terms": Terms(served=(36,), quality=0),
        }
    )
