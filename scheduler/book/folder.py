"""Putting files into a folder of a user's: all of them or none, and over nothing of theirs.

A list of what was written, and its SHA-256, stays in the folder (`.backtime-export`), so that
the next export knows its own files from those of somebody else, or edited since.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import shutil
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from scheduler.book.errors import BookError
from scheduler.book.lock import Taken, alone_in

MARK = ".backtime-export"
PART = ".backtime-export.part"
CUT_OFF = "an-export-was-cut-off.yaml"
"""There while files change places, so that whoever reads the folder meanwhile is refused."""
_CUT_OFF_SAYS = "# An export into this folder was cut off. Export once more: that mends it.\n"


class InTheWay(BookError):
    """The folder has files that no export wrote, or that were edited since."""


@dataclass(frozen=True, slots=True)
class Put:
    """What came of it.

    Attributes
    ----------
    new : bool
        Is anything other than it was?
    aside : Path or None
        Where files went that were in the way.
    """

    new: bool
    aside: Path | None = None


def put(
    folder: Path, files: Mapping[str, str], check: Callable[[Path], None], *, over: bool = False
) -> Put:
    """Write files into a folder, which is made if there is none.

    Parameters
    ----------
    files : mapping of str to str
        Texts by name; afterwards no other `*.yaml` is there.
    check : callable
        Reads a folder with just these files, and raises if they are not what they should be.
    over : bool
        Files that are in the way go into a folder of their own; else nothing is written.

    Raises
    ------
    InTheWay, BookError
        Then everything is as it was.
    """
    raw = {name: text.encode() for name, text in files.items()}
    try:
        if not folder.exists() and _made(folder, raw, check):
            return Put(new=True)
        if not folder.is_dir():
            raise BookError(f"'{folder}' is a file, not a folder; nothing was written.")
        with alone_in(folder):
            if (folder / PART).exists():
                _undone(folder)
            return _changed(folder, raw, check, over)
    except Taken:
        raise BookError(
            f"Nothing was written: somebody else is just exporting into '{folder}'. Try again "
            "when they have done."
        ) from None
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        raise BookError(f"Nothing was written: '{folder}' cannot be written ({why}).") from None


def _made(folder: Path, raw: Mapping[str, bytes], check: Callable[[Path], None]) -> bool:
    """A folder that was not there: whole under another name, then renamed.

    False where somebody else has made it meanwhile.
    """
    if not folder.parent.is_dir():
        raise BookError(f"Nothing was written: there is no folder '{folder.parent}'.")
    part = folder.with_name(f".{folder.name[:80]}.{secrets.token_hex(4)}.part")
    part.mkdir()
    try:
        _write(part, raw)
        check(part)
        _write(part, {MARK: _mark(raw)})
        os.rename(part, folder)
    except BaseException as error:
        shutil.rmtree(part, ignore_errors=True)
        if isinstance(error, OSError) and folder.is_dir():
            return False
        raise
    return True


def _changed(
    folder: Path, raw: Mapping[str, bytes], check: Callable[[Path], None], over: bool
) -> Put:
    """A folder that is there: only what is different changes places."""
    ours = _ours(folder)
    there = {name: _digest(folder / name) for name in sorted(os.listdir(folder)) if _yaml(name)}
    same = {name for name, text in raw.items() if there.get(name) == _sha256(text)}
    old = [name for name in there if name not in same and ours.get(name) == there[name]]
    foreign = [name for name in there if name not in same and name not in old]
    if foreign and not over:
        told = ", ".join(foreign[:3]) + (f" and {len(foreign) - 3} more" if foreign[3:] else "")
        raise InTheWay(
            f"Nothing was written: in '{folder}' no export wrote {told}, or somebody has edited "
            "it since. Import it first, name another folder, or say --over: then it goes aside."
        )
    if same == raw.keys() and not old and not foreign:
        if ours != {name: _sha256(text) for name, text in raw.items()}:
            _swapped_mark(folder, raw)
        return Put(new=False)
    part, aside = folder / PART, _aside(folder) if foreign else None
    try:
        for name in ("new", "old"):
            (part / name).mkdir(parents=True)
        _write(part / "new", {**raw, MARK: _mark(raw)})
        check(part / "new")
        moved = [*sorted(raw.keys() - same), MARK]
        old += [MARK] if (folder / MARK).exists() else []
        plan = {"new": moved, "aside": aside and aside.name}
        _write(part, {"plan.json": json.dumps(plan).encode()})
        _write(folder, {CUT_OFF: _CUT_OFF_SAYS.encode()})
        if aside is not None:
            aside.mkdir()
            for name in foreign:
                os.replace(folder / name, aside / name)
        for name in old:
            os.replace(folder / name, part / "old" / name)
        for name in moved:
            os.replace(part / "new" / name, folder / name)
        os.unlink(folder / CUT_OFF)
    except BaseException:
        with suppress(OSError):
            _undone(folder)
        raise
    shutil.rmtree(part, ignore_errors=True)
    return Put(new=True, aside=aside)


def _undone(folder: Path) -> None:
    """Put everything back where it was before an export that came to no end."""
    part = folder / PART
    if (folder / CUT_OFF).exists():
        plan = json.loads((part / "plan.json").read_text(encoding="utf-8"))
        for name in plan["new"]:
            if not (part / "new" / name).exists() and (folder / name).exists():
                os.unlink(folder / name)
        _back(part / "old", folder)
        if plan["aside"]:
            _back(folder / plan["aside"], folder)
            with suppress(OSError):
                (folder / plan["aside"]).rmdir()
        os.unlink(folder / CUT_OFF)
    shutil.rmtree(part)


def _back(source: Path, folder: Path) -> None:
    with suppress(FileNotFoundError):
        for name in os.listdir(source):
            os.replace(source / name, folder / name)


def _swapped_mark(folder: Path, raw: Mapping[str, bytes]) -> None:
    part = folder / f"{MARK}.{secrets.token_hex(4)}"
    _write(folder, {part.name: _mark(raw)})
    os.replace(part, folder / MARK)


def _write(folder: Path, raw: Mapping[str, bytes]) -> None:
    for name, text in raw.items():
        with open(folder / name, "xb") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())


def _mark(raw: Mapping[str, bytes]) -> bytes:
    files = {name: _sha256(text) for name, text in sorted(raw.items())}
    return (json.dumps({"backtime": "export", "files": files}, indent=1) + "\n").encode()


def _ours(folder: Path) -> dict[str, str]:
    """What the last export wrote; nothing where there was none."""
    try:
        said = json.loads((folder / MARK).read_text(encoding="utf-8"))
        return {str(name): str(sha256) for name, sha256 in said["files"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def _yaml(name: str) -> bool:
    """Would it be read with the folder, or be in its way?"""
    return name.lower().endswith((".yaml", ".yml")) and not name.startswith(".")


def _digest(file: Path) -> str:
    try:
        return _sha256(file.read_bytes()) if file.is_file() and not file.is_symlink() else ""
    except OSError:
        return ""


def _sha256(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()


def _aside(folder: Path) -> Path:
    number = 1
    while (aside := folder / f"before-{number}").exists():
        number += 1
    return aside
