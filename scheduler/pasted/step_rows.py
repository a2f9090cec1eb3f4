"""What a row says of a step of a recipe: how long, whose hands, on what, and the wait after it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from scheduler.domain.quantity import Quantity
from scheduler.pasted.grid import Value
from scheduler.pasted.table import Table
from scheduler.pasted.values import Named, amount, length, text_of, whole

Body = dict[str, Any]
NOTHING: Final = object()
"""Said of what is to be taken out of a step."""
NONE = frozenset(("none", "nothing", "-", "–"))
"""Words for that."""
WORDS: dict[str, tuple[str, ...]] = {
    "does": ("what is done", "what to do", "description"),
    "section": (),
    "time": ("at least", "takes", "takes at least", "how long"),
    "best": ("best time",),
    "at most": ("longest",),
    "plus": ("and more",),
    "for every": ("per",),
    "people": ("hands", "cooks"),
    "level": (),
    "up to": ("shared by", "shared by up to"),
    "equipment": ("machine", "on", "it is on"),
    "amount": ("places", "how many"),
    "temperature": ("setting", "°c"),
    "load": ("loading",),
    "unload": ("unloading",),
    "waits at least": ("then waits at least",),
    "waits at most": (),
    "waits in": (),
}
"""What headings of steps may be called."""
_LENGTHS = {
    "time": ("time", "at_least"), "best": ("time", "best"), "at most": ("time", "at_most"),
    "plus": ("time", "plus"), "waits at least": ("then", "not_before"),
    "waits at most": ("then", "at_most"),
}  # fmt: skip
_VISITS = ("load", "unload")
_DEGREES = re.compile(r"(-?[0-9]{1,3})(?:\s*(?:-|–|to)\s*(-?[0-9]{1,3}))?\s*(?:°\s*)?C?", re.I)
_SEVERAL = re.compile(r"([0-9]{1,4})\s*(?:[x×]\s*|\s)(?=\S)(.+)", re.I)
_LEVELS = ("trainee", "cook", "lead")


class StepReader:
    """Reads steps from rows.

    Parameters
    ----------
    table : Table
    kitchen : mapping
        Whose sections, equipment and zones are meant.
    """

    def __init__(self, table: Table, kitchen: Mapping[str, Any]) -> None:
        self._table = table
        self.sections = Named("section", _names(kitchen.get("sections")))
        self.zones = Named("zone", {str(s["zone"]): str(s["zone"]) for s in _dicts(
            kitchen.get("stores")) if s.get("zone")})  # fmt: skip
        kinds = _dicts(kitchen.get("equipment"))
        self._heated = {
            id for kind in kinds if kind.get("heat")
            for id in (str(kind.get("id")), *_names(kind.get("units")))
        }  # fmt: skip
        things = {id: name for kind in kinds for id, name in _names(kind.get("units")).items()}
        self._things = Named("equipment", things | _names(kinds))

    def said(self, row: int, old: Body) -> Body:
        """What a row says of a step, as recipes have it.

        Parameters
        ----------
        old : dict
            The step as it was; of equipment it keeps what was said of the same.
        """
        table = self._table
        new: Body = {}
        for word, path in _LENGTHS.items():
            _put(new, path, self._read(row, word, lambda v, w=word: length(v, table.unit(w))))
        _put(new, ("time", "per"), self._read(row, "for every", _per))
        _put(new, ("then", "zone"), self._read(row, "waits in", self.zones.id_of))
        _put(new, ("section",), self._read(row, "section", self.sections.id_of))
        if table.value(row, "does") is not None:
            new["name"] = text_of(table.value(row, "does"))
        for word in _VISITS:
            taken = self._read(row, word, lambda v, w=word: length(v, table.unit(w)))
            _put(new, (word,) if taken is NOTHING else (word, "time", "at_least"), taken)
        if new.get("then", {}).get("at_most") is NOTHING:
            new["then"] = NOTHING
        if new.get("time", {}).get("plus") is NOTHING:
            new["time"]["per"] = NOTHING
        self._hands(row, new, old)
        self._on(row, new, old)
        return new

    def _read(self, row: int, word: str, read: Any) -> Any:
        """A cell; NOTHING where it says none."""
        if text_of(self._table.value(row, word)).lower() in NONE:
            return NOTHING
        return self._table.read(row, word, read)

    def _hands(self, row: int, new: Body, old: Body) -> None:
        """Of several kinds of hands the first are meant; the others stay."""
        people = self._read(row, "people", lambda v: whole(v, 50))
        if people in (0, NOTHING):
            new["hands"] = NOTHING
            return
        said: Body = {}
        _put(said, ("people",), people)
        _put(said, ("level",), self._read(row, "level", _level))
        _put(said, ("up_to",), self._read(row, "up to", lambda v: whole(v, 12)))
        if said:
            first, *others = _dicts(old.get("hands")) or [{}]
            new["hands"] = [over(first, said), *others]

    def _on(self, row: int, new: Body, old: Body) -> None:
        there = _dicts(old.get("on"))
        things = self._read(row, "equipment", lambda v: self._named(v, there))
        if things is NOTHING:
            new["on"] = NOTHING
            return
        needs = there if things is None else things
        places = self._read(row, "amount", _places)
        if places is not None and len(needs) == 1:
            kept = {k: v for k, v in needs[0].items() if k not in ("amount", "per")}
            needs = [kept if places is NOTHING else kept | places]
        elif places is not None:
            what = "several things" if needs else "nothing"
            self._table.wrong(row, "amount", (
                f"of what? It is on {what}; write 2 oven, 1 burner under equipment"
            ))  # fmt: skip
        setting = self._read(row, "temperature", _setting)
        if setting is not None:
            heated = [n for n in needs if str(n.get("equipment")) in self._heated]
            if len(heated) != 1:
                what = "several things" if heated else "nothing"
                self._table.wrong(row, "temperature", f"it is on {what} that can be set to it")
                return
            needs = [over(n, {"setting": setting}) if n is heated[0] else n for n in needs]
        if needs != there:
            new["on"] = needs

    def _named(self, value: Value, there: list[Body]) -> list[Body]:
        """Equipment and zones, with commas between; each may have a number before it."""
        found: list[Body] = []
        for part in filter(None, map(str.strip, re.split(r"[,;+]", text_of(value)))):
            match = None if self._known(part) else _SEVERAL.fullmatch(part)
            name = match[2] if match else part
            if name in self._things or name not in self.zones:
                need = {"equipment": self._things.id_of(name)}
            else:
                need = {"zone": self.zones.id_of(name)}
            if any(need.items() <= one.items() for one in found):
                raise ValueError(f"'{name}' is there twice; write it once, with a number")
            kept = next((one for one in there if need.items() <= one.items()), {})
            found.append({**kept, **need, **({"amount": int(match[1])} if match else {})})
        return found

    def _known(self, name: str) -> bool:
        return name in self._things or name in self.zones


def over(old: Any, new: Any) -> Any:
    """What was said with what is said now; where it is NOTHING, it is taken out."""
    if not isinstance(new, dict):
        return new
    if not isinstance(old, dict):
        old = {"at_least": old} if isinstance(old, str) else {}  # a time in its short form
    made = dict(old)
    for word, value in new.items():
        if value is NOTHING:
            made.pop(word, None)
        else:
            made[word] = over(made.get(word), value)
    return made


def _put(into: Body, path: tuple[str, ...], value: Any) -> None:
    if value is None:
        return
    *before, last = path
    for word in before:
        into = into.setdefault(word, {})
    into[last] = value


def _per(value: Value) -> str:
    return amount(value).text


def _places(value: Value) -> Body:
    """So many places, or one for every so much: 2, or 5 kg."""
    text = text_of(value)
    if re.fullmatch(r"[0-9]+", text):
        return {"amount": whole(value, 10_000)}
    found: Quantity = amount(value)
    return {"per": found.text}


def _level(value: Value) -> str:
    text = text_of(value).lower()
    if text not in _LEVELS:
        raise ValueError(f"'{text_of(value)}' is no level; there are {', '.join(_LEVELS)}")
    return text


def _setting(value: Value) -> Body:
    text = text_of(value)
    match = _DEGREES.fullmatch(text)
    if match is None:
        raise ValueError(f"'{text}' is no temperature; write 150, or 95-105, in °C")
    return {"coldest": int(match[1]), "hottest": int(match[2] or match[1])}


def _dicts(entries: Any) -> list[Body]:
    return [e for e in entries if isinstance(e, dict)] if isinstance(entries, list) else []


def _names(entries: Any) -> dict[str, str]:
    return {str(e["id"]): str(e.get("name") or e["id"]) for e in _dicts(entries) if e.get("id")}
