"""Where scenarios are: a folder of the user's, or one that comes with Backtime."""

from __future__ import annotations

from pathlib import Path

from scheduler.domain.problems import BadInput, Problem, nearest

STORED = "stored:"
"""What the name of a week begins with that is in the book."""
_PACKAGE = Path(__file__).resolve().parent.parent
# In a wheel, and in a checkout.
_PLACES = (_PACKAGE / "_scenarios", _PACKAGE.parent / "scenarios")


def _shelf() -> Path | None:
    return next((p for p in _PLACES if p.is_dir()), None)


def shipped() -> tuple[str, ...]:
    """Names of the scenarios that come with Backtime."""
    shelf = _shelf()
    if shelf is None:
        return ()
    return tuple(sorted(p.name for p in shelf.iterdir() if p.is_dir() and any(p.glob("*.yaml"))))


def shipped_week(name: str) -> Path:
    """The folder of a scenario that comes with Backtime, whatever folders the user has.

    Raises
    ------
    BadInput
        Where there is none of this name.
    """
    shelf = _shelf()
    if shelf is None or name not in shipped():
        raise BadInput([Problem(name, None, None, "", "no such scenario comes with Backtime")])
    return shelf / name


def shipped_plan(name: str) -> Path | None:
    """The plan that comes with a shipped scenario, or None where none does."""
    path = shipped_week(name) / f"{name}.plan.json"
    return path if path.is_file() else None


def find_scenario(name: str) -> Path:
    """The folder of a scenario.

    Parameters
    ----------
    name : str
        A folder, or the name of a scenario that comes with Backtime. A folder
        of that name goes first where it holds YAML.

    Raises
    ------
    BadInput
        Where there is neither, and for `stored:WEEK`: that is in the book, and only commands
        open it.
    """
    if name.startswith(STORED):
        what = "a week of the book has no folder"
        raise BadInput([Problem(name, None, None, "", what, "backtime export WEEK FOLDER")])
    if not name.strip():
        raise BadInput([Problem("scenario", None, None, "", "no name and no folder is given")])
    try:
        folder = Path(name).expanduser()
        there = folder.is_dir()
        written = there and any(folder.glob("*.yaml"))
    except (OSError, RuntimeError, ValueError):
        raise BadInput([Problem(name, None, None, "", "this is no folder")]) from None
    names = shipped()
    if name in names and not written:
        return shipped_week(name)
    if there or folder.exists():
        return folder
    meant = nearest(name, names)
    known = f"; shipped scenarios are: {', '.join(names)}" if names and not meant else ""
    what = f"there is no such folder and no such scenario{known}"
    raise BadInput([Problem(name, None, None, "", what, meant and f"'{meant}'")])
