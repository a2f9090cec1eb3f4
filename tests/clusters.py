"""Dask clusters on this machine, for tests and the bench."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from distributed import LocalCluster


@contextmanager
def local(workers: int = 2, **more: Any) -> Iterator[LocalCluster]:
    """A scheduler here and workers in spawned processes with one thread each."""
    from distributed import LocalCluster

    known: dict[str, Any] = {"threads_per_worker": 1, "dashboard_address": "127.0.0.1:0"}
    known |= {"host": "127.0.0.1", "silence_logs": 60}
    with LocalCluster(n_workers=workers, **(known | more)) as cluster:
        yield cluster
