"""`backtime open` as a command: begun, begun twice, ended, killed."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from tests.browser.opened import Opened, opened, where
from tests.cli.running import backtime

pytest.importorskip("streamlit")


def test_the_address_is_all_that_is_said(demo: Opened) -> None:
    address = demo.address
    assert demo.said == f"Backtime is open: {address}\n"


def test_a_second_open_says_where_the_first_one_is(demo: Opened) -> None:
    again = backtime(
        "open", "--no-browser", cwd=demo.folder, BACKTIME_DB=where(demo.folder)
    )
    assert (again.returncode, again.stderr) == (0, "")
    assert again.stdout == f"Backtime is open already: {demo.address}\n"


def test_a_port_that_is_taken_is_one_sentence(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = str(other.getsockname()[1])
        said = backtime(
            "open", "--no-browser", "--port", port, cwd=tmp_path, BACKTIME_DB=where(tmp_path)
        )
    assert said.returncode == 2
    assert said.stderr.startswith(f"Port {port} is taken")
    assert said.stderr.count("\n") == 1


def test_a_network_is_refused_before_anybody_has_a_code(tmp_path: Path) -> None:
    said = backtime(
        "open", "--no-browser", "--host", "0.0.0.0", cwd=tmp_path, BACKTIME_DB=where(tmp_path)
    )
    assert said.returncode == 2
    assert "Make codes first" in said.stderr
    assert said.stderr.count("\n") == 1


def test_ctrl_c_ends_it_in_one_word_and_a_killed_one_is_not_taken_for_running(
    tmp_path: Path,
) -> None:
    left = tmp_path / "book.sqlite.open"
    with opened(tmp_path, "--port", "0") as killed:
        assert killed.address
        assert left.exists()
    assert left.exists(), "nobody had the time to tidy up"
    with opened(tmp_path, "--port", "0") as app:
        assert app.said == "" or "already" not in app.said
        assert app.address != killed.said.split()[-1]
        assert app.interrupted() == 130
        assert app.told == "Stopped.\n"
        assert "already" not in app.said
    assert not left.exists()
