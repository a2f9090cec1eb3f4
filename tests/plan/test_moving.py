"""One change by hand: what hangs on it goes with it, nothing else moves, and it is undone whole."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import Report, audit
from scheduler.plan.model import Order, Plan, PlannedCleanDown
from scheduler.plan.moving import NotByHand, given_to, moved, put_on
from tests.plan import byhand, tiny

FILL = 1440 + 14 * 60
SOUP = "soup.1/simmer"


def with_more(**kitchen: list[dict[str, Any]]) -> Scenario:
    """The tiny week with more of something in its kitchen."""
    document = deepcopy(tiny.DOCUMENT)
    for name, more in kitchen.items():
        document["kitchen"][name] += more
    return tiny.scenario(document)


def ben(level: str = "cook") -> dict[str, Any]:
    return {
        "id": "ben",
        "name": "Ben",
        "sections": {"stove": level},
        "shifts": [{"days": ["daily"], "hours": "08:00-22:00"}],
    }


def test_a_soup_half_an_hour_earlier_takes_its_filling_kettle_and_hold_along() -> None:
    """Filled 13:30, out of the kettle 15:45, then 2 h 15 min in the cold room: all VALID."""
    scenario, plan = tiny.scenario(), tiny.plan()
    made = moved(scenario, plan, SOUP, FILL - 30)
    soup = made.tasks[0]
    assert (soup.start, soup.law_start, soup.law_end, soup.end) == (
        FILL - 30, FILL - 15, FILL + 105, FILL + 105,
    )  # fmt: skip
    assert [(v.start, v.end) for v in soup.visits] == [(FILL - 30, FILL - 15)]
    assert [(t.start, t.end) for t in soup.taken] == [(FILL - 30, FILL + 105)]
    assert [(h.start, h.end, h.store) for h in made.holds] == [
        (FILL + 105, 1440 + 18 * 60, "cold-room")
    ]
    assert made.tasks[1] == plan.tasks[1]
    assert audit(scenario, made).valid


def test_figures_follow_a_move_so_that_a_sound_one_stays_valid() -> None:
    """Six hours in the cold room instead of two are two beyond the best four."""
    made = moved(tiny.scenario(), tiny.plan(), SOUP, FILL - 255)
    assert made.terms.quality == 120
    assert audit(tiny.scenario(), made).valid


def test_what_did_not_wait_waits_in_a_store_with_room() -> None:
    """Out at 18:00 sharp it stands nowhere; a quarter of an hour earlier on two shelves."""
    scenario = tiny.scenario()
    sharp = moved(scenario, tiny.plan(), SOUP, FILL + 105)
    assert [(h.store, h.shelves) for h in sharp.holds] == [(None, 0)]
    assert audit(scenario, sharp).valid
    early = moved(scenario, sharp, SOUP, FILL + 90)
    assert [(h.store, h.shelves) for h in early.holds] == [("cold-room", 2)]
    gone = sharp.model_copy(update={"holds": ()})
    assert moved(scenario, gone, SOUP, FILL + 90).holds == early.holds
    assert moved(scenario, early, SOUP, FILL + 105) == sharp


def test_a_full_store_is_passed_over_for_the_next_one() -> None:
    scenario = with_more(stores=[{"id": "annexe", "zone": "chilled", "shelves": 4}])
    sharp = moved(scenario, tiny.plan(), SOUP, FILL + 105)
    other = byhand.hold("leftover", "soup.1", 0, 2 * 1440, store="cold-room", shelves=3)
    full = sharp.model_copy(update={"holds": (*sharp.holds, other)})
    assert moved(scenario, full, SOUP, FILL + 90).holds[0].store == "annexe"


def test_a_container_stays_taken_until_the_step_that_empties_it_wherever_that_goes() -> None:
    """The tub is filled by `salt` and emptied by `rinse`."""
    wait = {"not_before": "1 h", "at_most": "12 h"}
    scenario = byhand.week(
        byhand.component(
            "soup",
            byhand.step("salt", on=[{"equipment": "tub", "until": "rinse"}], then=wait),
            byhand.step("rinse"),
        ),
        equipment=[{"id": "tub"}],
    )
    tub = byhand.on("tub", "Tue 12:00", "Tue 16:00")
    salt = byhand.task("soup.1/salt", "Tue 12:00", taken=[tub])
    plan = byhand.supper(
        scenario,
        salt,
        byhand.task("soup.1/rinse", "Tue 15:00"),
        holds=[
            byhand.hold("wait", "soup.1/salt", "Tue 13:00", "Tue 15:00", consumer="soup.1/rinse")
        ],
    )
    assert audit(scenario, plan).valid
    made = moved(scenario, plan, "soup.1/rinse", byhand.at("Tue 16:00"))
    assert [(t.start, t.end) for t in made.tasks[0].taken] == [
        (byhand.at("Tue 12:00"), byhand.at("Tue 17:00"))
    ]
    assert audit(scenario, made).valid


@pytest.fixture
def minced() -> tuple[Scenario, Plan]:
    """Fish and then soup through one mincer, cleaned at once after the fish."""
    scenario = byhand.week(
        byhand.component("soup", byhand.step(on=[{"equipment": "mincer"}]), leaves=["carrot"]),
        byhand.component("fish", byhand.step(on=[{"equipment": "mincer"}]), leaves=["fish"]),
        dishes=[
            byhand.dish(
                {"component": "soup", "amount": "100 g"}, {"component": "fish", "amount": "100 g"}
            )
        ],
        equipment=[{"id": "mincer", "clean_down": {"time": "20 min"}}],
    )
    tasks = [
        byhand.task("fish.1/cook", "Tue 12:00", taken=[byhand.on("mincer")]),
        byhand.task("soup.1/cook", "Tue 15:00", taken=[byhand.on("mincer")]),
        byhand.plating(),
    ]
    clean = PlannedCleanDown(
        id="clean-down/mincer/fish.1/cook", unit="mincer", after="fish.1/cook",
        before="soup.1/cook", start=byhand.at("Tue 13:00"), end=byhand.at("Tue 13:20"),
        people=("ana",),
    )  # fmt: skip
    plan = byhand.plan(
        scenario, *tasks, clean_downs=(clean,),
        holds=[byhand.used("Tue 13:00", source="fish.1"), byhand.used("Tue 16:00")],
        batches=[byhand.batch("fish.1"), byhand.batch("soup.1"), byhand.bowls()],
        shares=[byhand.share("fish.1"), byhand.share()],
    )  # fmt: skip
    assert audit(scenario, plan).valid
    return scenario, plan


def test_a_cleaning_due_at_once_stays_behind_its_task(minced: tuple[Scenario, Plan]) -> None:
    scenario, plan = minced
    made = moved(scenario, plan, "fish.1/cook", byhand.at("Tue 12:30"))
    assert [(c.start, c.end) for c in made.clean_downs] == [
        (byhand.at("Tue 13:30"), byhand.at("Tue 13:50"))
    ]
    assert audit(scenario, made).valid


def test_a_cleaning_between_two_that_changed_places_is_dropped(
    minced: tuple[Scenario, Plan],
) -> None:
    scenario, plan = minced
    made = moved(scenario, plan, "soup.1/cook", byhand.at("Tue 10:00"))
    assert made.clean_downs == ()
    assert audit(scenario, made).rules() == {"clean-down"}


def test_given_to_another_cook_nothing_else_changes() -> None:
    scenario = with_more(people=[ben()])
    made = given_to(scenario, tiny.plan(), SOUP, ("load", 0), ("ben",))
    assert made.tasks[0].visits[0].people == ("ben",)
    back = given_to(scenario, made, SOUP, ("load", 0), ("ada",))
    assert back == tiny.plan()
    assert audit(scenario, made).valid


def test_a_trainee_alone_gets_the_time_it_takes_and_the_rest_follows() -> None:
    """At 90 minutes to the hour 15 minutes of filling become 22 and a half: 25 on the grid."""
    document = deepcopy(tiny.DOCUMENT)
    document["kitchen"]["people"].append(ben("trainee"))
    document["kitchen"]["trainee_hour"] = "90 min"
    load = document["components"][0]["steps"][0]["load"]
    load["hands"] = [{"people": 1, "level": "trainee"}]
    scenario = tiny.scenario(document)
    assert audit(scenario, tiny.plan()).valid
    made = given_to(scenario, tiny.plan(), SOUP, ("load", 0), ("ben",))
    soup = made.tasks[0]
    assert soup.law_start - soup.start == 25
    assert soup.end == tiny.plan().tasks[0].end + 10
    assert made.holds[0].start == soup.end
    assert audit(scenario, made).valid


def test_work_that_two_share_takes_twice_as_long_for_one() -> None:
    scenario = byhand.week(
        byhand.component("soup", byhand.step(hands=[{"people": 1, "up_to": 2}], time="2 h"))
    )
    plan = byhand.supper(
        scenario, byhand.task("soup.1/cook", "Tue 12:00", 60, hands=("ana", "ben"))
    )
    assert audit(scenario, plan).valid
    made = given_to(scenario, plan, "soup.1/cook", ("hands", 0), ("ben",))
    assert made.tasks[0].end - made.tasks[0].start == 120
    assert audit(scenario, made).valid


def test_put_on_another_kettle_it_is_there_and_nowhere_else() -> None:
    scenario = with_more(equipment=[{"id": "cauldron", "fill": "30 l"}])
    with_two = deepcopy(tiny.DOCUMENT)
    with_two["kitchen"]["equipment"] = [
        {"id": "kettle", "units": [{"id": "old", "fill": "20 l"}, {"id": "new", "fill": "20 l"}]}
    ]
    two = tiny.scenario(with_two)
    on_old = put_on(two, tiny.plan(), SOUP, 0, "old")
    assert [t.unit for t in on_old.tasks[0].taken] == ["old"]
    assert audit(two, on_old).valid
    wrong = put_on(scenario, tiny.plan(), SOUP, 0, "cauldron")
    assert audit(scenario, wrong).rules() == {"equipment"}


SCENARIO = tiny.scenario()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda: moved(SCENARIO, tiny.plan(), "soup.1/simer", FILL), "maybe 'soup.1/simmer'"),
        (lambda: moved(SCENARIO, tiny.plan(), SOUP, FILL + 7), "maybe 14:05 or 14:10"),
        (lambda: moved(SCENARIO, tiny.plan(), SOUP, 0), "planning begins Thu 3 Dec 08:00"),
        (lambda: moved(SCENARIO, tiny.plan(), SOUP, 2880), "would not be over when the week ends"),
        (lambda: given_to(SCENARIO, tiny.plan(), SOUP, ("load", 0), ("adda",)), "maybe 'ada'"),
        (lambda: given_to(SCENARIO, tiny.plan(), SOUP, ("load", 0), ()), "nobody is named"),
        (lambda: given_to(SCENARIO, tiny.plan(), SOUP, ("tend", 2), ("ada",)), "it has load 0"),
        (lambda: put_on(SCENARIO, tiny.plan(), SOUP, 0, "kettel"), "maybe 'kettle'"),
        (lambda: put_on(SCENARIO, tiny.plan(), SOUP, 4, "kettle"), "on no unit for its need 4"),
    ],
)  # fmt: skip
def test_what_nobody_can_do_is_said_in_a_sentence(change: Any, said: str) -> None:
    with pytest.raises(NotByHand) as found:
        change()
    assert said in str(found.value)
    assert str(found.value).count("\n") == 0


def test_what_is_over_running_or_bought_in_stays_where_it_is() -> None:
    def at(moment: str) -> Scenario:
        document = deepcopy(tiny.DOCUMENT)
        document["week"]["plan_from"] = moment
        return tiny.scenario(document)

    with pytest.raises(NotByHand, match="is over: it ended Fri 4 Dec 16:15"):
        moved(at("2026-12-04 17:00"), tiny.plan(), SOUP, FILL + 240)
    with pytest.raises(NotByHand, match="in progress"):
        moved(at("2026-12-04 15:00"), tiny.plan(), SOUP, FILL + 120)
    with pytest.raises(NotByHand, match="under way or over"):
        given_to(at("2026-12-04 15:00"), tiny.plan(), SOUP, ("load", 0), ("ada",))
    plan = tiny.plan()
    order = Order(order_by=0, packs=1, price=4)
    bought = plan.batches[0].model_copy(update={"bought": order})
    plan = plan.model_copy(update={"batches": (bought, plan.batches[1])})
    with pytest.raises(NotByHand, match="supplier"):
        moved(SCENARIO, plan, SOUP, FILL + 30)


@pytest.fixture(scope="session")
def rich_report(rich_week: Scenario, rich_plan: Plan) -> Report:
    return audit(rich_week, rich_plan)


PLAIN = frozenset({"holds", "equipment", "container", "shelves", "in-machine", "visits", "terms"})
"""Rules that only a change that left something behind would break."""


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_whatever_is_moved_takes_everything_along_and_can_be_put_back(
    rich_week: Scenario, rich_plan: Plan, data: st.DataObject
) -> None:
    task = data.draw(st.sampled_from(rich_plan.tasks))
    by = data.draw(st.integers(-24, 24)) * rich_week.kitchen.grid
    try:
        assert moved(rich_week, rich_plan, task.id, task.start) == rich_plan
        made = moved(rich_week, rich_plan, task.id, task.start + by)
    except NotByHand:
        return
    assert not audit(rich_week, made).rules() & PLAIN
    back = moved(rich_week, made, task.id, task.start)
    assert back.tasks == rich_plan.tasks
    if made.clean_downs and len(made.clean_downs) == len(rich_plan.clean_downs):
        assert back.clean_downs == rich_plan.clean_downs
        assert back.terms == rich_plan.terms
    times = [[(h.start, h.end) for h in p.holds] for p in (back, rich_plan)]
    assert times[0] == times[1]
