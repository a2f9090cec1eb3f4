"""The hut's sheets served on a socket of its own, and a browser without scripts before them."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from html import unescape
from http.client import HTTPConnection
from pathlib import Path
from typing import Any
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

import uvicorn
from starlette.applications import Starlette
from starlette.middleware import Middleware

from scheduler.book.codes import make_code
from scheduler.book.opening import Book, open_book
from scheduler.book.plans import keep
from scheduler.book.record import record_of
from scheduler.book.role import Role
from scheduler.book.sign_in import sign_in
from scheduler.book.standing import Recorded
from scheduler.book.wall import put_up
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, PlannedVisit
from tests.book.hut import CHEF, WEEK, stocked, text
from tests.outputs.hut import document
from tests.plan import tiny
from ui.arriving import COOKIE
from ui.guarding import Guard, names_of_this_machine
from ui.phone.hanging import Kept
from ui.phone.routes import sheet_routes
from ui.signing import routes

ZONE = ZoneInfo("Europe/Vienna")
FRIDAY = "2026-12-04"
SECTION = f"/sheet/section/stove/{FRIDAY}"
PEOPLE = ("ada", "bo", *(f"cook-{n}" for n in range(8)))
CHANGED: dict[str, Any] = {
    "kitchen__people": [
        {
            "id": p, "name": p.capitalize(), "sections": {"stove": "lead" if p == "bo" else "cook"},
            "shifts": [{"days": ["daily"], "hours": "08:00-22:00"}],
        }
        for p in PEOPLE
    ],
    "components__0__steps__0__time": {"at_least": "2 h", "at_most": "3 h"},
    "components__0__steps__0__unload": {"verb": "probe and lift out", "time": "15 min"},
    "components__0__steps__0__core": {"at": "74 °C"},
}  # fmt: skip


def scenario() -> Scenario:
    """The hut with ten cooks, whose soup is probed and lifted out."""
    return tiny.scenario(document(**CHANGED))


def plan(minutes: int = 0, person: str = "ada") -> Plan:
    """Its plan: filled 14:00 to 14:15 on Friday, lifted out 16:15 to 16:30, plated from 18:00.

    Parameters
    ----------
    minutes : int
        The soup so much later.
    person : str
        Who makes it.
    """
    found = tiny.plan()
    soup, bowl = found.tasks
    start, out = soup.start + minutes, soup.end + minutes
    visits = (
        PlannedVisit(kind="load", verb="fill", start=start, end=start + 15, people=(person,)),
        PlannedVisit(
            kind="unload", verb="probe and lift out", start=out, end=out + 15, people=(person,)
        ),
    )
    taken = tuple(t.model_copy(update={"start": start, "end": out + 15}) for t in soup.taken)
    soup = soup.model_copy(
        update={
            "start": start, "law_start": start + 15, "law_end": out, "end": out + 15,
            "visits": visits, "taken": taken,
        }
    )  # fmt: skip
    holds = (found.holds[0].model_copy(update={"start": out + 15}),)
    return found.model_copy(update={"tasks": (soup, bowl), "holds": holds})


@dataclass
class Answered:
    """What came back."""

    status: int
    text: str
    headers: dict[str, str]

    @property
    def read(self) -> str:
        """Without tags."""
        body = re.sub(r"<style>.*?</style>", "", self.text, flags=re.DOTALL)
        return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())

    def form(self, does: str, job: str = "") -> dict[str, str]:
        """The hidden fields of the form that does so, as the page was drawn."""
        for form in re.findall(r"<form.*?</form>", self.text, re.DOTALL):
            hidden = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', form)
            fields = {k: unescape(v) for k, v in hidden}
            if fields.get("does", "") == does and job in (fields.get("job", ""), ""):
                return fields
        raise AssertionError(f"no form that does {does!r} of {job!r}:\n{self.read}")


@dataclass
class Moved:
    """A clock that is set by hand, to a time of the hut's wall."""

    at: datetime = datetime(2026, 12, 4, 14, 20, tzinfo=ZONE)

    def __call__(self) -> datetime:
        return self.at.astimezone(ZoneInfo("UTC"))

    def set(self, hour: int, minute: int = 0, day: int = 4) -> None:
        """Friday is the 4th."""
        self.at = datetime(2026, 12, day, hour, minute, tzinfo=ZONE)


@dataclass
class Hut:
    """The hut's book and the address at which its sheets are served."""

    book: Book
    clock: Moved
    port: int
    jars: dict[str, dict[str, str]] = field(default_factory=dict)

    def signed_in(self, person: str) -> None:
        """With a code of their own; Bo is the chef, as one of them must be."""
        role = Role.CHEF if person == "bo" else Role.COOK
        code = make_code(self.book, CHEF, person, role)
        token = sign_in(self.book, "hut", person, code)
        self.jars.setdefault(person, {})[COOKIE] = token

    def ask(
        self, person: str, method: str, path: str, body: str | None = None, **headers: str
    ) -> Answered:
        """One request of somebody's phone; cookies are kept, no redirect is followed."""
        jar = self.jars.setdefault(person, {})
        sent = {"Accept": "text/html", "Cookie": "; ".join(f"{k}={v}" for k, v in jar.items())}
        if method == "POST":
            sent["Origin"] = f"http://127.0.0.1:{self.port}"
        connection = HTTPConnection("127.0.0.1", self.port, timeout=60)
        connection.request(method, path, body, sent | headers)
        answer = connection.getresponse()
        for cookie in answer.headers.get_all("set-cookie") or ():
            name, value = cookie.split(";")[0].split("=", 1)
            jar[name] = value.strip('"')
        text = answer.read().decode()
        connection.close()
        return Answered(answer.status, text, dict(answer.headers))

    def page(self, person: str, path: str = SECTION) -> Answered:
        """A page, with a redirect or two followed."""
        found = self.ask(person, "GET", path)
        while found.status == 303:
            found = self.ask(person, "GET", found.headers["location"])
        return found

    def send(self, person: str, fields: dict[str, str], path: str = SECTION) -> Answered:
        """A form, and the page that is shown then."""
        form = {"Content-Type": "application/x-www-form-urlencoded"}
        found = self.ask(person, "POST", path, urlencode(fields), **form)
        return self.page(person, found.headers["location"]) if found.status == 303 else found

    def record(self) -> tuple[Recorded, ...]:
        """What has been entered."""
        return record_of(self.book, CHEF, WEEK)

    def hang(self, planned: Plan, instead_of: int = 1) -> None:
        """Put another plan up."""
        put_up(self.book, CHEF, keep_plan(self.book, planned, instead_of + 1), instead_of)


def keep_plan(book: Book, planned: Plan, seed: int) -> int:
    """Keep a plan of the hut with ten cooks."""
    return keep(book, CHEF, text(planned, scenario(), seed)).number


def stock(folder: Path) -> None:
    """Make the book, with its plan on the wall and a chef who has a code."""
    book = replace(open_book(str(folder / "book.sqlite")), clock=Moved())
    stocked(book, document(**CHANGED))
    put_up(book, CHEF, keep_plan(book, plan(), 1), None)
    make_code(book, CHEF, "bo", Role.CHEF)
    book.close()


@contextmanager
def hut(folder: Path) -> Iterator[Hut]:
    """Serve a book that is stocked; Friday, 14:20."""
    clock = Moved()
    book = replace(open_book(str(folder / "book.sqlite")), clock=clock)
    guard = Middleware(Guard, book=book, names=names_of_this_machine("127.0.0.1"))
    app = Starlette(routes=[*routes(book), *sheet_routes(book, Kept(book))], middleware=[guard])
    server = uvicorn.Server(uvicorn.Config(app, "127.0.0.1", 0, log_config=None))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        thread.join(0.01)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield Hut(book, clock, port)
    server.should_exit = True
    thread.join()
    book.close()
