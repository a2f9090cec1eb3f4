"""The difference between two plans of one week, one sentence first."""

from __future__ import annotations

from collections import Counter

from scheduler.plan.changed_batches import batches
from scheduler.plan.changed_jobs import people
from scheduler.plan.changes import BatchChange, Comparison, EventChange, Figure, PersonChange
from scheduler.plan.figures import spot, tightest
from scheduler.plan.file import PlanFile
from scheduler.plan.freshness import PARTS
from scheduler.plan.pairing import FEW, Pair, listed
from scheduler.plan.time_in_hand import in_hand
from scheduler.plan.words import Names, several
from scheduler.plan.working import overtime_of


def compare(old: PlanFile, new: PlanFile) -> Comparison:
    """Hold a newer plan of a week against an older one.

    They may have been made from different revisions of the week. Batches and tasks are
    matched by their ids, people's work by its key. A move of less than 15 minutes in the
    same order is none; what was over when planning begins is none either. All minutes
    are the newer plan's.

    Parameters
    ----------
    old, new : PlanFile

    Returns
    -------
    Comparison
    """
    pair = Pair(old, new)
    who, what, events = people(pair), batches(pair), _events(pair)
    return Comparison(
        _headline(pair, who, what, events),
        who,
        events,
        what,
        _figures(pair),
        (old.plan.terms, new.plan.terms),
    )


def _headline(
    pair: Pair,
    who: tuple[PersonChange, ...],
    what: tuple[BatchChange, ...],
    events: tuple[EventChange, ...],
) -> str:
    """Who goes short first, then what moves."""
    told = []
    for one in events:
        was, now = one.lacking
        if now and now != was:
            told.append(f"{one.name} goes short of {several(now, 'portion')}")
        elif was and now == 0:
            told.append(f"{one.name} is served now")
    jobs = {job.key: job for person in who for job in person.jobs}
    keys = list(jobs)
    if not keys and not what:
        others = [f"{e.name} {e.said}" for e in events if e.said and not any(e.lacking)]
        rest = f"; {listed(others)}" if others else ""
        told.append(f"nothing moves{rest}")
    elif not keys:
        rest = f" and {several(len(what) - FEW, 'more batch', 'more batches')}"
        said = listed(b.said for b in what[:FEW]) + (rest if len(what) > FEW else "")
        told.append(f"nobody's work moves; {said}")
    elif len(keys) <= FEW:
        told.append(f"nothing moves but {listed(_said(pair, jobs[k].key, who) for k in keys)}")
    else:
        farthest = max(jobs.values(), key=lambda j: (abs(j.later), j.key))
        count = f"{len(keys)} jobs of {several(len(who), 'person', 'people')} change"
        most = f"; {_said(pair, farthest.key, who)}" if farthest.later else ""
        told.append(count + most)
    text = "; ".join(told)
    return f"{text[:1].upper()}{text[1:]}."


def _said(pair: Pair, key: str, who: tuple[PersonChange, ...]) -> str:
    """A change in few words: "Beef cheek: press 1 h 30 min later"."""
    found = [(p, j) for p in who for j in p.jobs if j.key == key]
    _, job = next((x for x in found if x[1].kind != "taken"), found[0])
    if job.kind == "moved":
        if not job.later:
            return f"{job.what}, another length"
        words = "later" if job.later > 0 else "earlier"
        return f"{job.what} {pair.new.length(abs(job.later))} {words}"
    if job.kind in ("given", "taken"):
        gone = [p.name for p, j in found if j.kind == "given"]
        come = [p.name for p, j in found if j.kind == "taken"]
        parts = [f"from {' and '.join(gone)}"] if gone else []
        parts += [f"to {' and '.join(come)}"] if come else []
        later = f", {pair.new.length(abs(job.later))} " if job.later else ""
        later += ("later" if job.later > 0 else "earlier") if job.later else ""
        return f"{job.what} goes {' '.join(parts)}{later}"
    return job.said


def _events(pair: Pair) -> tuple[EventChange, ...]:
    hands = [in_hand(n.scenario, n.plan) for n in (pair.old, pair.new)]
    lacks = [Counter[str](), Counter[str]()]
    for count, names in zip(lacks, (pair.old, pair.new), strict=True):
        for short in names.plan.unserved:
            count[short.event] += short.portions
    found = []
    for event in dict.fromkeys((*pair.new.scenario.event, *pair.old.scenario.event)):
        old, new = pair.old.scenario.event.get(event), pair.new.scenario.event.get(event)
        plates = (
            pair.minute(pair.old.scenario.clock.minute(old.first_plate)) if old else None,
            pair.new.scenario.clock.minute(new.first_plate) if new else None,
        )
        guests = old.guests if old else None, new.guests if new else None
        lacking = lacks[0][event] if old else None, lacks[1][event] if new else None
        left = [h[event].minutes if event in h else None for h in hands]
        name = (pair.new if new else pair.old).event(event)
        said = _event_said(pair, plates, guests, lacking, (left[0], left[1]))
        found.append(
            EventChange(event, name, plates, guests, lacking, (left[0], left[1]), said)
        )
    return tuple(sorted(found, key=lambda e: (e.first_plate[1] or e.first_plate[0] or 0, e.event)))


Two = tuple[int | None, int | None]


def _event_said(pair: Pair, plates: Two, guests: Two, lacking: Two, left: Two) -> str:
    if guests[0] is None:
        return f"is new, {several(guests[1] or 0, 'guest')}"
    if guests[1] is None:
        return "is called off"
    said = []
    if guests[0] != guests[1]:
        said.append(f"has {several(guests[1], 'guest')} instead of {guests[0]}")
    if plates[0] is not None and plates[1] is not None and plates[0] != plates[1]:
        said.append(f"is served {pair.from_to((plates[0],) * 2, (plates[1],) * 2)}")
    if lacking[0] != lacking[1]:
        now, was = lacking[1] or 0, lacking[0] or 0
        short = f"goes short of {several(now, 'portion')}" if now else "is served"
        said.append(f"{short} instead of {f'short of {was}' if was else 'served'}")
    if left[0] != left[1] and left[0] is not None and left[1] is not None:
        length = pair.new.length
        said.append(f"has {length(left[1])} in hand instead of {length(left[0])}")
    return ", ".join(said)


def _figures(pair: Pair) -> tuple[Figure, ...]:
    """Terms, the tightest spots, overtime and buying in."""
    was, now = pair.old.plan.terms, pair.new.plan.terms
    found = [
        _less("portions short", sum(was.served), sum(now.served)),
        _less("batches without a place", was.left_out, now.left_out),
        _less("money beyond the allowance, in steps", was.money, now.money),
        _less("quality, weighted minutes", was.quality, now.quality),
    ]
    found += [_less(word, getattr(was, part), getattr(now, part)) for part, word in PARTS.items()]
    extra = [sum(x.minutes for x in overtime_of(n)) for n in (pair.old, pair.new)]
    length = pair.new.length
    better = None if extra[0] == extra[1] else extra[1] < extra[0]
    found.append(Figure("overtime", length(extra[0]), length(extra[1]), better))
    found.append(_less("bought in, in the kitchen's money", _spent(pair.old), _spent(pair.new)))
    kinds = ("fullest person", "fullest machine", "fullest store")
    for name, *two in zip(kinds, tightest(pair.old), tightest(pair.new), strict=True):
        before, after = (spot(n, t) if t else "" for n, t in
                         zip((pair.old, pair.new), two, strict=True))  # fmt: skip
        if before or after:
            found.append(Figure(name, before, after))
    return tuple(found)


def _less(name: str, before: int, after: int) -> Figure:
    """A figure of which less is better."""
    return Figure(name, str(before), str(after), None if before == after else after < before)


def _spent(names: Names) -> int:
    return sum(b.bought.price for b in names.plan.batches if b.bought is not None)
