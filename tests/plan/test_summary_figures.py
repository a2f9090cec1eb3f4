"""The figures of a summary, each worked by hand beside it."""

from __future__ import annotations

from typing import Any

from scheduler.domain.scenario import Scenario
from scheduler.plan.figures import (
    shifts_of,
    tightest_machine,
    tightest_person,
    tightest_store,
)
from scheduler.plan.model import Plan, PlannedDuty, PlannedHold
from scheduler.plan.waiting import longest_hold, unattended
from tests.plan import tiny

DAY = tiny.DAY


def with_kitchen(**changes: Any) -> Scenario:
    return tiny.scenario(tiny.DOCUMENT | {"kitchen": tiny.DOCUMENT["kitchen"] | changes})


def with_ada(**changes: Any) -> Scenario:
    return with_kitchen(people=[tiny.DOCUMENT["kitchen"]["people"][0] | changes])


def plan(**changes: Any) -> Plan:
    return tiny.plan().model_copy(update=changes)


def test_a_shift_is_told_without_its_breaks_and_from_the_moment_planning_begins() -> None:
    shift = {"days": ["daily"], "hours": "07:00-15:00", "breaks": ["11:00-11:30"]}
    scenario = with_ada(shifts=[shift, {"days": ["fri"], "hours": "18:00-20:00"}])
    shifts = shifts_of(scenario, scenario.person["ada"])
    # plan_from is 08:00 on Thursday the 3rd; the horizon ends on Saturday at 00:00.
    assert [s for _, s in sorted(shifts)] == [
        [(480, 660), (690, 900)],
        [(DAY + 420, DAY + 660), (DAY + 690, DAY + 900)],
        [(DAY + 1080, DAY + 1200)],
    ]


def test_a_break_in_a_night_shift_is_found_on_the_next_day() -> None:
    shift = {"days": ["thu"], "hours": "22:00-06:00", "breaks": ["01:00-01:30"]}
    scenario = with_ada(shifts=[shift])
    assert shifts_of(scenario, scenario.person["ada"]) == [
        (1320, [(1320, DAY + 60), (DAY + 90, DAY + 360)])
    ]


def test_a_day_off_is_no_shift() -> None:
    scenario = with_ada(off=["2026-12-03", "2026-12-04"])
    assert [day for day, _ in shifts_of(scenario, scenario.person["ada"])] == []


def test_duties_count_in_a_persons_day_but_do_not_make_it_tight_alone() -> None:
    duty = PlannedDuty(
        id="lunch/2026-12-04", duty="lunch", start=DAY + 600, end=DAY + 840, people=("ada",)
    )
    tight = tightest_person(tiny.scenario(), plan(duties=(duty,)))
    # Filling 15 min, plating 30 min, duty 240 min, of a shift of 14 h.
    assert tight is not None
    assert (tight.what, tight.used, tight.of) == ("ada", 285, 840)
    assert tightest_person(tiny.scenario(), plan(duties=(duty,), tasks=())) is None


def test_a_machines_day_is_its_busiest_24_hours() -> None:
    tight = tightest_machine(tiny.scenario(), tiny.plan())
    assert tight is not None
    assert (tight.what, tight.at, tight.used, tight.of) == ("kettle", DAY + 840, 135, DAY)


def test_a_machine_with_places_is_as_full_as_its_places() -> None:
    scenario = with_kitchen(equipment=[{"id": "kettle", "capacity": 3, "measure": "pots"}])
    tight = tightest_machine(scenario, tiny.plan())
    assert tight is not None
    assert tight.used == 45  # one of three places for 135 minutes


def test_a_container_is_no_machine() -> None:
    scenario = with_kitchen(equipment=[{"id": "kettle", "per_shelf": 2}])
    assert tightest_machine(scenario, tiny.plan()) is None


def test_a_store_is_as_full_as_at_its_peak_with_what_leaves_gone_before_what_comes() -> None:
    hold = tiny.plan().holds[0]
    after = hold.model_copy(update={"start": hold.end, "end": hold.end + 60, "shelves": 3})
    tight = tightest_store(tiny.scenario(), plan(holds=(hold, after)))
    assert tight is not None
    assert (tight.what, tight.at, tight.used, tight.of) == ("cold-room", hold.end, 3, 4)


def test_what_is_only_on_its_way_needs_no_shelf() -> None:
    scenario = with_kitchen(transfer="2 h")
    assert tightest_store(scenario, tiny.plan()) is None  # 1 h 45 min


def test_shelves_of_the_standing_duties_are_taken() -> None:
    lunch = {
        "id": "lunch",
        "days": ["daily"],
        "hours": "10:00-17:00",
        "stores": [{"store": "cold-room", "shelves": 1}],
    }
    duty = PlannedDuty(id="lunch/2026-12-04", duty="lunch", start=DAY + 600, end=DAY + 1020)
    tight = tightest_store(with_kitchen(duties=[lunch]), plan(duties=(duty,)))
    assert tight is not None
    assert tight.used == 3


def test_the_longest_hold_is_the_one_nearest_its_limit() -> None:
    kept = longest_hold(tiny.scenario(), tiny.plan())
    assert kept is not None
    assert (kept.age, kept.limit) == (105, DAY)


def test_what_is_on_hand_is_as_old_as_when_it_was_made() -> None:
    lot = {
        "id": "old-soup",
        "component": "soup",
        "quantity": "2 l",
        "made": "2026-12-03 06:00",
        "store": "cold-room",
    }
    scenario = tiny.scenario(tiny.DOCUMENT | {"week": tiny.DOCUMENT["week"] | {"on_hand": [lot]}})
    hold = PlannedHold(
        kind="share",
        source="old-soup",
        consumer="supper.bowl/plating",
        quantity="2 l",
        start=480,
        end=960,
        store="cold-room",
        shelves=1,
    )
    kept = longest_hold(scenario, plan(holds=(hold,)))
    assert kept is not None
    assert kept.age == 600  # 06:00 to 16:00, not 08:00 to 16:00


def test_without_anything_at_night_the_first_night_is_named() -> None:
    assert unattended(tiny.scenario(), tiny.plan()) == (DAY, [])
