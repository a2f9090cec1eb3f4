"""Choosing methods and what is bought in, outside the model.

A problem is compiled for a given choice. Where something has no place, or
could keep fresher, other choices are tried: what both problems have in common
keeps its place, the rest is put in, and the choice is kept only if the bands
are better. Going back to the recipe's own steps needs only be as good.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product
from typing import TYPE_CHECKING

from scheduler.solve.carry import carry
from scheduler.solve.construct import construct, drop_hopeless, unplaced
from scheduler.solve.improve import Improve
from scheduler.solve.index import Index
from scheduler.solve.objective import terms
from scheduler.solve.repair import Repair
from scheduler.solve.week import recipe_of, week_if_any, with_method

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from random import Random

    from scheduler.solve.board import Board
    from scheduler.solve.budget import Budget
    from scheduler.solve.objective import Score
    from scheduler.solve.week import Ways, Week
    from scheduler.workload.primitives import Solution

EJECTIONS = 40
"""Ejections with one choice while something has no place."""
MOVES = 12
"""Moves with one choice while looking for what keeps fresher."""
PAIRED = 6
"""Of so many batches two at once are tried in other ways."""
COST = 3
"""A try counts as so many moves where moves are counted."""

Chosen = dict[str, str]
"""Batch: its method, where not the recipe's own steps."""


@dataclass
class Trial:
    """One choice and what came of it."""

    week: Week
    board: Board
    solution: Solution
    score: Score

    @classmethod
    def of(cls, week: Week, board: Board) -> Trial:
        """What is on a board."""
        solution = board.solution()
        return cls(week, board, solution, terms(board.problem, solution))

    @property
    def placed(self) -> frozenset[str]:
        """Batches that have a place."""
        problem = self.board.problem
        return frozenset(problem.batches[b].id for b in self.solution.placed(problem))

    def beats(self, other: Trial) -> bool:
        """Is it better? Buying is for portions that lack something, never for fewer batches."""
        more = self.score.served[:-1] < other.score.served[:-1]
        return self.score < other.score and (more or self.score.money <= other.score.money)


class Chooser:
    """Tries other choices, from the best known on.

    Parameters
    ----------
    best : Trial
    rng : random.Random
    budget : Budget
    """

    def __init__(self, best: Trial, rng: Random, budget: Budget) -> None:
        self.best = best
        self.rng = rng
        self.budget = budget
        self.tried: set[frozenset[tuple[str, str]]] = set()
        self.hopeless: set[tuple[str, str | None]] = set()
        """Batches and methods by which they certainly have no place."""
        self.unexplained: Trial | None = None
        """What was best before `at_once`."""

    def at_once(self) -> Trial:
        """Before a first plan is shown: another way for all that its own steps leave out.

        Built from scratch where what was there leaves no room for it. Why it
        was chosen is found out by `explain`: the first plan does not wait for it.
        """
        before = self.best
        for last in (False, True):
            missing = unplaced(self.best.board)
            names = [self.best.board.problem.batches[b].id for b in missing]
            ways = self.best.week.choices
            change = {n: ways[n][-1 if last else 1] for n in names if n in ways}
            chosen = self._with(change)
            if chosen != self.best.week.chosen:
                trial = self._try(chosen, lambda: False, lambda board, over: None)
                if trial is None:
                    continue
                if unplaced(trial.board):
                    board = construct(trial.board.index, self.rng)
                    drop_hopeless(board)
                    anew = Trial.of(trial.week, board)
                    trial = anew if anew.score < trial.score else trial
                if trial.beats(self.best):
                    self.best, self.unexplained = trial, before
        return self.best

    def explain(self) -> None:
        """Say why `at_once` has chosen what it has."""
        if self.unexplained is not None:
            self.best.week.because = self._why(self.unexplained, self.best)
            self.unexplained = None

    def fuller(self, over: Callable[[], bool]) -> Iterator[Trial]:
        """While something has no place: choices that serve more; yields each better one."""
        while unplaced(self.best.board) and not over():
            found = self._first(self._for_missing(), over, self._repaired)
            if found is None:
                return
            yield found

    def fresher(self, over: Callable[[], bool]) -> Iterator[Trial]:
        """Choices that cost less or keep fresher, and those that need not be; each better one."""
        self.tried.clear()
        while not over():
            found = self._first(self._for_quality(), over, self._improved)
            if found is None:
                return
            yield found

    def _first(
        self,
        choices: Iterator[Chosen],
        over: Callable[[], bool],
        work: Callable[[Board, Callable[[], bool]], None],
    ) -> Trial | None:
        """The first of some choices that is better; as good, where it chooses less."""
        for chosen in choices:
            key = frozenset(chosen.items())
            if key in self.tried or self._in_vain(chosen):
                continue
            self.tried.add(key)
            self.budget.moves += COST
            if over():
                return None
            trial = self._try(chosen, over, work)
            if trial is not None and self._keep_better(trial):
                return trial
        return None

    def _keep_better(self, trial: Trial) -> bool:
        """Keep a trial that is better; or as good, where less is chosen."""
        fewer = len(trial.week.chosen) < len(self.best.week.chosen)
        if not trial.beats(self.best) and not (fewer and trial.score == self.best.score):
            return False
        trial.week.because = self._why(self.best, trial)
        self.best = trial
        return True

    def _try(
        self,
        chosen: Chosen,
        over: Callable[[], bool],
        work: Callable[[Board, Callable[[], bool]], None],
    ) -> Trial | None:
        best = self.best
        week = week_if_any(best.week.scenario, chosen, best.week.kept, best.week.past)
        if week is None:
            return None
        board = carry(best.week.compiled.problem, best.solution, Index(week.compiled.problem))
        work(board, over)
        return Trial.of(week, board)

    def _repaired(self, board: Board, over: Callable[[], bool]) -> None:
        if unplaced(board):
            for _ in Repair(board, self.rng).run(EJECTIONS, over):
                pass
            drop_hopeless(board)

    def _improved(self, board: Board, over: Callable[[], bool]) -> None:
        self._repaired(board, over)
        if board.score().dearer > self.best.score.dearer:
            return
        moves = Improve(board, self.rng)
        for _ in range(MOVES):
            if over():
                break
            moves.move(0)

    def _in_vain(self, chosen: Chosen) -> bool:
        """Is it what we have, or certainly no good for what it changes?"""
        mine = self.best.week.chosen
        changed = [n for n in {**mine, **chosen} if mine.get(n) != chosen.get(n)]
        return not changed or any((n, chosen.get(n)) in self.hopeless for n in changed)

    def _why(self, best: Trial, trial: Trial) -> dict[str, str]:
        """For every batch not made by its recipe's own steps: what that is good for."""
        why = dict(best.week.because)
        more = trial.score.served < best.score.served
        gone = [best.board.problem.batches[b].id for b in unplaced(best.board)]
        reasons = best.week.all_reasons() if more else {}
        self.hopeless |= {(n, best.week.chosen.get(n)) for n in best.week.reasons if more}
        served = [n for n in gone if n in trial.placed or n not in trial.week.compiled.batch]
        for name, method in trial.week.chosen.items():
            if best.week.chosen.get(name) == method and name in why:
                continue
            if more and name in reasons:
                why[name] = reasons[name][0]
            elif more and name in gone:
                why[name] = "no place was found for it otherwise"
            elif more and served:
                why[name] = f"makes room for {served[0]}"
            elif trial.score.money < best.score.money:
                why[name] = "costs less"
            else:
                why[name] = "keeps fresher"
        return {name: said for name, said in why.items() if name in trial.week.chosen}

    # -- which choices, in which order ----------------------------------------------------

    def _for_missing(self) -> Iterator[Chosen]:
        """First what has no place itself, then what it is made of and for, then its rivals."""
        week, board = self.best.week, self.best.board
        ways = week.choices
        missing = unplaced(board)
        near: dict[int, None] = dict.fromkeys(missing)
        for b in missing:
            near.update(dict.fromkeys(board.index.consumers[b]))
            near.update(dict.fromkeys(sorted(board.index.chains[b].neighbours)))
        rivals = [r for b in missing for r in sorted(board.index.rivals[b])]
        near.update(dict.fromkeys(rivals))
        names = [board.problem.batches[b].id for b in near]
        order = [n for n in names if n in ways]
        order += [n for n in ways if n not in order]
        yield from self._single(order[: len(missing)], ways)
        yield from self._whole(order, ways)
        yield from self._single(order, ways)
        yield from self._pairs(order, ways)
        yield {name: other for name, (_, other, *_) in ways.items() if other is not None}

    def _for_quality(self) -> Iterator[Chosen]:
        """Back to the recipe's own steps where something else is chosen; then the dearest first."""
        chosen, board = self.best.week.chosen, self.best.board
        for name in chosen:
            yield {n: m for n, m in chosen.items() if n != name}
        if self.best.score.quality == 0 == self.best.score.money:
            return
        ways = self.best.week.choices
        costs = {
            name: board.touching(self.best.week.compiled.batch[name])
            for name in ways
            if self.best.week.compiled.batch[name] in board.placed
        }
        order = sorted(ways, key=lambda name: (-costs.get(name, 0), name))
        yield from self._single(order, ways)
        yield from self._whole(order, ways)
        yield from self._pairs(order, ways)

    def _single(
        self, order: list[str], ways: Ways
    ) -> Iterator[Chosen]:
        """One batch made in another way."""
        for name in order:
            for method in ways[name]:
                yield self._with({name: method})

    def _pairs(self, order: list[str], ways: Ways) -> Iterator[Chosen]:
        """Two batches in another way at once: what one gives up the other may take."""
        for one, other in combinations(order[:PAIRED], 2):
            for method, with_it in product(ways[one], ways[other]):
                yield self._with({one: method, other: with_it})

    def _whole(
        self, order: list[str], ways: Ways
    ) -> Iterator[Chosen]:
        """All batches of one recipe made in another way."""
        work = self.best.week.workload.batch
        groups: dict[str, list[str]] = {}
        for name in order:
            recipe = recipe_of(self.best.week.scenario, work[name]).id
            groups.setdefault(recipe, []).append(name)
        for names in groups.values():
            for method in ways[names[0]]:
                yield self._with(dict.fromkeys(names, method))

    def _with(self, change: dict[str, str | None]) -> Chosen:
        return with_method(self.best.week.chosen, change)
