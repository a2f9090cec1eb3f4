"""One day: what comes in, what hangs on it, who is there, what can still be begun."""

from __future__ import annotations

from copy import deepcopy
from datetime import date
from typing import Any

from scheduler.plan.calling import ahead
from scheduler.plan.today import arriving, presence
from scheduler.plan.waiting import LastCall, runs_at
from scheduler.plan.words import Names
from tests.plan import tiny

FRIDAY = date(2026, 12, 4)
NOON = tiny.DAY + 12 * 60


def names(**changed: Any) -> Names:
    document = deepcopy(tiny.DOCUMENT)
    for path, value in changed.items():
        where = document
        *way, last = path.split("__")
        for part in way:
            where = where[int(part)] if part.isdigit() else where[part]
        where[int(last) if last.isdigit() else last] = value
    return Names(tiny.scenario(document), tiny.plan())


BARLEY = {"ingredient": "barley", "amount": "1 kg"}


def test_a_delivery_names_what_waits_for_it() -> None:
    come = [
        {"id": "early", "ingredient": "barley", "at": "2026-12-04 07:00"},
        {"id": "late", "ingredient": "barley", "at": "2026-12-04 16:00"},
    ]
    at = names(components__0__steps__0__takes=[BARLEY], week__deliveries=come)
    found = arriving(at, FRIDAY)
    assert [(a.delivery.id, [t.id for t in a.hangs]) for a in found] == [
        ("early", ["soup.1/simmer"]),  # filled at 14:00, before the second comes
        ("late", []),
    ]
    assert arriving(at, date(2026, 12, 3)) == []


def test_who_is_off_is_told_from_who_comes() -> None:
    assert [(p.start, p.end, p.off) for p in presence(names(), FRIDAY)] == [
        (tiny.DAY + 8 * 60, tiny.DAY + 22 * 60, False)
    ]
    off = names(kitchen__people__0__off=["2026-12-04"])
    assert [(p.start, p.end, p.off) for p in presence(off, FRIDAY)] == [(None, None, True)]


def test_what_simmers_by_itself_is_told_with_when_it_comes_out() -> None:
    running = runs_at(names().plan, tiny.DAY + 15 * 60)
    assert [(u.task.id, u.at) for u in running] == [("soup.1/simmer", tiny.DAY + 16 * 60 + 15)]
    assert runs_at(names().plan, NOON) == []
    assert runs_at(names().plan, tiny.DAY + 14 * 60) == []  # it is being filled


def test_last_calls_that_are_over_are_not_told() -> None:
    calls = [LastCall("soup.1", "simmer", tiny.DAY + 15 * 60, order_in=tiny.DAY + 10 * 60)]
    told = ahead(names(), calls, 0)
    assert [(c.by - tiny.DAY, c.orders) for c in told] == [(600, True), (900, False)]
    assert told[1].until == "Fri 4 Dec 14:00"
    assert [c.orders for c in ahead(names(), calls, NOON)] == [False]
    begun = ahead(names(), calls, tiny.DAY + 14 * 60 + 5)
    assert [c.until for c in begun] == ["begun"]
