"""The baseline of the bench of broken plans, where its answer can be worked out by hand."""

from __future__ import annotations

from scheduler.plan.audit import audit
from scheduler.plan.file import plan_of
from scheduler.plan.model import Plan
from scheduler.reshuffle.asking import asked
from scheduler.reshuffle.setback import setback_of
from scheduler.solve.objective import terms
from scheduler.solve.week import week_of
from tests.bench.reshuffle import counted
from tests.bench.right_shift import right_shifted
from tests.reshuffle.small import at
from tests.reshuffle.test_setbacks import POT, POTS, cheeks, sauces
from tests.weeks.tiny import DAY, Document, cook


def shifted(older: str, now: str, setback: Document) -> tuple[Plan, str]:
    """The plan pushed to the right, and when its first braise or stir ends."""
    what = asked(older, [setback_of(setback)], at(now))
    week = week_of(what.scenario, {}, what.kept, what.past)
    solution = right_shifted(week.compiled, what.older.plan, what.past)
    plan = week.plan(solution, terms(week.compiled.problem, solution))
    assert audit(what.scenario, plan).valid
    ends = [what.scenario.clock.local(t.end) for t in plan.tasks if t.step in ("braise", "stir")]
    return plan, f"{min(ends):%H:%M}" if ends else ""


def test_what_stopped_goes_on_where_it_was_when_the_pot_works_again() -> None:
    """Half an hour was done by 10:00; three and a half are left from 12:00, half to lift out."""
    down = {"kind": "down", "what": "left", "until": f"{DAY} 12:00"}
    plan, ends = shifted(cheeks(POT), "10:00", down)
    assert (ends, plan.terms.served) == ("16:00", (0,))


def test_it_waits_for_its_own_pot_though_another_is_free() -> None:
    """The engine would go on in the other one at 10:30."""
    down = {"kind": "down", "what": "left", "until": f"{DAY} 12:00"}
    assert shifted(cheeks(POTS), "10:00", down)[1] == "16:00"


def test_what_its_own_cook_cannot_do_any_more_is_left_out_and_is_one_job_that_one_is_told() -> None:
    """Whoever is to stir at 17:00 goes at 09:00: ten plates lack it, and one job is gone."""
    older = sauces("sauce", people=[cook("ana"), cook("ben")])
    before = plan_of(older).plan
    (who,) = next(v.people for t in before.tasks if t.step == "stir" for v in t.visits)
    plan, ends = shifted(older, "09:00", {"kind": "away", "who": who})
    assert (ends, plan.terms.served, counted(plan)) == ("", (10,), (1, 1))
