"""The summary of a plan: what a chef reads in ten seconds, at most 40 lines of 80 columns."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from scheduler.domain.methods import name_of
from scheduler.domain.quantity import Quantity
from scheduler.domain.scenario import Scenario
from scheduler.plan.calling import ahead
from scheduler.plan.figures import spot, tightest
from scheduler.plan.file import Verdicts
from scheduler.plan.freshness import freshness, worst
from scheduler.plan.model import Plan
from scheduler.plan.unclaimed import unclaimed
from scheduler.plan.waiting import LastCall, longest_hold, unattended
from scheduler.plan.words import SAFETY, Names, about, clean, day_words, fit, number, pad, several
from scheduler.plan.working import cleaning_line, eaten_line, overtime_line, rest_line

COLUMNS = 80
LINES = 40
_LABEL = 12
_ROW = COLUMNS - _LABEL
_CALLS = 8
_GIVE = 6
LEFT_OVER = Fraction(5, 100)
"""The part of a batch from which its leftover is worth a word."""


def summarise(
    scenario: Scenario,
    plan: Plan,
    verdicts: Verdicts,
    *,
    last_calls: Sequence[LastCall] = (),
    not_checked: Sequence[str] = (),
) -> str:
    """Write the summary.

    Parameters
    ----------
    scenario, plan
        What was written, and what came of it.
    verdicts : Verdicts
        Of the audit.
    last_calls : sequence of LastCall
        Of every batch; the next eight moments are shown.
    not_checked : sequence of str
        What the chef has written and nobody enforces yet.

    Returns
    -------
    str
        At most 40 lines of at most 80 columns, without a line break at the end.
    """
    names = Names(scenario, plan)
    closing = _wrapped(freshness(plan), 2)
    closing += _wrapped(worst(names), 2)
    closing += _wrapped(overtime_line(names), 2) if overtime_line(names) else []
    closing += _wrapped(eaten_line(names), 3) if eaten_line(names) else []
    closing += _wrapped(rest_line(names), 2) if rest_line(names) else []
    closing += _wrapped(cleaning_line(names), 1) if cleaning_line(names) else []
    closing += _let_go(verdicts)
    over = _left_over(names)
    if over:
        closing += _wrapped(f"Left over: {', '.join(over)}.", 1)
    nobody = unclaimed(names)
    if nobody:
        closing += _wrapped(f"Nobody takes: {', '.join(nobody)}.", 1)
    if not_checked:
        closing += _wrapped(f"Not checked yet: {', '.join(not_checked)}.", 2)
    closing = [*_wrapped(_shared(names), 1), *closing, SAFETY]
    head = _wrapped(headline(names, verdicts), 2)
    missing = _block("Missing", _missing(names), 5)
    night, rows, entries = _night(names), _events(names), _chosen(names)
    tight = _block("Tightest", _tight_rows(names), 4)
    # Where there is much to say, reasons and the later last calls give way to events and the
    # night. A blank line stands before each block but the first.
    others = [block for block in (head, missing, closing) if block]
    left = LINES - len(tight) - sum(map(len, others)) - len(others) - 1
    spare = left - sum(map(len, rows)) - min(len(night), 3)
    asked = last_call_rows(names, last_calls)
    least = min(len(asked), 1 + _CALLS - _GIVE) + bool(asked)
    told: list[list[str] | str] = [_told(str(entry)) for entry in entries]
    short = sum(map(len, told)) + 1 > spare - len(asked) - bool(asked)
    chosen = _block("Chosen", list(entries) if short else told, 4 if short else 8)
    spare -= len(chosen) + bool(chosen)
    ahead = _block("Last calls", asked[: max(least, spare) - 1], 1 + _CALLS) if asked else []
    left -= sum(len(block) + 1 for block in (chosen, ahead) if block)
    events = _block("Events", rows, left - min(len(night), 3))
    tight += _block(_night_label(names), night, left - len(events))
    blocks = [head, events, missing, chosen, ahead, tight, closing]
    return "\n\n".join("\n".join(block) for block in blocks if block)


def _let_go(verdicts: Verdicts) -> list[str]:
    """Which house rules are broken where somebody has accepted it, who and why."""
    told = [f"{x.rule} by {x.by} ({x.reason}): {x.what}" for x in verdicts.let_go]
    return _wrapped(f"Accepted: {'; '.join(told)}.", 2) if told else []


def headline(names: Names, verdicts: Verdicts) -> str:
    """One sentence: served or what is missing, and the tightest spot."""
    events = len(names.scenario.week.events)
    short = sorted({u.event for u in names.plan.unserved})
    if not verdicts.valid:
        rules = sorted({f.rule for f in verdicts.findings})
        broken = ", ".join(rules[:4]) + (" …" if len(rules) > 4 else "")
        return f"Do not cook from this plan: it breaks {broken or 'a rule'}."
    if verdicts.served:
        word = number(events).capitalize()
        said = f"{word} {'event' if events == 1 else 'events'} served"
    else:
        count = f"{number(len(short)).capitalize()} of {number(events)} events"
        said = f"{'The event is' if events == 1 else count} short: " + "; ".join(
            names.event(e) for e in short[:3]
        )
        said += f" and {len(short) - 3} more" if len(short) > 3 else ""
    tight = max((t for t in tightest(names) if t), key=lambda t: t.part, default=None)
    return f"{said}; tightest: {spot(names, tight)}." if tight else f"{said}."


def _tight_rows(names: Names) -> list[str]:
    rows = [spot(names, t) for t in tightest(names) if t]
    kept = longest_hold(names.scenario, names.plan)
    if kept:
        age, limit = names.length(kept.age), names.length(kept.limit)
        rows.append(f"nearest its limit: {names.held(kept.hold)}, {age} of at most {limit}")
    return rows


def _shared(names: Names) -> str:
    """The longest job that several share: "Ana, Ben share 1 h 20 min of terrine: portion"."""
    jobs = [
        (v.end - v.start, -v.start, task, v)
        for task in names.plan.tasks
        for v in task.visits
        if names.shared(task, v)
    ]
    if not jobs:
        return ""
    lasts, _, task, visit = max(jobs, key=lambda job: job[:2])
    who = ", ".join(names.person(p) for p in visit.people)
    of = f"{names.batch(task.batch)}: {names.step(task.batch, task.step)}"
    rest = f"; {several(len(jobs) - 1, 'more job')} shared" if len(jobs) > 1 else ""
    return f"{who} share {names.length(lasts)} of {of}{rest}."


def _left_over(names: Names) -> list[str]:
    """What the smallest batch makes more than anybody takes, most of its batch first."""
    taken: dict[str, Fraction] = {}
    for share in (s for s in names.plan.shares if not s.by_product):
        taken[share.source] = taken.get(share.source, Fraction(0)) + share.quantity.base
    rest: list[tuple[Fraction, str]] = []
    for batch in names.plan.batches:
        if batch.component is not None and not batch.in_progress and batch.good.base > 0:
            over = batch.good.base - taken.get(batch.id, Fraction(0))
            if over > LEFT_OVER * batch.good.base:
                quantity = about(Quantity.of(over, batch.good.dimension))
                rest.append((over / batch.good.base, f"{names.batch(batch.id)} {quantity}"))
    return [text for _, text in sorted(rest, reverse=True)]


def _events(names: Names) -> list[list[str]]:
    entries = []
    events = sorted(names.scenario.week.events, key=lambda e: (e.first_plate, e.id))
    for event in events:
        lacking: Counter[str] = Counter()
        for short in names.plan.unserved:
            if short.event == event.id:
                for lack in [short.dish] if short.dish in short.lacks else short.lacks:
                    lacking[names.component(lack)] += short.portions
        what = ", ".join(f"{n} without {lack}" for lack, n in lacking.most_common())
        when = names.moment(names.scenario.clock.minute(event.first_plate))
        guests = f", {several(event.guests, 'guest')}"
        who = names.event(event.id) + guests
        rest = f"{guests}: served"
        served = fit(names.event(event.id), _ROW - 17 - len(rest)) + rest
        row = pad(when, 17) + (f"{who}: {what}" if what else served)
        entries.append(_told(row, 17) if what else [row])
    return entries


def _missing(names: Names) -> list[list[str]]:
    """What cannot work with its reason, each by itself; the rest together by reason."""
    entries = [
        _told(f"cannot work: {names.batch(m.batch)}: {m.why}")
        for m in names.plan.missing
        if m.certain
    ]
    reasons: dict[str, Counter[str]] = {}
    for m in names.plan.missing:
        if not m.certain:
            reasons.setdefault(m.why, Counter())[names.batch(m.batch)] += 1
    for why, batches in reasons.items():
        listed = "; ".join(f"{b} ({n} batches)" if n > 1 else b for b, n in batches.items())
        entries.append(_told(f"{why}: {listed}"))
    return entries


def _told(text: str, indent: int = 2) -> list[str]:
    """A sentence on one row, or on two where it needs them."""
    # A column's spaces go in as something that textwrap does not take for a place to break.
    kept = clean(text).replace("  ", "\0\0")
    rows = textwrap.wrap(kept, _ROW, subsequent_indent=" " * indent, max_lines=2, placeholder=" …")
    return [fit(row.replace("\0", " "), _ROW) for row in rows]


def last_call_rows(names: Names, calls: Sequence[LastCall], most: int = _CALLS) -> list[str]:
    """The next last calls in time order: to start again, to raise the number, to order in."""
    now = names.scenario.clock.minute(names.scenario.week.plan_from)
    told = []
    for call in ahead(names, calls, now)[:most]:
        what = f"{names.batch(call.batch)}, {names.amount(call.batch)}"
        until = "order in" if call.orders else call.until
        text = what if call.orders else f"{what}: {call.step}"
        told.append(f"{pad(names.moment(call.by), 17)}{pad(until, 17)}{text}")
    return [f"{'start again by':17}raise until", *told] if told else []


def _chosen(names: Names) -> list[str]:
    """What is bought in or made by another method, in order, with the reason."""
    rows = []
    for batch in names.plan.batches:
        recipe = names.scenario.component.get(batch.component or "") or (
            names.scenario.dish.get(batch.dish or "")
        )
        because = f" ({batch.because})" if batch.because else ""
        what = f"{names.batch(batch.id)}, {names.amount(batch.id)}"
        if batch.bought is not None:
            by = names.moment(batch.bought.order_by)
            rows.append(f"bought in: {what}, order by {by}{because}")
        elif batch.method is not None and not batch.in_progress and recipe is not None:
            rows.append(f"{name_of(recipe, batch.method)}: {what}{because}")
    return rows


def _night(names: Names) -> list[str]:
    _, running = unattended(names.scenario, names.plan)
    rows = ["next touched"] if running else ["nothing runs by itself"]
    for it in running:
        what = f"{names.batch(it.task.batch)}, {names.goes_in(it.task)}: {it.verb}"
        rows.append(f"{pad(names.moment(it.at), 17)}{what}")
    return rows


def _night_label(names: Names) -> str:
    midnight, running = unattended(names.scenario, names.plan)
    return f"{day_words(names.local(midnight - 1).date())[:3]} night" if running else "Overnight"


def _block(label: str, entries: Sequence[list[str] | str], most: int) -> list[str]:
    """Entries behind their label, in so many rows; the last row counts those left out."""
    each = [[entry] if isinstance(entry, str) else entry for entry in entries]
    rows: list[str] = []
    for i, entry in enumerate(each):
        later = sum(len(e) for e in each[i + 1 :])
        if len(rows) + len(entry) > most - bool(later):
            rows.append(f"… and {len(each) - i} more")
            break
        rows += entry
    return [pad(label if i == 0 else "", _LABEL) + fit(row, _ROW) for i, row in enumerate(rows)]


def _wrapped(text: str, lines: int) -> list[str]:
    """Text over so many lines at most."""
    rows = textwrap.wrap(text, COLUMNS, max_lines=lines, placeholder=" …")
    return [fit(row, COLUMNS) for row in rows]
