"""What changes for people between two plans, person by person."""

from __future__ import annotations

from collections import defaultdict

from scheduler.domain.base import Slug
from scheduler.plan.changes import JobChange, PersonChange
from scheduler.plan.jobs import Job
from scheduler.plan.pairing import Pair, moved, reordered


def people(pair: Pair) -> tuple[PersonChange, ...]:
    """Everybody for whom something changes, in the kitchen's order; who has left at the end."""
    before, after = pair.jobs()
    places = _places(before, after)
    found: dict[Slug, list[JobChange]] = defaultdict(list)
    for key in sorted({*before, *after}):
        old, new = before.get(key), after.get(key)
        last = new or old
        if last is not None and last.end <= pair.now:
            continue  # nobody has to be told of what is over
        if old is None or new is None:
            one = new or old
            assert one is not None
            for who in one.people:
                found[who].append(_only(pair, one, new is not None))
            continue
        for who in dict.fromkeys((*old.people, *new.people)):
            change = _both(pair, old, new, who, key in places.get(who, ()))
            if change is not None:
                found[who].append(change)
    order = [p.id for p in pair.new.scenario.kitchen.people]
    order += sorted(set(found) - set(order))
    return tuple(
        PersonChange(who, _name(pair, who), tuple(sorted(found[who], key=_when)))
        for who in order
        if found.get(who)
    )


def _places(before: dict[str, Job], after: dict[str, Job]) -> dict[Slug, set[str]]:
    """Per person, the jobs that are theirs in both plans and change places."""
    starts: dict[Slug, dict[str, tuple[int, int]]] = defaultdict(dict)
    for key in before.keys() & after.keys():
        for who in set(before[key].people) & set(after[key].people):
            starts[who][key] = before[key].start, after[key].start
    return {who: reordered(mine) for who, mine in starts.items()}


def _name(pair: Pair, who: Slug) -> str:
    known = pair.new.person(who)
    return known if known != who else pair.old.person(who)


def _when(change: JobChange) -> tuple[int, str]:
    span = change.after or change.before
    return (span[0] if span else 0), change.key


def _only(pair: Pair, job: Job, new: bool) -> JobChange:
    span, told = (job.start, job.end), pair.new.moment(job.start)
    said = f"{job.what}, {told} to {pair.moment(job.end, near=job.start)}"
    if new:
        return JobChange("new", job.key, job.task, job.what, f"new: {said}", None, span)
    return JobChange("gone", job.key, job.task, job.what, f"no longer: {said}", span, None)


def _both(pair: Pair, old: Job, new: Job, who: Slug, another_place: bool) -> JobChange | None:
    """What becomes of a job that is in both plans, for somebody who is at it in one of them."""
    before, after = (old.start, old.end), (new.start, new.end)
    gone, come = set(old.people) - set(new.people), set(new.people) - set(old.people)
    if who in gone:
        others = tuple(p for p in new.people if p in come)
        to = " and ".join(_name(pair, p) for p in others)
        said = f"{old.what}, {pair.new.moment(old.start)}: "
        said += f"goes to {to}" if to else "without them"
        return JobChange("given", old.key, old.task, old.what, said, before, after, others)
    if who in come:
        others = tuple(p for p in old.people if p in gone)
        of = " and ".join(_name(pair, p) for p in others)
        said = f"{new.what}, {pair.new.moment(new.start)}: "
        said += f"taken over from {of}" if of else "helps"
        return JobChange("taken", new.key, new.task, new.what, said, before, after, others)
    if moved(before, after) or another_place:
        said = f"{new.what}: {pair.from_to(before, after)}"
        said += ", in another order" if not moved(before, after) else ""
        said += f", {new.where}" if new.where != old.where and new.where else ""
        return JobChange("moved", new.key, new.task, new.what, said, before, after)
    if old.where != new.where:
        said = f"{new.what}, {pair.new.moment(new.start)}: {new.where or 'nowhere'} instead of "
        said += old.where or "nowhere"
        return JobChange("elsewhere", new.key, new.task, new.what, said, before, after)
    if _amount(pair, old) != _amount(pair, new, later=True):
        said = f"{new.what}, {pair.new.moment(new.start)}: instead of {_amount(pair, old)[1]}"
        return JobChange("amount", new.key, new.task, new.what, said, before, after)
    return None


def _amount(pair: Pair, job: Job, later: bool = False) -> tuple[object, str]:
    """What goes through it, and in words."""
    names = pair.new if later else pair.old
    task = names.tasks.get(job.task)
    return (task.quantity.base, names.goes_in(task)) if task else (None, "")
