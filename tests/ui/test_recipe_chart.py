"""A recipe over time shows where it waits, what is missing and what nobody can do."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from scheduler.domain.quantity import Quantity
from tests.ui.editing.documents import documents
from ui.charts.recipe import amounts, batches, timeline
from ui.charts.recipe_figure import figure
from ui.palette import DARK, LIGHT

CHEEKS: dict[str, Any] = {
    "id": "cheeks",
    "makes": "10 kg",
    "batch": {"most": "16 kg"},
    "steps": [
        {"id": "trim", "time": {"at_least": "20 min", "plus": "4 min", "per": "1 kg"},
         "hands": [{}], "takes": [{"ingredient": "beef-cheeks", "amount": "15 kg"}],
         "then": {"at_most": "24 h", "zone": "chilled"}},
        {"id": "braise", "time": {"at_least": "12 h", "at_most": "20 h"},
         "load": {"time": "10 min"}, "takes": [{"component": "stock", "amount": "2 l"}],
         "then": {"not_before": "8 h", "at_most": "72 h"}},
        {"id": "portion", "time": "30 min", "hands": [{}]},
    ],
    "keeps": [{"zone": "chilled", "best_from": "2 h", "best_until": "24 h", "at_most": "48 h"}],
}  # fmt: skip


def bars(body: dict[str, Any], batch: str | None = None) -> list[list[tuple[str, int, int]]]:
    """Kind, start and end of the bars of each row."""
    line = timeline(body, (), Quantity.parse(batch) if batch else None)
    return [[(b.kind, b.start, b.end) for b in row.bars] for row in line.rows]


def test_steps_follow_each_other_at_their_best_with_load_and_least_wait() -> None:
    # Trim: 20 + 4 x 10 = 60. Load 60-70, braise to 70 + 720 = 790, waits 480 at least.
    assert bars(CHEEKS) == [
        [("hands", 0, 60), ("wait", 60, 60 + 1440)],
        [("hands", 60, 70), ("alone", 70, 790), ("stretch", 790, 1270),
         ("must", 790, 1270), ("wait", 1270, 790 + 4320)],
        [("hands", 1270, 1300)],
        [("wait", 1300, 1300 + 2880)],
    ]  # fmt: skip
    line = timeline(CHEEKS, (), None)
    assert line.service == 1300 + 120
    assert line.rows[2].says == "30 min of hands"


def test_a_larger_batch_takes_longer_and_several_are_said() -> None:
    assert bars(CHEEKS, "15 kg")[0][0] == ("hands", 0, 80)
    assert batches(CHEEKS, Quantity.parse("40 kg"))[0] == 3
    assert batches(CHEEKS, Quantity.parse("40 kg"))[1].base * 3 == 40000


def test_amounts_are_for_what_is_asked() -> None:
    found = amounts(CHEEKS, (), Quantity.parse("25 kg"))
    assert [(a.what, a.amount) for a in found] == [("beef-cheeks", "37.5 kg"), ("stock", "5 l")]
    assert amounts(CHEEKS, (), None)[0].amount == "15 kg"
    with pytest.raises(ValueError, match="piece_weight"):
        amounts(CHEEKS, (), Quantity.parse("40 pieces"))


def test_a_missing_hold_and_an_impossible_wait_are_said() -> None:
    line = timeline(CHEEKS | {"keeps": []}, (), None)
    assert line.rows[-1].wrong
    assert "nothing says where" in line.rows[-1].says
    steps = [dict(CHEEKS["steps"][1], then={"not_before": "3 d", "at_most": "2 d"})]
    row = timeline(CHEEKS | {"steps": steps}, (), None).rows[0]
    assert row.wrong
    assert "has to wait 3 d and may wait 2 d at most" in row.says
    unheld = {k: v for k, v in CHEEKS["steps"][0].items() if k != "then"}
    row = timeline(CHEEKS | {"steps": [unheld, CHEEKS["steps"][2]]}, (), None).rows[0]
    assert "the next follows at once" in row.says


def test_every_recipe_of_the_demo_is_drawn_in_both_palettes() -> None:
    for (kind, _), body in documents().items():
        if kind in ("component", "dish"):
            line = timeline(body, (), None)
            assert not any(row.wrong for row in line.rows), body["id"]
            drawn = figure(line, LIGHT).to_plotly_json()
            assert sum(len(t["y"]) for t in drawn["data"]) == sum(len(r.bars) for r in line.rows)
            assert figure(line, DARK).layout.paper_bgcolor == DARK.paper


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=8),
    lambda inside: st.lists(inside, max_size=2)
    | st.dictionaries(st.sampled_from(["id", "time", "then", "takes", "at_most", "steps"]), inside),
    max_leaves=6,
)


@example("steps", 5)
@example("steps", [{"takes": 5}])
@given(st.sampled_from(["steps", "keeps", "makes", "batch", "plating", "density"]), anything)
def test_whatever_is_wrong_in_a_recipe_it_is_drawn_as_far_as_it_goes(
    key: str, value: Any
) -> None:
    body = CHEEKS | {key: value}
    figure(timeline(body, (), None), LIGHT)
    amounts(body, (), None)
    batches(body, Quantity.parse("1 kg"))


def test_a_step_named_like_a_tag_is_written_as_it_is_named() -> None:
    steps = [{"id": "a", "name": "<b>boil</b> <a href='x'>", "time": "1 h", "hands": [{}]}]
    drawn = figure(timeline(CHEEKS | {"steps": steps}, (), None), LIGHT)
    assert "&lt;b&gt;boil&lt;/b&gt;" in drawn.layout.annotations[0].text
    assert "<a" not in drawn.layout.annotations[0].text
