"""Small weeks and small plans written by hand, in few words, for trying the second reader.

The week is Monday 2 to Thursday 5 March 2026, in UTC. Supper is on Tuesday at
18:00: ten bowls of soup, 100 g each, plated in ten minutes. Ana leads the
stove, Ben cooks, Cat learns. Whatever a test is not about is left at that.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import Report, audit
from scheduler.plan.model import (
    Plan,
    PlannedBatch,
    PlannedHold,
    PlannedTask,
    PlannedVisit,
    Share,
    Taken,
    Terms,
)

DAYS = {"Mon": 0, "Tue": 1440, "Wed": 2880, "Thu": 4320}
Doc = dict[str, Any]


def at(when: str | int) -> int:
    """A minute of the week: "Tue 16:05"."""
    if isinstance(when, int):
        return when
    day, clock = when.split()
    hour, minute = clock.split(":")
    return DAYS[day] + int(hour) * 60 + int(minute)


def person(name: str, level: str = "cook", hours: str = "06:00-22:00", **more: Any) -> Doc:
    """Somebody of the stove."""
    shifts = [{"days": ["daily"], "hours": hours}]
    return {"id": name, "sections": {"stove": level}, "shifts": shifts} | more


BRIGADE = [person("ana", "lead"), person("ben"), person("cat", "trainee")]


def step(name: str = "cook", time: Any = "1 h", **more: Any) -> Doc:
    """A step; by itself for an hour if nothing is said."""
    return {"id": name, "time": time} | more


def component(name: str, *steps: Doc, **more: Any) -> Doc:
    """Something that makes 1 kg and keeps at the bench for 12 hours, best all the while."""
    keeps = [{"at_most": "12 h", "best_until": "12 h"}]
    return {
        "id": name,
        "section": "stove",
        "makes": "1 kg",
        "steps": list(steps),
        "keeps": keeps,
    } | more


def dish(*takes: Doc, **more: Any) -> Doc:
    """A bowl: 60 an hour, as it goes away."""
    default = [{"component": "soup", "amount": "100 g"}]
    return {
        "id": "bowl",
        "section": "stove",
        "takes": list(takes) or default,
        "plating": {"per_hour": 60},
    } | more


def event(*menu: Doc, **more: Any) -> Doc:
    """Supper for ten on Tuesday at 18:00, no margin."""
    return {
        "id": "supper",
        "first_plate": "2026-03-03 18:00",
        "guests": 10,
        "margin": "0 %",
        "menu": list(menu) or [{"dish": "bowl"}],
    } | more


def week(
    *components: Doc,
    dishes: Sequence[Doc] = (),
    events: Sequence[Doc] = (),
    week: Doc | None = None,
    **kitchen: Any,
) -> Scenario:
    """A checked scenario; extra words are the kitchen's."""
    return scenario_of(
        {
            "schema": 1,
            "kitchen": {
                "id": "hut",
                "zone": "UTC",
                "sections": [{"id": "stove"}],
                "people": BRIGADE,
            }
            | kitchen,
            "components": list(components) or [component("soup", step())],
            "dishes": list(dishes) or [dish()],
            "week": {
                "id": "short",
                "starts": "2026-03-02 00:00",
                "plan_from": "2026-03-02 00:00",
                "ends": "2026-03-06 00:00",
                "events": list(events) or [event()],
            }
            | (week or {}),
        }
    )


def visit(kind: str, start: str | int, minutes: int, *people: str, **more: Any) -> PlannedVisit:
    """A stretch of hands, Ana's if nobody is named."""
    begin = at(start)
    return PlannedVisit(
        kind=kind, start=begin, end=begin + minutes, people=people or ("ana",), **more
    )


def on(
    thing: str,
    start: str | int = 0,
    end: str | int = 0,
    *,
    need: int = 0,
    amount: int = 1,
    celsius: int | None = None,
    store: bool = False,
) -> Taken:
    """A unit (or a store) taken; without times, all through the task."""
    where = {"store": thing} if store else {"unit": thing}
    return Taken(
        need=need,
        amount=amount,
        start=at(start),
        end=at(end),
        celsius=celsius,
        mode=None if celsius is None else "dry",
        **where,
    )


def task(
    name: str,
    start: str | int,
    law: int = 60,
    *,
    quantity: str = "1 kg",
    load: int = 0,
    unload: int = 0,
    hands: Sequence[str] = (),
    visits: Sequence[PlannedVisit] = (),
    taken: Sequence[Taken] = (),
    loads: int = 1,
    who: str = "ana",
) -> PlannedTask:
    """A task "batch/step" or "batch/step/load"; load and unload give their visits."""
    begin = at(start)
    law_start, law_end = begin + load, begin + load + law
    end = law_end + unload
    all_visits = list(visits)
    if hands:
        all_visits.insert(0, visit("hands", law_start, law, *hands))
    if load:
        all_visits.insert(0, visit("load", begin, load, who))
    if unload:
        all_visits.append(visit("unload", law_end, unload, who))
    batch, step_id, *which = name.split("/")
    held = [
        t.model_copy(update={"start": begin, "end": end}) if t.start == t.end == 0 else t
        for t in taken
    ]
    return PlannedTask(
        id=name,
        batch=batch,
        step=step_id,
        load=int(which[0]) if which else 1,
        loads=loads,
        quantity=quantity,
        start=begin,
        law_start=law_start,
        law_end=law_end,
        end=end,
        visits=tuple(all_visits),
        taken=tuple(held),
    )


def plating(
    batch: str = "supper.bowl",
    start: str | int = "Tue 18:00",
    portions: int = 10,
    people: Sequence[str] = ("ana",),
    minutes: int | None = None,
) -> PlannedTask:
    """Plating, a minute each and up to five."""
    lasts = -(-portions // 5) * 5 if minutes is None else minutes
    return task(f"{batch}/plating", start, lasts, quantity=f"{portions} pieces", hands=people)


def batch(name: str, quantity: str = "1 kg", good: str | None = None, **more: Any) -> PlannedBatch:
    """A batch of a component: its id says which."""
    words: Doc = {"component": name.partition(".")[0]} | more
    return PlannedBatch(id=name, quantity=quantity, good=good or quantity, **words)


def bowls(name: str = "supper.bowl", portions: int = 10, **more: Any) -> PlannedBatch:
    """A batch of the dish."""
    words: Doc = {"dish": "bowl", "event": "supper", "course": 0} | more
    return batch(name, f"{portions} pieces", component=None, **words)


def share(
    source: str = "soup.1", consumer: str = "supper.bowl/plating", quantity: str = "1 kg"
) -> Share:
    """A share, to "batch/step"."""
    to, _, step_id = consumer.partition("/")
    return Share(source=source, consumer=to, step=step_id, quantity=quantity)


def hold(
    kind: str,
    source: str,
    start: str | int,
    end: str | int,
    *,
    quantity: str = "1 kg",
    **more: Any,
) -> PlannedHold:
    """Something that waits; "soup.1/cook" waits after a step."""
    of, _, step_id = source.partition("/")
    words: Doc = {"step": step_id or None} | more
    return PlannedHold(
        kind=kind, source=of, start=at(start), end=at(end), quantity=quantity, **words
    )


def used(
    start: str | int,
    end: str | int = "Tue 18:00",
    source: str = "soup.1",
    consumer: str = "supper.bowl/plating",
    **more: Any,
) -> PlannedHold:
    """A share until it is used; soup until supper if nothing is said."""
    return hold("share", source, start, end, consumer=consumer, **more)


def plan(
    scenario: Scenario,
    *tasks: PlannedTask,
    holds: Sequence[PlannedHold] = (),
    batches: Sequence[PlannedBatch] | None = None,
    shares: Sequence[Share] | None = None,
    terms: Terms | None = None,
    **more: Any,
) -> Plan:
    """A plan; soup.1 and the bowls if no batches are given, and its figures filled in.

    Tests of the figures themselves give `terms`.
    """
    made = Plan(
        batches=tuple((batch("soup.1"), bowls()) if batches is None else batches),
        shares=tuple((share(),) if shares is None else shares),
        tasks=tasks,
        holds=tuple(holds),
        terms=terms or Terms(served=(0,), quality=0),
        **more,
    )
    if terms is None:
        made = made.model_copy(update={"terms": audit(scenario, made).terms})
    return made


def supper(scenario: Scenario, *tasks: PlannedTask, **more: Any) -> Plan:
    """The plan of a soup: its tasks, its plating at 18:00, and its hold until then.

    `kept` says where it stands (None: the hold is left out), `served` plates otherwise.
    """
    last = tasks[-1]
    waits = list(more.pop("holds", ()))
    served, kept = more.pop("served", plating()), more.pop("kept", {})
    if kept is not None and last.end < served.start:
        waits.append(used(last.end, served.start, **kept))
    return plan(scenario, *tasks, served, holds=waits, **more)


def broken(scenario: Scenario, made: Plan) -> set[str]:
    """Names of the rules a plan breaks."""
    return set(audit(scenario, made).rules())


def report(scenario: Scenario, made: Plan) -> Report:
    """The whole report."""
    return audit(scenario, made)
