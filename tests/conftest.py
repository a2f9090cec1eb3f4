"""Settings that all tests share."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from tests.clusters import local

if TYPE_CHECKING:
    from distributed import LocalCluster

# Clocks of a loaded machine decide nothing; in CI every run tries the same examples.
settings.register_profile("backtime", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("backtime")


@pytest.fixture(scope="module")
def two_workers() -> Iterator[LocalCluster]:
    """A cluster of two worker processes; skipped where the extra `cluster` is not installed."""
    pytest.importorskip("distributed")
    with local() as cluster:
        yield cluster
