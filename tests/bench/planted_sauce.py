"""Kinds of prep of the sauce section for planted weeks; every figure is drawn."""

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


def braised(d: Draw, name: str) -> Document:
    """Trimmed, seared, braised through the night, chilled, portioned days later."""
    least = d.number(9, 12)
    return {
        "id": name, "section": "sauce", "makes": "10 kg", "batch": {"most": "16 kg"},
        "loss": d.part(4, 8),
        "steps": [
            by_hand(
                "trim", more("20 min", "4 min", "1 kg"),
                then=wait("24 h", "12 h", "chilled", per_shelf="6 kg"),
            ),
            by_hand(
                "sear", more("20 min", "3 min", "1 kg"), on=[on("burner", amount=2)],
                then=wait("1 h", "30 min"),
            ),
            runs(
                "braise", span(f"{least} h", f"{least + 6} h", decides="it"),
                load=visit("Cover and load", "10 min"),
                on=[hot("combi", 82, 86, "steam", per="4 kg")],
                then=wait("11 h", "9 h", in_machine=True),
            ),
            runs(
                "blast", "90 min", load=visit("Into the chiller", "10 min"),
                unload=visit("Probe and put away", "5 min"),
                on=[on("blast-chiller", per="4 kg")],
                then=wait(
                    "72 h", "60 h", "chilled", not_before="8 h", best_from="20 h", per_shelf="4 kg"
                ),
            ),
            by_hand("portion", more("15 min", "2 min", "1 kg")),
        ],
        "keeps": [keep("48 h", "chilled", "24 h", "4 kg")],
    }  # fmt: skip


def simmered(d: Draw, name: str) -> Document:
    """Roasted, simmered all day in the kettle, looked at once a shift, strained, chilled."""
    skim = visit("Skim and taste", "5 min", hand("anyone", may_use=["rounds"]), once_a_shift=True)
    return {
        "id": name, "section": "sauce", "makes": "30 l", "batch": {"least": "15 l", "most": "60 l"},
        "steps": [
            runs(
                "roast", span("60 min", "75 min"), load=visit("Load", "10 min"),
                unload=visit("Tip off the fat", "10 min"),
                on=[hot("combi", 195, 205, per="8 l")], then=wait("1 h", "30 min"),
            ),
            runs(
                "simmer", span(d.hours(6, 8), "13 h", "10 h"),
                load=visit("Fill the kettle", "20 min"), tend=[skim], on=[on("kettle")],
            ),
            by_hand("strain", d.minutes(30, 45), on=[on("kettle")]),
            runs("ice", "90 min", on=[on("blast-chiller", per="8 l")]),
        ],
        "keeps": [keep("72 h", "chilled", "48 h", "10 l")],
    }  # fmt: skip


def reduced(d: Draw, name: str, stock: str) -> Document:
    """A stock reduced on the range, looked at every three quarters of an hour."""
    check = visit(
        "Skim and check", "5 min", hand("anyone", may_use=["rounds"]), every="45 min",
        give_or_take="20 min",
    )  # fmt: skip
    return {
        "id": name, "section": "sauce", "makes": "6 l", "batch": {"most": "9 l"},
        "steps": [
            runs(
                "reduce", span(d.hours(2, 3), "5 h", "3 h 30 min"), load=visit("Set on", "10 min"),
                tend=[check], on=[on("burner", amount=2)],
                takes=[takes(stock, d.rng.choice(("18 l", "24 l")))], then=wait("10 min"),
            ),
            by_hand("pass", "20 min"),
        ],
        "keeps": [keep("96 h", "chilled", "72 h", "10 l")],
    }  # fmt: skip


def infused(d: Draw, name: str) -> Document:
    """Roasted dark, simmered and skimmed, drained through a cloth over night."""
    skim = visit(
        "Skim", "5 min", hand("anyone", may_use=["rounds"]), every="40 min", give_or_take="15 min"
    )
    return {
        "id": name, "section": "sauce", "makes": "20 l", "batch": {"least": "8 l", "most": "40 l"},
        "steps": [
            runs(
                "roast", span("50 min", "60 min"),
                load=visit("Halve and load", "15 min", ROUNDS),
                unload=visit("Into the kettle", "10 min"),
                on=[hot("combi", 195, 205, per="8 l")], then=wait("30 min", "20 min"),
            ),
            runs(
                "infuse", span("90 min", "2 h"), tend=[skim], on=[on("kettle")],
                then=wait("45 min", "30 min"),
            ),
            runs(
                "clarify", span("8 h", "18 h", d.hours(12, 15)),
                load=visit("Ladle into the cloth", "15 min"),
                unload=visit("Lift off", "5 min"), on=[in_zone("chilled", "12 l")],
            ),
        ],
        "keeps": [keep("48 h", "chilled", "36 h", "12 l")],
    }  # fmt: skip


def glazed(d: Draw, name: str) -> Document:
    """Sweated, caramelised and stirred, blended."""
    stir = visit(
        "Stir and scrape", "5 min", hand("anyone", may_use=["rounds"]), every="25 min",
        give_or_take="10 min",
    )  # fmt: skip
    return {
        "id": name, "section": "sauce", "makes": "3 kg", "batch": {"most": "12 kg"},
        "steps": [
            by_hand("sweat", more("20 min", "5 min", "1 kg"), on=[on("burner")]),
            runs(
                "caramelise", span(d.minutes(75, 95), "2 h 30 min", "110 min"), tend=[stir],
                on=[on("burner")], then=wait("10 min"),
            ),
            by_hand("mount", "15 min"),
        ],
        "keeps": [keep("60 h", "chilled", "44 h", "5 kg")],
    }  # fmt: skip
