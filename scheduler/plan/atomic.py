"""Writing a file so that nobody ever reads half of it."""

from __future__ import annotations

import os
import secrets
import time
from contextlib import suppress
from pathlib import Path


def write_atomically(path: Path, text: str | bytes) -> None:
    """Write beside the file, text as UTF-8, then put it in the file's place in one go.

    A link is followed, so that what it points at is replaced and not the link.

    Raises
    ------
    OSError
        If the folder is missing, full or may not be written to; the old file is untouched.
    """
    target = Path(os.path.realpath(path))
    beside = target.with_name(f".{target.name[:80]}.{secrets.token_hex(4)}.part")
    try:
        with open(beside, "xb") as file:
            file.write(text.encode() if isinstance(text, str) else text)
            file.flush()
            os.fsync(file.fileno())
        _replace(beside, target)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise


def _replace(source: Path, target: Path) -> None:
    """`os.replace`; on Windows a reader holds the file for a moment, so try again for a second."""
    for _ in range(50):
        try:
            os.replace(source, target)
        except PermissionError:
            if os.name != "nt":
                raise
            time.sleep(0.02)
        else:
            return
    os.replace(source, target)
