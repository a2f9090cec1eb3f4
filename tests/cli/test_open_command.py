"""Without the extra, `backtime open` says how to get it."""

from __future__ import annotations

import pytest

from scheduler.commands import open as command
from scheduler.commands.codes import Exit


def test_without_the_screens_installed_a_sentence_says_how_to_get_them(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(command, "NEEDS", ("streamlit_that_is_not_there",))
    assert command.open_app("127.0.0.1", None, browser=True) == Exit.BAD_INPUT
    said = capsys.readouterr()
    assert '"backtime[ui]"' in said.err
    assert said.err.count("\n") == 1
    assert said.out == ""
