"""What a chef saves is there, whole and checked, and nobody's is lost to anybody else's."""

from __future__ import annotations

import copy
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from scheduler.book.documents import (
    Change,
    Newer,
    heads,
    history,
    kitchens,
    made_from,
    revision,
    save,
    scenario,
    weeks,
)
from scheduler.book.errors import BookError, InUse, NotAllowed, NotThere
from scheduler.book.opening import Book, open_book
from scheduler.book.roles import Role, Who
from scheduler.book.tables import wall
from scheduler.domain.problems import BadInput
from tests.book.kitchens import chef, document, new, parts

FIRST = document("first-week")
DEMO = document("demo")
ADA, BO = chef(FIRST), chef(FIRST, "bo")
WEEK = FIRST["week"]["id"]
SOUP = parts(FIRST)["component", "pea-soup"]


def soup(least: str = "50 min", **more: object) -> dict[str, object]:
    """The soup, cooked so long."""
    body = copy.deepcopy(SOUP) | more
    body["steps"][0]["time"] = {"at_least": least}
    return body


@pytest.fixture
def kept(book: Book) -> Book:
    """A book with the first week in it."""
    save(book, ADA, new(FIRST))
    return book


@pytest.mark.parametrize("written", [FIRST, DEMO], ids=["first", "demo"])
def test_what_was_saved_comes_back_as_the_same_week(book: Book, written: dict) -> None:  # type: ignore[type-arg]
    who, week = chef(written), written["week"]["id"]
    made = save(book, who, new(written))
    assert {r.number for r in made} == {1}
    read = scenario(book, who, week)
    assert parts(read.document()) == parts(written)
    assert scenario(book, who, week, made_from(book, who, week)) == read


def test_who_saved_what_and_when_is_known_for_good(address: str) -> None:
    moment = [datetime(2026, 5, 5, 4, 0, tzinfo=UTC)]
    with_clock = open_book(address, lambda: moment[0])
    save(with_clock, ADA, new(FIRST))
    moment[0] -= timedelta(days=1)  # The clock is set back.
    save(with_clock, BO, [Change("component", "pea-soup", soup("55 min"), 1)])
    told = [(r.number, r.who, r.at.day) for r in history(with_clock, ADA, "component", "pea-soup")]
    assert told == [(1, "ada", 5), (2, "bo", 4)]
    assert revision(with_clock, ADA, "component", "pea-soup").body == soup("55 min")
    assert revision(with_clock, ADA, "component", "pea-soup", 1).body == SOUP
    with pytest.raises(NotThere, match="no revision 3 of recipe pea-soup; the newest is 2"):
        revision(with_clock, ADA, "component", "pea-soup", 3)
    for read in (revision, history):
        with pytest.raises(NotThere, match=r"no recipe 'pea-sup'\. Maybe 'pea-soup'"):
            read(with_clock, ADA, "component", "pea-sup")
    with_clock.close()


def test_saving_the_same_again_makes_no_new_revision(kept: Book) -> None:
    again = save(kept, BO, [
        Change("component", "pea-soup", soup("50min"), 1), Change("week", WEEK, FIRST["week"], 0),
    ])  # fmt: skip
    assert [(r.number, r.who) for r in again] == [(1, "ada"), (1, "ada")]
    assert len(history(kept, ADA, "component", "pea-soup")) == 1


def test_two_who_save_over_one_another_lose_nothing(kept: Book) -> None:
    save(kept, BO, [Change("component", "pea-soup", soup("55 min"), 1)])
    mine = soup(allergens=["celery"])
    with pytest.raises(Newer) as refused:
        save(kept, ADA, [Change("component", "pea-soup", mine, 1)])
    (clash,) = refused.value.clashes
    assert clash.base is not None
    assert (clash.base.body, clash.theirs.body) == (SOUP, soup("55 min"))
    assert [d.says for d in clash.differences] == [
        "step cook, time: 55 min -> 50 min", "allergens added: celery",
    ]  # fmt: skip
    assert "recipe pea-soup was saved by bo (revision 2, " in str(refused.value)
    assert clash.merged.conflicts == ()
    again = Change("component", "pea-soup", clash.merged.body, clash.theirs.number)
    (saved,) = save(kept, ADA, [again])
    assert (saved.number, saved.body) == (3, soup("55 min", allergens=["celery"]))


def test_where_both_changed_the_same_somebody_must_choose(kept: Book) -> None:
    save(kept, BO, [Change("component", "pea-soup", soup("55 min"), 1)])
    with pytest.raises(Newer) as refused:
        save(kept, ADA, [Change("component", "pea-soup", soup("1 h"), 1)])
    merged = refused.value.clashes[0].merged
    assert [c.says for c in merged.conflicts] == [
        "step cook, time: 50 min before, 1 h by you, 55 min by the other"
    ]
    assert merged.body == soup("1 h")


def test_two_who_write_a_recipe_of_the_same_name_both_hear_of_it(kept: Book) -> None:
    with pytest.raises(Newer, match="after you began as new"):
        save(kept, ADA, [Change("component", "pea-soup", soup("1 h"), 0)])


def test_one_refused_document_keeps_back_the_whole_save(kept: Book) -> None:
    before = heads(kept, ADA)
    save(kept, BO, [Change("component", "pea-soup", soup("55 min"), 1)])
    cream = parts(FIRST)["component", "lemon-cream"] | {"makes": "50 portions"}
    with pytest.raises(Newer):
        save(kept, ADA, [
            Change("component", "lemon-cream", cream, 1),
            Change("component", "pea-soup", soup("1 h"), 1),
        ])  # fmt: skip
    after = heads(kept, ADA)
    assert {r.key for r in after if r not in before} == {("component", "pea-soup")}


def test_every_mistake_is_told_at_once_in_its_document(kept: Book) -> None:
    week = parts(FIRST)["week", WEEK]
    week["events"][0]["menu"][0]["dish"] = "cold-sup"
    wrong = soup("fifty")
    with pytest.raises(BadInput) as refused:
        save(kept, ADA, [
            Change("component", "pea-soup", wrong, 1), Change("week", WEEK, week, 1),
        ])  # fmt: skip
    told = str(refused.value)
    assert "recipe pea-soup, step cook, time, at_least: 'fifty' is not a duration" in told
    assert "event supper, menu cold-sup, dish: unknown dish 'cold-sup'. Maybe 'cold-soup'" in told
    assert {p.file for p in refused.value.problems} == {"recipe pea-soup", "week first-week"}
    assert len(history(kept, ADA, "week", WEEK)) == 1


def test_a_recipe_is_checked_with_the_week_in_which_it_is_edited(kept: Book) -> None:
    week, dish = parts(FIRST)["week", WEEK], parts(FIRST)["dish", "cold-soup"]
    week["on_hand"] = [{
        "id": "left-over", "component": "pea-soup", "quantity": "2 l", "store": "walk-in",
        "made": "2027-05-06 05:00",
    }]  # fmt: skip
    save(kept, ADA, [Change("week", WEEK, week, 1)])
    dish["takes"] = [{"component": "pea-soup", "amount": "1 portion"}]
    body: Any = soup(makes="30 portions")
    body["steps"][1]["on"] = [{"zone": "chilled", "per": "30 portions"}]
    body["keeps"] = [{"zone": "chilled", "at_most": "1 d", "per_shelf": "30 portions"}]
    portions = [Change("component", "pea-soup", body, 1), Change("dish", "cold-soup", dish, 1)]
    with pytest.raises(BadInput, match="left-over"):
        save(kept, ADA, portions, week=WEEK)
    save(kept, ADA, portions)  # For another week.
    with pytest.raises(BadInput, match="left-over"):
        scenario(kept, ADA, WEEK)


def test_a_recipe_that_only_another_week_needs_is_in_no_weeks_way(kept: Book) -> None:
    # In a folder it would be a mistake that no dish takes it.
    roast = copy.deepcopy(SOUP) | {"id": "lentil-soup"}
    wrong = copy.deepcopy(roast) | {"section": "attic"}
    with pytest.raises(BadInput, match="unknown section 'attic'"):
        save(kept, ADA, [Change("component", "lentil-soup", wrong, 0)], week=WEEK)
    save(kept, ADA, [Change("component", "lentil-soup", roast, 0)], week=WEEK)
    assert "lentil-soup" not in scenario(kept, ADA, WEEK).component
    other = parts(FIRST)["week", WEEK] | {"id": "may"}
    other["events"][0]["menu"][0]["diets"] = [
        {"id": "no-peas", "count": 3, "swap": {"pea-soup": "lentil-soup"}}
    ]
    save(kept, ADA, [Change("week", "may", other, 0)])
    assert "lentil-soup" in scenario(kept, ADA, "may").component
    assert "lentil-soup" not in scenario(kept, ADA, WEEK).component
    with pytest.raises(InUse, match="week may"):
        save(kept, ADA, [Change("component", "lentil-soup", None, 1)])


def test_a_new_kitchen_is_saved_before_it_has_recipes_or_a_week(book: Book) -> None:
    there = parts(FIRST)
    kitchen = there["kitchen", "corner-house"]
    save(book, ADA, [Change("kitchen", "corner-house", kitchen, 0)])
    save(book, ADA, [Change("component", "pea-soup", SOUP, 0)])
    with pytest.raises(BadInput, match="unknown component 'lamb-shoulder'"):
        save(book, ADA, [Change("dish", "lamb", there["dish", "lamb"], 0)])
    with pytest.raises(BadInput, match="unknown section"):
        save(book, ADA, [Change("component", "x", soup(id="x", section="attic"), 0)])
    assert [r.id for r in heads(book, ADA)] == ["pea-soup", "corner-house"]
    assert [k.id for k in kitchens(book, ADA)] == ["corner-house"]


def test_a_recipe_without_a_kitchen_is_refused(book: Book) -> None:
    with pytest.raises(NotThere, match="save it first"):
        save(book, ADA, [Change("component", "pea-soup", SOUP, 0)])
    assert kitchens(book, ADA) == ()


@pytest.mark.parametrize(
    ("kind", "id", "where"),
    [
        ("component", "pea-soup", r"dish cold-soup \(takes pea-soup\)"),
        ("component", "lamb-shoulder", r"dish lamb \(step warm, takes lamb-shoulder\)"),
        ("dish", "cold-soup", r"week first-week \(event supper, menu cold-soup\)"),
        ("kitchen", "corner-house", "6 recipes and 1 week"),
    ],
)
def test_what_is_in_use_is_not_thrown_out(kept: Book, kind: str, id: str, where: str) -> None:
    with pytest.raises(InUse, match=where):
        save(kept, ADA, [Change(kind, id, None, 1)])  # type: ignore[arg-type]
    assert len(history(kept, ADA, kind, id)) == 1  # type: ignore[arg-type]


def test_a_week_on_the_wall_is_not_thrown_out(kept: Book) -> None:
    from scheduler.book.tables import plans

    at = kept.clock()
    with kept.writing() as connection:
        plan = {
            "kitchen": "corner-house", "number": 7, "week": WEEK, "body": "{}", "sha256": "",
            "made_from": [], "valid": True, "served": True, "who": "ada", "at": at,
        }  # fmt: skip
        connection.execute(plans.insert(), plan)
        connection.execute(wall.insert(), {
            "kitchen": "corner-house", "week": WEEK, "place": 1, "number": 7, "up": at,
            "up_by": "ada",
        })  # fmt: skip
    with pytest.raises(InUse, match="plan 7 of it is on the wall"):
        save(kept, ADA, [Change("week", WEEK, None, 1)])


def test_what_was_thrown_out_can_be_brought_back(kept: Book) -> None:
    week = parts(FIRST)["week", WEEK]
    del week["events"][0]["menu"][0]
    gone = save(kept, ADA, [
        Change("week", WEEK, week, 1), Change("dish", "cold-soup", None, 1),
        Change("component", "pea-soup", None, 1),
    ])  # fmt: skip
    assert [(r.number, r.body is None) for r in gone] == [(2, False), (2, True), (2, True)]
    assert "pea-soup" not in {c.id for c in scenario(kept, ADA, WEEK).components}
    assert ("component", "pea-soup") not in {r.key for r in heads(kept, ADA)}
    with pytest.raises(Newer, match="thrown out by ada"):
        save(kept, BO, [Change("component", "pea-soup", soup("55 min"), 1)])
    dish = parts(FIRST)["dish", "cold-soup"]
    back = save(kept, BO, [
        Change("component", "pea-soup", soup("55 min"), 2), Change("dish", "cold-soup", dish, 0),
    ])  # fmt: skip
    assert [r.number for r in back] == [3, 3]
    assert [r.body is None for r in history(kept, ADA, "component", "pea-soup")] == [
        False, True, False,
    ]  # fmt: skip


def test_an_older_state_is_read_as_it_was(kept: Book) -> None:
    then, before = made_from(kept, ADA, WEEK), scenario(kept, ADA, WEEK)
    save(kept, BO, [Change("component", "pea-soup", soup("55 min"), 1)])
    assert scenario(kept, ADA, WEEK, [list(one) for one in then]) == before
    assert scenario(kept, ADA, WEEK) != before
    with pytest.raises(NotThere, match="no revision 9 of week first-week"):
        scenario(kept, ADA, WEEK, [*then[:-1], ("week", WEEK, 9)])


def test_weeks_are_listed_by_when_they_start(kept: Book) -> None:
    early = parts(FIRST)["week", WEEK] | {
        "id": "april", "starts": "2027-04-01 06:00", "plan_from": "2027-04-01 06:00",
    }  # fmt: skip
    save(kept, BO, [Change("week", "april", early, 0)])
    assert [(w.id, w.who, f"{w.starts:%d %b}") for w in weeks(kept, ADA)] == [
        ("april", "bo", "01 Apr"), ("first-week", "ada", "06 May"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ([Change("component", "pea-soup", SOUP, 4)], "no revision 4 of recipe pea-soup"),
        ([Change("component", "leek-soup", None, 0)], "no recipe leek-soup"),
        ([Change("component", "leek-soup", SOUP, 2)], "no recipe leek-soup"),
        ([Change("dish", "lamb", None, 1)] * 2, "stands twice in one save"),
        ([Change("kitchen", "attic", FIRST["kitchen"], 0)], "while you are in kitchen corner-h"),
    ],
)
def test_what_makes_no_sense_is_said_and_changes_nothing(
    kept: Book, changes: list[Change], says: str
) -> None:
    before = heads(kept, ADA, thrown_out=True)
    with pytest.raises(BookError, match=says):
        save(kept, ADA, changes)
    assert heads(kept, ADA, thrown_out=True) == before


@pytest.mark.parametrize(
    ("body", "says"),
    [
        (soup(id="leek-soup"), "'leek-soup' is saved as 'pea-soup'; a document keeps its id"),
        ([1], "lines of 'key: value' are expected here"),
        ({"id": "pea-soup", "name": "a\x07b"}, "a control character"),
        ({}, "'id' is missing"),
    ],
)
def test_a_body_that_is_none_is_refused(kept: Book, body: object, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        save(kept, ADA, [Change("component", "pea-soup", body, 1)])  # type: ignore[arg-type]


def test_a_week_that_is_not_there_is_named_with_the_one_that_was_meant(kept: Book) -> None:
    with pytest.raises(NotThere, match=r"no week 'frst-week'\. Maybe 'first-week'"):
        scenario(kept, ADA, "frst-week")
    with pytest.raises(NotThere, match="no week 'frst-week'"):
        save(kept, ADA, [Change("component", "pea-soup", soup("1 h"), 1)], week="frst-week")


def test_only_a_chef_saves_and_a_cook_sees_which_weeks_there_are(kept: Book) -> None:
    sous, cook = (Who("corner-house", "bo", role) for role in (Role.SOUS, Role.COOK))
    with pytest.raises(NotAllowed, match="to save changes to the kitchen, recipes and weeks"):
        save(kept, sous, [Change("component", "pea-soup", soup("1 h"), 1)])
    assert scenario(kept, sous, WEEK).week.id == WEEK
    assert len(weeks(kept, cook)) == 1


def test_one_kitchen_sees_nothing_of_another(kept: Book) -> None:
    save(kept, chef(DEMO), new(DEMO))
    assert {r.kitchen for r in heads(kept, ADA)} == {"corner-house"}
    assert len(heads(kept, ADA)) == len(new(FIRST))
    assert [k.id for k in kitchens(kept, ADA)] == ["banqueting", "corner-house"]
