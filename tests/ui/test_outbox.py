"""What comes out of a pocket when the line is back: once each, at its own time, by its own hand."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import Any

import pytest

from tests.ui.phone import ZONE, Hut, plan

FILL, OUT, PLATE = "soup.1/simmer:load:0", "soup.1/simmer:unload:0", "supper.bowl/plating:hands:0"
PRESSED = datetime(2026, 12, 4, 14, 12, tzinfo=ZONE)


def sends(served: Hut, *forms: Any, person: str = "ada", **more: Any) -> tuple[int, Any]:
    """An outbox; `forms` are fields, pressed at 14:12."""
    body = {
        "now": served.clock.at.isoformat(),
        "forms": [{"fields": f, "happened": PRESSED.isoformat()} for f in forms],
    } | more
    found = served.ask(
        person, "POST", "/sheet/outbox", json.dumps(body), **{"Content-Type": "application/json"}
    )
    return found.status, json.loads(found.text)


def answers(found: tuple[int, Any]) -> list[str]:
    assert found[0] == 200, found
    return [one["state"] for one in found[1]["answers"]]


def test_what_was_pressed_without_a_line_comes_with_both_times_and_once(served: Hut) -> None:
    page = served.page("ada")
    forms = [
        page.form("done", FILL), page.form("done", OUT) | {"m0": "81", "u0": "°C"},
        page.form("done", PLATE),
    ]  # fmt: skip
    served.clock.set(15, 0)
    assert answers(sends(served, *forms)) == ["entered"] * 3
    served.clock.set(15, 5)
    again = sends(served, *forms)
    assert answers(again) == ["entered"] * 3
    assert "had been entered already" in again[1]["answers"][0]["said"][0]
    record = served.record()
    assert [e.kind for e in record] == ["done", "measured", "done", "done"]
    assert {(e.happened, e.arrived.astimezone(ZONE).hour) for e in record} == {(PRESSED, 15)}


@pytest.mark.parametrize("off", [timedelta(minutes=-63), timedelta(days=400)])
def test_a_phone_whose_clock_is_wrong_is_put_right_and_told(served: Hut, off: timedelta) -> None:
    form = served.page("ada").form("done", FILL)
    wrong = [{"fields": form, "happened": (PRESSED + off).isoformat()}]
    found = sends(served, now=(served.clock.at + off).isoformat(), forms=wrong)
    assert answers(found) == ["entered"]
    assert "its time was put right by that" in " ".join(found[1]["answers"][0]["said"])
    (one,) = served.record()
    assert one.happened == PRESSED
    served.clock.set(14, 21)
    again = sends(served, now=(served.clock.at + off).isoformat(), forms=wrong)
    assert answers(again) == ["entered"]
    assert len(served.record()) == 1


def test_a_typed_time_is_the_kitchens_whatever_the_phone_thinks(served: Hut) -> None:
    off = timedelta(hours=5)
    form = served.page("ada").form("done", FILL) | {"at": "14:05"}
    wrong = [{"fields": form, "happened": (PRESSED + off).isoformat()}]
    sends(served, now=(served.clock.at + off).isoformat(), forms=wrong)
    (one,) = served.record()
    assert (one.happened, "clock" in one.body) == (datetime(2026, 12, 4, 14, 5, tzinfo=ZONE), False)


def test_one_form_that_is_refused_holds_nothing_else_up(served: Hut) -> None:
    page = served.page("ada")
    forms = [
        page.form("done", "") | {"job": "stew.1/boil:load:0"},
        page.form("done", OUT) | {"m0": "630", "u0": "°C"},
        page.form("done", FILL),
        {"does": "done"},
        "done",
        {"id": 7},
        {str(n): "" for n in range(50)},
    ]
    found = sends(served, *forms)
    assert answers(found) == [
        "refused", "asks", "entered", "other", "refused", "refused", "refused",
    ]  # fmt: skip
    assert "Maybe a point was left out: '63 °C'" in found[1]["answers"][1]["asks"]["m0"]
    assert [e.kind for e in served.record()] == ["done"]


def test_what_somebody_else_pressed_on_this_phone_waits_for_them(served: Hut) -> None:
    form = served.page("ada").form("done", FILL)
    served.signed_in("cook-1")
    found = sends(served, form, person="cook-1")
    assert answers(found) == ["other"]
    assert served.record() == ()
    assert answers(sends(served, form)) == ["entered"]
    assert [e.who for e in served.record()] == ["ada"]


def test_a_cold_reading_is_judged_by_when_it_was_made_and_not_by_when_it_came(served: Hut) -> None:
    form = served.page("ada").form("done", OUT) | {"m0": "60", "u0": "°C", "did0": "heated on"}
    served.clock.set(23, 0)
    assert answers(sends(served, form)) == ["entered"]
    assert served.record()[0].happened == PRESSED


def test_a_tick_from_a_plan_that_no_longer_hangs_is_entered_and_answered(served: Hut) -> None:
    form = served.page("ada").form("done", FILL)
    served.hang(plan(person="bo"))
    _, found = sends(served, form)
    said = " ".join(found["answers"][0]["said"])
    assert "Plan 2 is on the wall by now" in said
    assert "In plan 2 it is for Bo" in said


def test_without_signing_in_nothing_is_taken_and_nothing_told(served: Hut) -> None:
    form = served.page("ada").form("done", FILL)
    assert sends(served, form, person="nobody")[0] == 401
    assert served.record() == ()


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ("", 403), ("[]", 403), ("{", 403), ("[" * 100_000, 403), ('"' + "x" * 300_000 + '"', 403),
        ("{}", 422), ('{"now": "today", "forms": []}', 422),
        ('{"now": "2026-12-04T14:20:00", "forms": []}', 422),
        ('{"now": "2026-12-04T14:20:00Z", "forms": {}}', 422),
        ('{"now": "2026-12-04T14:20:00Z", "forms": [' + ",".join(["1"] * 201) + "]}", 422),
    ],
)  # fmt: skip
def test_nonsense_is_refused_in_a_sentence(served: Hut, body: str, status: int) -> None:
    found = served.ask("ada", "POST", "/sheet/outbox", body)
    assert found.status == status
    assert json.loads(found.text)["said"]


def test_only_our_own_pages_may_send(served: Hut) -> None:
    for origin in ("https://evil.example", "null"):
        assert served.ask("ada", "POST", "/sheet/outbox", "{}", Origin=origin).status == 403


def test_scripts_come_from_here_and_none_stands_in_a_page(served: Hut) -> None:
    page = served.page("ada")
    assert page.text.count("<script") == page.text.count('<script src="/sheet/outbox.js" defer>')
    for name in ("outbox.js", "worker.js"):
        found = served.ask("ada", "GET", f"/sheet/{name}")
        assert (found.status, found.headers["content-type"]) == (
            200, "text/javascript; charset=utf-8",
        )  # fmt: skip
        assert "script-src 'self'" in found.headers["content-security-policy"]
        assert "use strict" in found.text
