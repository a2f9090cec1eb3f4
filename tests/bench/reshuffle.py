"""Plans broken while a unit or a person is in use: first proposal, final one, and what they move.

Planted tight weeks, whose hidden plan hangs on the wall. Beside the engine: what only puts in
again what has lost its place (*right shift*: nothing else moves), the engine without an older
plan, and the OR-Tools model alone with the same band of changes.
"""

from __future__ import annotations

import statistics
import time
from argparse import ArgumentParser, Namespace
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

from scheduler.domain.changing import moved
from scheduler.domain.problems import BadInput
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, plan_text, verdicts_of
from scheduler.reshuffle.asking import Asked, asked
from scheduler.reshuffle.setback import Away, Down, Setback
from scheduler.solve.around import around
from scheduler.solve.board import Board
from scheduler.solve.construct import construct
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.engine import plan_week
from scheduler.solve.helpers import processes
from scheduler.solve.index import Index
from scheduler.solve.objective import terms
from scheduler.solve.week import week_of
from scheduler.workload.recalled import recalled
from tests.bench.calibration import line
from tests.bench.planted import planted

if TYPE_CHECKING:
    from scheduler.plan.model import Plan

SIZES = (500, 1000)
MID = 2
"""One in so many setbacks comes between tasks, the others in the middle of one."""


@dataclass(frozen=True)
class Came:
    """What came of one way of doing it: portions short, jobs moved, people told, seconds."""

    short: int
    jobs: int
    people: int
    first: float = 0.0
    last: float = 0.0


def counted(plan: Plan) -> tuple[int, int]:
    """Jobs that had not begun and are elsewhere or in other hands, and who is told of them."""
    assert plan.past is not None
    now = {t.id: (t.start, {p for v in t.visits for p in v.people}) for t in plan.tasks}
    jobs, people = 0, set[str]()
    for was in plan.past.was:
        if "/" not in was.task or was.task.count("-") > 20 or was.task not in now:
            continue
        start, there = now[was.task]
        if moved(start - was.start):
            people |= there | set(was.people)
        elif there == set(was.people):
            continue
        else:
            people |= there ^ set(was.people)
        jobs += 1
    return jobs, len(people)


def drawn(plan: Plan, scenario: object, rng: Random, mid: bool) -> tuple[datetime, Setback]:
    """A machine or a person that is in use, at that moment."""
    clock = scenario.clock  # type: ignore[attr-defined]
    machine = rng.random() < 0.5
    some = [
        t for t in plan.tasks
        if t.end - t.start >= 60 and (any(x.unit for x in t.taken) if machine else
                                      any(v.kind == "hands" for v in t.visits))
    ]  # fmt: skip
    task = rng.choice(some)
    minute = (task.start + task.end) // 2 if mid else task.start - 5
    now = clock.local(minute).replace(tzinfo=None)
    if machine:
        unit = rng.choice([x.unit for x in task.taken if x.unit])
        until = clock.local(minute + 240).replace(tzinfo=None)
        return now, Down(what=unit, until=until)
    who = rng.choice([p for v in task.visits if v.kind == "hands" for p in v.people])
    return now, Away(who=who)


def ours(what: Asked, seconds: float, workers: int) -> tuple[Came, bool]:
    """The engine, as the solving job runs it; is everything it tells VALID?"""
    began, firsts, valid = time.monotonic(), list[float](), [True]

    def tell(event: dict[str, object]) -> None:
        if "plan" in event:
            valid.append(audit(what.scenario, event["plan"]).valid)  # type: ignore[arg-type]
            firsts.append(time.monotonic() - began)

    with processes(workers - 1) as executor:
        plan = plan_week(
            what.scenario, seconds=seconds, workers=workers, executor=executor,
            start_from=what.older.plan, past=what.past, kept=what.kept, tell=tell,
        )  # fmt: skip
    came = Came(sum(plan.terms.served), *counted(plan), firsts[0], time.monotonic() - began)
    return came, all(valid)


def beside(what: Asked, options: Namespace) -> dict[str, Came]:
    """The others, each by itself."""
    week = week_of(what.scenario, {}, what.kept, what.past)
    problem = week.compiled.problem
    older = recalled(week.compiled, what.older.plan)

    def came(solution: object) -> Came:
        plan = week.plan(solution, terms(problem, solution))  # type: ignore[arg-type]
        return Came(sum(plan.terms.served), *counted(plan))

    shifted = around(week.compiled, older, Index(problem), Random(1), lambda: True)
    found = {"right shift": came(shifted.solution())}
    if options.baseline:
        begun: Board = construct(Index(problem), Random(1))
        anew = plan_week(what.scenario, seconds=options.baseline, past=what.past, workers=1)
        found["scratch"] = Came(sum(anew.terms.served), *counted(anew))
        hint = shifted.solution() if shifted.score() < begun.score() else begun.solution()
        model = solve_model(problem, hint=hint, seconds=options.baseline, workers=2)
        if model.solution is not None:
            found["model"] = came(model.solution)
    return found


def main(arguments: list[str]) -> int:
    """Run it; the table goes to standard output."""
    parser = ArgumentParser(prog="python -m tests.bench reshuffle", description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="*", default=list(SIZES))
    parser.add_argument("--count", type=int, default=15, help="setbacks a size")
    parser.add_argument("--seconds", type=float, default=10, help="of the engine")
    parser.add_argument("--baseline", type=float, default=60, help="of the others; 0: only shift")
    parser.add_argument("--seed", type=int, default=101)
    parser.add_argument("--cache", type=Path, default=None)
    options = parser.parse_args(arguments)
    print(line())
    worst = 0
    for size in options.sizes:
        week = planted(size, True, options.seed, options.cache)
        report = audit(week.scenario, week.plan)
        text = plan_text(week.plan, week.scenario, Made(), verdicts_of(report))
        rng, rows = Random(options.seed), list[tuple[Came, dict[str, Came]]]()
        while len(rows) < options.count:
            now, setback = drawn(week.plan, week.scenario, rng, len(rows) % MID == 0)
            try:
                what = asked(text, [setback], now)
            except BadInput as bad:
                print(f"  passed over: {bad}")
                continue
            came, valid = ours(what, options.seconds, 2)
            others = beside(what, options)
            rows.append((came, others))
            worst |= not valid
            said = ", ".join(f"{k} {c.short}/{c.jobs}/{c.people}" for k, c in others.items())
            name = getattr(setback, "what", getattr(setback, "who", ""))
            said += "" if valid else "; NOT VALID"
            print(
                f"  {week.visits} visits, {now:%a %H:%M} {setback.kind} {name}: "
                f"{came.short} short, {came.jobs} jobs, {came.people} people told, first "
                f"{came.first:.2f} s, last {came.last:.1f} s; {said}",
                flush=True,
            )
        _summed(week.visits, rows)
    return worst


def _summed(visits: int, rows: list[tuple[Came, dict[str, Came]]]) -> None:
    firsts = sorted(came.first for came, _ in rows)
    print(
        f"{visits} visits: first proposal {statistics.median(firsts):.2f} s in the middle, "
        f"{firsts[min(len(firsts) - 1, int(0.95 * len(firsts)))]:.2f} s at 95 %; "
        f"{sum(c.jobs for c, _ in rows)} jobs moved, {sum(c.people for c, _ in rows)} people told"
    )
    for name in dict.fromkeys(k for _, others in rows for k in others):
        pairs = [(c, o[name]) for c, o in rows if name in o]
        fewer = sum(c.short > other.short for c, other in pairs)
        jobs, people = sum(o.jobs for _, o in pairs), sum(o.people for _, o in pairs)
        print(f"  beside {name}: {fewer} of {len(pairs)} serve less; {jobs} jobs, {people} people")
