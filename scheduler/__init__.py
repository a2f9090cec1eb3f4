"""Backtime plans a kitchen's event week backwards from service, and checks the plan.

What a script needs is here: `load` a written week, `work_out` what must be
made, `plan_week`, `audit` the plan, `reshuffle_plan` when it breaks,
`write_plan` and `read_plan`. Nothing is imported before it is used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from scheduler.api import load, plan_week, reshuffle_plan
    from scheduler.plan.audit import audit
    from scheduler.plan.file import read_plan, write_plan
    from scheduler.workload.work import work_out

__all__ = ["audit", "load", "plan_week", "read_plan", "reshuffle_plan", "work_out", "write_plan"]

PROJECT = "backtime"
"""How the command knows that this `scheduler` is ours and not another package's."""

_WHERE = {
    "audit": "scheduler.plan.audit",
    "load": "scheduler.api",
    "plan_week": "scheduler.api",
    "read_plan": "scheduler.plan.file",
    "reshuffle_plan": "scheduler.api",
    "work_out": "scheduler.workload.work",
    "write_plan": "scheduler.plan.file",
}


def __getattr__(name: str) -> Any:
    if name not in _WHERE:
        raise AttributeError(f"module 'scheduler' has no attribute '{name}'")
    return getattr(import_module(_WHERE[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
