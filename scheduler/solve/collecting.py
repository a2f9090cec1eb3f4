"""Python's garbage collector keeps out of the way of a first plan.

While a week is read and compiled nearly everything that is made stays, and looking through all of
it for garbage takes a quarter of the time (measured on 1,000 visits).
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from functools import wraps
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


def uncollected(plan: Callable[P, T]) -> Callable[P, T]:
    """A function that tells of plans, without collections until the first has been told.

    Where nobody is told, nothing is different.
    """

    @wraps(plan)
    def planned(*args: P.args, **more: P.kwargs) -> T:
        tell = more.get("tell")
        if not callable(tell) or not gc.isenabled():
            return plan(*args, **more)

        def heard(event: dict[str, Any]) -> None:
            tell(event)
            gc.enable()

        gc.disable()
        try:
            return plan(*args, **{**more, "tell": heard})  # type: ignore[arg-type]
        finally:
            gc.enable()

    return planned
