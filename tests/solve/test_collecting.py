"""The collector is off only until a first plan has been told, and on again whatever happens."""

from __future__ import annotations

import gc
from collections.abc import Callable
from typing import Any

import pytest

from scheduler.solve.collecting import uncollected

Tell = Callable[[dict[str, Any]], None]


@uncollected
def planning(seen: list[bool], *, fails: bool = False, tell: Tell | None = None) -> str:
    seen.append(gc.isenabled())
    if fails:
        raise ValueError
    if tell is not None:
        tell({"kind": "first"})
    seen.append(gc.isenabled())
    return "a plan"


def test_a_long_search_does_not_fill_the_memory_with_garbage() -> None:
    seen: list[bool] = []
    told: list[str] = []
    assert planning(seen, tell=lambda event: told.append(event["kind"])) == "a plan"
    assert (seen, told) == ([False, True], ["first"])


def test_a_week_that_makes_no_sense_leaves_the_collector_on() -> None:
    with pytest.raises(ValueError):
        planning([], fails=True, tell=lambda _: None)
    assert gc.isenabled()


def test_where_nobody_is_told_nothing_is_different() -> None:
    seen: list[bool] = []
    planning(seen)
    assert seen == [True, True]
