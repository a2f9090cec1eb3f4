"""When a book was last backed up from this machine: a note beside the user's data, no more."""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from scheduler.book.place import usual
from scheduler.plan.atomic import write_atomically


def noted() -> Path:
    """Where the notes are."""
    return usual().parent / "backups.json"


def note(where: str, file: Path, at: datetime) -> None:
    """Note a backup; a note that cannot be written is none."""
    with suppress(OSError):
        noted().parent.mkdir(parents=True, exist_ok=True)
        known = _known() | {where: [str(file.absolute()), at.isoformat()]}
        # In ASCII, as the name of a file may be none that UTF-8 can write.
        write_atomically(noted(), json.dumps(known, indent=1) + "\n")


def last(where: str) -> tuple[Path, datetime] | None:
    """The file of the last backup and when it was made, as far as this machine knows."""
    try:
        file, at = _known()[where]
        return Path(file), datetime.fromisoformat(at)
    except (KeyError, TypeError, ValueError):
        return None


def _known() -> dict[str, list[str]]:
    try:
        known = json.loads(noted().read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return known if isinstance(known, dict) else {}
