"""How full the kitchen is over time: what a chef sees before a store or a section runs over."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from scheduler.plan.figures import tightest_store
from scheduler.plan.load import at, hands, settings, shelves, steps
from scheduler.plan.words import Names
from tests.plan import tiny
from tests.scenarios.planned import demo, peak, plan

HOUR = 60


@given(
    st.lists(
        st.tuples(st.integers(0, 50), st.integers(0, 20), st.integers(1, 5)).map(
            lambda s: (s[0], s[0] + s[1], s[2])
        ),
        max_size=30,
    ),
    st.integers(-5, 80),
)
def test_a_level_is_what_stands_there_at_that_moment(
    spans: list[tuple[int, int, int]], moment: int
) -> None:
    assert at(steps(spans), moment) == sum(n for a, b, n in spans if a <= moment < b)


def test_shelves_of_a_soup_that_waits_two_hours() -> None:
    """15 l at 5 l a shelf: three of four shelves, from when it is out until supper."""
    (store,) = shelves(Names(tiny.scenario(), tiny.plan()))
    assert store.name == "Cold room"
    hold = tiny.plan().holds[0]
    assert store.taken == ((hold.start, hold.shelves), (hold.end, 0))
    assert at(store.there, hold.start) == 4


def test_the_fullest_moment_of_a_store_is_the_one_the_summary_tells() -> None:
    found = {s.id: s for s in shelves(Names(demo(), plan()))}
    for store in demo().kitchen.stores:
        assert max((n for _, n in found[store.id].taken), default=0) == (
            peak(demo(), plan(), store.id) if found[store.id].taken else 0
        )
    tight = tightest_store(demo(), plan())
    assert tight is not None
    assert at(found[tight.what].taken, tight.at) == tight.used


def test_one_cook_at_one_job_is_one_pair_of_hands_of_one() -> None:
    everybody, stove = hands(Names(tiny.scenario(), tiny.plan()))
    visit = tiny.plan().tasks[0].visits[0]
    assert (everybody.name, stove.name) == ("Everybody", "Stove")
    for load in (everybody, stove):
        assert at(load.taken, visit.start) == 1
        assert at(load.taken, visit.start - 1) == 0
        assert at(load.there, visit.start) == 1
        assert at(load.there, visit.start - visit.start % 1440 + 23 * HOUR) == 0


def test_nobody_is_counted_twice_who_steps_away_for_a_moment() -> None:
    everybody = hands(Names(demo(), plan()))[0]
    people = len(demo().kitchen.people)
    assert max(n for _, n in everybody.taken) <= people
    for minute, needed in everybody.taken:
        assert needed <= at(everybody.there, minute), minute


def test_a_break_takes_somebody_off_duty() -> None:
    names = Names(demo(), plan())
    (pause, *_) = names.plan.breaks
    everybody = hands(names)[0]
    without = plan().model_copy(update={"breaks": ()})
    there = hands(Names(demo(), without))[0]
    assert at(there.there, pause.start) == at(everybody.there, pause.start) + 1


def test_an_oven_is_read_off_with_each_of_its_settings() -> None:
    found = settings(Names(demo(), plan()))
    for task in plan().tasks:
        for use in task.taken:
            if use.unit and use.celsius is not None and use.start < use.end:
                assert any(
                    s.start <= use.start and use.end <= s.end
                    and (s.celsius, s.mode) == (use.celsius, use.mode or "")
                    for s in found[use.unit]
                ), use  # fmt: skip
    for every in found.values():
        for one, other in pairwise(every):
            assert one.end <= other.start


def test_a_kitchen_without_heat_has_no_settings() -> None:
    assert settings(Names(tiny.scenario(), tiny.plan())) == {}
