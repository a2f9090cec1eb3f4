"""Times: ranges that are empty on the grid, holds nobody can keep, tending that does not fit."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.methods import variants
from scheduler.domain.problems import Problem
from scheduler.domain.recipes import (
    Add,
    Band,
    Component,
    Decides,
    Keep,
    Step,
    Take,
    Tend,
    Time,
    Visit,
    Wait,
)
from scheduler.domain.times import write_duration
from scheduler.domain.walks import Recipe, recipes, steps, takes, visits


def times(draft: Draft) -> list[Problem]:
    """Every range, wait, hold and tolerance still holds something on the grid."""
    grid = draft.kitchen.grid
    found: list[Problem] = []
    for recipe, step in steps(draft):
        found += _law(draft, step, grid)
        for field, visit in visits(step):
            found += _visit(draft, step, field, visit, grid)
        if step.then is not None:
            found += _band(draft, step.then, step.then.at_most, grid, "wait")
        found += _decides(draft, recipe, step, grid)
    for recipe in recipes(draft):
        keeps = recipe.keeps if isinstance(recipe, Component) else (recipe.keeps,)
        for keep in keeps:
            if keep is not None:
                found += _band(draft, keep, keep.at_most, grid, "hold")
        if isinstance(recipe, Component):
            found += _ways_of_keeping(draft, recipe)
            for made in variants(recipe):
                found += _unloading(draft, made)
    return found + _within(draft, grid)


def _up(minutes: int, grid: int) -> int:
    return -(-minutes // grid) * grid


def _down(minutes: int, grid: int) -> int:
    return minutes // grid * grid


def _nothing_left(word: str, low: int, high: int, grid: int) -> str:
    return (
        f"the {word} is empty on the grid of {grid} min: {write_duration(low)} is "
        f"{write_duration(_up(low, grid))}, {write_duration(high)} is "
        f"{write_duration(_down(high, grid))}"
    )


def _law(draft: Draft, step: Step, grid: int) -> list[Problem]:
    time = step.time
    if step.hands and time.at_least == 0 and not time.plus:
        return [draft.problem(step, "time", what="hands for no time at all")]
    if _is_range(time) and not time.plus and time.decides is Decides.WE:
        low, high = time.at_least, time.at_most or 0
        if _up(low, grid) > _down(high, grid):
            what = _nothing_left("range", low, high, grid)
            return [draft.problem(step, "time", what=what)]
    return []


def _is_range(time: Time) -> bool:
    return time.at_most is not None and time.at_most != time.at_least


def _visit(draft: Draft, step: Step, field: str, visit: Visit, grid: int) -> list[Problem]:
    time = visit.time
    if time.at_least == 0 and not time.plus:
        return [draft.problem(visit, "time", what=f"the {field} takes no time at all")]
    if _is_range(time) or time.best not in (None, time.at_least) or time.decides is Decides.IT:
        what = "a visit has one length: no `best`, no `at_most`, no `decides`"
        return [draft.problem(visit, "time", what=what)]
    if isinstance(visit, Tend):
        return _tending(draft, step, visit, grid)
    if isinstance(visit, Add):
        return _adding(draft, step, visit, grid)
    return []


def _tending(draft: Draft, step: Step, tend: Tend, grid: int) -> list[Problem]:
    """Some length of the step allows visits with every gap in its tolerance.

    With k visits of length v and gaps in [a, b], lengths from k (a + v) to
    k (b + v) + b can be had.
    """
    length = _up(tend.time.at_least, grid)
    if tend.every is None:
        for i, name in enumerate(tend.day_parts):
            part = next((p for p in draft.kitchen.day_parts if p.id == name), None)
            if part is not None and part.hours.end - part.hours.start < length:
                what = f"a visit of {write_duration(length)} in the {name}, {part.hours}"
                return [draft.problem(tend, "day_parts", i, what=what)]
        return []
    low, high = tend.every - tend.give_or_take, tend.every + tend.give_or_take
    a, b = _up(low, grid), _down(high, grid)
    if a > b:
        what = _nothing_left("gap between visits", low, high, grid)
        return [draft.problem(tend, "give_or_take", what=what, maybe="a larger give_or_take")]
    if step.time.plus or tend.time.plus:
        return []
    shortest = _up(step.time.at_least, grid)
    longest = _down(step.time.at_most or 0, grid) if _is_range(step.time) else shortest
    if step.time.decides is Decides.IT:
        shortest = longest = _up(step.time.at_most or step.time.at_least, grid)
    most = longest // (a + length)
    fewest = max(0, -(-(shortest - b) // (b + length)))
    if fewest <= most:
        return []
    span = write_duration(shortest) + (
        f" to {write_duration(longest)}" if longest > shortest else ""
    )
    what = (
        f"visits of {write_duration(length)} every {write_duration(low)} to "
        f"{write_duration(high)} do not come out in {span}"
    )
    return [draft.problem(tend, "every", what=what, maybe="a larger give_or_take")]


def _adding(draft: Draft, step: Step, add: Add, grid: int) -> list[Problem]:
    low, high = max(0, add.after - add.give_or_take), add.after + add.give_or_take
    if _up(low, grid) > _down(high, grid):
        what = _nothing_left("moment of adding", low, high, grid)
        return [draft.problem(add, "after", what=what, maybe="a larger give_or_take")]
    if step.time.plus or add.time.plus:
        return []
    longest = step.time.at_most if _is_range(step.time) else step.time.at_least
    longest = _up(longest or 0, grid)
    needed = _up(low, grid) + _up(add.time.at_least, grid)
    if needed > longest:
        what = (
            f"a visit of {write_duration(add.time.at_least)} after {write_duration(add.after)} "
            f"does not fit into {write_duration(longest)}"
        )
        return [draft.problem(add, "after", what=what)]
    return []


def _band(draft: Draft, band: Wait | Keep, limit: int, grid: int, word: str) -> list[Problem]:
    if limit and _down(limit, grid) == 0:
        what = f"the {word} of {write_duration(limit)} is nothing on the grid of {grid} min"
        return [draft.problem(band, "at_most", what=what, maybe=write_duration(grid))]
    if band.not_before != limit and _up(band.not_before, grid) > _down(limit, grid):
        what = _nothing_left(word, band.not_before, limit, grid)
        return [draft.problem(band, "at_most", what=what)]
    if band.not_before == limit and _up(limit, grid) != limit:
        what = f"exactly {write_duration(limit)} is not on the grid of {grid} min"
        return [draft.problem(band, "at_most", what=what, maybe=write_duration(_up(limit, grid)))]
    return []


def _decides(draft: Draft, recipe: Recipe, step: Step, grid: int) -> list[Problem]:
    """Where the food decides, what follows must be able to wait from the shortest."""
    time = step.time
    if time.decides is not Decides.IT:
        return []
    if time.at_most is None:
        what = "the food decides how long it takes, so it needs a longest time"
        return [draft.problem(step, "time", what=what, maybe="'at_most: …'")]
    spread = _up(time.at_most, grid) - time.at_least if _is_range(time) else 0
    last = step is recipe.steps[-1] or step.id == recipe.steps[-1].id
    follows: list[tuple[Band | Step, int, int, str]] = []
    if step.then is not None:
        follows.append((step.then, step.then.not_before, step.then.at_most, "the wait after it"))
    elif last and isinstance(recipe, Component):
        for keep in recipe.keeps:
            follows.append((keep, keep.not_before, keep.at_most, "its hold"))
    elif spread > 0:
        what = (
            f"the food decides between {write_duration(time.at_least)} and "
            f"{write_duration(time.at_most)}, and nothing may wait after it"
        )
        return [draft.problem(step, "time", what=what, maybe="`then` with an `at_most`")]
    found = []
    for band, least, limit, word in follows:
        if _down(limit - spread, grid) < _up(least, grid):
            what = (
                f"{word} lasts {write_duration(limit)} at most, counted from the shortest time, "
                f"and the food may take {write_duration(spread)} longer"
            )
            if least:
                what += f" and then waits {write_duration(least)}"
            found.append(draft.problem(band, "at_most", what=what))
    return found


def _ways_of_keeping(draft: Draft, component: Component) -> list[Problem]:
    first = component.keeps[0]
    found = []
    for i, keep in enumerate(component.keeps[1:], 1):
        same = (keep.not_before, keep.best(), keep.at_most) == (
            first.not_before, first.best(), first.at_most,
        )  # fmt: skip
        if not same:
            what = (
                "another limit or best age in another place is another state of it (first "
                f"{write_duration(first.at_most)}, here {write_duration(keep.at_most)})"
            )
            hint = "`states`, with the step that brings it there"
            found.append(draft.problem(keep, "at_most", what=what, maybe=hint))
        elif keep.per_shelf != first.per_shelf or (keep.zone is None) != (first.zone is None):
            what = "what takes other room is another state of it"
            hint = "`states`, with the step that brings it there"
            found.append(draft.problem(keep, "per_shelf", what=what, maybe=hint))
        elif keep.zone in [k.zone for k in component.keeps[:i]]:
            found.append(draft.problem(keep, "zone", what=f"zone '{keep.zone}' stands here twice"))
    return found


def _unloading(draft: Draft, component: Component) -> list[Problem]:
    """The first piece out must not be past its hold when the last one is out."""
    unload = component.steps[-1].unload if component.steps else None
    found = []
    if unload is not None:
        for keep in component.keeps:
            if draft.kitchen.grid <= keep.at_most < unload.time.at_least:
                what = (
                    f"the hold of {write_duration(keep.at_most)} is shorter than the unload "
                    f"before it, {write_duration(unload.time.at_least)}"
                )
                found.append(draft.problem(keep, "at_most", what=what))
    return found


def _within(draft: Draft, grid: int) -> list[Problem]:
    found = []
    for _, _, take in takes(draft):
        if take.within is None:
            continue
        if take.within and _down(take.within, grid) == 0:
            what = f"{write_duration(take.within)} is nothing on the grid of {grid} min"
            found.append(draft.problem(take, "within", what=what, maybe=write_duration(grid)))
            continue
        made = draft.component.get(take.component or "")
        if made is None:
            what = "`within` is how long a component may wait; an ingredient has no such clock"
            if take.ingredient is not None:
                found.append(draft.problem(take, "within", what=what))
            continue
        for variant in variants(made):
            found += _within_of(draft, take, variant, grid)
    return found


def _within_of(draft: Draft, take: Take, made: Component, grid: int) -> list[Problem]:
    last, within = made.steps[-1].time, take.within or 0
    spread = (last.at_most or last.at_least) - last.at_least
    spread = spread if last.decides is Decides.IT else 0
    least = max(min(k.not_before for k in made.keeps), 0)
    if _down(within - spread, grid) >= _up(least, grid):
        return []
    why = f"{made.id} waits at least {write_duration(least)}" if least else (
        f"the food may take {write_duration(spread)} longer in {made.steps[-1].id}"
    )
    what = f"within {write_duration(within)}, but {why}"
    return [draft.problem(take, "within", what=what)]
