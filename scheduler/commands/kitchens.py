"""`backtime plan A B C`: several kitchens, one after the other here or all at once on a cluster.

Each is as it would be alone, in a folder with its name; what is wrong with
one does not keep the others from their plan.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.commands.codes import Exit, Stop, worst
from scheduler.commands.guard import explained, guarded
from scheduler.commands.place import check_file, check_folder
from scheduler.commands.plan import (
    Shown,
    Wish,
    code_of,
    gated,
    plan_one,
    target_in,
)
from scheduler.commands.scenario import read_week
from scheduler.commands.terminal import Progress, say, tell
from scheduler.domain.finding import STORED

if TYPE_CHECKING:
    from scheduler.domain.problems import BadInput
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan
    from scheduler.solve.kitchens import Answer, Kitchens

FOLDER = Path("plans")
"""Where plans of several kitchens go."""

GRACE = 15.0
"""Seconds after Ctrl-C until what workers have is here: one may still be at its first plan."""
WORDS = {
    Exit.FINE: "every event served",
    Exit.BROKEN: "breaks a rule: do not cook from it",
    Exit.BAD_INPUT: "bad input or no place for the plan",
    Exit.CANNOT_WORK: "something cannot work; the rest is planned",
    Exit.NOT_SERVED: "not everything is served",
    Exit.OUR_FAULT: "a fault of ours",
    Exit.INTERRUPTED: "stopped",
}


def plan_all(scenarios: Sequence[str], wish: Wish, out: Path | None) -> Exit:
    """Plan several scenarios.

    Parameters
    ----------
    out : Path or None
        Folder for `<scenario>/<week's id>.plan.json`; left out: `plans` here.

    Returns
    -------
    Exit
        Of the worst of them.
    """
    names = named(scenarios)
    folder = out or FOLDER
    with suppress(OSError):  # `check_folder` says what is wrong with it
        folder.mkdir(exist_ok=True)
    check_folder(folder, "Name another with --out.")
    party = Party(names, wish, folder)
    if wish.cluster is None:
        party.one_after_the_other(list(names))
    else:
        party.at_once(wish.cluster)
    party.sum_up()
    return Exit.INTERRUPTED if party.interrupted else worst(party.codes.values())


def named(scenarios: Sequence[str]) -> dict[str, str]:
    """Scenarios by a name each: their folder's, with as many folders above as tell them apart.

    Raises
    ------
    Stop
        If one is there twice.
    """
    paths = [_path(s) for s in scenarios]
    parts = [path.parts[1:] or ("kitchen",) for path in paths]
    for length in range(1, max(map(len, parts)) + 1):
        names = ["-".join(p[-length:]) for p in parts]
        if len({name.lower() for name in names}) == len(names):
            return dict(zip(names, scenarios, strict=True))
    keys = [os.path.normcase(path).lower() for path in paths]
    twice = next(s for s, k in zip(scenarios, keys, strict=True) if keys.count(k) > 1)
    tell(f"Nothing is planned: '{twice}' is named twice.")
    raise Stop(Exit.BAD_INPUT)


def _path(scenario: str) -> Path:
    """Where a folder is; a week of the book is named as if it lay in a folder of its kitchen's."""
    if scenario.startswith(STORED):
        return Path(os.sep, "stored", *scenario.removeprefix(STORED).split("/"))
    return Path(os.path.abspath(os.path.expanduser(scenario)))


class Party:
    """Several kitchens and what came of each.

    Attributes
    ----------
    codes : dict of str to Exit
        So far, by name.
    interrupted : bool
        Some may have had less time than they were given.
    """

    def __init__(self, names: dict[str, str], wish: Wish, folder: Path) -> None:
        self._names, self._wish, self._folder = names, wish, folder
        self._weeks: dict[str, tuple[Scenario, Path]] = {}
        self._progress = Progress()
        self.codes: dict[str, Exit] = {}
        self.interrupted = False

    def one_after_the_other(self, names: Sequence[str]) -> None:
        """Plan some here, until one is interrupted."""
        wish = replace(self._wish, cluster=None)
        for name in names:
            one = partial(plan_one, self._names[name], wish, None, self._folder / name, name)
            self.codes[name] = guarded(one)
            if self.codes[name] is Exit.INTERRUPTED:
                break

    def at_once(self, address: str) -> None:
        """Plan all on a cluster; what is lost there is planned here."""
        from scheduler.solve.cluster import cluster
        from scheduler.solve.kitchens import Kitchens

        with cluster(address) as there:
            for name in self._names:
                if (code := explained(partial(self._read, name))) is not Exit.FINE:
                    self.codes[name] = code
            count = f"{len(self._weeks)} kitchens on {there.threads()} threads of {address}"
            self._progress.now(f"Planning {count} …", lasting=True)
            kitchens = Kitchens(
                there,
                {name: week for name, (week, _) in self._weeks.items()},
                seconds=self._wish.seconds,
                seed=self._wish.seed,
                deterministic=self._wish.deterministic,
            )
            lost = self._taken(kitchens)
        self.one_after_the_other(lost)

    def _read(self, name: str) -> Exit:
        """Read a week, and look where its plan goes."""
        week = read_week(self._names[name])
        gated(week, self._names[name])
        target = target_in(self._folder / name, week)
        check_file(target)
        self._weeks[name] = week, target
        return Exit.FINE

    def _taken(self, kitchens: Kitchens) -> list[str]:
        """Take every plan as it comes; Ctrl-C once ends all politely, twice at once.

        Returns
        -------
        list of str
            Names of what is lost on the cluster and not planned yet.
        """
        lost: list[str] = []
        try:
            self._take(kitchens.come(), lost)
        except KeyboardInterrupt:
            self.interrupted = True
            with suppress(KeyboardInterrupt):
                tell("Stopping with the best plans so far; Ctrl-C again ends it now.")
                kitchens.stop()
                self._take(kitchens.come(time.monotonic() + GRACE), lost)
            for name in (*kitchens.pending.values(), *lost):
                self.codes[name] = Exit.INTERRUPTED
            return []
        finally:
            self._progress.end()
        return lost

    def _take(self, answers: Iterator[tuple[str, Answer]], lost: list[str]) -> None:
        from scheduler.solve.cluster import Lost

        for name, answer in answers:
            self._progress.end()
            if isinstance(answer, Lost):
                tell(f"{name}: the cluster has lost it ({answer}); it is for this machine to plan.")
                lost.append(name)
            else:
                self.codes[name] = explained(partial(self._kept, name, answer))
            done = len(self.codes) + len(lost)
            self._progress.now(f"{done} of {len(self._names)} kitchens are back …")

    def _kept(self, name: str, answer: Plan | BadInput) -> Exit:
        """Have a plan audited here, write it and show it."""
        from scheduler.domain.problems import BadInput
        from scheduler.plan.file import Made, read_plan, write_plan

        if isinstance(answer, BadInput):
            raise answer
        week, target = self._weeks[name]
        wish = self._wish
        made = Made(seed=wish.seed, seconds=wish.seconds, deterministic=wish.deterministic)
        try:
            write_plan(target, answer, week, made)
        except OSError as error:
            tell(f"The plan cannot be written to {target}: {error.strerror or error}.")
            raise Stop(Exit.BAD_INPUT) from None
        file = read_plan(target)
        Shown(wish.as_json, name).say(file, target)
        tell(f"Written to {target}.")
        return code_of(file)

    def sum_up(self) -> None:
        """One line for each kitchen, at the end."""
        wide = max(map(len, self._names))
        speak = tell if self._wish.as_json else say
        for name in self._names:
            speak(f"{name.ljust(wide)}  {WORDS[self.codes.get(name, Exit.INTERRUPTED)]}")
