"""Kinds of prep of the larder for planted weeks.

The mix of steps is the demo's; every figure is drawn. Each function writes
one component; what it takes of another component is named by whoever calls.
"""

from __future__ import annotations

from tests.bench.planted_draw import (
    ROUNDS,
    Document,
    Draw,
    by_hand,
    hand,
    hot,
    in_zone,
    keep,
    more,
    on,
    runs,
    span,
    takes,
    visit,
    wait,
)


def soured(d: Draw, name: str) -> Document:
    """Packed into tubs, fermented for days where the food decides, pressed twice a day."""
    press = visit("Press under the brine", "5 min", ROUNDS, day_parts=["morning", "evening"])
    days = d.number(2, 4)
    return {
        "id": name, "section": "larder", "makes": "10 kg", "batch": {"most": "30 kg"},
        "steps": [
            by_hand(
                "pack", more(d.minutes(25, 45), "3 min", "1 kg"), hand(), hand(level="trainee"),
                on=[on("tub", per="10 kg", until="decant")], then=wait("4 h", "4 h"),
            ),
            runs(
                "ferment", span(f"{days} d", f"{days + 1} d", decides="it"), tend=[press],
                on=[in_zone("room", "10 kg")],
                then=wait("2 d 12 h", "2 d", "room"),
            ),
            by_hand("decant", d.minutes(20, 35)),
        ],
        "keeps": [keep("6 d", "chilled", "4 d", "5 kg")],
    }  # fmt: skip


def cured(d: Draw, name: str) -> Document:
    """Filleted, cured and turned, dried in the walk-in, carved on the day."""
    turn = visit("Turn", more("5 min", "1 min", "2 kg"), ROUNDS, day_parts=["morning", "evening"])
    least = d.number(26, 34)
    return {
        "id": name, "section": "larder", "makes": "10 kg", "batch": {"most": "14 kg"},
        "loss": d.part(3, 8),
        "steps": [
            by_hand(
                "fillet", more(d.minutes(25, 40), "4 min", "1 kg"),
                takes=[{"ingredient": "fish", "amount": "12 kg", "yield": "80 %"}],
                then=wait("4 h", "2 h", "chilled", per_shelf="5 kg"),
            ),
            runs(
                "cure", span(f"{least} h", f"{least + 14} h", f"{least + 10} h"),
                load=visit("Salt", "20 min"), tend=[turn], on=[in_zone("chilled", "5 kg")],
            ),
            by_hand("rinse", "25 min", hand(level="trainee")),
            runs(
                "air-dry", span("11 h", "24 h", d.hours(16, 21)), on=[in_zone("chilled", "4 kg")],
                then=wait("4 h", "4 h", "chilled", per_shelf="4 kg"),
            ),
            by_hand("carve", more("15 min", "4 min", "1 kg")),
        ],
        "keeps": [keep("20 h", "chilled", "8 h", "4 kg")],
    }  # fmt: skip


def domed(d: Draw, name: str, broth: str) -> Document:
    """A broth set in moulds over night, unmoulded."""
    return {
        "id": name, "section": "larder", "makes": "24 pieces", "batch": {"most": "192 pieces"},
        "loss": d.part(4, 9),
        "steps": [
            by_hand(
                "pour", more(d.minutes(20, 30), "6 min", "24 pieces"),
                on=[on("burner"), on("dome-sheet", per="24 pieces", until="unmould")],
                takes=[takes(broth, "1.2 l", within="30 h")],
            ),
            runs("set", span("6 h", "24 h", d.hours(14, 18)), on=[in_zone("chilled", "48 pieces")]),
            by_hand("unmould", more("15 min", "9 min", "24 pieces")),
        ],
        "keeps": [keep("30 h", "chilled", "10 h", "30 pieces")],
    }  # fmt: skip


def pickled(d: Draw, name: str) -> Document:
    """One short step, then it must stand for a day and is best after two."""
    return {
        "id": name, "section": "larder", "makes": "2 kg", "batch": {"most": "12 kg"},
        "steps": [by_hand("blanch", d.minutes(25, 40), on=[on("burner")])],
        "keeps": [
            keep("12 d", "chilled", "9 d", "4 kg", not_before="24 h", best_from=d.hours(30, 48))
        ],
    }  # fmt: skip


def leathered(d: Draw, name: str) -> Document:
    """Puréed, dried thin through the night where the food decides, turned once."""
    turn = visit("Turn the sheets", "15 min", ROUNDS, after="5 h", give_or_take="2 h")
    return {
        "id": name, "section": "larder", "makes": "2 kg", "batch": {"most": "4 kg"},
        "steps": [
            by_hand(
                "puree", more(d.minutes(25, 40), "5 min", "1 kg"), on=[on("blender")],
                then=wait("4 h", "2 h", "chilled", per_shelf="1 kg"),
            ),
            runs(
                "dry", span("10 h", d.hours(14, 17), decides="it"),
                load=visit("Load the sheets", "10 min", hand(level="trainee")), add=[turn],
                unload=visit("Peel and roll", "20 min"),
                on=[hot("dehydrator", 52, 58, per="500 g")],
            ),
        ],
        "keeps": [keep("5 d", "dry", "3 d", "1 kg")],
    }  # fmt: skip


def dripped(d: Draw, name: str) -> Document:
    """Blended warm, dripped through a cloth over night, bottled."""
    return {
        "id": name, "section": "larder", "makes": "2 l", "batch": {"most": "8 l"},
        "steps": [
            by_hand("blend", d.minutes(25, 40), on=[on("blender")], then=wait("2 h", "1 h")),
            runs("drip", span("8 h", "18 h", d.hours(13, 16)), on=[in_zone("chilled")]),
            by_hand("bottle", "10 min", hand(level="trainee")),
        ],
        "keeps": [keep("60 h", "chilled", "48 h")],
    }  # fmt: skip


def terrined(d: Draw, name: str) -> Document:
    """Blended into terrines, baked in the bath, blast chilled, turned out the next day."""
    return {
        "id": name, "section": "larder", "makes": "6 kg", "batch": {"most": "9 kg"},
        "steps": [
            by_hand(
                "emulsify", more(d.minutes(25, 35), "4 min", "1 kg"),
                on=[on("blender"), on("terrine", per="1.5 kg", until="turn-out")],
                then=wait("30 min", "20 min"),
            ),
            runs(
                "bake-bath", span("60 min", "70 min"), load=visit("Into the bath", "10 min"),
                unload=visit("Probe and lift out", "10 min"),
                on=[hot("combi", 82, 86, "steam", per="1.5 kg")],
            ),
            runs(
                "chill", "90 min", on=[on("blast-chiller", per="1.5 kg")],
                then=wait("72 h", "60 h", "chilled", not_before="12 h", best_from="18 h"),
            ),
            by_hand("turn-out", more("20 min", "5 min", "1 kg")),
        ],
        "keeps": [keep("6 h", "chilled", "3 h", "2 kg")],
    }  # fmt: skip


def crisped(d: Draw, name: str) -> Document:
    """Shaved on the slicer, dried crisp."""
    return {
        "id": name, "section": "larder", "makes": "100 pieces", "batch": {"most": "480 pieces"},
        "loss": d.part(6, 12),
        "steps": [
            by_hand(
                "shave", more("15 min", d.minutes(5, 8, 1), "100 pieces"), on=[on("slicer")],
                then=wait("4 h", "2 h"),
            ),
            runs(
                "crisp", span("45 min", "60 min"), load=visit("Load the sheets", "10 min"),
                unload=visit("Lift off and box", "10 min", hand(level="trainee")),
                on=[hot("combi", 115, 125, per="80 pieces")],
            ),
        ],
        "keeps": [keep("60 h", "dry", "24 h", "150 pieces")],
    }  # fmt: skip


def pressed(d: Draw, name: str) -> Document:
    """Sliced, layered in tins, baked, pressed over night in the tins, cut."""
    return {
        "id": name, "section": "larder", "makes": "20 pieces", "batch": {"most": "100 pieces"},
        "steps": [
            by_hand(
                "slice", more("20 min", d.minutes(8, 12, 1), "20 pieces"), on=[on("slicer")],
                then=wait("20 min", "10 min"),
            ),
            by_hand(
                "layer", more("15 min", "8 min", "20 pieces"), hand(level="trainee"),
                on=[on("press-tin", per="20 pieces", until="cut")], then=wait("1 h", "30 min"),
            ),
            runs(
                "bake", "2 h", unload=visit("Probe and lift out", "10 min"),
                on=[hot("combi", 150, 158, per="20 pieces")], then=wait("1 h", "45 min"),
            ),
            runs(
                "press", span("10 h", "24 h", d.hours(15, 19)),
                load=visit("Weights on", "10 min"), on=[in_zone("chilled", "20 pieces")],
            ),
            by_hand("cut", more("15 min", "6 min", "20 pieces")),
        ],
        "keeps": [keep("24 h", "chilled", "12 h", "40 pieces", best_from="2 h")],
    }  # fmt: skip


def soaked(d: Draw, name: str) -> Document:
    """Soaked over night, ground wet on the stone, fermented warm, griddled."""
    return {
        "id": name, "section": "larder", "makes": "6 kg", "batch": {"most": "10 kg"}, "weight": 2,
        "steps": [
            runs(
                "soak", span("6 h", "18 h", d.hours(12, 15)),
                load=visit("Wash and cover", "10 min", ROUNDS), on=[in_zone("room")],
                then=wait("2 h", "90 min"),
            ),
            by_hand(
                "grind", more("25 min", "5 min", "1 kg"), on=[on("stone")], in_loads=True,
                then=wait("2 h", "90 min"),
            ),
            runs(
                "rise", span("10 h", d.hours(14, 17), decides="it"),
                on=[on("prover", per="2.5 kg")],
                then=wait("11 h", "8 h", "chilled", per_shelf="5 kg"),
            ),
            by_hand("griddle", more("20 min", "4 min", "1 kg"), on=[on("griddle")]),
        ],
        "keeps": [keep("5 h", "hot", "2 h", "4 kg")],
    }  # fmt: skip


def drained(d: Draw, name: str) -> Document:
    """Hung in a cloth over night, whisked smooth."""
    least = d.number(12, 15)
    return {
        "id": name, "section": "larder", "makes": "4 kg", "batch": {"most": "12 kg"},
        "steps": [
            runs(
                "drain", span(f"{least} h", "24 h", f"{least + 6} h"),
                load=visit("Hang in the cloth", "10 min", hand(level="trainee")),
                on=[in_zone("chilled", "4 kg")], then=wait("10 min"),
            ),
            by_hand("season", "15 min", hand(level="trainee")),
        ],
        "keeps": [keep("48 h", "chilled", "36 h", "6 kg", best_from="3 h")],
    }  # fmt: skip


def hung(d: Draw, name: str) -> Document:
    """Dressed, salted, hung for days and turned, seared and roasted for service."""
    turn = visit("Turn the rails", "10 min", ROUNDS, day_parts=["midday"])
    least = d.number(30, 38)
    return {
        "id": name, "section": "larder", "makes": "60 pieces", "batch": {"most": "120 pieces"},
        "weight": 3,
        "steps": [
            by_hand(
                "dress", more("20 min", "25 min", "60 pieces"), hand(), ROUNDS,
                takes=[{"ingredient": "fowl", "amount": "60 pieces"}],
                then=wait("4 h", "2 h", "chilled", per_shelf="24 pieces"),
            ),
            runs(
                "salt", span("8 h", "18 h", "14 h"),
                load=visit("Salt", "15 min", hand(level="trainee")),
                on=[in_zone("chilled", "24 pieces")],
            ),
            runs(
                "hang", span(f"{least} h", "60 h", "54 h"),
                load=visit("Rinse and hang", "30 min", hand(level="trainee")), tend=[turn],
                unload=visit("Take down", "15 min"), on=[on("drying-room", per="10 pieces")],
                then=wait("20 h", "12 h", "chilled", per_shelf="24 pieces"),
            ),
            by_hand(
                "sear", more("20 min", "20 min", "60 pieces"), section="sauce",
                on=[on("burner", amount=3)], then=wait("90 min", "45 min"),
            ),
            runs(
                "roast", "20 min", section="sauce", load=visit("Load", "5 min"),
                unload=visit("Probe and lift out", "5 min"),
                on=[hot("combi", 160, 168, per="12 pieces")],
            ),
        ],
        "keeps": [keep("90 min", "hot", "45 min", "24 pieces")],
    }  # fmt: skip


def cut_fresh(d: Draw, name: str) -> Document:
    """Cut and dressed on the day."""
    return {
        "id": name, "section": "larder", "makes": "10 kg", "batch": {"most": "20 kg"}, "weight": 2,
        "steps": [
            by_hand(
                "cut", more(d.minutes(15, 25), "4 min", "1 kg"), hand(), ROUNDS,
                then=wait("3 h", "90 min", "chilled", per_shelf="5 kg"),
            ),
            by_hand("dress", d.minutes(10, 20), hand(level="trainee")),
        ],
        "keeps": [keep("6 h", "chilled", "2 h", "5 kg")],
    }  # fmt: skip
