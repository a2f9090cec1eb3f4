"""Who is answered: names of this machine, pages of ours, ways back that stay here."""

from __future__ import annotations

import pytest

pytest.importorskip("streamlit")

from ui.guarding import names_of_this_machine, ours, policy, safe_next

HERE = names_of_this_machine("127.0.0.1")


@pytest.mark.parametrize(
    "host", ["127.0.0.1:8470", "localhost", "LOCALHOST:1", "localhost.", "[::1]:8470", "10.0.0.5"]
)
def test_this_machine_is_answered_by_its_names_and_numbers(host: str) -> None:
    assert ours(host, HERE)


@pytest.mark.parametrize(
    "host",
    ["", "evil.example", "localhost.evil.example", "127.0.0.1.evil.example", "a@localhost",
     "localhost:x", "localhost/..", "localhost:80#", "localhost?", "127.1", "[::1",
     "localhost evil"],
)  # fmt: skip
def test_a_strange_name_for_this_machine_is_not_answered(host: str) -> None:
    assert not ours(host, HERE)


def test_on_a_network_the_name_it_was_opened_with_is_answered() -> None:
    assert ours("kitchen.example:8470", names_of_this_machine("kitchen.example"))
    assert not ours("kitchen.example:8470", HERE)


def test_the_address_that_stands_on_paper_is_answered() -> None:
    names = names_of_this_machine("0.0.0.0", "http://kitchen.local:8470")
    assert ours("kitchen.local:8470", names)
    assert not ours("kitchen.local.evil.example", names)


@pytest.mark.parametrize("there", ["/", "/?week=a&plan=2", "/chart?task=x%20y#z"])
def test_after_signing_in_somebody_is_where_they_wanted_to_be(there: str) -> None:
    assert safe_next(there) == there


@pytest.mark.parametrize(
    "there",
    ["", "x", "//evil.example", "/\\evil.example", "https://evil.example", "javascript:alert(1)",
     "/a\\b", "/a\r\nSet-Cookie: x", "/\t/evil.example", "/sign-out", "/sign-in?next=/", " /",
     "///evil.example", "/é"],
)  # fmt: skip
def test_signing_in_never_leads_elsewhere(there: str) -> None:
    assert safe_next(there) == "/"


def test_only_scripts_that_come_with_the_app_run() -> None:
    script = next(p for p in policy().split("; ") if p.startswith("script-src"))
    assert "'unsafe" not in script
    assert "*" not in policy()
    assert "http" not in policy()
