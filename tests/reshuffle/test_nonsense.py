"""What makes no sense gets one clear sentence, all of it at once, and nothing is changed."""

from __future__ import annotations

from functools import cache

import pytest

from scheduler.domain.problems import BadInput
from scheduler.reshuffle.asking import asked
from scheduler.reshuffle.setback import Away, Down, LostBatch, setback_of
from scheduler.reshuffle.words import setbacks_of
from tests.reshuffle.small import at, text_of
from tests.weeks.tiny import DAY, Document, component, event, keep, kind, step, visit, week_of

EARLY = keep("30 h", best_from="4 h", best_until="6 h")


@cache
def plan() -> str:
    """Cheeks in a pot from 09:30 to 13:30, a sauce at 17:00, plates at 18:00."""
    return text_of(
        week_of(
            component("cheeks", step("braise", "4 h", on=[{"equipment": "pot"}],
                                     load=visit("30 min"), unload=visit("30 min")), keeps=EARLY),
            component("sauce", step("stir", "60 min", hands=1), keeps=keep("10 h")),
            equipment=[kind("pot", units=[{"id": "left"}, {"id": "right"}])],
        )
    )  # fmt: skip


def refused(*setbacks: Document, now: str = "10:00", recorded: int | None = None) -> list[str]:
    with pytest.raises(BadInput) as bad:
        asked(plan(), [setback_of(s) for s in setbacks], at(now), recorded=recorded)
    return [str(p) for p in bad.value.problems]


SAID = [
    ({"kind": "down", "what": "lift"}, "there is no machine or store 'lift'. Maybe left"),
    ({"kind": "down", "what": "pot"}, "'pot' is a kind of machine; say which one. Maybe left, r"),
    ({"kind": "down", "what": "left", "since": f"{DAY} 12:00", "until": f"{DAY} 11:00"},
     "it is over Fri 7 May 11:00, before it begins Fri 7 May 12:00"),
    ({"kind": "down", "what": "left", "since": f"{DAY} 08:00", "until": f"{DAY} 09:00"},
     "it was over Fri 7 May 09:00, so nothing is amiss"),
    ({"kind": "down", "what": "left", "left": 1}, "1 of its 1 places are of use"),
    ({"kind": "down", "what": "left", "salvage": {"sauce.1/stir": "again"}},
     "sauce.1/stir is not running: it starts Fri 7 May 17:00"),
    ({"kind": "working", "what": "left"}, "left is not out of use in this plan"),
    ({"kind": "away", "who": "anna"}, "there is nobody called 'anna'. Maybe ana"),
    ({"kind": "lost", "batch": "cheek.1"}, "there is no batch or lot 'cheek.1'. Maybe cheeks.1"),
    ({"kind": "lost", "batch": "sauce.1"}, "it has not been begun"),
    ({"kind": "lost", "batch": "cheeks.1", "left": "2 kg"}, "'2 kg' is another measure"),
    ({"kind": "lost", "batch": "cheeks.1", "left": "11 portions"}, "there were 10"),
    ({"kind": "counts", "event": "super", "guests": 12}, "there is no event 'super'. Maybe supper"),
    ({"kind": "counts", "event": "supper", "guests": 0}, "0 guests. If nobody comes"),
    ({"kind": "moved", "event": "supper", "to": f"{DAY} 09:00"}, "Fri 7 May 09:00 is past"),
    ({"kind": "moved", "event": "supper", "to": "2027-05-09 09:00"}, "is after the week"),
    ({"kind": "cancelled", "event": "supper"}, "it is the only event of the week"),
    ({"kind": "added", "event": event("supper", "20:00", "plate")}, "an event of that name"),
    ({"kind": "added", "event": event("tea", "20:00", "plat")}, "there is no dish 'plat'. Maybe p"),
    ({"kind": "delivery", "delivery": "greens", "at": f"{DAY} 12:00"}, "there is no delivery"),
    ({"kind": "ends", "task": "sauce.1/stir", "at": f"{DAY} 18:00"}, "it has not begun"),
    ({"kind": "ends", "task": "cheeks.1/brase", "at": f"{DAY} 18:00"}, "Maybe cheeks.1/braise"),
    ({"kind": "ends", "task": "cheeks.1/braise", "at": f"{DAY} 09:00"}, "before it began"),
    ({"kind": "not-begun", "task": "sauce.1/stir"}, "it is not to begin before Fri 7 May 17:00"),
]  # fmt: skip


@pytest.mark.parametrize(("setback", "sentence"), SAID, ids=[s for _, s in SAID])
def test_one_sentence_says_what_is_wrong(setback: Document, sentence: str) -> None:
    (found,) = refused(setback)
    assert sentence in found


def test_everything_that_is_wrong_is_said_at_once() -> None:
    found = refused({"kind": "away", "who": "anna"}, {"kind": "down", "what": "lift"})
    assert len(found) == 2


def test_a_task_that_is_finished_and_followed_by_another_is_past() -> None:
    found = refused({"kind": "ends", "task": "supper.plate/plating", "at": f"{DAY} 18:00"},
                    now="18:30")  # fmt: skip
    assert "before it began" in found[0]


def test_before_planning_began_before_the_record_ends_and_after_the_week() -> None:
    pot = {"kind": "down", "what": "left"}
    assert "is before planning begins" in refused(pot, now="2027-05-05 10:00")[0]
    assert "is after the week" in refused(pot, now="2027-05-08 10:00")[0]
    (found,) = refused(pot, recorded=1440 + 660)
    assert "Fri 7 May 10:00 is before the last entry of the record, Fri 7 May 11:00" in found


def test_nothing_happened() -> None:
    assert "nothing is said to have happened" in refused()[0]


def test_two_things_that_contradict_each_other() -> None:
    idle = {"kind": "not-begun", "task": "cheeks.1/braise"}
    assert "its batch to be lost" in refused(idle, {"kind": "lost", "batch": "cheeks.1"})[0]
    both = {"kind": "down", "what": "left"}, {"kind": "working", "what": "left"}
    assert any("to be out of use and to work again" in one for one in refused(*both))


def words(**said: str) -> str:
    with pytest.raises(BadInput) as bad:
        setbacks_of({k.replace("_", "-"): [v] for k, v in said.items()}, at("10:00"))
    return str(bad.value)


def test_words_of_the_command_that_cannot_be_read() -> None:
    assert "write EVENT=GUESTS" in words(count="supper")
    assert "'many' is no number of guests" in words(count="supper=many")
    assert "'noon' is not a moment" in words(move="supper=noon")
    assert "write FROM..UNTIL" in words(down="left=..")
    assert "'soon' is neither a moment" in words(delivery="greens=soon")
    assert "cannot be read" in words(add="no-such-file.yaml")
    assert "'few' is no number of places" in words(reduced="left=few")
    assert "write TASK=MOMENT" in words(ends="cheeks.1/braise")


def test_words_of_the_command_as_they_are_meant() -> None:
    found = setbacks_of(
        {"down": ["left=09:30..11:00"], "away": ["ana=..12:00"], "lost": ["cheeks.1=2 kg"]},
        at("10:00"), again=["cheeks.1/braise"],
    )  # fmt: skip
    down, away, lost = found
    assert isinstance(down, Down) and isinstance(away, Away) and isinstance(lost, LostBatch)
    assert (down.since, down.until) == (at("09:30"), at("11:00"))
    assert down.salvage == {"cheeks.1/braise": "again"}
    assert (away.since, away.until) == (None, at("12:00"))
    assert str(lost.left) == "2 kg"


def test_what_goes_with_a_setback_is_not_said_alone() -> None:
    with pytest.raises(BadInput) as bad:
        setbacks_of({"cancel": ["supper"]}, at("10:00"), again=["x"], good=["y"])
    assert len(bad.value.problems) == 2
