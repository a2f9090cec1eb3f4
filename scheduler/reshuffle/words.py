"""Setbacks as they are written on a command line: `UNIT=15:20..18:00`, `EVENT=130`.

A moment is `2026-12-10 15:20`, or `15:20` of the day it is; a stretch is FROM..UNTIL, of which
either may be left out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.quantity import Quantity
from scheduler.domain.times import read_duration, read_moment
from scheduler.domain.yaml_text import read_file
from scheduler.reshuffle.setback import Down, Setback, setback_of

_SETTING = re.compile(r"(?:([a-z][a-z0-9-]*) +)?(-?[0-9]{1,4})(?: *°? *C)?")
_CLOCK = re.compile(r"[0-9]{1,2}:[0-9]{2}")

Fields = dict[str, Any]


class _Wrong(ValueError):
    """What is wrong with a word; the message is for people."""


def setbacks_of(
    said: Mapping[str, Sequence[str]], now: datetime, again: Sequence[str] = (),
    resume: Sequence[str] = (),
    good: Sequence[str] = (), last_cold: Sequence[str] = (),
) -> tuple[Setback, ...]:
    """Setbacks from the words of a command.

    Parameters
    ----------
    said : mapping of str to sequence of str
        Option without its dashes (down, away, lost …): what was said with it, in turn.
    now : datetime
        The kitchen's wall clock.
    again : sequence of str
        Tasks that were running on what is down, or in hands that have gone, and start again.
    resume : sequence of str
        And those that go on with the time that is left; all others as their recipes say.
    good : sequence of str
        What stands in a store that is down and is still good.
    last_cold : sequence of str
        STORE=MOMENT at which a store that is down was last read as cold.

    Raises
    ------
    BadInput
        Naming every word that makes no sense.
    """
    found: list[Setback] = []
    problems: list[Problem] = []
    cold = dict(_cold(last_cold, now, problems))
    for option, words in said.items():
        for word in words:
            where = f"--{option} {word}"
            try:
                fields = _READERS[option](word, now)
                if option in ("down", "reduced", "stuck", "away"):
                    fields["salvage"] = {
                        **dict.fromkeys(resume, "elsewhere"), **dict.fromkeys(again, "again"),
                    }
                if option == "down" and good:
                    fields["good"] = tuple(good)
                if option == "down" and fields["what"] in cold:
                    fields["cold"] = cold.pop(fields["what"])
                found.append(setback_of(fields, where))
            except _Wrong as wrong:
                problems.append(Problem("setbacks", None, None, where, str(wrong)))
            except BadInput as bad:
                problems += bad.problems
    stopped = any(getattr(one, "salvage", None) for one in found)
    for option, tasks in (("--again", again), ("--resume", resume)):
        if tasks and not stopped:
            problems.append(_alone(option, "a machine that is down, or somebody who is away"))
    problems += [
        Problem("setbacks", None, None, f"--again {task}", "is said to go on as well")
        for task in again if task in resume
    ]
    if good and not any(isinstance(one, Down) for one in found):
        problems.append(_alone("--good", "a store that is down"))
    problems += [_alone(f"--last-cold {name}", "a store that is down") for name in cold]
    if problems:
        raise BadInput(problems)
    return tuple(found)


def _cold(
    words: Sequence[str], now: datetime, problems: list[Problem]
) -> Iterable[tuple[str, datetime]]:
    for word in words:
        try:
            name, at = _two(word, "STORE=MOMENT at which it was last read as cold")
            yield name, _moment(at, now)
        except _Wrong as wrong:
            problems.append(Problem("setbacks", None, None, f"--last-cold {word}", str(wrong)))


def _alone(option: str, of: str) -> Problem:
    return Problem("setbacks", None, None, option, f"goes with {of}")


def moment_of(text: str, now: datetime) -> datetime:
    """A moment as written, or a time of the day it is.

    Raises
    ------
    ValueError
        Naming what is wrong.
    """
    text = text.strip()
    if _CLOCK.fullmatch(text):
        return read_moment(f"{now:%Y-%m-%d} {text.zfill(5)}")
    return read_moment(text)


def _moment(text: str, now: datetime) -> datetime:
    try:
        return moment_of(text, now)
    except ValueError as error:
        raise _Wrong(f"{error}, or '15:20' of this day") from None


def _two(word: str, what: str) -> tuple[str, str]:
    name, equals, rest = word.rpartition("=")
    if not equals or not name.strip() or not rest.strip():
        raise _Wrong(f"write {what}")
    return name.strip(), rest.strip()


def _stretch(word: str, now: datetime, name: str) -> Fields:
    """NAME, NAME=FROM, NAME=FROM..UNTIL, NAME=..UNTIL."""
    who, _, rest = word.partition("=")
    since, dots, until = rest.partition("..")
    fields: Fields = {name: who.strip()}
    if since.strip():
        fields["since"] = _moment(since, now)
    if until.strip():
        fields["until"] = _moment(until, now)
    elif dots and not since.strip():
        raise _Wrong("write FROM..UNTIL, one of them at least")
    return fields


def _down(word: str, now: datetime) -> Fields:
    return {"kind": "down", **_stretch(word, now, "what")}


def _reduced(word: str, now: datetime) -> Fields:
    name, left = _two(word, "UNIT=PLACES that are still of use")
    if not re.fullmatch(r"[0-9]{1,5}", left):
        raise _Wrong(f"'{left}' is no number of places")
    return {"kind": "down", "what": name, "left": int(left)}


def _stuck(word: str, now: datetime) -> Fields:
    """UNIT=SETTING, UNIT=SETTING@FROM..UNTIL; a setting is 180, "180 °C" or "steam 85"."""
    name, rest = _two(word, "UNIT=SETTING, or UNIT=SETTING@FROM..UNTIL")
    setting, _, stretch = rest.partition("@")
    read = _SETTING.fullmatch(setting.strip())
    if read is None:
        raise _Wrong(f"'{setting.strip()}' is no setting like '180' or 'steam 85'")
    mode, celsius = read.groups()
    fields = _stretch(f"{name}={stretch}", now, "what") if stretch.strip() else {"what": name}
    return {"kind": "stuck", **fields, "celsius": int(celsius)} | ({"mode": mode} if mode else {})


def _working(word: str, now: datetime) -> Fields:
    return {"kind": "working", "what": word.strip()}


def _away(word: str, now: datetime) -> Fields:
    return {"kind": "away", **_stretch(word, now, "who")}


def _lost(word: str, now: datetime) -> Fields:
    name, equals, left = word.partition("=")
    fields: Fields = {"kind": "lost", "batch": name.strip()}
    if equals:
        try:
            fields["left"] = Quantity.parse(left.strip())
        except ValueError as error:
            raise _Wrong(str(error)) from None
    return fields


def _count(word: str, now: datetime) -> Fields:
    name, guests = _two(word, "EVENT=GUESTS")
    if not re.fullmatch(r"-?[0-9]{1,6}", guests):
        raise _Wrong(f"'{guests}' is no number of guests")
    return {"kind": "counts", "event": name, "guests": int(guests)}


def _move(word: str, now: datetime) -> Fields:
    name, to = _two(word, "EVENT=MOMENT")
    return {"kind": "moved", "event": name, "to": _moment(to, now)}


def _cancel(word: str, now: datetime) -> Fields:
    return {"kind": "cancelled", "event": word.strip()}


def _add(word: str, now: datetime) -> Fields:
    """A file with one event as the week would say it."""
    try:
        raw = Path(word).read_bytes()
    except OSError as error:
        raise _Wrong(f"it cannot be read: {error.strerror or error}") from None
    node, problem = read_file(raw, word)
    if problem is not None or node is None:
        raise BadInput([problem] if problem else [])
    return {"kind": "added", "event": node.plain()}


def _delivery(word: str, now: datetime) -> Fields:
    name, rest = _two(word, "DELIVERY=MOMENT, DELIVERY=QUANTITY, or DELIVERY=never")
    if rest == "never":
        return {"kind": "delivery", "delivery": name, "never": True}
    try:
        return {"kind": "delivery", "delivery": name, "at": moment_of(rest, now)}
    except ValueError:
        pass
    try:
        return {"kind": "delivery", "delivery": name, "quantity": Quantity.parse(rest)}
    except ValueError:
        what = f"'{rest}' is neither a moment like '15:20' nor a quantity, nor 'never'"
        raise _Wrong(what) from None


def _ends(word: str, now: datetime) -> Fields:
    name, at = _two(word, "TASK=MOMENT at which it is over")
    return {"kind": "ends", "task": name, "at": _moment(at, now)}


def _not_there(word: str, now: datetime) -> Fields:
    name, equals, longer = word.partition("=")
    fields: Fields = {"kind": "not-there", "task": name.strip()}
    if equals:
        try:
            fields["longer"] = f"{read_duration(longer.strip())} min"
        except ValueError as error:
            raise _Wrong(str(error)) from None
    return fields


def _not_begun(word: str, now: datetime) -> Fields:
    return {"kind": "not-begun", "task": word.strip()}


_READERS: dict[str, Callable[[str, datetime], Fields]] = {
    "down": _down, "reduced": _reduced, "stuck": _stuck, "working": _working, "away": _away,
    "lost": _lost, "count": _count, "move": _move, "cancel": _cancel, "add": _add,
    "delivery": _delivery, "ends": _ends, "not-begun": _not_begun, "not-there": _not_there,
}  # fmt: skip


def names() -> Iterable[str]:
    """The options there are."""
    return _READERS
