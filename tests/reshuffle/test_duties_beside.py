"""Standing duties beside each other, beside running work and beside breaks, once people are away.

The weeks are those of `test_duties`; each was once a plan that the audit refused.
"""

from __future__ import annotations

from tests.reshuffle.small import Anew, anew, text_of
from tests.reshuffle.test_duties import away, besides, parts
from tests.weeks.tiny import DAY, Document, component, cook, in_oven, keep, oven, step, week_of

LEAVE = {"may_leave": {"times": 1, "longest": "30 min"}}
LARDER = {"larder": "cook"}


def duty(name: str, hours: str, section: str = "larder", **rest: object) -> Document:
    return {"id": name, "days": [DAY], "hours": hours, "section": section, "people": 1, **rest}


def week(
    people: list[Document], *duties: Document, of: Document | None = None, **rest: object
) -> str:
    sauce = component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h"))
    return text_of(
        week_of(
            of or sauce, people=[cook("ana"), *people], kitchen={"duties": list(duties)}, **rest
        )
    )


def people_at(found: Anew) -> dict[str, int]:
    return {name.removesuffix(f"/{DAY}"): len(people) for name, _, _, people in parts(found)}


def test_one_person_is_not_at_two_duties_because_both_may_be_left() -> None:
    two = [cook("bea", sections=LARDER), cook("cem", sections=LARDER)]
    older = week(two, duty("pass", "12:00-16:00", **LEAVE), duty("door", "12:00-16:00", **LEAVE))
    found = anew(older, "10:00", away("cem"))
    assert sorted(people_at(found).values()) == [0, 1]
    assert len(besides(found)) == 1


def test_a_whole_duty_is_one_persons_even_where_each_moment_has_somebody() -> None:
    """Either could be at x, but `one` is wanted at its beginning and `two` at its end."""
    people = [
        cook("one", sections={"larder": "cook", "stove": "cook"}),
        cook("two", sections={"larder": "cook", "pass": "cook"}),
        cook("three", sections={"larder": "cook", "stove": "cook", "pass": "cook"}),
        cook("pat", "17:00-19:00", sections={"pass": "lead"}),
    ]
    document = week_of(
        component("sauce", step("stir", "60 min", hands=1), keeps=keep("30 h")),
        people=[cook("zed", "16:00-22:00"), *people],
        kitchen={"duties": [
            duty("x", "12:00-15:00"), duty("a", "12:00-13:00", "stove"),
            duty("b", "14:00-15:00", "pass"),
        ]},
    )  # fmt: skip
    found = anew(text_of(document), "10:00", away("three"), away("pia"))
    assert sum(people_at(found).values()) == 2
    assert found.plan.terms.served == (0,)


def test_nobody_loses_their_break_to_a_duty_because_there_was_room_before_now() -> None:
    """Cem's break moves between 12:00 and 16:00; at 14:00 only after that could he rest."""
    shift = {"days": ["daily"], "hours": "08:00-22:00",
             "floating_breaks": [{"length": "30 min", "between": "12:00-16:00"}]}  # fmt: skip
    people = [cook("bea", sections={"larder": "lead"}), cook("cem", shift, sections=LARDER)]
    older = week(people, duty("pass", "13:00-16:00", level="cook"))
    found = anew(older, "14:00", away("bea"))
    clock = found.file.scenario.clock
    rests = [b for b in found.plan.breaks if str(clock.local(b.start).date()) == DAY]
    assert [b.end - b.start for b in rests] == [30]


def test_whoever_was_at_a_job_that_cannot_go_on_is_not_called_idle() -> None:
    """The oven for the second step dies, and bea, who was to be at the pass from 15:00, goes."""
    stock = component(
        "stock", step("boil", "3 h", hands=1), step("bake", "60 min", on=[in_oven(180, amount=1)]),
        keeps=keep("30 h"), section="larder",
    )  # fmt: skip
    people = [cook("bea", sections=LARDER), cook("cem", sections={"larder": "lead"})]
    older = week(people, duty("pass", "15:00-16:30"), of=stock, equipment=[oven()])
    found = anew(older, "15:00", {"kind": "down", "what": "oven"}, away("bea"))
    assert found.plan.terms.served == (10,)


def test_nobody_who_is_away_stays_at_a_duty_in_overtime() -> None:
    bea = {**cook("bea", "08:00-22:00", sections=LARDER), "overtime": {"at_end": "1 h"}}
    older = week([bea], duty("pass", "12:00-16:00"))
    found = anew(older, "13:00", away("bea", since=f"{DAY} 14:00"))
    assert [(start, end, people) for _, start, end, people in parts(found)] == [
        ("12:00", "14:00", ("bea",)), ("14:00", "16:00", ()),
    ]  # fmt: skip


def test_overtime_that_somebody_has_done_at_a_duty_stays_done_when_they_go() -> None:
    """Bea's shift ends at 15:00, the pass takes her until 16:00; she goes at 15:30."""
    bea = {**cook("bea", "08:00-15:00", sections=LARDER), "overtime": {"at_end": "2 h"}}
    found = anew(week([bea], duty("pass", "12:00-16:00")), "15:30", away("bea"))
    assert [p[1:] for p in parts(found)] == [("12:00", "15:30", ("bea",)), ("15:30", "16:00", ())]


def test_whoever_comes_back_goes_to_a_duty_that_nobody_is_at() -> None:
    older = week([cook("bea", sections=LARDER)], duty("pass", "12:00-16:00"))
    alone = anew(older, "13:00", away("bea", until=f"{DAY} 14:00"))
    assert [p[1:] for p in parts(alone)] == [("12:00", "13:00", ("bea",)), ("13:00", "16:00", ())]
    still = anew(alone.text, "13:30", away("pia", since=f"{DAY} 21:00"))
    assert parts(still) == parts(alone)
    assert besides(still) == ["Nobody is left for pass, Fri 7 May 13:00 to 16:00: find somebody."]
    back = anew(alone.text, "14:30", away("pia", since=f"{DAY} 21:00"))
    assert parts(back)[-1][1:] == ("14:30", "16:00", ("bea",))
