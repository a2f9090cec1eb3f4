"""Whatever happens to a command, the cook gets a sentence and a code."""

from __future__ import annotations

import pytest
from pydantic import BaseModel, create_model

from scheduler.commands.codes import Exit
from scheduler.commands.guard import guarded


def test_ctrl_c_while_classes_are_built_is_no_fault_of_ours(
    capsys: pytest.CaptureFixture[str],
) -> None:
    class Interrupted:
        @classmethod
        def __get_pydantic_core_schema__(cls, *_: object) -> object:
            from pydantic_core import SchemaError

            raise SchemaError('Error building "model" validator:\n  KeyboardInterrupt: ')

    def command() -> Exit:
        create_model("Broken", __base__=BaseModel, name=(Interrupted, ...))
        return Exit.FINE

    assert guarded(command) is Exit.INTERRUPTED
    assert capsys.readouterr().err == "Stopped.\n"


def test_any_other_error_is_owned_up_to(capsys: pytest.CaptureFixture[str]) -> None:
    def command() -> Exit:
        raise RuntimeError("the pan is gone")

    assert guarded(command) is Exit.OUR_FAULT
    assert "a fault of Backtime, not of your week" in capsys.readouterr().err
