"""What holds a task where it is: what comes before and after it, its holds, how far it may go."""

from __future__ import annotations

from copy import deepcopy

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.scenario import Scenario
from scheduler.plan.answering import answer
from scheduler.plan.audit import audit
from scheduler.plan.binding import binding
from scheduler.plan.freedom import freedom
from scheduler.plan.model import Plan
from scheduler.plan.moving import NotByHand, moved
from tests.plan import byhand, tiny
from tests.plan.test_moving import SOUP


def test_a_soup_says_for_whom_it_is_how_much_is_in_hand_and_what_its_hold_leaves() -> None:
    """Ready 16:15, plated 18:00, keeps for a day."""
    found = binding(tiny.scenario(), tiny.plan(), SOUP)
    assert found.what == "Barley soup, 9 l: simmer"
    assert found.before == ()
    ((after,), (hold,)) = found.after, found.holds
    assert (after.kind, after.task, after.in_hand) == ("share", "supper.bowl/plating", 105)
    assert after.said == (
        "before Bowl of soup (Supper): plating, Fri 4 Dec 18:00, 1 h 45 min in hand"
    )
    assert (hold.ends_here, hold.lasts, hold.limit, hold.left) == (False, 105, 1440, 1335)
    assert hold.said == (
        "Barley soup waits 1 h 45 min in Cold room, at most 1 d: 22 h 15 min left"
    )


def test_plating_says_what_it_waits_for_and_when_the_first_plate_goes() -> None:
    found = binding(tiny.scenario(), tiny.plan(), "supper.bowl/plating")
    assert [(t.task, t.in_hand) for t in found.before] == [(SOUP, 105)]
    assert [(t.kind, t.at, t.said) for t in found.after] == [
        ("service", 1440 + 18 * 60, "first plate away Fri 4 Dec 18:00")
    ]
    assert [(h.ends_here, h.left) for h in found.holds] == [(True, 1335)]


def salted() -> tuple[Scenario, Plan]:
    """Salt, wait an hour at least and four at most, rinse; Ana makes the salad before."""
    wait = {"not_before": "1 h", "at_most": "4 h"}
    scenario = byhand.week(
        byhand.component(
            "soup",
            byhand.step("salt", hands=[{"people": 1}], then=wait),
            byhand.step("rinse", hands=[{"people": 1}]),
            byhand.step("dry"),
        )
    )
    plan = byhand.supper(
        scenario,
        byhand.task("soup.1/salt", "Tue 10:00", hands=("ben",)),
        byhand.task("soup.1/rinse", "Tue 14:00", hands=("ana",)),
        byhand.task("soup.1/dry", "Tue 15:00"),
        holds=[
            byhand.hold("wait", "soup.1/salt", "Tue 11:00", "Tue 14:00", consumer="soup.1/rinse")
        ],
    )
    assert audit(scenario, plan).valid
    return scenario, plan


def test_a_wait_that_must_be_is_not_in_hand_and_what_follows_at_once_says_so() -> None:
    """Three hours of waiting, one of which must be: two in hand, one left of its limit."""
    scenario, plan = salted()
    found = binding(scenario, plan, "soup.1/rinse")
    assert [(t.task, t.in_hand) for t in found.before] == [("soup.1/salt", 120)]
    assert found.before[0].said.endswith("2 h in hand after a wait of 1 h")
    assert [(t.task, t.in_hand) for t in found.after] == [("soup.1/dry", 0)]
    assert found.after[0].said.endswith(", at once")
    assert [(h.ends_here, h.left) for h in found.holds] == [(True, 60)]


def test_freedom_ends_where_the_shift_begins_and_where_the_plates_are_due() -> None:
    """Ada fills at 14:00 and is there from 8:00; ready 16:15, plated 18:00."""
    found = freedom(tiny.scenario(), tiny.plan(), SOUP)
    assert found.earlier.minutes == 360
    assert found.earlier.said.startswith("May go up to 6 h earlier; then: Not at work by 5 min")
    assert found.later.minutes == 105
    assert [b.rule for b in found.later.breaks] == ["ready"]
    assert found.later.said.startswith("May go up to 1 h 45 min later; then: Not ready by 5 min")


def test_freedom_ends_where_the_hold_would_break() -> None:
    """Keeps for 2 h 30 min: three quarters of an hour of it are left."""
    document = deepcopy(tiny.DOCUMENT)
    document["components"][0]["keeps"][0] |= {"at_most": "150 min", "best_until": "2 h"}
    found = freedom(tiny.scenario(document), tiny.plan(), SOUP)
    assert found.earlier.minutes == 45
    assert [b.rule for b in found.earlier.breaks] == ["hold-limit"]


def test_what_must_follow_at_once_has_no_freedom_and_says_why() -> None:
    scenario, plan = salted()
    found = freedom(scenario, plan, "soup.1/rinse")
    assert (found.earlier.minutes, found.later.minutes) == (0, 0)
    assert found.earlier.said.startswith("Not earlier: Does not follow at once by 5 min")
    assert found.later.said.startswith("Not later: Not ready by 5 min")


def test_freedom_ends_at_the_next_job_of_the_same_cook() -> None:
    """Ben chops until 14:30 and salts from 15:00: half an hour earlier at most."""
    scenario = byhand.week(
        byhand.component("soup", byhand.step(hands=[{"people": 1}])),
        byhand.component("salad", byhand.step("chop", hands=[{"people": 1}])),
        dishes=[
            byhand.dish(
                {"component": "soup", "amount": "100 g"}, {"component": "salad", "amount": "100 g"}
            )
        ],
    )
    plan = byhand.plan(
        scenario,
        byhand.task("soup.1/cook", "Tue 15:00", hands=("ben",)),
        byhand.task("salad.1/chop", "Tue 13:30", hands=("ben",)),
        byhand.plating(),
        holds=[byhand.used("Tue 16:00"), byhand.used("Tue 14:30", source="salad.1")],
        batches=[byhand.batch("soup.1"), byhand.batch("salad.1"), byhand.bowls()],
        shares=[byhand.share(), byhand.share("salad.1")],
    )
    assert audit(scenario, plan).valid
    found = freedom(scenario, plan, "soup.1/cook")
    assert found.earlier.minutes == 30
    assert [b.rule for b in found.earlier.breaks] == ["one-place"]


def test_where_a_plan_is_broken_already_only_what_is_new_stops_a_task() -> None:
    scenario = tiny.scenario()
    late = moved(scenario, tiny.plan(), SOUP, tiny.plan().tasks[0].start + 120)
    assert not audit(scenario, late).valid
    assert freedom(scenario, late, SOUP).later.minutes == 0
    plated = freedom(scenario, late, "supper.bowl/plating")
    assert (plated.earlier.minutes, plated.later.minutes) == (0, 0)


def test_an_unknown_task_and_one_that_is_over_get_a_sentence() -> None:
    with pytest.raises(NotByHand, match=r"no 'soup\.2/simmer'"):
        binding(tiny.scenario(), tiny.plan(), "soup.2/simmer")
    document = deepcopy(tiny.DOCUMENT)
    document["week"]["plan_from"] = "2026-12-04 17:00"
    with pytest.raises(NotByHand, match="is over"):
        freedom(tiny.scenario(document), tiny.plan(), SOUP)


@settings(max_examples=6, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_freedom_is_true_where_it_ends(
    rich_week: Scenario, rich_plan: Plan, data: st.DataObject
) -> None:
    """So far nothing new is broken, and one step of the grid further something is."""
    bought = {b.id for b in rich_plan.batches if b.bought is not None}  # comes when it comes
    task = data.draw(st.sampled_from([t for t in rich_plan.tasks if t.batch not in bought]))
    report, grid = audit(rich_week, rich_plan), rich_week.kitchen.grid
    binding(rich_week, rich_plan, task.id)
    try:
        found = freedom(rich_week, rich_plan, task.id, report)
    except NotByHand:
        return
    for way, room in ((-1, found.earlier), (1, found.later)):
        made = moved(rich_week, rich_plan, task.id, task.start + way * room.minutes)
        assert answer(rich_week, report, made).verdict == "fine"
        if room.breaks:
            over = task.start + way * (room.minutes + grid)
            beyond = answer(rich_week, report, moved(rich_week, rich_plan, task.id, over))
            assert beyond.breaks == room.breaks
