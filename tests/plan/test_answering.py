"""What a change by hand breaks: only what is new, where, by how much, in a chef's words."""

from __future__ import annotations

from copy import deepcopy

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.scenario import Scenario
from scheduler.plan.answering import CALLED, Answer, answer
from scheduler.plan.audit import RULES, audit
from scheduler.plan.model import Plan
from scheduler.plan.moving import NotByHand, given_to, moved, put_on
from tests.plan import byhand, tiny
from tests.plan.test_moving import FILL, SOUP, ben, with_more


def of(start: int, scenario: Scenario | None = None) -> Answer:
    """The answer to the tiny soup at another time."""
    week = scenario or tiny.scenario()
    return answer(week, audit(week, tiny.plan()), moved(week, tiny.plan(), SOUP, start))


def test_a_sound_move_is_fine_with_what_it_does_to_the_figures() -> None:
    found = of(FILL - 255)
    assert (found.verdict, found.breaks) == ("fine", ())
    assert found.headline == "Fine: staler by 120 weighted minutes."
    assert found.report.valid
    assert of(FILL - 30).headline == "Fine: nothing else changes."


def test_a_broken_hold_is_said_with_the_hours_it_is_over() -> None:
    """Keeps for two hours now; out at 14:15 it waits 3 h 45 min until 18:00."""
    document = deepcopy(tiny.DOCUMENT)
    document["components"][0]["keeps"][0] |= {"at_most": "2 h", "best_until": "2 h"}
    found = of(FILL - 120, tiny.scenario(document))
    assert found.verdict == "broken"
    (one,) = found.breaks
    assert (one.rule, one.minutes, one.house) == ("hold-limit", 105, False)
    assert one.said == (
        "Breaks the hold by 1 h 45 min: Bowl of soup (Supper): plating Barley soup holds "
        "3 h 45 min until Fri 4 Dec 18:00, limit 2 h."
    )


def test_too_late_for_the_plates_is_said_with_the_minutes() -> None:
    found = of(FILL + 120)
    assert [b.rule for b in found.breaks] == ["ready"]
    assert found.headline.startswith("Not ready by 15 min: Bowl of soup (Supper): plating starts")


def test_a_house_rule_may_be_accepted_and_is_told_apart() -> None:
    """Fill at 21:00 the evening before, in a kitchen that shuts at 20:00."""
    document = deepcopy(tiny.DOCUMENT)
    document["kitchen"]["open"] = "08:00-20:00"
    found = of(FILL - 1440 + 390, tiny.scenario(document))
    assert found.verdict == "house"
    assert [b.rule for b in found.breaks] == ["open-hours"]
    assert found.headline.endswith("A named person may accept it, with the reason.")


def test_what_was_broken_before_is_not_told_again_and_what_mends_is_counted() -> None:
    scenario = tiny.scenario()
    late = moved(scenario, tiny.plan(), SOUP, FILL + 120)
    before = audit(scenario, late)
    assert answer(scenario, before, late).verdict == "fine"
    found = answer(scenario, before, tiny.plan())
    assert (found.verdict, found.mended) == ("fine", 1)


def test_what_is_broken_by_less_than_before_is_no_news_and_by_more_is() -> None:
    """Late by a quarter of an hour; then by ten minutes, then by twenty."""
    scenario = tiny.scenario()
    late = moved(scenario, tiny.plan(), SOUP, FILL + 120)
    before = audit(scenario, late)
    better = answer(scenario, before, moved(scenario, late, SOUP, FILL + 115))
    assert (better.verdict, better.mended) == ("fine", 0)
    worse = answer(scenario, before, moved(scenario, late, SOUP, FILL + 125))
    assert [(b.rule, b.minutes) for b in worse.breaks] == [("ready", 20)]


def test_somebody_who_may_not_do_it_is_named() -> None:
    scenario = with_more(people=[ben("trainee")])
    made = given_to(scenario, tiny.plan(), SOUP, ("load", 0), ("ben",))
    found = answer(scenario, audit(scenario, tiny.plan()), made)
    assert "section-level" in {b.rule for b in found.breaks}
    assert any("Ben is not stove at the level of cook" in b.said for b in found.breaks)


def test_somebody_in_two_places_is_named_with_both_jobs() -> None:
    """Ana stirs from 15:00 and plates at 18:00; moved to 17:30 she is at both for half an hour."""
    scenario = byhand.week(
        byhand.component("soup", byhand.step(hands=[{"people": 1}])),
    )
    plan = byhand.supper(scenario, byhand.task("soup.1/cook", "Tue 15:00", hands=("ana",)))
    made = moved(scenario, plan, "soup.1/cook", byhand.at("Tue 17:30"))
    found = answer(scenario, audit(scenario, plan), made)
    said = {b.rule: b.said for b in found.breaks}
    assert said["one-place"].startswith("In two places at once by 10 min: ana is at soup: cook and")


def test_every_rule_that_has_a_name_for_the_kitchen_is_a_rule() -> None:
    assert set(CALLED) <= set(RULES)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_whatever_is_tried_by_hand_gets_an_answer(
    rich_week: Scenario, rich_plan: Plan, data: st.DataObject
) -> None:
    task = data.draw(st.sampled_from(rich_plan.tasks))
    people = st.lists(st.sampled_from(sorted(rich_week.person)), max_size=3)
    visits = st.sampled_from([(v.kind, v.index) for v in task.visits] or [("load", 0)])
    tries = {
        "moved": lambda: moved(
            rich_week, rich_plan, task.id, data.draw(st.integers(-300, 6000)) * 5
        ),
        "given": lambda: given_to(
            rich_week, rich_plan, task.id, data.draw(visits), tuple(data.draw(people))
        ),
        "put": lambda: put_on(
            rich_week, rich_plan, task.id, data.draw(st.integers(0, 2)),
            data.draw(st.sampled_from(sorted(rich_week.unit))),
        ),
    }  # fmt: skip
    try:
        made = tries[data.draw(st.sampled_from(sorted(tries)))]()
    except NotByHand as refused:
        assert str(refused)
        return
    found = answer(rich_week, audit(rich_week, rich_plan), made)
    assert (found.verdict == "fine") == (not found.breaks)
    assert all(b.said.endswith(".") and b.rule in RULES for b in found.breaks)
    assert found.headline
