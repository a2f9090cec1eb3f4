"""What a script calls: load a written week, plan it, and plan it anew when it breaks.

Planning runs in a process of its own, so a script needs no main guard and
stays answerable while it waits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.domain.finding import find_scenario
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.reading import read_scenario
from scheduler.domain.scenario import Scenario
from scheduler.domain.staying import staying
from scheduler.plan.file import read_plan
from scheduler.plan.model import Plan
from scheduler.plan.opening import text_of
from scheduler.safety.gate import gate
from scheduler.solve.request import Request
from scheduler.solve.running import Job, follow

if TYPE_CHECKING:
    from scheduler.reshuffle.proposal import Proposal
    from scheduler.reshuffle.setback import Setback


class SolverFailed(RuntimeError):
    """The solving job broke off: a fault of Backtime, or no memory or room was left.

    Attributes
    ----------
    plan : Plan or None
        The best plan it had by then.
    """

    def __init__(self, what: str, plan: Plan | None = None) -> None:
        super().__init__(what)
        self.plan = plan


def load(name: str | Path) -> Scenario:
    """Read a written week.

    Parameters
    ----------
    name : str or Path
        A folder, or the name of a week that comes with Backtime ("demo").

    Raises
    ------
    BadInput
        With every mistake that was found.
    """
    return read_scenario(find_scenario(str(name)))


def plan_week(
    scenario: Scenario,
    *,
    seconds: float = 20,
    seed: int = 1,
    deterministic: bool = False,
    cluster: str | None = None,
    kept: Sequence[Mapping[str, Any]] = (),
    start_from: str | Path | None = None,
    hear: Callable[[dict[str, Any]], None] = lambda event: None,
) -> Plan:
    """Plan a week in a job of its own and wait for it.

    Parameters
    ----------
    seconds : float
        Time to search.
    seed : int
    deterministic : bool
        The same plan every time; nobody helps then.
    cluster : str, optional
        Address of a Dask cluster that helps: `tcp://` on this machine, `tls://` anywhere.
    kept : sequence of dict
        Tasks that stay where somebody wants them: `task` ("rolls.1/bake"), and at least one of
        `start` (a moment with its offset), `people`, `equipment` (lists of ids).
    start_from : str or Path, optional
        The plan file of an older plan of the same week: what still may stand there stays where
        it is, and only what cannot is moved, as little as possible.
    hear : callable
        Gets every event of the job as it comes: "first", "better" and "done" with their
        terms and seconds, "helper lost", "silent", "back", "woken".

    Raises
    ------
    BadInput
        If something in the scenario is wrong whatever the times (a `BrokenForGood`: a recipe
        breaks a limit of food safety), or the cluster is refused; a kept task that is not
        there, or never could be so, a `start_from` that is no plan of this week.
    SolverFailed
        If the job broke off; what it had found by then is in its `plan`.
    KeyboardInterrupt
        On Ctrl-C, once the job has ended.
    """
    gate(scenario)
    stay = [keep.model_dump(mode="json") for keep in staying(kept)]
    older = None if start_from is None else text_of(Path(start_from))
    with Job.start() as job:
        job.ask(
            Request(
                scenario.document(), seconds, seed, deterministic, cluster=cluster, kept=stay,
                plan=older,
            )
        )  # fmt: skip
        return _answer(job, hear)[1]


def reshuffle_plan(
    plan: str | Path,
    setbacks: Sequence[Setback | Mapping[str, Any]],
    now: datetime,
    *,
    keep: Sequence[Mapping[str, Any]] = (),
    seconds: float = 10,
    seed: int = 1,
    deterministic: bool = False,
    hear: Callable[[dict[str, Any]], None] = lambda event: None,
) -> Proposal:
    """Make a plan anew in the middle of its week, with as little upheaval as may be.

    What had begun stays as it was; what a setback has stopped goes on elsewhere, starts again or
    is lost, as the setback says. Served comes first, then money, then how few people are told of
    how few changes, then quality. The plan and its file stay as they are.

    Parameters
    ----------
    plan : str or Path
        The plan file that has broken.
    setbacks : sequence of Setback or mapping
        What has happened (`reshuffle.setback`).
    now : datetime
        The kitchen's wall clock.
    keep : sequence of dict
        Tasks that stay, as in `plan_week`; those the plan keeps do so anyway.
    seconds : float
        Time to search; the first proposal is there as soon as it is heard of.
    hear : callable
        Gets every event of the job as it comes, as in `plan_week`.

    Raises
    ------
    BadInput
        If it is no plan, a setback makes no sense, or what comes of it is no week.
    SolverFailed
        If the job broke off.
    KeyboardInterrupt
        On Ctrl-C, once the job has ended.
    """
    from scheduler.reshuffle.asking import asked, named
    from scheduler.reshuffle.proposal import Proposal
    from scheduler.reshuffle.setback import setback_of

    happened = [setback_of(s) if isinstance(s, Mapping) else s for s in setbacks]
    text = text_of(Path(plan))
    what = asked(text, happened, now, staying(keep), name=str(plan))
    with Job.start() as job:
        job.ask(what.request(seconds, seed, deterministic))
        try:
            return Proposal(what, _answer(job, hear)[0])
        except BadInput as bad:
            raise BadInput(named(what, bad.problems)) from None


def _answer(job: Job, hear: Callable[[dict[str, Any]], None]) -> tuple[str, Plan]:
    """The plan file a job has left, and its plan.

    Raises
    ------
    BadInput, SolverFailed, KeyboardInterrupt
    """
    outcome = follow(job, hear)
    if outcome.interrupted:
        raise KeyboardInterrupt
    if outcome.problems:
        raise BadInput([Problem(**fields) for fields in outcome.problems])
    plan = None if job.plan is None else read_plan(job.plan).plan
    if plan is None or job.plan is None or outcome.failed or outcome.broken:
        raise SolverFailed(outcome.broken or outcome.failed or "no plan came", plan)
    return job.plan.read_text(encoding="utf-8"), plan
