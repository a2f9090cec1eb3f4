"""What had happened when a plan was made anew in the middle of a week, and what it changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.changing import JOB, PERSON, moved, nearness

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.model import Past, PlannedTask, PlannedVisit, Taken


def check(facts: Facts) -> None:
    """Rule `past`: what had begun is as it was, and nothing else begins before that moment."""
    past = facts.plan.past
    if past is None:
        return
    for was in past.tasks:
        task = facts.tasks.get(was.id)
        if task is None:
            if was.batch not in facts.missing and was.batch not in past.gone:
                facts.broken("past", was.id, "had begun and is not in the plan")
            continue
        for what in _differs(facts, past, was, task):
            facts.broken("past", was.id, what)
    for task in facts.plan.tasks:
        if task.id not in facts.begun and task.start < past.now:
            facts.broken(
                "past", task.id,
                f"starts {facts.at(task.start)}, it is {facts.at(past.now)} and it had not begun",
            )  # fmt: skip
    for one in past.batches:
        batch = facts.batches.get(one.id)
        if batch is not None and (batch.quantity, batch.method) != (one.quantity, one.method):
            facts.broken(
                "past", one.id,
                f"was begun with {one.quantity}; it is {batch.quantity} in the plan",
            )  # fmt: skip
    for duty in facts.plan.duties:
        there = next((d for d in past.duties if d.id == duty.id), None)
        if there is not None and there.people != duty.people:
            facts.broken("past", duty.id, "had begun, with other people")


def _differs(facts: Facts, past: Past, was: PlannedTask, task: PlannedTask) -> Iterator[str]:
    """What of a task that had begun is not as it was."""
    moments = [("started", was.start, task.start), ("began", was.law_start, task.law_start),
               ("ended", was.law_end, task.law_end), ("was over", was.end, task.end)]  # fmt: skip
    stopped = next((b.stopped for b in past.broken_off if b.task == was.id), was.stopped)
    for word, then, now in moments:
        if stopped is not None and word in ("ended", "was over") and was.resumed is None:
            continue
        if then != now and (then < past.now or now < past.now):
            yield f"{word} {facts.at(then)}; the plan says {facts.at(now)}"
    if stopped != task.stopped:
        yield f"was broken off {facts.at(stopped or 0)}, not so in the plan"
    before, after = _made(past, was.visits), _made(past, task.visits)
    if before != after:
        yield "what was done of it by then, or by whom, is not as it was"
    before_on, after_on = _on(facts, past, was.taken), _on(facts, past, task.taken)
    if before_on != after_on:
        said = " and ".join(sorted({t[0] for t in before_on - after_on})) or "nothing more"
        yield f"was on {said}, not so in the plan"


def _made(past: Past, visits: tuple[PlannedVisit, ...]) -> list[tuple[str, int, tuple[str, ...]]]:
    """Visits that had begun: what, when, who."""
    found = [(v.kind, v.start, tuple(sorted(v.people))) for v in visits if v.start < past.now]
    return sorted(found)


def _on(
    facts: Facts, past: Past, taken: tuple[Taken, ...]
) -> set[tuple[str, int, str | None, int | None]]:
    """What had been taken by then: the unit where units differ, else its kind; its setting."""
    found = set()
    for one in taken:
        if one.start >= past.now:
            continue
        name = one.store or one.unit or ""
        known = facts.scenario.unit.get(name)
        if known is not None:
            kind, unit = known
            plain = kind.heat is None and kind.clean_down is None and not unit.holds
            name = kind.id if plain and (unit.capacity or 1) == 1 else name
        found.add((name, one.start, one.mode, one.celsius))
    return found


def changes(facts: Facts) -> int:
    """The band of changes, reckoned from where things were (`domain/changing.py`)."""
    past = facts.plan.past
    if past is None:
        return 0
    was = {w.task: w for w in past.was}
    now = {t.id: (t.start, {p for v in t.visits for p in v.people}) for t in facts.plan.tasks}
    asked = {d.id for d in facts.scenario.kitchen.duties if d.people}
    now |= {d.id: (d.start, set(d.people)) for d in facts.plan.duties if d.duty in asked}
    over = set(facts.begun) | {d.id for d in past.duties}
    price, told = 0, set[str]()
    for name in sorted((set(was) | set(now)) - over):
        old, new = was.get(name), now.get(name)
        if old is None or new is None:
            start = new[0] if new else old.start if old else 0
            price += nearness(start, past.now) * JOB
            told |= new[1] if new else set(old.people if old else ())
            continue
        near, people = nearness(old.start, past.now), set(old.people)
        quarters = moved(new[0] - old.start)
        if quarters:
            price += near * (JOB + quarters)
            told |= people | new[1]
        elif people != new[1]:
            price += near * JOB
            told |= people ^ new[1]
    known = {p.id for p in facts.scenario.kitchen.people}
    return price + PERSON * len(told & known)
