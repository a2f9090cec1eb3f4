"""The hut and its supper in a book, and plans of it."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from scheduler.book.documents import save
from scheduler.book.opening import Book
from scheduler.book.plans import KeptPlan, keep
from scheduler.book.revisions import Change
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, Verdicts, plan_text, verdicts_of
from scheduler.plan.model import Plan
from tests.plan import tiny

WEEK = "hut-supper"
CHEF = Who("hut", "agnes", Role.CHEF)
SOUS = Who("hut", "bela", Role.SOUS)
OTHER = Who("hut", "dora", Role.SOUS)
COOK = Who("hut", "ada", Role.COOK)


def stocked(book: Book, document: dict[str, Any] = tiny.DOCUMENT) -> None:
    """Save the tiny week into the book as a chef would."""
    changes = [
        Change("kitchen", "hut", document["kitchen"], 0),
        *(Change("component", c["id"], c, 0) for c in document["components"]),
        *(Change("dish", d["id"], d, 0) for d in document["dishes"]),
        Change("week", document["week"]["id"], document["week"], 0),
    ]
    save(book, CHEF, deepcopy(changes))


def text(plan: Plan | None = None, scenario: Scenario | None = None, seed: int = 1) -> str:
    """The text of a plan file; `seed` makes another file of the same plan."""
    plan, scenario = plan or tiny.plan(), scenario or tiny.scenario()
    verdicts = verdicts_of(audit(scenario, plan))
    return plan_text(plan, scenario, Made(seed=seed, versions={}), verdicts)


def lying(plan: Plan) -> str:
    """The text of a plan that says of itself that all is well."""
    verdicts = Verdicts(valid=True, served=True)
    return plan_text(plan, tiny.scenario(), Made(versions={}), verdicts)


def later(minutes: int = 60) -> Plan:
    """The same plan with the soup begun later or earlier; it may be late for the supper."""
    plan = tiny.plan()
    soup = plan.tasks[0]

    def moved(value: Any) -> Any:
        return value + minutes

    first = soup.model_copy(
        update={
            **{k: moved(getattr(soup, k)) for k in ("start", "law_start", "law_end", "end")},
            "visits": tuple(
                v.model_copy(update={"start": v.start + minutes, "end": v.end + minutes})
                for v in soup.visits
            ),
            "taken": tuple(
                t.model_copy(update={"start": t.start + minutes, "end": t.end + minutes})
                for t in soup.taken
            ),
        }
    )
    holds = tuple(
        h.model_copy(update={"start": h.start + minutes}) if h.source == "soup.1" else h
        for h in plan.holds
    )
    return plan.model_copy(update={"tasks": (first, *plan.tasks[1:]), "holds": holds})


def kept(book: Book, number: int = 1, plan: Plan | None = None) -> KeptPlan:
    """Keep a plan that no other is equal to, as the sous."""
    return keep(book, SOUS, text(plan, seed=number))
