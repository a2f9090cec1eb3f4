"""Puts the fake engine in the real one's place, in every Python that finds this folder."""

import importlib.abc
import importlib.util
import sys
from pathlib import Path

ENGINE = "scheduler.solve.engine"


class Finder(importlib.abc.MetaPathFinder):
    """Finds the fake engine."""

    def find_spec(self, fullname, path, target=None):  # type: ignore[no-untyped-def]
        if fullname != ENGINE:
            return None
        return importlib.util.spec_from_file_location(
            fullname, Path(__file__).with_name("engine.py")
        )


sys.meta_path.insert(0, Finder())
