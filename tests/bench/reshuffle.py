"""Plans broken while a machine or a person is in use: how soon a proposal, how good, what moves.

The demo (size 0) and planted tight weeks. Beside the engine, each by itself: *right shift*, who
does what on which and in what order stays and waits (`right_shift`); *from scratch*, the engine
with the same past and no regard for the plan on the wall; *the model*, CP-SAT alone with the same
band of changes, from what the right shift leaves.

What came is kept in a file as it comes, each way of doing it by itself: a run can be broken off
and taken up again, and with `--only` the engine measured anew beside what the others did before.
"""

from __future__ import annotations

import json
import time
from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from dataclasses import asdict, replace
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unittest import mock

from scheduler.domain.changing import moved
from scheduler.plan.audit import audit
from scheduler.solve import week as weeks
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.engine import plan_week
from scheduler.solve.helpers import processes
from scheduler.solve.objective import terms
from scheduler.solve.week import week_of
from tests.bench.calibration import line
from tests.bench.reshuffle_draw import DEMO, Happened, happenings, hung
from tests.bench.reshuffle_table import Came, Row, said, table
from tests.bench.right_shift import right_shifted

if TYPE_CHECKING:
    from scheduler.plan.model import Plan, PlannedTask
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.primitives import Solution

SIZES = (DEMO, 500, 1000)
WORKERS = 2
ENGINE = "engine"
WAYS = (ENGINE, "right shift", "from scratch", "the model")
Clock = Callable[[], float]


def counted(plan: Plan) -> tuple[int, int]:
    """Jobs that are elsewhere, in other hands, new or gone against the older plan; who is told."""
    past = plan.past
    assert past is not None
    begun = {task.id for task in past.tasks} | {duty.id for duty in past.duties}
    manned = {duty.id: duty for duty in plan.duties if duty.people}
    now = {t.id: (t.start, _people(t)) for t in plan.tasks if t.id not in begun}
    now |= {n: (d.start, frozenset(d.people)) for n, d in manned.items() if n not in begun}
    was = {w.task: (w.start, frozenset(w.people)) for w in past.was}
    jobs, told = 0, set[str]()
    for name in now.keys() | was.keys():
        (start, there), (before, they) = now.get(name, (None, ())), was.get(name, (None, ()))
        if start is None or before is None or moved(start - before):
            told.update(there, they)
        elif set(there) != set(they):
            told |= set(there) ^ set(they)
        else:
            continue
        jobs += 1
    return jobs, len(told)


def _people(task: PlannedTask) -> frozenset[str]:
    return frozenset(p for v in task.visits for p in v.people)


def came(plan: Plan, scenario: Any, **seconds: float) -> Came:
    """What came of one way of doing it."""
    events = {short.event for short in plan.unserved}
    report = audit(scenario, plan)
    wrong = [f for f in report.findings if f.rule != "terms"]
    return Came(sum(plan.terms.served), len(events), *counted(plan), valid=not wrong, **seconds)


def ours(what: Happened, seconds: float) -> tuple[Came, Came]:
    """The engine as the solving job runs it: its first proposal, and its last."""
    asked, valid = what.asked, [True]
    found: list[tuple[float, float, Plan]] = []

    def tell(event: dict[str, Any]) -> None:
        if "plan" in event:
            valid.append(audit(asked.scenario, event["plan"]).valid)
            now = time.monotonic() - began, time.process_time() - busy
            found.append((*now, event["plan"]))

    with processes(WORKERS - 1) as executor:
        began, busy = time.monotonic(), time.process_time()
        plan_week(
            asked.scenario, seconds=seconds, workers=WORKERS, executor=executor,
            start_from=asked.older.plan, past=asked.past, kept=asked.kept, tell=tell,
        )  # fmt: skip
    at, busy, proposed = found[0]
    last, _, plan = found[-1]
    best = next(at for at, _, other in found if other.terms.served == plan.terms.served)
    first = came(proposed, asked.scenario, first=at, busy=busy)
    final = came(plan, asked.scenario, first=at, busy=busy, served=best, last=last)
    return first, replace(final, valid=all(valid))


@lru_cache(maxsize=1)  # the model begins with it
def shifted(what: Happened) -> tuple[Compiled, Solution, Came]:
    """The right shift, and the problem it is of."""
    asked, began = what.asked, time.monotonic()
    week = week_of(asked.scenario, {}, asked.kept, asked.past)
    solution = right_shifted(week.compiled, asked.older.plan, asked.past)
    last = time.monotonic() - began
    plan = week.plan(solution, terms(week.compiled.problem, solution))
    return week.compiled, solution, came(plan, asked.scenario, last=last)


def from_scratch(what: Happened, seconds: float, clock: Clock) -> Came:
    """The engine with the same past, and no regard for where all else was."""
    asked, began = what.asked, clock()
    compiling: Callable[..., Compiled] = weeks.compile_week

    def forgetful(*words: Any) -> Compiled:
        compiled = compiling(*words)
        return replace(compiled, problem=replace(compiled.problem, changes=None))

    with mock.patch.object(weeks, "compile_week", forgetful), processes(WORKERS - 1) as executor:
        plan = plan_week(asked.scenario, seconds=seconds, workers=WORKERS, executor=executor,
                         past=asked.past, kept=asked.kept, clock=clock)  # fmt: skip
    return came(plan, asked.scenario, last=clock() - began)


def modelled(what: Happened, hint: Solution, seconds: float, processor: bool) -> Came | None:
    """CP-SAT alone, with the same band of changes; None where it finds nothing."""
    asked, began = what.asked, time.monotonic()
    week = week_of(asked.scenario, {}, asked.kept, asked.past)
    problem = week.compiled.problem
    busy = time.process_time()

    def over() -> bool:
        return processor and time.process_time() - busy >= seconds * WORKERS

    most = None if processor else seconds
    found = solve_model(problem, hint=hint, seconds=most, workers=WORKERS, stop=over).solution
    if found is None:
        return None
    plan = week.plan(found, terms(problem, found))
    return came(plan, asked.scenario, last=time.monotonic() - began)


def run(what: Happened, who: str, options: Namespace) -> dict[str, Came]:
    """One setback, by one of them: what came of it, of the engine first and last."""
    if who == ENGINE:
        first, last = ours(what, options.seconds)
        return {"first": first, "last": last}
    if who == "from scratch":
        clock = time.process_time if options.processor else time.monotonic
        return {who: from_scratch(what, options.baseline, clock)}
    _, solution, shift = shifted(what)
    if who == "right shift":
        return {who: shift}
    model = modelled(what, solution, options.baseline, options.processor)
    return {} if model is None else {who: model}


def main(arguments: list[str]) -> int:
    """Run it; rows and tables go to standard output."""
    parser = ArgumentParser(prog="python -m tests.bench reshuffle", description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="*", default=list(SIZES), help="0: the demo")
    parser.add_argument("--count", type=int, default=15, help="setbacks a size")
    parser.add_argument("--all", action="store_true", help="every machine and every person")
    parser.add_argument("--seconds", type=float, default=10, help="of the engine")
    parser.add_argument("--baseline", type=float, default=60, help="of the others; 0: only shift")
    parser.add_argument("--only", nargs="*", choices=WAYS, default=WAYS,
                        help="without the engine nothing is summed up")  # fmt: skip
    parser.add_argument("--processor", action="store_true",
                        help="count the processor's seconds of the others")  # fmt: skip
    parser.add_argument("--seed", type=int, default=101)
    parser.add_argument("--cache", type=Path, default=Path("bench-cache"),
                        help="where weeks are kept, and rows unless --rows says where")  # fmt: skip
    parser.add_argument("--rows", type=Path, default=None)
    options = parser.parse_args(arguments)
    print(line())
    kept = Kept(options.rows or options.cache / "reshuffle.jsonl")
    rows: list[Row] = []
    for size in options.sizes:
        week = hung(size, options.seed, options.cache)
        some = happenings(week, options.seed, options.all)
        for n, what in enumerate(some if options.all else islice(some, options.count)):
            found: dict[str, Came] = {}
            for who in WAYS:
                seconds = options.seconds if who == ENGINE else options.baseline
                if who in options.only and (seconds or who == "right shift"):
                    key = f"{size} {options.seed} {'all ' * options.all}{n} {what}, {who}"
                    key += f" {seconds:g}{' processor' * (options.processor and who != ENGINE)}"
                    known = kept.got(key)
                    found |= kept.add(key, run(what, who, options)) if known is None else known
            if ENGINE in options.only:
                others = {who: came for who, came in found.items() if who in WAYS}
                rows.append(Row(week.name, str(what), found["first"], found["last"], others))
                print("  " + said(rows[-1]), flush=True)
    print(table(rows))
    return int(not all(row.last.valid for row in rows))


class Kept:
    """What came of earlier runs, by setback and way of doing it."""

    def __init__(self, path: Path) -> None:
        self.path = path
        texts = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
        self.known = dict(json.loads(text) for text in texts)

    def got(self, key: str) -> dict[str, Came] | None:
        """What came of it before; None: it was not tried."""
        found = self.known.get(key)
        return None if found is None else {name: Came(**one) for name, one in found.items()}

    def add(self, key: str, came: dict[str, Came]) -> dict[str, Came]:
        """Keep it, and give it back."""
        plain = {name: asdict(one) for name, one in came.items()}
        self.path.parent.mkdir(parents=True, exist_ok=True)
        with self.path.open("a", encoding="utf-8") as file:
            file.write(json.dumps([key, plain]) + "\n")
        return came
