"""Is a process of this machine still the one that it was?"""

from __future__ import annotations

import os
import socket
import sys
from pathlib import Path

_PROC = Path("/proc")


def this_host() -> str:
    """What this machine calls itself."""
    return socket.gethostname()[:255]


def mark_of(process: int) -> str | None:
    """What tells a process from a later one that is given its number.

    Where the system says so (Linux): since when it runs, and since which start of the machine.
    """
    state = _stat(process)
    if state is None:
        return None
    try:
        boot = (_PROC / "sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except OSError:
        boot = ""
    return f"{boot} {state[19]}".strip()


def runs(process: int, mark: str | None) -> bool:
    """Does a process of this machine run, and is it the one with this mark?

    Where the system gives no marks, any process of that number counts.
    """
    state = _stat(process)
    if state is not None:
        return state[0] not in "ZX" and mark in (None, mark_of(process))
    return not _PROC.joinpath("self/stat").exists() and _there(process)


def _stat(process: int) -> list[str] | None:
    """proc(5), /proc/pid/stat: what stands behind the name, from the state (field 3) on."""
    try:
        text = (_PROC / str(process) / "stat").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return None
    return text.rpartition(")")[2].split()


def _there(process: int) -> bool:
    if sys.platform == "win32":
        import ctypes

        # OpenProcess with PROCESS_QUERY_LIMITED_INFORMATION; GetExitCodeProcess says 259 while
        # it runs (from memory).
        kernel = ctypes.windll.kernel32
        handle = kernel.OpenProcess(0x1000, False, process)
        if not handle:
            return False
        code = ctypes.c_ulong()
        kernel.GetExitCodeProcess(handle, ctypes.byref(code))
        kernel.CloseHandle(handle)
        return code.value == 259
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
