"""`backtime plan`: plan a week in a job of its own, and say what came of it."""

from __future__ import annotations

import json
import math
import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.commands.codes import Exit, Stop
from scheduler.commands.guard import SHOW_TRACEBACK
from scheduler.commands.hearing import Ear
from scheduler.commands.keeping import Place
from scheduler.commands.place import check_file, check_folder
from scheduler.commands.scenario import read_week
from scheduler.commands.terminal import say, tell
from scheduler.solve.request import Request
from scheduler.solve.running import Job, Outcome, follow

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.file import PlanFile

LONGEST = 86_400
"""Seconds a plan may be given: a day."""
LONGEST_WORD = 300
"""Letters of an error that are shown."""


@dataclass(frozen=True, slots=True)
class Wish:
    """How it shall be planned.

    Attributes
    ----------
    seconds : float
        Time to search.
    seed : int
    deterministic : bool
        The same plan every time: steps are counted, no clock is read.
    as_json : bool
        Figures as JSON on standard output instead of the summary.
    cluster : str or None
        Address of a cluster that helps.
    older : Path or None
        Plan file to start from.
    """

    seconds: float
    seed: int
    deterministic: bool
    as_json: bool
    cluster: str | None = None
    older: Path | None = None


def plan(scenarios: Sequence[str], wish: Wish, out: Path | None) -> Exit:
    """Plan scenarios and write their plan files.

    Parameters
    ----------
    scenarios : sequence of str
        Folders, shipped names, or weeks of the book.
    wish : Wish
    out : Path or None
        Plan file; left out: `<week's id>.plan.json` here. For several
        scenarios a folder.
    """
    if not (math.isfinite(wish.seconds) and 0 < wish.seconds <= LONGEST):
        tell(f"--seconds {wish.seconds:g} is no time to plan in. Maybe --seconds 20")
        return Exit.BAD_INPUT
    if wish.cluster is not None:
        from scheduler.solve.cluster import check_address

        check_address(wish.cluster)
    if wish.older is not None and len(scenarios) > 1:
        tell("--from names the older plan of one week. Plan that week by itself")
        return Exit.BAD_INPUT
    if len(scenarios) > 1:
        from scheduler.commands.kitchens import plan_all

        return plan_all(scenarios, wish, out)
    if wish.cluster is not None and wish.deterministic:
        tell("--deterministic plans one week here, in turns, so no cluster can help. Leave one out")
        return Exit.BAD_INPUT
    if out is None:
        check_folder(Path(), "Name another place with --out.")
    else:
        check_file(out)
    return plan_one(scenarios[0], wish, out)


def plan_one(
    scenario: str, wish: Wish, out: Path | None, folder: Path = Path(), name: str | None = None
) -> Exit:
    """Plan one scenario in a job of its own.

    Parameters
    ----------
    out, folder : Path
        Plan file; left out: `<week's id>.plan.json` in the folder.
    name : str, optional
        What it is called among several.
    """
    # The job starts first: it imports what it needs while the week is being read.
    with started() as job:
        read = read_week(scenario)
        gated(read, scenario)
        target = out or target_in(folder, read)
        check_file(target)
        kept, older = _older(wish.older)
        place = Place(target)
        ask(
            job,
            Request(
                scenario=read.document(),
                seconds=wish.seconds,
                seed=wish.seed,
                deterministic=wish.deterministic,
                cluster=wish.cluster,
                kept=kept,
                plan=older,
            ),
        )
        ear = Ear(job, place, wish.seconds)
        ear.begin(read.week.name or read.week.id)
        outcome = follow(job, ear)
        ear.end()
        shown = Shown(wish.as_json, name, ear.marks, outcome.done.get("last_calls"))
        return ended(job, outcome, place, shown)


def gated(week: Scenario, name: str) -> None:
    """Refuse a week that is broken for good by a limit of food safety.

    Raises
    ------
    BrokenForGood
    """
    from scheduler.safety.gate import gate

    gate(week, name)


def _older(path: Path | None) -> tuple[list[dict[str, Any]], str | None]:
    """What an older plan keeps where it is, and its text.

    Raises
    ------
    BadInput
        If it is no plan.
    """
    if path is None:
        return [], None
    from scheduler.plan.file import plan_of
    from scheduler.plan.moments import with_offset
    from scheduler.plan.opening import text_of

    text = text_of(path)
    file = plan_of(text, str(path))
    kept = [k.model_dump(mode="json", exclude_defaults=True) for k in file.plan.kept]
    return with_offset(kept, file.scenario.clock), text


def started() -> Job:
    """A solving job; stops with a sentence where none can be started."""
    try:
        return Job.start()
    except OSError as error:
        tell(f"No solving job can be started: {error}")
        raise Stop(Exit.OUR_FAULT) from None


def ask(job: Job, request: Request) -> None:
    """Ask it; stops with a sentence where there is no room to."""
    try:
        job.ask(request)
    except OSError as error:
        why = error.strerror or error
        tell(f"Nothing is planned: nothing can be written in the temporary folder ({why}).")
        raise Stop(Exit.BAD_INPUT) from None


def target_in(folder: Path, week: Scenario) -> Path:
    """The plan file of a week in a folder, which is made if it can be."""
    with suppress(OSError):  # `check_file` says what is wrong with it
        folder.mkdir(exist_ok=True)
    return folder / f"{week.week.id}.plan.json"


def ended(job: Job, outcome: Outcome, place: Place, shown: Shown) -> Exit:
    """Write what the job has left, say it, and give the exit code."""
    if outcome.problems:
        from scheduler.domain.problems import BadInput, Problem

        raise BadInput([Problem(**fields) for fields in outcome.problems])
    file = keep(job, place)
    if outcome.interrupted:
        if file is None:
            tell("Stopped before there was a plan; nothing is written.")
        else:
            tell(f"Stopped; the best plan so far is in {place.path}.")
    if file is not None:
        shown.say(file, place.path)
        if not outcome.interrupted:  # then it has been said, before the summary was made
            tell(f"Written to {place.path}.")
    if outcome.interrupted:
        return Exit.INTERRUPTED
    if outcome.broken or outcome.failed or file is None:
        return owned_up(job, outcome, None if file is None else place.path)
    return code_of(file)


def owned_up(job: Job, outcome: Outcome, path: Path | None) -> Exit:
    """Say what went wrong, and what there is all the same."""
    if outcome.broken:
        tell(f"The search was cut short: {outcome.broken}.")
    else:
        what = " ".join(outcome.failed.split())[:LONGEST_WORD] or "no plan came"
        tell(f"This is a fault of Backtime, not of your week: {what}")
    if path is None:
        tell("There was no plan yet; nothing is written.")
    else:
        tell(f"The best plan it had by then is in {path}; the second reader has read it.")
    if os.environ.get(SHOW_TRACEBACK):
        tell(job.log().strip())
    else:
        tell(f"Set {SHOW_TRACEBACK}=1 to see what the search itself said last.")
    return Exit.OUR_FAULT


def keep(job: Job, place: Place) -> PlanFile | None:
    """Put the job's last plan in its place and read it back; None if there is none."""
    text, path = place.text, job.plan
    if path is not None:
        with suppress(OSError):  # its folder may just have gone
            text = path.read_text(encoding="utf-8")
    if text is None:
        return None
    try:
        before = place.path
        place.put(text)
    except OSError as error:
        job.keep = True
        tell(f"The plan cannot be written to {place.path}: {error.strerror or error}.")
        tell(f"It is in {path}." if path else "It is lost: the temporary folder is gone too.")
        raise Stop(Exit.BAD_INPUT) from None
    if place.path != before:
        tell(f"Another plan has been put in {before} meanwhile and stays there.")
    from scheduler.plan.file import read_plan  # slow to import, so once the plan is in its place

    return read_plan(place.path)


@dataclass(frozen=True, slots=True)
class Shown:
    """What is said of a plan once it is written.

    Attributes
    ----------
    as_json : bool
    name : str or None
        What it is called among several; then figures stand on one line.
    marks : dict
        When there was what.
    calls : list of dict or None
        Last calls, where they are known.
    """

    as_json: bool
    name: str | None
    marks: dict[str, dict[str, Any]] = field(default_factory=dict)
    calls: list[dict[str, Any]] | None = None

    def say(self, file: PlanFile, target: Path) -> None:
        """Say it."""
        from scheduler.domain.classes import not_checked_yet
        from scheduler.plan.summary import summarise
        from scheduler.plan.waiting import LastCall

        if self.calls is not None:
            calls = [LastCall(**call) for call in self.calls]
        else:  # it was stopped or broke off, so there was no time for them
            from scheduler.solve.last_calls import last_calls

            calls = last_calls(file.scenario, file.plan)
        not_checked = not_checked_yet(file.scenario)
        if self.as_json:
            first = {} if self.name is None else {"scenario": self.name}
            said = first | figures(file, target, calls, not_checked) | {"events": self.marks}
            say(json.dumps(said, ensure_ascii=False, indent=1 if self.name is None else None))
            return
        if self.name is not None:
            say(f"{self.name}\n{'=' * len(self.name)}")
        scenario, plan, verdicts = file.scenario, file.plan, file.verdicts
        say(summarise(scenario, plan, verdicts, last_calls=calls, not_checked=not_checked))
        if self.name is not None:
            say()


def figures(
    file: PlanFile, target: Path, calls: list[Any], not_checked: tuple[str, ...]
) -> dict[str, Any]:
    """What `--json` prints: verdicts, terms, what is missing, last calls, where the plan is."""
    from scheduler.plan.moments import with_offset

    clock = file.scenario.clock
    told = [
        {"batch": c.batch, "step": c.step, "start": c.by}
        | ({} if c.order_in is None else {"order_by": c.order_in})
        for c in calls
    ]
    return {
        "plan": str(target),
        "scenario_sha256": file.scenario.sha256(),
        "made": file.made.model_dump(mode="json"),
        "valid": file.verdicts.valid,
        "served": file.verdicts.served,
        "findings": [f.model_dump(mode="json") for f in file.verdicts.findings],
        "let_go": [f.model_dump(mode="json") for f in file.verdicts.let_go],
        "terms": file.plan.terms.model_dump(mode="json"),
        "bound": file.plan.bound,
        "unserved": [u.model_dump(mode="json") for u in file.plan.unserved],
        "missing": [m.model_dump(mode="json") for m in file.plan.missing],
        "last_calls": [
            {"batch": c["batch"], "step": c["step"], "by": c["start"]}
            | ({"order_in": c["order_by"]} if "order_by" in c else {})
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
