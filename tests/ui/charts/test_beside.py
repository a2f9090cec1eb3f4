"""Two plans in one chart: what somebody does now, and where it was."""

from __future__ import annotations

from scheduler.plan.words import Names
from tests.plan import tiny
from tests.plan.test_comparing import against, simmered
from ui.charts.beside import beside, moments_with
from ui.charts.figure import figure
from ui.charts.window import window
from ui.palette import LIGHT


def test_a_job_that_moves_stands_where_it_is_and_where_it_was() -> None:
    plan = simmered(later=60)
    names, found = Names(tiny.scenario(), plan), against(plan)
    (row,) = beside(found, names)
    soup = plan.tasks[0].visits[0]
    drawn = {(b.kind, b.start, b.end) for b in row.bars if b.start < soup.end}
    assert ("hands", soup.start, soup.end) in drawn
    assert ("was", soup.start - 60, soup.end - 60) in drawn
    assert moments_with(found)[0] == soup.start - 60
    clock = names.scenario.clock
    looked = window(clock, "day", clock.local(soup.start).date())
    fig = figure(names, (row,), looked, LIGHT)
    was = next(t for t in fig.data if t.name == "as it was")
    assert len(was.x) == 1
    assert was.text[0].startswith("was: ")


def test_a_job_given_to_somebody_else_is_drawn_with_both() -> None:
    plan = simmered(who="bo")
    rows = {row.id: row for row in beside(against(plan), Names(tiny.scenario(), plan))}
    assert [b.kind for b in rows["ada"].bars if b.kind == "was"] == ["was"]
    assert all(b.kind != "was" for b in rows["bo"].bars)


def test_where_nothing_changes_nobody_is_drawn() -> None:
    plan = tiny.plan()
    assert beside(against(plan), Names(tiny.scenario(), plan)) == ()
