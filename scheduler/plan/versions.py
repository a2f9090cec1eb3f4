"""Versions of what makes a plan."""

from __future__ import annotations

import platform
from importlib import metadata


def version_of(package: str) -> str:
    """The version of an installed package."""
    try:
        return metadata.version(package)
    except metadata.PackageNotFoundError:
        return "not installed"


def versions() -> dict[str, str]:
    """Python, Backtime and the packages whose version can change a plan."""
    packages = ("backtime", "numpy", "ortools")
    return {"python": platform.python_version()} | {p: version_of(p) for p in packages}
