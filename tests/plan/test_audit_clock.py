"""The second reader in minutes as the chef wrote them, on nights when the clocks change too."""

from __future__ import annotations

import pytest

from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from tests.plan.byhand import broken, component, event, person, plating, step, supper, task, week

SPRING = ("2026-03-28 00:00", "2026-03-30 00:00", "2026-03-29 12:00")
AUTUMN = ("2026-10-24 00:00", "2026-10-26 00:00", "2026-10-25 12:00")


def night(days: tuple[str, str, str], keeps: str) -> Scenario:
    """Eight hours over the night in which the clocks change, then lunch at noon."""
    kept = [{"at_most": keeps, "best_until": keeps}]
    return week(
        component("soup", step(time="8 h", unload={"time": "10 min"}), keeps=kept),
        zone="Europe/Vienna",
        week={"starts": days[0], "plan_from": days[0], "ends": days[1]},
        events=[event(first_plate=days[2])],
    )


@pytest.mark.parametrize(
    ("days", "noon", "ready", "keeps"),
    [
        # Begun Saturday 22:00 it is done Sunday 07:00 in spring, 05:00 in autumn: then the
        # unloading waits for somebody to come at 06:00, so it begins at 23:00 there.
        (SPRING, 35 * 60, "Sun 29 Mar 12:00", "4 h 50 min"),
        (AUTUMN, 37 * 60, "Sun 25 Oct 12:00", "5 h 50 min"),
    ],
)
def test_lengths_are_elapsed_and_shifts_are_by_the_wall_clock(
    days: tuple[str, str, str], noon: int, ready: str, keeps: str
) -> None:
    start = 22 * 60 if days is SPRING else 23 * 60
    cooked = task("soup.1/cook", start, 8 * 60, unload=10)
    made = night(days, keeps)
    assert broken(made, supper(made, cooked, served=plating(start=noon))) == set()
    shorter = night(days, "4 h 45 min")
    found = audit(shorter, supper(shorter, cooked, served=plating(start=noon))).findings
    assert [f.rule for f in found] == ["hold-limit"]
    assert ready in found[0].what


def test_shifts_begin_by_the_wall_clock_on_the_short_day() -> None:
    # At 06:00 of the short Sunday only 29 hours have passed.
    made = night(SPRING, "12 h")

    def unloaded(minute: int) -> set[str]:
        cooked = task("soup.1/cook", minute - 480, 8 * 60, unload=10)
        return broken(made, supper(made, cooked, served=plating(start=35 * 60)))

    assert unloaded(29 * 60) == set()
    assert unloaded(29 * 60 - 5) == {"shift"}


@pytest.mark.parametrize(("start", "rules"), [("Tue 06:05", set()), ("Tue 06:00", {"shift"})])
def test_a_shift_that_begins_off_the_grid_begins_when_it_is_written(
    start: str, rules: set[str]
) -> None:
    kept = [{"at_most": "24 h", "best_until": "24 h"}]
    made = week(
        component("soup", step(hands=[{}]), keeps=kept),
        people=[person("ana", "lead", "06:02-21:58")],
    )
    cooked = task("soup.1/cook", start, hands=["ana"])
    assert broken(made, supper(made, cooked)) == rules


@pytest.mark.parametrize(("start", "rules"), [("Tue 16:00", set()), ("Tue 15:55", {"hold-limit"})])
def test_a_limit_off_the_grid_is_as_long_as_it_is_written(start: str, rules: set[str]) -> None:
    made = week(component("soup", step(), keeps=[{"at_most": "63 min", "best_until": "63 min"}]))
    assert broken(made, supper(made, task("soup.1/cook", start))) == rules


def test_a_service_off_the_grid_begins_at_the_point_before() -> None:
    made = week(events=[event(first_plate="2026-03-03 18:03")])
    cooked = task("soup.1/cook", "Tue 12:00")
    assert broken(made, supper(made, cooked)) == set()
    late = supper(made, cooked, served=plating(start="Tue 18:05"))
    assert broken(made, late) == {"first-plate"}
