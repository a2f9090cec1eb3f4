"""The chart: what is looked at is kept, a job opens, and what is tried by hand is answered."""

from __future__ import annotations

from datetime import timedelta

import pytest
from streamlit.testing.v1 import AppTest

from scheduler.book import plans
from scheduler.book.kept import kept
from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.domain.scenario import Scenario
from scheduler.plan.file import PlanFile, plan_of
from scheduler.plan.words import Names
from tests.ui.conftest import Opened, said
from ui.trying import Try, as_it_is, as_kept, tried, units_for


@pytest.fixture(scope="module")
def file(planned: tuple[Scenario, str]) -> PlanFile:
    return plan_of(planned[1])


@pytest.fixture(scope="module")
def names(file: PlanFile) -> Names:
    return Names(file.scenario, file.plan)


def address(at: AppTest, key: str) -> str:
    """What the address says; a list where the test said it, a text where the app did."""
    value = at.query_params[key]
    return value[0] if isinstance(value, list) else str(value)


def with_hands(file: PlanFile) -> str:
    """A task of hands that begins after planning does."""
    now = file.scenario.clock.minute(file.scenario.week.plan_from)
    return next(t.id for t in file.plan.tasks if t.visits and t.start > now + 60)


def sound(file: PlanFile) -> Try:
    """A move that breaks nothing."""
    for task in file.plan.tasks:
        for minutes in (-15, 15, -60, 60):
            one = Try(task.id, start=task.start + minutes)
            try:
                found = tried(file, one)
            except ValueError:
                continue
            if found.answer.verdict == "fine":
                return one
    raise AssertionError("nothing in this plan can be moved")


def broken(file: PlanFile) -> Try:
    """A move that breaks something."""
    for task in file.plan.tasks:
        one = Try(task.id, start=task.start + 24 * 60)
        try:
            if tried(file, one).answer.verdict == "broken":
                return one
        except ValueError:
            continue
    raise AssertionError("everything may be a day later")


def test_what_is_looked_at_stands_in_the_address(hung: Book, opened: Opened) -> None:
    at = opened("chart", rows="person", length="all", kinds="hands.waits")
    assert not at.exception
    assert at.selectbox(key="pick-rows").value == "person"
    assert at.segmented_control(key="pick-length").value == "all"
    assert at.pills(key="pick-kinds").value == ["hands", "waits"]
    at.selectbox(key="pick-rows").set_value("equipment").run()
    at.pills(key="pick-kinds").set_value(["waits"]).run()
    assert (address(at, "rows"), address(at, "kinds")) == ("equipment", "waits")


def test_nonsense_in_the_address_shows_the_usual(hung: Book, opened: Opened) -> None:
    at = opened("chart", rows="colour", length="ever", day="2026-02-31", kinds="x", task="nobody")
    assert not at.exception
    assert not at.error
    assert at.selectbox(key="pick-rows").value == "section"
    assert at.segmented_control(key="pick-length").value == "day"


def test_the_list_says_what_the_chart_shows(
    hung: Book, opened: Opened, file: PlanFile, names: Names
) -> None:
    at = opened("chart", view="list", length="all", rows="person", kinds="hands")
    table = at.dataframe[0].value
    visits = [(v, p) for t in file.plan.tasks for v in t.visits for p in v.people]
    assert len(table) == len(visits)
    first = min(v.start for v, _ in visits)
    assert table["From"][0] == names.moment(first)
    assert set(table["Kind"]) == {"hands at work"}


def test_a_job_that_is_chosen_opens_with_what_it_hangs_on(
    hung: Book, opened: Opened, file: PlanFile
) -> None:
    task = with_hands(file)
    at = opened("chart", length="all")
    assert "Comes before it" not in said(at)
    at.selectbox(key="chart-job").set_value(task).run()
    assert address(at, "task") == task
    text = said(at)
    assert "Comes before it" in text
    assert "Comes after it" in text
    assert "Holds it where it is" in text


def test_a_click_opens_a_job_and_a_bar_of_several_jobs_its_day(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As Streamlit tells of a click: the points, empty where a mark is taken away again."""
    from ui import chart, job

    address: dict[str, object] = {}
    state: dict[str, object] = {"pick-length": "all"}
    for module in (chart, job):
        monkeypatch.setattr(module, "choose", address.__setitem__)
    monkeypatch.setattr(job, "forget", lambda: None)
    monkeypatch.setattr(chart.st, "session_state", state)

    def click(*points: dict[str, object]) -> None:
        state["chart-0"] = {"selection": {"points": list(points)}}
        chart.clicked("chart-0")

    click()
    assert address == {}
    click({"customdata": ["soup.1/boil", "2026-12-05"]})
    assert address == {"task": "soup.1/boil"}
    click({"customdata": ["", "2026-12-05"]})
    assert (address["day"], address["length"]) == ("2026-12-05", "day")
    assert state["pick-day"] == "2026-12-05"


def test_a_sound_move_is_answered_and_kept_as_a_new_plan_and_the_old_one_stays(
    hung: Book, chef: Who, opened: Opened, file: PlanFile
) -> None:
    one = sound(file)
    at = opened("chart", task=one.task)
    at.segmented_control(key="hand-way").set_value("move").run()
    assert one.start is not None
    by = one.start - next(t.start for t in file.plan.tasks if t.id == one.task)
    at.button(key=f"hand-by{by}").click().run()
    assert at.success[0].value.startswith("Fine")
    at.button(key="hand-new").click().run()
    assert not at.error
    before, after = plans.plans_of(hung, chef)
    assert (after.replaces, after.valid) == (before.number, True)
    new = plans.plan(hung, chef, after.number)[1]
    assert next(t.start for t in new.plan.tasks if t.id == one.task) == one.start
    assert address(at, "plan") == str(after.number)


def test_a_move_that_breaks_something_says_what_and_cannot_be_kept(
    hung: Book, chef: Who, opened: Opened, file: PlanFile, names: Names
) -> None:
    one = broken(file)
    at = opened("chart", task=one.task)
    at.segmented_control(key="hand-way").set_value("move").run()
    start = names.local(one.start or 0).replace(tzinfo=None)
    at.datetime_input(key="hand-start").set_value(start).run()
    assert at.error
    assert [b.key for b in at.button if b.key == "hand-new"] == []
    assert [b.label for b in at.button if b.key == "hand-room"] == ["Make room for it"]
    assert len(plans.plans_of(hung, chef)) == 1


def test_a_field_that_reports_after_its_way_was_left_does_no_harm(
    hung: Book, opened: Opened, file: PlanFile, names: Names
) -> None:
    """A browser tells of a field when it is left, and that may be by choosing another way."""
    task = with_hands(file)
    at = opened("chart", task=task)
    at.segmented_control(key="hand-way").set_value("move").run()
    start = names.local(names.tasks[task].start + 15).replace(tzinfo=None)
    at.datetime_input(key="hand-start").set_value(start)
    at.segmented_control(key="hand-way").set_value("keep")
    at.run()
    assert not at.exception
    assert not [e for e in at.error if "our fault" in e.value]
    assert at.pills(key="hand-stays").value


def test_what_nobody_can_change_is_said_in_a_sentence(
    hung: Book, opened: Opened, file: PlanFile, names: Names
) -> None:
    task = with_hands(file)
    at = opened("chart", task=task)
    at.segmented_control(key="hand-way").set_value("move").run()
    past = names.local(0).replace(tzinfo=None) - timedelta(days=1)
    at.datetime_input(key="hand-start").set_value(past).run()
    assert "planning begins" in at.warning[0].value
    assert not at.exception


def test_a_job_is_given_to_somebody_else(hung: Book, opened: Opened, file: PlanFile) -> None:
    task = with_hands(file)
    visit = next(t for t in file.plan.tasks if t.id == task).visits[0]
    other = next(p.id for p in file.scenario.kitchen.people if p.id not in visit.people)
    at = opened("chart", task=task)
    at.segmented_control(key="hand-way").set_value("give").run()
    at.multiselect(key="hand-people").set_value([other]).run()
    answer = tried(file, Try(task, visit=(visit.kind, visit.index), people=(other,))).answer
    shown = [*at.success, *at.error]
    assert [s.value.replace("\\", "") for s in shown] == [answer.headline]


def test_a_job_is_kept_where_it_is_and_let_go(
    hung: Book, chef: Who, opened: Opened, file: PlanFile, names: Names
) -> None:
    task = with_hands(file)
    at = opened("chart", task=task)
    at.segmented_control(key="hand-way").set_value("keep").run()
    at.pills(key="hand-stays").set_value(["start", "people"]).run()
    at.button(key="hand-keep").click().run()
    (one,) = kept(hung, chef, file.scenario.week.id)
    planned = names.tasks[task]
    assert (one.task, one.how.start) == (task, names.local(planned.start))
    assert set(one.how.people) == {p for v in planned.visits for p in v.people}
    assert one.how.equipment == ()
    at.button(key="hand-let-go").click().run()
    assert kept(hung, chef, file.scenario.week.id) == ()


def test_a_cook_reads_a_job_and_changes_nothing(
    hung: Book, opened: Opened, file: PlanFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    cook = Who("corner-house", "marek", Role.COOK)
    monkeypatch.setattr("ui.arriving.sitting_here", lambda book, kitchen, name: cook)
    at = opened("chart", task=with_hands(file))
    assert "Comes before it" in said(at)
    assert [b.key for b in at.button_group if b.key == "hand-way"] == []
    assert not at.button


def test_making_room_is_offered_where_somebody_has_said_how(
    hung: Book, opened: Opened, file: PlanFile
) -> None:
    one = broken(file)

    def page(task: str, start: int) -> None:
        import streamlit as st

        from ui.here import look, names_of, the_book, who_comes
        from ui.job import job_open
        from ui.trying import Try

        st.session_state["hand-try"] = Try(task, start=start)
        st.query_params["task"] = task
        at = look(the_book(), who_comes(the_book()))  # type: ignore[arg-type]
        names = names_of(at)
        assert names is not None

        def make_room(at: object, task: str, how: dict[str, object]) -> None:
            st.session_state["asked"] = (task, how)

        job_open(at, names, make_room)

    at = AppTest.from_function(page, args=(one.task, one.start), default_timeout=60).run()
    at.button(key="hand-room").click().run()
    assert at.toast[0].value == "Room is being made."
    names = Names(file.scenario, file.plan)
    assert at.session_state["asked"] == (one.task, {"start": names.local(one.start or 0)})


def test_what_is_kept_of_a_try_is_what_was_tried(file: PlanFile, names: Names) -> None:
    task = names.tasks[with_hands(file)]
    visit = task.visits[0]
    given = as_kept(names, Try(task.id, visit=(visit.kind, visit.index), people=("somebody",)))
    assert given["people"][0] == "somebody"
    stays = as_it_is(names, task)
    assert stays["start"] == names.local(task.start)
    assert ("equipment" in stays) == any(t.unit for t in task.taken)


def test_a_job_may_go_on_the_units_of_its_kind(file: PlanFile, names: Names) -> None:
    for task in file.plan.tasks:
        for need, units in units_for(names, task).items():
            there = next(t.unit for t in task.taken if t.need == need)
            assert there in units
            assert set(units) <= set(file.scenario.unit)
