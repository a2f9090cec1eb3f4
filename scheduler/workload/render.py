"""The week's work as lines of text, at most 80 columns wide."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE
from scheduler.plan.words import fit, pad, several
from scheduler.workload.report import report
from scheduler.workload.words import moment

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.model import Workload
    from scheduler.workload.report import Batched, Hands, Work
    from scheduler.workload.report_things import Part

WIDE = 80
DAYS = 8
"""So many days stand side by side."""


def render_work(scenario: Scenario, workload: Workload, compiled: Compiled) -> list[str]:
    """What is made, how much, for whom, what is left over, and hands: lines of text."""
    work = report(scenario, workload, compiled)
    lines = [*_dishes(scenario, work), *_components(scenario, work), *_on_hand(scenario, work)]
    lines += _delivered(scenario, work)
    return [fit(line, WIDE) for line in (*lines, *_brigade(scenario, work))]


def _name(scenario: Scenario, slug: str) -> str:
    known = scenario.component.get(slug) or scenario.dish.get(slug) or scenario.event.get(slug)
    return (known.name or known.id) if known else slug


def _part(part: Part) -> str:
    """"gala trout-plate 11.34 kg": ids, because names are long."""
    return f"{part.event + ' ' if part.event else ''}{part.maker} {part.quantity}"


def _dishes(scenario: Scenario, work: Work) -> list[str]:
    lines = ["PORTIONS, margins included"]
    last = ""
    for served in work.served:
        if served.event != last:
            last = served.event
            event = scenario.event[last]
            at = moment(scenario, scenario.clock.minute(event.first_plate))
            lines.append(f"{_name(scenario, last)}: first plate {at}, {event.guests} guests")
        words = [several(served.portions, "portion")]
        words += [f"{name} {count} apart" for name, count in served.diets]
        words += [f"{served.crew} for the crew"] if served.crew else []
        words += [f"waves of {', '.join(map(str, served.waves))}"] if served.waves else []
        row = f"  {pad(_name(scenario, served.dish), 26)} {'; '.join(words)}"
        lines += wrap(row, WIDE, subsequent_indent=" " * 29)
    return lines


def _components(scenario: Scenario, work: Work) -> list[str]:
    lines = ["", "COMPONENTS, weighed up before losses"]
    for made in work.made:
        new = [b for b in made.batches if not b.in_progress]
        going = len(made.batches) - len(new)
        words = [several(len(new), "batch", "batches")] if new else []
        words += [f"{going} in progress"] if going else []
        head = f"{pad(_name(scenario, made.component), 28)} {pad(str(made.total), 12)}"
        lines.append(f"{head} {', '.join(words)}, {made.section}")
        for batch in made.batches:
            lines += _batch(scenario, batch)
    return lines


def _batch(scenario: Scenario, batch: Batched) -> list[str]:
    words = [f"{step} in {count} loads" for step, count in batch.loads]
    if batch.in_progress:
        words.append("in progress")
    else:
        gone = batch.begin_by < scenario.clock.minute(scenario.week.plan_from)
        verb = "should have been begun by" if gone else "begin by"
        words.append(f"{verb} {moment(scenario, batch.begin_by)}")
    if batch.order_by is not None:
        words.append(f"or order in by {moment(scenario, batch.order_by)}")
    head = f"{batch.id}: {batch.quantity}, {', '.join(words)}"
    lines = wrap(head, WIDE, initial_indent="  ", subsequent_indent="      ")
    parts = [_part(p) for p in batch.parts]
    parts += [f"left over {batch.leftover}"] if batch.leftover is not None else []
    text = f"for {', '.join(parts)}" if parts else "for nobody"
    lines += wrap(text, WIDE - 6, initial_indent="    ", subsequent_indent="      ")
    for given in batch.gives:
        text = f"gives {given.component} {given.quantity}: {_taken(given.parts)}"
        text += f"; {given.spare} poured away" if given.spare is not None else ""
        lines += wrap(text, WIDE - 6, initial_indent="    ", subsequent_indent="      ")
    return lines


def _taken(parts: tuple[Part, ...]) -> str:
    """For whom: "for whey-caramel 800 ml", or nobody."""
    return f"for {', '.join(_part(p) for p in parts)}" if parts else "for nobody"


def _delivered(scenario: Scenario, work: Work) -> list[str]:
    if not work.delivered:
        return []
    lines = ["", "DELIVERED, on shelves or with a limit"]
    for one in work.delivered:
        text = f"{one.id} ({one.ingredient}): {_taken(one.parts)}"
        text += f"; nobody takes {one.spare}" if one.spare is not None else ""
        text += f"; use by {moment(scenario, one.until)}" if one.until is not None else ""
        lines += wrap(text, WIDE, subsequent_indent="    ")
    return lines


def _on_hand(scenario: Scenario, work: Work) -> list[str]:
    if not work.lots:
        return []
    lines = ["", "ON HAND"]
    for lot in work.lots:
        parts = [_part(p) for p in lot.parts]
        used = f"{lot.used} used: {', '.join(parts)}" if parts else "nothing used"
        text = f"{lot.id} ({_name(scenario, lot.component)}): {used}"
        if lot.spare.base > 0:
            text += f"; nobody takes {lot.spare}, use by {moment(scenario, lot.until)}"
        lines += wrap(text, WIDE, subsequent_indent="    ")
    return lines


def _brigade(scenario: Scenario, work: Work) -> list[str]:
    """A table of sections and days: hands needed of hands there at the tightest moment."""
    lines = [
        "",
        "PAIRS OF HANDS needed at once / there (duties taken off), by section and day,",
        "every job at its latest start by windows; nothing is planned yet. ! too few",
    ]
    days = sorted({h.day for h in work.hands})
    for at in range(0, len(days), DAYS):
        some = days[at : at + DAYS]
        lines.append(pad("", 12) + "".join(f" {d:%a %d} "[:8] for d in some))
        for section in dict.fromkeys(h.section for h in work.hands):
            mine = {h.day: h for h in work.hands if h.section == section}
            cells = "".join(pad(_cell(mine.get(d)), 8) for d in some)
            name = "anybody" if section == ANYONE else section
            lines.append(f"{pad(name, 12)} {cells}".rstrip())
    return lines


def _cell(hands: Hands | None) -> str:
    if hands is None:
        return "  -"
    return f"{hands.needed:>2}/{hands.there}{' !' if hands.needed > hands.there else ''}"
