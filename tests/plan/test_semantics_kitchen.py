"""Semantics 47-50 and 52, for the second reader: waves, ripening, duties, bands, tending."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.plan.model import PlannedDuty, PlannedTask, Terms
from tests.plan.byhand import (
    at,
    broken,
    component,
    event,
    hold,
    on,
    person,
    plating,
    report,
    step,
    supper,
    task,
    visit,
    week,
)

# 47 Waves


def passed_on(second_cut: str, waves: bool = True, at_most: str = "1 h") -> set[str]:
    """Two loads bake 12:00-13:00 and 13:00-14:00; the first is cut at 13:00."""
    bake = step(
        "bake",
        in_loads=True,
        waves=waves,
        on=[{"equipment": "oven"}],
        then={"at_most": at_most, "best_until": at_most},
    )
    cut = step("cut", "30 min", in_loads=True, on=[{"equipment": "board"}])
    made = week(
        component("soup", bake, cut),
        equipment=[{"id": "oven", "fill": "500 g"}, {"id": "board", "fill": "500 g"}],
    )
    baked = [
        task(f"soup.1/bake/{i}", f"Tue {11 + i}:00", quantity="500 g", loads=2, taken=[on("oven")])
        for i in (1, 2)
    ]
    cuts = [
        task(f"soup.1/cut/{i}", when, 30, quantity="500 g", loads=2, taken=[on("board")])
        for i, when in ((1, "Tue 13:00"), (2, second_cut))
    ]
    waits = [
        hold("wait", "soup.1/bake", b.end, c.start, quantity="500 g", load=b.load, consumer=c.id)
        for b, c in zip(baked, cuts, strict=True)
        if b.end < c.start
    ]
    early = hold("loads", "soup.1/cut", cuts[0].end, cuts[1].end, quantity="500 g")
    return broken(made, supper(made, *baked, *cuts, holds=[*waits, early]))


def test_47_in_waves_load_by_load_goes_on() -> None:
    assert passed_on("Tue 14:00") == set()
    assert passed_on("Tue 15:00") == set()
    assert passed_on("Tue 15:05") == {"wait-limit"}
    assert passed_on("Tue 13:55") == {"ready"}


def test_47_without_waves_the_next_step_waits_for_the_last_load() -> None:
    assert passed_on("Tue 14:00", waves=False, at_most="2 h") >= {"ready"}


# 48 Who decides the length


def ripening(law: int, start_next: str, at_most: str = "4 h") -> set[str]:
    """Ripens in two to three hours, from 10:00; then is skimmed."""
    time = {"at_least": "2 h", "at_most": "3 h", "decides": "it"}
    wait = {"at_most": at_most, "best_until": at_most}
    made = week(component("soup", step("ripen", time, then=wait), step("skim", "30 min")))
    ripe, skim = task("soup.1/ripen", "Tue 10:00", law), task("soup.1/skim", start_next, 30)
    waits = [hold("wait", "soup.1/ripen", ripe.end, skim.start, consumer=skim.id)]
    return broken(made, supper(made, ripe, skim, holds=waits))


def test_48_where_the_food_decides_the_longest_is_set_aside() -> None:
    assert ripening(180, "Tue 13:05") == set()
    assert "it-decides" in ripening(120, "Tue 13:05")
    assert "it-decides" in ripening(175, "Tue 13:05")


def test_48_the_limit_of_what_follows_runs_from_the_shortest() -> None:
    # Ripe at noon at the earliest: four hours are over at 16:00, not at 17:00.
    assert ripening(180, "Tue 16:00") == set()
    assert ripening(180, "Tue 16:05") == {"wait-limit"}


def test_48_so_does_a_hold_limit() -> None:
    time = {"at_least": "2 h", "at_most": "3 h", "decides": "it"}

    def ripe(start: str) -> set[str]:
        keeps = [{"at_most": "4 h", "best_until": "4 h"}]
        made = week(component("soup", step("ripen", time), keeps=keeps))
        return broken(made, supper(made, task("soup.1/ripen", start, 180)))

    assert ripe("Tue 12:00") == set()
    assert ripe("Tue 11:55") == {"hold-limit"}


# 49 Standing duties

LUNCH = {
    "id": "lunch-line",
    "days": ["tue"],
    "hours": "11:00-14:00",
    "section": "stove",
    "people": 1,
    "equipment": [{"equipment": "burner", "amount": 2}],
    "stores": [{"store": "cold-room", "shelves": 3}],
}


def with_lunch(
    cooked: PlannedTask, *duties: PlannedDuty, kept: dict[str, Any] | None = None
) -> set[str]:
    keeps = [{"zone": "chilled", "at_most": "8 h", "best_until": "8 h", "per_shelf": "500 g"}]
    made = week(
        component("soup", step(hands=[{}], on=[{"equipment": "burner"}]), keeps=keeps),
        equipment=[{"id": "burner", "units": 2}],
        duties=[LUNCH],
        stores=[{"id": "cold-room", "zone": "chilled", "shelves": 4}],
    )
    stands = {"store": "cold-room", "shelves": 2} | (kept or {})
    return broken(made, supper(made, cooked, duties=duties, kept=stands))


def the_line(*people: str, start: str = "Tue 11:00", end: str = "Tue 14:00") -> PlannedDuty:
    return PlannedDuty(
        id="lunch-line/2026-03-03", duty="lunch-line", start=at(start), end=at(end), people=people
    )


def cooked_at(start: str, who: str = "ana") -> PlannedTask:
    return task("soup.1/cook", start, hands=[who], taken=[on("burner-1")])


def test_49_a_duty_takes_its_people_burners_and_shelves() -> None:
    assert with_lunch(cooked_at("Tue 14:00"), the_line("ana")) == set()
    assert with_lunch(cooked_at("Tue 13:30", "ben"), the_line("ana")) == {"equipment-full"}
    assert with_lunch(cooked_at("Tue 13:30"), the_line("ana")) == {"equipment-full", "one-place"}
    # Ready at 13:00, five shelves for an hour where there are four.
    assert with_lunch(cooked_at("Tue 10:00"), the_line("ben")) == {"store-full"}


def test_49_every_duty_is_there_at_its_hours_with_its_people() -> None:
    later = cooked_at("Tue 14:00")
    assert with_lunch(later) == {"duty"}
    assert with_lunch(later, the_line("ben", start="Tue 11:30")) == {"duty"}
    assert with_lunch(later, the_line()) == {"hands"}
    assert with_lunch(later, the_line("ana", "ben")) == {"hands"}
    beyond = the_line("ben").model_copy(update={"id": "lunch-line/2026-03-04"})
    assert with_lunch(later, the_line("ben"), beyond) == {"duty"}


# 50 Best band


def banded(start: str, **keep: str) -> tuple[set[str], int]:
    keeps = [{"at_most": "6 h"} | keep]
    made = week(component("soup", step(), keeps=keeps, weight=2))
    found = report(made, supper(made, task("soup.1/cook", start)))
    return set(found.rules()), found.terms.quality


@pytest.mark.parametrize(
    ("start", "rules", "cost"),
    [
        ("Tue 15:00", set(), 0),  # two hours old: best
        ("Tue 14:00", set(), 0),  # three: best
        ("Tue 13:30", set(), 60),  # half an hour beyond best, weight 2
        ("Tue 15:30", set(), 60),  # half an hour short of best
        ("Tue 16:00", set(), 120),  # an hour old: it may just be used
        ("Tue 16:05", {"not-before"}, 130),
        ("Tue 10:55", {"hold-limit"}, 370),
    ],
)
def test_50_inside_its_best_band_earliness_costs_nothing(
    start: str, rules: set[str], cost: int
) -> None:
    band = {"not_before": "1 h", "best_from": "2 h", "best_until": "3 h"}
    assert banded(start, **band) == (rules, cost)


def test_50_waits_are_weighed_like_holds() -> None:
    # Waits 90 min, best until 60: 30 min at weight 2.
    wait = {"at_most": "2 h", "best_until": "1 h"}
    made = week(component("soup", step("boil", then=wait), step("strain", "30 min"), weight=2))
    boil, strain = task("soup.1/boil", "Tue 12:00"), task("soup.1/strain", "Tue 14:30", 30)
    waits = hold("wait", "soup.1/boil", boil.end, strain.start, consumer=strain.id)
    found = report(made, supper(made, boil, strain, holds=[waits]))
    assert found.valid
    assert found.terms == Terms(served=(0,), quality=60)


# 52 Tending as cooks say it

PARTS = [{"id": "morning", "hours": "07:00-10:00"}, {"id": "evening", "hours": "17:00-20:00"}]


def pressed(*visits: str, who: str = "ana", people: Any = None, **tend: Any) -> set[str]:
    """Ferments Monday 06:00 to Tuesday 12:00: two mornings and an evening lie inside it."""
    made = week(
        component("soup", step(time="30 h", tend=[{"time": "10 min"} | tend])),
        day_parts=PARTS,
        **({"people": people} if people else {}),
    )
    looked = [visit("tend", v, 10, who) for v in visits]
    return broken(made, supper(made, task("soup.1/cook", "Mon 06:00", 30 * 60, visits=looked)))


def test_52_morning_and_evening() -> None:
    both = {"day_parts": ["morning", "evening"]}
    assert pressed("Mon 07:00", "Mon 19:50", "Tue 08:00", **both) == set()
    assert pressed("Mon 07:00", "Tue 08:00", **both) == {"day-parts"}
    assert pressed("Mon 07:00", "Mon 19:55", "Tue 08:00", **both) == {"day-parts"}
    assert pressed("Mon 07:00", "Mon 08:00", "Mon 19:50", "Tue 08:00", **both) == {"day-parts"}
    assert pressed("Mon 07:00", "Tue 08:00", day_parts=["morning"]) == set()


def test_52_a_part_of_the_day_that_the_step_does_not_fill_asks_for_nothing() -> None:
    # Begun at 08:00 it has one morning less.
    made = week(
        component("soup", step(time="28 h", tend=[{"time": "10 min", "day_parts": ["morning"]}])),
        day_parts=PARTS,
    )
    looked = [visit("tend", "Tue 08:00", 10)]
    assert (
        broken(made, supper(made, task("soup.1/cook", "Mon 08:00", 28 * 60, visits=looked)))
        == set()
    )


def test_52_once_a_shift_is_once_in_each_part_in_which_somebody_is_on_duty() -> None:
    early = [person("ana", "lead", "06:00-14:00"), person("dan", "cook", "17:30-22:00")]
    assert pressed("Mon 07:00", "Tue 08:00", once_a_shift=True, people=[early[0]]) >= {"shift"}
    day = [
        person("ana", "lead", "06:00-14:00"),
        person("eve", "lead", "18:00-22:00") | {"sections": {"larder": "lead"}},
    ]
    sections = [{"id": "stove"}, {"id": "larder"}]
    made = week(
        component("soup", step(time="30 h", tend=[{"time": "10 min", "once_a_shift": True}])),
        day_parts=PARTS,
        people=day,
        sections=sections,
        events=[event(first_plate="2026-03-03 13:00")],
    )

    def looked(*visits: str) -> set[str]:
        seen = [visit("tend", v, 10) for v in visits]
        return broken(
            made,
            supper(
                made,
                task("soup.1/cook", "Mon 06:00", 30 * 60, visits=seen),
                served=plating(start="Tue 13:00"),
            ),
        )

    assert looked("Mon 07:00", "Tue 08:00") == set()
    assert looked("Mon 07:00") == {"day-parts"}


def test_52_a_visit_grows_with_the_quantity_and_may_need_equipment() -> None:
    tend = {
        "every": "30 min",
        "give_or_take": "5 min",
        "time": {"at_least": "5 min", "plus": "5 min", "per": "1 kg"},
        "on": [{"equipment": "sink"}],
    }
    made = week(component("soup", step(tend=[tend])), equipment=[{"id": "sink"}])

    def looked(minutes: int, *taken: Any) -> set[str]:
        seen = [visit("tend", "Tue 12:25", minutes, taken=taken)]
        return broken(made, supper(made, task("soup.1/cook", "Tue 12:00", visits=seen)))

    assert looked(10, on("sink", "Tue 12:25", "Tue 12:35")) == set()
    assert looked(5, on("sink", "Tue 12:25", "Tue 12:30")) == {"visit-length"}
    assert looked(10) == {"equipment"}


@pytest.mark.parametrize(
    ("section", "who", "rules"),
    [
        ("anyone", "dan", set()),
        ("stove", "dan", {"section-level"}),
        ("stove", "ben", set()),
        ("anyone", "cat", {"section-level"}),
    ],
)
def test_52_it_says_who_may_do_it(section: str, who: str, rules: set[str]) -> None:
    everybody = [
        person("ana", "lead"),
        person("ben"),
        person("cat", "trainee"),
        person("dan") | {"sections": {"larder": "cook"}},
    ]
    tend = {
        "every": "30 min",
        "give_or_take": "5 min",
        "time": "5 min",
        "hands": [{"section": section}],
    }
    made = week(
        component("soup", step(tend=[tend])),
        people=everybody,
        sections=[{"id": "stove"}, {"id": "larder"}],
    )
    seen = [visit("tend", "Tue 12:30", 5, who)]
    assert broken(made, supper(made, task("soup.1/cook", "Tue 12:00", visits=seen))) == rules


def test_53_nobody_touches_what_they_may_not_use() -> None:
    slicer = {"id": "slicer", "may_use": "blades"}
    people = [person("ana", "lead", may_use=["blades"]), person("ben")]
    made = week(
        component("soup", step(hands=[{}], on=[{"equipment": "slicer"}])),
        equipment=[slicer],
        people=people,
    )

    def sliced(who: str) -> set[str]:
        cut = task("soup.1/cook", "Tue 12:00", hands=[who], taken=[on("slicer")])
        return broken(made, supper(made, cut))

    assert sliced("ana") == set()
    assert sliced("ben") == {"may-use"}
