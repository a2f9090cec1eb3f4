"""Somebody's jobs for their own calendar, as a file by RFC 5545."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from scheduler.domain.base import Slug
from scheduler.domain.hazards import hazards
from scheduler.outputs.saying import details, heading, told
from scheduler.outputs.sheet import Sheets, known
from scheduler.plan.entering import each, uid
from scheduler.plan.words import SAFETY, clean

_BY = "-//Backtime//prep sheets//EN"


@dataclass(frozen=True, slots=True)
class Appointment:
    """An entry of a calendar.

    Attributes
    ----------
    uid : str
        The same for good.
    sequence : int
        From 0; it rises with every change.
    cancelled : bool
        It is not to be done any more; it stays, so that calendars hear of it.
    start, end : datetime
        With their offset.
    title, where, text : str
    """

    uid: str
    sequence: int
    cancelled: bool
    start: datetime
    end: datetime
    title: str
    where: str = ""
    text: str = ""


def planned(sheets: Sheets, person: Slug) -> dict[str, Appointment]:
    """What a plan has somebody do, by the key of each job; sequence 0, as nothing came before.

    Raises
    ------
    NoSuchSheet
        Nobody is called so.
    """
    known(person, sheets.persons, "person")
    names, found = sheets.names, {}
    scenario, cautions = names.scenario, hazards()
    for who, key, line in each(sheets.lines_of(person)):
        if who != person:
            continue
        day = names.local(line.start).date()
        rows = [] if not line.task else [
            f"start {told(names, line.start_by, day)}, ready {told(names, line.ready_by, day)}"
        ]  # fmt: skip
        rows += [f"FIRST AND APART: {', '.join(line.diets)}"] if line.diets else []
        rows += details(names, line, day, person)
        rows += [f"mind {cautions[h].name}: {cautions[h].caution}" for h in line.minds]
        found[key] = Appointment(
            uid(scenario.kitchen.id, scenario.week.id, person, key),
            0,
            False,
            names.local(line.start),
            names.local(line.end),
            heading(line),
            line.where,
            "\n".join([*rows, SAFETY]),
        )
    return found


def entered(
    uid: str, sequence: int, cancelled: bool, says: Mapping[str, str], text: str = ""
) -> Appointment:
    """An entry as it is kept from plan to plan, also one that is cancelled.

    Parameters
    ----------
    says : mapping
        from and to (ISO 8601 with offset), title, where.
    text : str
        What the plan says of it now (`planned`), where it does.
    """
    start, end = (datetime.fromisoformat(says[x]) for x in ("from", "to"))
    return Appointment(uid, sequence, cancelled, start, end, says["title"], says["where"], text)


def calendar(
    appointments: Iterable[Appointment], zone: str, stamp: datetime, name: str
) -> bytes:
    """The file.

    Parameters
    ----------
    zone : str
        The kitchen's; times are written by its clock, as RFC 5545, 3.3.5 has it (form #3). An hour
        that comes twice means its first time there, so the second one is written in UTC.
    stamp : datetime
        When all this was said, with offset (DTSTAMP).
    name : str
        What the calendar is called.
    """
    from icalendar import Calendar, Event

    file = Calendar()
    file.add("prodid", _BY)
    file.add("version", "2.0")
    file.add("method", "PUBLISH")
    file.add("x-wr-calname", clean(name))
    said = sorted(appointments, key=lambda a: (a.start.astimezone(UTC), a.uid))
    for one in said:
        event = Event()
        event.add("uid", one.uid)
        event.add("dtstamp", stamp.astimezone(UTC))
        event.add("sequence", one.sequence)
        event.add("status", "CANCELLED" if one.cancelled else "CONFIRMED")
        event.add("dtstart", _on_clock(one.start, zone))
        if one.end > one.start:
            event.add("dtend", _on_clock(one.end, zone))
        event.add("summary", clean(one.title))
        if one.where:
            event.add("location", clean(one.where))
        if one.text:
            event.add("description", "\n".join(clean(row) for row in one.text.split("\n")))
        file.add_component(event)
    years = [one.start.year for one in said] or [stamp.year]
    file.add_missing_timezones(date(min(years) - 1, 1, 1), date(max(years) + 2, 1, 1))
    raw: bytes = file.to_ical()
    return raw


def _on_clock(moment: datetime, zone: str) -> datetime:
    local = moment.astimezone(ZoneInfo(zone))
    again = local.fold and local.utcoffset() != local.replace(fold=0).utcoffset()
    return moment.astimezone(UTC) if again else local
