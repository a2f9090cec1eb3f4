"""The summary: ten seconds of reading, whatever the week is like."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.scenario import Scenario
from scheduler.plan.file import Broken, Verdicts
from scheduler.plan.model import Missing, Plan, PlannedHold, PlannedTask, Terms, Unserved
from scheduler.plan.summary import COLUMNS, LINES, summarise
from scheduler.plan.waiting import LastCall
from scheduler.plan.words import width
from tests.plan import tiny

GOOD = Verdicts(valid=True, served=True)
CALLS = (
    LastCall("soup.1", "simmer", tiny.DAY + 15 * 60),
    LastCall("supper.bowl", "plating", tiny.DAY + 18 * 60),
)


def summary(plan: Plan | None = None, verdicts: Verdicts = GOOD, **more: Any) -> list[str]:
    return summarise(tiny.scenario(), plan or tiny.plan(), verdicts, **more).splitlines()


def test_the_first_line_says_served_and_the_tightest_spot() -> None:
    # The cold room has 2 of 4 shelves taken; Ada cooks 15 + 30 of 840 min; the kettle 135 of 1440.
    assert summary()[0] == (
        "One event served; tightest: Cold room Fri 4 Dec 16:15, 2 of 4 shelves."
    )


def test_each_event_is_named_with_its_first_plate() -> None:
    row = next(line for line in summary() if line.startswith("Events"))
    assert " ".join(row.split()) == "Events Fri 4 Dec 18:00 Supper, 36 guests: served"


def test_a_short_event_says_how_many_lack_what() -> None:
    short = tiny.plan().model_copy(
        update={
            "unserved": (
                Unserved(
                    batch="supper.bowl", event="supper", dish="bowl", portions=12, lacks=("soup",)
                ),
            ),
            "missing": (Missing(batch="soup.1", why="needs 3 h, has 2 h", certain=True),),
        }
    )
    lines = summary(short, Verdicts(valid=True, served=False))
    assert lines[0].startswith("The event is short: Supper; tightest: ")
    assert any("Supper, 36 guests" in line and "12 without Barley soup" in line for line in lines)
    assert any("cannot work: Barley soup: needs 3 h, has 2 h" in line for line in lines)


def test_a_plan_that_breaks_a_rule_says_so_first_of_all() -> None:
    broken = Verdicts(
        valid=False, served=True, findings=(Broken(rule="store-full", where="x", what="y"),)
    )
    assert summary(verdicts=broken)[0] == "Do not cook from this plan: it breaks store-full."


def test_last_calls_to_start_again_come_in_time_order_with_those_to_raise_the_number() -> None:
    later = LastCall("soup.1", "simmer", tiny.DAY + 15 * 60 + 30)
    lines = summary(last_calls=(later, *CALLS))
    at = next(i for i, line in enumerate(lines) if line.startswith("Last calls"))
    assert [" ".join(line.split()) for line in lines[at : at + 4]] == [
        "Last calls start again by raise until",
        "Fri 4 Dec 15:00 Fri 4 Dec 14:00 Barley soup, 9 l: simmer",
        "Fri 4 Dec 15:30 Fri 4 Dec 14:00 Barley soup, 9 l: simmer",
        "",  # a dish's plating is no last call: its time stands with the event
    ]


def test_only_the_next_eight_last_calls_are_shown_and_none_that_is_over() -> None:
    calls = [LastCall("soup.1", "simmer", 7 * 60), *(CALLS[0] for _ in range(9))]
    text = "\n".join(summary(last_calls=calls))
    assert text.count("Barley soup, 9 l: simmer") == 8
    assert "Thu 3 Dec 07:00" not in text


def test_what_nobody_enforces_yet_is_said() -> None:
    lines = summary(not_checked=("birth dates", "allergens"))
    assert "Not checked yet: birth dates, allergens." in lines


def test_local_codes_have_the_last_word() -> None:
    assert summary()[-1].startswith("Local food and labour codes and licensed practice decide")


def test_the_longest_hold_stands_beside_its_limit() -> None:
    # 16:15 to 18:00 of at most 24 h.
    assert any("Barley soup, 1 h 45 min of at most 1 d" in line for line in summary())


def test_what_runs_overnight_says_when_it_is_next_touched() -> None:
    midnight = tiny.DAY
    simmer, serve = tiny.plan().tasks
    overnight = simmer.model_copy(
        update={
            "start": midnight - 60,
            "law_start": midnight - 45,
            "law_end": midnight + 75,
            "end": midnight + 75,
            "visits": (
                simmer.visits[0].model_copy(update={"start": midnight - 60, "end": midnight - 45}),
            ),
        }
    )
    lines = summary(tiny.plan().model_copy(update={"tasks": (overnight, serve)}))
    at = next(i for i, line in enumerate(lines) if line.startswith("Thu night"))
    assert lines[at].endswith("next touched")
    assert " ".join(lines[at + 1].split()) == "Fri 4 Dec 01:15 Barley soup, 9 l: out"


# Any text a name could hold, marks, wide letters and control characters included.
names = st.text(min_size=1, max_size=120)


@st.composite
def odd_weeks(draw: st.DrawFn) -> tuple[Scenario, Plan]:
    """Many events with odd names, and far more missing than a page holds."""
    events = []
    for i in range(draw(st.integers(1, 14))):
        guests = draw(st.integers(1, 100_000))
        first = f"2026-12-04 {draw(st.integers(10, 22))}:00"
        events.append(
            {
                "id": f"e{i}",
                "name": draw(names).strip() or "x",
                "first_plate": first,
                "guests": guests,
                "margin": "0 %",
                "menu": [{"dish": "bowl"}],
            }
        )
    document = tiny.DOCUMENT | {"week": tiny.DOCUMENT["week"] | {"events": events}}
    component = tiny.DOCUMENT["components"][0] | {"name": draw(names).strip() or "x"}
    document |= {"components": [component]}
    scenario = Scenario.model_validate(document)
    good = tiny.plan()
    tasks: list[PlannedTask] = []
    holds: list[PlannedHold] = []
    for i in range(draw(st.integers(0, 6))):
        start = draw(st.integers(500, 2800))
        end = start + draw(st.integers(1, 3000))
        tasks.append(
            good.tasks[0].model_copy(
                update={
                    "id": f"soup.{i}/simmer",
                    "start": start,
                    "law_start": start,
                    "law_end": end,
                    "end": end,
                    "visits": (),
                }
            )
        )
        holds.append(good.holds[0].model_copy(update={"start": start, "end": end, "shelves": i}))
    short = draw(st.integers(0, 14))
    unserved = tuple(
        Unserved(
            batch="b", event=f"e{i % len(events)}", dish="bowl", portions=i + 1, lacks=("soup",)
        )
        for i in range(short)
    )
    missing = tuple(
        Missing(batch=draw(names), why=draw(names).strip() or "x", certain=draw(st.booleans()))
        for _ in range(draw(st.integers(0, 9)))
    )
    plan = Plan(
        batches=good.batches,
        shares=good.shares,
        tasks=tuple(tasks),
        holds=tuple(holds),
        missing=missing,
        unserved=unserved,
        terms=Terms(served=(short,), quality=draw(st.integers(0, 10**12))),
    )
    return scenario, plan


@settings(max_examples=60, deadline=None)
@given(
    odd_weeks(),
    st.booleans(),
    st.lists(st.sampled_from(CALLS), max_size=12),
    st.lists(names, max_size=9),
)
def test_it_never_grows_past_forty_lines_of_eighty_columns(
    week: tuple[Scenario, Plan], valid: bool, calls: list[LastCall], unchecked: list[str]
) -> None:
    scenario, plan = week
    verdicts = Verdicts(valid=valid, served=not plan.unserved)
    text = summarise(scenario, plan, verdicts, last_calls=calls, not_checked=unchecked)
    lines = text.split("\n")
    assert len(lines) <= LINES
    assert max(width(line) for line in lines) <= COLUMNS
    assert len(text.splitlines()) == len(lines), "a name has broken a line"
    assert all(ch.isprintable() or ch == "\n" for ch in text if ord(ch) < 0x20)
