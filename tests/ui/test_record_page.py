"""What was measured often enough is offered as the recipe's time, and saved as a revision of it."""

from __future__ import annotations

from datetime import timedelta

from scheduler.book import documents
from scheduler.book.documents import Change
from scheduler.book.opening import Book
from scheduler.book.plans import keep
from scheduler.book.record import Entry, enter
from scheduler.book.roles import Who
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, plan_of, plan_text, verdicts_of
from tests.ui.conftest import Opened, said

LABEL = "Use what was measured: 1 h 15 min"


def cooked(book: Book, chef: Who, text: str, weeks: int) -> None:
    """So many weeks in each of which the pea soup took an hour and a quarter, not 50 minutes."""
    plan = plan_of(text).plan
    week = documents.revision(book, chef, "week", "first-week").body
    assert week is not None
    for n in range(weeks):
        id = f"week-{n}"
        documents.save(book, chef, [Change("week", id, {**week, "id": id}, 0)])
        scenario = documents.scenario(book, chef, id)
        verdicts = verdicts_of(audit(scenario, plan))
        number = keep(book, chef, plan_text(plan, scenario, Made(), verdicts)).number
        for kind, minutes in (("started", 75), ("done", 0)):
            happened = book.clock() - timedelta(minutes=minutes)
            enter(book, chef, Entry(
                f"{kind}-{n}", id, "pea-soup.1", "pea-soup.1/cook", kind, {}, happened, number,
            ))  # fmt: skip


def test_ten_long_soups_change_the_recipe_when_the_chef_says_so(
    hung: Book, chef: Who, planned: tuple[Scenario, str], opened: Opened
) -> None:
    cooked(hung, chef, planned[1], 10)
    at = opened("record")
    assert not at.exception
    text = said(at).replace("\\", "")
    assert "1.5 times as long as planned (10 times, half of them between 1.5 and 1.5)" in text
    (button,) = (b for b in at.button if b.label == LABEL)
    before = documents.revision(hung, chef, "component", "pea-soup")
    button.click().run()
    after = documents.revision(hung, chef, "component", "pea-soup")
    assert after.number == before.number + 1
    assert after.body is not None
    assert after.body["steps"][0]["time"] in ("1 h 15 min", {"at_least": "1 h 15 min"})
    assert "the recipe has the time that was measured" in at.success[0].value


def test_nine_are_shown_and_not_offered(
    hung: Book, chef: Who, planned: tuple[Scenario, str], opened: Opened
) -> None:
    cooked(hung, chef, planned[1], 9)
    at = opened("record")
    assert at.dataframe[0].value["times"].tolist() == [9]
    assert [b.label for b in at.button if b.label.startswith("Use")] == []


def test_where_nothing_was_measured_it_says_how_it_would_be(hung: Book, opened: Opened) -> None:
    text = said(opened("record"))
    assert "That nothing is entered is not late" in text
    assert "Nothing is known yet" in text
