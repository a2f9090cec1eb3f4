"""A first board from an older plan: everything where it was, as far as it still may stand there.

What may not (what is kept elsewhere now, what has changed, whoever is away)
is put in near its old place, others make way for it where they must and go
back near theirs. Afterwards what stands as it stood is not moved any more
(`Problem.stay`): an older plan is started from so that few things change.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.solve.anchors import anchors_of
from scheduler.solve.board import Board, placement_in
from scheduler.solve.carry import settle
from scheduler.solve.check import violations
from scheduler.solve.choosing import Trial
from scheduler.solve.construct import adopt, drop_hopeless, fixed_batches, restore, unplaced
from scheduler.solve.index import Index
from scheduler.solve.repair import Repair
from scheduler.solve.ways import insert
from scheduler.solve.week import week_if_any, week_of
from scheduler.workload.builder import first
from scheduler.workload.carried import without
from scheduler.workload.primitives import HORIZON_START, Link, Point, Solution
from scheduler.workload.recalled import recalled
from scheduler.workload.staying import manned_by
from scheduler.workload.wishes import BY_HAND

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence
    from random import Random

    from scheduler.plan.model import Plan
    from scheduler.solve.placement import Placement
    from scheduler.solve.week import Week
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.primitives import Problem

    Stop = Callable[[], bool]

EJECTIONS = 60
"""Ejections before choices of methods are looked at."""


def around(compiled: Compiled, older: Solution, index: Index, rng: Random) -> Board:
    """A board of a problem with an older solution on it, as far as that may be.

    What may not stand where it was is near there if there is room; nothing makes way for it.

    Parameters
    ----------
    older : Solution
        In the numbers of the problem (`recalled`).
    """
    problem = index.problem
    kept = {compiled.batch[record.batch] for record in compiled.tasks
            if any(k.task == record.id for k in compiled.kept)}  # fmt: skip
    found = _without(problem, older, _breaking(problem, older, sorted(kept)))
    board = Board(index)
    adopt(board, found)
    board.anchors = anchors_of(compiled, older)
    if not _fixed_in(board, rng):
        board = Board(index)
        board.anchors = anchors_of(compiled, older)
        fixed_batches(board, rng)
        board.last_resort = False
        restore(board, _beside(board, found))
    _check(board)
    settle(board)
    return board


def begun(week: Week, older: Plan, rng: Random) -> tuple[Week, Board]:
    """A week's board around an older plan.

    In the middle of a week a standing duty that finds no people beside what runs gets fewer.
    """
    while True:
        compiled = week.compiled
        index = Index(compiled.problem)
        board = around(compiled, recalled(compiled, older), index, rng)
        over = {d.id for d in week.past.duties} if week.past else set()
        lacking = [
            d.id for d in compiled.duties
            if d.crew is not None and d.id not in over
            and compiled.problem.tasks[d.task].batch not in board.placed
        ]  # fmt: skip
        if week.past is None or not lacking:
            return week, board
        past = week.past.model_copy(update={"unmanned": (*week.past.unmanned, *lacking)})
        week = week_of(week.scenario, week.chosen, week.kept, past)


def make_way(compiled: Compiled, older: Solution, board: Board, rng: Random, stop: Stop) -> None:
    """What had a place and has none gets one, if that serves more.

    In the middle of a week also what never had one.
    """
    had = older.placed(board.problem)
    if not any(compiled.past is not None or b in had for b in unplaced(board)):
        return
    before, score = board.solution(), board.score()
    for _ in Repair(board, rng).run(EJECTIONS, stop):
        pass
    drop_hopeless(board)
    if board.score() > score:
        adopt(board, before)


def stay(compiled: Compiled, board: Board, older: Solution) -> Problem:
    """The problem with everything that stands as in an older solution staying there.

    Of batches that had to move, those tasks that did not: their start and their people.
    """
    problem, here = compiled.problem, board.solution()
    both = board.placed & older.placed(problem)
    moving = {b for b in both if not problem.batches[b].fixed}
    staying = frozenset(b for b in moving if _as_it_was(board, here, older, b))
    moving -= staying
    tasks, crews, links = list(problem.tasks), list(problem.crews), list(problem.links)
    for record in compiled.tasks:
        point = first(record)
        t, was = point.task, older.times.get(point.task)
        if compiled.batch[record.batch] not in moving or was is None or here.times[t][0] != was[0]:
            continue
        tick = was[0]
        latest = min(tasks[t].latest, tick + tasks[t].most)
        tasks[t] = replace(tasks[t], earliest=tick, latest=latest)
        links.append(Link(Point(HORIZON_START), point, tick, tick))
        for visit in record.visits:
            if visit.kind in BY_HAND and here.crews[visit.item] == older.crews[visit.item]:
                crew = crews[visit.item]
                ways = manned_by(crew.ways, here.crews[visit.item])
                crews[visit.item] = replace(crew, ways=ways)
    return replace(
        problem, stay=staying, tasks=tuple(tasks), crews=tuple(crews), links=tuple(links)
    )


def rooted(best: Trial, older: Plan) -> Trial:
    """What has been found, on a board for improving nothing but what had to move.

    The week stays as it is: whether something cannot work is asked of that.
    """
    compiled = best.week.compiled
    was = recalled(compiled, older)
    board = Board(Index(stay(compiled, best.board, was)))
    adopt(board, best.solution)
    board.anchors = anchors_of(compiled, was)
    return Trial.of(best.week, board)


def freed(best: Trial, older: Plan) -> Trial:
    """What has been found, on a board for improving all that is not over.

    What may move is not what had to move: the band of changes says what that costs.
    """
    compiled, now = best.week.compiled, best.week.compiled.problem.changes
    problem = compiled.problem
    over = frozenset(
        b
        for b in best.solution.placed(problem)
        if now is not None
        and not problem.batches[b].fixed
        and all(best.solution.times[t][1] <= now.now for t in problem.batches[b].tasks)
    )
    board = Board(Index(replace(problem, stay=over)))
    adopt(board, best.solution)
    board.anchors = anchors_of(compiled, recalled(compiled, older))
    return Trial.of(best.week, board)


def nearer(best: Trial, older: Plan, rng: Random, over: Stop) -> Trial:
    """What others can make way for, once everything stands that can where it was."""
    compiled = best.week.compiled
    make_way(compiled, recalled(compiled, older), best.board, rng, over)
    best = Trial.of(best.week, best.board)
    return given_up(best, older, rng, over) if unplaced(best.board) else best


def given_up(best: Trial, older: Plan, rng: Random, over: Stop) -> Trial:
    """Where a batch that was begun cannot go on: is more served if it is made anew?"""
    week, placed = best.week, best.placed
    if week.past is None:
        return best
    stuck = [b.id for b in week.past.batches if b.component and b.id not in placed]
    past = without(week.past, stuck)
    if past is week.past:
        return best
    anew = week_if_any(week.scenario, week.chosen, week.kept, past)
    if anew is None:
        return best
    anew, board = begun(anew, older, rng)
    make_way(anew.compiled, recalled(anew.compiled, older), board, rng, over)
    trial = Trial.of(anew, board)
    return trial if trial.score < best.score else best


def _as_it_was(board: Board, here: Solution, older: Solution, b: int) -> bool:
    chain = board.index.chains[b]
    now, before = (placement_in(board.problem, chain, s) for s in (here, older))
    return replace(now, cleans={}) == replace(before, cleans={})


def _fixed_in(board: Board, rng: Random) -> bool:
    """Put in what is fixed and was not said by the plan; False where it finds no place."""
    fixed = [b for b, batch in enumerate(board.problem.batches) if batch.fixed]
    board.last_resort = True
    done = all(b in board.placed or insert(board, b) for b in fixed)
    board.last_resort = False
    return done


def _beside(board: Board, found: Solution) -> dict[int, Placement]:
    """What is on a board, and of a solution what is not."""
    index, problem = board.index, board.problem
    mine = {b: board.recorded(b) for b in board.placed}
    return mine | {
        b: placement_in(problem, index.chains[b], found)
        for b in sorted(found.placed(problem))
        if b not in mine
    }


def _check(board: Board) -> None:
    """Take off what breaks a rule by itself: its hours, its length, who may do it."""
    here, fixed = board.solution(), _fixed(board.problem)
    for b in _breaking(board.problem, here, sorted(board.placed - fixed)):
        board.remove(b)


def _breaking(problem: Problem, solution: Solution, some: Sequence[int]) -> list[int]:
    """Which of some batches break a rule with nothing beside them but what is fixed.

    Asked of all at once, then of halves: nearly always all but a few are sound.
    """
    fixed = _fixed(problem)
    alone = _broken(problem, solution, fixed)
    found, ahead = list[int](), [some]
    while ahead:
        part = ahead.pop()
        if not part or _broken(problem, solution, fixed | set(part)) <= alone:
            continue
        if len(part) == 1:
            found += part
        else:
            ahead += [part[: len(part) // 2], part[len(part) // 2 :]]
    return found


def _broken(problem: Problem, solution: Solution, only: Collection[int]) -> set[str]:
    """The rules that some batches break; what they lack is no matter here."""
    placed = solution.placed(problem)
    found = violations(problem, _without(problem, solution, placed - set(only)))
    lacking = {f"{batch.id}: is missing" for batch in problem.batches}
    lacking |= {f"{problem.batches[b].id}: is there without {problem.batches[i].id}"
                for b in only for i in problem.batches[b].inputs}  # fmt: skip
    return set(found) - lacking


def _fixed(problem: Problem) -> set[int]:
    return {b for b, batch in enumerate(problem.batches) if batch.fixed}


def _without(problem: Problem, solution: Solution, out: Collection[int]) -> Solution:
    """A solution with some batches left out."""
    if not out:
        return solution
    gone = set(out)
    times = {t: x for t, x in solution.times.items() if problem.tasks[t].batch not in gone}
    return Solution(
        times,
        {c: o for c, o in solution.chosen.items() if problem.choices[c].batch not in gone},
        {n: x for n, x in solution.crews.items() if problem.crews[n].task in times},
        {n: x for n, x in solution.tends.items() if problem.tends[n].task in times},
        {n: x for n, x in solution.adds.items() if problem.adds[n].task in times},
        {n: x for n, x in solution.cleans.items() if problem.uses[n].batch not in gone},
    )
