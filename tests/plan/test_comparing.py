"""Two plans side by side: what a sous chef has to tell whom, and nothing else."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.scenario import Scenario
from scheduler.plan.changes import BatchChange, Comparison, JobChange
from scheduler.plan.comparing import compare
from scheduler.plan.file import Made, PlanFile, Verdicts
from scheduler.plan.model import Missing, Order, Plan, PlannedTask, Unserved
from scheduler.plan.pairing import reordered
from tests.plan import byhand, tiny


def file(scenario: Scenario, plan: Plan) -> PlanFile:
    return PlanFile(scenario, plan, Made(), Verdicts(valid=True, served=True))


def simmered(later: int = 0, who: str = "ada", **more: Any) -> Plan:
    """The tiny plan with its soup so much later, by somebody."""
    plan = tiny.plan()
    soup = plan.tasks[0]
    visit = soup.visits[0]
    visit = visit.model_copy(
        update={"start": visit.start + later, "end": visit.end + later, "people": (who,)}
    )
    used = soup.taken[0].model_copy(
        update={"start": soup.start + later, "end": soup.end + later} | more
    )
    times = {k: getattr(soup, k) + later for k in ("start", "law_start", "law_end", "end")}
    soup = soup.model_copy(update=times | {"visits": (visit,), "taken": (used,)})
    hold = plan.holds[0].model_copy(update={"start": soup.end})
    return plan.model_copy(update={"tasks": (soup, plan.tasks[1]), "holds": (hold,)})


def against(new: Plan, scenario: Scenario | None = None, old: Plan | None = None) -> Comparison:
    first = tiny.scenario()
    return compare(file(first, old or tiny.plan()), file(scenario or first, new))


def only(found: Comparison) -> JobChange:
    """The one job that changes, for one person."""
    assert [len(p.jobs) for p in found.people] == [1]
    return found.people[0].jobs[0]


def batch_of(found: Comparison, batch: str) -> BatchChange:
    return next(b for b in found.batches if b.batch == batch)


def test_the_same_plan_is_told_to_nobody() -> None:
    found = against(tiny.plan())
    assert found.same
    assert found.headline == "Nothing moves."
    assert (found.people, found.batches) == ((), ())
    assert [e.said for e in found.events] == [""]
    assert found.figures
    assert not any(f.changed or f.better is not None for f in found.figures)


def test_ten_minutes_in_the_same_order_are_told_to_nobody() -> None:
    found = against(simmered(10))
    assert found.headline == "Nothing moves; Supper has 1 h 35 min in hand instead of 1 h 45 min."
    assert found.people == ()
    assert found.batches == ()


def test_a_quarter_of_an_hour_is_told() -> None:
    found = against(simmered(15))
    assert found.headline == "Nothing moves but Barley soup, 9 l: fill 15 min later."
    job = only(found)
    assert (job.kind, job.later, job.task) == ("moved", 15, "soup.1/simmer")
    assert job.said == (
        "Barley soup, 9 l: fill: 15 min later, Fri 4 Dec 14:15 instead of 14:00"
    )
    (step,) = batch_of(found, "soup.1").steps
    assert (step.task, step.later) == ("soup.1/simmer", 15)
    assert found.events[0].in_hand == (105, 90)


def test_an_hour_earlier_is_said_as_earlier() -> None:
    found = against(simmered(-60))
    assert found.headline == "Nothing moves but Barley soup, 9 l: fill 1 h earlier."
    assert only(found).later == -60


def test_two_short_jobs_that_change_places_are_told_though_they_move_little() -> None:
    """Ten minutes each: peel and then wash becomes wash and then peel."""
    scenario = byhand.week(
        byhand.component("soup", byhand.step("peel", "10 min", hands=[{"people": 1}])),
        byhand.component("salad", byhand.step("wash", "10 min", hands=[{"people": 1}])),
        dishes=[
            byhand.dish(
                {"component": "soup", "amount": "100 g"}, {"component": "salad", "amount": "100 g"}
            )
        ],
    )

    def made(soup: str, salad: str) -> Plan:
        tasks = [
            byhand.task(name, at, 10, hands=("ana",))
            for name, at in (("soup.1/peel", soup), ("salad.1/wash", salad))
        ]
        return byhand.plan(
            scenario,
            *tasks,
            byhand.plating(),
            batches=[byhand.batch("soup.1"), byhand.batch("salad.1"), byhand.bowls()],
            shares=[byhand.share(), byhand.share("salad.1")],
        )

    found = compare(
        file(scenario, made("Tue 15:00", "Tue 15:10")),
        file(scenario, made("Tue 15:10", "Tue 15:00")),
    )
    ((job,),) = [p.jobs for p in found.people]
    assert job.kind == "moved"
    assert job.said.endswith("in another order")
    assert abs(job.later) == 10


def test_what_goes_to_somebody_else_is_told_to_both() -> None:
    document = deepcopy(tiny.DOCUMENT)
    bob = deepcopy(document["kitchen"]["people"][0]) | {"id": "bob", "name": "Bob"}
    document["kitchen"]["people"].append(bob)
    found = against(simmered(0, "bob"), tiny.scenario(document))
    told = {p.person: (p.jobs[0].kind, p.jobs[0].others, p.jobs[0].said) for p in found.people}
    assert told == {
        "ada": (
            "given", ("bob",), "Barley soup, 9 l: fill, Fri 4 Dec 14:00: goes to Bob",
        ),
        "bob": (
            "taken", ("ada",), "Barley soup, 9 l: fill, Fri 4 Dec 14:00: taken over from Ada",
        ),
    }  # fmt: skip
    assert found.headline == "Nothing moves but Barley soup, 9 l: fill goes from Ada to Bob."


def test_another_kettle_is_told() -> None:
    document = deepcopy(tiny.DOCUMENT)
    document["kitchen"]["equipment"].append({"id": "cauldron", "fill": "30 l"})
    found = against(simmered(0, unit="cauldron"), tiny.scenario(document))
    assert only(found).kind == "elsewhere"
    assert only(found).said == (
        "Barley soup, 9 l: fill, Fri 4 Dec 14:00: cauldron instead of kettle"
    )
    assert batch_of(found, "soup.1").steps[0].units == (("kettle",), ("cauldron",))


def test_more_guests_are_said_with_the_amounts_that_follow() -> None:
    """Forty bowls of a quarter of a litre are 10 l."""
    document = deepcopy(tiny.DOCUMENT)
    document["week"]["events"][0]["guests"] = 40
    plan = tiny.plan()
    ten = {"quantity": "10 l"}
    batches = (
        type(plan.batches[0]).model_validate(plan.batches[0].model_dump() | ten | {"good": "10 l"}),
        plan.batches[1],
    )
    soup = PlannedTask.model_validate(plan.tasks[0].model_dump() | ten)
    changed = plan.model_copy(update={"batches": batches, "tasks": (soup, plan.tasks[1])})
    found = against(changed, tiny.scenario(document))
    assert found.events[0].said == "has 40 guests instead of 36"
    assert batch_of(found, "soup.1").said == "Barley soup: 10 l instead of 9 l"
    assert only(found).kind == "amount"
    assert only(found).said.endswith("instead of 9 l")


def test_a_week_that_opens_earlier_moves_nothing() -> None:
    """Times of two plans are held against each other by the wall clock."""
    document = deepcopy(tiny.DOCUMENT)
    document["week"]["starts"] = "2026-12-02 00:00"
    plan = tiny.plan()

    def later(value: Any) -> Any:
        if isinstance(value, dict):
            minutes = {"start", "end", "law_start", "law_end"}
            return {k: v + 1440 if k in minutes else later(v) for k, v in value.items()}
        return [later(v) for v in value] if isinstance(value, list | tuple) else value

    shifted = Plan.model_validate(later(plan.model_dump()))
    assert against(shifted, tiny.scenario(document)).same


def test_what_is_over_is_not_told_as_gone() -> None:
    """Planned anew from 17:00: the soup is made, and its filling is nobody's news."""
    document = deepcopy(tiny.DOCUMENT)
    document["week"]["plan_from"] = "2026-12-04 17:00"
    plan = tiny.plan()
    rest = plan.model_copy(update={"tasks": plan.tasks[1:]})
    found = against(rest, tiny.scenario(document))
    assert found.people == ()
    assert found.batches == ()


def test_who_goes_short_comes_before_everything_that_moves() -> None:
    plan = tiny.plan()
    without = plan.model_copy(
        update={
            "tasks": plan.tasks[1:],
            "missing": (Missing(batch="soup.1", why="no kettle"),),
            "unserved": (
                Unserved(
                    batch="supper.bowl", event="supper", dish="bowl", portions=36, lacks=("soup",)
                ),
            ),
        }
    )
    found = against(without)
    first = "Supper goes short of 36 portions; nothing moves but no longer"
    assert found.headline.startswith(first)
    assert only(found).kind == "gone"
    assert batch_of(found, "soup.1").kind == "left out"
    back = compare(file(tiny.scenario(), without), file(tiny.scenario(), plan))
    assert back.headline.startswith("Supper is served now; ")
    assert only(back).kind == "new"
    assert batch_of(back, "soup.1").kind == "placed"
    assert back.events[0].said.startswith("is served instead of short of 36")


def test_bought_in_instead_of_made_is_said() -> None:
    plan = tiny.plan()
    order = Order(order_by=0, packs=1, price=40)
    bought = plan.batches[0].model_copy(update={"bought": order})
    found = against(plan.model_copy(update={"batches": (bought, plan.batches[1])}))
    change = batch_of(found, "soup.1")
    assert change.method == ("its own steps", "bought in")
    assert change.said == "Barley soup: bought in instead of its own steps"
    money = next(f for f in found.figures if f.name.startswith("bought in"))
    assert (money.before, money.after, money.better) == ("0", "40", False)


def test_an_event_called_off_and_a_new_one_are_said() -> None:
    document = deepcopy(tiny.DOCUMENT)
    document["week"]["events"][0] |= {"id": "lunch", "name": "Lunch"}
    found = against(tiny.plan(), tiny.scenario(document))
    assert {e.event: e.said for e in found.events} == {
        "supper": "is called off",
        "lunch": "is new, 36 guests",
    }


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), max_size=12))
def test_only_what_leaves_its_place_in_the_row_is_told(times: list[tuple[int, int]]) -> None:
    """What is kept is in the same order in both plans, and nothing less would do."""
    starts = dict(enumerate(times))
    changed = reordered(starts)
    kept = [k for k in starts if k not in changed]
    turned = [
        (a, b) for a in starts for b in starts
        if starts[a][0] < starts[b][0] and starts[a][1] > starts[b][1]
    ]  # fmt: skip
    assert not [(a, b) for a, b in turned if a in kept and b in kept]
    assert bool(changed) == bool(turned)
    for one in changed:
        assert any(one in pair and set(pair) & set(kept) for pair in turned)


def test_two_plans_of_a_rich_week_are_each_other_turned_round(
    rich_week: Scenario, rich_plan: Plan
) -> None:
    """What is new one way is gone the other way; a plan is the same as itself."""
    one = file(rich_week, rich_plan)
    some = tuple(t for t in rich_plan.tasks if t.batch != rich_plan.tasks[0].batch)
    other = file(rich_week, rich_plan.model_copy(update={"tasks": some}))
    assert compare(one, one).same
    there, back = compare(one, other), compare(other, one)
    kinds = [sorted(j.key for p in c.people for j in p.jobs if j.kind == k)
             for c, k in ((there, "gone"), (back, "new"))]  # fmt: skip
    assert kinds[0] == kinds[1] != []
