"""What comes as the extra `sheets`."""

from __future__ import annotations

from importlib.util import find_spec

from scheduler.commands.codes import Exit, Stop
from scheduler.commands.terminal import tell


def needs(*packages: str) -> None:
    """See that packages of the extra are there.

    Raises
    ------
    Stop
        One is not, which is told.
    """
    if not all(map(find_spec, packages)):
        tell(
            'Paper and workbooks take an extra: python -m pip install "backtime[sheets]" '
            '(in a clone: .venv/bin/python -m pip install -e ".[sheets]").'
        )
        raise Stop(Exit.BAD_INPUT)
