"""Helper processes for a search, on any system: spawned, and gone when their parent is."""

from __future__ import annotations

import multiprocessing
import os
import threading
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from concurrent.futures import Executor


WORKERS = 2
"""Processes that search at once where nobody says how many."""


def _leave_with_parent() -> None:
    """In a helper: end when the process that started it has ended, however it did."""
    parent = multiprocessing.parent_process()

    def watch() -> None:
        if parent is not None:
            parent.join()
        os._exit(0)

    threading.Thread(target=watch, daemon=True).start()


@contextmanager
def helpers(
    workers: int | None, deterministic: bool, address: str | None
) -> Iterator[tuple[Executor | None, int]]:
    """Where rounds run, and how many search at once, this process counted.

    Parameters
    ----------
    workers : int or None
        As asked for; left out: two processes, or on a cluster this one and all its threads.
    deterministic : bool
        Nobody helps; everything happens here in turns.
    address : str or None
        Of a cluster; left out: processes on this machine.
    """
    if address is not None and not deterministic:
        from scheduler.solve.cluster import cluster

        with cluster(address) as there:
            yield there.executor, workers or 1 + there.threads()
        return
    count = workers or WORKERS
    with processes(0 if deterministic else count - 1) as executor:
        yield executor, count


@contextmanager
def processes(count: int) -> Iterator[Executor | None]:
    """An executor of `count` spawned processes, or None for none; ended at once on leaving."""
    if count < 1:
        yield None
        return
    before = set(multiprocessing.active_children())
    pool = ProcessPoolExecutor(
        count, mp_context=multiprocessing.get_context("spawn"), initializer=_leave_with_parent
    )
    try:
        yield pool
    finally:
        pool.shutdown(wait=False, cancel_futures=True)
        for child in multiprocessing.active_children():
            if child not in before:
                child.kill()  # one that is stopped would not hear anything politer
