"""A pan with settings that is cleaned between two contents: a residue and a setting at once."""

from __future__ import annotations

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from tests.weeks.checks import finds_no_place, served, task
from tests.weeks.tiny import DAY, EVE, Document, component, cook, in_oven, keep, oven, step, week_of


def in_a_pan(
    clean: Document | None, second: int = 180, plan_from: str = f"{EVE} 00:00",
    kitchen: Document | None = None,
) -> Document:
    """Fish, then cakes, an hour each in one tilting pan; cakes are for a guest without fish.

    It heats and cools by 10 °C a minute from 20 °C.
    """
    pan = oven("pan", 1)
    if clean is not None:
        pan["clean_down"] = clean
    made = [
        component(name, step("fry", "60 min", on=[in_oven(at, name="pan")]), allergens=words,
                  keeps=keep("24 h", "chilled", **more))
        for name, at, words, more in (
            ("fish", 180, ["fish"], {"not_before": "4 h"}), ("cakes", second, [], {}),
        )
    ]  # fmt: skip
    return week_of(
        *made, equipment=[pan], people=[cook("ana")], week={"plan_from": plan_from},
        kitchen={"grid": "10 min", **(kitchen or {})},
    )  # fmt: skip


SCRUB: Document = {"time": "20 min", "between": "allergens", "hands": [{"section": "stove"}]}


@pytest.mark.parametrize(("second", "gap"), [(180, 40), (140, 40), (240, 50)])
def test_a_pan_is_scrubbed_cold_and_heats_up_again(second: int, gap: int) -> None:
    """20 min of cleaning, and from cold 16, 12 or 22 min, on a grid of ten."""
    plan = served(in_a_pan(SCRUB, second))
    (done,) = plan.clean_downs
    fish, cakes = task(plan, "fish.1/fry"), task(plan, "cakes.1/fry")
    assert (done.start, done.end - done.start, done.people) == (fish.end, 20, ("ana",))
    assert cakes.start - fish.end >= gap
    assert [t.taken[0].celsius for t in (fish, cakes)] == [180, second]


def test_without_a_clean_down_nothing_lies_between_but_the_change_of_setting() -> None:
    """The same two settings, with just the time for both: 60 + 60 min; cleaned they need 160."""
    tight = {"plan_from": f"{DAY} 11:40"}
    for document in (in_a_pan(None, **tight), in_a_pan({**SCRUB, "between": "contents"}, **tight)):
        document["components"][0]["keeps"] = [keep("24 h", "chilled", not_before="5 h")]
        document["components"][1]["keeps"] = [keep("24 h", "chilled", not_before="3 h 40 min")]
        if "clean_down" in document["kitchen"]["equipment"][0]:
            finds_no_place(document, "fish.1", "cakes.1")
        else:
            served(document)


def test_the_second_reader_wants_the_pan_cleaned_and_hot_again() -> None:
    document = in_a_pan(SCRUB)
    scenario, plan = scenario_of(document), served(document)
    assert not audit(scenario, plan).findings
    without = plan.model_copy(update={"clean_downs": ()})
    assert "clean-down" in audit(scenario, without).rules()
    fish, cakes = task(plan, "fish.1/fry"), task(plan, "cakes.1/fry")
    close = fish.end + 20 - cakes.start
    moved = cakes.model_copy(update={
        "start": cakes.start + close, "end": cakes.end + close,
        "law_start": cakes.law_start + close, "law_end": cakes.law_end + close,
        "taken": tuple(t.model_copy(update={"start": t.start + close, "end": t.end + close})
                       for t in cakes.taken),
    })  # fmt: skip
    tasks = tuple(moved if t.id == cakes.id else t for t in plan.tasks)
    found = audit(scenario, plan.model_copy(update={"tasks": tasks}))
    assert any(f.rule == "oven-heat-up" and "cleaned, and then to 180 °C" in f.what
               for f in found.findings)  # fmt: skip


def test_a_pan_at_one_setting_that_is_cleaned_has_not_changed_its_setting() -> None:
    """Calm pays for changes of a setting; cleaning in between is none."""
    price = {"calm": {"oven_change": 100}}
    assert served(in_a_pan(SCRUB, 180, kitchen=price)).terms.quality < 100
