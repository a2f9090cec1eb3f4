"""Everything of the plan is on the chart, where and with what a chef looks for."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from scheduler.plan.figures import shelves_taken
from scheduler.plan.words import Names
from tests.scenarios.planned import demo, plan
from ui.charts.bars import Bar, bars, fed_by
from ui.charts.rows import ROWS, By, Row, only, rows_of, within


@cache
def names() -> Names:
    return Names(demo(), plan())


@cache
def rows(by: By) -> tuple[Row, ...]:
    return rows_of(names(), by)


def of(kind: str) -> list[Bar]:
    return [b for b in bars(names()) if b.kind == kind and b.start < b.end]


def test_no_job_of_anybody_is_missing_from_the_chart() -> None:
    visits = Counter(
        (t.id, v.start, v.end, v.people) for t in plan().tasks for v in t.visits if v.start < v.end
    )
    assert Counter((b.task, b.start, b.end, b.people) for b in of("hands")) == visits
    assert len(of("clean")) == len(plan().clean_downs)
    assert len(of("duty")) == len(plan().duties)
    assert len(of("pause")) == len(plan().breaks)


def test_what_runs_with_nobody_at_it_has_a_bar_of_its_own() -> None:
    alone = {b.task for b in of("alone")}
    for task in plan().tasks:
        by_itself = task.law_start < task.law_end and all(v.kind != "hands" for v in task.visits)
        assert (task.id in alone) == by_itself


def test_what_waits_is_seen_until_the_last_of_it_goes() -> None:
    longest: dict[tuple[str, int], int] = {}
    for hold in plan().holds:
        if hold.start < hold.end:
            at = hold.source, hold.start
            longest[at] = max(longest.get(at, 0), hold.end)
    drawn: dict[tuple[str, int], int] = {}
    for bar in of("waits"):
        at = bar.batch, bar.start
        drawn[at] = max(drawn.get(at, 0), bar.end)
    assert drawn == longest


def test_what_waits_tells_how_long_it_may_still_be_held() -> None:
    said = [line for b in of("waits") for line in b.says]
    assert any(" left of " in line for line in said)
    assert not any("too long" in line for line in said)  # the plan breaks no hold


def test_every_section_and_everybody_has_a_row_even_on_a_day_without_work() -> None:
    kitchen = demo().kitchen
    empty = within(rows("section"), -10, -5)
    assert [r.id for r in empty] == [s.id for s in kitchen.sections]
    assert [r.id for r in rows("person")] == [p.id for p in kitchen.people]


def test_a_cook_finds_all_of_their_work_on_their_row() -> None:
    for row in rows("person"):
        theirs = [v for t in plan().tasks for v in t.visits if row.id in v.people]
        assert sum(b.kind == "hands" for b in row.bars) == len(theirs)


def test_a_machine_shows_everything_that_is_on_it_and_at_which_setting() -> None:
    shown = {row.id: row for row in rows("equipment")}
    for task in plan().tasks:
        for use in task.taken:
            if use.unit and use.start < use.end:
                there = [b for b in shown[use.unit].bars if b.task == task.id]
                assert any((b.start, b.end) == (use.start, use.end) for b in there), use
                if use.celsius is not None:
                    assert any(f"{use.celsius} °C" in b.name for b in there)


def test_a_store_shows_everything_that_stands_in_it() -> None:
    shown = {row.id: row for row in rows("store")}
    for store, spans in shelves_taken(demo(), plan()).items():
        for start, end, _ in spans:
            assert any(b.start <= start and end <= b.end for b in shown[store].bars)


def test_a_dish_shows_what_goes_into_it_and_nothing_after_it_is_eaten() -> None:
    feeds = fed_by(names())
    first = {s.source: s.consumer for s in plan().shares}
    for source, consumer in first.items():
        known = names().batches.get(consumer)
        if known is not None and known.dish:
            assert known.dish in feeds[source]
    own = {b.id: b.dish for b in plan().batches if b.dish}
    for row in rows("dish"):
        if row.id:
            plates = [h.end for h in plan().holds if own.get(h.source) == row.id]
            plates += [t.end for t in plan().tasks if own.get(t.batch) == row.id]
            assert max(b.end for b in row.bars) <= max(plates)


@pytest.mark.parametrize("by", ROWS)
def test_kinds_that_are_not_asked_for_are_left_out(by: By) -> None:
    kinds = {b.kind for row in only(rows(by), ["waits"]) for b in row.bars}
    assert kinds <= {"waits"}
