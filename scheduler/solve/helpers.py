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


def _leave_with_parent() -> None:
    """In a helper: end when the process that started it has ended, however it did."""
    parent = multiprocessing.parent_process()

    def watch() -> None:
        if parent is not None:
            parent.join()
        os._exit(0)

    threading.Thread(target=watch, daemon=True).start()


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
