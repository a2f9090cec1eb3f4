"""`backtime plan`: plan a week in a job of its own, and say what came of it."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.commands.codes import Exit, Stop
from scheduler.commands.hearing import Ear
from scheduler.commands.place import check_file, check_folder
from scheduler.commands.terminal import say, tell
from scheduler.solve.request import Request
from scheduler.solve.running import Job, Outcome, follow

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.file import PlanFile

LONGEST = 86_400
"""Seconds a plan may be given: a day."""


def plan(
    scenario: str,
    *,
    seconds: float,
    seed: int,
    deterministic: bool,
    as_json: bool,
    out: Path | None,
) -> Exit:
    """Plan a scenario and write the plan file.

    Parameters
    ----------
    scenario : str
        A folder or a shipped name.
    seconds : float
        Time to search.
    seed : int
    deterministic : bool
        The same plan every time: steps are counted, no clock is read.
    as_json : bool
        Figures as JSON on standard output instead of the summary.
    out : Path or None
        Plan file; left out: `<week's id>.plan.json` here.
    """
    if not (math.isfinite(seconds) and 0 < seconds <= LONGEST):
        tell(f"--seconds {seconds:g} is no time to plan in. Maybe --seconds 20")
        return Exit.BAD_INPUT
    if out is None:
        check_folder(Path(), "Name another place with --out.")
    else:
        check_file(out)
    # The job starts first: it imports what it needs while the week is being read.
    with _started() as job:
        read = _read(scenario)
        target = out or Path(f"{read.week.id}.plan.json")
        check_file(target)
        job.ask(
            Request(
                scenario=read.document(), seconds=seconds, seed=seed, deterministic=deterministic
            )
        )
        ear = Ear(job, target, seconds)
        ear.begin(read.week.name or read.week.id)
        outcome = follow(job, ear)
        ear.end()
        return _ended(job, outcome, ear, target, as_json)


def _started() -> Job:
    try:
        return Job.start()
    except OSError as error:
        tell(f"No solving job can be started: {error}")
        raise Stop(Exit.OUR_FAULT) from None


def _read(name: str) -> Scenario:
    from scheduler.domain.finding import find_scenario
    from scheduler.domain.reading import read_scenario

    return read_scenario(find_scenario(name))


def _ended(job: Job, outcome: Outcome, ear: Ear, target: Path, as_json: bool) -> Exit:
    """Write what the job has left, say it, and give the exit code."""
    if outcome.problems:
        from scheduler.domain.problems import BadInput, Problem

        raise BadInput([Problem(**fields) for fields in outcome.problems])
    if job.plan is not None:
        file = _kept(job, target)
        _said(outcome, file, ear, target, as_json)
    if outcome.interrupted:
        if job.plan is None:
            tell("Stopped before there was a plan; nothing is written.")
        else:
            tell(f"Stopped; the best plan so far is in {target}.")
        return Exit.INTERRUPTED
    if outcome.failed or job.plan is None:
        tell(f"This is a fault of Backtime, not of your week: {outcome.failed or 'no plan came'}")
        tell(_last_lines(job.log()))
        return Exit.OUR_FAULT
    return code_of(file)


def _kept(job: Job, target: Path) -> PlanFile:
    """Put the job's plan in its place; read it back."""
    from scheduler.plan.atomic import write_atomically
    from scheduler.plan.file import read_plan

    path = job.folder / "plan.json"
    try:
        write_atomically(target, path.read_text(encoding="utf-8"))
    except OSError as error:
        job.keep = True
        tell(f"The plan cannot be written to {target}: {error.strerror or error}.")
        tell(f"It is in {path}.")
        raise Stop(Exit.BAD_INPUT) from None
    return read_plan(path)


def _said(outcome: Outcome, file: PlanFile, ear: Ear, target: Path, as_json: bool) -> None:
    from scheduler.domain.classes import not_checked_yet
    from scheduler.plan.summary import summarise
    from scheduler.plan.waiting import LastCall

    calls = [LastCall(**call) for call in outcome.done.get("last_calls", ())]
    not_checked = not_checked_yet(file.scenario)
    if as_json:
        said = figures(file, target, calls, not_checked) | {"events": ear.marks}
        say(json.dumps(said, ensure_ascii=False, indent=1))
        return
    scenario, plan, verdicts = file.scenario, file.plan, file.verdicts
    say(summarise(scenario, plan, verdicts, last_calls=calls, not_checked=not_checked))
    tell(f"Written to {target}.")


def figures(
    file: PlanFile, target: Path, calls: list[Any], not_checked: tuple[str, ...]
) -> dict[str, Any]:
    """What `--json` prints: verdicts, terms, what is missing, last calls, where the plan is."""
    from scheduler.plan.moments import with_offset

    clock = file.scenario.clock
    told = [{"batch": c.batch, "step": c.step, "start": c.by} for c in calls]
    return {
        "plan": str(target),
        "scenario_sha256": file.scenario.sha256(),
        "made": file.made.model_dump(mode="json"),
        "valid": file.verdicts.valid,
        "served": file.verdicts.served,
        "findings": [f.model_dump(mode="json") for f in file.verdicts.findings],
        "terms": file.plan.terms.model_dump(mode="json"),
        "bound": file.plan.bound,
        "unserved": [u.model_dump(mode="json") for u in file.plan.unserved],
        "missing": [m.model_dump(mode="json") for m in file.plan.missing],
        "last_calls": [
            {"batch": c["batch"], "step": c["step"], "by": c["start"]}
            for c in with_offset(told, clock)
        ],
        "not_checked": list(not_checked),
    }


def code_of(file: PlanFile) -> Exit:
    """The exit code that a plan earns."""
    if not file.verdicts.valid:
        return Exit.BROKEN
    if any(m.certain for m in file.plan.missing):
        return Exit.CANNOT_WORK
    return Exit.FINE if file.verdicts.served else Exit.NOT_SERVED


def _last_lines(log: str, most: int = 12) -> str:
    return "\n".join(log.strip().splitlines()[-most:])
