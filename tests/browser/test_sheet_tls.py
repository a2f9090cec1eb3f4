"""Over TLS a sheet lives on in the phone: a reload without a line loses nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("streamlit")
pytest.importorskip("playwright")
pytest.importorskip("cryptography")

from tests.browser.conftest import PHONE, Visit
from tests.browser.cooking import CUT, signed_in, three_came, ticks_three
from tests.browser.line import certified, line
from tests.ui.phone import hut, stock


@pytest.fixture
def arguments() -> tuple[str, ...]:
    """A worker is taken from nobody whose certificate is not trusted."""
    return ("--ignore-certificate-errors",)


def test_three_ticks_over_tls_survive_a_reload_without_a_line(
    visit: Visit, tmp_path: Path
) -> None:
    stock(tmp_path)
    with hut(tmp_path) as kitchen, line(kitchen.port, certified(tmp_path)) as wire:
        page = visit(f"{wire.address}/sign-in", expected=CUT, **PHONE)
        signed_in(kitchen, page, wire.address)
        page.evaluate("() => navigator.serviceWorker.ready.then(() => 1)")
        page.reload()  # by now through the worker, which keeps the page
        page.locator("section.job").wait_for()
        wire.cut()
        ticks_three(page, again=page.reload)
        page.reload()
        page.get_by_text("3 entries wait here to be sent.").wait_for()
        assert kitchen.record() == ()
        wire.mend()
        three_came(kitchen, page)
