"""Commands that are left running in a test are ended with it."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from typing import Any

import pytest

from tests.cli.running import Begin, begun


@pytest.fixture
def begin() -> Iterator[Begin]:
    """Starts the command and leaves it running, until the test ends at the latest."""
    if os.name == "nt":
        pytest.skip("Ctrl-C is sent as a signal of POSIX")
    running: list[subprocess.Popen[str]] = []

    def start(*arguments: Any, **more: Any) -> subprocess.Popen[str]:
        running.append(begun(*arguments, **more))
        return running[-1]

    yield start
    for process in running:
        process.kill()
        process.communicate()
