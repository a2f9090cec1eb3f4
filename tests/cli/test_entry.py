"""Ctrl-C at the very start: no traceback, and the exit code of an interrupt."""

from __future__ import annotations

import sys
from types import ModuleType

import pytest

from scheduler.commands.codes import Exit
from scheduler.entry import INTERRUPTED, main


def test_ctrl_c_while_it_is_still_starting_ends_in_one_word(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Interrupted(ModuleType):
        def __getattr__(self, name: str) -> object:
            raise KeyboardInterrupt

    monkeypatch.setitem(sys.modules, "scheduler.cli", Interrupted("scheduler.cli"))
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == INTERRUPTED == Exit.INTERRUPTED
    assert capsys.readouterr().err == "Stopped.\n"
