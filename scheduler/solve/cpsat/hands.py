"""Hands: distinct people over the lines of a crew or a visit, the same from start to end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.model import VISIT, Hands, Load, Manning
from scheduler.solve.cpsat.ranges import meet, starts
from scheduler.workload.primitives import way_taken

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.solve.cpsat.model import Lit, Model, View
    from scheduler.solve.cpsat.ranges import Ranges
    from scheduler.workload.primitives import Crew, Line, Way

    Who = Callable[[View], tuple[int, ...]]


def add_crews(model: Model) -> None:
    """Crews: sum over people p of line l of y_{l,p} = count_l where the task is in that way.

    y_{l,p} puts the task on p's day; sum over l of y_{l,p} <= 1. Exactly one way
    w where the task is there (sum over w of v_w = 1), least_w <= end - start <= most_w
    where v_w; quality += price_w * v_w.
    """
    for c, crew in enumerate(model.problem.crews):
        task = model.problem.tasks[crew.task]
        present = model.present[task.batch]
        if task.batch in model.scope.frozen or present is False:
            continue
        model.units.add("crews")
        start, end = model.time.span(crew.task)
        model.hands["crew", c, 0] = []
        for w, lit in enumerate(_ways(model, c, crew, present)):
            way = crew.ways[w]
            least, most = max(task.least, way.least), min(task.most, way.most)
            if least > most:
                model.when(False, lit)
                model.hands["crew", c, 0] += [{} for _ in way.lines]
                continue
            if least > task.least:
                model.at_least(end, start, least, lit)
            if most < task.most:
                model.at_least(start, end, -most, lit)

            def who(view: View, c: int = c, crew: Crew = crew, way: Way = way) -> tuple[int, ...]:
                people = view.solution.crews.get(c, ())
                return people if _taken(view, c, crew) is way else ()

            load = Load(start, end, least, most, 1, lit)
            item = Manning(crew.leave, crew.rest, (c, w), way.least)
            model.hands["crew", c, 0] += staff(model, way.lines, load, who, c, item)
            if way.price:
                _price(model, way.price, lit)


def _ways(model: Model, c: int, crew: Crew, present: Lit) -> list[Lit]:
    """For each way of a crew the literal of its being taken."""
    if len(crew.ways) == 1:
        return [present]
    lits: list[Lit] = [
        model.literal(lambda view, way=way: _taken(view, c, crew) is way)  # type: ignore[misc]
        for way in crew.ways
    ]
    model.cp.add(sum(lits) == present)
    return lits


def _taken(view: View, c: int, crew: Crew) -> Way | None:
    """The way a crew is in."""
    times = view.solution.times.get(crew.task)
    if times is None or c not in view.solution.crews:
        return None
    return way_taken(crew, view.solution.crews[c], times[1] - times[0])


def _price(model: Model, price: int, lit: Lit) -> None:
    if lit is True:
        model.quality.constant += price
    elif not isinstance(lit, bool):
        model.quality.terms.append(price * lit)


def staff(
    model: Model,
    lines: tuple[Line, ...],
    load: Load,
    who: Who,
    crew: int | None = None,
    manning: Manning = VISIT,
) -> list[dict[int, Lit]]:
    """Literals of who does it: for each line its people.

    Parameters
    ----------
    load
        When, and the literal of its being there.
    who
        The people in a solution, in the order of the lines.
    crew
        Which crew it is, if it is no visit, and …
    manning
        … what it means where jobs may be left.
    """
    out: list[dict[int, Lit]] = []
    place = 0
    for line in lines:
        hours = {p: model.scope.hours(p, crew) for p in line.people}
        out.append(_line(model, line, load, who, place, hours, manning))
        place += line.count
    for p in sorted({p for line in out for p in line}):
        mine = [line[p] for line in out if p in line]
        for i, one in enumerate(mine):
            for two in mine[i + 1 :]:
                model.when(False, one, two)
    return out


def _line(
    model: Model,
    line: Line,
    load: Load,
    who: Who,
    place: int,
    hours: dict[int, Ranges],
    manning: Manning,
) -> dict[int, Lit]:
    able = [p for p in line.people if not model.encoding.tighten or _can(hours[p], load)]
    if len(able) < line.count:
        model.when(False, load.lit)
        return {}
    if len(able) == line.count:
        lits: dict[int, Lit] = {p: load.lit for p in able}
    else:

        def chosen(view: View, p: int) -> bool:
            people = who(view)[place : place + line.count]
            return model.holds(load.lit, view) and p in people

        lits = {p: model.literal(lambda view, p=p: chosen(view, p)) for p in able}  # type: ignore[misc]
        total = sum(lits.values())
        if isinstance(load.lit, bool):
            model.cp.add(total == line.count)
        else:
            model.cp.add(total == line.count * load.lit)
    for p, lit in lits.items():
        theirs = Load(load.start, load.end, load.least, load.most, 1, lit)
        model.inside(theirs, hours[p])
        if model.scope.leaving:
            model.at_hands[p].append(Hands(theirs, manning))
        else:
            model.of_person[p].append(theirs)
    return lits


def _can(hours: Ranges, load: Load) -> bool:
    """Whether any stretch of theirs has room for it."""
    window = ((load.start.low, load.start.high),)
    return bool(meet(starts(hours, max(load.least, 0)), window))
