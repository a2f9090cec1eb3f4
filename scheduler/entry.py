"""The door of the command line: an interrupt has an answer before anything heavy is imported."""

from __future__ import annotations

import sys

INTERRUPTED = 130


def main() -> None:
    """Run `backtime`; Ctrl-C while it is still being imported ends it in one word."""
    try:
        from scheduler.cli import main as run

        run()
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        raise SystemExit(INTERRUPTED) from None
