"""Weeks over the two nights when clocks change, and plans that do not care what year it is.

Transitions by the IANA time zone database: in Vienna on 29 March 2026 the
clock goes from 02:00 to 03:00, on 25 October 2026 from 03:00 back to 02:00.
In Auckland, south of the equator, it goes from 02:00 to 03:00 on
27 September 2026 and from 03:00 back to 02:00 on 5 April 2026.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from scheduler.domain.reading import scenario_of
from tests.weeks.checks import finds_no_place, served, task
from tests.weeks.tiny import Document, component, cook, event, keep, step, visit, week_of

NIGHTS = {
    "spring in Vienna": ("Europe/Vienna", "2026-03-28", "2026-03-29", 23),
    "autumn in Vienna": ("Europe/Vienna", "2026-10-24", "2026-10-25", 25),
    "autumn in Auckland": ("Pacific/Auckland", "2026-04-04", "2026-04-05", 25),
    "spring in Auckland": ("Pacific/Auckland", "2026-09-26", "2026-09-27", 23),
    "any night": ("Europe/Vienna", "2026-05-09", "2026-05-10", 24),
}
ROOT = Path(__file__).parents[2]


def overnight(night: str, law: str = "10 h", service: str = "12:00") -> Document:
    """Loaded in the evening, out as soon as its hours are over, whoever is there at night."""
    zone, eve, day, _ = NIGHTS[night]
    return week_of(
        component(
            "brisket",
            step("smoke", law, load=visit("30 min"), unload=visit("30 min")),
            keeps=keep("24 h", best_until="24 h"),
        ),
        events=[event("brunch", f"{day} {service}", "plate")],
        people=[
            cook("ana", "18:00-20:00", days=eve),
            cook("ben", "04:00-12:00"),
        ],
        kitchen={"zone": zone},
        week={"starts": f"{eve} 12:00", "plan_from": f"{eve} 12:00", "ends": f"{day} 20:00"},
    )  # fmt: skip


@pytest.mark.parametrize("night", NIGHTS)
def test_ten_hours_are_ten_hours_when_the_clocks_change(night: str) -> None:
    """Loaded between six and eight in the evening, it is out ten hours later by a stopwatch."""
    zone, _, _, hours = NIGHTS[night]
    document = overnight(night)
    smoke = task(served(document), "brisket.1/smoke")
    assert smoke.law_end - smoke.law_start == 600
    clock = scenario_of(document).clock
    begun, done = clock.local(smoke.law_start), clock.local(smoke.law_end)
    assert done.timestamp() - begun.timestamp() == 10 * 3600
    wall = done.replace(tzinfo=None) - begun.replace(tzinfo=None)
    crosses = begun.hour < 22 and begun.date() != done.date() and done.hour >= 3
    assert crosses
    assert wall.total_seconds() == (10 + 24 - hours) * 3600
    assert begun.tzinfo == ZoneInfo(zone)


@pytest.mark.parametrize("night", NIGHTS)
def test_a_shift_begins_by_the_clock_on_the_wall(night: str) -> None:
    """Before service in the morning somebody has from seven to eight, whatever the night was."""
    zone, eve, day, hours = NIGHTS[night]
    document = week_of(
        component("rolls", step("shape", "60 min", hands=1)),
        events=[event("brunch", f"{day} 08:00", "plate")],
        people=[cook("ana", "07:00-08:00", days=day)],
        kitchen={"zone": zone},
        week={"starts": f"{eve} 08:00", "plan_from": f"{eve} 08:00", "ends": f"{day} 20:00"},
    )
    shape = task(served(document), "rolls.1/shape")
    assert shape.start == (hours - 1) * 60
    local = scenario_of(document).clock.local(shape.start)
    assert local.replace(tzinfo=None) == datetime.fromisoformat(f"{day} 07:00")


def a_night_long(night: str, law: str) -> Document:
    """One cook from ten to six, who loads, and unloads before going home."""
    zone, eve, day, _ = NIGHTS[night]
    return week_of(
        component(
            "bread", step("bake", law, load=visit("30 min"), unload=visit("30 min")),
            keeps=keep("24 h"),
        ),
        events=[event("breakfast", f"{day} 07:00", "plate")],
        people=[cook("ana", "22:00-06:00", days=eve)],
        kitchen={"zone": zone},
        week={"starts": f"{eve} 12:00", "plan_from": f"{eve} 12:00", "ends": f"{day} 20:00"},
    )  # fmt: skip


def test_the_night_shift_is_an_hour_shorter_in_spring() -> None:
    """Eight hours by the wall are seven: six of baking fit, seven do not."""
    served(a_night_long("spring in Vienna", "6 h"))
    finds_no_place(a_night_long("spring in Vienna", "7 h"), "bread.1")
    served(a_night_long("any night", "7 h"))


def test_the_night_shift_is_an_hour_longer_in_autumn() -> None:
    served(a_night_long("autumn in Vienna", "8 h"))
    finds_no_place(a_night_long("any night", "8 h"), "bread.1")


def test_a_hold_is_measured_by_a_stopwatch_too() -> None:
    """From ten in the evening to seven in the morning are eight hours in spring, nine otherwise."""
    def held(night: str, limit: str) -> Document:
        zone, eve, day, _ = NIGHTS[night]
        return week_of(
            component("rolls", step("shape", "60 min", hands=1), keeps=keep(limit)),
            events=[event("brunch", f"{day} 07:00", "plate")],
            people=[cook("ana", "21:00-22:00", days=eve)],
            kitchen={"zone": zone},
            week={"starts": f"{eve} 12:00", "plan_from": f"{eve} 12:00", "ends": f"{day} 20:00"},
        )

    served(held("spring in Auckland", "8 h"))
    finds_no_place(held("any night", "8 h"), "rolls.1")
    finds_no_place(held("autumn in Auckland", "9 h"), "rolls.1")


PLAN = """
import datetime, sys, time
from pathlib import Path
from scheduler.domain.reading import read_scenario
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.engine import plan_week

scenario = read_scenario(Path(sys.argv[2]))
then = datetime.datetime(int(sys.argv[1]), 6, 1, tzinfo=datetime.UTC)
offset = then.timestamp() - time.time()
true = time.time


class Day(datetime.date):
    @classmethod
    def today(cls):
        return cls(then.year, 6, 1)


class Moment(datetime.datetime):
    @classmethod
    def now(cls, tz=None):
        return cls.fromtimestamp(time.time(), tz)

    today = utcnow = now


time.time = lambda: true() + offset
time.time_ns = lambda: int(time.time() * 10**9)
for name, module in list(sys.modules.items()):
    if name.startswith("scheduler"):
        for key, value in list(vars(module).items()):
            if value is datetime.datetime:
                setattr(module, key, Moment)
            elif value is datetime.date:
                setattr(module, key, Day)
            elif value is true:
                setattr(module, key, time.time)
datetime.datetime, datetime.date = Moment, Day
assert datetime.datetime.now().year == then.year
plan = plan_week(scenario, seconds=float(sys.argv[3]), deterministic=True)
print(plan.model_dump_json())
"""


@pytest.mark.parametrize(("name", "seconds"), [("first-week", "2.2"), ("demo", "1")])
def test_a_week_plans_alike_in_2020_and_in_2040(name: str, seconds: str) -> None:
    folder = ROOT / "scenarios" / name
    plans = [
        subprocess.run(
            [sys.executable, "-c", PLAN, year, str(folder), seconds],
            cwd=ROOT, env=os.environ | {"PYTHONPATH": str(ROOT)}, capture_output=True,
            check=True, text=True,
        ).stdout
        for year in ("2020", "2040")
    ]  # fmt: skip
    assert json.loads(plans[0])["tasks"]
    assert plans[0] == plans[1]
