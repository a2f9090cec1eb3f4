"""Running late by itself: offered only where the record says so and the time in hand is less."""

from __future__ import annotations

from scheduler.plan.file import plan_of
from scheduler.reshuffle.behind import behind
from scheduler.reshuffle.setback import Ends, NotBegun
from scheduler.reshuffle.standing import Standing
from tests.reshuffle.small import anew, at, text_of
from tests.reshuffle.test_setbacks import EARLY, cheeks
from tests.weeks.tiny import component, cook, keep, step, take, week_of


def standing(text: str, now: str) -> Standing:
    return Standing(plan_of(text), at(now))


def test_no_entry_is_unknown_and_not_late() -> None:
    assert behind(standing(cheeks(), "16:00"), {}, {}) == ()


def test_what_is_late_by_less_than_it_has_in_hand_is_not_offered() -> None:
    """Loaded from 09:00, out by 14:00, on plates at 18:00: four hours in hand."""
    now = standing(cheeks(), "13:30")
    assert behind(now, {"cheeks.1/braise": at("12:30")}, {}) == ()
    assert behind(now, {"cheeks.1/braise": at("13:00")}, {}) == ()


def test_what_is_late_by_more_is_offered_with_when_it_will_be_over() -> None:
    text = cheeks()
    (one,) = behind(standing(text, "13:30"), {"cheeks.1/braise": at("13:30")}, {})
    # Begun 4 h 30 min late, so out by 18:30.
    assert (one.late, one.in_hand) == (270, 240)
    assert one.setback == Ends(task="cheeks.1/braise", at=at("18:30"))
    assert one.said.startswith("Cheeks: braise is 4 h 30 min behind, with 4 h in hand (first plate")
    found = anew(text, "13:30", one.setback.model_dump(mode="json"))
    assert found.plan.terms.served == (10,)


def test_what_was_put_off_and_cannot_wait_is_offered() -> None:
    sauce = component("sauce", step("stir", "60 min", hands=1), keeps=keep("2 h"))
    text = text_of(week_of(sauce, people=[cook("ana")]))
    # Stirred from 17:00 for 18:00, nothing in hand.
    (one,) = behind(standing(text, "17:20"), {}, {}, put_off=["sauce.1/stir"])
    assert (one.late, one.in_hand) == (20, 0)
    assert one.setback == NotBegun(task="sauce.1/stir")
    assert behind(standing(text, "17:10"), {}, {}, put_off=["sauce.1/stir"]) == ()


def test_what_was_over_late_matters_only_until_what_follows_has_begun() -> None:
    text = cheeks()
    over = {"cheeks.1/braise": at("18:20")}
    (one,) = behind(standing(text, "17:50"), {}, over)
    assert (one.late, one.setback) == (260, Ends(task="cheeks.1/braise", at=at("18:20")))


def test_what_waits_for_it_may_be_the_limit_before_service_is() -> None:
    """Base keeps for an hour: a glaze that is put off longer has none, hours before service."""
    base = component("base", step("boil", "60 min", hands=1), keeps=keep("60 min"))
    glaze = component("glaze", step("reduce", "30 min", hands=1, takes=[take("base")]),
                      keeps=EARLY)  # fmt: skip
    text = text_of(week_of(base, glaze, people=[cook("ana")]))
    task = next(t for t in plan_of(text).plan.tasks if t.id == "glaze.1/reduce")
    ready = next(t.end for t in plan_of(text).plan.tasks if t.id == "base.1/boil")
    left = 60 - (task.start - ready)
    clock = plan_of(text).scenario.clock

    def late(minutes: int) -> str:
        return f"{clock.local(task.start + minutes):%H:%M}"

    off = ["glaze.1/reduce"]
    assert behind(standing(text, late(left)), {}, {}, put_off=off) == ()
    (one,) = behind(standing(text, late(left + 10)), {}, {}, put_off=off)
    assert (one.in_hand, one.late) == (left, left + 10)
    assert "at most 1 h" in one.said
