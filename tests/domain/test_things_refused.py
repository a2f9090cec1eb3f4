"""By-products, states, crates with a limit, washed containers: mistakes in them, in full."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.domain.test_more_refused import spoil
from tests.domain.texts import problems

WHEY = """components:
  - id: whey
    section: stove
    makes: 1 l
    keeps: [{zone: chilled, at_most: 2 d}]
"""
GIVES = "    time: {at_least: 3 h, best: 4 h, at_most: 6 h}\n"
FROZEN = "    weight: 3\n    states: [{id: frozen, steps: [{id: freeze, time: 2 h}], "
FROZEN += "keeps: [{zone: chilled, at_most: 9 d}]}"
SAID: list[tuple[str, list[tuple[str, str]], list[str]]] = [
    (
        "whey that nothing gives",
        [("components:\n", WHEY)],
        ["recipe whey: it has no steps, and no other recipe gives it. Maybe `gives`",
         "recipe whey, id: nobody uses it"],
    ),
    (
        "a by-product that is no component, or itself",
        [(GIVES, f"{GIVES}        gives: [{{component: jos, amount: 1 l}}, "
          "{component: beef, amount: 1 kg}]\n")],
        ["recipe beef, step braise, gives jos, component: unknown component 'jos'",
         "recipe beef, step braise, gives beef, component: beef gives itself"],
    ),
    (
        "whey in kilograms of what is made in litres",
        [("components:\n", WHEY),
         (GIVES, f"{GIVES}        gives: [{{component: whey, amount: 1 kg}}]\n")],
        ["gives whey, amount: '1 kg' of whey, which is made as '1 l'"],
    ),
    (
        "liquor that goes into what gives it",
        [("components:\n", WHEY),
         (GIVES, f"{GIVES}        gives: [{{component: whey, amount: 1 l}}]\n"
          "        takes: [{component: whey, amount: 1 l}]\n")],
        ["it needs the same batch of itself: whey takes beef takes whey"],
    ),
    (
        "a state nobody has written",
        [("{component: beef, amount: 160 g}", "{component: beef, state: thawed, amount: 160 g}"),
         ("    weight: 3\n", FROZEN + "]\n"),
         ("component: seed-paste, quantity: 1 kg,",
          "component: seed-paste, state: open, quantity: 1 kg,"),
         ("[{component: rye-starter, amount: 400 g,",
          "[{component: rye-starter, state: fed, amount: 400 g,")],
        ["takes rye-starter, state: rye-starter has no state 'fed'",
         "takes beef, state: beef has no state 'thawed'",
         "on hand paste-1, state: seed-paste has no state 'open'"],
    ),
    (
        "a state of a state that is not there",
        [("    weight: 3\n", FROZEN + ", {id: thawed, of: frosen, steps: [{id: thaw, time: 9 h}], "
          "keeps: [{zone: chilled, at_most: 1 d}]}]\n")],
        ["state thawed, of: rye-rolls has no state 'frosen'. Maybe 'frozen'"],
    ),
    (
        "mistakes inside a state, where they are written",
        [("    weight: 3\n", FROZEN.replace("time: 2 h", "time: 2 h, on: [{equipment: frezer}]")
          .replace("zone: chilled", "zone: frozen") + "]\n")],
        ["recipe rye-rolls, state frozen, step freeze, on frezer, equipment: unknown equipment",
         "no store has the zone 'frozen'"],
    ),
    (
        "crates that take room of an amount nobody has said",
        [("at: 2027-05-08 08:00}", "at: 2027-05-08 08:00, zone: chilled, shelves: 2}")],
        ["delivery cress-1: what takes shelves says how much it is: `quantity`"],
    ),
    (
        "crates in a zone without shelves, and in one that is not there",
        [("at: 2027-05-08 08:00}", "at: 2027-05-08 08:00, quantity: 2 kg, zone: chilled}"),
         ("quantity: 40 kg, in_house: 0 kg}",
          "quantity: 40 kg, in_house: 0 kg, zone: cole, shelves: 2}")],
        ["delivery turnips, zone: no store has the zone 'cole'",
         "delivery cress-1: `zone` and `shelves` go together"],
    ),
    (
        "an oven that is washed, tubs that a visit takes, a range of washing",
        [("goes_cold_after: 1 h\n", "goes_cold_after: 1 h\n      washed: {time: 20 min}\n"),
         ("{id: tub, units: 8,", "{id: tub, washed: {time: {at_least: 5 min, at_most: 9 min, plus: "
          "1 min, per: 1 kg}, hands: [{section: scullery}]}, units: 8,"),
         ("load: {time: 10 min, verb: load}",
          "load: {time: 10 min, verb: load, on: [{equipment: tub}]}")],
        ["equipment combi, washed: combi heats; it is no container",
         "equipment tub, washed, time: washing has one length",
         "equipment tub, washed, time: '1 kg'; containers are counted. Maybe per: 1 piece",
         "equipment tub, washed, hands, section: unknown section 'scullery'",
         "recipe beef, step braise, load, on tub: tub is washed when a step has emptied it"],
    ),
]  # fmt: skip


@pytest.mark.parametrize("case", SAID, ids=[s[0] for s in SAID])
def test_a_mistake_in_what_is_left_kept_or_washed_is_said_in_full(
    case: tuple[str, list[tuple[str, str]], list[str]], tmp_path: Path
) -> None:
    _, texts, said = case
    spoil(tmp_path, texts)
    lines = [str(p) for p in problems(tmp_path)]
    assert len(lines) == len(said), "\n".join(lines)
    for line, part in zip(lines, said, strict=True):
        assert part in line, "\n".join(lines)
