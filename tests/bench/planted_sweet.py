"""Kinds of sweet prep and bakery for planted weeks.

The mix of steps is the demo's; every figure is drawn.
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

SUGAR = hand(may_use=["hot-sugar"])


def ground(d: Draw, name: str) -> Document:
    """Roasted, ground on the stone in loads where the food decides, something added."""
    least = d.number(13, 16)
    stir = visit("Add oil and salt", "10 min", hand("anyone"), after="2 h", give_or_take="90 min")
    return {
        "id": name, "section": "pastry", "makes": "5 kg", "batch": {"most": "10 kg"},
        "steps": [
            runs(
                "roast", span("30 min", "40 min"), load=visit("Spread and load", "10 min"),
                unload=visit("Tip out to cool", "5 min"),
                on=[hot("combi", 150, 158, per="2 kg")],
                then=wait("24 h", "8 h", not_before="30 min"),
            ),
            by_hand("sift", d.minutes(15, 25), then=wait("24 h", "8 h")),
            runs(
                "grind", span(f"{least} h", f"{least + 8} h", decides="it"),
                load=visit("Feed the stone", "15 min"), add=[stir],
                unload=visit("Scrape out and flush", "30 min"), on=[on("stone")], in_loads=True,
            ),
        ],
        "keeps": [keep("21 d", "dry", "14 d", "5 kg", best_from="12 h")],
    }  # fmt: skip


def frozen(d: Draw, name: str, paste: str) -> Document:
    """A paste whipped into a parfait, frozen in sheets, unmoulded cold."""
    return {
        "id": name, "section": "pastry", "makes": "48 pieces", "batch": {"most": "192 pieces"},
        "steps": [
            by_hand(
                "whip", more("30 min", "5 min", "48 pieces"),
                on=[on("mixer"), on("parfait-sheet", per="24 pieces", until="unmould")],
                takes=[takes(paste, d.rng.choice(("1 kg", "1.2 kg")))],
            ),
            by_hand("fill", more("10 min", "6 min", "48 pieces")),
            runs(
                "freeze", span("10 h", "48 h", d.hours(20, 26)),
                on=[in_zone("frozen", "24 pieces")],
            ),
            by_hand("unmould", more("10 min", "8 min", "48 pieces"), hand(), ROUNDS),
        ],
        "keeps": [keep("4 d", "frozen", "3 d", "24 pieces")],
    }  # fmt: skip


def poached(d: Draw, name: str) -> Document:
    """Peeled, poached until the food decides, left a day in its syrup, diced."""
    least = d.number(4, 6)
    return {
        "id": name, "section": "pastry", "makes": "8 kg", "batch": {"most": "20 kg"},
        "steps": [
            by_hand("peel", more("20 min", "4 min", "1 kg"), then=wait("2 h", "1 h")),
            runs(
                "poach", span(f"{least} h", f"{least + 3} h", decides="it"),
                load=visit("Cover and load", "10 min"),
                unload=visit("Lift out", "10 min", hand("anyone", may_use=["rounds"])),
                on=[hot("combi", 82, 90, "steam", per="4 kg")],
                then=wait(
                    "96 h", "84 h", "chilled", not_before="20 h", best_from="30 h", per_shelf="5 kg"
                ),
            ),
            by_hand("dice", more("15 min", "3 min", "1 kg")),
        ],
        "keeps": [keep("48 h", "chilled", "36 h", "6 kg")],
    }  # fmt: skip


def steamed(d: Draw, name: str) -> Document:
    """Mixed, steamed, kept for days."""
    return {
        "id": name, "section": "pastry", "makes": "48 pieces", "batch": {"most": "144 pieces"},
        "steps": [
            by_hand("mix", more("20 min", "10 min", "48 pieces"), then=wait("4 h", "2 h")),
            runs(
                "steam", span("3 h", "3 h 30 min"), load=visit("Load", "10 min"),
                unload=visit("Lift out", "10 min"),
                on=[hot("combi", 98, 100, "steam", per="24 pieces")],
            ),
        ],
        "keeps": [
            keep("9 d", "chilled", "8 d", "20 pieces", not_before="24 h", best_from=d.hours(30, 48))
        ],
    }  # fmt: skip


def cupped(d: Draw, name: str) -> Document:
    """Warmed, poured into cups, set cold in them, finished one by one."""
    return {
        "id": name, "section": "pastry", "makes": "24 pieces", "batch": {"most": "144 pieces"},
        "steps": [
            by_hand("warm", d.minutes(20, 30), on=[on("burner")]),
            by_hand(
                "pour", more("5 min", "4 min", "24 pieces"),
                on=[on("cup-tray", per="24 pieces", until="finish")],
                then=wait("20 min", "20 min"),
            ),
            runs("set", span("5 h", "24 h", d.hours(15, 19)), on=[in_zone("chilled", "24 pieces")]),
            by_hand("finish", more("10 min", "6 min", "24 pieces")),
        ],
        "keeps": [keep("10 h", "chilled", "4 h", "24 pieces")],
    }  # fmt: skip


def dried_out(d: Draw, name: str) -> Document:
    """Whisked, spread at once, dried out in the oven and left in it."""
    return {
        "id": name, "section": "pastry", "makes": "100 pieces", "batch": {"most": "300 pieces"},
        "loss": d.part(4, 9),
        "steps": [
            by_hand("whisk", d.minutes(25, 35), on=[on("mixer")]),
            by_hand(
                "spread", more("10 min", "8 min", "100 pieces"), then=wait("20 min", "20 min")
            ),
            runs(
                "dry-out", span("5 h", "8 h", "7 h"), on=[hot("combi", 85, 92, per="60 pieces")],
                then=wait("10 h", "7 h", in_machine=True),
            ),
            by_hand("break", "15 min"),
        ],
        "keeps": [keep("72 h", "dry", "60 h", "80 pieces")],
    }  # fmt: skip


def bent(d: Draw, name: str) -> Document:
    """Mixed the day before, baked and bent tray by tray."""
    return {
        "id": name, "section": "pastry", "makes": "60 pieces", "batch": {"most": "240 pieces"},
        "loss": d.part(8, 14), "weight": 2,
        "steps": [
            by_hand(
                "mix", "20 min",
                then=wait("48 h", "40 h", "chilled", not_before="2 h", best_from="4 h"),
            ),
            by_hand(
                "bake", more("15 min", d.minutes(14, 20, 1), "60 pieces"),
                on=[hot("deck", 170, 180, amount=2)],
            ),
        ],
        "keeps": [keep("22 h", "dry", "8 h", "60 pieces")],
    }  # fmt: skip


def pulled(d: Draw, name: str) -> Document:
    """Sugar boiled and pulled at once by somebody trained, never left."""
    return {
        "id": name, "section": "pastry", "makes": "60 pieces", "batch": {"most": "240 pieces"},
        "loss": "6 %", "weight": 2,
        "steps": [
            by_hand("boil", d.minutes(25, 35), SUGAR, on=[on("burner")], alone="never"),
            by_hand("pull", more("10 min", "9 min", "60 pieces"), SUGAR, alone="never"),
        ],
        "keeps": [keep("24 h", "dry", "8 h", "60 pieces")],
    }  # fmt: skip


def burnt(d: Draw, name: str) -> Document:
    """A caramel: burnt, quenched at once, cooled, blended."""
    return {
        "id": name, "section": "pastry", "makes": "3 kg", "batch": {"most": "9 kg"},
        "steps": [
            by_hand("burn", d.minutes(20, 30), SUGAR, on=[on("burner")], alone="never"),
            by_hand(
                "quench", "10 min", SUGAR, alone="never",
                then=wait("2 h", "1 h", not_before="20 min"),
            ),
            by_hand("blend", "10 min"),
        ],
        "keeps": [keep("60 h", "chilled", "48 h", "3 kg")],
    }  # fmt: skip


def choux(d: Draw, name: str) -> Document:
    """Piped and frozen, baked from frozen in waves, filled load by load."""
    return {
        "id": name, "section": "pastry", "makes": "80 pieces", "batch": {"most": "160 pieces"},
        "weight": 2,
        "steps": [
            by_hand("cook", d.minutes(20, 30), on=[on("burner")], then=wait("10 min", "10 min")),
            by_hand(
                "pipe", more("10 min", "10 min", "80 pieces"),
                then=wait("6 d", "4 d", "frozen", not_before="3 h", per_shelf="60 pieces"),
            ),
            runs(
                "bake", "25 min", load=visit("Load", "5 min"),
                on=[hot("deck", 172, 180, per="8 pieces")], in_loads=True, waves=True,
                then=wait("45 min", "30 min"),
            ),
            by_hand(
                "fill", more("5 min", "10 min", "80 pieces"),
                on=[on("choux-rack", per="8 pieces")], in_loads=True,
            ),
        ],
        "keeps": [keep("3 h", None, "2 h 15 min")],
    }  # fmt: skip


def stamped(d: Draw, name: str) -> Document:
    """Rubbed in, stamped out and baked for service."""
    return {
        "id": name, "section": "pastry", "makes": "72 pieces", "batch": {"most": "144 pieces"},
        "weight": 2,
        "steps": [
            by_hand("rub", d.minutes(20, 30), then=wait("20 h", "12 h", "chilled")),
            by_hand("stamp", more("10 min", "8 min", "72 pieces"), then=wait("30 min", "15 min")),
            runs(
                "bake", "15 min", load=visit("Load", "5 min"), unload=visit("Lift out", "5 min"),
                on=[hot("deck", 210, 220, per="24 pieces")],
            ),
        ],
        "keeps": [keep("150 min", None, "60 min")],
    }  # fmt: skip


def crackers(d: Draw, name: str) -> Document:
    """Stirred, rolled thin, baked dry, snapped."""
    return {
        "id": name, "section": "pastry", "makes": "120 pieces", "batch": {"most": "480 pieces"},
        "loss": d.part(5, 9),
        "steps": [
            by_hand("stir", "15 min", then=wait("12 h", "4 h", not_before="30 min")),
            by_hand("roll", more("10 min", "8 min", "120 pieces"), then=wait("30 min", "30 min")),
            runs(
                "bake", span("40 min", "50 min"), load=visit("Load", "5 min"),
                on=[hot("combi", 150, 158, per="100 pieces")], then=wait("1 h", "1 h"),
            ),
            by_hand("snap", "15 min"),
        ],
        "keeps": [keep("6 d", "dry", "4 d", "120 pieces")],
    }  # fmt: skip


def sponged(d: Draw, name: str) -> Document:
    """A starter: fed, ripened over night."""
    least = d.number(11, 15)
    return {
        "id": name, "section": "bakery", "makes": "2 kg", "batch": {"most": "8 kg"},
        "steps": [
            by_hand("feed", "10 min"),
            runs(
                "ripen", span(f"{least} h", f"{least + 9} h", f"{least + 5} h"),
                on=[in_zone("room")],
            ),
        ],
        "keeps": [keep("4 d", "chilled", "3 d")],
    }  # fmt: skip


def rolls(d: Draw, name: str, starter: str) -> Document:
    """Mixed with a starter, folded, shaped, retarded over night, proved, baked in loads."""
    fold = visit("Fold", "10 min", hand(), every="35 min", give_or_take="10 min")
    return {
        "id": name, "section": "bakery", "makes": "120 pieces", "batch": {"most": "240 pieces"},
        "weight": 2,
        "steps": [
            by_hand(
                "mix", d.minutes(20, 30), on=[on("spiral")], takes=[takes(starter, "1.2 kg")]
            ),
            runs("bulk", span("1 h 45 min", "2 h 15 min"), tend=[fold]),
            by_hand(
                "divide", more("15 min", "12 min", "60 pieces"), then=wait("15 min", "15 min")
            ),
            runs(
                "retard", span("12 h", "24 h", d.hours(16, 20)),
                on=[in_zone("chilled", "40 pieces")],
            ),
            runs(
                "prove", span("60 min", "90 min", "75 min"),
                load=visit("Into the prover", "5 min"), on=[on("prover", per="24 pieces")],
                then=wait("1 h", "45 min"),
            ),
            runs(
                "bake", "20 min", load=visit("Slash and load", "5 min"),
                unload=visit("Lift out", "5 min"),
                on=[hot("deck", 235, 245, per="20 pieces")], in_loads=True,
            ),
        ],
        "keeps": [keep("10 h", "dry", "8 h", "60 pieces")],
    }  # fmt: skip


def folds(d: Draw, name: str) -> Document:
    """A dough laminated in turns with rests between, retarded, proved, baked in loads."""
    turn = wait("3 h", "2 h", "chilled", not_before="45 min")
    return {
        "id": name, "section": "bakery", "makes": "100 pieces", "batch": {"most": "200 pieces"},
        "weight": 2,
        "steps": [
            by_hand(
                "mix", "25 min", on=[on("spiral")],
                then=wait("28 h", "24 h", "chilled", not_before="10 h"),
            ),
            by_hand(
                "turn-one", more("20 min", "3 min", "100 pieces"), on=[on("sheeter")], then=turn
            ),
            by_hand("turn-two", "20 min", on=[on("sheeter")], then=turn),
            by_hand(
                "shape", more("25 min", d.minutes(18, 25, 1), "100 pieces"),
                then=wait("15 min", "15 min"),
            ),
            runs(
                "retard", span("8 h", "20 h", "17 h"), on=[in_zone("chilled", "30 pieces")],
            ),
            runs(
                "prove", span("2 h", "2 h 30 min"), load=visit("Into the prover", "10 min"),
                on=[on("prover", per="24 pieces")],
                then=wait("2 h", "100 min", "chilled", per_shelf="48 pieces"),
            ),
            runs(
                "bake", "22 min", load=visit("Wash and load", "10 min"),
                unload=visit("Lift out", "5 min"),
                on=[hot("combi", 180, 190, per="12 pieces")], in_loads=True,
            ),
        ],
        "keeps": [keep("4 h", "dry", "2 h 30 min", "40 pieces")],
    }  # fmt: skip
