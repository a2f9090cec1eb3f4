"""Events: counts, diets, waves, services, margins, and moments that do not exist."""

from __future__ import annotations

import itertools
from datetime import date, datetime, timedelta
from fractions import Fraction
from math import ceil
from zoneinfo import ZoneInfo, available_timezones

from scheduler.domain.base import Word
from scheduler.domain.draft import Draft
from scheduler.domain.problems import Problem, nearest
from scheduler.domain.times import Clock, Days, Hours, write_duration
from scheduler.domain.week import Course, Event


def events(draft: Draft) -> list[Problem]:
    """Every event can be counted, and every service lies inside the horizon and opening hours."""
    found = _zone(draft)
    for event in draft.week.events:
        found += _margin(draft, event)
        for course in event.menu:
            found += _counts(draft, event, course)
            found += _portions(draft, event, course)
            found += _plated(draft, event, course)
    clock = draft.clock
    if clock is None:
        return found
    found += _moments(draft, clock)
    for event in draft.week.events:
        found += _services(draft, event, clock)
    return found + _edges(draft, clock)


def _zone(draft: Draft) -> list[Problem]:
    zone = draft.kitchen.zone
    try:
        ZoneInfo(zone)
    except (ValueError, OSError, KeyError):
        meant = nearest(zone, available_timezones())
        what = f"unknown time zone '{zone}'"
        hint = f"'{meant}'" if meant else "a city like 'Europe/Vienna'"
        return [draft.problem(draft.kitchen, "zone", what=what, maybe=hint)]
    return []


def _margin(draft: Draft, event: Event) -> list[Problem]:
    bands = draft.kitchen.margins
    found = []
    if event is draft.week.events[0]:
        for i, (one, two) in enumerate(itertools.pairwise(bands), 1):
            if one.up_to is None or (two.up_to is not None and two.up_to <= one.up_to):
                what = "margins stand from small events to large ones, the one without `up_to` last"
                found.append(draft.problem(draft.kitchen, "margins", i, what=what))
    most = max((b.up_to or event.guests for b in bands), default=0)
    if event.margin is None and most < event.guests:
        what = f"no margin of the kitchen reaches {event.guests} guests"
        hint = "a last one without `up_to`"
        found.append(draft.problem(draft.kitchen, "margins", what=what, maybe=hint))
    return found


def _counts(draft: Draft, event: Event, course: Course) -> list[Problem]:
    found = []
    chosen = course.count is not None or course.share is not None
    if chosen and (course.per != 1 or course.each != "guest"):
        what = "a choice by `count` or `share` has no `per` and no `each`"
        field = "per" if course.per != 1 else "each"
        found.append(draft.problem(course, field, what=what))
    if course.each == "table" and event.tables is None and not chosen:
        what = "so many for each table, and the event has no `tables`"
        found.append(draft.problem(course, "each", what=what))
    if course.share is not None and course.share.part == 0:
        found.append(draft.problem(course, "share", what="0 % of the guests is nobody"))
    last = -1
    for wave in course.waves:
        if wave.share.part == 0:
            found.append(draft.problem(wave, "share", what="a wave of 0 % is nothing"))
        if wave.after <= last:
            what = "waves stand in order of time, one after the other"
            found.append(draft.problem(wave, "after", what=what))
        last = wave.after
    return found


def portions(event: Event, course: Course) -> int:
    """Portions before any margin: count, or share of guests, or `per` guest, table or event."""
    if course.count is not None:
        return course.count
    if course.share is not None:
        return ceil(course.share.part * event.guests)
    return course.per * {"guest": event.guests, "table": event.tables or 0, "event": 1}[course.each]


def _portions(draft: Draft, event: Event, course: Course) -> list[Problem]:
    diets = sum(d.count for d in course.diets)
    all_of_it = portions(event, course)
    if diets > all_of_it > 0:
        what = f"diets for {diets} of {all_of_it} portions"
        return [draft.problem(course, "diets", what=what)]
    if course.waves and diets > ceil(course.waves[0].share.part * all_of_it):
        first = ceil(course.waves[0].share.part * all_of_it)
        what = f"diets go out with the first wave: {diets} of its {first} portions"
        return [draft.problem(course, "diets", what=what)]
    return []


def _plated(draft: Draft, event: Event, course: Course) -> list[Problem]:
    """A dish that may wait plated waits at least as long as plating it takes.

    Plating takes 60 × portions / per_hour minutes, here without any margin.
    """
    dish = draft.dish.get(course.dish)
    if dish is None or dish.keeps is None or course.waves:
        return []
    count = portions(event, course) - sum(d.count for d in course.diets)
    length = ceil(Fraction(60 * count, dish.plating.per_hour))
    if length > dish.keeps.at_most:
        what = (
            f"plating {count} takes {write_duration(length)}, and {dish.id} may wait "
            f"{write_duration(dish.keeps.at_most)} plated"
        )
        return [draft.problem(course, what=what, maybe="a higher `per_hour`, or waves")]
    return []


def _missing_hour(moment: datetime, zone: str) -> str:
    return (
        f"{moment:%H:%M} on {moment:%Y-%m-%d} does not exist in {zone}: the clocks go forward "
        "that night"
    )


def _moments(draft: Draft, clock: Clock) -> list[Problem]:
    week, zone = draft.week, draft.kitchen.zone
    dated: list[tuple[Word, str, datetime]] = [
        (week, name, getattr(week, name)) for name in ("starts", "plan_from", "ends")
    ]
    dated += [(e, "first_plate", e.first_plate) for e in week.events]
    dated += [(lot, "made", lot.made) for lot in week.on_hand]
    dated += [(going, "started", going.started) for going in week.in_progress]
    dated += [(g, "last_visit", g.last_visit) for g in week.in_progress if g.last_visit]
    dated += [(delivery, "at", delivery.at) for delivery in week.deliveries]
    found = []
    for owner, field, moment in dated:
        if not clock.exists(moment):
            later = f"'{moment + timedelta(hours=1):%Y-%m-%d %H:%M}'"
            what = _missing_hour(moment, zone)
            found.append(draft.problem(owner, field, what=what, maybe=later))
    for delivery in week.deliveries:
        if delivery.at > week.ends:
            what = f"{delivery.at:%Y-%m-%d %H:%M} is after the week ends"
            found.append(draft.problem(delivery, "at", what=what))
    return found


def _services(draft: Draft, event: Event, clock: Clock) -> list[Problem]:
    found: list[Problem] = []
    week = draft.week
    first = clock.minute(event.first_plate)
    if not 0 < first <= clock.horizon:
        what = (
            f"{event.first_plate:%Y-%m-%d %H:%M} lies outside the week, "
            f"{week.starts:%Y-%m-%d %H:%M} to {week.ends:%Y-%m-%d %H:%M}"
        )
        return [draft.problem(event, "first_plate", what=what)]
    for course in event.menu:
        owner: Word = course
        for part in (None, *course.waves):
            served = first + course.after + (part.after if part is not None else 0)
            owner = part if part is not None else course
            at = clock.local(served)
            if served > clock.horizon:
                what = f"it goes out at {at:%Y-%m-%d %H:%M}, after the week ends"
            elif not _open(draft, clock, served):
                what = f"it goes out at {at:%Y-%m-%d %H:%M}; the kitchen is open "
                what += str(draft.kitchen.open)
            else:
                continue
            found.append(draft.problem(owner, "after", what=what))
            break
    return found


def _open(draft: Draft, clock: Clock, minute: int) -> bool:
    hours = draft.kitchen.open
    if hours is None:
        return True
    spans = (clock.span(day, hours) for day in clock.days())
    return any(start <= minute <= end for start, end in spans)


def _loses_an_hour(day: date, clock: Clock) -> bool:
    """Do the clocks go forward on this day or the next?"""
    midnight = datetime(day.year, day.month, day.day)
    return clock.minute(midnight + timedelta(days=2)) - clock.minute(midnight) < 2 * 1440


def _edges(draft: Draft, clock: Clock) -> list[Problem]:
    """Hours on the wall whose edge falls into the hour that the spring night leaves out."""
    kitchen = draft.kitchen
    daily = (Days("daily"),)
    hours: list[tuple[Word, tuple[str | int, ...], tuple[Days, ...], Hours]] = []
    for person in kitchen.people:
        for shift in person.shifts:
            hours.append((shift, ("hours",), shift.days, shift.hours))
            for i, rest in enumerate(shift.breaks):
                later = 1440 if rest.start < shift.hours.start else 0
                moved = Hours(rest.start + later, rest.end + later)
                hours.append((shift, ("breaks", i), shift.days, moved))
    hours += [(duty, ("hours",), duty.days, duty.hours) for duty in kitchen.duties]
    hours += [(part, ("hours",), daily, part.hours) for part in kitchen.day_parts]
    if kitchen.open is not None:
        hours.append((kitchen, ("open",), daily, kitchen.open))
    found = []
    grid = kitchen.grid
    spring = [day for day in clock.days() if _loses_an_hour(day, clock)]
    for owner, inside, days, span in hours:
        if -(-span.start // grid) * grid >= span.end // grid * grid:
            what = f"nothing is left of {span} on the grid of {grid} min"
            found.append(draft.problem(owner, *inside, what=what))
        for day in spring:
            if not any(day in some for some in days):
                continue
            midnight = datetime(day.year, day.month, day.day)
            edges = [midnight + timedelta(minutes=m) for m in (span.start, span.end)]
            # Where the missing hour begins, both clocks mean the same moment: not missing.
            before = timedelta(minutes=1)
            gone = [m for m in edges if not clock.exists(m) and not clock.exists(m - before)]
            if gone:
                what = _missing_hour(gone[0], kitchen.zone)
                found.append(draft.problem(owner, *inside, what=what))
                break
    return found
