"""The commands `wall` and `record`: what cooks see, and what they have entered."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from scheduler.book.documents import revision
from scheduler.book.errors import BookError
from scheduler.book.opening import Book
from scheduler.book.plans import KeptPlan, changed_since_made, keep, plan, plans_of
from scheduler.book.record import record_of
from scheduler.book.recording import in_words
from scheduler.book.roles import Who
from scheduler.book.standing import Recorded, unplanned
from scheduler.book.wall import Hanging, Replaced, breaks, hanging, hung, put_up, take_down
from scheduler.commands.book import the_book, the_chef, the_kitchen, the_week
from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say, say_all, tell
from scheduler.plan.words import SAFETY, Names, day_words, several

if TYPE_CHECKING:
    from scheduler.plan.file import PlanFile


def show_wall(at: str | None, week: str | None, kitchen: str | None) -> Exit:
    """What hangs on the wall, now or at a moment of the kitchen's own clock."""
    with the_book() as book:
        who = _whose(book, week, kitchen)
        zone = _zone(book, who)
        if at is None:
            found, when = hanging(book, who, week), "now"
        else:
            moment = _moment(at)
            when = f"on {_told(moment)}"
            found = hung(book, who, moment.replace(tzinfo=zone), week)
        if not found:
            say(f"Nothing {'hangs' if at is None else 'hung'} on the wall {when}.")
        for one in found:
            say_all(_lines(book, who, one, zone))
    return Exit.FINE


def put_on_wall(path: Path) -> Exit:
    """Keep a plan and put it on the wall in place of what hangs there."""
    from scheduler.plan.file import read_plan

    file = read_plan(path)
    scenario = file.scenario
    with the_book() as book:
        who = the_chef(the_kitchen(book, scenario.kitchen.id))
        there = hanging(book, who, scenario.week.id)
        before = there[0].number if there else None
        if not file.report.valid:
            tell(f"{breaks('This plan', file)} See `backtime audit`.")
            return Exit.BROKEN
        kept = keep(book, who, path.read_text(encoding="utf-8-sig"), before)
        if before == kept.number:
            say(f"Plan {kept.number} of {kept.week} is on the wall already.")
            return Exit.FINE
        try:
            put_up(book, who, kept.number, before)
        except Replaced as error:
            tell(f"{error} Yours is kept in the book, as plan {kept.number}.")
            return Exit.BAD_INPUT
        bin_it = f" Bin plan {before}." if before is not None else ""
        say(f"Plan {kept.number} of {kept.week} is on the wall.{bin_it}")
        say_all(_warnings(book, who, kept))
    return Exit.FINE


def take_from_wall(week: str | None, kitchen: str | None) -> Exit:
    """Take a plan down; everything in it is cancelled in people's calendars."""
    with the_book() as book:
        who = _whose(book, week, kitchen)
        found = hanging(book, who, week)
        if not found:
            raise BookError(f"Nothing{f' of {week}' if week else ''} is on the wall.")
        if len(found) > 1:
            names = " | ".join(one.week for one in found)
            raise BookError(f"Plans of several weeks are on the wall; say which: --week {names}.")
        take_down(book, who, found[0].week, found[0].number)
        say(f"Plan {found[0].number} of {found[0].week} is off the wall; bin it.")
    return Exit.FINE


def record(week: str, kitchen: str | None) -> Exit:
    """The record of a week as a log, in order of arrival."""
    with the_book() as book:
        who = _whose(book, week, kitchen)
        entries, zone = record_of(book, who, week), _zone(book, who)
        if not entries:
            say(f"Nothing has been entered for {week}. That nothing is entered is not late.")
            return Exit.FINE
        names, strange = None, entries
        for kept in reversed(plans_of(book, who, week)):
            file = plan(book, who, kept.number)[1]
            names = names or Names(file.scenario, file.plan)
            strange = unplanned(strange, _in_plan(file))
            if not strange:
                break
        say_all(_log(entries, zone, names, {e.id for e in strange}))
    return Exit.FINE


def _whose(book: Book, week: str | None, kitchen: str | None) -> Who:
    """The chef of the kitchen that is named, has the week, or is the only one."""
    if week is not None:
        return the_week(book, week, kitchen, thrown_out=True)
    return the_chef(the_kitchen(book, kitchen))


def _lines(book: Book, who: Who, one: Hanging, zone: ZoneInfo) -> Iterator[str]:
    kept, file = plan(book, who, one.number)
    name = file.scenario.week.name or one.week
    until = "" if one.down is None else f", until {_local(one.down, zone)} ({one.down_by})"
    yield f"{name} ({one.week}): plan {one.number}"
    yield f"  up since {_local(one.up, zone)}, by {one.up_by}{until}"
    if one.down is None:
        for line in _warnings(book, who, kept):
            yield f"  {line}"


def _warnings(book: Book, who: Who, kept: KeptPlan) -> Iterator[str]:
    if not kept.served:
        yield "Not everything is served; `backtime show` says what is missing."
    changes = changed_since_made(book, who, kept.number)
    if changes:
        more = f" (and {len(changes) - 1} more)" if len(changes) > 1 else ""
        yield (
            f"It was made from an older state of the book: {several(len(changes), 'change')} "
            f"since. {changes[0].says}{more}"
        )


def _log(
    entries: tuple[Recorded, ...], zone: ZoneInfo, names: Names | None, strange: set[str]
) -> Iterator[str]:
    places = {e.id: e.place for e in entries}
    day = None
    for e in entries:
        local = e.when.astimezone(zone)
        if local.date() != day:
            day = local.date()
            yield day_words(day)
        name = names.batch(e.batch) if names else e.batch
        about = e.task or e.batch
        person = names.person(e.who) if names else e.who
        what = f"{e.place:>5}  {local:%H:%M}  {person}  {name} ({about}): "
        what += in_words(e.kind, e.body)
        if e.corrects is not None:
            what += f"; corrects {places.get(e.corrects, e.corrects)}"
        if e.id in strange:
            what += "; in no plan of this week"
        if e.doubtful:
            what += f"; by the clock it was entered with {_local(e.happened, zone)}"
        yield what
    yield SAFETY


def _in_plan(file: PlanFile) -> set[str]:
    """What entries may be about: jobs and batches, what is on hand among them."""
    lots = (lot.id for lot in file.scenario.week.on_hand)
    return {t.id for t in file.plan.tasks} | {b.id for b in file.plan.batches} | {*lots}


def _zone(book: Book, who: Who) -> ZoneInfo:
    body = revision(book, who, "kitchen", who.kitchen).body or {}
    return ZoneInfo(body.get("zone", "UTC"))


def _moment(said: str) -> datetime:
    from scheduler.domain.times import read_moment

    try:
        return read_moment(said)
    except ValueError as error:
        raise BookError(f"--at: {error}.") from None


def _local(moment: datetime, zone: ZoneInfo) -> str:
    return _told(moment.astimezone(zone))


def _told(local: datetime) -> str:
    return f"{day_words(local.date())} {local:%H:%M}"
