"""What cannot be meant of doors, trays, clean-down and neighbours is said where it stands."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.domain.texts import FILES, problems

STONE = "{id: grinder, units: 2, fill: 5 kg, alone: someone_on_shift"
SLICER = "{id: slicer, may_use: slicer,"
COMBI_A = "{id: combi-a, capacity: 10}"
UNNAMED = [
    f"{where}, on combi: combi holds trays of several families, and none is named. Maybe "
    "'tray: gn'"
    for where in ("recipe beef, step braise", "dish beef-plate, step warm")
]

SAID: list[tuple[str, list[tuple[str, str]], list[str]]] = [
    (
        "a clean-down of what holds several things at once",
        [("{id: tub, units: 8, per_shelf: 1,",
          "{id: tub, units: 8, per_shelf: 1, clean_down: 9 h,")],
        ["equipment tub, clean_down: a clean-down is between two things that run one after the "
         "other, alone in the machine. Maybe places as units of their own"],
    ),
    (
        "a clean-down that nobody is trained for",
        [(STONE, STONE + ", clean_down: {time: 1 h, hands: [{section: stove, may_use: [stone]}]}")],
        ["equipment grinder, clean_down, hands: nobody of at least level cook in section stove "
         "who may use stone. Maybe may_use for bo, ida"],
    ),
    (
        "a clean-down of no length",
        [(STONE, STONE + ", clean_down: {time: 0 min}")],
        ["equipment grinder, clean_down, time: '0 min' must be more than 0"],
    ),
    (
        "a rule of cleaning that there is not, on the machine of a step in loads",
        [(STONE, STONE + ", clean_down: {time: 1 h, between: allergen}"),
         ("        load: {time: 10 min}\n        tend: [{time: 5 min, once_a_shift: true}]\n",
          "        load: {time: 10 min}\n        in_loads: true\n")],
        ["equipment grinder, clean_down, between: 'allergen' is none of: contents, allergens, "
         "any change. Maybe 'allergens'"],
    ),
    (
        "a duty leaves behind who knows what",
        [(SLICER, SLICER + " clean_down: 10 min,"),
         ("equipment: [{equipment: burner, amount: 2}]", "equipment: [{equipment: slicer}]")],
        ["duty close-down, equipment slicer, equipment: nobody knows what a duty leaves behind in "
         "slicer"],
    ),
    (
        "one oven knows families of trays and the other does not",
        [(COMBI_A, "{id: combi-a, holds: {gn: 10}}")],
        ["equipment combi: `holds` says how many trays it takes: no `capacity` and no `fill`",
         *UNNAMED],
    ),
    (
        "half a tray",
        [(COMBI_A, "{id: combi-a, holds: {gn: 0}}")],
        ["equipment combi: it holds less than one tray of a family", *UNNAMED],
    ),
    (
        "fish apart from a component that is not there",
        [("    weight: 3\n", "    weight: 3\n    not_beside: [rye-roll, rye-rolls]\n")],
        ["recipe rye-rolls, not beside 1: unknown component 'rye-roll'. Maybe 'rye-rolls'",
         "recipe rye-rolls, not beside 2: rye-rolls cannot keep away from itself"],
    ),
]  # fmt: skip


@pytest.mark.parametrize(("texts", "said"), [x[1:] for x in SAID], ids=[x[0] for x in SAID])
def test_a_machine_that_cannot_be_is_said(
    tmp_path: Path, texts: list[tuple[str, str]], said: list[str]
) -> None:
    files = dict(FILES)
    for old, new in texts:
        homes = [n for n, text in files.items() if old in text]
        assert len(homes) == 1, f"{old!r} stands in {homes}"
        files[homes[0]] = files[homes[0]].replace(old, new, 1)
    for name, text in files.items():
        (tmp_path / name).write_text(text, "utf-8")
    found = [str(p).partition("  ")[2] for p in problems(tmp_path)]
    assert found == said
