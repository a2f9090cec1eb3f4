"""Food that waits at the bench because its step was broken off is out of temperature control."""

from __future__ import annotations

from tests.reshuffle.small import Anew, anew, text_of
from tests.weeks.test_semantics_exposure import food, under
from tests.weeks.tiny import DAY, keep, kind, step

SALAD = food(
    "salad", step("mix", "2 h", hands=1, on=[{"equipment": "mixer"}]),
    keeps=keep("24 h", "chilled", best_from="6 h", best_until="7 h"),
)  # fmt: skip
"""Best made 10:00 to 12:00 for plates at 18:00, and out of the cold for all of it."""


def stopped(until: str, profile: str | None = "us") -> Anew:
    """The one mixer stops at 11:00, half-way, until then."""
    mixer = kind("mixer", units=[{"id": "one"}])
    older = text_of(under(profile, SALAD, equipment=[mixer]))
    return anew(older, "11:00", {"kind": "down", "what": "one", "until": f"{DAY} {until}"})


def test_it_goes_on_while_it_may_still_be_out() -> None:
    """FDA Food Code 3-501.19(B), 4 h: 10:00 to 13:30 in the mixer, and half an hour of plating."""
    found = stopped("12:30")
    task = found.task("salad.1/mix")
    assert (found.clock(task.stopped), found.clock(task.resumed)) == ("11:00", "12:30")
    assert found.plan.terms.served == (0,)


def test_it_is_made_anew_where_it_would_have_been_out_for_too_long() -> None:
    """10:00 to 15:00 in the mixer would be five hours; new it is out for two, in time for 18:00."""
    found = stopped("14:00")
    assert "salad.1" in found.past.gone
    (task,) = (t for t in found.plan.tasks if t.step == "mix")
    assert task.batch == "salad.2"
    assert task.end - task.start == 120
    assert found.plan.terms.served == (0,)


def test_nobody_counts_where_no_rule_says_so() -> None:
    """The same without a profile goes on at 14:00, for the hour that is left."""
    found = stopped("14:00", None)
    assert (found.clock(found.task("salad.1/mix").resumed), found.past.gone) == ("14:00", ())
