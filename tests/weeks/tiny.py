"""Short builders of written weeks: documents as a chef would write them, in one line each.

Every builder returns plain data; `week_of` puts it together around defaults
that are never in the way: one cook at the stove, one at the pass who only
plates, a dry rack and a walk-in with room for everything, one event.
"""

from __future__ import annotations

from typing import Any

Document = dict[str, Any]

DAY = "2027-05-07"
"""A Friday."""
EVE = "2027-05-06"
ALL_DAY = "00:00-24:00"


def step(name: str, time: str | Document, **rest: Any) -> Document:
    """A step: `step("turn", "30 min", hands=1)` or with visits: `load=visit("30 min")`."""
    if "hands" in rest:
        rest["hands"] = hands(rest["hands"])
    return {"id": name, "time": time, **rest}


def hands(who: int | list[Document]) -> list[Document]:
    """So many cooks, or lines as they are."""
    return [{"people": who}] if isinstance(who, int) else who


def visit(time: str | Document, who: int | list[Document] = 1, **rest: Any) -> Document:
    """A stretch of hands: load, unload; with `every` or `after` a tend or an add."""
    return {"time": time, "hands": hands(who), **rest}


def span(least: str, most: str | None = None, best: str | None = None, **rest: Any) -> Document:
    """A length with a range."""
    time = {"at_least": least, **rest}
    if most is not None:
        time["at_most"] = most
    if best is not None:
        time["best"] = best
    return time


def keep(most: str = "24 h", zone: str | None = None, **rest: Any) -> Document:
    """Where it keeps and how long; at the bench if there is no zone."""
    return {"at_most": most, **({"zone": zone} if zone else {}), **rest}


def component(name: str, *steps: Document, keeps: Document | None = None, **rest: Any) -> Document:
    """A component of the stove that makes ten portions."""
    return {
        "id": name,
        "section": "stove",
        "makes": "10 portions",
        "steps": list(steps),
        "keeps": [keeps or keep()],
        **rest,
    }


def made(name: str, keeps: Document, **rest: Any) -> Document:
    """One hour of a cook's hands, then it keeps."""
    return component(name, step("make", "60 min", hands=1), keeps=keeps, **rest)


def take(name: str, amount: str = "1 portion", **rest: Any) -> Document:
    """An input of a dish or of a step."""
    return {"component": name, "amount": amount, **rest}


def dish(name: str, *takes: Document | str, per_hour: int = 600, **rest: Any) -> Document:
    """A dish of the pass; a name alone is one portion of that component."""
    return {
        "id": name,
        "section": "pass",
        "takes": [take(t) if isinstance(t, str) else t for t in takes],
        "plating": rest.pop("plating", {"per_hour": per_hour}),
        **rest,
    }


def event(
    name: str, at: str, *menu: str | Document, guests: int = 10, **rest: Any
) -> Document:
    """An event without a margin; `at` is a time on `DAY` or a whole moment."""
    return {
        "id": name,
        "first_plate": moment(at),
        "guests": guests,
        "margin": "0 %",
        "menu": [{"dish": m} if isinstance(m, str) else m for m in menu],
        **rest,
    }


def moment(at: str) -> str:
    """A time of day on `DAY`, or the moment as it is."""
    return at if " " in at else f"{DAY} {at}"


def cook(
    name: str, *hours: str, sections: dict[str, str] | None = None, days: str = "daily", **rest: Any
) -> Document:
    """Somebody at the stove with one shift or more, the same every day."""
    return {
        "id": name,
        "sections": sections or {"stove": "cook"},
        "shifts": [
            {"days": [days], "hours": h} if isinstance(h, str) else h for h in hours or (ALL_DAY,)
        ],
        **rest,
    }


PIA = cook("pia", sections={"pass": "lead"})
"""She plates, whenever it is."""


def oven(name: str = "oven", capacity: int = 6, **heat: Any) -> Document:
    """An oven that heats by 10 °C a minute unless said otherwise."""
    settings = {"hottest": 250, "up": 10, "down": 10, "goes_cold_after": "4 h", **heat}
    rest = {k: settings.pop(k) for k in ("units", "alone", "shut_while_running") if k in settings}
    return {"id": name, "capacity": capacity, "measure": "trays", "heat": settings, **rest}


def in_oven(coldest: int, hottest: int | None = None, name: str = "oven", **rest: Any) -> Document:
    """A need of an oven at a setting."""
    return {
        "equipment": name,
        "setting": {"coldest": coldest, "hottest": hottest or coldest},
        **rest,
    }


def kind(name: str, **rest: Any) -> Document:
    """A kind of equipment."""
    return {"id": name, **rest}


def store(name: str, zone: str, shelves: int) -> Document:
    """A store."""
    return {"id": name, "zone": zone, "shelves": shelves}


STORES = (store("walk-in", "chilled", 20), store("rack", "dry", 20))


def week_of(
    *components: Document,
    dishes: list[Document] | None = None,
    events: list[Document] | None = None,
    service: str = "18:00",
    guests: int = 10,
    people: list[Document] | None = None,
    equipment: list[Document] | None = None,
    stores: list[Document] | tuple[Document, ...] = STORES,
    kitchen: Document | None = None,
    week: Document | None = None,
) -> Document:
    """A whole written week.

    Parameters
    ----------
    components : dict
        Left alone, the dish `plate` takes a portion of each that no other takes.
    service : str
        First plate of the one event `supper`, where no `events` are given.
    people : list of dict
        Besides `PIA`; one cook `ana` all day long if left out.
    kitchen, week : dict
        Anything more (or other) in these two.
    """
    if dishes is None:
        steps = [s for c in components for s in c["steps"]]
        taken = {t.get("component") for s in steps for t in s.get("takes", ())}
        dishes = [dish("plate", *(c["id"] for c in components if c["id"] not in taken))]
    if events is None:
        events = [event("supper", service, *(d["id"] for d in dishes), guests=guests)]
    return {
        "schema": 1,
        "kitchen": {
            "id": "kitchen",
            "zone": "Europe/Vienna",
            "grid": "30 min",
            "sections": [{"id": "stove"}, {"id": "larder"}, {"id": "pass"}],
            "people": [PIA, *(people if people is not None else [cook("ana")])],
            "equipment": equipment or [],
            "stores": list(stores),
            **(kitchen or {}),
        },
        "components": list(components),
        "dishes": dishes,
        "week": {
            "id": "week",
            "starts": f"{EVE} 00:00",
            "plan_from": f"{EVE} 00:00",
            "ends": f"{DAY} 23:00",
            "events": events,
            **(week or {}),
        },
    }
