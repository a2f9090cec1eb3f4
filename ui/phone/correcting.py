"""Correcting an entry: with a new one in its place, held against the same targets."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from scheduler.book.arriving import Twice
from scheduler.book.errors import BookError
from scheduler.book.record import Entry, enter, record_of
from scheduler.book.roles import Who
from scheduler.book.standing import Recorded, standing, states_of
from scheduler.outputs.measured import WHAT
from scheduler.outputs.measuring import Measure
from scheduler.outputs.sheet import Sheets
from scheduler.plan.words import day_words
from ui.forms import page, shown
from ui.phone.hanging import Kept
from ui.phone.job import LONGEST, USABLE
from ui.phone.reading import checked, read
from ui.phone.sent import Asks, Refused, Sent
from ui.phone.style import STYLE
from ui.phone.taking import TWICE, Answer, told

NOT_SO = "not so"
_TEXTS = {"skipped": ("why", "Why"), "note": ("text", "What")}


def correct(kept: Kept, who: Who, entry: Recorded, sent: Sent) -> Answer:
    """Put an entry in the place of another, as whoever has signed in."""
    if sent.of("as") != who.person:
        return Answer("other", ("Somebody else has signed in here since. Nothing was entered.",))
    try:
        new = _correction(kept, who, entry, sent)
        checked(new.kind, new.body)
        found = enter(kept.book, who, new)
    except Asks as asks:
        return Answer("asks", (str(asks),), asks.places)
    except Twice:
        return Answer("refused", (TWICE,))
    except (Refused, BookError) as refused:
        return Answer("refused", (str(refused),))
    return Answer("entered", (f"Corrected: {told(found.entry)}.", *found.notes))


def _correction(kept: Kept, who: Who, entry: Recorded, sent: Sent) -> Entry:
    happened, _ = sent.when(_zone(kept, who, entry)) if sent.of("at") else (entry.happened, None)
    kind, body = entry.kind, {k: v for k, v in entry.body.items() if k != "clock"}
    if sent.of("does") == NOT_SO:
        kind, body = "note", {"text": f"it was not so: {sent.of('why')}" if sent.of("why") else ""}
    elif kind == "measured":
        body = _measured(kept, who, entry, sent)
    elif kind == "quantity":
        good = {"good": sent.of("good")} if sent.of("good") else {}
        body = {"made": sent.of("amount"), "usable": sent.of("usable"), **good}
    elif kind == "discarded":
        amount = {"quantity": sent.of("amount")} if sent.of("amount") else {}
        body = {"why": sent.of("why"), **amount}
    elif kind in _TEXTS:
        body |= {_TEXTS[kind][0]: sent.of("why")}
    elif not sent.of("at"):
        raise Refused("Say when it was, or that it was not so.")
    else:
        body.pop("as_planned", None)
    return Entry(
        sent.id, entry.week, entry.batch, entry.task, kind, body, happened, entry.number, entry.id
    )


def _measured(kept: Kept, who: Who, entry: Recorded, sent: Sent) -> dict[str, Any]:
    """A reading, held against what it was of; without a target as it is."""
    sheets = _sheets(kept, who, entry)
    some = _measures(sheets, entry) if sheets is not None else []
    if sheets is None or not some:
        did = {"did": sent.of("did0")} if sent.of("did0") else {}
        what = {"what": entry.body["what"]}
        return {**what, "value": sent.of("m0"), "unit": sent.of("u0") or entry.body["unit"], **did}
    clock = sheets.names.scenario.clock
    others = [e for e in record_of(kept.book, who, entry.week) if e.id != entry.id]
    (part,) = read([(0, some)], states_of(others), sent, clock, clock.since(entry.when))
    if part.kind != "measured":
        raise Refused("Type what was measured, or say that it was not so.")
    return part.body


def _measures(sheets: Sheets, entry: Recorded) -> list[Measure]:
    return [
        m
        for line in sheets.lines_at(entry.task or "")
        for m in line.measures
        if m.task == entry.task and WHAT.get(m.kind) == entry.body.get("what")
    ]


def _sheets(kept: Kept, who: Who, entry: Recorded) -> Sheets | None:
    return None if entry.number is None else kept.of(who, entry.number)


def _zone(kept: Kept, who: Who, entry: Recorded) -> Any:
    sheets = _sheets(kept, who, entry)
    if sheets is None:
        raise Refused("It was entered of no plan, so its time stands.")
    return sheets.names.scenario.clock.zone


def correcting_page(
    kept: Kept, who: Who, entry: Recorded, answer: Answer | None, again: Mapping[str, str], id: str
) -> str:
    """The entry, and the forms by which something else is put in its place."""
    sheets = _sheets(kept, who, entry)
    at = entry.when
    if answer is not None and answer.state == "entered":
        again = {}
    batch, person = entry.batch, entry.who
    if sheets is not None:
        at = at.astimezone(sheets.names.scenario.clock.zone)
        batch, person = sheets.names.batch(entry.batch), sheets.names.person(entry.who)
    stands = {e.id for e in standing(record_of(kept.book, who, entry.week))}
    gone = "" if entry.id in stands else '<p class="said">It has been corrected already.</p>'
    said = "".join(
        f'<p class="{"said" if answer and answer.state == "entered" else "wrong"}">'
        f"{shown(s, LONGEST)}</p>"
        for s in (answer.said if answer is not None else ())
    )
    hidden = "".join(
        f'<input type="hidden" name="{k}" value="{escape(v)}">'
        for k, v in {"id": again.get("id", id), "as": who.person}.items()
    )
    fields = "".join(_fields(entry, again))
    change = (
        f'<form method="post">{hidden}{fields}<button>Put it right</button></form>'
    )
    not_so = (
        f'<form method="post">{hidden}<input type="hidden" name="does" value="{NOT_SO}">'
        '<label>Why<input name="why" maxlength="400" required></label>'
        "<button>It was not so</button></form>"
    )
    text = f"{day_words(at.date())} {at:%H:%M} {batch}: {told(entry)}, {person}"
    return page(
        "Correct an entry",
        f'{said}{gone}<p>{shown(text, LONGEST)}</p><p class="faint">What was entered stays in the '
        f"record; what you enter here stands in its place.</p>{change}<h4>Entered by mistake</h4>"
        f'{not_so}<nav><a href="/sheet">To the sheets</a></nav>',
        style=STYLE,
    )


def _fields(entry: Recorded, again: Mapping[str, str]) -> list[str]:
    body = entry.body

    def text(name: str, label: str, was: object = "", more: str = "") -> str:
        value = escape(again.get(name, str(was or "")))
        return f'<label>{label}<input name="{name}" value="{value}" {more}></label>'

    if entry.kind == "measured":
        unit = again.get("u0", body["unit"])
        units = ["°C", "°F"] if body["unit"] in ("°C", "°F") else [body["unit"]]
        options = "".join(f"<option{' selected' * (u == unit)}>{shown(u)}</option>" for u in units)
        return [
            text("m0", shown(body["what"]), body["value"], 'inputmode="decimal" maxlength="20"'),
            f'<label>Unit<select name="u0">{options}</select></label>',
            text("did0", "What was done about it", body.get("did"), 'maxlength="400"'),
        ]
    if entry.kind == "quantity":
        usable = again.get("usable", body.get("usable", "whole"))
        options = "".join(
            f'<option value="{k}"{" selected" * (k == usable)}>{v}</option>'
            for k, v in USABLE.items()
        )
        return [
            text("amount", "How much", body["made"]),
            f'<label>Usable<select name="usable">{options}</select></label>',
            text("good", "Where in part: how much is good", body.get("good")),
        ]
    if entry.kind == "discarded":
        return [text("why", "Why", body["why"]), text("amount", "How much", body.get("quantity"))]
    if entry.kind in _TEXTS:
        name, label = _TEXTS[entry.kind]
        return [text("why", label, body[name], 'maxlength="2000"')]
    return [text("at", "It was at", "", "type=time required")]
