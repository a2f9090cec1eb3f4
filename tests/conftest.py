"""Settings that all tests share."""

from __future__ import annotations

import os

from hypothesis import settings

# Clocks of a loaded machine decide nothing; in CI every run tries the same examples.
settings.register_profile("backtime", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("backtime")
