"""Data files of `scheduler/safety`."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

from scheduler.domain.yaml_text import read_text


def shipped(name: str) -> Any:
    """A data file of `scheduler/safety`, as plain data.

    Parameters
    ----------
    name : str
        Without the ending: `profiles/us`, `food-classes`.
    """
    path = files("scheduler").joinpath("safety", *f"{name}.yaml".split("/"))
    return read_text(path.read_text(encoding="utf-8"), f"{name}.yaml").plain()
