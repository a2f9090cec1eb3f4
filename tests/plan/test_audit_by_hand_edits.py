"""Plans edited by hand: whatever is written in them is a finding and never a crash."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.base import Word
from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import RULES, audit
from scheduler.plan.model import Order, Plan, Terms
from tests.plan import tiny
from tests.plan.byhand import supper, task, week

LISTS = ("batches", "shares", "tasks", "holds", "duties", "missing", "unserved")
NUMBERS = st.one_of(
    st.integers(-3, 12),
    st.integers(-(10**4), 10**4).map(lambda n: n * 5),
    st.sampled_from([10**9, -(10**9), 2**70]),
)
WORDS = st.sampled_from(
    [
        "nobody",
        "plating",
        "oven",
        "tub-2",
        "walk-in",
        "ana",
        "pickles-a",
        "pickles",
        "butter-a",
        "lunch",
        "simmer",
        "dry",
        "stock.1",
        "lunch.broth-bowl",
        "stock.1/simmer",
        "breakfast/2026-03-03",
        "lunch.broth-bowl/plating",
    ]
)
AMOUNTS = st.builds(
    Quantity.of,
    st.one_of(st.integers(-5, 10**4), st.just(10**15), st.fractions(0, 100)),
    st.sampled_from(list(Dimension)),
)
KINDS = st.sampled_from(["wait", "share", "plated", "loads", "leftover", "spare"])
VISITS = st.sampled_from(["load", "hands", "tend", "add", "unload"])


def changed(draw: st.DrawFn, part: Any) -> Any:
    """One field of a part, or of something inside it, is anything of its type."""
    name = draw(st.sampled_from(sorted(type(part).model_fields)))
    value = getattr(part, name)
    new: Any
    if isinstance(value, tuple) and value and isinstance(value[0], Word):
        i = draw(st.integers(0, len(value) - 1))
        what = draw(st.sampled_from(["change", "drop", "twice"]))
        inner = {
            "change": lambda: (changed(draw, value[i]),),
            "drop": lambda: (),
            "twice": lambda: (value[i], value[i]),
        }[what]()
        new = (*value[:i], *inner, *value[i + 1 :])
    elif name in ("visits", "taken"):
        new = ()
    elif isinstance(value, tuple):
        new = tuple(draw(st.lists(NUMBERS if name == "served" else WORDS, max_size=3)))
    elif name == "bought":
        order = value or Order(order_by=0, packs=1, price=1)
        new = draw(st.sampled_from([None, changed(draw, order)]))
    elif isinstance(value, bool):
        new = not value
    elif isinstance(value, int):
        new = draw(NUMBERS)
    elif isinstance(value, Quantity):
        new = draw(AMOUNTS)
    elif name == "kind":
        new = draw(
            KINDS if value in ("wait", "share", "plated", "loads", "leftover", "spare") else VISITS
        )
    elif name == "bought":
        new = draw(st.none() | st.builds(Order, order_by=NUMBERS, packs=NUMBERS, price=NUMBERS))
    elif value is None and name in ("course", "wave", "celsius", "stopped", "resumed"):
        new = draw(NUMBERS)
    else:
        new = draw(WORDS)
    return part.model_copy(update={name: new})


@st.composite
def edits(draw: st.DrawFn, plan: Plan) -> Plan:
    """A plan with one to four changes."""
    for _ in range(draw(st.integers(1, 4))):
        name = draw(st.sampled_from([n for n in LISTS if getattr(plan, n)]))
        parts = getattr(plan, name)
        i = draw(st.integers(0, len(parts) - 1))
        what = draw(st.sampled_from(["change", "change", "change", "drop", "twice"]))
        new = (
            (changed(draw, parts[i]),) if what == "change" else (parts[i],) * (what == "twice") * 2
        )
        plan = plan.model_copy(update={name: (*parts[:i], *new, *parts[i + 1 :])})
    return plan


@settings(
    max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_any_edit_of_a_plan_can_be_read(
    data: st.DataObject, rich_week: Scenario, rich_plan: Plan
) -> None:
    found = audit(rich_week, data.draw(edits(rich_plan)))
    for finding in found.findings:
        assert finding.rule in RULES
        assert finding.where and finding.what


@settings(max_examples=100, deadline=None)
@given(data=st.data())
def test_any_edit_of_a_small_plan_can_be_read(data: st.DataObject) -> None:
    made = week()
    audit(made, data.draw(edits(supper(made, task("soup.1/cook", "Tue 12:00")))))


def test_an_empty_plan_serves_nobody() -> None:
    made = tiny.scenario()
    nothing = Plan(batches=(), shares=(), tasks=(), terms=Terms(served=(36,), quality=0))
    found = audit(made, nothing)
    assert found.rules() == {"menu"}
    assert not found.served
    assert found.terms == nothing.terms


def test_a_plan_of_another_week_is_refused(rich_week: Scenario) -> None:
    found = audit(rich_week, tiny.plan())
    assert not found.valid
    assert {"known", "menu", "begun", "duty"} <= found.rules()


@pytest.mark.parametrize("minute", [10**15, -(10**15)])
def test_a_minute_beyond_all_calendars_is_still_reported(minute: int) -> None:
    made = week()
    far = supper(made, task("soup.1/cook", minute))
    assert {"inside-the-week"} <= audit(made, far).rules()
