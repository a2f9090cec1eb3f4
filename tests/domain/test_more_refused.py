"""Mistakes that show in another place than where they were made, or in several at once."""
# ruff: noqa: E501 - one mistake a line reads best.

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import read_scenario, scenario_of
from tests.domain.texts import EVERYTHING, FILES, place, problems, spoilt

# name, texts replaced, what must be said (all of it, in the order of files)
SAID: list[tuple[str, list[tuple[str, str]], list[str]]] = [
    (
        "grams where pieces are meant",
        [("    piece_weight: 60 g\n", ""), ("amount: 2 pieces", "amount: 120 g")],
        ["dish bread-plate, takes rye-rolls, amount: '120 g' is a weight; rye-rolls is made in "
         "pieces ('100 pieces') and states no piece_weight. Maybe an amount in pieces"],
    ),
    (
        "grams of a thing whose piece weighs something",
        [("amount: 2 pieces", "amount: 120 g")],
        [],
    ),
    (
        "a hold shorter than its unload",
        [("best_until: 4 h, at_most: 10 h", "at_most: 20 min"),
         ("unload: {time: 5 min}", "unload: {time: 25 min}")],
        ["recipe rye-rolls, keeps dry, at_most: the hold of 20 min is shorter than the unload "
         "before it, 25 min"],
    ),
    (
        "looking in that does not come out",
        [("{at_least: 3 h, best: 4 h, at_most: 6 h}", "70 min"),
         ("turn, time: 5 min, every: 1 h, give_or_take: 15 min", "turn, time: 15 min, every: 1 h")],
        ["step braise, tend, every: visits of 15 min every 1 h to 1 h do not come out in 1 h 10 min"],
    ),
    (
        "looking in that comes out",
        [("{at_least: 3 h, best: 4 h, at_most: 6 h}", "75 min"),
         ("turn, time: 5 min, every: 1 h, give_or_take: 15 min", "turn, time: 15 min, every: 1 h")],
        [],
    ),
    (
        "waits in no machine",
        [("then: {not_before: 4 h, best_from: 6 h", "then: {in_machine: true, best_from: 6 h")],
        ["step feed, then, in_machine: it waits in its machine, and the step is on none"],
    ),
    (
        "waves to nowhere",
        [("per: 40 pieces}]\n    keeps", "per: 40 pieces}]\n        waves: true\n    keeps")],
        ["step bake, waves: it passes its loads on, and there is no next step"],
    ),
    (
        "an ingredient that is made here",
        [("{ingredient: cress, amount: 2 g}", "{ingredient: pear-paste, amount: 2 g}"),
         ("    - {id: cress-1, ingredient: cress, at: 2027-05-08 08:00}\n", "")],
        ["takes pear-paste, ingredient: 'pear-paste' is a component, not an ingredient. Maybe "
         "'component: pear-paste'"],
    ),
    (
        "a unit called like a store",
        [("id: combi-a,", "id: rack,")],
        ["store rack, id: the same id twice: 'rack' is a unit already"],
    ),
    (
        "a unit called like one that gets a number",
        [("{id: rack, zone: dry, shelves: 12}", "{id: tub-3, zone: dry, shelves: 12}")],
        ["equipment tub, id: one of its units would be 'tub-3', which is another id already"],
    ),
    (
        "a dish called like a component",
        [("- id: bread-plate", "- id: beef"), ("{dish: bread-plate, each", "{dish: beef, each"),
         ("- dish: bread-plate\n          count", "- dish: beef\n          count")],
        ["dish beef, id: the same id twice: 'beef' is a component already"],
    ),
    (
        "a dish twice on a menu",
        [("{dish: bread-plate, each: table, per: 8}", "{dish: beef-plate}")],
        ["event dinner, menu beef-plate, dish: the same id twice: 'beef-plate' is on the menu "
         "already"],
    ),
    (
        "a component and a dish of one name",
        [("- id: bread-plate\n", "- id: bread-plate\n    name: RYE rolls\n")],
        ["dish bread-plate, name: the name 'RYE rolls' is also that of rye-rolls"],
    ),
    (
        "kilograms for grams",
        [("    makes: 5 kg\n    steps:", "    makes: 5 kg\n    batch: {least: 500 g}\n    steps:"),
         ("component: seed-paste, amount: 20 g", "component: seed-paste, amount: 20 mg")],
        # 60 guests + 10 % = 66 and 4 of the crew: 70 x 0.02 g = 1.4 g, up to 2 g.
        ["recipe seed-paste, batch, least: the smallest batch, 500 g, is 250 times all the week "
         "needs, 2 g. Maybe another unit"],
    ),
    (
        "a comma that ends the value",
        [("best_until: 4 h, at_most: 10 h", "best_until: 4 h, at_most: 10,5 h")],
        ["recipe rye-rolls, keeps dry, at_most: '10' has no unit of time. Maybe '10 min' or '10 h'",
         "recipe rye-rolls, keeps dry, 5 h: there is no '5 h' here. Maybe a point instead of the "
         "comma before it"],
    ),
    (
        "a smallest batch above the demand, which is made and left over",
        [("    makes: 5 kg\n    steps:", "    makes: 5 kg\n    batch: {least: 4 kg}\n    steps:")],
        [],
    ),
    (
        "a section that nobody leads or cooks in",
        [("sections: {bakery: lead}", "sections: {stove: cook}")],
        [f"recipe {where}: nobody of at least level cook in section bakery. Maybe 'level: trainee'"
         for where in ("rye-starter, step feed, hands", "rye-starter, step knock-back, hands",
                       "rye-rolls, step mix, hands", "rye-rolls, step divide, hands",
                       "rye-rolls, step bake, load", "rye-rolls, step bake, unload")],
    ),
    (
        "the same batch of itself",
        [("    - {id: starter-1, component: rye-starter, quantity: 500 g, made: 2027-05-02 05:00, "
          "store: walk-in}\n", "")],
        ["recipe rye-starter: rye-starter takes rye-starter, and none is on hand"],
    ),
    (
        "two that take each other",
        [("        takes: [{component: rye-starter, amount: 100 g}]\n",
          "        takes: [{component: rye-rolls, amount: 1 piece}]\n")],
        ["recipe rye-starter: it needs the same batch of itself: rye-starter takes rye-rolls takes "
         "rye-starter"],
    ),
    (
        "a component nobody uses",
        [("swap: {seed-paste: pear-paste}", "swap: {}")],
        ["recipe pear-paste, id: nobody uses it"],
    ),
    (
        "a dish without components",
        [("takes: [{component: rye-rolls, amount: 2 pieces}]",
          "takes: [{ingredient: bread, amount: 2 pieces}]")],
        ["dish bread-plate: a dish without components"],
    ),
    (
        "a diet for an unknown component",
        [("swap: {seed-paste: pear-paste}", "swap: {seed-paste: pare-paste}")],
        ["recipe pear-paste, id: nobody uses it",
         "diet no-seeds, swap, seed-paste: unknown component 'pare-paste'. Maybe 'pear-paste'"],
    ),
    (
        "plating longer than it may wait",
        [("plating: {per_hour: 200}", "plating: {per_hour: 20}")],
        ["event dinner, menu bread-plate: plating 80 takes 4 h, and bread-plate may wait 2 h"],
    ),
    (
        "more shelves on hand than there are",
        [("made: 2027-05-01 15:00, reserved_for: dinner", "made: 2027-05-01 15:00, store: walk-in"),
         ("quantity: 1 kg, made", "quantity: 16 kg, made"),
         ("{zone: chilled, at_most: 10 d}, {zone: dry, at_most: 10 d}",
          "{zone: chilled, at_most: 10 d, per_shelf: 500 g}")],
        ["on hand paste-1, quantity: 33 shelves are on hand in walk-in, which has 30"],
    ),
    (
        "ovens that mix fills and places",
        [("{id: grinder, units: 2, fill: 5 kg, alone",
          "{id: grinder, units: [{id: g-one, fill: 5 kg}, {id: g-two}], alone")],
        ["equipment grinder, units: some units have a `fill` and some have none"],
    ),
    (
        "a batch in progress that no machine takes",
        [("  in_progress:\n", "  in_progress:\n    - {id: paste-2, component: seed-paste, quantity: "
          "7 kg, step: grind, started: 2027-05-03 05:00}\n")],
        ["in progress paste-2, quantity: 7 kg do not fit: for grind, grinder takes 5 kg"],
    ),
    (
        "a class of food that is misspelt",
        [("food_class: pickle", "food_class: raw-poltry")],
        ["food_class: unknown class of food 'raw-poltry'. Maybe 'raw-poultry'"],
    ),
    (
        "an allergen that is misspelt",
        [("{id: no-seeds, count: 5,", "{id: no-seeds, count: 5, free_of: [seasame],")],
        ["diet no-seeds, free of: unknown allergen 'seasame'. Maybe 'sesame'"],
    ),
    (
        "a rule profile that nobody knows",
        [("rule_profile: house", "rule_profile: ue")],
        ["kitchen, rule_profile: unknown rule profile 'ue'; there are: anz, eu, house, uk, us"],
    ),
    (
        "hours kept without a rule profile that has any",
        [("rule_profile: house", "rule_profile: house\n  rest: {breaks: warned}")],
        ["kitchen, rest: how strictly hours are kept, and rule profile house has none. Maybe "
         "'rule_profile: eu', or no `rest`"],
    ),
    (
        "a price for what no plan can give back",
        [("rule_profile: house", "rule_profile: eu\n  rest: {daily_rest: priced, weekly_rest: "
          "priced, breaks: priced}\n  costs: {rest_hour: 0}")],
        ["kitchen, rest, weekly_rest: 'priced' has no meaning here: a week has its rest between "
         "shifts as they are written or has not, and no plan gives it back, as whoever is on shift "
         "is at work even where nothing is to be done. Maybe 'hard' or 'warned'",
         "kitchen, rest, breaks: 'priced' has no meaning here: a shift has the breaks that are "
         "written for it, and no plan takes one away, so there is nothing to pay for. Maybe 'hard' "
         "or 'warned'",
         "kitchen, costs, rest_hour: '0' must be at least 1"],
    ),
    (
        "a night that the rule profile does not know",
        [("rule_profile: house", "rule_profile: uk\n  rest: {young_night: 21:00-05:00, "
          "daily_rest: warned, weekly_rest: warned, breaks: warned}")],
        ["kitchen, rest, young_night: 21:00-05:00 is no night of the rule profile: "
         "22:00-06:00 or 23:00-07:00",
         "person kit, shifts: Mon 3 May: a shift of 8 h without a break of 30 min, due beyond "
         "4 h 30 min (Working Time Regulations 1998 reg. 12)",
         "person kit, shifts: Sat 8 May: a shift of 8 h without a break of 30 min, due beyond "
         "4 h 30 min (Working Time Regulations 1998 reg. 12)"],
    ),
]  # fmt: skip


def spoil(folder: Path, texts: list[tuple[str, str]]) -> None:
    for name, text in FILES.items():
        (folder / name).write_text(text, "utf-8")
    for old, new in texts:
        homes = [f for f in folder.glob("*.yaml") if old in f.read_text("utf-8")]
        assert len(homes) == 1, f"{old!r} stands in {homes}"
        text = homes[0].read_text("utf-8")
        homes[0].write_text(text.replace(old, new, 1), "utf-8")


@pytest.mark.parametrize("case", SAID, ids=[s[0] for s in SAID])
def test_a_mistake_is_said_in_full(
    case: tuple[str, list[tuple[str, str]], list[str]], tmp_path: Path
) -> None:
    _, texts, said = case
    spoil(tmp_path, texts)
    lines = [str(p) for p in problems(tmp_path)]
    assert len(lines) == len(said), "\n".join(lines)
    for line, part in zip(lines, said, strict=True):
        assert part in line, "\n".join(lines)


# The clocks of Vienna go forward on Sunday 2027-03-28 at 02:00 and back on Sunday
# 2027-10-31 at 03:00: Directive 2000/84/EC, last Sundays of March and October, 01:00 UTC.
def _moved(folder: Path, shift: int, more: list[tuple[str, str]]) -> None:
    """The week moved by whole weeks, with some texts replaced."""
    def later(match: re.Match[str]) -> str:
        return (date.fromisoformat(match[0]) + timedelta(weeks=shift)).isoformat()

    for name, text in FILES.items():
        for old, new in more:
            text = text.replace(old, new)
        (folder / name).write_text(re.sub(r"2027-0[45]-\d\d", later, text), "utf-8")


def test_half_past_two_in_the_spring_night_does_not_exist(tmp_path: Path) -> None:
    _moved(tmp_path, -6, [])  # Monday 3 May becomes Monday 22 March.
    assert problems(tmp_path) == ()
    _moved(
        tmp_path,
        -6,
        [
            ("first_plate: 2027-05-09 12:00", "first_plate: 2027-05-09 02:30"),
            ("open: 05:00-23:00\n", "transfer: 0\n"),
            ("  transfer: 10 min\n", ""),
            ("hours: 22:00-06:00, breaks: [01:30-02:00]", "hours: 22:00-02:15, breaks: [23:00-23:30]"),
            ("at: 2027-05-08 08:00", "at: 2027-05-09 02:00"),
            ("hours: 21:30-22:00", "hours: 21:30-02:45"),
        ],
    )
    said = [str(p) for p in problems(tmp_path)]
    gone = "does not exist in Europe/Vienna: the clocks go forward that night"
    assert len(said) == 4
    assert f"person nell, shift, hours: 02:15 on 2027-03-28 {gone}" in said[0]
    assert f"duty close-down, hours: 02:45 on 2027-03-28 {gone}" in said[1]
    assert f"event reception, first_plate: 02:30 on 2027-03-28 {gone}. Maybe '2027-03-28 03:30'" in (
        said[2]
    )
    assert f"delivery cress-1, at: 02:00 on 2027-03-28 {gone}" in said[3]


def test_the_autumn_night_is_accepted(tmp_path: Path) -> None:
    _moved(tmp_path, 25, [("first_plate: 2027-05-09 12:00", "first_plate: 2027-05-09 02:30"),
                          ("  open: 05:00-23:00\n", "")])  # fmt: skip
    assert problems(tmp_path) == ()


def test_a_shift_over_midnight_is_accepted() -> None:
    nell = read_scenario(EVERYTHING).person["nell"].shifts[0]
    assert (nell.hours.start, nell.hours.end) == (22 * 60, 30 * 60)


def test_plain_data_gets_the_same_answers_without_places() -> None:
    document = read_scenario(EVERYTHING).document()
    document["components"][0]["loss"] = "100 %"
    document["week"]["events"][0]["guests"] = 0
    with pytest.raises(BadInput) as bad:
        scenario_of(document, name="plan.json")
    assert [str(p) for p in bad.value.problems] == [
        "plan.json  event dinner, guests: '0' must be more than 0",
        "plan.json  recipe sour-turnip: a loss of 100 % leaves nothing",
    ]
    with pytest.raises(BadInput, match="written for version 9"):
        scenario_of({**document, "schema": 9})
    with pytest.raises(BadInput, match="'schema' is missing"):
        scenario_of({})
    deep: dict[str, object] = {}
    for _ in range(3000):
        deep = {"x": deep}
    with pytest.raises(BadInput, match="levels deep"):
        scenario_of(deep)


def test_a_mistake_in_an_alias_is_shown_where_it_was_written(tmp_path: Path) -> None:
    file = spoilt(tmp_path, "sections: {bakery: lead}", "sections: &s {bakery: leed}")
    text = file.read_text("utf-8").replace("{bakery: trainee, larder: trainee}", "*s")
    file.write_text(text, "utf-8")
    found = problems(tmp_path)
    assert {(p.line, p.column) for p in found} == {place(text, "leed")}
    assert [p.where for p in found] == ["person nell, sections, bakery", "person kit, sections, bakery"]
