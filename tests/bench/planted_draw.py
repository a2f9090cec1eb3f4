"""Figures drawn for planted weeks, and short words for written documents."""

from __future__ import annotations

from random import Random
from typing import Any

Document = dict[str, Any]


class Draw:
    """Draws figures as a chef writes them; the same ones from the same seed."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng

    def number(self, low: int, high: int, by: int = 1) -> int:
        """A whole number, both ends included."""
        return self.rng.randrange(low, high + 1, by)

    def minutes(self, low: int, high: int, by: int = 5) -> str:
        """So many minutes."""
        return f"{self.number(low, high, by)} min"

    def hours(self, low: int, high: int) -> str:
        """So many hours."""
        return f"{self.number(low, high)} h"

    def part(self, low: int, high: int) -> str:
        """So many per cent."""
        return f"{self.number(low, high)} %"

    def maybe(self, part: float) -> bool:
        """True so often."""
        return self.rng.random() < part


def hand(section: str | None = None, level: str | None = None, **rest: Any) -> Document:
    """A line of hands: one of the section, a cook unless said otherwise."""
    words = {"section": section, "level": level}
    return {"people": 1} | {k: v for k, v in words.items() if v is not None} | rest


ROUNDS = hand("anyone", "trainee", may_use=["rounds"])
"""Whoever does the rounds."""


def visit(verb: str, time: str | Document, *who: Document, **rest: Any) -> Document:
    """A stretch of hands; a cook of the section unless somebody is named."""
    return {"verb": verb, "time": time, **({"hands": list(who)} if who else {}), **rest}


def by_hand(name: str, time: str | Document, *who: Document, **rest: Any) -> Document:
    """A step that is hands all the way."""
    return {"id": name, "time": time, "hands": list(who) or [hand()], **rest}


def runs(name: str, time: str | Document, **rest: Any) -> Document:
    """A step that runs by itself."""
    return {"id": name, "time": time, **rest}


def more(least: str, plus: str, per: str) -> Document:
    """A length that grows with the quantity."""
    return {"at_least": least, "plus": plus, "per": per}


def span(least: str, most: str, best: str | None = None, **rest: Any) -> Document:
    """A length with a range."""
    return {"at_least": least, "at_most": most, **({"best": best} if best else {}), **rest}


def wait(most: str, best: str | None = None, zone: str | None = None, **rest: Any) -> Document:
    """A wait before the next step."""
    words = {"best_until": best, "zone": zone}
    return {"at_most": most} | {k: v for k, v in words.items() if v is not None} | rest


def keep(most: str, zone: str | None, best: str, per: str | None = None, **rest: Any) -> Document:
    """Where and how long it keeps."""
    words = {"zone": zone, "per_shelf": per}
    return {"at_most": most, "best_until": best} | {
        k: v for k, v in words.items() if v is not None
    } | rest


def on(kind: str, **rest: Any) -> Document:
    """A need of equipment."""
    return {"equipment": kind, **rest}


def in_zone(zone: str, per: str | None = None) -> Document:
    """A need of shelves."""
    return {"zone": zone, **({"per": per} if per else {})}


def hot(kind: str, coldest: int, hottest: int, mode: str | None = None, **rest: Any) -> Document:
    """A need of an oven at a setting."""
    setting = {"coldest": coldest, "hottest": hottest} | ({"mode": mode} if mode else {})
    return {"equipment": kind, "setting": setting, **rest}


def takes(name: str, amount: str, **rest: Any) -> Document:
    """A component that goes in."""
    return {"component": name, "amount": amount, **rest}
