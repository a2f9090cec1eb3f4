"""What a believable week may have besides: doors, trays, goods that keep apart, clean-down."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from tests.weeks.tiny import Document


def with_machines(document: Document, rng: Random) -> Document:
    """The week with some of them, each now and then."""
    for add, often in ((_doors, 0.3), (_families, 0.2), (_apart, 0.3), (_cleaned, 0.4)):
        if rng.random() < often:
            add(document, rng)
    return document


def _oven_needs(document: Document) -> Iterator[Document]:
    for recipe in (*document["components"], *document["dishes"]):
        for step in recipe.get("steps", ()):
            yield from (n for n in step.get("on", ()) if n.get("equipment") == "oven")


def _kind(document: Document, name: str) -> Document | None:
    return next((k for k in document["kitchen"]["equipment"] if k["id"] == name), None)


def _doors(document: Document, rng: Random) -> None:
    """The oven stays shut for some of what is in it, or for all."""
    oven = _kind(document, "oven")
    if oven is not None and rng.random() < 0.2:
        oven["shut_while_running"] = True
    for need in _oven_needs(document):
        if rng.random() < 0.4:
            need["door_shut"] = True


def _families(document: Document, rng: Random) -> None:
    """Gastronorm trays and sheets."""
    oven = _kind(document, "oven")
    if oven is None or "holds" in oven:
        return
    places = oven.pop("capacity")
    oven["holds"] = {"gn": places, "sheet": places - rng.randint(0, places // 4)}
    for need in _oven_needs(document):
        need["tray"] = rng.choice(("gn", "sheet"))


def _apart(document: Document, rng: Random) -> None:
    """Two components that must never stand together."""
    names = [c["id"] for c in document["components"]]
    if len(names) > 1:
        one, other = rng.sample(names, 2)
        next(c for c in document["components"] if c["id"] == one)["not_beside"] = [other]


def _cleaned(document: Document, rng: Random) -> None:
    """Mixer and grinder are cleaned between two contents."""
    for name in ("mixer", "grinder"):
        kind = _kind(document, name)
        if kind is not None:
            kind["clean_down"] = {
                "time": rng.choice(("10 min", "25 min")),
                "when": rng.choice(("at once", "before use")),
            }


APART = (_doors, _families, _apart, _cleaned)
"""All of them."""
