"""What changed is said entry by entry, nothing is lost on the way, and two edits become one."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.book.differences import Order, applied, differences, merged
from scheduler.book.matching import same
from tests.book.kitchens import document, parts

DEMO = parts(document("demo"))
CHEEKS: dict[str, Any] = {
    "id": "cheeks",
    "section": "sauce",
    "allergens": ["celery"],
    "steps": [
        {"id": "cure", "time": {"at_least": "12 h"}},
        {"id": "braise", "time": {"at_least": "3 h"}, "hands": [{"people": 1}, {"people": 2}]},
        {"id": "press", "time": {"at_least": "8 h"}},
    ],
}
WEEK: dict[str, Any] = {
    "id": "gala",
    "events": [
        {"id": "dinner", "guests": 120, "menu": [{"dish": "stew"}, {"dish": "tart", "per": 2}]}
    ],
}
KITCHEN: dict[str, Any] = {
    "id": "hof",
    "people": [
        {"id": "ada", "shifts": [{"days": ["mon"], "hours": "08:00-16:00"}], "off": ["2027-05-06"]},
        {"id": "bo", "shifts": [{"days": ["tue"], "hours": "08:00-16:00"}]},
    ],
}


def edited(body: dict[str, Any], *edits: Any) -> dict[str, Any]:
    """A copy on which somebody has been at work."""
    made = copy.deepcopy(body)
    for edit in edits:
        edit(made)
    return made


def told(old: Any, new: Any, of: str = "") -> list[str]:
    return [d.says for d in differences(old, new, of)]


SENTENCES: list[tuple[dict[str, Any], Any, list[str]]] = [
    (CHEEKS, lambda c: c["steps"][1]["time"].update(at_least="4 h"),
     ["recipe cheeks, step braise, time: 3 h -> 4 h"]),
    (CHEEKS, lambda c: c["steps"][1]["time"].update(at_most="5 h"),
     ["recipe cheeks, step braise, time, at most: left out -> 5 h"]),
    (CHEEKS, lambda c: c["steps"].insert(1, {"id": "sear", "time": {"at_least": "20 min"}}),
     ["recipe cheeks, step sear added"]),
    (CHEEKS, lambda c: c["steps"].pop(0), ["recipe cheeks, step cure taken out"]),
    (CHEEKS, lambda c: c["steps"].reverse(),
     ["recipe cheeks, steps, order: cure, braise, press -> press, braise, cure"]),
    (CHEEKS, lambda c: c["steps"][1]["hands"][1].update(people=3),
     ["recipe cheeks, step braise, hands 2, people: 2 -> 3"]),
    (CHEEKS, lambda c: c["allergens"].append("mustard"),
     ["recipe cheeks, allergens mustard added"]),
    (WEEK, lambda w: w["events"][0]["menu"][1].update(per=3),
     ["recipe cheeks, event dinner, menu tart, per: 2 -> 3"]),
    (WEEK, lambda w: w["events"][0]["menu"].pop(0),
     ["recipe cheeks, event dinner, menu stew taken out"]),
    (KITCHEN, lambda k: k["people"][0]["shifts"][0].update(hours="09:00-17:00"),
     ["recipe cheeks, person ada, shift 1, hours: 08:00-16:00 -> 09:00-17:00"]),
    (KITCHEN, lambda k: k["people"][1].pop("shifts"),
     ["recipe cheeks, person bo, shifts taken out: (days tue, hours 08:00-16:00)"]),
    (KITCHEN, lambda k: k.update(grid="10 min"), ["recipe cheeks, grid: left out -> 10 min"]),
]  # fmt: skip


@pytest.mark.parametrize(("body", "edit", "says"), SENTENCES)
def test_a_chef_reads_what_changed(body: dict[str, Any], edit: Any, says: list[str]) -> None:
    assert told(body, edited(body, edit), "recipe cheeks") == says


def test_a_new_document_and_one_thrown_out_are_one_difference_each() -> None:
    assert told(None, CHEEKS, "recipe cheeks") == ["recipe cheeks: new"]
    assert told(CHEEKS, None, "recipe cheeks") == ["recipe cheeks: thrown out"]


def test_true_is_not_one() -> None:
    assert len(differences({"a": 1}, {"a": True})) == len(differences({"a": 1}, {"a": 1.0})) == 1


scalars = st.one_of(st.none(), st.booleans(), st.integers(0, 3), st.sampled_from("abc"))
words = st.sampled_from(["id", "dish", "component", "state", "equipment", "steps", "time", "on"])
plain = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(words, inner, max_size=3),
        st.lists(st.builds(lambda i, d: {**d, "id": i}, st.sampled_from("abcd"),
                           st.dictionaries(words, inner, max_size=2)), max_size=4),
    ),
    max_leaves=12,
)  # fmt: skip
bodies = st.dictionaries(words, plain, max_size=4)
recipes = st.builds(
    lambda steps, order, allergens: {
        "id": "cheeks",
        "steps": [{"id": i, "time": {"at_least": steps[i]}} for i in order if i in steps],
        "allergens": sorted(allergens),
    },
    st.dictionaries(st.sampled_from("abcde"), st.integers(1, 3), max_size=5),
    st.permutations("abcde"),
    st.sets(st.sampled_from(["egg", "milk", "soy"])),
)
documents = st.one_of(bodies, recipes)


@given(documents, documents)
@settings(max_examples=150, deadline=None)
def test_nothing_is_lost_between_two_versions(old: Any, new: Any) -> None:
    found = differences(old, new)
    assert (found == ()) == same(old, new)
    assert same(applied(old, found), new)
    assert all(d.says for d in found)


@given(documents)
def test_the_same_document_has_no_differences(body: Any) -> None:
    assert differences(body, copy.deepcopy(body)) == ()


@given(documents, documents)
@settings(max_examples=100, deadline=None)
def test_what_only_one_has_changed_is_theirs(base: Any, x: Any) -> None:
    for both in (merged(base, x, base), merged(base, base, x), merged(base, x, x)):
        assert same(both.body, x)
        assert both.conflicts == ()


@given(documents, documents, documents)
@settings(max_examples=150, deadline=None)
def test_nobodys_change_is_dropped_unsaid(base: Any, mine: Any, theirs: Any) -> None:
    one, other = merged(base, mine, theirs), merged(base, theirs, mine)
    assert bool(one.conflicts) == bool(other.conflicts)
    assert all(c.says for c in one.conflicts)
    if not one.conflicts:  # Then each change of a plain value by either is in it.
        for side in (mine, theirs):
            for change in differences(base, side):
                plain = not isinstance(change.old, (list, Order))
                plain = plain and not isinstance(change.new, list)  # both may have begun it
                if all(isinstance(p, str) for p in change.path) and plain:
                    assert same(_at(one.body, change.path), _at(side, change.path))


def _at(body: Any, path: Any) -> Any:
    for part in path:
        body = body.get(part) if isinstance(body, dict) else None
    return body


@given(recipes, st.data())
@settings(max_examples=100, deadline=None)
def test_edits_of_different_steps_are_both_in_it(base: Any, data: st.DataObject) -> None:
    ids = [s["id"] for s in base["steps"]]
    ours = set(data.draw(st.lists(st.sampled_from(ids or ["a"]), unique=True)))
    kept = [i for i in ids if i in ours], [i for i in ids if i not in ours]

    def work(body: Any, mine: list[str], new: str) -> dict[str, Any]:
        made = copy.deepcopy(body)
        for step in [s for s in made["steps"] if s["id"] in mine]:
            if data.draw(st.booleans()):
                step["time"]["at_least"] += 10
            else:
                made["steps"].remove(step)
        if data.draw(st.booleans()):
            place = data.draw(st.integers(0, len(made["steps"])))
            made["steps"].insert(place, {"id": new, "time": {"at_least": 1}})
        return made

    mine, theirs = work(base, kept[0], "mine"), work(base, kept[1], "theirs")
    both = merged(base, mine, theirs)
    assert both.conflicts == ()
    has = {s["id"]: s for s in both.body["steps"]}
    for side, own, other in ((mine, kept[0], "theirs"), (theirs, kept[1], "mine")):
        there = {s["id"]: s for s in side["steps"]}
        assert all(has.get(i) == there.get(i) for i in own)
        line = [s["id"] for s in side["steps"] if s["id"] in has]
        assert [i for i in (s["id"] for s in both.body["steps"]) if i in line] == line
        assert has.keys() <= there.keys() | set(ids) | {other}


MERGES: list[tuple[dict[str, Any], Any, Any, list[str]]] = [
    (KITCHEN, lambda k: k["people"][0]["off"].append("2027-05-07"),
     lambda k: k["people"][0]["off"].insert(0, "2027-05-05"), []),
    (KITCHEN, lambda k: k["people"][0].update(off=["2027-05-07"]),
     lambda k: k["people"][0].update(off=["2027-05-08"]), ["person ada, off"]),
    (KITCHEN, lambda k: k["people"][0]["shifts"][0].update(days=["tue"]),
     lambda k: k["people"][0]["shifts"][0].update(hours="09:00-17:00"), ["person ada, shift 1"]),
    (KITCHEN, lambda k: k["people"][0]["shifts"].clear(),
     lambda k: k["people"][0]["shifts"][0].update(hours="09:00-17:00"), ["person ada, shifts"]),
    (KITCHEN, lambda k: k["people"].pop(1),
     lambda k: k["people"][1]["shifts"][0].update(hours="09:00-17:00"), ["person bo"]),
    (CHEEKS, lambda c: c["steps"].reverse(), lambda c: c["steps"].insert(1, {"id": "sear"}), []),
    (CHEEKS, lambda c: c["steps"].reverse(),
     lambda c: c["steps"].insert(0, c["steps"].pop(1)), ["steps, order"]),
    (WEEK, lambda w: w["events"][0]["menu"].append({"dish": "soup"}),
     lambda w: w["events"][0]["menu"].append({"dish": "soup", "per": 2}),
     ["event dinner, menu soup"]),
]  # fmt: skip


@pytest.mark.parametrize(("base", "mine", "theirs", "where"), MERGES)
def test_two_edits_are_put_together_or_the_place_is_named(
    base: dict[str, Any], mine: Any, theirs: Any, where: list[str]
) -> None:
    both = merged(base, edited(base, mine), edited(base, theirs))
    assert [c.says.partition(":")[0] for c in both.conflicts] == where
    if not where:
        assert both.body != base
        assert len(differences(base, both.body)) == 2


def test_a_list_that_both_have_begun_holds_what_both_put_into_it() -> None:
    base = {"id": "soup"}
    mine, theirs = base | {"leaves": ["pea"]}, base | {"leaves": ["celery"]}
    both = merged(base, mine, theirs)
    assert both.conflicts == ()
    assert both.body == base | {"leaves": ["celery", "pea"]} or (
        both.body == base | {"leaves": ["pea", "celery"]}
    )


@pytest.mark.parametrize("key", sorted(DEMO), ids=lambda key: "-".join(key))
def test_two_edits_of_a_document_of_the_demo_become_one(key: tuple[str, str]) -> None:
    base = DEMO[key]  # type: ignore[index]
    mine, theirs = edited(base, lambda b: b.update(name="Mine")), copy.deepcopy(base)
    changed = 0
    for step in theirs.get("steps", ()):
        step["name"], changed = "Theirs", changed + 1
    both = merged(base, mine, theirs)
    assert both.conflicts == ()
    assert len(differences(base, both.body)) == changed + 1
    assert same(applied(base, differences(base, both.body)), both.body)
