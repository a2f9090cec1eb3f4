"""What a believable week may have besides: by-products, states, crates, moulds that are washed."""

from __future__ import annotations

from random import Random

from tests.weeks.tiny import Document, hands, keep, step, take


def with_things(document: Document, rng: Random) -> Document:
    """The week with some of them, each now and then."""
    for add, often in ((_washed, 0.5), (_crates, 0.5), (_whey, 0.6), (_opened, 0.4)):
        if rng.random() < often:
            add(document, rng)
    return document


def _washed(document: Document, rng: Random) -> None:
    """Moulds or tubs are washed and dry before they are taken again."""
    name = rng.choice(("mould", "tub"))
    kind = next(k for k in document["kitchen"]["equipment"] if k["id"] == name)
    kind["washed"] = {
        "time": {"at_least": "10 min", "plus": "1 min", "per": "1 piece"},
        "dry": rng.choice(("0 min", "30 min")),
    }


def _crates(document: Document, rng: Random) -> None:
    """What comes stands in the walk-in until it is used, a few days at most."""
    for delivery in document["week"].get("deliveries", ()):
        delivery |= {"quantity": "120 kg", "zone": "chilled", "shelves": rng.choice((1, 3))}
        if rng.random() < 0.5:
            delivery["at_most"] = rng.choice(("2 d", "3 d"))


def _whey(document: Document, rng: Random) -> None:
    """Something that is drained or braised leaves a liquor, which a dish takes."""
    steps = {
        c["id"]: [s for s in c["steps"] if s["id"] in ("drain", "braise", "simmer", "ferment")]
        for c in document["components"]
    }
    givers = [c for c in document["components"] if steps[c["id"]] and "kg" in c["makes"]]
    if not givers or not document["dishes"]:
        return
    giver = rng.choice(givers)
    steps[giver["id"]][0]["gives"] = [{"component": "liquor", "amount": "2 l"}]
    liquor: Document = {
        "id": "liquor", "section": "stove", "makes": "1 l", "steps": [],
        "keeps": [keep("36 h", "chilled", best_until="24 h", per_shelf="4 l")],
    }  # fmt: skip
    if rng.random() < 0.3:
        liquor["steps"] = [step("boil", "30 min", hands=hands(1))]
    document["components"].append(liquor)
    rng.choice(document["dishes"])["takes"].append(take("liquor", "10 ml"))


def _opened(document: Document, rng: Random) -> None:
    """Something is portioned before it is plated, and then keeps for hours only."""
    taken = [
        t for d in document["dishes"] for t in d["takes"]
        if "kg" in next(c for c in document["components"] if c["id"] == t["component"])["makes"]
    ]  # fmt: skip
    if not taken:
        return
    name = rng.choice(taken)["component"]
    component = next(c for c in document["components"] if c["id"] == name)
    component["states"] = [
        {"id": "cut", "steps": [step("portion", "15 min", hands=hands(1))],
         "keeps": [keep("6 h", "chilled", best_until="3 h", per_shelf="4 kg")]}
    ]  # fmt: skip
    for take_of in taken:
        if take_of["component"] == name:
            take_of["state"] = "cut"


THINGS = (_washed, _crates, _whey, _opened)
"""All of them."""
