"""What feeds what: cycles, things nobody uses, and what is there when the week opens."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from scheduler.domain.draft import Draft
from scheduler.domain.methods import BOUGHT, known, made_by, variants
from scheduler.domain.problems import Problem, nearest, one_of
from scheduler.domain.recipes import Component, Step
from scheduler.domain.times import write_duration
from scheduler.domain.walks import in_measure
from scheduler.domain.week import InProgress, OnHand


def supply(draft: Draft) -> list[Problem]:
    """Components can be made one after the other, are used, and what is there is still good."""
    found = [*_cycles(draft), *_unused(draft)]
    for lot in draft.week.on_hand:
        component = draft.component.get(lot.component)
        if component is not None:
            found += _on_hand(draft, lot, component)
    for going in draft.week.in_progress:
        component = draft.component.get(going.component)
        if component is None:
            continue
        if known(component, going.method) and going.method != BOUGHT:
            found += _in_progress(draft, going, made_by(component, going.method))
        else:
            names = [m.id for m in component.methods]
            word = going.method or ""
            found.append(
                draft.unknown(going, "method", kind="method", word=word, known=names)
            )
    return found + _shelves_on_hand(draft)


def _feeds(draft: Draft) -> dict[str, list[str]]:
    """Components that each component takes, or is given by."""
    feeds = {
        c.id: list(
            dict.fromkeys(
                t.component
                for made in variants(c)
                for s in made.steps
                for t in s.takes
                if t.component is not None
            )
        )
        for c in draft.components
    }
    for giver in draft.components:
        for gives in (g for s in giver.steps for g in s.gives):
            if gives.component in feeds and gives.component != giver.id:
                feeds[gives.component].append(giver.id)
    return feeds


def _there(draft: Draft) -> frozenset[str]:
    lots: tuple[OnHand | InProgress, ...] = (*draft.week.on_hand, *draft.week.in_progress)
    return frozenset(lot.component for lot in lots)


def _cycles(draft: Draft) -> list[Problem]:
    """A component may take an earlier batch of itself, never its own."""
    feeds = _feeds(draft)
    there = _there(draft)
    found = []
    for component in draft.components:
        itself = component.id in feeds[component.id] and component.id not in there
        if itself and "week" in draft.whole:
            what = f"{component.id} takes {component.id}, and none is on hand or in progress"
            hint = "a lot of it in the week's `on_hand`"
            found.append(draft.problem(component, what=what, maybe=hint))
    done: set[str] = set()
    for start in feeds:
        stack = [(start, iter(feeds[start]))] if start not in done else []
        trail = [start] if stack else []
        on_trail = set(trail)
        while stack:
            here, rest = stack[-1]
            following = next((n for n in rest if n != here), None)
            if following is None:
                done.add(here)
                stack.pop()
                on_trail.discard(trail.pop())
            elif following in on_trail:
                circle = [*trail[trail.index(following) :], following]
                if len(circle) > 8:
                    circle[4:-3] = ["…"]
                what = f"it needs the same batch of itself: {' takes '.join(circle)}"
                found.append(draft.problem(draft.component[following], what=what))
            elif following in feeds and following not in done:
                stack.append((following, iter(feeds[following])))
                trail.append(following)
                on_trail.add(following)
    return found


def _unused(draft: Draft) -> list[Problem]:
    """Every component goes into a dish, directly or through others.

    A dish that stands on no menu still counts, so that a book of recipes may
    hold more than the week serves; so does a state nobody takes, what others
    give by the way, and what others are kept apart from.
    """
    feeds = _feeds(draft)
    used = {
        t.component
        for dish in draft.dishes
        for made in variants(dish)
        for t in made.inputs
        if t.component
    }
    used |= {
        new
        for event in draft.week.events
        for course in event.menu
        for diet in course.diets
        for new in diet.swap.values()
    }
    queue = sorted(used)
    while queue:
        for inside in feeds.get(queue.pop(), ()):
            if inside not in used:
                used.add(inside)
                queue.append(inside)
    if not draft.whole >= {"components", "dishes", "week"}:
        return []
    used |= _there(draft)
    used |= {c.id for c in draft.components} - {c.id for c in draft.as_written[0]}
    used |= {g.component for c in draft.components for s in c.steps for g in s.gives}
    used |= {other for c in draft.components for other in c.not_beside}
    return [
        draft.problem(c, "id", what="nobody uses it: no dish takes it, directly or through others")
        for c in draft.components
        if c.id not in used
    ]


def _on_hand(draft: Draft, lot: OnHand, component: Component) -> list[Problem]:
    found = []
    limit = max(k.at_most for k in component.keeps)
    now = draft.week.plan_from
    if draft.clock is not None:
        age = draft.clock.minute(now) - draft.clock.minute(lot.made)
        if age < 0:
            what = f"made {lot.made:%Y-%m-%d %H:%M}, after plan_from {now:%Y-%m-%d %H:%M}"
            found.append(draft.problem(lot, "made", what=what, maybe="`in_progress`"))
        elif age > limit:
            what = (
                f"past its limit: {write_duration(age)} old at plan_from, and {component.id} "
                f"keeps {write_duration(limit)}"
            )
            found.append(draft.problem(lot, "made", what=what))
    store = next((s for s in draft.kitchen.stores if s.id == lot.store), None)
    zones = [k.zone for k in component.keeps]
    if store is not None and store.zone not in zones:
        kept = ", ".join(sorted(z for z in zones if z)) or "no store"
        what = f"{store.id} is {store.zone}; {component.id} keeps in: {kept}"
        meant = [s.id for s in draft.kitchen.stores if s.zone in zones]
        hint = f"'{meant[0]}'" if meant else ""
        found.append(draft.problem(lot, "store", what=what, maybe=hint))
    return found


def _shelves_on_hand(draft: Draft) -> list[Problem]:
    """What stands in a store when the week opens has room there."""
    room: dict[str, int] = {}
    found = []
    for lot in draft.week.on_hand:
        component = draft.component.get(lot.component)
        store = next((s for s in draft.kitchen.stores if s.id == lot.store), None)
        if component is None or store is None:
            continue
        keep = next((k for k in component.keeps if k.zone == store.zone), None)
        per = keep.per_shelf if keep is not None else None
        size = in_measure(lot.quantity, component.makes.dimension, component)
        shelf = per and in_measure(per, component.makes.dimension, component)
        shelves = ceil(Fraction(size) / shelf) if size and shelf else 1
        before = room.get(store.id, 0)
        room[store.id] = before + shelves
        if before <= store.shelves < before + shelves:
            what = (
                f"{before + shelves} shelves are on hand in {store.id}, which has {store.shelves}"
            )
            found.append(draft.problem(lot, "quantity", what=what))
    return found


def _in_progress(draft: Draft, going: InProgress, component: Component) -> list[Problem]:
    order = [s.id for s in component.steps]
    if going.step not in order:
        meant = nearest(going.step, order)
        what = f"{component.id} has no step '{going.step}'; steps are: {one_of(order)}"
        return [draft.problem(going, "step", what=what, maybe=meant and f"'{meant}'")]
    step = component.steps[order.index(going.step)]
    found = [*_standing_on(draft, going, component, step)]
    if draft.clock is not None:
        found += _since(draft, going, step)
    return found


def _since(draft: Draft, going: InProgress, step: Step) -> list[Problem]:
    clock = draft.clock
    if clock is None:
        return []
    found = []
    now, started = clock.minute(draft.week.plan_from), clock.minute(going.started)
    longest = step.time.at_most or step.time.at_least
    if started > now:
        what = f"started {going.started:%Y-%m-%d %H:%M}, after plan_from"
        return [draft.problem(going, "started", what=what)]
    if not step.time.plus and now - started > longest:
        what = (
            f"{step.id} takes {write_duration(longest)} at most, and has been running for "
            f"{write_duration(now - started)} at plan_from"
        )
        found.append(draft.problem(going, "started", what=what, maybe="the next step"))
    if going.last_visit is not None:
        if not step.tend:
            what = f"{step.id} is not tended, so it has no last visit"
            found.append(draft.problem(going, "last_visit", what=what))
        elif not started <= clock.minute(going.last_visit) <= now:
            what = "the last visit lies between the start of the step and plan_from"
            found.append(draft.problem(going, "last_visit", what=what))
    return found


def _standing_on(
    draft: Draft, going: InProgress, component: Component, step: Step
) -> list[Problem]:
    """`on` names units and stores that the running step, or a container still on, asks for."""
    order = [s.id for s in component.steps]
    place = order.index(step.id)
    asked = list(step.on)
    for earlier in component.steps[:place]:
        on = [n for n in earlier.on if n.until is not None]
        if any(n.until not in order[order.index(earlier.id) + 1 :] for n in on):
            return []
        asked += [n for n in on if n.until not in order[:place]]
    if any(not draft.units_of(n.equipment or "") and n.zone not in draft.zones for n in asked):
        return []
    units = {u.id for need in asked for _, u in draft.units_of(need.equipment or "")}
    stores = {s.id for need in asked for s in draft.zones.get(need.zone or "", ())}
    known = set(draft.unit) | {s.id for s in draft.kitchen.stores}
    found = []
    for i, name in enumerate(going.on):
        if name in units or name in stores:
            continue
        fitting = units | stores
        if name in known:
            what = f"{component.id}, step {step.id}, is not made on '{name}'"
        elif name in draft.kind:
            what = f"'{name}' is a kind of equipment; say which unit"
        else:
            what = f"unknown unit or store '{name}'"
        meant = nearest(name, fitting)
        there = f"; it could be on: {one_of(fitting)}" if not meant else ""
        found.append(draft.problem(going, "on", i, what=what + there, maybe=meant and f"'{meant}'"))
    return found
