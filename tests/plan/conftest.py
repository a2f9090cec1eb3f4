"""A rich week and a good plan of it, made once."""

from __future__ import annotations

import pytest

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan
from scheduler.solve.engine import plan_week
from tests.plan.rich import rich


@pytest.fixture(scope="session")
def rich_week() -> Scenario:
    """The week of `rich.py`."""
    return rich()


@pytest.fixture(scope="session")
def rich_plan() -> Plan:
    """A plan of it, the same every time."""
    return plan_week(rich(sound=True), seconds=4, deterministic=True, workers=1)
