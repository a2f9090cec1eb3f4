"""The sheet of a section or a person, worked out by hand on a hut with one cook and one soup."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from scheduler.outputs.sheet import NoSuchSheet
from scheduler.plan.model import (
    Plan,
    PlannedBatch,
    PlannedBreak,
    PlannedHold,
    PlannedTask,
    PlannedVisit,
    Share,
    Taken,
)
from tests.outputs.hut import (
    FRIDAY,
    at,
    clock,
    document,
    later,
    line,
    sheets,
    stove,
    with_tasks,
)
from tests.plan import tiny

THURSDAY = date(2026, 12, 3)
FIXED = {"components__0__steps__0__time": "2 h"}


def test_a_sheet_says_what_how_much_where_and_what_goes_in() -> None:
    takes = [
        {"ingredient": "barley", "amount": "1 kg", "yield": "80 %"},
        {"ingredient": "bay-leaf", "amount": "5 pieces"},
    ]
    fill = line(stove(components__0__steps__0__takes=takes), "fill")
    assert (fill.what, fill.quantity, fill.step) == ("Barley soup", "9 l", "simmer")
    # 9 of 10 l: 0.9 x 1 kg / 0.8 = 1125 g; 4.5 leaves are 5.
    assert [(i.name, str(i.amount)) for i in fill.ingredients] == [
        ("barley", "1.125 kg"),
        ("bay leaf", "5 pieces"),
    ]
    assert fill.where == "kettle"
    assert fill.people == ("ada",)
    assert fill.events == ("supper",)


def test_what_a_dish_takes_is_for_all_its_plates_and_says_where_it_stands() -> None:
    plate = line(stove(), "plating")
    assert plate.quantity == "36 portions"
    (soup,) = plate.ingredients
    assert (soup.name, str(soup.amount), soup.where) == ("Barley soup", "9 l", ("Cold room",))


def test_whoever_is_at_it_last_is_told_where_it_goes_and_what_to_write_on_it() -> None:
    fill = line(stove(), "fill")
    (goes,) = fill.goes_to
    assert (goes.place, goes.shelves, goes.quantity) == ("Cold room", 2, "9 l")
    assert (goes.until, goes.what_for) == (at(18), "Bowl of soup (Supper)")
    # Out at 16:15, and the recipe lets it keep for 24 h.
    assert fill.label == (
        "Barley soup, 9 l, soup.1, made Fri 4 Dec, use by Sat 5 Dec 16:15, "
        "allergens not written down"
    )


def test_a_label_takes_the_day_of_the_date_mark_where_that_comes_first() -> None:
    # Of one day, the day made counted: Friday itself, before the recipe's 24 h are over.
    limits = {"date_mark": {"value": 1}, "date_mark_beyond": {"value": "0 h"}}
    changed = {
        "kitchen__rule_profile": "house",
        "kitchen__own_limits": limits,
        "components__0__food_class": "ready",
        "components__0__allergens": ["milk"],
    }
    assert line(stove(**changed), "fill").label == (
        "Barley soup, 9 l, soup.1, made Fri 4 Dec, use by Fri 4 Dec, contains milk"
    )


def test_times_are_told_to_the_quarter_and_never_later_than_planned() -> None:
    plan = later(soup=10)
    # Filled 14:10 to 14:25. It may simmer for up to 3 h, so it may be on from 14:00.
    assert clock(stove(plan)) == [("fill", "14:00", "14:15"), ("plating", "18:00!", "18:30")]


def test_what_must_simmer_just_so_long_is_not_put_on_sooner() -> None:
    # By a quarter it would be 14:30; it is needed at 18:00 and there is time.
    assert clock(stove(later(soup=10), **FIXED))[0] == ("fill", "14:10", "14:30")


def test_nothing_is_begun_before_what_it_is_made_of_has_come() -> None:
    changed = {
        "components__0__steps__0__takes": [{"ingredient": "barley", "amount": "1 kg"}],
        "week__deliveries": [{"id": "sack", "ingredient": "barley", "at": "2026-12-04 14:05"}],
    }
    assert clock(stove(later(soup=10), **changed))[0] == ("fill", "14:10", "14:30")
    changed["week__deliveries"] = [
        {"id": "sack", "ingredient": "barley", "at": "2026-12-04 14:00"}
    ]
    assert clock(stove(later(soup=10), **changed))[0] == ("fill", "14:00", "14:15")


def test_nothing_is_begun_so_soon_that_it_would_be_too_old() -> None:
    # Out at 16:25, served at 18:00: 95 min. Begun 10 min sooner it would wait 105.
    keeps = [{"zone": "chilled", "at_most": "100 min", "per_shelf": "5 l"}]
    handed = {"components__0__keeps": keeps}
    hands = {
        "components__0__steps__0": {"id": "simmer", "time": "2 h", "hands": [{"people": 1}]},
    }
    plan = later(soup=10)
    one = plan.tasks[0]
    whole = PlannedVisit(kind="hands", start=one.start, end=one.end, people=("ada",))
    one = one.model_copy(update={"visits": (whole,), "taken": (), "law_start": one.start})
    plan = plan.model_copy(update={"tasks": (one, plan.tasks[1])})
    assert clock(stove(plan, **handed, **hands))[0][1] == "14:10"
    assert clock(stove(plan, **hands))[0][1] == "14:00"


def test_plates_that_cannot_wait_are_begun_to_the_minute() -> None:
    changed = {"week__events__0__first_plate": "2026-12-04 18:05"}
    assert clock(stove(later(bowl=5), **changed))[1] == ("plating", "18:05!", "18:45")


def test_a_step_that_follows_at_once_is_told_to_the_minute_and_by_name() -> None:
    steps = [
        {"id": "boil", "name": "Boil the sugar", "time": "20 min", "hands": [{"people": 1}]},
        {"id": "pour", "name": "Pour", "time": "10 min", "hands": [{"people": 1}]},
    ]

    def task(step: str, start: int, end: int) -> PlannedTask:
        visit = PlannedVisit(kind="hands", start=start, end=end, people=("ada",))
        return PlannedTask(
            id=f"soup.1/{step}", batch="soup.1", step=step, quantity="9 l",
            start=start, law_start=start, law_end=end, end=end, visits=(visit,),
        )  # fmt: skip

    plan = with_tasks(task("boil", at(14, 5), at(14, 25)), task("pour", at(14, 25), at(14, 35)))
    sheet = stove(plan, components__0__steps=steps)
    assert clock(sheet) == [
        ("Boil the sugar", "14:05!", "14:25!"),
        ("Pour", "14:25!", "14:45"),
    ]
    assert line(sheet, "Boil the sugar").at_once == "Pour"
    assert line(sheet, "Pour").at_once == ""


def test_a_machine_in_use_until_then_is_not_asked_for_sooner() -> None:
    plan = later(soup=10)
    other = PlannedTask(
        id="stock.1/simmer", batch="stock.1", step="simmer", quantity="9 l",
        start=at(12), law_start=at(12), law_end=at(14, 5), end=at(14, 5),
        taken=(Taken(need=0, unit="kettle", amount=1, start=at(12), end=at(14, 5)),),
    )  # fmt: skip
    plan = plan.model_copy(update={"tasks": (other, *plan.tasks)})
    assert line(stove(plan), "fill").start_by.minute == at(14, 10)


BO: dict[str, Any] = {
    "id": "bo", "name": "Bo", "sections": {"stove": "lead"},
    "shifts": [{"days": ["daily"], "hours": "08:00-16:00"}],
}  # fmt: skip


def test_whom_to_ask_is_the_sections_lead_while_they_are_there() -> None:
    two = [*document()["kitchen"]["people"], BO]
    sheet = stove(kitchen__people=two)
    assert line(sheet, "fill").ask == ("bo",)
    assert line(sheet, "plating").ask == ()  # Bo has left
    assert sheet.people == (("ada", at(8), at(22)), ("bo", at(8), at(16)))


def test_a_lead_of_another_section_is_asked_where_there_is_none_and_no_lead_asks() -> None:
    pass_ = [{"id": "stove"}, {"id": "pass"}]
    cy = BO | {"id": "cy", "sections": {"pass": "lead"}}
    ada = document()["kitchen"]["people"][0]
    sheet = stove(kitchen__sections=pass_, kitchen__people=[ada, cy])
    assert line(sheet, "fill").ask == ("cy",)
    lead = ada | {"sections": {"stove": "lead"}}
    sheet = stove(kitchen__sections=pass_, kitchen__people=[lead, cy])
    assert line(sheet, "fill").ask == ()


def overnight() -> Plan:
    """Filled 21:20 on Thursday, out at 08:10 on Friday."""
    start, out = at(21, 20, day=0), at(8, 10)
    task = PlannedTask(
        id="soup.1/simmer", batch="soup.1", step="simmer", quantity="9 l",
        start=start, law_start=start + 15, law_end=out, end=out + 10,
        visits=(
            PlannedVisit(kind="load", verb="fill", start=start, end=start + 15, people=("ada",)),
            PlannedVisit(kind="unload", verb="ladle out", start=out, end=out + 10,
                         people=("ada",)),
        ),
        taken=(Taken(need=0, unit="kettle", amount=1, start=start, end=out + 10),),
    )  # fmt: skip
    plan = tiny.plan()
    hold = plan.holds[0].model_copy(update={"start": task.end})
    return plan.model_copy(update={"tasks": (task, plan.tasks[1]), "holds": (hold,)})


NIGHT = {
    "components__0__steps__0__time": {"at_least": "8 h", "at_most": "14 h"},
    "components__0__steps__0__unload": {"verb": "ladle out", "time": "10 min"},
}


@pytest.mark.parametrize("by", ["section", "person"])
def test_what_runs_overnight_is_told_before_leaving_and_first_thing_in_the_morning(
    by: str,
) -> None:
    every = sheets(overnight(), **NIGHT)
    sheet = (
        every.of_section("stove", THURSDAY) if by == "section" else every.of_person("ada", THURSDAY)
    )
    assert [x.does for x in sheet.lines] == ["fill"]
    assert [x.does for x in sheet.tonight] == ["fill"]
    assert [x.does for x in sheet.tomorrow] == ["ladle out"]
    (runs,) = sheet.overnight
    assert (runs.what, runs.where) == ("Barley soup, 9 l: simmer", "kettle")
    assert (runs.at, runs.verb, runs.people) == (at(8, 10), "ladle out", ("ada",))
    assert every.of_section("stove", FRIDAY).tonight == ()


def test_the_one_who_takes_it_out_is_told_where_it_goes() -> None:
    sheet = stove(overnight(), **NIGHT)
    assert [g.place for g in line(sheet, "ladle out").goes_to] == ["Cold room"]
    assert line(sheets(overnight(), **NIGHT).of_section("stove", THURSDAY), "fill").goes_to == ()


def test_a_late_shift_past_midnight_is_on_the_sheet_of_the_day_it_began() -> None:
    shifts = [{"days": ["2026-12-03"], "hours": "16:00-02:00"}]
    plan = later()
    late = plan.tasks[0].model_copy(update={"start": at(0, 30)})
    late = late.model_copy(
        update={
            "law_start": at(0, 45), "law_end": at(2, 45), "end": at(2, 45),
            "visits": (plan.tasks[0].visits[0].model_copy(
                update={"start": at(0, 30), "end": at(0, 45)}),),
        }
    )  # fmt: skip
    plan = plan.model_copy(update={"tasks": (late,)})
    every = sheets(plan, kitchen__people__0__shifts=shifts)
    assert [x.does for x in every.of_section("stove", THURSDAY).lines] == ["fill"]
    assert every.of_section("stove", FRIDAY).lines == ()
    assert [x.does for x in every.of_person("ada", THURSDAY).lines] == ["fill"]


def with_diet() -> tuple[Plan, dict[str, Any]]:
    """Six of the 36 without milk: a soup of their own, plated before the others."""
    plain = document()["components"][0]
    milk = plain | {"id": "soup-no-milk", "name": "Soup without milk"}
    diet = {"id": "milk-free", "count": 6, "swap": {"soup": "soup-no-milk"}}
    changed = {
        "components": [plain, milk],
        "week__events__0__menu": [{"dish": "bowl", "diets": [diet]}],
    }
    plan = tiny.plan()
    simmer, plating = plan.tasks

    def batch(like: PlannedBatch, **words: Any) -> PlannedBatch:
        return PlannedBatch.model_validate(like.model_dump(mode="json") | words)

    own = batch(plan.batches[0], id="no-milk.1", component="soup-no-milk",
                quantity="1500 ml", good="1500 ml")  # fmt: skip
    bowls = batch(plan.batches[1], id="supper.bowl.milk-free", diet="milk-free",
                  quantity="6 pieces", good="6 pieces")  # fmt: skip
    tasks = (
        simmer,
        PlannedTask.model_validate(simmer.model_dump(mode="json") | {
            "id": "no-milk.1/simmer", "batch": "no-milk.1", "quantity": "1500 ml", "taken": []}),
        plating,
        PlannedTask.model_validate(plating.model_dump(mode="json") | {
            "id": "supper.bowl.milk-free/plating", "batch": "supper.bowl.milk-free",
            "quantity": "6 pieces", "start": at(17, 50), "law_start": at(17, 50),
            "law_end": at(17, 55), "end": at(17, 55),
            "visits": [{"kind": "hands", "start": at(17, 50), "end": at(17, 55),
                        "people": ["ada"]}]}),
    )  # fmt: skip
    shares = (*plan.shares, Share(source="no-milk.1", consumer="supper.bowl.milk-free",
                                  step="plating", quantity="1500 ml"))  # fmt: skip
    return plan.model_copy(
        update={"batches": (*plan.batches, own, bowls), "tasks": tasks, "shares": shares}
    ), changed


def test_diets_stand_apart_with_all_that_is_made_for_nobody_else() -> None:
    plan, changed = with_diet()
    sheet = stove(plan, **changed)
    assert [(x.what, x.diets) for x in sheet.apart] == [
        ("Soup without milk", ("milk-free",)),
        ("Bowl of soup (Supper, milk-free)", ("milk-free",)),
    ]
    assert [x.what for x in sheet.others] == ["Barley soup", "Bowl of soup (Supper)"]
    (soup,) = sheet.apart[1].ingredients
    assert (soup.name, str(soup.amount)) == ("Soup without milk", "1.5 l")
    assert soup.instead_of == "Barley soup"


def test_the_others_are_not_plated_before_the_diets_are() -> None:
    plan, changed = with_diet()
    changed |= {"week__events__0__first_plate": "2026-12-04 18:05",
                "dishes__0__keeps": {"at_most": "1 h"}}  # fmt: skip
    # Everybody else's from 17:55, when the six are done; 17:45 would be before them.
    plate = tuple(
        t.model_copy(update={"start": at(17, 55), "law_start": at(17, 55), "visits": (
            t.visits[0].model_copy(update={"start": at(17, 55)}),)})
        if t.id == "supper.bowl/plating" else t
        for t in plan.tasks
    )  # fmt: skip
    sheet = stove(plan.model_copy(update={"tasks": plate}), **changed)
    (bowl,) = (x for x in sheet.others if x.does == "plating")
    assert bowl.start_by.minute == at(17, 55)


def test_what_is_measured_comes_with_target_and_tolerance() -> None:
    changed = NIGHT | {
        "components__0__steps__0__core": {"at": "74 °C", "for": "2 min"},
        "components__0__steps__0__test": {"measure": "pH", "target": "at most 4.6"},
    }
    out = line(stove(overnight(), **changed), "ladle out")
    assert [(m.kind, m.target, m.at_least, m.held) for m in out.measures] == [
        ("core", 74, True, 2),
        ("pH", pytest.approx(4.6), False, 0),
    ]
    assert out.measures[0].said == "core 74 °C or hotter for 2 min"
    fill = line(sheets(overnight(), **changed).of_section("stove", THURSDAY), "fill")
    assert fill.measures == ()


def test_a_break_stands_on_its_own_sheet_and_on_no_sections() -> None:
    pause = PlannedBreak(id="ada/2026-12-04/1", person="ada", start=at(12), end=at(12, 30))
    every = sheets(tiny.plan().model_copy(update={"breaks": (pause,)}))
    assert every.of_person("ada", FRIDAY).lines[0].what == "Break"
    assert "Break" not in [x.what for x in every.of_section("stove", FRIDAY).lines]


def test_deliveries_stand_on_the_sheet_of_whom_they_are_for() -> None:
    people = document()["kitchen"]["people"]
    people[0]["sections"]["larder"] = "cook"
    changed = {
        "kitchen__sections": [{"id": "stove"}, {"id": "larder"}],
        "kitchen__people": people,
        "components__0__steps__0__takes": [{"ingredient": "barley", "amount": "1 kg"}],
        "week__deliveries": [{"id": "sack", "ingredient": "barley", "at": "2026-12-04 07:00"}],
    }
    every = sheets(**changed)
    (comes,) = every.of_section("stove", FRIDAY).deliveries
    assert (comes.what, comes.at, comes.hangs) == ("barley", at(7), ("Barley soup",))
    assert every.of_section("larder", FRIDAY).deliveries == ()
    assert [c.delivery for c in every.deliveries(FRIDAY)] == ["sack"]


@pytest.mark.parametrize(
    ("whose", "day", "said"),
    [
        (("section", "stov"), FRIDAY, "There is no section 'stov'. Maybe 'stove'."),
        (("section", "pastry"), FRIDAY, "There is no section 'pastry'. There are stove."),
        (("person", "zoe"), FRIDAY, "Nobody here is called 'zoe'. There are ada."),
        (
            ("person", "ada"),
            date(2026, 12, 24),
            "Thu 24 Dec 2026 is not in this week, which goes from Thu 3 Dec to Sat 5 Dec 2026.",
        ),
    ],
)
def test_a_sheet_there_is_not_is_refused_with_what_there_is(
    whose: tuple[str, str], day: date, said: str
) -> None:
    every = sheets()
    with pytest.raises(NoSuchSheet) as refused:
        (every.of_section if whose[0] == "section" else every.of_person)(whose[1], day)
    assert str(refused.value) == said


def test_a_day_without_anything_to_do_is_an_empty_sheet() -> None:
    sheet = sheets().of_section("stove", THURSDAY)
    assert (sheet.lines, sheet.tonight, sheet.overnight) == ((), (), ())
    assert sheets().days == (FRIDAY,)


def test_of_two_loads_only_a_part_goes_into_each() -> None:
    step = {
        "id": "simmer", "time": "1 h", "in_loads": True, "on": [{"equipment": "kettle"}],
        "load": {"verb": "fill", "time": "15 min"},
        "takes": [{"ingredient": "barley", "amount": "1 kg"}],
    }  # fmt: skip
    kettle = [{"id": "kettle", "fill": "5 l"}]

    def load(n: int, start: int) -> PlannedTask:
        return PlannedTask(
            id=f"soup.1/simmer/{n}", batch="soup.1", step="simmer", load=n, loads=2,
            quantity="4500 ml", start=start, law_start=start + 15, law_end=start + 75,
            end=start + 75,
            visits=(PlannedVisit(kind="load", verb="fill", start=start, end=start + 15,
                                 people=("ada",)),),
        )  # fmt: skip

    hold = PlannedHold(
        kind="loads", source="soup.1", step="simmer", load=1, quantity="4500 ml",
        start=at(13, 15), end=at(14, 30), store="cold-room", shelves=1,
    )  # fmt: skip
    share = tiny.plan().holds[0].model_copy(update={"start": at(14, 30)})
    plan = with_tasks(load(1, at(12)), load(2, at(13, 15)), tiny.plan().tasks[1],
                      holds=(hold, share))  # fmt: skip
    changed = {"components__0__steps": [step], "kitchen__equipment": kettle}
    one, two, _ = stove(plan, **changed).lines
    assert [(x.load, str(x.ingredients[0].amount)) for x in (one, two)] == [
        ("1 of 2", "450 g"),
        ("2 of 2", "450 g"),
    ]
    assert [(g.place, g.until) for g in one.goes_to] == [("Cold room", at(14, 30))]
    assert [(g.place, g.until) for g in two.goes_to] == [("Cold room", at(18))]


def test_a_visit_to_work_that_is_anybodys_stands_with_whose_product_it_is() -> None:
    sections = [{"id": "larder"}, {"id": "stove"}]
    ada = document()["kitchen"]["people"][0] | {"sections": {"larder": "cook"}}
    changed = {
        "kitchen__sections": sections,
        "kitchen__people": [ada],
        "components__0__steps__0__section": "anyone",
        "dishes__0__plating": {"per_hour": 80, "hands": [{"section": "anyone"}]},
    }
    every = sheets(**changed)
    assert [x.does for x in every.of_section("stove", FRIDAY).lines] == ["fill", "plating"]
    assert every.of_section("larder", FRIDAY).lines == ()



def test_plates_that_wait_go_where_they_stand_until_the_first_one_is_away() -> None:
    plated = PlannedHold(
        kind="plated", source="supper.bowl", quantity="36 pieces", start=at(17, 30), end=at(18),
        store="cold-room", shelves=2,
    )  # fmt: skip
    plan = later(bowl=-30)
    plan = plan.model_copy(update={"holds": (*plan.holds, plated)})
    keeps = {"zone": "chilled", "at_most": "1 h", "per_shelf": "20 portions"}
    (goes,) = line(stove(plan, dishes__0__keeps=keeps), "plating").goes_to
    assert (goes.place, goes.shelves, goes.until) == ("Cold room", 2, at(18))
    assert goes.what_for == "Supper"
