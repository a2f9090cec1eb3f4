"""Signing in and out by hand, as a browser without scripts would: what is sent, what comes back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path
from urllib.parse import urlencode

import pytest

from scheduler.book.codes import make_code
from scheduler.book.documents import Change, kitchens, revision, save
from scheduler.book.opening import open_book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.sign_in import NotSignedIn, who_is
from tests.browser.opened import Opened, opened, where
from ui.arriving import COOKIE, NOBODY

pytest.importorskip("streamlit")


class Kitchen:
    """The demo's kitchen with an app that serves it, and two people who have codes."""

    def __init__(self, folder: Path) -> None:
        from ui.first_start import begin

        self.book = open_book(where(folder))
        begin(self.book, "setting up", lambda _: None)
        self.id = kitchens(self.book, NOBODY)[0].id
        chef = Who(self.id, "setting up", Role.CHEF)
        self.people = people_named(self, chef)
        self.codes = {
            self.people[0]: make_code(self.book, chef, self.people[0], Role.CHEF),
            self.people[1]: make_code(self.book, chef, self.people[1], Role.COOK),
        }
        self.app: Opened | None = None

    def ask(self, method: str, path: str, body: str = "", **headers: str) -> HTTPResponse:
        """One request, no redirect followed."""
        assert self.app is not None
        host = self.app.address.removeprefix("http://")
        connection = HTTPConnection(host, timeout=60)
        more = {"Content-Type": "application/x-www-form-urlencoded"} if method == "POST" else {}
        connection.request(method, path, body or None, more | headers)
        return connection.getresponse()

    def sign_in(self, person: str, code: str, path: str = "", **headers: str) -> HTTPResponse:
        """Send the form."""
        assert self.app is not None
        body = urlencode({"person": person, "code": code})
        sent = {"Origin": self.app.address} | headers
        return self.ask("POST", path or f"/sign-in?kitchen={self.id}", body, **sent)


def people_named(kitchen: Kitchen, chef: Who) -> list[str]:
    """Ids of the kitchen's people, the first of whom gets a name that a page could trip over."""
    one = revision(kitchen.book, chef, "kitchen", kitchen.id)
    body = dict(one.body or {})
    body["people"] = [dict(person) for person in body["people"]]
    body["people"][0]["name"] = HOSTILE
    save(kitchen.book, chef, [Change("kitchen", one.id, body, one.number)])
    return [person["id"] for person in body["people"]]


HOSTILE = "<b onclick='x()'>Agnès & \"Co\" [x](y) 桃子"


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kitchen]:
    folder = tmp_path_factory.mktemp("codes")
    one = Kitchen(folder)
    with opened(folder, "--port", "0") as app:
        one.app = app
        yield one
    one.book.close()


def cookie(answer: HTTPResponse) -> str:
    """What the cookie is set to."""
    found = re.match(rf"{COOKIE}=([^;]*)", answer.headers["set-cookie"])
    assert found
    return found[1]


def test_the_code_that_was_made_opens_the_app_for_a_shift(kitchen: Kitchen) -> None:
    person = kitchen.people[0]
    answer = kitchen.sign_in(person, kitchen.codes[person])
    assert (answer.status, answer.headers["location"]) == (303, "/")
    said = answer.headers["set-cookie"].lower()
    assert "httponly" in said
    assert "samesite=lax" in said
    assert "max-age=57600" in said
    assert "secure" not in said, "over plain http the browser would throw it away"
    assert who_is(kitchen.book, cookie(answer)).person == person

    again = kitchen.sign_in(person, kitchen.codes[person], **{"X-Forwarded-Proto": "https"})
    assert "secure" in again.headers["set-cookie"].lower(), "a proxy of this machine says https"


def test_a_wrong_code_is_told_and_opens_nothing(kitchen: Kitchen) -> None:
    person = kitchen.people[1]
    answer = kitchen.sign_in(person, "000000")
    text = answer.read().decode()
    assert answer.status == 403
    assert answer.headers["set-cookie"] is None
    assert f"That is not the code of {person}" in text
    assert f'value="{person}" selected' in text, "they need not choose their name again"


def test_names_are_shown_as_they_were_typed_and_only_of_those_with_a_code(
    kitchen: Kitchen,
) -> None:
    text = kitchen.ask("GET", f"/sign-in?kitchen={kitchen.id}").read().decode()
    assert "<b onclick" not in text
    assert "&lt;b onclick=&#x27;x()&#x27;&gt;Agnès &amp; &quot;Co&quot; [x](y) 桃子" in text
    assert set(re.findall(r'<option value="([^"]+)"', text)) == set(kitchen.codes)


def test_what_stands_in_the_address_is_not_put_into_the_page(kitchen: Kitchen) -> None:
    tagged = "%22%3E%3Cb%3E"
    for path in (f"/sign-in?kitchen={tagged}", f"/sign-in?kitchen={kitchen.id}&next=/{tagged}"):
        assert "<b>" not in kitchen.ask("GET", path).read().decode()


def test_signing_in_leads_back_to_the_page_and_never_to_another_site(kitchen: Kitchen) -> None:
    person = kitchen.people[0]
    for there, leads in (("%2F%3Fplan%3D1", "/?plan=1"), ("https://evil.example", "/"),
                         ("//evil.example", "/")):  # fmt: skip
        path = f"/sign-in?kitchen={kitchen.id}&next={there}"
        answer = kitchen.sign_in(person, kitchen.codes[person], path)
        assert answer.headers["location"] == leads


def test_a_form_of_another_site_signs_nobody_in_or_out(kitchen: Kitchen) -> None:
    person = kitchen.people[0]
    good = kitchen.sign_in(person, kitchen.codes[person])
    for origin in ("https://evil.example", "null", "http://127.0.0.1:1"):
        assert kitchen.sign_in(person, kitchen.codes[person], Origin=origin).status == 403
        held = {"Cookie": f"{COOKIE}={cookie(good)}", "Origin": origin}
        assert kitchen.ask("POST", "/sign-out", **held).status == 403
    assert kitchen.ask("POST", f"/sign-in?kitchen={kitchen.id}", "person=x&code=1").status == 403
    assert who_is(kitchen.book, cookie(good)).person == person


@pytest.mark.parametrize("body", ["", "person=%00&code=%00", "x" * 9000, "a=1&" * 50, "%ff=%ff"])
def test_nonsense_is_refused_in_a_sentence(kitchen: Kitchen, body: str) -> None:
    assert kitchen.app is not None
    path = f"/sign-in?kitchen={kitchen.id}"
    answer = kitchen.ask("POST", path, body, Origin=kitchen.app.address)
    assert answer.status == 403
    assert "Traceback" not in answer.read().decode()


def test_pages_lead_to_signing_in_once_somebody_has_a_code(kitchen: Kitchen) -> None:
    answer = kitchen.ask("GET", "/?plan=1", Accept="text/html")
    assert answer.status == 303
    assert answer.headers["location"] == f"/sign-in?kitchen={kitchen.id}&next=/%3Fplan%3D1"
    person = kitchen.people[0]
    held = f"{COOKIE}={cookie(kitchen.sign_in(person, kitchen.codes[person]))}"
    assert kitchen.ask("GET", "/", Accept="text/html", Cookie=held).status == 200


def test_sheets_and_the_record_are_there_for_whoever_has_signed_in(kitchen: Kitchen) -> None:
    for path in ("/sheet", "/log"):
        assert kitchen.ask("GET", path).status == 303, "also for what asks for no page"
    person = kitchen.people[1]
    held = f"{COOKIE}={cookie(kitchen.sign_in(person, kitchen.codes[person]))}"
    answer = kitchen.ask("GET", "/sheet", Cookie=held)
    assert answer.headers["location"].startswith(f"/sheet/person/{person}/")
    there = kitchen.ask("GET", answer.headers["location"], Cookie=held)
    assert there.status == 200
    assert "script-src 'self'" in there.headers["content-security-policy"]
    assert f'data-as="{person}"' in there.read().decode()
    assert "Record of" in kitchen.ask("GET", "/log", Cookie=held).read().decode()


def test_signed_out_means_out_wherever_the_token_is_used(kitchen: Kitchen) -> None:
    assert kitchen.app is not None
    person = kitchen.people[0]
    token = cookie(kitchen.sign_in(person, kitchen.codes[person]))
    held = {"Cookie": f"{COOKIE}={token}"}
    asked = kitchen.ask("GET", "/sign-out", **held)
    assert asked.status == 200, "following a link signs nobody out"
    assert who_is(kitchen.book, token).person == person
    answer = kitchen.ask("POST", "/sign-out", Origin=kitchen.app.address, **held)
    assert (answer.status, answer.headers["location"]) == (303, "/sign-in")
    assert cookie(answer) in ("", '""')
    with pytest.raises(NotSignedIn):
        who_is(kitchen.book, token)
    assert kitchen.ask("GET", "/", Accept="text/html", **held).status == 303


def test_strangers_are_not_answered(kitchen: Kitchen) -> None:
    for path in ("/", "/health", "/sign-in", "/_stcore/health"):
        assert kitchen.ask("GET", path, Host="evil.example").status == 403
        assert kitchen.ask("GET", path, Origin="http://localhost:3000").status == 403
    for path in ("/_stcore/metrics", "/_stcore/agent/openapi.json"):
        assert kitchen.ask("GET", path).status == 404


def test_every_answer_says_what_a_browser_may_do_with_it(kitchen: Kitchen) -> None:
    for path in ("/sign-in", "/health", "/_stcore/health", "/favicon.png"):
        headers = kitchen.ask("GET", path).headers
        assert "frame-ancestors 'none'" in headers["content-security-policy"], path
        assert headers["x-frame-options"] == "DENY"
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "same-origin"
        assert headers["server"] is None
    assert kitchen.ask("GET", "/sign-in").headers["cache-control"] == "no-store"
