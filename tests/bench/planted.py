"""Planted weeks: weeks of any size that are known to work, because a plan for each is known.

First a kitchen that has too much of everything and a plan in it
(`planted_grow`), then the kitchen is cut down to that plan
(`planted_squeeze`, `planted_brigade`). Nothing here uses the engine that is
measured with these weeks, so they stay the same when the engine changes.
"""

from __future__ import annotations

import copy
import hashlib
import pickle
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan, Terms
from scheduler.solve.check import violations
from scheduler.workload.assemble import assemble
from scheduler.workload.compile import compile_week
from scheduler.workload.primitives import Problem
from scheduler.workload.work import work_out
from tests.bench.pencil_touch import Touch
from tests.bench.planted_brigade import Brigade
from tests.bench.planted_draw import Document
from tests.bench.planted_figures import fullness
from tests.bench.planted_grow import TOGETHER, Grown
from tests.bench.planted_squeeze import carried_over, squeezed
from tests.bench.planted_week import Size, used, written

PER_EVENT = 24
"""Visits an event brings, roughly: where the search for the number of events begins."""
PASSES = 3
"""Plantings of one tight week that is not tiny; the one with the fewest shifts is taken."""
DRAWS = 8
"""Weeks drawn for one seed until one is as it should be …"""
NEAR = 0.08
"""… with visits within so much of what was wanted (twice that for tiny weeks) …"""
TINY = 100
"""… and fullness too in all but tiny weeks."""
LOOSE = 0.30
SLACK = 0.05
"""A loose brigade is first cut a little too far, so that hands can be put where they are short."""
TIGHT = (0.52, 0.58)
"""Part of everybody's time on shift that is spent at work."""


class Barren(Exception):
    """A week that could not be planted: a fault of the generator."""


@dataclass(frozen=True, slots=True)
class Planted:
    """A week that is known to work.

    Attributes
    ----------
    scenario : Scenario
    plan : Plan
        The hidden plan; the audit calls it VALID and SERVED.
    """

    scenario: Scenario
    plan: Plan

    @property
    def visits(self) -> int:
        """Visits of the hidden plan."""
        return sum(len(task.visits) for task in self.plan.tasks)

    @property
    def mark(self) -> str:
        """Says which week it is: the first of its SHA-256."""
        return self.scenario.sha256()[:10]


def planted(visits: int, tight: bool, seed: int, cache: Path | None = None) -> Planted:
    """A planted week, the same every time.

    Parameters
    ----------
    visits : int
        Wanted number of visits; what comes out is near it.
    tight : bool
        Hands 50 to 60 % used, the walk-in as full as the hidden plan makes
        it, machines as few; otherwise about 30 % and room to spare.
    seed : int
    cache : Path, optional
        A folder in which weeks are kept from run to run, by what made them.

    Raises
    ------
    Barren
        If no week can be planted, or the audit refuses its plan: our fault.
    """
    if cache is None:
        return _plant(visits, tight, seed)
    name = f"{visits}-{'tight' if tight else 'loose'}-{seed}-{_source()}.pickle"
    path = cache / name
    if path.exists():
        document, plan = pickle.loads(path.read_bytes())
        kept = Planted(scenario_of(document), Plan.model_validate(plan))
        report = audit(kept.scenario, kept.plan)
        if report.valid and report.served:  # else words have come to mean something else
            return kept
    week = _plant(visits, tight, seed)
    cache.mkdir(parents=True, exist_ok=True)
    path.write_bytes(pickle.dumps((week.scenario.document(), week.plan.model_dump(mode="json"))))
    return week


def _source() -> str:
    """Changes when the generator does."""
    here = Path(__file__).parent
    text = b"".join(p.read_bytes() for p in sorted(here.glob("p[el][na]*.py")))
    return hashlib.sha256(text).hexdigest()[:10]


def _plant(visits: int, tight: bool, seed: int) -> Planted:
    """Draw weeks until one is as it should be; nearly always the first or second is."""
    nearest: tuple[float, Planted] | None = None
    for draw in range(DRAWS):
        rng = Random(f"{visits} {seed} {draw}")
        week = _planted(visits, tight, rng)
        off = _off(week, visits, tight)
        if nearest is None or off < nearest[0]:
            nearest = off, week
        if not off:
            break
    assert nearest is not None
    return nearest[1]


def _off(week: Planted, visits: int, tight: bool) -> float:
    """How far a week is from what was wanted; 0 where it is as it should be."""
    off = max(0.0, abs(week.visits - visits) / visits - NEAR)
    if visits <= TINY:
        return max(0.0, off - NEAR)
    full = fullness(week.scenario, week.plan)
    if not tight:
        return off + max(0.0, abs(full.hands - LOOSE) - 0.03)
    off += max(0.0, 0.5 - full.hands, full.hands - 0.6) + max(0.0, 1 - full.walk_in)
    return off + max(0, 2 - full.machines)


def _planted(visits: int, tight: bool, rng: Random) -> Planted:
    document = _sized(Size(visits), rng.randrange(1 << 30))
    for _ in range(6):
        scenario = scenario_of(document)
        problem = full_hands(compile_week(scenario, work_out(scenario)).problem)
        best: Grown | None = None
        grown: Grown | None = None
        touch = Touch(problem, TOGETHER)
        for _ in range(PASSES if tight and visits > TINY else 1):
            grown = Grown(problem, touch, rng, tight, grown)
            grown.run()
            if best is None or grown.key < best.key:
                best = grown
        assert best is not None
        if not best.lost:
            return _cut(document, problem, best, tight, rng)
        document = _without(document, scenario, [problem.batches[b].id for b in best.lost])
    raise Barren(f"{visits} visits: what is planted does not take")


def full_hands(problem: Problem) -> Problem:
    """The same week with everything done in the first way there is to do it.

    What a trainee alone takes longer for would be too long for the cook to whom the work is
    given afterwards.
    """
    tasks = list(problem.tasks)
    for crew in problem.crews:
        way, task = crew.ways[0], tasks[crew.task]
        least, most = max(task.least, way.least), min(task.most, way.most)
        tasks[crew.task] = replace(task, least=least, most=most)
    return replace(problem, tasks=tuple(tasks))


def _sized(size: Size, seed: int) -> Document:
    """Written weeks of more or fewer events, until the visits come out right."""
    events = max(1, round(size.visits / PER_EVENT))
    best: tuple[float, Document] = (float("inf"), {})
    seen: set[int] = set()
    while events not in seen and len(seen) < 6:
        seen.add(events)
        document = written(size, events, seed)
        scenario = scenario_of(document)
        count = expected_visits(compile_week(scenario, work_out(scenario)).problem)
        best = min(best, (abs(count - size.visits), document), key=lambda x: x[0])
        events = max(1, round(events * size.visits / count))
    return best[1]


def expected_visits(problem: Problem) -> int:
    """Visits that a week will have, before it is planned; tending by its middle gap."""
    fixed = {t for b in problem.batches if b.fixed for t in b.tasks}
    count = sum(c.task not in fixed for c in problem.crews) + len(problem.adds)
    for tend in problem.tends:
        length = problem.tasks[tend.task].least
        if tend.gap is not None:
            count += length // (sum(tend.gap) // 2 + tend.length)
        elif tend.windows:
            days = max(1, problem.horizon * problem.grid // 1440)
            count += round(len(tend.windows) / days * length * problem.grid / 1440)
    return count


def _without(document: Document, scenario: Scenario, lost: Iterable[str]) -> Document:
    """Take off the menu what found no place in any kitchen, or lacks what found none."""
    workload = work_out(scenario)
    gone = set(lost)
    while True:
        more = {s.consumer for s in workload.shares if s.source in gone} - gone
        if not more:
            break
        gone |= more
    courses = {(b.event, b.course) for b in workload.batches if b.id in gone and b.dish}
    if not courses:
        raise Barren(f"nothing to take off for {', '.join(sorted(gone))}")
    out = copy.deepcopy(document)
    week = out["week"]
    for event in week["events"]:
        event["menu"] = [
            line for n, line in enumerate(event["menu"]) if (event["id"], n) not in courses
        ]
    week["events"] = [e for e in week["events"] if e["menu"]]
    if not week["events"]:
        raise Barren("nothing is left of the week")
    return used(out)


def _cut(
    document: Document, problem: Problem, grown: Grown, tight: bool, rng: Random
) -> Planted:
    """Cut the kitchen down to the plan, and have the audit read both."""
    brigade = Brigade(grown.pencil)
    brigade.cover()
    if tight:
        brigade.tighten(rng.uniform(*TIGHT))
    else:
        brigade.tighten(LOOSE + SLACK)
        brigade.loosen(LOOSE)
    brigade.write_back()
    scenario = scenario_of(squeezed(document, grown.pencil, brigade.shifts, tight))
    workload = work_out(scenario)
    compiled = compile_week(scenario, workload)
    solution = carried_over(problem, compiled.problem, grown.pencil.solution())
    wrong = violations(compiled.problem, solution)
    if wrong:
        raise Barren("; ".join(wrong[:5]))
    plan = assemble(
        scenario, workload, compiled, solution, {}, frozenset(), Terms(served=(), quality=0)
    )
    # How good it is, the audit says.
    plan = plan.model_copy(update={"terms": audit(scenario, plan).terms})
    report = audit(scenario, plan)
    if not (report.valid and report.served):
        raise Barren("; ".join(str(f) for f in report.findings[:5]) or "not everybody is served")
    return Planted(scenario, plan)
