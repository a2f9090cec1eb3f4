"""A sheet on a phone without scripts: every tick is kept, nothing wrong is taken silently."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from pathlib import Path
from urllib.parse import urlencode

import pytest

from scheduler.book.record import Entry, enter
from scheduler.book.wall import take_down
from tests.book.hut import CHEF, WEEK
from tests.plan import tiny
from tests.ui.phone import FRIDAY, LEFT_ALONE, PEOPLE, SECTION, ZONE, Hut, hut, plan, stock

FILL, OUT = "soup.1/simmer:load:0", "soup.1/simmer:unload:0"


def kinds(served: Hut) -> list[str]:
    return [e.kind for e in served.record()]


def test_a_cook_is_led_to_their_own_sheet_of_today(served: Hut) -> None:
    found = served.page("ada", "/sheet")
    assert "Ada, Fri 4 Dec" in found.read
    assert "You sign as Ada" in found.read
    assert "Barley soup, 9 l: fill (simmer) start by 14:00" in found.read


def test_without_signing_in_the_way_leads_there_and_back(served: Hut) -> None:
    for accept in ("text/html", "*/*"):
        found = served.ask("nobody", "GET", SECTION, Accept=accept)
        # At this machine nobody need sign in before there are codes; here there are.
        assert found.status == 303
        assert found.headers["location"].startswith("/sign-in?kitchen=hut&next=/sheet/section")
    assert served.ask("nobody", "POST", SECTION, "does=done").status == 303
    assert kinds(served) == []


def test_anybody_reads_any_sheet_and_signs_as_themselves(served: Hut) -> None:
    served.signed_in("bo")
    found = served.page("bo", f"/sheet/person/ada/{FRIDAY}")
    assert "You sign as Bo" in found.read
    served.send("bo", found.form("done", FILL), f"/sheet/person/ada/{FRIDAY}")
    assert [(e.who, e.kind, e.body, e.number) for e in served.record()] == [
        ("bo", "done", {"visit": "load:0"}, 1)
    ]


def test_a_form_that_somebody_else_opened_signs_for_nobody(served: Hut) -> None:
    served.signed_in("bo")
    form = served.page("ada").form("done", FILL)
    served.jars["ada"] = served.jars["bo"]  # the tablet was handed on
    found = served.send("ada", form)
    assert found.status == 403
    assert "opened by ada, and bo has signed in here since. Nothing was entered" in found.read
    assert kinds(served) == []


def test_one_touch_ticks_a_job_and_shows_the_next(served: Hut) -> None:
    page = served.page("ada")
    found = served.send("ada", page.form("done", FILL))
    assert found.status == 200
    assert "Entered: Barley soup, fill: done." in found.read
    assert "Barley soup, 9 l: probe and lift out (simmer) start by 16:15" in found.read
    (one,) = served.record()
    assert one.happened == one.arrived == datetime(2026, 12, 4, 14, 20, tzinfo=ZONE)
    assert "Entered:" not in served.page("ada").read  # said once


def test_a_form_sent_twice_is_entered_once(served: Hut) -> None:
    form = served.page("ada").form("done", FILL)
    served.send("ada", form)
    served.clock.set(14, 25)
    assert "It had been entered already: Barley soup, fill" in served.send("ada", form).read
    changed = served.page("ada").form("", FILL) | {"does": "note", "why": "lid is bent"}
    served.send("ada", changed)
    again = served.send("ada", changed | {"why": "lid is gone"})
    assert "sent before with something else in it" in again.read
    assert kinds(served) == ["done", "note"]


def test_one_form_sent_by_a_double_tap_is_entered_once(served: Hut) -> None:
    form = served.page("ada").form("done", FILL)
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda _: served.ask("ada", "POST", SECTION, urlencode(form)), range(4)))
    assert kinds(served) == ["done"]


def test_a_core_out_of_bounds_is_asked_about_and_entered_with_what_was_done(served: Hut) -> None:
    served.clock.set(16, 20)
    form = served.page("ada").form("done", OUT) | {"m0": "68,5", "u0": "°C"}
    asked = served.send("ada", form)
    assert asked.status == 422
    assert "68.5 °C, and it is to be core 74 °C or hotter. What was done about it?" in asked.read
    assert 'value="68,5"' in asked.text
    assert kinds(served) == []
    again = asked.form("done", OUT)
    assert again["id"] == form["id"], "the form that comes back is the same one"
    served.send("ada", again | {"m0": "68,5", "u0": "°C", "did0": "heated on to 75 °C"})
    measured, done = served.record()
    assert measured.body == {
        "what": "core", "value": "68.5", "unit": "°C", "did": "heated on to 75 °C",
    }  # fmt: skip
    assert (done.kind, done.body) == ("done", {})


@pytest.mark.parametrize(
    ("typed", "unit", "says"),
    [
        ("630", "°C", "630 °C cannot be, for 'core'. Maybe a point was left out: '63 °C'."),
        ("165", "°C", "Maybe °F was meant: '73.9 °C'"),
        ("7,45", "", "7.45 °C, and it is to be core 74 °C or hotter. What was done"),
        ("hot", "°C", "'hot' is not a number"),
        ("", "°C", "To measure: core 74 °C or hotter. Where nothing was measured, say why."),
        ("74", "°F", "Maybe °C was meant."),
    ],
)
def test_what_wet_fingers_type_is_asked_about_and_nothing_is_entered(
    served: Hut, typed: str, unit: str, says: str
) -> None:
    served.clock.set(16, 20)
    found = served.send("ada", served.page("ada").form("done", OUT) | {"m0": typed, "u0": unit})
    assert found.status == 422
    assert says in found.read
    assert kinds(served) == []


def test_where_nothing_could_be_measured_the_reason_is_in_the_record(served: Hut) -> None:
    served.clock.set(16, 20)
    form = served.page("ada").form("done", OUT)
    served.send("ada", form | {"m0": "", "did0": "probe broken"})
    note, done = served.record()
    assert note.body == {"text": "core not measured (core 74 °C or hotter): probe broken"}
    assert done.kind == "done"


@pytest.mark.parametrize(
    ("fields", "kind", "body"),
    [
        ({"does": "skipped", "why": "no barley yet"}, "skipped",
         {"why": "no barley yet", "visit": "load:0"}),
        ({"does": "quantity", "amount": "8 l", "usable": "part", "good": "7.5 l"}, "quantity",
         {"made": "8 l", "usable": "part", "good": "7.5 l"}),
        ({"does": "quantity", "amount": "8 l", "usable": "none"}, "quantity",
         {"made": "8 l", "usable": "none"}),
        ({"does": "discarded", "why": "burnt", "amount": "1 l"}, "discarded",
         {"why": "burnt", "quantity": "1 l"}),
        ({"does": "note", "why": "lid is bent"}, "note", {"text": "lid is bent"}),
        ({"does": "started"}, "started", {"visit": "load:0"}),
    ],
)  # fmt: skip
def test_everything_else_there_is_to_say_of_a_job(
    served: Hut, fields: dict[str, str], kind: str, body: dict[str, str]
) -> None:
    served.send("ada", served.page("ada").form("", FILL) | fields)
    assert [(e.kind, e.body) for e in served.record()] == [(kind, body)]


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"does": "skipped", "why": " "}, "'why' is empty"),
        ({"does": "quantity", "amount": "9"}, "'9' has no unit"),
        ({"does": "quantity", "amount": "9 l", "usable": "part"}, "Say how much of it is good"),
        ({"does": "dance"}, "'dance' says nothing of a job"),
        ({"does": "note", "why": "x", "at": "25:00"}, "'25:00' is not a time of day"),
        ({"does": "note", "why": "x", "at": "15:00"}, "15:00 is still to come, by the kitchen's"),
        ({"does": "note", "why": "x", "job": "stew.1/boil:load:0"}, "Plan 1 has no such job"),
        ({"does": "note", "why": "x", "number": "9"}, "The book has no plan 9"),
        ({"does": "note", "why": "x", "number": "one"}, "This form is of no plan"),
        ({"does": "note", "why": "x", "id": "../.."}, "This form has no id"),
    ],
)
def test_nonsense_is_refused_in_a_sentence_and_enters_nothing(
    served: Hut, fields: dict[str, str], says: str
) -> None:
    found = served.send("ada", served.page("ada").form("", FILL) | fields)
    assert found.status == 422
    assert says in found.read
    assert "Traceback" not in found.text
    assert kinds(served) == []


def test_what_was_typed_is_still_there_when_a_form_comes_back(served: Hut) -> None:
    sent = served.page("ada").form("", FILL) | {
        "does": "quantity", "amount": "8 x", "usable": "part", "good": "<7>",
    }  # fmt: skip
    found = served.send("ada", sent)
    assert 'value="8 x"' in found.text
    assert 'value="&lt;7&gt;"' in found.text
    assert '<option value="part" selected>' in found.text
    assert found.form("", FILL)["id"] == sent["id"]


def test_a_job_put_off_is_still_on_the_sheet_with_the_reason(served: Hut) -> None:
    form = served.page("ada").form("", FILL) | {"does": "skipped", "why": "no barley yet"}
    found = served.send("ada", form)
    assert "Put off by 14:00 Barley soup, 9 l: fill (simmer), Ada: no barley yet" in found.read
    served.send("ada", found.form("done", FILL))
    assert kinds(served) == ["skipped", "done"]


def test_yesterday_before_midnight_is_what_is_meant_after_it(served: Hut) -> None:
    served.clock.set(0, 10, day=5)
    form = served.page("ada").form("", FILL) | {"does": "started", "at": "23:50"}
    served.send("ada", form)
    assert served.record()[0].happened == datetime(2026, 12, 4, 23, 50, tzinfo=ZONE)


def test_a_section_confirms_all_as_planned_but_for_what_must_be_measured(served: Hut) -> None:
    served.clock.set(16, 40)
    form = served.page("ada").form("all") | {"until": "16:30"}
    found = served.send("ada", form)
    assert "All as planned until 16:30: 1 job entered." in found.read
    assert "Still to be ticked with what was measured: Barley soup, probe" in found.read
    (one,) = served.record()
    assert (one.task, one.body) == ("soup.1/simmer", {"visit": "load:0", "as_planned": True})
    assert one.happened == datetime(2026, 12, 4, 14, 15, tzinfo=ZONE)
    served.send("ada", form)
    assert len(served.record()) == 1
    for until, says in (("17:00", "17:00 is still to come"), ("noon", "'noon' is not a time")):
        assert says in served.send("ada", served.page("ada").form("all") | {"until": until}).read


def test_a_tick_on_a_job_that_was_replanned_meanwhile_is_kept_and_answered(served: Hut) -> None:
    form = served.page("ada").form("done", FILL)
    served.hang(plan(person="bo"))
    found = served.send("ada", form)
    assert "Plan 2 is on the wall by now" in found.read
    assert "In plan 2 it is for Bo, who will see that it is done." in found.read
    assert [e.number for e in served.record()] == [1]
    served.signed_in("bo")
    assert "14:20 Barley soup, fill: done, Ada" in served.page("bo").read


def test_who_ticks_second_is_told_and_both_are_kept(served: Hut) -> None:
    served.signed_in("bo")
    one, other = served.page("ada").form("done", FILL), served.page("bo").form("done", FILL)
    served.send("ada", one)
    assert "Ada had ticked it at 14:20; both are kept." in served.send("bo", other).read
    assert len(served.record()) == 2


def test_no_tick_is_unknown_and_never_called_late(served: Hut) -> None:
    served.clock.set(17, 40)
    found = served.page("ada")
    assert "Not ticked: nobody knows whether it is done by 14:00 Barley soup" in found.read
    assert "Bowl of soup (Supper), 36 portions: plating start" in found.read
    assert " late" not in found.read.lower()


def test_a_wrong_reading_is_corrected_by_a_new_entry_and_the_old_one_stays(served: Hut) -> None:
    served.clock.set(16, 20)
    served.send("ada", served.page("ada").form("done", OUT) | {"m0": "95", "u0": "°C"})
    wrong, _ = served.record()
    where = f"/sheet/entry/{wrong.id}"
    served.clock.set(16, 50)
    page = served.page("ada", where)
    assert "Fri 4 Dec 16:20 Barley soup: core 95 °C, Ada" in page.read
    form = page.form("") | {"m0": "59", "u0": "°C"}
    asked = served.send("ada", form, where)
    assert asked.status == 422
    assert "59 °C, and it is to be core 74 °C or hotter. What was done about it?" in asked.read
    found = served.send("ada", form | {"did0": "heated on"}, where)
    assert "Corrected: core 59 °C; heated on. It has been corrected already." in found.read
    new = served.record()[-1]
    assert (new.corrects, new.happened, new.body["value"]) == (wrong.id, wrong.happened, "59")
    assert len(served.record()) == 3
    served.signed_in("cook-1")
    form = served.page("cook-1", where).form("not so") | {"why": "x"}
    assert "cook-1 is a cook here" in served.send("cook-1", form, where).read
    assert "has no entry 'zz'" in served.ask("ada", "GET", "/sheet/entry/zz").read


def test_a_tick_by_mistake_is_taken_back_and_the_job_is_open_again(served: Hut) -> None:
    served.send("ada", served.page("ada").form("done", FILL))
    where = f"/sheet/entry/{served.record()[0].id}"
    served.send("ada", served.page("ada", where).form("not so") | {"why": "wrong pot"}, where)
    assert served.record()[-1].body == {"text": "it was not so: wrong pot"}
    assert "Barley soup, 9 l: fill (simmer) start by" in served.page("ada").read
    served.send("ada", served.page("ada").form("done", FILL))
    other = f"/sheet/entry/{served.record()[-1].id}"
    served.send("ada", served.page("ada", other).form("") | {"at": "14:05"}, other)
    assert served.record()[-1].happened == datetime(2026, 12, 4, 14, 5, tzinfo=ZONE)


def test_eight_cooks_ticking_at_once_lose_nothing(served: Hut) -> None:
    cooks = PEOPLE[2:]

    for person in cooks:
        served.signed_in(person)
    pages = {person: served.page(person) for person in cooks}

    def work(person: str) -> list[int]:
        notes = (
            served.page(person).form("", FILL) | {"does": "note", "why": f"{person} {n}"}
            for n in range(3)
        )
        sent = [served.send(person, form) for form in notes]
        return [a.status for a in (*sent, served.send(person, pages[person].form("done", FILL)))]

    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(work, cooks)) == [[200] * 4] * 8
    record = served.record()
    assert [e.place for e in record] == list(range(1, 33))
    assert sorted(e.body["text"] for e in record if e.kind == "note") == sorted(
        f"{person} {n}" for person in cooks for n in range(3)
    )
    assert sorted(e.who for e in record if e.kind == "done") == sorted(cooks)


@pytest.mark.parametrize("origin", ["https://evil.example", "null", "http://127.0.0.1:1"])
def test_a_form_of_another_site_enters_nothing(served: Hut, origin: str) -> None:
    form = urlencode(served.page("ada").form("done", FILL))
    assert served.ask("ada", "POST", SECTION, form, Origin=origin).status == 403
    assert kinds(served) == []


@pytest.mark.parametrize(
    ("path", "status", "says"),
    [
        ("/sheet/section/stov/2026-12-04", 404, "There is no section 'stov'. Maybe 'stove'."),
        ("/sheet/person/ida/2026-12-04", 404, "Nobody here is called 'ida'. Maybe 'ada'."),
        ("/sheet/room/stove/2026-12-04", 404, "A sheet is of a section or of a person."),
        ("/sheet/section/stove/2026-13-04", 404, "is no day like '2026-12-04'"),
        ("/sheet/section/stove/2027-01-04", 404, "is not in this week"),
        (f"/sheet/person/%3Cb%3E/{FRIDAY}", 404, "Nobody here is called '<b>'"),
    ],
)
def test_a_sheet_there_is_not_is_refused_with_what_there_is(
    served: Hut, path: str, status: int, says: str
) -> None:
    found = served.ask("ada", "GET", path)
    assert (found.status, says in found.read) == (status, True), found.read
    assert "<b>" not in found.text


def test_the_record_is_printed_by_day_and_by_batch_with_readings_beside_targets(
    served: Hut,
) -> None:
    served.clock.set(16, 20)
    out = served.page("ada").form("done", OUT)
    served.send("ada", out | {"m0": "70", "u0": "°C", "did0": "<b>heated on</b>"})
    served.clock.set(16, 35)
    again = served.page("ada").form("", FILL) | {"does": "note", "why": "lid is bent"}
    served.send("ada", again)
    day = served.page("ada", f"/log?week=hut-supper&day={FRIDAY}")
    assert "Record of Fri 4 Dec 2026" in day.read
    assert "Barley soup soup.1" in day.read
    assert "core 70 °C; <b>heated on</b>" in day.read
    assert "<b>heated" not in day.text
    assert "core 74 °C or hotter: OUT OF BOUNDS Ada" in day.read
    assert "lid is bent" in day.read
    assert "Nothing has been entered" in served.page("ada", "/log?day=2026-12-03").read
    batch = served.page("ada", "/log?batch=supper.bowl")
    assert "Unknown: nobody has said anything plating: nothing entered" in batch.read
    assert "@media print" in batch.text


def test_a_cooling_curve_is_drawn_from_several_readings(served: Hut) -> None:
    served.clock.set(16, 20)
    form = served.page("ada").form("done", OUT)
    served.send("ada", form | {"m0": "70", "u0": "°C", "did0": "heated on"})
    assert "<svg" not in served.page("ada", "/log?batch=soup.1").text
    where = f"/sheet/entry/{served.record()[0].id}"
    assert "core 70 °C" in served.page("ada", where).read
    body = {"what": "core", "value": "80", "unit": "°C"}
    again = Entry(
        "later", WEEK, "soup.1", "soup.1/simmer", "measured", body, served.clock.at, number=1
    )
    enter(served.book, CHEF, again)
    text = served.page("ada", "/log?batch=soup.1").text
    assert "at least 74 °C" in text
    assert text.count("<circle") == 2


def test_the_record_of_a_week_that_hangs_no_more_is_still_read(served: Hut) -> None:
    served.send("ada", served.page("ada").form("done", FILL))
    take_down(served.book, CHEF, WEEK, 1)
    assert "No plan is on the wall" in served.page("ada").read
    assert "done (load:0)" in served.page("ada", f"/log?week={WEEK}&batch=soup.1").read


def test_what_nobody_takes_out_is_asked_for_until_a_reading_shows_that_it_is_right(
    tmp_path: Path,
) -> None:
    stock(tmp_path, LEFT_ALONE, tiny.plan())
    with hut(tmp_path) as one:
        one.signed_in("ada")
        assert "To measure" not in one.send("ada", one.page("ada").form("", FILL) | {
            "does": "skipped", "why": "no barley"}).read.split("Next")[0]  # fmt: skip
        page = one.send("ada", one.page("ada").form("done", FILL))
        assert "Barley soup : core 74 °C or hotter Now" in page.read
        due = page.form("measured", FILL)
        assert due["kind"] == "core"
        one.clock.set(15, 30)
        # It simmers until 16:15, so 60 °C is on its way, and nobody is asked anything.
        found = one.send("ada", due | {"m0": "60", "u0": "°C"})
        assert "Entered: Barley soup, fill: core 60 °C." in found.read
        one.clock.set(16, 20)
        late = found.form("measured", FILL)
        asked = one.send("ada", late | {"m0": "70", "u0": "°C"})
        assert asked.status == 422
        assert "70 °C, and it is to be core 74 °C or hotter. What was done" in asked.read
        found = one.send("ada", late | {"m0": "80", "u0": "°C"})
        assert "To measure" not in found.read
        values = [e.body.get("value") for e in one.record() if e.kind == "measured"]
        assert values == ["60", "80"]
