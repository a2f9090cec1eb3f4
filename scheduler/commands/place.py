"""Where a plan is to be written: looked at before anything is planned."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from scheduler.commands.codes import Exit, Stop
from scheduler.commands.terminal import tell


def check_folder(folder: Path, hint: str) -> None:
    """Stop unless a file can be made in this folder.

    Parameters
    ----------
    hint : str
        What to do about it, said after what is wrong.
    """
    if not folder.is_dir():
        what = "is a file, not a folder" if folder.exists() else "does not exist"
        raise _stop(f"Nothing is planned: the folder '{folder}' {what}. {hint}")
    probe = folder / f".backtime-{secrets.token_hex(4)}"
    try:
        with open(probe, "xb"):
            pass
        probe.unlink()
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise _stop(
            f"Nothing is planned: nothing can be written in '{folder}' ({why}). {hint}"
        ) from None


def check_file(path: Path) -> None:
    """Stop unless a plan may be put here: a new file, or in place of an older plan."""
    hint = "Name another with --out."
    try:
        check_folder(path.parent, hint)
        if path.is_dir():
            raise _stop(f"Nothing is planned: '{path}' is a folder. {hint}")
        if path.exists() and not _replaceable(path):
            raise _stop(
                f"Nothing is planned: '{path}' is there already and is no plan of Backtime. {hint}"
            )
    except (OSError, ValueError) as error:
        raise _stop(f"Nothing is planned: '{os.fspath(path)!r}' cannot be: {error}") from None


def _replaceable(path: Path) -> bool:
    """A plan of ours, or an empty file."""
    if not path.is_file():
        return False
    with open(path, "rb") as file:
        head = file.read(200).removeprefix(b"\xef\xbb\xbf").split()
    return not head or head[:3] == [b"{", b'"backtime":', b'"plan",']


def _stop(text: str) -> Stop:
    tell(text)
    return Stop(Exit.BAD_INPUT)
